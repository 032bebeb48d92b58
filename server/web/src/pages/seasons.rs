//! The list of seasons, opening one, and the way to the newest.

use actix_web::http::StatusCode;
use askama::Template;
use chrono::NaiveDate;
use reckon::block::Season;
use store::{Constraint, StoreError};

use crate::body::Form;
use crate::error::PageError;
use crate::extract::{Reading, Writing};
use crate::pages::{Page, see_other, show, show_with};
use crate::routes::to;
use crate::shell::Shell;

#[derive(Template)]
#[template(path = "seasons/seasons.html")]
struct Seasons {
    shell: Shell,
    year: String,
    first_day: String,
    last_day: String,
    problems: Vec<(&'static str, &'static str)>,
}

impl Seasons {
    fn problem(&self, field: &str) -> Option<&'static str> {
        self.problems.iter().find(|(name, _)| *name == field).map(|(_, sentence)| *sentence)
    }
}

/// GET /: on to the newest season, or to the page where one is opened.
pub async fn newest_page(reading: Reading) -> Page {
    let seasons = reading.desk().seasons().await?;
    Ok(see_other(&seasons.first().map_or_else(to::seasons, |season| to::season(season.year))))
}

/// GET /seasons
pub async fn seasons_page(shell: Shell) -> Page {
    let next = shell.seasons.first().map_or_else(|| shell.year(), |season| season.year.saturating_add(1));
    let (first_day, last_day) = Default::default();
    show(&Seasons { shell, year: next.to_string(), first_day, last_day, problems: Vec::new() })
}

/// POST /seasons
pub async fn seasons_sent(writing: Writing, shell: Shell, form: Form) -> Page {
    let text = |name| form.get(name).to_owned();
    let (year, first_day, last_day) = (text("year"), text("first_day"), text("last_day"));
    let mut page = Seasons { shell, year, first_day, last_day, problems: Vec::new() };
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_year_has_four_digits() {
        assert_eq!(year_of(" 2026 "), Some(2026));
        for text in ["", "26", "20265", "1066", "2,026", "+202"] {
            assert_eq!(year_of(text), None, "{text}");
        }
    }
}
