//! The kinds: for each a table of columns, a function from a row to a record, and one back.

use chrono::NaiveDate;
use reckon::block::{Block, Farm};
use reckon::figure::RecordKind;
use reckon::records::Record;

use crate::column::Column;
use crate::place::{self, Place};
use crate::row::Row;

pub(crate) mod blocks;
mod canopy;
mod costs;
pub(crate) mod farms;
mod fruit_counts;
mod irrigation;
mod labor;
mod mulch;
mod observations;
mod packout;
mod picks;
mod prices;
mod printed;
mod rates;
pub(crate) mod settings;
mod settlements;
mod sizes;
mod tension;
mod thinning_targets;
mod weather;

pub(crate) use printed::Printed;

/// What a file or a form holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FileKind {
    /// Farms.
    Farms,
    /// Blocks.
    Blocks,
    /// Records of one kind.
    Records(RecordKind),
}

impl FileKind {
    /// Every kind: farms, blocks, then the records in list order.
    pub fn all() -> impl Iterator<Item = Self> {
        [Self::Farms, Self::Blocks].into_iter().chain(RecordKind::ALL.into_iter().map(Self::Records))
    }

    /// The word used on the command line, in addresses and as the CSV file's name.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Farms => "farms",
            Self::Blocks => "blocks",
            Self::Records(kind) => kind.word(),
        }
    }

    /// The kind of this [`FileKind::word`].
    pub fn from_word(word: &str) -> Option<Self> {
        Self::all().find(|kind| kind.word() == word)
    }
}

/// What a row says.
#[derive(Debug, Clone, PartialEq)]
pub enum Parsed {
    /// A farm.
    Farm(Farm),
    /// A block and the name of its farm.
    Block {
        /// Name of the farm.
        farm: String,
        /// The block.
        block: Block,
    },
    /// A record; what it belongs to is the row's [`Place`].
    Record(Record),
}

/// The columns of a kind, in the order of a form.
pub fn columns(kind: FileKind) -> Vec<Column> {
    let table = match kind {
        FileKind::Farms => farms::COLUMNS,
        FileKind::Blocks => return blocks::columns(),
        FileKind::Records(kind) => match kind {
            RecordKind::Labor => labor::COLUMNS,
            RecordKind::FruitCount => fruit_counts::COLUMNS,
            RecordKind::Irrigation => irrigation::COLUMNS,
            RecordKind::Tension => tension::COLUMNS,
            RecordKind::Weather => weather::COLUMNS,
            RecordKind::Canopy => canopy::COLUMNS,
            RecordKind::Mulch => mulch::COLUMNS,
            RecordKind::Pick => picks::COLUMNS,
            RecordKind::Packout => packout::COLUMNS,
            RecordKind::Settlement => settlements::COLUMNS,
            RecordKind::Cost => costs::COLUMNS,
            RecordKind::Price => prices::COLUMNS,
            RecordKind::Rate => rates::COLUMNS,
            RecordKind::Size => sizes::COLUMNS,
            RecordKind::ThinningTarget => thinning_targets::COLUMNS,
            RecordKind::Observation => observations::COLUMNS,
        },
    };
    table.to_vec()
}

/// Reads a row. With a problem in it only its place and its day are left, as far as they can be read.
pub(crate) fn read(kind: FileKind, mut row: Row<'_>) -> Result<(Place, Parsed), (Place, Option<NaiveDate>)> {
    let before = row.found();
    row.check_texts();
    row.check_required(place::excused(row.context().block.is_some()));
    let place = place::read(kind, &mut row);
    let parsed = parsed(kind, &mut row);
    match parsed.filter(|_| row.found() == before) {
        Some(parsed) => Ok((place, parsed)),
        None => Err((place, row.any_date(&["date", "from"]))),
    }
}

fn parsed(kind: FileKind, row: &mut Row<'_>) -> Option<Parsed> {
    let record = match kind {
        FileKind::Farms => return farms::read(row).map(Parsed::Farm),
        FileKind::Blocks => return blocks::read(row).map(|(farm, block)| Parsed::Block { farm, block }),
        FileKind::Records(kind) => match kind {
            RecordKind::Labor => Record::Labor(labor::read(row)?),
            RecordKind::FruitCount => Record::FruitCount(fruit_counts::read(row)?),
            RecordKind::Irrigation => Record::Irrigation(irrigation::read(row)?),
            RecordKind::Tension => Record::Tension(tension::read(row)?),
            RecordKind::Weather => Record::Weather(weather::read(row)?),
            RecordKind::Canopy => Record::Canopy(canopy::read(row)?),
            RecordKind::Mulch => Record::Mulch(mulch::read(row)?),
            RecordKind::Pick => Record::Pick(picks::read(row)?),
            RecordKind::Packout => Record::Packout(packout::read(row)?),
            RecordKind::Settlement => Record::Settlement(settlements::read(row)?),
            RecordKind::Cost => Record::Cost(costs::read(row)?),
            RecordKind::Price => Record::Price(prices::read(row)?),
            RecordKind::Rate => Record::Rate(rates::read(row)?),
            RecordKind::Size => Record::Size(sizes::read(row)?),
            RecordKind::ThinningTarget => Record::ThinningTarget(thinning_targets::read(row)?),
            RecordKind::Observation => Record::Observation(observations::read(row)?),
        },
    };
    Some(Parsed::Record(record))
}

/// The columns that say a row again, filled ones only. [`crate::read_form`] of them, with the
/// place's columns where the record has one, gives the same back.
pub fn print(parsed: &Parsed) -> Vec<(&'static str, String)> {
    match parsed {
        Parsed::Farm(farm) => farms::print(farm),
        Parsed::Block { farm, block } => blocks::print(farm, block),
        Parsed::Record(record) => print_record(record),
    }
}

/// [`print()`] of a record.
pub fn print_record(record: &Record) -> Vec<(&'static str, String)> {
    match record {
        Record::Labor(record) => labor::print(record),
        Record::FruitCount(record) => fruit_counts::print(record),
        Record::Irrigation(record) => irrigation::print(record),
        Record::Tension(record) => tension::print(record),
        Record::Weather(record) => weather::print(record),
        Record::Canopy(record) => canopy::print(record),
        Record::Mulch(record) => mulch::print(record),
        Record::Pick(record) => picks::print(record),
        Record::Packout(record) => packout::print(record),
        Record::Settlement(record) => settlements::print(record),
        Record::Cost(record) => costs::print(record),
        Record::Price(record) => prices::print(record),
        Record::Rate(record) => rates::print(record),
        Record::Size(record) => sizes::print(record),
        Record::ThinningTarget(record) => thinning_targets::print(record),
        Record::Observation(record) => observations::print(record),
    }
}
