//! Boxes not settled yet, at the price list.

use core::cmp::Reverse;

use chrono::NaiveDate;

use super::cells::{Cell, less};
use crate::exact::Boxes;
use crate::figure::{Gap, GapAbout, Kept, RecordKind, RecordRef};
use crate::money::Money;
use crate::records::PriceLine;
use crate::say;
use crate::size_classes::own::OwnList;

/// Values what is left in each cell. The earliest packed boxes are the settled ones; each later line
/// takes the list price that held on the day it was packed, rounded once.
/// A gap for each two prices of which only one can hold.
pub(super) fn value(cells: &mut [Cell], prices: &[Kept<PriceLine>], crop: &str, own: &OwnList<'_>) -> Vec<Gap> {
    let mut doubled = Vec::new();
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
                Some(holds) => {
                    let amount = Money::round(holds.price.record.net_price.times(left)).unwrap_or_default();
                    cell.listed_net = cell.listed_net.plus(amount);
                    let price = reference(holds.price);
                    doubled.extend(holds.other.map(|other| twice(holds.price, other, crop)));
                    cell.at_list.push((place, left, amount, price));
                    cell.listed.extend([lot.reference(), price]);
                }
                None => cell.unpriced = cell.unpriced.plus(left),
            }
        }
    }
    doubled.sort();
    doubled.dedup();
    doubled
}

/// The price that holds, and one that might as well and is another.
struct Holds<'r> {
    price: &'r Kept<PriceLine>,
    other: Option<&'r Kept<PriceLine>>,
}

/// The price that says most about the fruit, one in its own words before one in other words for the
/// same size; of equals the latest that began on or before the day, and of those of one day the lower,
/// so that what is assumed flatters nobody.
fn holding<'r>(
    prices: &'r [Kept<PriceLine>],
    crop: &str,
    cell: &Cell,
    day: NaiveDate,
    list: &OwnList<'_>,
) -> Option<Holds<'r>> {
    let fits = |named: &Option<String>, own: &str| named.as_ref().is_none_or(|name| same(name, own));
    let size =
        |named: &Option<String>| fits(named, &cell.size) || named.as_ref().is_some_and(|n| list.same(n, &cell.size));
    let rank = |line: &PriceLine| {
        let named = (line.size_class.is_some(), line.grade.is_some(), line.crop.is_some());
        (u8::from(named.0) + u8::from(named.1), named, fits(&line.size_class, &cell.size), line.from)
    };
    let on_day = prices
        .iter()
        .filter(|kept| kept.record.from <= day && fits(&kept.record.crop, crop))
        .filter(|kept| size(&kept.record.size_class) && fits(&kept.record.grade, &cell.grade));
    let price = on_day
        .clone()
        .max_by_key(|kept| (rank(&kept.record), Reverse((kept.record.net_price, &kept.record.size_class, kept.id))))?;
    let equals = on_day.filter(|kept| rank(&kept.record) == rank(&price.record));
    let others = equals.filter(|kept| kept.record.net_price != price.record.net_price);
    Some(Holds { price, other: others.min_by_key(|kept| (kept.record.net_price, &kept.record.size_class, kept.id)) })
}

fn reference(kept: &Kept<PriceLine>) -> RecordRef {
    RecordRef { kind: RecordKind::Price, id: kept.id }
}

/// "Two prices from 1 July for peach, AA, Fancy stand in the list, 10.00 and 11.00 dollars a box net."
fn twice(holds: &Kept<PriceLine>, other: &Kept<PriceLine>, crop: &str) -> Gap {
    let line = &holds.record;
    let named = [Some(crop), line.size_class.as_deref(), line.grade.as_deref()];
    let goods: Vec<&str> = named.into_iter().flatten().map(str::trim).collect();
    let what = format!(
        "Two prices from {} for {} stand in the list, {} and {} dollars a box net; the lower is used.",
        say::day(line.from),
        goods.join(", "),
        line.net_price,
        other.record.net_price,
    );
    say::missing(GapAbout::Price, what, "Remove the price that is wrong.", [reference(holds), reference(other)])
}

fn same(a: &str, b: &str) -> bool {
    a.trim().eq_ignore_ascii_case(b.trim())
}

/// Boxes of all cells that have no value.
pub(super) fn unpriced(cells: &[Cell]) -> Boxes {
    cells.iter().map(|cell| cell.unpriced).sum()
}
