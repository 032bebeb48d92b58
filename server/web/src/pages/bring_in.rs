//! Bring in a file: choose it, and see what came of it, row by row where something was wrong.

use actix_web::http::StatusCode;
use askama::Template;
use chrono::NaiveDate;
use intake::FileKind;
use store::{Doubles, Right};

use crate::body::Upload;
use crate::bring_in::{BringInError, BroughtIn, Refusal, Wishes, bring_in_file};
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
    /// What was wished beyond the plain rule.
    sure: bool,
    bring_back: bool,
    doubles: &'static str,
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
    Refused(Box<Refusal>),
}

impl BringIn {
    fn of(shell: Shell, upload: Option<&Upload>, outcome: Outcome) -> Self {
        let may = FileKind::all().filter(|kind| shell.may(to_bring_in(*kind)));
        let kinds = may.map(|kind| (kind.word(), kind_title(kind))).collect();
        let text = |name| upload.map(|upload| upload.get(name).to_owned()).unwrap_or_default();
        let file = upload.map(|upload| upload.name.clone()).unwrap_or_default();
        let wishes = upload.map(|upload| wishes(upload, shell.today));
        Self {
            kind: text("kind"),
            season: text("season"),
            file,
            sure: wishes.is_some_and(|wishes| wishes.sure),
            bring_back: wishes.is_some_and(|wishes| wishes.bring_back),
            doubles: word(wishes.map(|wishes| wishes.doubles).unwrap_or_default()),
            shell,
            kinds,
            outcome,
        }
    }

    /// What a row that looks like a record of the book is done with: word and sentence.
    const DOUBLES: [(&'static str, &'static str); 3] = [
        (word(Doubles::Ask), "ask about them and keep nothing yet"),
        (word(Doubles::LeaveOut), "leave them out and bring in the rest"),
        (word(Doubles::Add), "add them: the work was done, or the bill paid, twice"),
    ];

    /// The wishes are in sight where one of them was made or is asked for.
    fn wishes_shown(&self) -> bool {
        let asked = match &self.outcome {
            Outcome::Refused(refusal) => !refusal.questions.is_empty() || !refusal.doubles.is_empty(),
            Outcome::Kept(kept) => !kept.kept_out.is_empty(),
            Outcome::Blank | Outcome::Asked(_) => false,
        };
        asked || self.sure || self.bring_back || self.doubles != word(Doubles::Ask)
    }
}

const fn word(doubles: Doubles) -> &'static str {
    match doubles {
        Doubles::Ask => "ask",
        Doubles::Add => "add",
        Doubles::LeaveOut => "leave-out",
    }
}

/// What a word for doubles means: `ask`, `add` or `leave-out`.
pub(crate) fn doubles_of(said: &str) -> Option<Doubles> {
    [Doubles::Ask, Doubles::Add, Doubles::LeaveOut].into_iter().find(|way| word(*way) == said)
}

fn wishes(upload: &Upload, today: NaiveDate) -> Wishes {
    Wishes {
        sure: !upload.get("sure").is_empty(),
        bring_back: !upload.get("bring_back").is_empty(),
        doubles: doubles_of(upload.get("doubles")).unwrap_or_default(),
        ..Wishes::on(today)
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
    let wishes = wishes(&upload, shell.today);
    match bring_in_file(store, scope, kind, &upload.name, bytes, year, &wishes).await {
        Ok(kept) => show(&BringIn::of(shell, Some(&upload), Outcome::Kept(kept))),
        Err(BringInError::Refused(refusal)) => {
            show_with(StatusCode::UNPROCESSABLE_ENTITY, &BringIn::of(shell, Some(&upload), Outcome::Refused(refusal)))
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
