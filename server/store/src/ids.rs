//! Identifiers: UUIDv7 made by us from an injected source, never by the database, so offline entry,
//! restore and sharding need no counter. A type each, so a farm cannot be taken for a block.

use core::fmt;
use core::str::FromStr;

use uuid::Uuid;

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub(crate) Uuid);
        impl $name {
            /// The bare identifier.
            pub const fn uuid(self) -> Uuid {
                self.0
            }
        }
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }
        /// Any well-formed identifier; whether there is such a thing in scope only the store can say.
        impl FromStr for $name {
            type Err = uuid::Error;
            fn from_str(text: &str) -> Result<Self, Self::Err> {
                text.parse().map(Self)
            }
        }
    )*};
}

ids! {
    /// An operation: one grower's book.
    OperationId;
    /// A person who may sign in.
    UserId;
    /// A farm.
    FarmId;
    /// A block.
    BlockId;
    /// A key of another program.
    ProgramKeyId;
}
