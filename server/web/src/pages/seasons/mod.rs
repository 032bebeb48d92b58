//! The list of seasons; opening, closing, reopening and removing one; and the way to the season in use.

mod close;
mod remove;
mod reopen;
#[cfg(test)]
mod tests;

pub use close::{close_page, close_sent};
pub use remove::{remove_page, remove_sent};
pub use reopen::{reopen_page, reopen_sent};

use actix_web::http::StatusCode;
use askama::Template;
use chrono::NaiveDate;
use reckon::block::{Season, SeasonState};
use store::{Closing, Constraint, StoreError};

use crate::body::Form;
use crate::display;
use crate::error::PageError;
use crate::extract::{Reading, Writing};
use crate::pages::{Page, see_other, show, show_with};
use crate::routes::to;
use crate::shell::Shell;

#[derive(Template)]
#[template(path = "seasons/seasons.html")]
struct Seasons {
    shell: Shell,
    rows: Vec<SeasonRow>,
    year: String,
    first_day: String,
    last_day: String,
    problems: Vec<(&'static str, &'static str)>,
}

/// A season in the list.
struct SeasonRow {
    year: i32,
    first_day: String,
    last_day: String,
    /// `open`, `closed by Ana on 1 Jul 2026`.
    state: String,
    closed: bool,
    /// It is open and was never closed: it may have been opened by mistake.
    may_go: bool,
    /// `Closed by Ana on 1 Jul 2026, reopened by Ben on 3 Jul 2026: a late settlement`
    earlier: Vec<String>,
}

impl SeasonRow {
    fn of(shell: &Shell, season: &Season, closings: &[Closing]) -> Self {
        let mine = || closings.iter().filter(|closing| closing.year == season.year);
        let day = |at| shell.moment(at).day;
        let closed = season.state == SeasonState::Closed;
        let now = mine().next().filter(|closing| closing.reopened.is_none());
        let by = |closing: &Closing| format!("closed by {} on {}", closing.by, day(closing.at));
        let state = match now {
            _ if !closed => "open".to_owned(),
            Some(closing) => by(closing),
            None => "closed".to_owned(),
        };
        let ended = |closing: &Closing| {
            let end = closing.reopened.as_ref()?;
            let by = crate::pages::capital(&by(closing));
            Some(format!("{by}, reopened by {} on {}: {}", end.by, day(end.at), end.reason))
        };
        Self {
            year: season.year,
            first_day: display::full_day(season.first_day),
            last_day: display::full_day(season.last_day),
            state,
            closed,
            may_go: !closed && mine().next().is_none(),
            earlier: mine().filter_map(ended).collect(),
        }
    }
}

impl Seasons {
    async fn of(desk: &store::Desk<'_>, shell: Shell, typed: [String; 3]) -> Result<Self, PageError> {
        let closings = desk.closings().await?;
        let rows = shell.seasons.iter().map(|season| SeasonRow::of(&shell, season, &closings)).collect();
        let [year, first_day, last_day] = typed;
        Ok(Self { shell, rows, year, first_day, last_day, problems: Vec::new() })
    }

    fn problem(&self, field: &str) -> Option<&'static str> {
        self.problems.iter().find(|(name, _)| *name == field).map(|(_, sentence)| *sentence)
    }

    /// Whether the person may open, close and reopen seasons: they concern every farm.
    fn may_turn(&self) -> bool {
        self.shell.sees_all && self.shell.may(store::Right::SetUp)
    }
}

/// GET /: on to the newest season that holds a record, or to the page where one is opened.
pub async fn newest_page(reading: Reading) -> Page {
    let season = reading.desk().newest_season_with_records().await?;
    Ok(see_other(&season.map_or_else(to::seasons, |season| to::season(season.year))))
}

/// GET /seasons
pub async fn seasons_page(reading: Reading, shell: Shell) -> Page {
    let next = shell.seasons.first().map_or_else(|| shell.year(), |season| season.year.saturating_add(1));
    let typed = [next.to_string(), String::new(), String::new()];
    show(&Seasons::of(&reading.desk(), shell, typed).await?)
}

/// POST /seasons
pub async fn seasons_sent(writing: Writing, shell: Shell, form: Form) -> Page {
    let typed = ["year", "first_day", "last_day"].map(|name| form.get(name).to_owned());
    let mut page = Seasons::of(&writing.desk(), shell, typed).await?;
    let opened = match read(&page) {
        Ok(season) => open(&writing, &season).await?,
        Err(problem) => Err(problem),
    };
    match opened {
        Ok(year) => Ok(see_other(&format!("{}?said=season", to::season(year)))),
        Err(problem) => {
            page.problems.push(problem);
            show_with(StatusCode::UNPROCESSABLE_ENTITY, &page)
        }
    }
}

type FieldProblem = (&'static str, &'static str);

async fn open(writing: &Writing, season: &Season) -> Result<Result<i32, FieldProblem>, PageError> {
    let mut book = writing.open().await?;
    match book.open_season(season).await {
        Ok(()) => {
            book.save().await?;
            Ok(Ok(season.year))
        }
        Err(StoreError::Taken(Constraint::SeasonDays)) => {
            Ok(Err(("first_day", "Another season holds some of these days; no day belongs to two.")))
        }
        Err(StoreError::Taken(_)) => Ok(Err(("year", "This season is in the book already."))),
        Err(other) => Err(other.into()),
    }
}

fn read(page: &Seasons) -> Result<Season, FieldProblem> {
    let year = year_of(&page.year).and_then(Season::calendar_year);
    let season = year.ok_or(("year", "Expected a year in four digits, for example 2026."))?;
    let first_day = day(&page.first_day, season.first_day).ok_or(("first_day", NO_DAY))?;
    let last_day = day(&page.last_day, season.last_day).ok_or(("last_day", NO_DAY))?;
    if last_day <= first_day {
        return Err(("last_day", "The last day must come after the first."));
    }
    Ok(Season { first_day, last_day, ..season })
}

const NO_DAY: &str = "Expected a day as year-month-day, for example 2026-11-01, or nothing.";

fn day(text: &str, blank: NaiveDate) -> Option<NaiveDate> {
    let text = text.trim();
    if text.is_empty() { Some(blank) } else { NaiveDate::parse_from_str(text, "%Y-%m-%d").ok() }
}

/// A year in four digits.
pub(crate) fn year_of(text: &str) -> Option<i32> {
    let text = text.trim();
    let four = text.len() == 4 && text.bytes().all(|byte| byte.is_ascii_digit());
    four.then(|| text.parse().ok()).flatten().filter(|year| (1900..=2200).contains(year))
}
