//! Prices by week of packing: the earliest settlement pays the earliest packed boxes.

use std::collections::BTreeMap;

use chrono::{Datelike, Days, NaiveDate};
use rust_decimal::Decimal;

use super::cells::{Cell, Lot, less};
use crate::allocate::allocate;
use crate::exact::{Boxes, Pounds};
use crate::figure::{Evidence, Figure, RecordRef};
use crate::money::{Money, UnitPrice};
use crate::season::PackoutWeek;

/// A lot and what it brought.
struct Valued<'c> {
    lot: &'c Lot,
    boxes: Boxes,
    net: Money,
    evidence: Evidence,
    records: Vec<RecordRef>,
}

pub(super) fn weeks(cells: &[Cell]) -> Vec<PackoutWeek> {
    let mut weeks: BTreeMap<NaiveDate, Vec<Valued<'_>>> = BTreeMap::new();
    for lot in cells.iter().flat_map(valued) {
        weeks.entry(monday(lot.lot.date)).or_default().push(lot);
    }
    weeks.into_iter().map(|(starts, lots)| week(starts, &lots)).collect()
}

fn monday(day: NaiveDate) -> NaiveDate {
    day.checked_sub_days(Days::new(day.weekday().num_days_from_monday().into())).unwrap_or(day)
}

/// Each lot of a cell with its part of every payment and its value at the list.
fn valued(cell: &Cell) -> Vec<Valued<'_>> {
    let empty =
        |lot| Valued { lot, boxes: Boxes::ZERO, net: Money::ZERO, evidence: Evidence::Invoiced, records: Vec::new() };
    let mut lots: Vec<Valued<'_>> = cell.lots.iter().map(empty).collect();
    let mut payments: Vec<_> = cell.payments.iter().collect();
    payments.sort_by_key(|payment| (payment.date, payment.net, payment.boxes, payment.record));
    for payment in payments {
        let taken = take(&mut lots, payment.boxes);
        let packed = || cell.lots.iter().map(|lot| lot.boxes.decimal()).collect::<Vec<_>>();
        let parts = allocate(payment.net, &taken).or_else(|| allocate(payment.net, &packed())).unwrap_or_default();
        for (lot, part) in lots.iter_mut().zip(parts).filter(|(_, part)| !part.is_zero()) {
            lot.net = lot.net.plus(part);
            lot.records.push(payment.record);
        }
    }
    for (place, boxes, amount, price) in &cell.at_list {
        if let Some(lot) = lots.get_mut(*place) {
            lot.boxes = lot.boxes.plus(*boxes);
            lot.net = lot.net.plus(*amount);
            lot.evidence = Evidence::Assumed;
            lot.records.push(*price);
        }
    }
    lots
}

/// Settles boxes of the earliest lots that are not settled yet; how many of each.
fn take(lots: &mut [Valued<'_>], mut boxes: Boxes) -> Vec<Decimal> {
    let mut taken = Vec::with_capacity(lots.len());
    for lot in lots {
        let part = less(lot.lot.boxes, lot.boxes).min(boxes);
        lot.boxes = lot.boxes.plus(part);
        boxes = less(boxes, part);
        taken.push(part.decimal());
    }
    taken
}

fn week(starts: NaiveDate, lots: &[Valued<'_>]) -> PackoutWeek {
    let packed = || lots.iter().map(|lot| lot.lot.reference());
    let weight: Option<Pounds> = lots.iter().map(|lot| lot.lot.weight).sum();
    let evidence = lots.iter().map(|lot| lot.evidence).max().unwrap_or(Evidence::Invoiced);
    let records: Vec<RecordRef> = lots.iter().flat_map(|lot| &lot.records).copied().collect();
    let net = Figure::new(lots.iter().map(|lot| lot.net).sum::<Money>(), evidence, records);
    let net = (net.n() > 0).then_some(net);
    let boxes: Boxes = lots.iter().map(|lot| lot.boxes).sum();
    let pounds: Option<Decimal> = lots.iter().map(valued_weight).sum();
    let exact = net.as_ref().map(|net| net.value.decimal());
    let each_box = exact.and_then(|net| UnitPrice::each(net, boxes.decimal()));
    let each_pound = exact.zip(pounds).and_then(|(net, pounds)| UnitPrice::each(net, pounds));
    PackoutWeek {
        starts,
        boxes: Figure::new(lots.iter().map(|lot| lot.lot.boxes).sum(), Evidence::Counted, packed()),
        weight: weight.map(|weight| Figure::new(weight, Evidence::Counted, packed())),
        net_per_box: net.as_ref().zip(each_box).map(|(net, each)| net.map(each)),
        net_per_pound: net.as_ref().zip(each_pound).map(|(net, each)| net.map(each)),
        net,
    }
}

/// Weight of a lot's boxes that have a value.
fn valued_weight(lot: &Valued<'_>) -> Option<Decimal> {
    lot.lot.weight?.decimal().checked_mul(lot.boxes.decimal())?.checked_div(lot.lot.boxes.decimal())
}
