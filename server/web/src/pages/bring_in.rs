//! Bring in a file: choose it, and see what came of it, row by row where something was wrong.

use actix_web::http::StatusCode;
use askama::Template;
use intake::{FileKind, Problem};
use store::Right;

use crate::body::Upload;
use crate::bring_in::{BringInError, BroughtIn, bring_in_file};
use crate::display;
use crate::error::PageError;
use crate::extract::Writing;
use crate::pages::{Page, capital, show, show_with};
use crate::routes::to;
use crate::shell::Shell;

#[derive(Template)]
#[template(path = "bring_in/bring_in.html")]
struct BringIn {
    shell: Shell,
    /// Kinds the person may bring in: word and title.
    kinds: Vec<(&'static str, String)>,
    /// What was chosen: word of the kind, and year.
    kind: String,
    season: String,
    /// Name of the file that was sent.
    file: String,
    outcome: Outcome,
}

enum Outcome {
    /// Nothing was sent yet.
    Blank,
    /// Kind or file is missing.
    Asked(&'static str),
    /// Whole file kept.
    Kept(BroughtIn),
    /// Nothing kept.
    Problems(Vec<Problem>),
}

impl BringIn {
    fn of(shell: Shell, upload: Option<&Upload>, outcome: Outcome) -> Self {
        let may = FileKind::all().filter(|kind| shell.may(to_bring_in(*kind)));
        let kinds = may.map(|kind| (kind.word(), kind_title(kind))).collect();
        let text = |name| upload.map(|upload| upload.get(name).to_owned()).unwrap_or_default();
        let file = upload.map(|upload| upload.name.clone()).unwrap_or_default();
        Self { kind: text("kind"), season: text("season"), file, shell, kinds, outcome }
    }
}

/// Farms and blocks are set up; records are brought in.
const fn to_bring_in(kind: FileKind) -> Right {
    match kind {
        FileKind::Farms | FileKind::Blocks => Right::SetUp,
        FileKind::Records(_) => Right::BringIn,
    }
}

/// "Labor entries": a kind of file as a heading.
pub(crate) fn kind_title(kind: FileKind) -> String {
    match kind {
        FileKind::Farms => "Farms".to_owned(),
        FileKind::Blocks => "Blocks".to_owned(),
        FileKind::Records(kind) => capital(display::kind_words(kind).1),
    }
}

/// GET /bring-in
pub async fn bring_in_page(shell: Shell) -> Page {
    show(&BringIn::of(shell, None, Outcome::Blank))
}

/// POST /bring-in
pub async fn bring_in_sent(writing: Writing, shell: Shell, mut upload: Upload) -> Page {
    let Some(kind) = FileKind::from_word(upload.get("kind")) else {
        return asked(shell, &upload, "Choose what the file holds.");
    };
    if upload.name.is_empty() {
        return asked(shell, &upload, "Choose a file.");
    }
    let Ok(year) = year(upload.get("season")) else {
        return asked(shell, &upload, "Choose a season of the book, or leave that to the days in the file.");
    };
    let bytes = std::mem::take(&mut upload.bytes);
    let (store, scope) = writing.parts();
    match bring_in_file(store, scope, kind, &upload.name, bytes, year).await {
        Ok(kept) => show(&BringIn::of(shell, Some(&upload), Outcome::Kept(kept))),
        Err(BringInError::Problems(problems)) => {
            show_with(StatusCode::UNPROCESSABLE_ENTITY, &BringIn::of(shell, Some(&upload), Outcome::Problems(problems)))
        }
        Err(BringInError::Store(error)) => Err(error.into()),
        Err(other) => Err(PageError::inside(other)),
    }
}

fn asked(shell: Shell, upload: &Upload, sentence: &'static str) -> Page {
    show_with(StatusCode::UNPROCESSABLE_ENTITY, &BringIn::of(shell, Some(upload), Outcome::Asked(sentence)))
}

/// No year leaves the season to the days in the file.
fn year(text: &str) -> Result<Option<i32>, std::num::ParseIntError> {
    if text.is_empty() { Ok(None) } else { text.parse().map(Some) }
}
