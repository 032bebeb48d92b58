//! Break-even and ranging over yields and prices, and shared amounts over acres, against values derived from the
//! published studies (sources as in `studies.rs`; the studies' own ranging tables were not seen).

use reckon::allocate::{allocate, explained};
use reckon::break_even::{CostLevel, CropCosts};
use reckon::money::{Money, round_half_away};
use rust_decimal::Decimal;

use crate::fixture::{self, Row};
use crate::plum_2016::printed;
use crate::records::dec;

fn operations(study: &str, keep: impl Fn(&Row) -> bool) -> Decimal {
    let rows = fixture::table("economics/study_operations.csv");
    let own = rows.iter().filter(|row| row.text("study") == study && keep(row));
    own.map(|row| dec(row.text("total_usd_per_acre"))).sum()
}

fn total(study: &str, what: &str) -> Decimal {
    let rows = fixture::table("economics/study_totals.csv");
    let row = rows.iter().find(|row| row.text("study") == study && row.text("what") == what).unwrap();
    dec(row.text("printed_usd_per_acre"))
}

/// An acre of a study: harvest and assessments follow the yield; the sales charge follows it too, or is a share of gross.
pub(crate) fn acre(study: &str, rule: &str) -> CropCosts {
    let returns = fixture::table("economics/study_returns.csv");
    let sold = returns.iter().find(|row| row.text("study") == study).unwrap();
    let follows = operations(study, |row| matches!(row.text("section"), "harvest" | "assessment"));
    let selling = operations(study, |row| row.text("operation") == "Sell");
    let of_gross = if rule.contains("gross") { selling / total(study, "gross_return") } else { Decimal::ZERO };
    CropCosts {
        quantity: dec(sold.text("quantity_per_acre")),
        fixed: total(study, "operating_total") - follows,
        by_yield: if of_gross.is_zero() { follows } else { follows - selling },
        of_gross,
        cash_overhead: total(study, "cash_overhead_total"),
        non_cash_overhead: total(study, "noncash_overhead_total"),
    }
}

fn level(word: &str) -> CostLevel {
    match word {
        "operating" => CostLevel::Operating,
        "cash" => CostLevel::Cash,
        "total" => CostLevel::All,
        other => panic!("no level {other}"),
    }
}

fn breaks_even(row: &Row) -> bool {
    let costs = acre(row.text("study"), row.text("rule"));
    let ours = costs.break_even_price(level(row.text("cost_level"))).unwrap();
    round_half_away(ours, 4) == dec(row.text("break_even_price_usd_per_unit"))
}

/// How many of the derived break-even prices agree to the hundredth of a cent.
pub(crate) fn break_even_prices() -> usize {
    fixture::table("economics/break_even_derived.csv").iter().filter(|row| breaks_even(row)).count()
}

/// How many yields and prices agree to the cent at every level of cost.
pub(crate) fn cells() -> usize {
    fixture::table("economics/ranging_derived.csv").iter().filter(|row| ranges(row)).count()
}

/// How many shared amounts print as published on their own acres.
pub(crate) fn divisors() -> usize {
    let rows = fixture::table("economics/allocation_by_acres.csv");
    rows.iter().filter(|row| printed(acre_of(row)).to_string() == row.text("printed_usd_per_acre")).count()
}

#[test]
fn break_even_prices_of_the_studies() {
    let rows = fixture::table("economics/break_even_derived.csv");
    assert_eq!(rows.len(), 18);
    for row in rows {
        assert!(breaks_even(&row), "{row:?}");
    }
}

/// The costs at a yield and a price, and what is over each level.
fn ranges(row: &Row) -> bool {
    let costs = acre(row.text("study"), row.text("rule"));
    let (quantity, price) = (dec(row.text("yield_per_acre")), dec(row.text("price_usd_per_unit")));
    let cents = |exact: Option<Decimal>| round_half_away(exact.unwrap(), 2);
    let over = |word: &str| {
        cents(costs.over(level(word), quantity, price)) == dec(row.text(&format!("net_above_{word}_usd_per_acre")))
    };
    let operating = cents(costs.cost(CostLevel::Operating, quantity, price));
    ["operating", "cash", "total"].into_iter().all(over) && operating == dec(row.text("operating_cost_usd_per_acre"))
}

#[test]
fn returns_over_yields_and_prices() {
    let rows = fixture::table("economics/ranging_derived.csv");
    assert_eq!(rows.len(), 125);
    for row in rows {
        assert!(ranges(&row), "{row:?}");
    }
}

/// A shared farm amount on the study's own acres: printed amount an acre x acres is what a block of so many acres bears.
pub(crate) fn acre_of(row: &Row) -> Decimal {
    let acres: i64 = row.text("acres_divided_over").parse().unwrap();
    let amount = Money::round(dec(row.text("farm_amount_usd"))).unwrap();
    let weights = [Decimal::ONE, Decimal::from(acres - 1)];
    allocate(amount, &weights).unwrap()[0].decimal()
}

/// Divisors differ inside one study: the building over 700 acres, the pump over 100 (inferred), the drip over 10.
#[test]
fn shared_amounts_over_their_own_acres() {
    let rows = fixture::table("economics/allocation_by_acres.csv");
    assert_eq!(rows.len(), 25);
    for row in rows {
        let ours = acre_of(&row);
        assert_eq!(printed(ours).to_string(), row.text("printed_usd_per_acre"), "{row:?}: {ours}");
    }
}

/// Amounts of the whole farm behind the cash overhead: units x price, to the printed dollar, and shared by acres again.
#[test]
fn farm_amounts_are_units_times_price() {
    let rows = fixture::table("economics/study_business_overhead.csv");
    assert_eq!(rows.len(), 12);
    for row in rows {
        let (units, price) = (dec(row.text("units")), dec(row.text("price_usd_per_unit")));
        let amount = Money::round(units * price).unwrap();
        assert_eq!(printed(amount.decimal()).to_string(), row.text("printed_total_usd_per_farm"), "{row:?}");
        let parts = allocate(amount, &[Decimal::ONE, units - Decimal::ONE]).unwrap();
        assert_eq!(parts[0].decimal(), price, "{row:?}: an acre of it bears the price of a unit");
    }
}

/// Which cent went where and why: 1,000.00 over 10, 7.5 and 2.25 acres.
#[test]
fn the_odd_cent_is_shown() {
    let parts = explained(Money::from_cents(100_000), &[dec("10"), dec("7.5"), dec("2.25")]).unwrap();
    let shown: Vec<(String, String, bool)> = parts
        .iter()
        .map(|part| (part.amount.to_string(), round_half_away(part.exact, 4).to_string(), part.odd_cent))
        .collect();
    let expected = [("506.33", "506.3291", true), ("379.75", "379.7468", true), ("113.92", "113.9241", false)];
    for ((amount, exact, odd), expected) in shown.iter().zip(expected) {
        assert_eq!((amount.as_str(), exact.as_str(), *odd), expected);
    }
}
