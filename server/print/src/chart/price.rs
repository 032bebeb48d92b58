//! Net price by size class.

use reckon::season::{PackoutCell, PackoutSeason};
use rust_decimal::prelude::ToPrimitive;

use super::Drawing;
use super::bars::{Bar, bars};
use crate::figures;
use crate::sheet::Ink;

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

fn pound_bar(cell: &PackoutCell) -> Option<Bar> {
    let price = cell.net_per_pound.as_ref()?.value;
    Some(bar(cell, price.decimal(), &figures::price(price, 2)))
}

fn box_bar(cell: &PackoutCell) -> Option<Bar> {
    let price = cell.net_per_box.as_ref()?.value;
    Some(bar(cell, price.decimal(), &figures::price(price, 2)))
}

fn bar(cell: &PackoutCell, value: rust_decimal::Decimal, number: &str) -> Bar {
    let name = cell.size_class.clone().unwrap_or_else(|| "All sizes".to_owned());
    Bar { name, value: value.to_f64().unwrap_or(0.0), text: figures::dollars(number) }
}
