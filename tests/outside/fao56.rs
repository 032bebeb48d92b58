//! Worked examples of the paper on crop evapotranspiration.
//!
//! Source: Allen, Pereira, Raes, Smith (1998), Crop Evapotranspiration, FAO Irrigation and Drainage
//! Paper 56; example and page stand in each row of `fixtures/published/water`. Recomputed columns
//! are the same arithmetic without the intermediate rounding of the print.

mod air;
mod balance;
mod curve;
mod tables;

pub(crate) use air::weather_day as empty_day;
pub(crate) use balance::{after_a_set, drying_soil, maize_in_wind, reduction_under_organic};

use std::collections::BTreeSet;

use crate::fixture::{Row, close, table};

/// The rows of one scalar example; a row nobody checked fails the test.
struct Example {
    name: &'static str,
    rows: Vec<Row>,
    checked: BTreeSet<String>,
}

impl Example {
    fn load(name: &'static str) -> Self {
        let rows: Vec<Row> =
            table("water/fao56_examples.csv").into_iter().filter(|row| row.text("example") == name).collect();
        assert!(!rows.is_empty(), "example {name}");
        Self { name, rows, checked: BTreeSet::new() }
    }

    fn row(&self, quantity: &str) -> &Row {
        let found = self.rows.iter().find(|row| row.text("quantity") == quantity);
        found.unwrap_or_else(|| panic!("example {} has no {quantity}", self.name))
    }

    fn input(&self, quantity: &str) -> f64 {
        let row = self.row(quantity);
        assert_eq!(row.text("role"), "input", "{quantity}");
        row.number("published_value")
    }

    /// Against the recomputed value tightly, against the print to its last digit.
    #[track_caller]
    fn check(&mut self, quantity: &str, ours: f64) {
        let row = self.row(quantity);
        let what = format!("example {}, {quantity}", self.name);
        if let Some(exact) = row.maybe("recomputed_value") {
            close(&what, ours, exact, 1e-4 * exact.abs().max(1e-3));
        }
        let print = row.text("published_value");
        let decimals = print.split_once('.').map_or(0, |(_, fraction)| fraction.len());
        let last_digit = 0.1_f64.powi(i32::try_from(decimals).unwrap());
        close(&what, ours, print.parse().unwrap(), last_digit * 1.000_001);
        self.checked.insert(quantity.to_owned());
    }

    /// A row whose method is not ours, with the reason.
    fn leave(&mut self, quantity: &str, reason: &str) {
        assert!(!reason.is_empty());
        self.row(quantity);
        self.checked.insert(quantity.to_owned());
    }

    fn done(self) {
        for row in self.rows.iter().filter(|row| row.text("role") != "input") {
            assert!(self.checked.contains(row.text("quantity")), "example {}: {}", self.name, row.text("quantity"));
        }
    }
}

/// Every example of the file has its test: a new one fails here until it is held.
#[test]
fn every_example_is_held() {
    let rows = table("water/fao56_examples.csv");
    let named: BTreeSet<&str> = rows.iter().map(|row| row.text("example")).collect();
    let held = ["7", "8", "9", "10", "17", "20", "27", "28", "eq68", "32", "33", "41", "45", "organic_mulch_rule"];
    assert_eq!(named, BTreeSet::from(held));
}

fn day_number(value: f64) -> u32 {
    format!("{value}").parse().unwrap()
}
