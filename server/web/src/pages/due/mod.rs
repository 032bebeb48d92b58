//! Work due: which block is thinned next, what is late, and the sheets that go to the crews.

mod files;
mod list;
mod noted;
mod rules;

#[cfg(test)]
mod tests;

use core::ops::RangeInclusive;

use actix_web::HttpRequest;
use actix_web::http::StatusCode;
use askama::Template;
use chrono::{Datelike, NaiveDate};
use reckon::block::{Season, SeasonState};
use reckon::crew;
use reckon::due::{self, Due, DueBlock, Timing, WorkDue};
use reckon::field_rules::FieldRules;
use reckon::language::Language;
use reckon::records::{LaborEntry, Task};
use reckon::season::SeasonRecords;
use reckon::wages::{self, InBlock};
use store::{BlockId, Desk, FarmId, Right};

pub use files::{crew_sheet, due_calendar};
pub use rules::{RulesPage, rules_page, rules_sent};

use super::season::BlockSentence;
use crate::display;
use crate::error::PageError;
use crate::extract::{Reading, SeasonAt, query};
use crate::pages::crews::{self, DoubtLine};
use crate::pages::{Page, show_with};
use crate::routes::to;
use crate::shell::Shell;
use list::{DueRow, Nothing, rows, sources};
pub(crate) use noted::pollinizer_doubts;
use noted::{CautionLine, NotedRow, Pollinizers, cautions, noted, pollinizers};

/// Field work of a season, block by block.
pub(crate) type FieldWork = [(BlockId, SeasonRecords)];

/// Work due in a season.
#[derive(Template)]
#[template(path = "due/show.html")]
pub struct DuePage {
    shell: Shell,
    year: i32,
    open: bool,
    on: String,
    problem: Option<String>,
    day: String,
    rows: Vec<DueRow>,
    /// What opens next, where nothing is due.
    nothing: Option<Nothing>,
    late: Vec<BlockSentence>,
    /// Blocks of which it cannot be said.
    without: Vec<String>,
    /// What the records leave open: days of bloom, trees nobody counted.
    left_open: Vec<String>,
    sources: Vec<String>,
    sheets: Vec<(String, String)>,
    /// Crews that the season's entries name: each may have its own sheet.
    crew_names: Vec<String>,
    /// The day that was asked for, for the sheets as well.
    sheet_on: Option<NaiveDate>,
    /// The calendar file in each language.
    calendars: [(String, &'static str); 2],
    /// Days of crews over several blocks that can hardly be as they stand.
    crews: Vec<DoubtLine>,
    /// `None` for a person who does not see every farm.
    pollinizers: Option<Pollinizers>,
    noted: Vec<NotedRow>,
    /// What was seen before these, folded away.
    noted_before: Vec<NotedRow>,
    cautions: Vec<CautionLine>,
}

/// What was seen stands open up to so many rows: on a phone each is three lines.
const NEWEST: usize = 6;

impl DuePage {
    /// From a season's field work, seen on a day. Pollinizers are looked through only for a person who
    /// sees every farm: a block on another farm would seem not to exist.
    pub fn of(
        shell: Shell,
        season: &Season,
        asked: Asked,
        work: &FieldWork,
        rules: &FieldRules,
        sees_all: bool,
    ) -> Self {
        let today = asked.day(&shell);
        let year = season.year;
        let found = work_on(season, work, today, rules);
        let later = list::later(season, &shell.seasons, today);
        let mut noted = noted(year, work, today);
        let noted_before = noted.split_off(noted.len().min(NEWEST));
        let coming = || list::coming(season, &shell.seasons, today, work, rules);
        Self {
            open: season.state == SeasonState::Open,
            day: display::full_day(today),
            rows: rows(year, today, &found.due, work),
            nothing: found.due.is_empty().then(|| Nothing::of(year, later, today, &coming(), work)),
            late: pressing(year, today, work, &found, |timing| timing == Timing::Late),
            without: found.without.iter().map(|without| without.sentence(Language::English)).collect(),
            left_open: found.open,
            sources: sources(&found.due),
            sheets: sheets(&shell, year, asked.on),
            crew_names: crews_named(work),
            sheet_on: asked.on,
            calendars: Language::ALL.map(|language| (to::due_calendar(year, language, asked.on), named(language))),
            crews: crew_doubts(year, work, today),
            pollinizers: sees_all.then(|| pollinizers(year, work, rules, today)),
            noted,
            noted_before,
            cautions: cautions(),
            on: if asked.typed.is_empty() { today.to_string() } else { asked.typed },
            problem: asked.problem,
            shell,
            year,
        }
    }
}

/// GET /season/{year}/due: as it stands today, or `?on=` another day.
pub async fn due_page(reading: Reading, at: SeasonAt, shell: Shell, req: HttpRequest) -> Page {
    let desk = reading.desk();
    let season = desk.season(at.year).await?;
    let work = desk.field_work(at.year).await?;
    let rules = desk.field_rules().await?;
    let asked = Asked::read(&req);
    let status = if asked.problem.is_some() { StatusCode::UNPROCESSABLE_ENTITY } else { StatusCode::OK };
    show_with(status, &DuePage::of(shell, &season, asked, &work, &rules, reading.scope().sees_all()))
}

/// Years of a day that may be asked for.
const YEARS: RangeInclusive<i32> = 1990..=2100;

/// The day that was asked for.
#[derive(Debug, Clone, Default)]
pub struct Asked {
    typed: String,
    on: Option<NaiveDate>,
    problem: Option<String>,
}

impl Asked {
    fn read(req: &HttpRequest) -> Self {
        Self::of(query(req, "on").unwrap_or_default())
    }

    fn of(typed: String) -> Self {
        let on = typed.trim().parse::<NaiveDate>().ok().filter(|day| YEARS.contains(&day.year()));
        let wrong = on.is_none() && !typed.trim().is_empty();
        let problem =
            wrong.then(|| format!("Read \"{}\"; expected a day as year-month-day, such as 2026-04-20.", typed.trim()));
        Self { typed, on, problem }
    }

    fn day(&self, shell: &Shell) -> NaiveDate {
        self.on.unwrap_or(shell.today)
    }
}

fn due_on(work: &FieldWork, season: &Season, today: NaiveDate, rules: &FieldRules) -> WorkDue {
    due::due(&blocks_on(work, today), season, today, rules.windows())
}

/// The same on the season's own page: on a day after the season none of its work is due any more.
fn work_on(season: &Season, work: &FieldWork, today: NaiveDate, rules: &FieldRules) -> WorkDue {
    let found = due_on(work, season, today, rules);
    if today > season.last_day { WorkDue { due: Vec::new(), open: Vec::new(), ..found } } else { found }
}

/// Every window the page lists: the season's own, else those of the season to come.
fn listed(season: &Season, seasons: &[Season], work: &FieldWork, today: NaiveDate, rules: &FieldRules) -> Vec<Due> {
    let found = work_on(season, work, today, rules).due;
    if found.is_empty() { list::coming(season, seasons, today, work, rules) } else { found }
}

/// Crews that work in the trees, as the season's entries name them, each once, in the order of their names.
fn crews_named(work: &FieldWork) -> Vec<String> {
    let thins = |entry: &LaborEntry| matches!(entry.task, Task::Thin | Task::Prune | Task::Pick);
    let entries = work.iter().flat_map(|(_, records)| &records.labor).filter(|kept| thins(&kept.record));
    crew::each_once(entries.map(|kept| kept.record.crew.as_str())).into_iter().map(str::to_owned).collect()
}

fn blocks_on(work: &FieldWork, today: NaiveDate) -> Vec<DueBlock> {
    work.iter().map(|(_, records)| DueBlock::until(records, today)).collect()
}

/// What is late or due now in some blocks of a season, for the pages of the season, of a farm and of a
/// block; nothing once the season is closed.
pub(crate) async fn due_in(
    desk: &Desk<'_>,
    season: &Season,
    today: NaiveDate,
    shown: impl Fn(BlockId) -> bool,
) -> Result<Vec<BlockSentence>, PageError> {
    if season.state == SeasonState::Closed {
        return Ok(Vec::new());
    }
    let mut work = desk.field_work(season.year).await?;
    work.retain(|(id, _)| shown(*id));
    Ok(due_now(season, today, &work, &desk.field_rules().await?))
}

/// The same in sentences, of work already read.
fn due_now(season: &Season, today: NaiveDate, work: &FieldWork, rules: &FieldRules) -> Vec<BlockSentence> {
    pressing(season.year, today, work, &due_on(work, season, today, rules), |timing| timing != Timing::Ahead)
}

/// Crews' days up to a day that are too long, or stand under two blocks.
fn crew_doubts(year: i32, work: &FieldWork, today: NaiveDate) -> Vec<DoubtLine> {
    let entries = || work.iter().flat_map(|(id, records)| records.labor.iter().map(move |kept| (*id, records, kept)));
    let labor: Vec<InBlock<'_>> = entries()
        .filter(|(_, _, kept)| kept.record.date <= today)
        .map(|(_, records, kept)| InBlock { block: &records.block.code, kept })
        .collect();
    let places = crews::places(entries().map(|(id, records, kept)| (id, records.block.code.as_str(), kept)));
    wages::day_doubts(&labor).iter().map(|gap| crews::doubt(year, gap, &places)).collect()
}

fn pressing(
    year: i32,
    today: NaiveDate,
    work: &FieldWork,
    found: &WorkDue,
    wanted: impl Fn(Timing) -> bool,
) -> Vec<BlockSentence> {
    let pressing = found.due.iter().filter(|due| wanted(due.timing));
    pressing
        .filter_map(|due| {
            let code = &due.block.code;
            let sentence = due.sentence(today, Language::English);
            let text = sentence.strip_prefix(code.as_str()).unwrap_or(&sentence).to_owned();
            Some(BlockSentence { blocks: vec![(to::block(year, block_of(work, code)?), code.clone())], text })
        })
        .collect()
}

/// The block of this code; an operation has each code once.
fn block_of(work: &FieldWork, code: &str) -> Option<BlockId> {
    work.iter().find(|(_, records)| records.block.code == code).map(|(id, _)| *id)
}

const fn named(language: Language) -> &'static str {
    match language {
        Language::English => "English",
        Language::Spanish => "español",
    }
}

/// The crew's sheets: of every farm together, then of each.
fn sheets(shell: &Shell, year: i32, on: Option<NaiveDate>) -> Vec<(String, String)> {
    let each = shell.farms.iter().map(|row| (Some(row.id), row.farm.name.as_str()));
    let all: Vec<(Option<FarmId>, &str)> = std::iter::once((None, "Every farm")).chain(each).collect();
    all.into_iter()
        .flat_map(|(farm, name)| {
            Language::ALL
                .map(|language| (to::crew_sheet(year, farm, language, on), format!("{name}, {}", named(language))))
        })
        .collect()
}
