//! The book's rows: scope, reads, one writing transaction, audit, kept summaries.
//!
//! A request asks the [`Door`] who it is and gets a [`Scope`]; with it the [`Store`] hands out a
//! [`Desk`] that reads and a [`Book`] that writes. Entities and connections are private to this
//! crate, so nothing is read or written without a scope. Rows become reckon's types on the way out;
//! one that makes no sense is [`StoreError::Corrupt`], never a panic.

mod as_closed;
mod audit;
mod book;
mod closed;
mod desk;
mod door;
mod error;
mod gather;
mod guesses;
mod held;
mod ids;
#[cfg(any(test, feature = "kit"))]
pub mod kit;
mod members;
mod observed;
mod programs;
mod raw;
mod read;
mod role;
mod rows;
mod scope;
mod source;
mod store;
mod summary;
mod tables;
mod target;
mod weights;

pub use audit::{Change, Verb};
pub use book::{Book, BroughtIn, Doubles, FileFacts, KeptOut, RowIn, Stated, Twin, TwinOf, Why, Wishes};
pub use closed::ClosedSeason;
pub use desk::{
    BlockRow, BroughtInFile, Closing, CrewEntry, CrewLabor, Desk, FarmRow, Observed, PER_PAGE, PersonRow, ProgramKey,
    RecordFilter, Reopening, ReportRevision, ReportedSeason, SharedOut, StoredRecord,
};
pub use door::{Door, NewUser, ONE_TIME_LASTS, SignedIn};
pub use error::{Constraint, StoreError};
pub use guesses::Failures;
pub use held::Held;
pub use ids::{BlockId, FarmId, OperationId, ProgramKeyId, UserId};
pub use programs::Program;
pub use role::{Right, Role};
pub use scope::Scope;
pub use source::Source;
pub use store::Store;
pub use target::Target;
