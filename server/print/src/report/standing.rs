//! Which issue of a report this is: of a season still open, or a numbered revision of a closed one.

use chrono::NaiveDate;
use reckon::money::Money;

use crate::fingerprint::Fingerprint;
use crate::{figures, words};

/// What was kept of a report when its season was closed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Revision {
    /// From 1.
    pub number: u32,
    /// Day the season was first closed with these figures.
    pub closed_on: NaiveDate,
    /// Fingerprint of its figures.
    pub fingerprint: Fingerprint,
    /// Return over all costs; `None` where it was not known.
    pub over_all: Option<Money>,
}

/// How far a report may be relied on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Reckoned from files, without a book that could close its season.
    Files,
    /// The season is still open.
    Open {
        /// The last revision, where the season was closed before and opened again.
        last: Option<Revision>,
    },
    /// The season is closed.
    Closed {
        /// The revision it was closed with.
        now: Revision,
        /// The revision before that.
        replaces: Option<Revision>,
    },
    /// The season was closed before the block was in the book.
    Unnumbered,
}

impl Standing {
    /// Beside the year in the running head; empty where there is nothing to say.
    pub(super) fn in_head(&self) -> String {
        match self {
            Self::Files => String::new(),
            Self::Open { .. } => " · season still open".to_owned(),
            Self::Closed { now, .. } => format!(" · revision {}", now.number),
            Self::Unnumbered => " · closed".to_owned(),
        }
    }

    /// Below the title: what the report replaces, and whether it still says what it was closed with.
    pub(super) fn sentence(&self, fingerprint: Fingerprint) -> Option<String> {
        match self {
            Self::Files | Self::Open { last: None } => None,
            Self::Open { last: Some(last) } => Some(format!("Season still open; it was closed as {}.", last.told())),
            Self::Closed { now, replaces } => {
                let first = match replaces {
                    Some(before) => format!("Revision {}, replaces {}.", now.number, before.told()),
                    None => format!("Revision {}, closed on {}.", now.number, words::full_day(now.closed_on)),
                };
                Some(first + &now.moved_since(fingerprint))
            }
            Self::Unnumbered => {
                Some("The season was closed before this block was in the book: the report has no revision.".to_owned())
            }
        }
    }
}

impl Revision {
    /// `revision 1 of 3 Mar 2027: return over all costs was $1,234.00`
    fn told(&self) -> String {
        let day = words::full_day(self.closed_on);
        let net = self.over_all.map_or_else(
            || "return over all costs was not known".to_owned(),
            |amount| format!("return over all costs was {}", figures::dollars(&figures::money(amount))),
        );
        format!("revision {} of {day}: {net}", self.number)
    }

    /// A closed season takes no records, but its block, its farm or a season it is compared with may
    /// have been corrected.
    fn moved_since(&self, fingerprint: Fingerprint) -> String {
        if self.fingerprint == fingerprint {
            return String::new();
        }
        let kept = self.fingerprint.grouped();
        format!(
            " Figures have changed since the closing, whose fingerprint was {kept}: a farm, a block or what it is compared \
             with was corrected."
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const NOW: Fingerprint = Fingerprint([2; 8]);

    fn revision(number: u32, day: u32, cents: Option<i64>) -> Revision {
        let closed_on = NaiveDate::from_ymd_opt(2027, 3, day).unwrap();
        Revision { number, closed_on, fingerprint: NOW, over_all: cents.map(Money::from_cents) }
    }

    #[test]
    fn a_second_revision_names_the_first() {
        let standing =
            Standing::Closed { now: revision(2, 9, Some(1)), replaces: Some(revision(1, 3, Some(-1_234_500))) };
        assert_eq!(standing.in_head(), " · revision 2");
        let said = "Revision 2, replaces revision 1 of 3 Mar 2027: return over all costs was −$12,345.00.";
        assert_eq!(standing.sentence(NOW).as_deref(), Some(said));
        let moved = standing.sentence(Fingerprint([3; 8])).unwrap();
        assert!(moved.contains("Figures have changed since") && moved.contains("0202 0202"), "{moved}");
    }

    #[test]
    fn an_open_season_says_so() {
        assert_eq!(Standing::Open { last: None }.in_head(), " · season still open");
        let again = Standing::Open { last: Some(revision(1, 3, None)) }.sentence(NOW).unwrap();
        let said = "Season still open; it was closed as revision 1 of 3 Mar 2027: return over all costs was not known.";
        assert_eq!(again, said);
        assert_eq!(Standing::Files.sentence(NOW), None);
    }
}
