//! Work due as files: the crew's sheet on paper, and events for any calendar.

use actix_web::{HttpRequest, web};
use print::calendar;
use print::report::crew::{self, CrewSheet};
use reckon::crew::key;
use reckon::due::DueBlock;
use reckon::language::Language;
use store::FarmId;

use super::{Asked, FieldWork, block_of, crews_named, listed, work_on};
use crate::app::AppState;
use crate::error::PageError;
use crate::extract::{Reading, SeasonAt, query};
use crate::pages::Page;
use crate::pages::block::file;
use crate::pages::files::paper;
use crate::shell::Shell;

/// GET /season/{year}/due/crew-sheet: `?language=en` or `es`, else both; `?farm=` one farm's blocks;
/// `?crew=` one crew's blocks and those nobody has thinned; `?on=` the day it is for; `?paper=a4`.
pub async fn crew_sheet(reading: Reading, at: SeasonAt, shell: Shell, req: HttpRequest) -> Page {
    let desk = reading.desk();
    let season = desk.season(at.year).await?;
    let languages = languages(&req)?;
    let asked = asked(&req)?;
    let paper = paper(&req)?;
    let today = asked.day(&shell);
    let mut work = desk.field_work(at.year).await?;
    let crew = crew(&req, &work)?;
    if let Some(crew) = &crew {
        work.retain(|(_, records)| DueBlock::until(records, today).is_for(crew));
    }
    let mut place = shell.operation.clone();
    if let Some(id) = chosen(&req, "farm") {
        let farm = desk.farm(id.parse::<FarmId>().map_err(|_| PageError::NotFound)?).await?.farm;
        work.retain(|(_, records)| records.farm.name == farm.name);
        place = format!("{place}, {}", farm.name);
    }
    let found = work_on(&season, &work, today, &desk.field_rules().await?);
    let made = web::block(move || {
        let crew = crew.as_deref().unwrap_or_default();
        let sheet = CrewSheet { operation: &place, crew, today, work: &found, methods: &[], languages: &languages };
        crew::pdf(&sheet, paper)
    });
    let pdf = made.await.map_err(PageError::inside)?.map_err(PageError::inside)?;
    Ok(file("application/pdf", "inline", &format!("crew-sheet-{today}.pdf"), pdf))
}

/// What was chosen; a form sends an empty value for "any".
fn chosen(req: &HttpRequest, name: &str) -> Option<String> {
    query(req, name).filter(|value| !value.trim().is_empty())
}

/// The crew asked for, as the entries spell it; one that no entry in sight names is not found.
fn crew(req: &HttpRequest, work: &FieldWork) -> Result<Option<String>, PageError> {
    let Some(asked) = chosen(req, "crew") else { return Ok(None) };
    let named = crews_named(work).into_iter().find(|name| key(name) == key(&asked));
    named.map(Some).ok_or(PageError::NotFound)
}

/// GET /season/{year}/due.ics: `?language=es` for Spanish.
pub async fn due_calendar(
    reading: Reading,
    at: SeasonAt,
    shell: Shell,
    state: web::Data<AppState>,
    req: HttpRequest,
) -> Page {
    let desk = reading.desk();
    let season = desk.season(at.year).await?;
    let language = languages(&req)?.first().copied().unwrap_or_default();
    let today = asked(&req)?.day(&shell);
    let (work, rules) = (desk.field_work(at.year).await?, desk.field_rules().await?);
    let found = listed(&season, &shell.seasons, &work, today, &rules);
    let realm = reading.scope().operation().to_string();
    let named = |block: &DueBlock| {
        let id = block_of(&work, &block.code);
        id.map_or_else(|| block.code.clone(), |id| id.to_string())
    };
    let events = calendar::events(&found, at.year, today, language, (&named, &realm));
    let name = format!("{}, {}", shell.operation, at.year);
    let text = calendar::calendar(&name, state.source.now().naive_utc(), &events);
    Ok(file("text/calendar; charset=utf-8", "attachment", &format!("work-due-{}.ics", at.year), text.into_bytes()))
}

/// The language asked for, else both.
fn languages(req: &HttpRequest) -> Result<Vec<Language>, PageError> {
    match chosen(req, "language") {
        None => Ok(Language::ALL.to_vec()),
        Some(word) => Language::from_word(&word).map(|one| vec![one]).ok_or(PageError::NotFound),
    }
}

/// A file has no field to show a problem at: a day that does not read is not found.
fn asked(req: &HttpRequest) -> Result<Asked, PageError> {
    let asked = Asked::read(req);
    if asked.problem.is_some() { Err(PageError::NotFound) } else { Ok(asked) }
}
