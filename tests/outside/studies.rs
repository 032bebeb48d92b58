//! Four published cost-and-return studies, entered as the records of a block and reckoned by us, line by line.
//!
//! Sources: University of California Cooperative Extension, Sample Costs: Peaches or Nectarines, Southern San
//! Joaquin Valley (2000, revised 2005), pages 12-17; Apricots for Drying, San Benito County (2003), pages 6-15;
//! with the Agricultural Issues Center: Plums, San Joaquin Valley South (2016), pages 6-19; Processing Peaches,
//! late harvested (2017), pages 8-21.
//!
//! The studies print whole dollars and add up unrounded ones. The amounts entered are hours x rate where both are
//! known, and else lie within the rounding of their cell so that every cell, row and column prints as published:
//! that there are such amounts shows that the prints agree with themselves.

use std::collections::BTreeMap;

use reckon::labor::entry_cost;
use reckon::money::{Money, UnitPrice};
use reckon::rates::Rates;
use reckon::records::{CostGroup, LaborEntry};
use reckon::season::{BlockSeason, SeasonRecords, StatementKey};
use rust_decimal::Decimal;

use crate::fixture::{self, Row};
use crate::plum_2016::printed;

/// Every study, as its folder is called.
pub(crate) const STUDIES: [&str; 4] =
    ["peach_nectarine_2000", "plum_2016", "apricot_dried_2003", "cling_peach_late_2017"];

/// A study's records through the door of anybody's files, and its season.
pub(crate) fn study(name: &str) -> (SeasonRecords, BlockSeason) {
    let folder = std::fs::read_dir(fixture::path(name)).unwrap();
    let file = |entry: std::io::Result<std::fs::DirEntry>| {
        let entry = entry.unwrap();
        (entry.file_name().into_string().unwrap(), std::fs::read(entry.path()).unwrap())
    };
    let files: BTreeMap<String, Vec<u8>> = folder.map(file).collect();
    let records = intake::read_folder(&files).unwrap_or_else(|problems| panic!("{name}: {problems:?}"));
    let season = reckon::reckon(&records);
    (records, season)
}

/// Whether an entry of labor stands in the column of custom work.
fn is_crew(entry: &LaborEntry) -> bool {
    entry.crew == "contract crew"
}

/// Dollars an acre of a column, of one printed operation or of all.
fn column(records: &SeasonRecords, season: &BlockSeason, column: &str, operation: Option<&str>) -> Decimal {
    let own = |note: &str| operation.is_none_or(|name| note == name);
    let labor = |crew: bool| -> Money {
        let entries = records.labor.iter().map(|kept| &kept.record);
        let entries = entries.filter(|entry| own(&entry.note) && is_crew(entry) == crew);
        entries.map(|entry| entry_cost(entry, Rates::new(&records.rates)).unwrap()).sum()
    };
    let costs = |category: &str| -> Money {
        let costs = records.costs.iter().map(|kept| &kept.record);
        costs.filter(|cost| cost.category == category && own(&cost.note)).map(|cost| cost.amount).sum()
    };
    // The plum study's water is entered as sets and a rate.
    let water = season.water.cost.as_ref().filter(|_| operation.is_none_or(|name| name == "Irrigate 12x"));
    let whole = match column {
        "labor" => labor(false),
        "fuel" => costs("fuel"),
        "lube_repairs" => costs("lube and repairs"),
        "materials" => costs("materials").plus(water.map_or(Money::ZERO, |cost| cost.value)),
        "custom_rent" => costs("custom work").plus(labor(true)),
        other => panic!("no column {other}"),
    };
    whole.decimal() / records.block.acres.decimal()
}

const COLUMNS: [&str; 5] = ["labor", "fuel", "lube_repairs", "materials", "custom_rent"];

fn operations(study: &str) -> Vec<Row> {
    let rows = fixture::table("economics/study_operations.csv");
    rows.into_iter().filter(|row| row.text("study") == study).collect()
}

fn cell(row: &Row, column: &str) -> i64 {
    row.maybe(&format!("{column}_usd_per_acre")).map_or(0, |value| printed(Decimal::try_from(value).unwrap()))
}

#[test]
fn every_cell_and_row_prints_as_published() {
    let mut cells = 0;
    for name in STUDIES {
        let (records, season) = study(name);
        for row in operations(name) {
            let operation = row.text("operation");
            let ours = COLUMNS.map(|column_name| column(&records, &season, column_name, Some(operation)));
            for (column_name, ours) in COLUMNS.iter().zip(ours) {
                assert_eq!(printed(ours), cell(&row, column_name), "{name}, {operation}, {column_name}: {ours}");
                cells += 1;
            }
            let whole: Decimal = ours.iter().sum();
            assert_eq!(printed(whole), cell(&row, "total"), "{name}, {operation}: {whole}");
        }
    }
    assert_eq!(cells, 89 * 5);
}

/// Dollars an acre of a line of the statement, as the studies print it: costs above zero.
pub(crate) fn amount(season: &BlockSeason, key: StatementKey) -> Decimal {
    let line = season.statement.line(key).unwrap_or_else(|| panic!("no line {}", key.word()));
    let each = line.per_acre.map(UnitPrice::decimal).unwrap();
    if matches!(key, StatementKey::Gross | StatementKey::OverOperating | StatementKey::OverAll) { each } else { -each }
}

/// A printed total, reckoned.
pub(crate) fn total(records: &SeasonRecords, season: &BlockSeason, what: &str) -> Decimal {
    let line = |key| amount(season, key);
    match what {
        "operating_total" => line(StatementKey::OperatingCosts),
        "cash_overhead_total" => line(StatementKey::CashOverhead),
        "noncash_overhead_total" => line(StatementKey::NonCashOverhead),
        "total_cost" => line(StatementKey::Gross) - line(StatementKey::OverAll),
        "gross_return" => line(StatementKey::Gross),
        "net_above_operating" => line(StatementKey::OverOperating),
        "net_above_total" => line(StatementKey::OverAll),
        column_name => column(records, season, column_name.strip_prefix("operating_").unwrap(), None),
    }
}

/// How many printed totals we print the same.
pub(crate) fn totals() -> usize {
    let rows = fixture::table("economics/study_totals.csv");
    let of_study = |name: &&'static str| {
        let (records, season) = study(name);
        let own = rows.iter().filter(|row| row.text("study") == *name);
        let prints = |row: &&Row| {
            printed(total(&records, &season, row.text("what"))).to_string() == row.text("printed_usd_per_acre")
        };
        own.filter(prints).count()
    };
    STUDIES.iter().map(of_study).sum()
}

/// Pages of totals and returns. Nets come from unrounded figures: the apricots' 1,313 less 1,205 prints 107.
#[test]
fn every_total_prints_as_published() {
    let rows = fixture::table("economics/study_totals.csv");
    assert_eq!(rows.len(), 44);
    for name in STUDIES {
        let (records, season) = study(name);
        for row in rows.iter().filter(|row| row.text("study") == name) {
            let ours = total(&records, &season, row.text("what"));
            assert_eq!(
                printed(ours).to_string(),
                row.text("printed_usd_per_acre"),
                "{name}, {}: {ours}",
                row.text("what")
            );
        }
    }
}

/// Cash overhead item by item.
#[test]
fn every_item_of_cash_overhead() {
    for row in fixture::table("economics/study_cash_overhead.csv") {
        let (records, _) = study(row.text("study"));
        let item = row.text("item").to_lowercase();
        let costs = records.costs.iter().map(|kept| &kept.record);
        let own = costs.filter(|cost| cost.group == CostGroup::CashOverhead && cost.category == item);
        let ours = own.map(|cost| cost.amount).sum::<Money>().decimal() / records.block.acres.decimal();
        assert_eq!(printed(ours).to_string(), row.text("usd_per_acre"), "{row:?}");
    }
}

/// Non-cash items entered as what they cost and how long they last: their capital recovery prints as published.
#[test]
fn what_lasts_bears_its_printed_recovery() {
    for (name, items) in [
        (
            "plum_2016",
            &[
                ("building", 22),
                ("fuel tanks", 1),
                ("shop tools", 1),
                ("irrigation system", 130),
                ("irrigation booster pump and filter", 16),
                ("orchard establishment", 629),
                ("land", 675),
            ][..],
        ),
        ("apricot_dried_2003", &[("building", 151), ("irrigation system", 64), ("orchard establishment", 225)]),
        (
            "cling_peach_late_2017",
            &[
                ("building", 35),
                ("fuel tanks", 4),
                ("irrigation system", 154),
                ("land", 1_100),
                ("orchard establishment", 765),
            ],
        ),
    ] {
        let (records, _) = study(name);
        for (item, dollars) in items {
            let cost = records.costs.iter().map(|kept| &kept.record).find(|cost| cost.category == *item).unwrap();
            let ours =
                reckon::costs::in_season(cost, &records.season).unwrap().decimal() / records.block.acres.decimal();
            assert_eq!(printed(ours), *dollars, "{name}, {item}: {ours}");
        }
    }
}

/// The study's own error, left as it is: its cost table prints establishment 8,560 and 825 an acre, while text,
/// investment table and total use 7,939 and 765. With 825 the total would be 60 more than printed.
#[test]
fn the_cling_study_prints_another_establishment_in_its_cost_table() {
    let (records, season) = study("cling_peach_late_2017");
    let establishment = records.costs.iter().find(|kept| kept.record.category == "orchard establishment").unwrap();
    let mut other = establishment.record.clone();
    other.amount = Money::from_cents(8_560 * 40 * 100);
    let each =
        |cost| reckon::costs::in_season(cost, &records.season).unwrap().decimal() / records.block.acres.decimal();
    assert_eq!((printed(each(&establishment.record)), printed(each(&other))), (765, 825));
    assert_eq!(printed(total(&records, &season, "noncash_overhead_total")), 2_197);
}

/// Fruit that is sold by the ton has its break-even for each pound: 280.15 dollars a ton of late cling peaches.
#[test]
fn break_even_of_the_entered_block() {
    let (_, season) = study("cling_peach_late_2017");
    let operating = &season.statement.break_even[0];
    let ton = operating.price.as_ref().unwrap().value.decimal() * Decimal::from(2_000);
    assert_eq!(printed(ton), 280, "5,603 over 20 tons, {ton}");
    let table = season.statement.ranging.as_ref().unwrap();
    assert_eq!(table.quantity.value.decimal(), Decimal::from(1_600_000));
}
