//! What can go wrong in the store. Callers match; nobody parses text.

use chrono::NaiveDate;
use reckon::figure::RecordKind;
use sea_orm::{ConnAcquireErr, DbErr, RuntimeErr, SqlErr};
use uuid::Uuid;

use crate::book::Twin;
use crate::closed::ClosedSeason;
use crate::held::Held;

/// What must be unlike everything else of its kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Constraint {
    /// A person's e-mail.
    Email,
    /// A farm's name in its operation.
    FarmName,
    /// A block's code in its operation.
    BlockCode,
    /// A season's year in its operation.
    SeasonYear,
    /// A season's days: no day belongs to two seasons.
    SeasonDays,
}

impl Constraint {
    const fn sentence(self) -> &'static str {
        match self {
            Self::Email => "another person has this e-mail",
            Self::FarmName => "another farm has this name",
            Self::BlockCode => "another block has this code",
            Self::SeasonYear => "there is a season of this year",
            Self::SeasonDays => "another season holds some of these days",
        }
    }
}

/// A request the store could not meet.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// It is not there, or not in the person's scope: the two are not told apart.
    #[error("there is no such thing in this book")]
    NotFound,
    /// It is in scope, and the role may not do it.
    #[error("this role may not do that")]
    Forbidden,
    /// Somebody changed it since it was read.
    #[error("it was changed by somebody else in the meantime; read it again")]
    Changed,
    /// A name, code or day is taken.
    #[error("{}", .0.sentence())]
    Taken(Constraint),
    /// Something else still needs it.
    #[error("something else still refers to it")]
    InUse,
    /// Nobody would own the operation any more.
    #[error("an operation keeps at least one owner with all farms; make somebody else an owner first")]
    LastOwner,
    /// The season is closed, or the change would reach into one that is.
    #[error("{0}")]
    Closed(ClosedSeason),
    /// No season of the operation holds the day.
    #[error("no season holds {date}; open a season for it, for example 1 January to 31 December")]
    OutsideSeason {
        /// The day.
        date: NaiveDate,
    },
    /// The block's page says that the block does not belong to the season.
    #[error("block {code} does not belong to season {year}; correct its first or last season on its page")]
    NotOfSeason {
        /// Code of the block.
        code: String,
        /// The season.
        year: i32,
    },
    /// A block cannot leave a season it has records of.
    #[error("the block has records of season {year}, so it belongs to it; remove those first")]
    RecordsOfSeason {
        /// The season.
        year: i32,
    },
    /// Rows of a file look like records that are in the book already.
    #[error("{} of the file look like records that are in the book already", .0.len())]
    Doubles(Vec<Twin>),
    /// A season that something hangs on cannot be removed.
    #[error("{0}")]
    SeasonHeld(Box<Held>),
    /// A season that ends before it begins.
    #[error("a season cannot end ({last_day}) before it begins ({first_day})")]
    SeasonEndsFirst {
        /// First day as given.
        first_day: NaiveDate,
        /// Last day as given.
        last_day: NaiveDate,
    },
    /// A record of this kind does not belong to such a place: labor to a block, weather to a station,
    /// prices and rates to the operation. Or a file holds a row of another kind than its own.
    #[error("a record of {} cannot be kept there", .kind.word())]
    Misplaced {
        /// The record's kind.
        kind: RecordKind,
    },
    /// A row makes no sense.
    #[error("row {id} of table {table} makes no sense in column {column}")]
    Corrupt {
        /// Table.
        table: &'static str,
        /// Column.
        column: &'static str,
        /// The row's identifier.
        id: Uuid,
    },
    /// The database is busy; the same request may work a moment later.
    #[error("the database is busy; try again")]
    Busy,
    /// A book cannot be saved after a file that could not be brought in.
    #[error("the file was not brought in, so nothing of this book is saved")]
    HalfDone,
    /// A live PostgreSQL database is copied by its own tool.
    #[error("back up a PostgreSQL database with pg_dump")]
    UsePgDump,
    /// Anything else the database said.
    #[error("the database said: {0}")]
    Db(#[source] DbErr),
}

impl StoreError {
    /// A unique constraint of an insert or an update that can only break this one.
    pub(crate) fn taken(error: DbErr, constraint: Constraint) -> Self {
        match error.sql_err() {
            Some(SqlErr::UniqueConstraintViolation(_)) => Self::Taken(constraint),
            _ => error.into(),
        }
    }
}

impl From<DbErr> for StoreError {
    fn from(error: DbErr) -> Self {
        if is_busy(&error) {
            return Self::Busy;
        }
        match error.sql_err() {
            Some(SqlErr::ForeignKeyConstraintViolation(_)) => Self::InUse,
            _ => Self::Db(error),
        }
    }
}

/// SQLite: locked or busy. PostgreSQL: deadlock, failed serialization, lock not available.
/// Both: no connection became free in time.
fn is_busy(error: &DbErr) -> bool {
    let (DbErr::Exec(inner) | DbErr::Query(inner) | DbErr::Conn(inner)) = error else {
        return matches!(error, DbErr::ConnectionAcquire(ConnAcquireErr::Timeout));
    };
    let RuntimeErr::SqlxError(inner) = inner else { return false };
    let code = inner.as_database_error().and_then(|e| e.code().map(std::borrow::Cow::into_owned));
    // 5 and 6 are SQLITE_BUSY and SQLITE_LOCKED, 261 and 517 their extended forms.
    matches!(code.as_deref(), Some("5" | "6" | "261" | "517" | "773" | "40P01" | "40001" | "55P03"))
}
