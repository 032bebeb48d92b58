//! Net price by size class and by week, and what each class brings over the one below.

use reckon::money::UnitPrice;
use reckon::season::{PackoutCell, PackoutSeason, PackoutWeek};
use rust_decimal::prelude::ToPrimitive;

use super::Drawing;
use super::bars::{Bar, bars};
use crate::sheet::Ink;
use crate::{figures, words};

/// Net to grower by size class, in dollars a pound where weights are known, else a box. `None`
/// without prices.
pub fn price(season: &PackoutSeason, width: f64) -> Option<Drawing> {
    let by_pound: Vec<Bar> = season.sizes.iter().filter_map(pound_bar).collect();
    if !by_pound.is_empty() {
        return bars("Net price, $ a lb", width, Ink::Price, &by_pound);
    }
    let by_box: Vec<Bar> = season.sizes.iter().filter_map(box_bar).collect();
    bars("Net price, $ a box", width, Ink::Price, &by_box)
}

/// What each size class brings over the next smaller one with a price, a pound where weights are
/// known, else a box; one that brings less has its number and no bar. `None` without two prices.
pub fn premium(season: &PackoutSeason, width: f64) -> Option<Drawing> {
    let pounds = premiums(
        season,
        |cell| Some(worth(cell.premium_per_pound.as_ref()?.value)),
        |cell| cell.net_per_pound.is_some(),
    );
    if !pounds.is_empty() {
        return bars("A larger size brings more, $ a lb", width, Ink::Price, &pounds);
    }
    let boxes =
        premiums(season, |cell| Some(worth(cell.premium_per_box.as_ref()?.value)), |cell| cell.net_per_box.is_some());
    bars("A larger size brings more, $ a box", width, Ink::Price, &boxes)
}

/// Net to grower by week of packing, a pound where weights are known, else a box. `None` without prices.
pub fn by_week(season: &PackoutSeason, width: f64) -> Option<Drawing> {
    let pound = |week: &PackoutWeek| Some(bar(words::day(week.starts), week.net_per_pound.as_ref()?.value));
    let pounds: Vec<Bar> = season.weeks.iter().filter_map(pound).collect();
    if !pounds.is_empty() {
        return bars("Net price by week of packing, $ a lb", width, Ink::Price, &pounds);
    }
    let a_box = |week: &PackoutWeek| Some(bar(words::day(week.starts), week.net_per_box.as_ref()?.value));
    let boxes: Vec<Bar> = season.weeks.iter().filter_map(a_box).collect();
    bars("Net price by week of packing, $ a box", width, Ink::Price, &boxes)
}

/// A length and its number as written.
fn worth<U>(each: UnitPrice<U>) -> (f64, String) {
    (length(each), figures::signed_price(each, 2))
}

fn length<U>(each: UnitPrice<U>) -> f64 {
    each.decimal().to_f64().unwrap_or(0.0)
}

/// By published class where an own list says what its words stand for, else by the words: two words for
/// one class are no step up from each other.
fn sizes(season: &PackoutSeason) -> &[PackoutCell] {
    if season.classes.is_empty() { &season.sizes } else { &season.classes }
}

fn premiums(
    season: &PackoutSeason,
    worth: impl Fn(&PackoutCell) -> Option<(f64, String)>,
    has_price: impl Fn(&PackoutCell) -> bool,
) -> Vec<Bar> {
    let name = |cell: &PackoutCell| cell.size_class.clone().unwrap_or_default();
    let priced: Vec<&PackoutCell> = sizes(season).iter().filter(|cell| has_price(cell)).collect();
    let pairs = priced.iter().zip(priced.iter().skip(1));
    let bar = |(below, cell): (&&PackoutCell, &&PackoutCell)| {
        let (value, text) = worth(cell)?;
        Some(Bar { name: format!("{} over {}", name(cell), name(below)), value, text })
    };
    pairs.filter_map(bar).collect()
}

fn pound_bar(cell: &PackoutCell) -> Option<Bar> {
    Some(bar(class(cell), cell.net_per_pound.as_ref()?.value))
}

fn box_bar(cell: &PackoutCell) -> Option<Bar> {
    Some(bar(class(cell), cell.net_per_box.as_ref()?.value))
}

fn class(cell: &PackoutCell) -> String {
    cell.size_class.clone().unwrap_or_else(|| "All sizes".to_owned())
}

fn bar<U>(name: String, price: UnitPrice<U>) -> Bar {
    Bar { name, value: length(price), text: figures::dollars(&figures::price(price, 2)) }
}
