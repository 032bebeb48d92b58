//! Bringing in a file: read it whole, find what its rows belong to, keep all of it or nothing.
//!
//! Pages and the command line both come through here.

use chrono::{DateTime, NaiveDate, Utc};
use intake::{Context, FileKind, FileRead, Parsed, Problem, ReadRow};
use reckon::block::{Season, SeasonState};
use reckon::figure::RecordKind;
use reckon::records::Record;
use store::{Desk, FileFacts, Right, RowIn, Scope, Store, StoreError};
use thiserror::Error;

use crate::display;
use crate::place::Places;

mod set_up;

/// What came of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BroughtIn {
    /// Rows that are new in the book.
    pub added: usize,
    /// Rows that stood in it already.
    pub already: usize,
    /// When the very same file was brought in before.
    pub same_file: Option<DateTime<Utc>>,
    /// How the file was read, where that is worth saying: "semicolons between cells".
    pub remarks: Vec<String>,
}

impl BroughtIn {
    /// What came of it, in one sentence.
    pub fn sentence(&self) -> String {
        let rows = |n| print::figures::counted(n, "row", "rows");
        match (self.added, self.already, self.same_file) {
            (_, _, Some(before)) => {
                let day = display::full_day(before.date_naive());
                format!("This very file was brought in on {day}; nothing was added.")
            }
            (0, _, None) => "Every row of this file is already in the book; nothing was added.".to_owned(),
            (added, 0, None) => format!("Brought in {}.", rows(added)),
            (added, already, None) => {
                let stood = if already == 1 { "was" } else { "were" };
                format!("Brought in {}; {} {stood} already in the book.", rows(added), rows(already))
            }
        }
    }
}

/// Why a file was not brought in. Nothing of it was kept.
#[derive(Debug, Error)]
pub enum BringInError {
    /// The file, row by row.
    #[error("{}", sentences(.0))]
    Problems(Vec<Problem>),
    /// The book.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// Reading was broken off; a fault of the program.
    #[error("reading the file was broken off")]
    BrokenOff(#[from] tokio::task::JoinError),
}

fn sentences(problems: &[Problem]) -> String {
    problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

/// Brings in a CSV file of a kind under its name. With a year every row must fall in that season;
/// without one each row goes to the season that holds its day.
///
/// # Errors
/// [`BringInError::Problems`] with every problem of the file; or what the store refused.
pub async fn bring_in_file(
    store: &Store,
    scope: &Scope,
    kind: FileKind,
    name: &str,
    bytes: Vec<u8>,
    season_year: Option<i32>,
) -> Result<BroughtIn, BringInError> {
    let desk = store.desk(scope);
    let season = match season_year {
        Some(year) => Some(desk.season(year).await?),
        None => None,
    };
    let read = read(kind, bytes, season).await?;
    match kind {
        FileKind::Farms => set_up::farms(store, scope, read).await,
        FileKind::Blocks => set_up::blocks(store, scope, read).await,
        FileKind::Records(kind) => records(store, scope, kind, name, read).await,
    }
}

/// Reads the file away from the threads that answer requests: 20 MB take a while.
async fn read(kind: FileKind, bytes: Vec<u8>, season: Option<Season>) -> Result<FileRead, BringInError> {
    let read = move || intake::read_file(kind, &bytes, &Context { season: season.as_ref(), block: None });
    tokio::task::spawn_blocking(read).await?.map_err(BringInError::Problems)
}

async fn records(
    store: &Store,
    scope: &Scope,
    kind: RecordKind,
    name: &str,
    read: FileRead,
) -> Result<BroughtIn, BringInError> {
    let desk = store.desk(scope);
    let FileRead { sha256, rows, remarks } = read;
    let facts = FileFacts { name: name.to_owned(), kind_word: kind.word().to_owned(), sha256, rows: rows.len() };
    let seasons = desk.seasons().await?;
    let rows = placed(&desk, kind, &seasons, rows).await?;
    let mut book = store.book(scope, Right::BringIn).await?;
    let kept = match book.bring_in(&facts, &rows).await {
        Ok(kept) => kept,
        Err(StoreError::Closed) => return Err(BringInError::Problems(first(in_closed(&seasons, &rows)))),
        Err(other) => return Err(other.into()),
    };
    book.save().await?;
    Ok(BroughtIn { added: kept.added, already: kept.already, same_file: kept.same_file, remarks })
}

/// Every row with what it belongs to, or every problem.
async fn placed(
    desk: &Desk<'_>,
    kind: RecordKind,
    seasons: &[Season],
    rows: Vec<ReadRow>,
) -> Result<Vec<RowIn>, BringInError> {
    let places = Places::of(desk).await?;
    let mut problems = Vec::new();
    let mut kept = Vec::with_capacity(rows.len());
    for row in rows {
        let Parsed::Record(record) = row.parsed else { continue };
        let held = in_season(seasons, row.line, &record);
        match held.and_then(|()| places.target(kind, Some(row.line), &row.place)) {
            Ok(target) => kept.push(RowIn { line: row.line, print: row.print, target, record }),
            Err(problem) => problems.push(problem),
        }
    }
    if problems.is_empty() { Ok(kept) } else { Err(BringInError::Problems(first(problems))) }
}

/// What reaches beyond its day (prices, rates, mulch) may lie before the first season.
fn in_season(seasons: &[Season], line: u32, record: &Record) -> Result<(), Problem> {
    let day = record.date();
    let reaches = matches!(record, Record::Price(_) | Record::Rate(_) | Record::Mulch(_));
    if reaches || seasons.iter().any(|season| season.holds(day)) {
        return Ok(());
    }
    let years: Vec<String> = seasons.iter().map(|season| season.year.to_string()).collect();
    let expected = if years.is_empty() {
        "a day of a season; none is open in the book yet".to_owned()
    } else {
        format!("a day of a season in the book: {}", years.join(", "))
    };
    Err(outside(seasons, line, day, expected))
}

/// The rows that may have met a closed season. Those that are in the book already are among them:
/// only the store can tell.
fn in_closed(seasons: &[Season], rows: &[RowIn]) -> Vec<Problem> {
    let closed = seasons.iter().filter(|season| season.state == SeasonState::Closed);
    let closed: Vec<&Season> = closed.collect();
    let meets = |row: &RowIn| {
        let day = row.record.date();
        let reaches = matches!(row.record, Record::Price(_) | Record::Rate(_) | Record::Mulch(_));
        closed.iter().copied().find(|season| season.holds(day) || (reaches && day <= season.last_day))
    };
    let problem = |row: &RowIn| {
        let season = meets(row)?;
        let expected = format!("nothing new in season {}, which is closed", season.year);
        Some(outside(seasons, row.line, row.record.date(), expected))
    };
    rows.iter().filter_map(problem).collect()
}

fn outside(seasons: &[Season], line: u32, day: NaiveDate, expected: String) -> Problem {
    let open = seasons.iter().find(|season| season.state == SeasonState::Open);
    let example = open.map(|season| season.first_day.to_string()).unwrap_or_default();
    Problem::at(Some(line), "date", &day.to_string(), expected, &example)
}

/// As many as a person can take in, and a last one that says how many more.
fn first(mut problems: Vec<Problem>) -> Vec<Problem> {
    let more = problems.len().saturating_sub(intake::MOST_PROBLEMS);
    problems.truncate(intake::MOST_PROBLEMS);
    if more > 0 {
        let read = format!("{more} more problems");
        let expected = "these first ones to be mended before the rest is listed".to_owned();
        problems.push(Problem { line: None, column: None, read, expected, example: String::new() });
    }
    problems
}
