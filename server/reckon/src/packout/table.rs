//! The table of size classes and grades: sums, shares, weighted prices.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::cells::Cell;
use crate::allocate::largest_remainder;
use crate::exact::{Boxes, Pounds, unit};
use crate::figure::{Evidence, Figure, RecordRef};
use crate::money::{Money, UnitPrice};
use crate::season::PackoutCell;
use crate::units::Share;

/// Several cells together, with numerators and denominators of their prices.
pub(super) struct Sum {
    pub(super) boxes: Figure<Boxes>,
    pub(super) weight: Option<Figure<Pounds>>,
    /// Net to grower; `None` while nothing has a value.
    pub(super) net: Option<Figure<Money>>,
    valued_boxes: Boxes,
    valued_weight: Option<Decimal>,
}

impl Sum {
    pub(super) fn of(cells: &[&Cell]) -> Self {
        let packed: Vec<RecordRef> = cells.iter().flat_map(|cell| cell.packed()).collect();
        let counted = |boxes| Figure::new(boxes, Evidence::Counted, packed.iter().copied());
        let weight: Option<Pounds> = cells.iter().map(|cell| cell.weight()).sum();
        Self {
            boxes: counted(cells.iter().map(|cell| cell.boxes()).sum()),
            weight: weight.map(|weight| Figure::new(weight, Evidence::Counted, packed.iter().copied())),
            net: net(cells),
            valued_boxes: cells.iter().map(|cell| cell.valued()).sum(),
            valued_weight: cells.iter().map(|cell| cell.weight_of(cell.valued())).sum(),
        }
    }

    pub(super) fn net_per_box(&self) -> Option<Figure<UnitPrice<unit::Carton>>> {
        let net = self.net.as_ref()?;
        UnitPrice::each(net.value.decimal(), self.valued_boxes.decimal()).map(|each| net.map(each))
    }

    pub(super) fn net_per_pound(&self) -> Option<Figure<UnitPrice<unit::Pound>>> {
        let net = self.net.as_ref()?;
        UnitPrice::each(net.value.decimal(), self.valued_weight?).map(|each| net.map(each))
    }

    /// Weight of the fruit that has a value, to the millionth of a pound.
    pub(super) fn priced_weight(&self) -> Option<Figure<Pounds>> {
        let rounded = crate::money::round_half_away(self.valued_weight?, 6);
        let weight = Pounds::new(rounded).ok().filter(|weight| !weight.is_zero())?;
        self.weight.as_ref().map(|figure| figure.map(weight))
    }

    fn cell(self, size_class: Option<&str>, grade: Option<&str>, tenths: i64) -> PackoutCell {
        PackoutCell {
            size_class: size_class.map(Into::into),
            grade: grade.map(Into::into),
            share: self.boxes.map(Share::of(tenths_to_percent(tenths))),
            net_per_box: self.net_per_box(),
            net_per_pound: self.net_per_pound(),
            boxes: self.boxes,
            weight: self.weight,
            net: self.net,
            premium_per_pound: None,
            premium_per_box: None,
        }
    }
}

#[expect(clippy::cast_precision_loss, reason = "tenths of a percent, 0 to 1000")]
fn tenths_to_percent(tenths: i64) -> f64 {
    tenths as f64 / 10.0
}

fn net(cells: &[&Cell]) -> Option<Figure<Money>> {
    let settled = cells.iter().flat_map(|cell| &cell.settlements);
    let listed = cells.iter().flat_map(|cell| &cell.listed);
    let evidence = if cells.iter().all(|cell| cell.listed.is_empty()) { Evidence::Invoiced } else { Evidence::Assumed };
    let records: Vec<RecordRef> = settled.chain(listed).copied().collect();
    let value = cells.iter().map(|cell| cell.settled_net.plus(cell.listed_net)).sum();
    (!records.is_empty()).then(|| Figure::new(value, evidence, records))
}

/// A row's size class and grade; one of them is `None` in the table of the other.
type Name<'c> = (Option<&'c str>, Option<&'c str>);

/// One row for each name, in the order in which names first occur. Shares are of packed weight, of
/// boxes where some weight is missing, in tenths of a percent that sum to 100.0 by largest remainder.
fn rows<'c>(cells: &[&'c Cell], name: fn(&'c Cell) -> Name<'c>) -> Vec<PackoutCell> {
    let mut groups: Vec<(Name<'c>, Vec<&Cell>)> = Vec::new();
    for cell in cells {
        match groups.iter_mut().find(|(named, _)| *named == name(cell)) {
            Some((_, own)) => own.push(cell),
            None => groups.push((name(cell), vec![cell])),
        }
    }
    let sums: Vec<_> = groups.into_iter().map(|(named, own)| (named, Sum::of(&own))).collect();
    let shares = shares(&sums);
    sums.into_iter().zip(shares).map(|(((size, grade), sum), tenths)| sum.cell(size, grade, tenths)).collect()
}

/// What each class brings over the next smaller one of its grade that has a price. Sizes stand in
/// list order; words that stand for the same published class are no step up from each other.
fn with_premiums(mut rows: Vec<PackoutCell>, cells: &[Cell]) -> Vec<PackoutCell> {
    let class = |row: &PackoutCell| {
        let cell = cells.iter().find(|cell| Some(&cell.size) == row.size_class.as_ref());
        cell.and_then(|cell| cell.class.clone())
    };
    let (mut pounds, mut boxes) = (Below::default(), Below::default());
    for row in &mut rows {
        let class = class(row);
        row.premium_per_pound = pounds.step(row.grade.as_ref(), class.as_ref(), row.net_per_pound.as_ref());
        row.premium_per_box = boxes.step(row.grade.as_ref(), class.as_ref(), row.net_per_box.as_ref());
    }
    rows
}

/// A published class, where one is known, and its price.
type Step<U> = (Option<String>, Figure<UnitPrice<U>>);

/// Prices met so far, small to large, by grade.
struct Below<U>(BTreeMap<Option<String>, Vec<Step<U>>>);

impl<U> Default for Below<U> {
    fn default() -> Self {
        Self(BTreeMap::new())
    }
}

impl<U> Below<U> {
    /// What a price brings over the last one below it of another class.
    fn step(
        &mut self,
        grade: Option<&String>,
        class: Option<&String>,
        price: Option<&Figure<UnitPrice<U>>>,
    ) -> Option<Figure<UnitPrice<U>>> {
        let price = price?;
        let met = self.0.entry(grade.cloned()).or_default();
        let below = met.iter().rev().find(|(other, _)| class.is_none() || other.as_ref() != class);
        let premium = below.and_then(|(_, below)| over(below, price));
        met.push((class.cloned(), price.clone()));
        premium
    }
}

fn over<U>(below: &Figure<UnitPrice<U>>, this: &Figure<UnitPrice<U>>) -> Option<Figure<UnitPrice<U>>> {
    if this.value.is_beyond() || below.value.is_beyond() {
        return None;
    }
    let premium = this.value.micros().checked_sub(below.value.micros())?;
    let records = below.records.iter().chain(&this.records).copied();
    Some(Figure::new(UnitPrice::from_micros(premium), below.evidence.and(this.evidence), records))
}

fn shares(rows: &[(Name<'_>, Sum)]) -> Vec<i64> {
    let weight = |sum: &Sum| sum.weight.as_ref().map(|weight| weight.value.decimal());
    let by_weight: Option<Vec<Decimal>> = rows.iter().map(|(_, sum)| weight(sum)).collect();
    let by_boxes: Vec<Decimal> = rows.iter().map(|(_, sum)| sum.boxes.value.decimal()).collect();
    let parts = by_weight.and_then(|weights| largest_remainder(1_000, &weights));
    parts.or_else(|| largest_remainder(1_000, &by_boxes)).unwrap_or_default()
}

pub(super) fn by_cell(cells: &[Cell]) -> Vec<PackoutCell> {
    let all: Vec<&Cell> = cells.iter().collect();
    with_premiums(rows(&all, |cell| (Some(&cell.size), Some(&cell.grade))), cells)
}

pub(super) fn by_size(cells: &[Cell]) -> Vec<PackoutCell> {
    let all: Vec<&Cell> = cells.iter().collect();
    with_premiums(rows(&all, |cell| (Some(&cell.size), None)), cells)
}

/// By published class, words that stand for none as they are; nothing without an own list.
pub(super) fn by_class(cells: &[Cell]) -> Vec<PackoutCell> {
    fn name(cell: &Cell) -> &str {
        cell.class.as_ref().unwrap_or(&cell.size)
    }
    if cells.iter().all(|cell| cell.class.is_none()) {
        return Vec::new();
    }
    let mut all: Vec<&Cell> = cells.iter().collect();
    all.sort_by(|a, b| crate::size_classes::order(name(a), name(b)));
    with_premiums(rows(&all, |cell| (Some(name(cell)), None)), &[])
}

pub(super) fn by_grade(cells: &[Cell]) -> Vec<PackoutCell> {
    let mut all: Vec<&Cell> = cells.iter().collect();
    all.sort_by(|a, b| crate::size_classes::natural(&a.grade, &b.grade));
    rows(&all, |cell| (None, Some(&cell.grade)))
}
