//! Money against published values: loaded labor, labor of a tree, piece work, sharing, size classes.

use chrono::NaiveDate;
use reckon::allocate::{allocate, largest_remainder};
use reckon::labor::entry_cost;
use reckon::money::{Money, UnitPrice, round_half_away};
use reckon::rates::Rates;
use reckon::records::{LaborEntry, Pay, Task, ThinningMethod};
use reckon::season::LaborMeasure;
use reckon::size_classes;
use rust_decimal::Decimal;

use crate::fixture::{self, Row};
use crate::records::{block, dec, entry, exact, kept, price};

/// Acres of the block a study's acre is entered on: its cents must not show in a whole dollar.
const ACRES: i64 = 10;

/// Dollars an acre of a row of `labor_cost_checks.csv`: hours x 1.2 for machine time x the loaded rate.
pub(crate) fn loaded_labor(row: &Row) -> Decimal {
    let hours = dec(row.text("printed_hours_per_acre")) * dec(row.text("machine_time_factor")) * Decimal::from(ACRES);
    let mut records = block(&ACRES.to_string(), None);
    records.labor = kept([LaborEntry {
        hours: Some(exact(&hours.to_string())),
        pay: Pay::Hourly(Some(price(row.text("loaded_rate_usd_per_hour")))),
        ..entry(Task::Other)
    }]);
    let season = reckon::reckon(&records);
    season.labor.all.cost_per_acre.unwrap().value.decimal()
}

/// The row of a study's operation.
pub(crate) fn row(file: &str, study: &str, operation: &str) -> Row {
    let rows = fixture::table(file);
    let found = rows.into_iter().find(|row| row.text("study") == study && row.text("operation") == operation);
    found.unwrap_or_else(|| panic!("{file}: no {operation} of {study}"))
}

/// Source: University of California cost studies of 2000 (page 12), 2003 (page 11), 2016 (page 13),
/// column "labor" against hours and loaded rate. Rounded half away from zero, as they print.
#[test]
fn hours_times_loaded_rate_is_the_printed_labor() {
    let rows = fixture::table("economics/labor_cost_checks.csv");
    assert_eq!(rows.len(), 22);
    for row in rows {
        let ours = round_half_away(loaded_labor(&row), 0);
        assert_eq!(ours, dec(row.text("printed_labor_usd_per_acre")), "{row:?}");
    }
}

/// Labor of a row of `labor_per_tree.csv`: the printed cost as a contract sum, with its printed hours.
pub(crate) fn labor_of_a_tree(row: &Row) -> LaborMeasure {
    let trees: u32 = row.text("trees_per_acre").parse().unwrap();
    let hours = dec(row.text("hours_per_acre")) * Decimal::from(ACRES);
    let cost = dec(row.text("cost_usd_per_acre")) * Decimal::from(ACRES);
    let mut records = block(&ACRES.to_string(), Some(trees * 10));
    records.labor = kept([LaborEntry {
        // Contract work prints 0.00 hours: it carries none, and none may be divided by.
        hours: (!hours.is_zero()).then(|| exact(&hours.to_string())),
        pay: Pay::Contract(Money::round(cost).unwrap()),
        method: Some(ThinningMethod::ByHand),
        ..entry(Task::Thin)
    }]);
    reckon::reckon(&records).labor.thinning.unwrap()
}

/// Source: University of California cost studies of dried apricots (2003, page 11) and late cling peaches
/// (2017, page 15): printed cost and hours an acre, printed trees an acre.
#[test]
fn labor_of_each_tree() {
    let rows = fixture::table("economics/labor_per_tree.csv");
    assert_eq!(rows.len(), 6);
    for row in rows {
        let ours = labor_of_a_tree(&row);
        let cost = ours.cost_per_tree.unwrap().value.decimal();
        assert_eq!(round_half_away(cost, 4), dec(row.text("cost_usd_per_tree")), "{row:?}");
        match (ours.hours_per_tree, row.text("hours_per_tree")) {
            (None, "") => {}
            (Some(hours), _) => assert!((hours.value.get() - row.number("hours_per_tree")).abs() < 5e-6, "{row:?}"),
            (None, _) => panic!("no hours for {row:?}"),
        }
    }
}

/// Cost of a week in `piece_work.toml`.
pub(crate) fn week(name: &str) -> Decimal {
    let table = fixture::toml("economics/piece_work.toml");
    let text = |key: &str| table[name].get(key).and_then(toml::Value::as_str);
    let pay = match text("hourly_rate") {
        Some(rate) => Pay::Hourly(Some(price(rate))),
        None => Pay::Piece { pieces: exact("1"), rate: price(text("straight_time").unwrap()) },
    };
    let worked = LaborEntry {
        hours: text("hours").map(exact),
        overtime_hours: text("overtime_hours").map(exact).unwrap(),
        pay,
        ..entry(Task::Pick)
    };
    entry_cost(&worked, Rates::new(&[])).unwrap().decimal()
}

/// Source: 29 CFR 778.110 and 778.111.
#[test]
fn overtime_pays_the_half_once_and_rounds_once() {
    for name in ["hourly_overtime", "piece_work", "rates_stay_unrounded"] {
        let total = fixture::toml("economics/piece_work.toml")[name]["total"].as_str().map(dec).unwrap();
        assert_eq!(week(name), total, "{name}");
    }
}

/// Seats of the 1790 census by our largest remainder, in the order of the file.
pub(crate) fn seats() -> Vec<(String, i64)> {
    let rows = fixture::table("economics/largest_remainder.csv");
    let weights: Vec<Decimal> = rows.iter().map(|row| dec(row.text("weight"))).collect();
    let seats = largest_remainder(60, &weights).unwrap();
    rows.iter().map(|row| row.text("party").to_owned()).zip(seats).collect()
}

/// Source: apportionment of 60 seats on the census figures of 1790 by Hamilton's method, a reference page.
#[test]
fn sixty_seats_of_1790() {
    let printed = fixture::table("economics/largest_remainder.csv");
    assert_eq!(printed.len(), 15);
    for (row, (party, seats)) in printed.iter().zip(seats()) {
        assert_eq!(seats.to_string(), row.text("printed_result"), "{party}");
    }
}

/// Cents of one case of `cent_allocation.csv`.
pub(crate) fn shared(amount: i64, weights: &str) -> Vec<i64> {
    let weights: Vec<Decimal> = weights.split(' ').map(dec).collect();
    allocate(Money::from_cents(amount), &weights).unwrap().into_iter().map(Money::cents).collect()
}

/// Source: derived by the same method, `fixtures/published/economics/cent_allocation.csv`.
#[test]
fn cents_are_shared_without_loss() {
    for row in fixture::table("economics/cent_allocation.csv") {
        let amount: i64 = row.text("amount_cents").parse().unwrap();
        let (sign, amount) = if row.text("case").starts_with("minus") { (-1, -amount) } else { (1, amount) };
        let parts: Vec<String> = shared(amount, row.text("weights")).iter().map(|c| (sign * c).to_string()).collect();
        assert_eq!(parts.join(" "), row.text("result_cents"), "{row:?}");
    }
}

/// Source: Commission Regulation (EC) No 1580/2007, Annex I, Part 5, III.
#[test]
fn size_classes_as_published() {
    let rows = fixture::table("economics/size_classes.csv");
    assert_eq!(rows.len(), size_classes::PEACH_AND_NECTARINE.len());
    for (row, class) in rows.iter().zip(size_classes::PEACH_AND_NECTARINE) {
        assert_eq!(row.text("size_code"), class.code);
        assert_eq!(row.text("diameter_from_mm_inclusive"), class.from_mm.to_string());
        assert_eq!(row.text("diameter_to_mm_exclusive"), class.below_mm.map_or(String::new(), |mm| mm.to_string()));
    }
}

/// Dollars an acre of a year's water in the plum study, at whole acre-inches.
pub(crate) fn water(row: &Row) -> Decimal {
    let acre_feet = dec(row.text("inferred_acre_inches")) / Decimal::from(12);
    let rate: UnitPrice<reckon::exact::unit::AcreFoot> = price(row.text("inferred_usd_per_acre_foot"));
    let mut records = block("10", None);
    let from = NaiveDate::from_ymd_opt(2016, 1, 1).unwrap();
    records.rates = kept([reckon::records::Rate {
        from,
        kind: reckon::records::RateKind::Water,
        micros: rate.micros(),
        note: String::new(),
    }]);
    records.irrigation = kept([reckon::records::IrrigationSet {
        date: from,
        applied: reckon::records::Applied::Depth(reckon::units::Inches::of(row.number("inferred_acre_inches"))),
        note: String::new(),
    }]);
    let cost = reckon::reckon(&records).water.cost.unwrap().value.decimal() / Decimal::from(10);
    assert!((cost - acre_feet * rate.decimal()).abs() < dec("0.001"), "{row:?}");
    cost
}

/// Source: the plum study of 2016, establishment and cost tables; depth and price inferred.
#[test]
fn water_at_two_hundred_dollars_an_acre_foot() {
    let rows = fixture::table("economics/irrigation_water.csv");
    assert_eq!(rows.len(), 4);
    for row in rows {
        assert_eq!(round_half_away(water(&row), 0), dec(row.text("printed_water_cost_usd_per_acre")), "{row:?}");
    }
}
