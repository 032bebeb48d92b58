//! Who may do what.

use reckon::figure::RecordKind;

/// What a person is in an operation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// Owns the book, and alone adds people to it.
    Owner,
    /// Runs farms.
    Manager,
    /// Keeps labor, costs, settlements, prices and rates, and brings in files.
    Bookkeeper,
    /// Keeps what happens in the orchard.
    CrewLead,
}

impl Role {
    /// Every role.
    pub const ALL: [Self; 4] = [Self::Owner, Self::Manager, Self::Bookkeeper, Self::CrewLead];

    /// The word in the database and on the command line.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Owner => "owner",
            Self::Manager => "manager",
            Self::Bookkeeper => "bookkeeper",
            Self::CrewLead => "crew lead",
        }
    }

    /// The role of this [`Role::word`].
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|role| role.word() == word)
    }

    /// Whether the role carries the right.
    pub const fn may(self, right: Right) -> bool {
        match self {
            Self::Owner => true,
            Self::Manager => !matches!(right, Right::People),
            Self::Bookkeeper => {
                matches!(right, Right::Read | Right::SeeMoney | Right::KeepLabor | Right::KeepBooks | Right::BringIn)
            }
            Self::CrewLead => matches!(right, Right::Read | Right::KeepLabor | Right::KeepField),
        }
    }
}

/// What a person may be allowed to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Right {
    /// See what is in scope.
    Read,
    /// See wages, prices, costs and returns, and what is reckoned from them.
    SeeMoney,
    /// Labor: hours come from the office as often as from the field.
    KeepLabor,
    /// Counts, irrigation, tension, weather, canopy, mulch, picks, observations.
    KeepField,
    /// Packout, settlements, costs, prices, rates, own sizes.
    KeepBooks,
    /// Bring in whole files, of any record kind.
    BringIn,
    /// Farms, blocks, seasons, thinning targets.
    SetUp,
    /// Who may do what.
    People,
}

impl Right {
    /// Every right.
    pub const ALL: [Self; 8] = [
        Self::Read,
        Self::SeeMoney,
        Self::KeepLabor,
        Self::KeepField,
        Self::KeepBooks,
        Self::BringIn,
        Self::SetUp,
        Self::People,
    ];

    /// The right it takes to see records of a kind: those of the books are money all through.
    pub const fn to_see(kind: RecordKind) -> Self {
        match Self::to_keep(kind) {
            Self::KeepBooks => Self::SeeMoney,
            _ => Self::Read,
        }
    }

    /// The right it takes to keep one record of a kind.
    pub const fn to_keep(kind: RecordKind) -> Self {
        match kind {
            RecordKind::Labor => Self::KeepLabor,
            RecordKind::Packout
            | RecordKind::Settlement
            | RecordKind::Cost
            | RecordKind::Price
            | RecordKind::Rate
            | RecordKind::Size => Self::KeepBooks,
            RecordKind::ThinningTarget => Self::SetUp,
            _ => Self::KeepField,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_role_has_its_word() {
        for role in Role::ALL {
            assert_eq!(Role::from_word(role.word()), Some(role));
        }
        assert_eq!(Role::from_word("crew"), None);
    }

    #[test]
    fn what_a_role_keeps_it_sees() {
        for role in Role::ALL {
            for kind in RecordKind::ALL {
                assert!(!role.may(Right::to_keep(kind)) || role.may(Right::to_see(kind)), "{role:?} {kind:?}");
            }
        }
        assert!(!Role::CrewLead.may(Right::to_see(RecordKind::Settlement)));
        assert!(Role::CrewLead.may(Right::to_see(RecordKind::Mulch)));
        assert!(Role::Bookkeeper.may(Right::to_keep(RecordKind::Labor)));
        assert!(!Role::Bookkeeper.may(Right::to_keep(RecordKind::Irrigation)));
    }

    #[test]
    fn rights_are_as_agreed() {
        let table: Vec<(Role, [bool; 8])> =
            Role::ALL.into_iter().map(|role| (role, Right::ALL.map(|right| role.may(right)))).collect();
        assert_eq!(
            table,
            [
                (Role::Owner, [true; 8]),
                (Role::Manager, [true, true, true, true, true, true, true, false]),
                (Role::Bookkeeper, [true, true, true, false, true, true, false, false]),
                (Role::CrewLead, [true, false, true, true, false, false, false, false]),
            ]
        );
    }
}
