//! What was changed, by whom, when: one line for each change, in the same transaction.

use chrono::{DateTime, Utc};
use sea_orm::{Iterable, ModelTrait, Value};
use serde_json::{Map, Value as Json};
use uuid::Uuid;

use crate::error::StoreError;
use crate::read::{Bad, word};
use crate::tables::ledger::change;
use crate::tables::places::{block, block_setting};

/// What was done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verb {
    /// Something new was kept.
    Added,
    /// Something kept was changed.
    Corrected,
    /// Something kept was taken away.
    Removed,
    /// A file was brought in; its rows carry its name and line.
    BroughtIn,
    /// A season was opened.
    Opened,
    /// A season was closed.
    Closed,
    /// A closed season was opened again.
    Reopened,
}

impl Verb {
    /// Every verb.
    pub const ALL: [Self; 7] =
        [Self::Added, Self::Corrected, Self::Removed, Self::BroughtIn, Self::Opened, Self::Closed, Self::Reopened];

    /// The word in the database and on the page.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Added => "added",
            Self::Corrected => "corrected",
            Self::Removed => "removed",
            Self::BroughtIn => "brought in",
            Self::Opened => "opened",
            Self::Closed => "closed",
            Self::Reopened => "reopened",
        }
    }
}

/// One line of the audit trail.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// When.
    pub at: DateTime<Utc>,
    /// Who, by name.
    pub by: String,
    /// What was done.
    pub verb: Verb,
    /// To what: a record kind's word, or "farm", "block", "season", "person".
    pub kind: String,
    /// Its identifier. A season has none of its own: the operation's.
    pub record_id: Uuid,
    /// Where: a block's code, a farm's or a station's name, a file's name, a season's year.
    pub place: String,
    /// The row before, as JSON.
    pub before: Option<String>,
    /// The row after, as JSON; for a file its counts.
    pub after: Option<String>,
}

impl Change {
    pub(crate) fn of(row: change::Model, by: String) -> Result<Self, StoreError> {
        let verb = word(&Verb::ALL, Verb::word, &row.verb, "verb").map_err(|bad: Bad| bad.at("change", row.id))?;
        Ok(Self {
            at: row.at,
            by,
            verb,
            kind: row.kind,
            record_id: row.record_id,
            place: row.place,
            before: row.before,
            after: row.after,
        })
    }
}

/// A row as JSON text: column names and values, without what only the store needs.
pub(crate) fn row_text<M: ModelTrait>(row: &M) -> String {
    Json::Object(object(row)).to_string()
}

/// A row with one more thing to say about the change.
pub(crate) fn row_text_and<M: ModelTrait>(row: &M, name: &str, text: &str) -> String {
    let mut object = object(row);
    object.insert(name.to_owned(), text.into());
    Json::Object(object).to_string()
}

/// A block's row with its settings.
pub(crate) fn block_text(row: &block::Model, settings: &[block_setting::Model]) -> String {
    let settings: Map<String, Json> = settings.iter().map(|s| (s.name.clone(), s.value.into())).collect();
    let mut object = object(row);
    object.insert("settings".to_owned(), Json::Object(settings));
    Json::Object(object).to_string()
}

fn object<M: ModelTrait>(row: &M) -> Map<String, Json> {
    let mut object = Map::new();
    for column in <M::Entity as sea_orm::EntityTrait>::Column::iter() {
        let name = sea_orm::IdenStatic::as_str(&column);
        if !matches!(name, "operation_id" | "row_print") {
            object.insert(name.to_owned(), json(row.get(column)));
        }
    }
    object
}

fn json(value: Value) -> Json {
    match value {
        Value::Bool(value) => value.into(),
        Value::BigInt(value) => value.into(),
        Value::Double(value) => value.into(),
        Value::String(value) => value.into(),
        Value::Uuid(value) => value.map(|id| id.to_string()).into(),
        Value::ChronoDate(value) => value.map(|day| day.to_string()).into(),
        Value::ChronoDateTimeUtc(value) => value.map(|at| at.to_rfc3339()).into(),
        // No other type has a column, and an audit line must not fail for a new one.
        other => Json::String(format!("{other:?}")),
    }
}
