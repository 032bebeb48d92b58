//! Boxes not settled yet, at the price list.

use chrono::NaiveDate;

use super::cells::{Cell, less};
use crate::exact::{Boxes, unit};
use crate::figure::{Kept, RecordId, RecordKind, RecordRef};
use crate::money::{Money, UnitPrice};
use crate::records::PriceLine;
use crate::size_classes::own::OwnList;

/// Values what is left in each cell. The earliest packed boxes are the settled ones; each later line
/// takes the list price that held on the day it was packed, rounded once.
pub(super) fn value(cells: &mut [Cell], prices: &[Kept<PriceLine>], crop: &str, own: &OwnList<'_>) {
    for cell in cells {
        let mut settled = cell.settled;
        for (place, lot) in cell.lots.clone().into_iter().enumerate() {
            let paid = lot.boxes.min(settled);
            settled = less(settled, paid);
            let left = less(lot.boxes, paid);
            if left.is_zero() {
                continue;
            }
            match holding(prices, crop, cell, lot.date, own) {
                Some((price, id)) => {
                    let amount = Money::round(price.times(left)).unwrap_or_default();
                    cell.listed_net = cell.listed_net.plus(amount);
                    let price = RecordRef { kind: RecordKind::Price, id };
                    cell.at_list.push((place, left, amount, price));
                    cell.listed.extend([lot.reference(), price]);
                }
                None => cell.unpriced = cell.unpriced.plus(left),
            }
        }
    }
}

type ListPrice = (UnitPrice<unit::Carton>, RecordId);

/// The price that says most about the fruit, one in its own words before one in other words for the
/// same size; of equals the latest that began on or before the day.
fn holding(
    prices: &[Kept<PriceLine>],
    crop: &str,
    cell: &Cell,
    day: NaiveDate,
    list: &OwnList<'_>,
) -> Option<ListPrice> {
    let fits = |named: &Option<String>, own: &str| named.as_ref().is_none_or(|name| same(name, own));
    let size =
        |named: &Option<String>| fits(named, &cell.size) || named.as_ref().is_some_and(|n| list.same(n, &cell.size));
    prices
        .iter()
        .filter(|kept| kept.record.from <= day && fits(&kept.record.crop, crop))
        .filter(|kept| size(&kept.record.size_class) && fits(&kept.record.grade, &cell.grade))
        .max_by_key(|kept| {
            let line = &kept.record;
            let named = (line.size_class.is_some(), line.grade.is_some(), line.crop.is_some());
            let own_words = fits(&line.size_class, &cell.size);
            (u8::from(named.0) + u8::from(named.1), named, own_words, line.from, kept.id)
        })
        .map(|kept| (kept.record.net_price, kept.id))
}

fn same(a: &str, b: &str) -> bool {
    a.trim().eq_ignore_ascii_case(b.trim())
}

/// Boxes of all cells that have no value.
pub(super) fn unpriced(cells: &[Cell]) -> Boxes {
    cells.iter().map(|cell| cell.unpriced).sum()
}
