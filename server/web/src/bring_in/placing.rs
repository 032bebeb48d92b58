//! From the rows of a file to places and seasons of the book: every problem of them in one round,
//! rows with a mistake in some cell included.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use intake::{FileDraft, Parsed, Place, Problem, UnreadRow};
use reckon::block::{Block, Season, SeasonState};
use reckon::figure::RecordKind;
use reckon::records::{Attach, Cost, Record};
use store::RowIn;

use crate::pages::records::own_season::holds_on;
use crate::place::Places;

/// The rows of a file with what they belong to, and what is wrong with them.
pub(super) struct Placed {
    pub(super) rows: Vec<RowIn>,
    pub(super) problems: Vec<Problem>,
    /// Problems beyond those.
    pub(super) more: usize,
}

pub(super) fn placed(kind: RecordKind, places: &Places, seasons: &[Season], draft: FileDraft) -> Placed {
    let FileDraft { rows, unread, mut problems, more, .. } = draft;
    problems.extend(unread.iter().flat_map(|row| of_unread(kind, places, seasons, row)));
    let mut kept = Vec::with_capacity(rows.len());
    for row in rows {
        let Parsed::Record(record) = row.parsed else { continue };
        let held = in_season(seasons, row.line, &record);
        let target = places.target(kind, Some(row.line), &row.place);
        match (held, target) {
            (Ok(()), Ok(target)) => {
                problems.extend(places.shares(Some(row.line), &target, &record));
                problems.extend(not_of_season(places.block_of(&target), seasons, row.line, &record));
                kept.push(RowIn { line: row.line, print: row.print, target, record });
            }
            (held, target) => problems.extend([held.err(), target.err()].into_iter().flatten()),
        }
    }
    Placed { rows: kept, problems: by_season(problems, seasons), more }
}

/// Rows outside of every season from which they are no slips of the pen: a whole season is missing, and is
/// said once.
const A_SEASON: usize = 4;

/// The problems, with one for all rows of a year of which the book has no season, at its first row.
fn by_season(problems: Vec<Problem>, seasons: &[Season]) -> Vec<Problem> {
    let outside = expected(seasons);
    let year = |problem: &Problem| {
        let read = problem.read.get(..4).filter(|_| problem.expected == outside)?;
        Some(read.to_owned())
    };
    let mut rows: BTreeMap<String, (usize, Option<u32>)> = BTreeMap::new();
    for problem in &problems {
        if let Some(year) = year(problem) {
            let (n, first) = rows.entry(year).or_insert((0, problem.line));
            *n += 1;
            *first = (*first).min(problem.line);
        }
    }
    let said = |problem: Problem| {
        let Some(year) = year(&problem) else { return Some(problem) };
        let (n, first) = rows.get(&year).copied().unwrap_or_default();
        if n < A_SEASON {
            return Some(problem);
        }
        let expected = format!(
            "{outside}. The season of {year} is not open in this book, and {n} rows are of it: open it under Seasons"
        );
        (first == problem.line).then(|| Problem { expected, example: String::new(), ..problem })
    };
    problems.into_iter().filter_map(said).collect()
}

/// What can be said of a row that has a mistake in another cell.
fn of_unread(kind: RecordKind, places: &Places, seasons: &[Season], row: &UnreadRow) -> Vec<Problem> {
    let named = match kind.attach() {
        Attach::Block => row.place.block.is_some(),
        Attach::Station => row.place.station.is_some(),
        Attach::Any => row.place != Place::default(),
        Attach::Operation => false,
    };
    let place = if named { places.target(kind, Some(row.line), &row.place).err() } else { None };
    // Whether an invoice is for something that lasts is in one of the cells that were not read.
    let dated = !reaches_on(kind) && kind != RecordKind::Cost;
    let day = row.day.filter(|day| dated && !seasons.iter().any(|season| season.holds(*day)));
    let day = day.map(|day| outside(seasons, row.line, (kind, day), expected(seasons)));
    day.into_iter().chain(place).collect()
}

/// The column of the day: what holds from a day on says so.
const fn day_column(kind: RecordKind) -> &'static str {
    if holds_on(kind) { "from" } else { "date" }
}

/// What holds or lies for longer than its day may stand before the first season.
const fn reaches_on(kind: RecordKind) -> bool {
    holds_on(kind) || matches!(kind, RecordKind::Mulch)
}

fn in_season(seasons: &[Season], line: u32, record: &Record) -> Result<(), Problem> {
    let day = record.date();
    let held = match record {
        Record::Cost(Cost { lasting: Some(lasting), .. }) => seasons.iter().any(|season| lasting.reaches(day, season)),
        _ => reaches_on(record.kind()) || seasons.iter().any(|season| season.holds(day)),
    };
    if held { Ok(()) } else { Err(outside(seasons, line, (record.kind(), day), expected(seasons))) }
}

fn expected(seasons: &[Season]) -> String {
    let years: Vec<String> = seasons.iter().map(|season| season.year.to_string()).collect();
    if years.is_empty() {
        "a day of a season; none is open in the book yet".to_owned()
    } else {
        format!("a day of a season in the book: {}", years.join(", "))
    }
}

/// A day of a season that the block's page says it does not belong to.
fn not_of_season(block: Option<&Block>, seasons: &[Season], line: u32, record: &Record) -> Option<Problem> {
    let (block, day) = (block?, record.date());
    let year = seasons.iter().find(|season| season.holds(day) && !reaches_on(record.kind()))?.year;
    let early = block.first_season.filter(|first| year < *first).map(|first| format!("begins with season {first}"));
    let late = block.last_season.filter(|last| *last < year).map(|last| format!("ends with season {last}"));
    let said = early.or(late)?;
    let expected = format!("a day of a season of block {}, which {said} as its page says", block.code);
    Some(Problem::at(Some(line), "date", &day.to_string(), expected, ""))
}

pub(super) fn outside(
    seasons: &[Season],
    line: u32,
    (kind, day): (RecordKind, NaiveDate),
    expected: String,
) -> Problem {
    let open = seasons.iter().find(|season| season.state == SeasonState::Open);
    let example = open.map(|season| season.first_day.to_string()).unwrap_or_default();
    Problem::at(Some(line), day_column(kind), &day.to_string(), expected, &example)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn problems(days: &[&str], seasons: &[Season]) -> Vec<Problem> {
        let one = |(at, day): (usize, &&str)| {
            let line = u32::try_from(at).unwrap() + 2;
            outside(seasons, line, (RecordKind::Labor, day.parse().unwrap()), expected(seasons))
        };
        days.iter().enumerate().map(one).collect()
    }

    #[test]
    fn a_season_that_is_not_open_is_said_once() {
        let seasons = [Season::calendar_year(2026).unwrap()];
        let days = ["2025-03-01", "2024-07-09", "2025-03-02", "2025-03-03", "2025-03-04", "2025-03-05"];
        let said: Vec<String> =
            by_season(problems(&days, &seasons), &seasons).iter().map(ToString::to_string).collect();
        assert_eq!(
            said,
            [
                "line 2, column date: read \"2025-03-01\", expected a day of a season in the book: 2026. The season of \
                 2025 is not open in this book, and 5 rows are of it: open it under Seasons",
                "line 3, column date: read \"2024-07-09\", expected a day of a season in the book: 2026, for example \
                 2026-01-01",
            ]
        );
    }
}
