//! Boxes by size class and grade, culls, and the price of each.

mod cells;
mod list;
mod settle;
mod table;
#[cfg(test)]
mod tests;
mod together;
mod weeks;

use std::collections::BTreeMap;

pub(crate) use settle::reference;
pub use settle::{LineMoney, line_money};
pub(crate) use together::settled_together;
pub use together::{Together, by_crop, together};

use self::cells::Cell;
use self::table::Sum;
use crate::exact::{Boxes, Pounds};
use crate::figure::{Evidence, Figure, Gap, GapAbout, Kept, RecordKind, RecordRef};
use crate::money::{Money, UnitPrice};
use crate::records::{LineOutcome, PackoutLine, Sold};
use crate::say;
use crate::season::{CullLine, PackoutSeason, SeasonRecords};
use crate::size_classes::{self, own, own::OwnList};
use crate::units::{BoxesPerAcre, PoundsPerTree, Share};

/// Money from sales. `None` where there is no record.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sales {
    /// Gross of settlements, and net at the price list of boxes not settled yet.
    pub gross: Option<Figure<Money>>,
    /// What buyers and packers kept back.
    pub charges: Option<Figure<Money>>,
    /// The part of gross that is at the price list.
    pub unsettled: Option<Figure<Money>>,
    /// The part of charges that is a percentage of gross.
    pub commission: Money,
    /// Packed boxes that have a value.
    pub valued: Option<Boxes>,
}

impl Sales {
    /// Net to grower: gross less charges. `None` where nothing has a value.
    pub fn net(&self) -> Option<Money> {
        let charges = self.charges.as_ref().map_or(Money::ZERO, |charges| charges.value);
        self.gross.as_ref().map(|gross| gross.value.minus(charges))
    }
}

/// A block's packed fruit, paid by its settlements and valued by the price list: made once, and read for
/// the block and for all of its crop.
#[derive(Debug)]
pub(crate) struct Settled {
    cells: Vec<Cell>,
    /// What does not fit.
    gaps: Vec<Gap>,
}

impl Settled {
    pub(crate) fn of(records: &SeasonRecords) -> Self {
        let own = own_list(records);
        let mut cells = cells::cells(&records.packout, &own);
        let mut gaps =
            if cells.is_empty() { Vec::new() } else { settle::settle(&mut cells, &records.settlements, &own) };
        gaps.extend(list::value(&mut cells, &records.prices, &records.block.crop, &own));
        gaps.extend(own::doubled(&records.sizes, &records.block.crop, &records.season));
        gaps.extend(doubts(records, &cells));
        Self { cells, gaps }
    }

    /// Packed fruit, its value, the money from sales, and what does not fit.
    pub(crate) fn season(&self, records: &SeasonRecords) -> (PackoutSeason, Sales, Vec<Gap>) {
        (packed(records, &self.cells), sales(records, &self.cells), self.gaps.clone())
    }
}

/// Packed fruit, its value, the money from sales, and what does not fit.
#[cfg(test)]
fn season(records: &SeasonRecords) -> (PackoutSeason, Sales, Vec<Gap>) {
    Settled::of(records).season(records)
}

fn own_list(records: &SeasonRecords) -> OwnList<'_> {
    OwnList::of(&records.sizes, &records.block.crop, &records.season)
}

fn packed(records: &SeasonRecords, cells: &[Cell]) -> PackoutSeason {
    let all: Vec<&Cell> = cells.iter().collect();
    let sum = (!cells.is_empty()).then(|| Sum::of(&all));
    let boxes = sum.as_ref().map(|sum| sum.boxes.clone());
    let weight = sum.as_ref().and_then(|sum| sum.weight.clone());
    let thrown_out = culls(&records.packout);
    let block = &records.block;
    PackoutSeason {
        boxes_per_acre: boxes
            .as_ref()
            .filter(|_| !block.acres.is_zero())
            .map(|boxes| boxes.map(BoxesPerAcre::of(boxes.value.as_f64() / block.acres.as_f64()))),
        weight_per_tree: weight
            .as_ref()
            .zip(block.trees.filter(|trees| *trees > 0))
            .map(|(weight, trees)| weight.map(PoundsPerTree::of(weight.value.as_f64() / f64::from(trees)))),
        picked: picked(records),
        packed_share: weight.as_ref().and_then(|weight| packed_share(weight, &thrown_out)),
        net_per_pound: sum.as_ref().map_or_else(|| sold_per_pound(records), Sum::net_per_pound),
        net_per_box: sum.as_ref().and_then(Sum::net_per_box),
        priced_weight: sum.as_ref().and_then(Sum::priced_weight),
        cells: table::by_cell(cells),
        sizes: table::by_size(cells),
        grades: table::by_grade(cells),
        classes: table::by_class(cells),
        weeks: weeks::weeks(cells),
        boxes_without_price: boxes_without_price(cells),
        boxes_unsettled: boxes_unsettled(cells),
        boxes,
        weight,
        culls: thrown_out,
    }
}

/// Picked weight, off a scale; `None` unless every pick has one.
fn picked(records: &SeasonRecords) -> Option<Figure<Pounds>> {
    let weight: Option<Pounds> = records.picks.iter().map(|kept| kept.record.weight).sum();
    let references = records.picks.iter().map(|kept| RecordRef { kind: RecordKind::Pick, id: kept.id });
    weight.filter(|_| !records.picks.is_empty()).map(|weight| Figure::new(weight, Evidence::Metered, references))
}

/// By cause, the heaviest first; causes without a weight last.
fn culls(packout: &[Kept<PackoutLine>]) -> Vec<CullLine> {
    let mut causes: BTreeMap<&str, Vec<&Kept<PackoutLine>>> = BTreeMap::new();
    for kept in packout {
        if let LineOutcome::Culled { cause } = &kept.record.outcome {
            causes.entry(cause.trim()).or_default().push(kept);
        }
    }
    let line = |(cause, lines): (&str, Vec<&Kept<PackoutLine>>)| {
        let weight: Option<Pounds> = lines.iter().map(|kept| kept.record.weight).sum();
        let references = lines.iter().map(|kept| RecordRef { kind: RecordKind::Packout, id: kept.id });
        CullLine {
            cause: cause.into(),
            weight: weight.map(|weight| Figure::new(weight, Evidence::Counted, references)),
        }
    };
    let mut lines: Vec<CullLine> = causes.into_iter().map(line).collect();
    let weight = |line: &CullLine| line.weight.as_ref().map(|weight| weight.value);
    lines.sort_by(|a, b| weight(b).cmp(&weight(a)).then_with(|| size_classes::natural(&a.cause, &b.cause)));
    lines
}

/// Packed share of packed and culled weight; needs the weight of every cull.
fn packed_share(packed: &Figure<Pounds>, culls: &[CullLine]) -> Option<Figure<Share>> {
    let culled: Option<Vec<&Figure<Pounds>>> = culls.iter().map(|line| line.weight.as_ref()).collect();
    let culled = culled?;
    let all = packed.value.plus(culled.iter().map(|weight| weight.value).sum()).as_f64();
    let records = packed.records.iter().chain(culled.iter().flat_map(|weight| &weight.records)).copied();
    (all > 0.0).then(|| Figure::new(Share::of(packed.value.as_f64() / all * 100.0), Evidence::Counted, records))
}

/// Price of a pound of fruit that was sold by weight and never packed, as for processing.
fn sold_per_pound(records: &SeasonRecords) -> Option<Figure<UnitPrice<crate::exact::unit::Pound>>> {
    let weight: Option<Pounds> = records
        .settlements
        .iter()
        .map(|kept| match kept.record.sold {
            Sold::Weight { weight, .. } => Some(weight),
            Sold::Adjustment(_) => Some(Pounds::ZERO),
            Sold::Boxes { .. } => None,
        })
        .sum();
    let net: Money = records.settlements.iter().map(|kept| line_money(&kept.record).net()).sum();
    let each = UnitPrice::each(net.decimal(), weight?.decimal())?;
    Some(Figure::new(each, Evidence::Invoiced, records.settlements.iter().map(settle::reference)))
}

fn boxes_without_price(cells: &[Cell]) -> Option<Figure<Boxes>> {
    let boxes = list::unpriced(cells);
    let lots = cells.iter().filter(|cell| !cell.unpriced.is_zero()).flat_map(Cell::packed);
    (!boxes.is_zero()).then(|| Figure::new(boxes, Evidence::Counted, lots))
}

fn boxes_unsettled(cells: &[Cell]) -> Option<Figure<Boxes>> {
    let boxes: Boxes = cells.iter().map(Cell::left).sum();
    let lots = cells.iter().filter(|cell| !cell.left().is_zero()).flat_map(Cell::packed);
    (!boxes.is_zero()).then(|| Figure::new(boxes, Evidence::Counted, lots))
}

fn sales(records: &SeasonRecords, cells: &[Cell]) -> Sales {
    let money = || records.settlements.iter().map(|kept| line_money(&kept.record));
    let settled: Vec<RecordRef> = records.settlements.iter().map(settle::reference).collect();
    let listed: Vec<RecordRef> = cells.iter().flat_map(|cell| &cell.listed).copied().collect();
    let unsettled: Money = cells.iter().map(|cell| cell.listed_net).sum();
    let unsettled = (!listed.is_empty()).then(|| Figure::new(unsettled, Evidence::Assumed, listed.iter().copied()));
    let gross = money().map(|line| line.gross).sum::<Money>().plus(unsettled.as_ref().map_or(Money::ZERO, |u| u.value));
    let evidence = if unsettled.is_some() { Evidence::Assumed } else { Evidence::Invoiced };
    let charged: Vec<RecordRef> = records
        .settlements
        .iter()
        .filter(|kept| !line_money(&kept.record).charges.is_zero())
        .map(settle::reference)
        .collect();
    Sales {
        gross: (!settled.is_empty() || unsettled.is_some())
            .then(|| Figure::new(gross, evidence, settled.into_iter().chain(listed))),
        charges: (!charged.is_empty())
            .then(|| Figure::new(money().map(|line| line.charges).sum(), Evidence::Invoiced, charged)),
        unsettled,
        commission: money().map(|line| line.commission).sum(),
        valued: (!cells.is_empty()).then(|| cells.iter().map(Cell::valued).sum()),
    }
}

fn doubts(records: &SeasonRecords, cells: &[Cell]) -> Vec<Gap> {
    let never_packed = (cells.is_empty() && !records.settlements.is_empty()).then(|| {
        let what = "Fruit was sold, but none is recorded as packed: there is no price by size class and grade.";
        let mend = "Keep the packing report, if the fruit was packed.";
        say::worth_a_look(GapAbout::Packout, what, mend, [])
    });
    never_packed
        .into_iter()
        .chain(without_weight(cells))
        .chain(without_price(cells))
        .chain(charges_without_boxes(records))
        .collect()
}

fn without_weight(cells: &[Cell]) -> Option<Gap> {
    let lots = || cells.iter().flat_map(|cell| &cell.lots).filter(|lot| lot.weight.is_none());
    let boxes: Boxes = lots().map(|lot| lot.boxes).sum();
    (!boxes.is_zero()).then(|| {
        let what = format!("{} no weight.", say::counted(boxes.decimal(), "box has", "boxes have"));
        let mend = "Add the net weight, or the pounds of a box; prices by the pound need it.";
        say::missing(GapAbout::Packout, what, mend, lots().map(cells::Lot::reference))
    })
}

fn without_price(cells: &[Cell]) -> Option<Gap> {
    boxes_without_price(cells).map(|boxes| {
        let what = format!("{} without a price.", say::counted(boxes.value.decimal(), "box", "boxes"));
        let mend = "Keep the settlement, or a price list that holds on the day of packing.";
        say::missing(GapAbout::Price, what, mend, boxes.records)
    })
}

fn charges_without_boxes(records: &SeasonRecords) -> Option<Gap> {
    let lines: Vec<_> =
        records.settlements.iter().filter(|kept| line_money(&kept.record).box_charges_without_boxes).collect();
    let dates: Vec<_> = lines.iter().map(|kept| kept.record.date).collect();
    (!lines.is_empty()).then(|| {
        let what = say::lacking("A settlement", "settlements", &dates, "charges by the box and no boxes");
        let mend = "Enter those charges as a lump, or the sale by the box.";
        say::missing(GapAbout::Price, what, mend, lines.into_iter().map(settle::reference))
    })
}
