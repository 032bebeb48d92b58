//! First run: an empty book gets its operation, its owner and its first season.

use actix_web::http::StatusCode;
use actix_web::web;
use askama::Template;
use reckon::block::Season;
use store::{NewUser, Right};

use crate::app::AppState;
use crate::body::Form;
use crate::error::PageError;
use crate::pages::people::is_name;
use crate::pages::seasons::year_of;
use crate::pages::{Page, see_other, show, show_with};
use crate::routes::to;
use crate::shell::Shell;
use crate::{email, password, session};

#[derive(Template)]
#[template(path = "first_run/first_run.html")]
struct FirstRun {
    shell: Shell,
    operation: String,
    name: String,
    email: String,
    year: String,
    problems: Vec<(&'static str, &'static str)>,
}

impl FirstRun {
    fn typed(shell: Shell, form: &Form) -> Self {
        let text = |name| form.get(name).to_owned();
        let (operation, name, email, year) = (text("operation"), text("name"), text("email"), text("year"));
        Self { shell, operation, name, email, year, problems: Vec::new() }
    }

    fn problem(&self, field: &str) -> Option<&'static str> {
        self.problems.iter().find(|(name, _)| *name == field).map(|(_, sentence)| *sentence)
    }

    /// The season to open, or every problem of the form at once.
    fn checked(&self, password: &str) -> Result<Season, Vec<(&'static str, &'static str)>> {
        let season = year_of(&self.year).and_then(Season::calendar_year);
        let objection = password::objection(password, &self.email);
        let checks = [
            (is_name(&self.operation), "operation", "Give the operation a name of 200 characters at most."),
            (is_name(&self.name), "name", "Give your name, 200 characters at most."),
            (
                email::may_be(self.email.trim()),
                "email",
                "Give an e-mail with an @ between two parts, for example ana@example.com.",
            ),
            (objection.is_none(), "password", objection.unwrap_or_default()),
            (season.is_some(), "year", "Give the year of the harvest in four digits, for example 2026."),
        ];
        let problems: Vec<_> =
            checks.into_iter().filter(|(fits, ..)| !fits).map(|(_, field, sentence)| (field, sentence)).collect();
        season.filter(|_| problems.is_empty()).ok_or(problems)
    }
}

/// GET /first-run
pub async fn first_run_page(state: web::Data<AppState>, shell: Shell) -> Page {
    only_while_empty(&state).await?;
    let year = shell.year().to_string();
    let (operation, name, email) = Default::default();
    show(&FirstRun { shell, operation, name, email, year, problems: Vec::new() })
}

/// POST /first-run
pub async fn first_run_sent(state: web::Data<AppState>, shell: Shell, form: Form) -> Page {
    only_while_empty(&state).await?;
    let mut page = FirstRun::typed(shell, &form);
    match page.checked(form.get("password")) {
        Ok(season) => found(&state, &page, form.get("password").to_owned(), season).await,
        Err(problems) => {
            page.problems = problems;
            show_with(StatusCode::UNPROCESSABLE_ENTITY, &page)
        }
    }
}

/// Once somebody owns the book, this page does not exist.
async fn only_while_empty(state: &AppState) -> Result<(), PageError> {
    if state.store.door().is_empty().await? { Ok(()) } else { Err(PageError::NotFound) }
}

async fn found(state: &AppState, page: &FirstRun, password: String, season: Season) -> Page {
    let hash = password::hash_aside(password, state.source.secret()).await?;
    let email = page.email.trim().to_lowercase();
    let owner = NewUser { name: page.name.trim(), email: &email, password_hash: &hash };
    let scope = state.store.door().found_operation(page.operation.trim(), owner).await?;
    let mut book = state.store.book(&scope, Right::SetUp).await?;
    book.open_season(&season).await?;
    book.save().await?;
    let mut response = see_other(&format!("{}?said=founded", to::season(season.year)));
    response.add_cookie(&session::begin(state, scope.user()).await?.cookie).map_err(PageError::inside)?;
    Ok(response)
}
