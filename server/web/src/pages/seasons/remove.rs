//! Removing a season that was opened by mistake, after a question; or what stands in the way of it.

use actix_web::http::StatusCode;
use askama::Template;
use reckon::figure::RecordKind;
use store::{Held, StoreError};

use super::close::must_see_all;
use crate::body::Form;
use crate::display;
use crate::extract::{SeasonAt, Writing};
use crate::pages::{Page, capital, see_other, show, show_with};
use crate::routes::to;
use crate::shell::Shell;

#[derive(Template)]
#[template(path = "seasons/remove.html")]
pub(super) struct Remove {
    pub(super) shell: Shell,
    pub(super) year: i32,
    pub(super) closed: bool,
    /// Kinds of records it holds, in the words of their lists, with how many.
    pub(super) records: Vec<(String, u64)>,
    /// Blocks that joined the book in it.
    pub(super) joined: Vec<String>,
    pub(super) free: bool,
}

impl Remove {
    pub(super) fn of(shell: Shell, held: &Held) -> Self {
        let many = |kind: RecordKind| capital(display::kind_words(kind).1);
        Self {
            shell,
            year: held.year,
            closed: held.closed,
            records: held.records.iter().map(|(kind, count)| (many(*kind), *count)).collect(),
            joined: held.joined.clone(),
            free: held.is_free(),
        }
    }
}

/// GET /season/{year}/remove
pub async fn remove_page(writing: Writing, shell: Shell, at: SeasonAt) -> Page {
    must_see_all(&writing)?;
    show(&Remove::of(shell, &writing.desk().held(at.year).await?))
}

/// POST /season/{year}/remove
pub async fn remove_sent(writing: Writing, shell: Shell, at: SeasonAt, _form: Form) -> Page {
    must_see_all(&writing)?;
    let mut book = writing.open().await?;
    match book.remove_season(at.year).await {
        Ok(()) => {
            book.save().await?;
            Ok(see_other(&format!("{}?said=season-removed", to::seasons())))
        }
        // A record came while the question stood.
        Err(StoreError::SeasonHeld(held)) => show_with(StatusCode::CONFLICT, &Remove::of(shell, &held)),
        Err(other) => Err(other.into()),
    }
}
