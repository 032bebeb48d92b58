//! A folder of one block's season: `block.toml` and CSV files.

use core::fmt;
use std::collections::BTreeMap;

use chrono::NaiveDate;
use reckon::block::folded;
use reckon::figure::{Kept, RecordId, RecordKind};
use reckon::records::Record;
use reckon::season::SeasonRecords;

use crate::Context;
use crate::file::{FileRead, read_counted};
use crate::kinds::{FileKind, Parsed};
use crate::nearest::nearest;
use crate::problem::{MOST_PROBLEMS, Problem, Problems, more, shown};
use crate::toml_file;

const BLOCK_FILE: &str = "block.toml";

/// A problem and the file it is in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FolderProblem {
    /// Name of the file.
    pub file: String,
    /// What is wrong with it.
    pub problem: Problem,
}

impl fmt::Display for FolderProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let joint = if self.problem.line.is_some() || self.problem.column.is_some() { ", " } else { ": " };
        write!(f, "{}{joint}{}", self.file, self.problem)
    }
}

impl core::error::Error for FolderProblem {}

/// Reads the files of a folder (name to bytes), whole or not at all: everything recorded about one
/// block in one season. Files that are neither `block.toml` nor a CSV file are left alone.
///
/// In a folder every record is the block's own: `block` may be left out, every cost counts whole,
/// and `station` must be the farm's where it is given.
///
/// # Errors
/// Every problem up to [`MOST_PROBLEMS`], each with its file, then how many more. A problem in
/// `block.toml` leaves the CSV files unread, since their dates are checked against its season.
pub fn read_folder(files: &BTreeMap<String, Vec<u8>>) -> Result<SeasonRecords, Vec<FolderProblem>> {
    let mut found = Found::default();
    for name in files.keys().filter(|name| is_csv(name) && kind_of(name).is_none()) {
        found.add(name, Problems::one(unknown_file(name)));
    }
    let block_file =
        files.get(BLOCK_FILE).map_or_else(|| Err(Problems::one(no_block_file())), |bytes| toml_file::read(bytes));
    let block_file = block_file.map_err(|problems| found.add(BLOCK_FILE, problems)).ok();
    let Some(block_file) = block_file else { return Err(found.into_list()) };
    let mut records =
        SeasonRecords::without_records(block_file.operation, block_file.farm, block_file.block, block_file.season);
    for kind in RecordKind::ALL {
        let name = file_name(kind);
        let Some(bytes) = files.get(&name) else { continue };
        if let Err(problems) = take(&mut records, kind, bytes) {
            found.add(&name, problems);
        }
    }
    sort(&mut records);
    if found.count == 0 { Ok(records) } else { Err(found.into_list()) }
}

fn file_name(kind: RecordKind) -> String {
    format!("{}.csv", kind.word())
}

fn kind_of(name: &str) -> Option<RecordKind> {
    name.strip_suffix(".csv").and_then(RecordKind::from_word)
}

fn is_csv(name: &str) -> bool {
    name.to_lowercase().ends_with(".csv")
}

fn no_block_file() -> Problem {
    let expected = "the file block.toml, which says which block and season the other files are about";
    Problem::of_file(None, "no such file", expected, "[block]")
}

fn unknown_file(name: &str) -> Problem {
    let names: Vec<String> = RecordKind::ALL.into_iter().map(file_name).collect();
    let near = nearest(&name.to_lowercase(), names.iter().map(String::as_str));
    let expected = near.map_or_else(
        || format!("only known names: {}", names.join(", ")),
        |near| format!("only known names, perhaps {near}"),
    );
    Problem::of_file(None, &format!("a file named \"{}\"", shown(name)), &expected, "")
}

/// Problems of all files, cut like those of one.
#[derive(Default)]
struct Found {
    list: Vec<FolderProblem>,
    count: usize,
}

impl Found {
    fn add(&mut self, file: &str, problems: Problems) {
        self.count += problems.count();
        let room = MOST_PROBLEMS.saturating_sub(self.list.len());
        let kept = problems.into_kept().into_iter().take(room);
        self.list.extend(kept.map(|problem| FolderProblem { file: file.to_owned(), problem }));
    }

    fn into_list(mut self) -> Vec<FolderProblem> {
        let cut = more(self.count.saturating_sub(self.list.len()));
        self.list.extend(cut.map(|problem| FolderProblem { file: "all files".to_owned(), problem }));
        self.list
    }
}

fn take(records: &mut SeasonRecords, kind: RecordKind, bytes: &[u8]) -> Result<(), Problems> {
    let context = Context { season: Some(&records.season), block: Some(&records.block) };
    let read = read_counted(FileKind::Records(kind), bytes, &context)?;
    check_stations(&read, &records.farm.station)?;
    for row in read.rows {
        if let Parsed::Record(record) = row.parsed {
            push(records, RecordId::Line(row.line), record);
        }
    }
    Ok(())
}

/// Weather of another station than the farm's would be mixed with its own.
fn check_stations(read: &FileRead, own: &str) -> Result<(), Problems> {
    let mut problems = Problems::default();
    for row in &read.rows {
        let other = |station: &&str| !own.is_empty() && folded(station) != folded(own);
        let Some(station) = row.place.station.as_deref().filter(other) else {
            continue;
        };
        problems.add(Problem {
            line: Some(row.line),
            column: Some("station".to_owned()),
            read: shown(station),
            expected: "the farm's own station, or nothing".to_owned(),
            example: own.to_owned(),
        });
    }
    if problems.count() == 0 { Ok(()) } else { Err(problems) }
}

fn push(records: &mut SeasonRecords, id: RecordId, record: Record) {
    match record {
        Record::Labor(record) => records.labor.push(Kept { id, record }),
        Record::FruitCount(record) => records.fruit_counts.push(Kept { id, record }),
        Record::Irrigation(record) => records.irrigation.push(Kept { id, record }),
        Record::Tension(record) => records.tension.push(Kept { id, record }),
        Record::Weather(record) => records.weather.push(Kept { id, record }),
        Record::Canopy(record) => records.canopy.push(Kept { id, record }),
        Record::Mulch(record) => records.mulch.push(Kept { id, record }),
        Record::Pick(record) => records.picks.push(Kept { id, record }),
        Record::Packout(record) => records.packout.push(Kept { id, record }),
        Record::Settlement(record) => records.settlements.push(Kept { id, record }),
        Record::Cost(record) => records.costs.push(Kept { id, record }),
        Record::Price(record) => records.prices.push(Kept { id, record }),
        Record::Rate(record) => records.rates.push(Kept { id, record }),
        Record::Size(record) => records.sizes.push(Kept { id, record }),
        Record::ThinningTarget(record) => records.targets.push(Kept { id, record }),
        Record::Observation(record) => records.observations.push(Kept { id, record }),
    }
}

fn sort(records: &mut SeasonRecords) {
    by_day(&mut records.labor, |record| record.date);
    by_day(&mut records.fruit_counts, |record| record.date);
    by_day(&mut records.irrigation, |record| record.date);
    by_day(&mut records.tension, |record| record.date);
    by_day(&mut records.weather, |record| record.date);
    by_day(&mut records.canopy, |record| record.date);
    by_day(&mut records.mulch, |record| record.date);
    by_day(&mut records.picks, |record| record.date);
    by_day(&mut records.packout, |record| record.date);
    by_day(&mut records.settlements, |record| record.date);
    by_day(&mut records.costs, |record| record.date);
    by_day(&mut records.prices, |record| record.from);
    by_day(&mut records.rates, |record| record.from);
    by_day(&mut records.sizes, |record| record.from);
    by_day(&mut records.targets, |record| record.from);
    by_day(&mut records.observations, |record| record.date);
}

fn by_day<R>(list: &mut [Kept<R>], day: impl Fn(&R) -> NaiveDate) {
    list.sort_by_key(|kept| (day(&kept.record), kept.id));
}
