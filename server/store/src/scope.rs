//! What a person sees. A query without a scope does not compile: `Desk` and `Book` are made from one,
//! and only sign-in, the founding of an operation, the machine's operator and the test kit make one.

use crate::ids::{FarmId, OperationId, UserId};
use crate::role::{Right, Role};

/// One person in one operation, with a role, on all farms or on some.
///
/// A person limited to farms sees these farms, their blocks and the records of both, and the weather
/// of their stations. What belongs to the whole operation (its costs, prices and rates) is seen by
/// people with all farms only, but for its sizes and thinning targets; reckoning a block still uses it, so a limited person's figures are
/// the same as the owner's.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Scope {
    pub(crate) operation: OperationId,
    pub(crate) farms: Option<Vec<FarmId>>,
    pub(crate) role: Role,
    pub(crate) user: UserId,
}

impl Scope {
    /// The role.
    pub const fn role(&self) -> Role {
        self.role
    }

    /// Whether the role carries the right.
    pub const fn may(&self, right: Right) -> bool {
        self.role.may(right)
    }

    /// The person.
    pub const fn user(&self) -> UserId {
        self.user
    }

    /// The operation.
    pub const fn operation(&self) -> OperationId {
        self.operation
    }

    /// The farms the person is limited to; `None` means all.
    pub fn farms(&self) -> Option<&[FarmId]> {
        self.farms.as_deref()
    }

    /// Whether the person sees the whole operation.
    pub const fn sees_all(&self) -> bool {
        self.farms.is_none()
    }

    pub(crate) fn sees_farm(&self, farm: uuid::Uuid) -> bool {
        self.farms.as_ref().is_none_or(|farms| farms.contains(&FarmId(farm)))
    }
}
