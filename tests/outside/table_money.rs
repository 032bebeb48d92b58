//! Rows of `checks.csv` about studies, capital, break-even and sizes.

use reckon::break_even::CostLevel;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::{capital, fixture, ranging, studies};

fn float(exact: Decimal) -> f64 {
    exact.to_f64().unwrap()
}

/// The folder of a study's short name.
fn folder(short: &str) -> Option<&'static str> {
    match short {
        "peach" => Some("peach_nectarine_2000"),
        "plum" => Some("plum_2016"),
        "apricot" => Some("apricot_dried_2003"),
        "cling" => Some("cling_peach_late_2017"),
        _ => None,
    }
}

/// `apricot-operating_total`.
pub(crate) fn study(rest: &str) -> Option<f64> {
    let (short, what) = rest.split_once('-')?;
    let (records, season) = studies::study(folder(short)?);
    Some(float(studies::total(&records, &season, what)))
}

/// `plum-land`.
pub(crate) fn recovery(rest: &str) -> Option<f64> {
    let (short, asset) = match rest {
        "plum-land" => ("plum", "Land (plums)"),
        "plum-building" => ("plum", "Building 1800 sq ft"),
        "peach-sprayer" => ("peach", "Orchard sprayer 500 gal"),
        "apricot-establishment" => ("apricot", "Orchard establishment"),
        "cling-tractor" => ("cling", "66 HP 2WD tractor"),
        _ => return None,
    };
    capital::investment(folder(short)?, asset).recovery().map(|amount| float(amount.decimal()))
}

pub(crate) fn interest(short: &str) -> Option<f64> {
    let rate = match short {
        "cling" => "4.5",
        "plum" => "4.25",
        "apricot" => "7.14",
        _ => return None,
    };
    Some(float(capital::interest(folder(short)?, rate)))
}

/// `plum-operating-gross`: the sales charge as a share of gross; `-unit`: for each unit.
pub(crate) fn break_even(rest: &str) -> Option<f64> {
    let (short, rest) = rest.split_once('-')?;
    let (level, rule) = rest.split_once('-')?;
    let level = CostLevel::ALL.into_iter().find(|each| each.word() == level)?;
    ranging::acre(folder(short)?, rule).break_even_price(level).map(float)
}

/// `plum-900-18`: return over all costs at a yield and a price, the sales charge a share of gross.
pub(crate) fn over(rest: &str) -> Option<f64> {
    let (short, rest) = rest.split_once('-')?;
    let (quantity, price) = rest.split_once('-')?;
    let costs = ranging::acre(folder(short)?, "gross");
    costs.over(CostLevel::All, quantity.parse().ok()?, price.parse().ok()?).map(float)
}

/// `plum-building`: a shared amount on one acre.
pub(crate) fn acre_of(rest: &str) -> Option<f64> {
    let (short, item) = match rest {
        "plum-building" => ("plum", "Building 1800 sq ft"),
        "plum-pump" => ("plum", "Irrigation booster pump/filter"),
        "cling-irrigation" => ("cling", "Irrigation system, micro-sprinkler"),
        _ => return None,
    };
    let rows = fixture::table("economics/allocation_by_acres.csv");
    let row = rows.iter().find(|row| Some(row.text("study")) == folder(short) && row.text("shared_item") == item);
    row.map(|row| float(ranging::acre_of(row)))
}

/// How many rows of a whole table agree: `recoveries`, `ranging`.
pub(crate) fn all(table: &str) -> Option<f64> {
    let agree = match table {
        "recoveries" => capital::to_the_dollar(),
        "break-even" => ranging::break_even_prices(),
        "ranging" => ranging::cells(),
        "divisors" => ranging::divisors(),
        "totals" => studies::totals(),
        _ => return None,
    };
    u32::try_from(agree).ok().map(f64::from)
}
