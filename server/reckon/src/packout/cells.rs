//! Packed fruit by size class and grade, and how much of it is settled.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rust_decimal::Decimal;

use crate::exact::{Boxes, Pounds};
use crate::figure::{Kept, RecordId, RecordKind, RecordRef};
use crate::money::Money;
use crate::records::{LineOutcome, PackoutLine};
use crate::size_classes::{self, own::OwnList};

/// One packed line.
#[derive(Debug, Clone)]
pub(super) struct Lot {
    pub(super) date: NaiveDate,
    pub(super) id: RecordId,
    pub(super) boxes: Boxes,
    pub(super) weight: Option<Pounds>,
}

impl Lot {
    pub(super) fn reference(&self) -> RecordRef {
        RecordRef { kind: RecordKind::Packout, id: self.id }
    }
}

/// What one settlement line pays for a cell.
#[derive(Debug, Clone)]
pub(super) struct Payment {
    pub(super) date: NaiveDate,
    pub(super) record: RecordRef,
    /// Boxes it settles; none for an adjustment.
    pub(super) boxes: Boxes,
    pub(super) net: Money,
}

/// All fruit of one size class and grade.
#[derive(Debug, Clone)]
pub(super) struct Cell {
    pub(super) size: String,
    /// The published size it stands for, where an own list says so of some size packed.
    pub(super) class: Option<String>,
    pub(super) grade: String,
    /// Earliest packed first, of a day the fewest boxes.
    pub(super) lots: Vec<Lot>,
    /// Boxes a settlement has paid.
    pub(super) settled: Boxes,
    /// Boxes that neither a settlement nor the price list values.
    pub(super) unpriced: Boxes,
    /// Net to grower from settlements.
    pub(super) settled_net: Money,
    /// Net to grower at the price list.
    pub(super) listed_net: Money,
    /// Settlement lines behind `settled_net`.
    pub(super) settlements: Vec<RecordRef>,
    /// The cell's part of each of them.
    pub(super) payments: Vec<Payment>,
    /// Values at the price list: place of the lot in `lots`, its boxes and what they bring.
    pub(super) at_list: Vec<(usize, Boxes, Money, RecordRef)>,
    /// Price lines and packed lines behind `listed_net`.
    pub(super) listed: Vec<RecordRef>,
}

impl Cell {
    fn new(size: &str, grade: &str) -> Self {
        Self {
            size: size.into(),
            class: None,
            grade: grade.into(),
            lots: Vec::new(),
            settled: Boxes::ZERO,
            unpriced: Boxes::ZERO,
            settled_net: Money::ZERO,
            listed_net: Money::ZERO,
            settlements: Vec::new(),
            payments: Vec::new(),
            at_list: Vec::new(),
            listed: Vec::new(),
        }
    }

    pub(super) fn boxes(&self) -> Boxes {
        self.lots.iter().map(|lot| lot.boxes).sum()
    }

    /// Net weight; `None` when a lot carries none.
    pub(super) fn weight(&self) -> Option<Pounds> {
        self.lots.iter().map(|lot| lot.weight).sum()
    }

    /// Boxes no settlement has paid yet.
    pub(super) fn left(&self) -> Boxes {
        less(self.boxes(), self.settled)
    }

    /// Boxes that have a value, settled or listed.
    pub(super) fn valued(&self) -> Boxes {
        less(self.boxes(), self.unpriced)
    }

    /// Net weight of some of its boxes, at the cell's mean weight of a box.
    pub(super) fn weight_of(&self, boxes: Boxes) -> Option<Decimal> {
        let all = self.boxes().decimal();
        self.weight()?.decimal().checked_mul(boxes.decimal())?.checked_div(all)
    }

    pub(super) fn packed(&self) -> impl Iterator<Item = RecordRef> {
        self.lots.iter().map(Lot::reference)
    }
}

/// What is left of `all` without `part`, never below zero.
pub(super) fn less(all: Boxes, part: Boxes) -> Boxes {
    Boxes::from_micros(all.micros().saturating_sub(part.micros()).max(0))
}

/// The cells that occur: sizes in list order, then grades. Lines of no boxes are left out.
pub(super) fn cells(packout: &[Kept<PackoutLine>], own: &OwnList<'_>) -> Vec<Cell> {
    let mut found: BTreeMap<(&str, &str), Cell> = BTreeMap::new();
    for kept in packout {
        let LineOutcome::Packed { size_class, grade, boxes } = &kept.record.outcome else { continue };
        if boxes.is_zero() {
            continue;
        }
        let (size, grade) = (size_class.trim(), grade.trim());
        let lot = Lot { date: kept.record.date, id: kept.id, boxes: *boxes, weight: kept.record.weight };
        found.entry((size, grade)).or_insert_with(|| Cell::new(size, grade)).lots.push(lot);
    }
    let mut cells: Vec<Cell> = found.into_values().collect();
    for cell in &mut cells {
        cell.lots.sort_by_key(|lot| (lot.date, lot.boxes, lot.weight, lot.id));
    }
    arrange(&mut cells, own);
    cells
}

/// Sizes small to large, then grades; each with the published size it stands for.
pub(super) fn arrange(cells: &mut [Cell], own: &OwnList<'_>) {
    let mapped = cells.iter().any(|cell| own.maps(&cell.size));
    for cell in cells.iter_mut() {
        cell.class = own.class(&cell.size).filter(|_| mapped).map(|class| class.words());
    }
    cells.sort_by(|a, b| own.order(&a.size, &b.size).then_with(|| size_classes::natural(&a.grade, &b.grade)));
}
