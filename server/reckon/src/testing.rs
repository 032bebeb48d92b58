//! A small block for tests: 10 acres, 1,000 trees.

use chrono::NaiveDate;

use crate::block::{Block, Farm, Season};
use crate::exact::{Acres, Hours};
use crate::figure::{Kept, RecordId};
use crate::money::{Money, UnitPrice};
use crate::records::{Cost, CostGroup, LaborEntry, Loading, Pay, SharedBasis, Shares, Task};
use crate::season::{SeasonRecords, SharedCost};

/// A day of 2026.
pub(crate) fn date(month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, month, day).unwrap()
}

/// A decimal from its text.
pub(crate) fn dec(text: &str) -> rust_decimal::Decimal {
    text.parse().unwrap()
}

/// Records numbered as the lines of a file.
pub(crate) fn kept<R>(records: impl IntoIterator<Item = R>) -> Vec<Kept<R>> {
    (2u32..).zip(records).map(|(line, record)| Kept { id: RecordId::Line(line), record }).collect()
}

/// A block season without a record.
pub(crate) fn records() -> SeasonRecords {
    SeasonRecords::without_records(
        "Test Orchards".into(),
        Farm { name: "Home".into(), ..Farm::default() },
        Block {
            code: "T-1".into(),
            crop: "peach".into(),
            acres: Acres::whole(10).unwrap(),
            trees: Some(1_000),
            ..Block::default()
        },
        Season::calendar_year(2026).unwrap(),
    )
}

/// A day by the hour, with its own wage and nothing on top.
pub(crate) fn labor_entry(task: Task, hours: &str, wage: &str) -> LaborEntry {
    LaborEntry {
        date: date(5, 14),
        task,
        method: None,
        pass: None,
        crew: String::new(),
        people: None,
        hours: Some(Hours::new(dec(hours)).unwrap()),
        hours_each: None,
        overtime_hours: Hours::ZERO,
        overtime_multiplier: None,
        pay: Pay::Hourly(Some(UnitPrice::round(dec(wage)).unwrap())),
        loading: Loading::FromRates,
        trees_done: None,
        rows_done: None,
        note: String::new(),
    }
}

/// One record with its line.
pub(crate) fn numbered<R>(line: u32, record: R) -> Kept<R> {
    Kept { id: RecordId::Line(line), record }
}

/// An invoice of 3 May for the office.
pub(crate) fn cost(group: CostGroup, cents: i64) -> Cost {
    Cost {
        date: date(5, 3),
        payee: String::new(),
        category: "office".into(),
        group,
        amount: Money::from_cents(cents),
        basis: SharedBasis::Acres,
        shares: Shares::default(),
        lasting: None,
        note: String::new(),
    }
}

/// An invoice for the office, shared by these weights.
pub(crate) fn shared(line: u32, cents: i64, weights: &[i64], own: usize) -> SharedCost {
    SharedCost {
        cost: numbered(line, cost(CostGroup::CashOverhead, cents)),
        weights: weights.iter().map(|weight| (*weight).into()).collect(),
        own,
    }
}
