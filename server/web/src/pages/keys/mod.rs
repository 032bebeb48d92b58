//! Keys for other programs: a person's own, made, listed and taken away; and what a program may say.

#[cfg(test)]
mod tests;

use actix_web::http::StatusCode;
use actix_web::web;
use askama::Template;
use store::{ProgramKey, ProgramKeyId};

use crate::api::{STATUSES, key};
use crate::app::AppState;
use crate::body::Form;
use crate::error::PageError;
use crate::extract::{KeyAt, Reading, Writing};
use crate::moment::Moment;
use crate::pages::{Page, see_other, show, show_with};
use crate::routes::to;
use crate::session::hash;
use crate::shell::Shell;

#[derive(Template)]
#[template(path = "keys/keys.html")]
struct OwnKeys {
    shell: Shell,
    keys: Vec<Shown>,
    /// The name as typed.
    name: String,
    problem: Option<&'static str>,
}

/// A key in the list.
pub(crate) struct Shown {
    pub(crate) name: String,
    pub(crate) made: Moment,
    /// When it was last used; `None` for never.
    pub(crate) used: Option<Moment>,
    /// Where it is taken away.
    pub(crate) remove: String,
}

impl Shown {
    pub(crate) fn of(shell: &Shell, row: &ProgramKey, remove: impl Fn(ProgramKeyId) -> String) -> Self {
        Self {
            name: row.name.clone(),
            made: shell.moment(row.made_at),
            used: row.used_at.map(|at| shell.moment(at)),
            remove: remove(row.id),
        }
    }
}

impl OwnKeys {
    fn of(shell: Shell, rows: &[ProgramKey], name: &str, problem: Option<&'static str>) -> Self {
        let keys = rows.iter().map(|row| Shown::of(&shell, row, to::remove_key)).collect();
        Self { shell, keys, name: name.to_owned(), problem }
    }
}

/// GET /keys
pub async fn keys_page(reading: Reading, shell: Shell) -> Page {
    let rows = reading.desk().program_keys().await?;
    show(&OwnKeys::of(shell, &rows, "", None))
}

/// A key that is shown this once.
#[derive(Template)]
#[template(path = "keys/given.html")]
struct Given {
    shell: Shell,
    name: String,
    key: String,
}

/// POST /keys: the answer is the page with the key. Sent again, the name is taken.
pub async fn keys_sent(state: web::Data<AppState>, writing: Writing, shell: Shell, form: Form) -> Page {
    let rows = writing.desk().program_keys().await?;
    let name = form.get("name").trim();
    if let Some(problem) = wrong(&rows, name) {
        return show_with(StatusCode::UNPROCESSABLE_ENTITY, &OwnKeys::of(shell, &rows, name, Some(problem)));
    }
    let secret = state.source.secret();
    let mut book = writing.open().await?;
    book.add_program_key(name, hash(&secret)).await?;
    book.save().await?;
    show(&Given { shell: shell.below(to::keys()), name: name.to_owned(), key: key::text(&secret) })
}

fn wrong(rows: &[ProgramKey], name: &str) -> Option<&'static str> {
    if name.is_empty() || name.chars().count() > 60 || name.chars().any(char::is_control) {
        Some("Give a name of 1 to 60 characters, for example packing line.")
    } else if rows.iter().any(|row| row.name == name) {
        Some("You have a key of this name. Choose another name, or take that key away first.")
    } else {
        None
    }
}

#[derive(Template)]
#[template(path = "keys/remove.html")]
struct Remove {
    shell: Shell,
    key: Shown,
}

/// GET /keys/{key}/remove
pub async fn remove_page(reading: Reading, shell: Shell, at: KeyAt) -> Page {
    let rows = reading.desk().program_keys().await?;
    let row = rows.iter().find(|row| row.id == at.key).ok_or(PageError::NotFound)?;
    let key = Shown::of(&shell, row, to::remove_key);
    show(&Remove { shell: shell.below(to::keys()), key })
}

/// POST /keys/{key}/remove
pub async fn remove_sent(writing: Writing, at: KeyAt, _form: Form) -> Page {
    let mut book = writing.open().await?;
    book.remove_program_key(at.key).await?;
    book.save().await?;
    Ok(see_other(&format!("{}?said=key-removed", to::keys())))
}

/// What a program sends and is told.
#[derive(Template)]
#[template(path = "keys/how.html")]
struct How {
    shell: Shell,
    year: i32,
    kinds: Vec<&'static str>,
}

impl How {
    const fn request() -> &'static str {
        REQUEST
    }

    const fn statuses() -> [(u16, &'static str); 9] {
        STATUSES
    }

    const fn answer() -> &'static str {
        ANSWER
    }
}

/// The worked example: two days of a crew.
pub(crate) const REQUEST: &str = r#"{"records": [
  {"date": "2026-05-14", "block": "RB-1", "task": "thin", "crew": "Crew Arroyo", "people": "8", "hours_each": "7.5", "trees_done": "310"},
  {"date": "2026-05-15", "block": "RB-1", "task": "thin", "crew": "Crew Arroyo", "people": "8", "hours_each": "7.5", "trees_done": "320"}
]}"#;

/// What it is answered in a book that holds neither.
pub(crate) const ANSWER: &str = r#"{"added":2,"already_there":0,"kept_out":0,"left_out":0}"#;

/// GET /keys/how
pub async fn how_page(shell: Shell) -> Page {
    let kinds = reckon::figure::RecordKind::ALL.into_iter().map(reckon::figure::RecordKind::word).collect();
    let year = shell.year();
    show(&How { shell: shell.below(to::keys()), year, kinds })
}
