//! A record that somebody removed while its page was open: who, when, and what was typed, ready to be
//! added anew.

use actix_web::http::StatusCode;
use askama::Template;
use serde_json::Value;
use store::{BlockId, Change};
use uuid::Uuid;

use super::List;
use super::fields::{Fields, Shape};
use crate::body::Form;
use crate::error::PageError;
use crate::extract::{RecordAt, Writing};
use crate::moment::Moment;
use crate::pages::{Page, show_with};
use crate::routes::to;
use crate::shell::Shell;

#[derive(Template)]
#[template(path = "records/gone.html")]
struct Gone {
    shell: Shell,
    list: List,
    key: Uuid,
    by: String,
    on: Moment,
    /// What was typed; `None` where nothing was.
    fields: Option<Fields>,
}

impl Gone {
    fn action(&self) -> String {
        to::add(self.list.at.year, self.list.at.block, self.list.at.kind)
    }
}

/// The page of a record that is not there any more, 410; `error` where it never was in this list.
pub(super) async fn gone(
    writing: &Writing,
    shell: Shell,
    list: List,
    at: RecordAt,
    key: Uuid,
    typed: Option<&Form>,
    error: PageError,
) -> Page {
    if !matches!(error, PageError::NotFound) {
        return Err(error);
    }
    let removal = writing.desk().removal(at.list.kind, at.id).await?;
    let removal = removal.filter(|removal| stood_here(&list, removal)).ok_or(error)?;
    let fields = typed.map(|form| Fields::of(&list, form.fields(), &[]));
    let on = shell.moment(removal.at);
    show_with(StatusCode::GONE, &Gone { shell, list, key, by: removal.by, on, fields })
}

/// Whether the removed record stood in this list: its block and its day say so.
fn stood_here(list: &List, removal: &Change) -> bool {
    let row: Value = removal.before.as_deref().and_then(|text| serde_json::from_str(text).ok()).unwrap_or_default();
    let text = |name| row.get(name).and_then(Value::as_str);
    let block = text("block_id").and_then(|id| id.parse::<BlockId>().ok());
    let day = text("day").and_then(|day| day.parse().ok());
    block == list.at.block && day.is_some_and(|day| list.takes_day(day))
}
