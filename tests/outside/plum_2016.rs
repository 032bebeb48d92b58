//! A published cost study, entered as the records of a 10-acre block and reckoned by us.
//!
//! Source: University of California ANR Cooperative Extension / Agricultural Issues Center, Sample Costs to
//! Establish and Produce Plums, Fresh Market, Double-Line Drip Irrigation, San Joaquin Valley South, 2016:
//! rates pages 6-9, costs per acre pages 13-14, returns pages 15-16. The study prints whole dollars an acre.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use reckon::labor::entry_cost;
use reckon::money::{Money, UnitPrice, round_half_away};
use reckon::rates::Rates;
use reckon::season::{BlockSeason, SeasonRecords, StatementKey};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::fixture;

/// The study's files, through the same door as anybody's files.
pub(crate) static RECORDS: LazyLock<SeasonRecords> = LazyLock::new(|| {
    let names = ["block.toml", "labor.csv", "costs.csv", "irrigation.csv", "rates.csv", "settlements.csv"];
    let read = |name: &str| std::fs::read(fixture::path("plum_2016").join(name)).unwrap();
    let files: BTreeMap<String, Vec<u8>> = names.into_iter().map(|name| (name.to_owned(), read(name))).collect();
    intake::read_folder(&files).unwrap_or_else(|problems| panic!("{problems:?}"))
});

static SEASON: LazyLock<BlockSeason> = LazyLock::new(|| reckon::reckon(&RECORDS));

/// Dollars an acre of a line of the statement; costs are negative.
pub(crate) fn line(key: StatementKey) -> Decimal {
    let line = SEASON.statement.line(key).unwrap_or_else(|| panic!("no line {}", key.word()));
    line.per_acre.map(UnitPrice::decimal).unwrap()
}

/// Dollars an acre of all labor.
pub(crate) fn labor() -> Decimal {
    SEASON.labor.all.cost_per_acre.as_ref().unwrap().value.decimal()
}

/// Dollars an acre of the labor of one printed operation (the note of the entries).
pub(crate) fn operation(name: &str) -> Decimal {
    let own = RECORDS.labor.iter().filter(|kept| kept.record.note == name);
    let cents: Money = own.map(|kept| entry_cost(&kept.record, Rates::new(&RECORDS.rates)).unwrap()).sum();
    assert!(!cents.is_zero(), "no labor for {name}");
    cents.decimal() / RECORDS.block.acres.decimal()
}

/// As the study prints: whole dollars, half away from zero.
pub(crate) fn printed(dollars: Decimal) -> i64 {
    round_half_away(dollars, 0).to_i64().unwrap()
}

/// Page 13, column "labor".
#[test]
fn labor_of_each_operation() {
    for (name, dollars) in [
        ("Weeds: dormant strip spray", 6),
        ("Prune: dormant, hand crew", 406),
        ("Shred brush", 4),
        ("Insects: dormant oil/zinc", 9),
        ("Diseases at bloom", 9),
        ("Weeds: spray middles 4x", 25),
        ("Fertilize: UAN32 2x", 14),
        ("Insects: codling moth/katydids", 9),
        ("Thin fruit: hand crew", 508),
        ("Weeds: spot spray 2x", 3),
        ("Insects: mites", 9),
        ("Irrigation labor", 228),
        ("Fertilize: fall zinc", 20),
        ("Pickup truck use", 14),
        ("All-terrain vehicle use", 9),
        ("Pick fruit: hand crew", 535),
    ] {
        assert_eq!(printed(operation(name)), dollars, "{name}");
    }
}

/// Page 13: labor 1,809. The printed rows add up to 1,808; the total is of unrounded amounts.
#[test]
fn the_labor_total_is_of_unrounded_rows() {
    assert_eq!(printed(labor()), 1_809);
    assert_eq!(printed(line(StatementKey::ThinningLabor)), -508);
    assert_eq!(printed(line(StatementKey::HarvestLabor)), -535);
}

/// Pages 13-16.
#[test]
fn the_statement_to_the_printed_dollar() {
    for (key, dollars) in [
        (StatementKey::Gross, 14_400),
        (StatementKey::Water, -733),
        (StatementKey::OperatingCosts, -11_366),
        (StatementKey::OverOperating, 3_034),
        (StatementKey::CashOverhead, -545),
        (StatementKey::NonCashOverhead, -1_513),
        (StatementKey::OverAll, 976),
    ] {
        assert_eq!(printed(line(key)), dollars, "{}", key.word());
    }
    assert_eq!(printed(line(StatementKey::Gross) - line(StatementKey::OverAll)), 13_424, "total cost");
}

/// The study prints no trees per acre, so nothing may be made for each tree.
#[test]
fn what_the_study_does_not_say_is_a_gap() {
    assert!(SEASON.labor.all.cost_per_tree.is_none());
    assert!(SEASON.gaps.iter().any(|gap| gap.what.contains("no count of bearing trees")));
}
