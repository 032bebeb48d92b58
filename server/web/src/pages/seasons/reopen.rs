//! Opening a closed season again, with a reason that stays in the trail.

use actix_web::http::StatusCode;
use askama::Template;
use reckon::block::SeasonState;
use store::Closing;

use super::close::must_see_all;
use crate::body::Form;
use crate::extract::{SeasonAt, Writing};
use crate::pages::{Page, see_other, show, show_with};
use crate::routes::to;
use crate::shell::Shell;

/// Longest reason, in characters.
const LONGEST: usize = 500;

#[derive(Template)]
#[template(path = "seasons/reopen.html")]
pub(super) struct Reopen {
    pub(super) shell: Shell,
    pub(super) year: i32,
    /// `Closed by Ana on 1 Jul 2026.`; empty where the book does not know.
    pub(super) closed: String,
    pub(super) reason: String,
    pub(super) problem: Option<&'static str>,
}

impl Reopen {
    pub(super) fn of(shell: Shell, year: i32, closings: &[Closing]) -> Self {
        let last = closings.first().filter(|closing| closing.reopened.is_none());
        let closed = last.map(|closing| format!("Closed by {} on {}.", closing.by, shell.moment(closing.at).day));
        Self { shell, year, closed: closed.unwrap_or_default(), reason: String::new(), problem: None }
    }

    const fn problem(&self) -> Option<&'static str> {
        self.problem
    }
}

/// GET /season/{year}/reopen
pub async fn reopen_page(writing: Writing, shell: Shell, at: SeasonAt) -> Page {
    let desk = writing.desk();
    must_see_all(&writing)?;
    if desk.season(at.year).await?.state == SeasonState::Open {
        return Ok(see_other(&to::seasons()));
    }
    show(&Reopen::of(shell, at.year, &desk.closings_of(at.year).await?))
}

/// POST /season/{year}/reopen
pub async fn reopen_sent(writing: Writing, shell: Shell, at: SeasonAt, form: Form) -> Page {
    must_see_all(&writing)?;
    let reason = form.get("reason").split_whitespace().collect::<Vec<_>>().join(" ");
    let length = reason.chars().count();
    if length == 0 || length > LONGEST || reason.chars().any(char::is_control) {
        let desk = writing.desk();
        desk.season(at.year).await?;
        let page = Reopen::of(shell, at.year, &desk.closings_of(at.year).await?);
        let problem =
            Some("Say in 1 to 500 characters why the season is opened again, for example: a late settlement.");
        return show_with(StatusCode::UNPROCESSABLE_ENTITY, &Reopen { reason, problem, ..page });
    }
    let mut book = writing.open().await?;
    book.reopen_season(at.year, &reason).await?;
    book.save().await?;
    Ok(see_other(&format!("{}?said=reopened", to::seasons())))
}
