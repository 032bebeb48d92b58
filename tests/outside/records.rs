//! Records of a block, built in code.

use chrono::NaiveDate;
use reckon::block::{Block, Farm, Season};
use reckon::exact::{Exact, Hours};
use reckon::figure::{Kept, RecordId};
use reckon::money::UnitPrice;
use reckon::records::{FruitCount, LaborEntry, Loading, Pay, Task};
use reckon::season::SeasonRecords;
use rust_decimal::Decimal;

/// A decimal from its text.
pub(crate) fn dec(text: &str) -> Decimal {
    text.parse().unwrap_or_else(|error| panic!("{text}: {error}"))
}

/// An exact quantity from its text.
pub(crate) fn exact<U>(text: &str) -> Exact<U> {
    Exact::new(dec(text)).unwrap_or_else(|error| panic!("{text}: {error}"))
}

/// A unit price from its text.
pub(crate) fn price<U>(text: &str) -> UnitPrice<U> {
    UnitPrice::round(dec(text)).unwrap_or_else(|error| panic!("{text}: {error}"))
}

/// A day of 2016.
pub(crate) fn date(month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2016, month, day).unwrap()
}

/// Records numbered as the lines of a file.
pub(crate) fn kept<R>(records: impl IntoIterator<Item = R>) -> Vec<Kept<R>> {
    (2u32..).zip(records).map(|(line, record)| Kept { id: RecordId::Line(line), record }).collect()
}

/// An hour's work of a task, to be changed by struct update.
pub(crate) fn entry(task: Task) -> LaborEntry {
    LaborEntry {
        date: date(5, 14),
        task,
        method: None,
        pass: None,
        crew: String::new(),
        people: None,
        hours: Some(exact("1")),
        hours_each: None,
        overtime_hours: Hours::ZERO,
        overtime_multiplier: None,
        pay: Pay::Hourly(None),
        loading: Loading::FromRates,
        trees_done: None,
        rows_done: None,
        note: String::new(),
    }
}

/// A whole tree counted before and after.
pub(crate) fn count(sample: &str, before: u32, after: u32) -> FruitCount {
    FruitCount {
        date: date(5, 1),
        sample: sample.into(),
        branch: false,
        before: Some(before),
        after: Some(after),
        shoot: None,
        fruit_diameter: None,
        method: None,
        note: String::new(),
    }
}

/// A block without a record.
pub(crate) fn block(acres: &str, trees: Option<u32>) -> SeasonRecords {
    SeasonRecords::without_records(
        "Published".into(),
        Farm::default(),
        Block { code: "P-1".into(), acres: exact(acres), trees, ..Block::default() },
        Season::calendar_year(2016).unwrap(),
    )
}
