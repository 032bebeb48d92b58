//! Settlement lines: their money, and which packed fruit they pay.

use rust_decimal::Decimal;

use super::cells::{Cell, Payment, less};
use crate::allocate::{allocate, largest_remainder};
use crate::exact::{Boxes, Pounds};
use crate::figure::{Gap, GapAbout, Kept, RecordKind, RecordRef};
use crate::money::Money;
use crate::records::{SettlementLine, Sold};
use crate::say;
use crate::size_classes::own::OwnList;

/// Gross and charges of one settlement line; each product is rounded once, to the cent.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct LineMoney {
    /// Quantity x price, or the adjustment.
    pub gross: Money,
    /// Packing, cooling, freight, commission and lump together.
    pub charges: Money,
    /// Of these, packing.
    pub packing: Money,
    /// Cooling and storage.
    pub cooling: Money,
    /// Freight.
    pub freight: Money,
    /// Sales commission: the part that is a percentage of gross.
    pub commission: Money,
    /// The lump.
    pub lump: Money,
    /// Charges by the box stand on a line that has no boxes, and are left out.
    pub box_charges_without_boxes: bool,
}

impl LineMoney {
    /// Gross less charges.
    pub const fn net(self) -> Money {
        self.gross.minus(self.charges)
    }
}

/// The money of a settlement line. Commission is taken from the unrounded gross.
pub fn line_money(line: &SettlementLine) -> LineMoney {
    let charges = &line.charges;
    let by_box = [charges.packing, charges.cooling, charges.freight];
    let (gross, boxes) = match line.sold {
        Sold::Boxes { boxes, price } => (price.times(boxes), boxes),
        Sold::Weight { weight, price } => (price.times(weight), Boxes::ZERO),
        Sold::Adjustment(amount) => (amount.decimal(), Boxes::ZERO),
    };
    let commission = gross
        .checked_mul(charges.commission.decimal())
        .and_then(|hundredfold| hundredfold.checked_div(Decimal::ONE_HUNDRED))
        .unwrap_or_default();
    let [packing, cooling, freight] = by_box.map(|each| cents(each.times(boxes)));
    let (commission, lump) = (cents(commission), charges.lump);
    LineMoney {
        gross: cents(gross),
        charges: [packing, cooling, freight, commission, lump].into_iter().sum(),
        packing,
        cooling,
        freight,
        commission,
        lump,
        box_charges_without_boxes: boxes.is_zero() && by_box.iter().any(|each| each.micros() != 0),
    }
}

/// Intake keeps quantities and prices far below the range of money.
fn cents(exact: Decimal) -> Money {
    Money::round(exact).unwrap_or_default()
}

pub(crate) fn reference(kept: &Kept<SettlementLine>) -> RecordRef {
    RecordRef { kind: RecordKind::Settlement, id: kept.id }
}

/// Pays the cells: lines that name size and grade first, then those that name the size, then the grade,
/// then those for all; adjustments last. A line that covers several cells goes out by the boxes (or weight) not
/// settled yet, an adjustment by the boxes packed, cent-exact. Of lines alike in all that the earlier goes first, of a
/// day the one that brings less.
pub(super) fn settle(cells: &mut [Cell], lines: &[Kept<SettlementLine>], list: &OwnList<'_>) -> Vec<Gap> {
    let mut ordered: Vec<&Kept<SettlementLine>> = lines.iter().collect();
    ordered.sort_by_key(|kept| {
        let line = &kept.record;
        let wide = u8::from(line.size_class.is_none()) + u8::from(line.grade.is_none());
        let adjusts = matches!(line.sold, Sold::Adjustment(_));
        (adjusts, wide, line.size_class.is_none(), line.date, content(line), kept.id)
    });
    ordered.into_iter().filter_map(|kept| pay(cells, kept, list)).collect()
}

/// All of a line that changes what it pays for.
fn content(line: &SettlementLine) -> (Money, Boxes, Pounds, Option<&str>, Option<&str>) {
    let (boxes, weight) = match line.sold {
        Sold::Boxes { boxes, .. } => (boxes, Pounds::ZERO),
        Sold::Weight { weight, .. } => (Boxes::ZERO, weight),
        Sold::Adjustment(_) => (Boxes::ZERO, Pounds::ZERO),
    };
    (line_money(line).net(), boxes, weight, line.size_class.as_deref(), line.grade.as_deref())
}

fn pay(cells: &mut [Cell], kept: &Kept<SettlementLine>, list: &OwnList<'_>) -> Option<Gap> {
    let line = &kept.record;
    let own_words = |cell: &Cell| line.size_class.as_ref().is_none_or(|name| name.trim() == cell.size);
    let in_own_words = cells.iter().any(|cell| own_words(cell) && of_grade(line, cell));
    let covers =
        |cell: &Cell| of_grade(line, cell) && if in_own_words { own_words(cell) } else { stands_for(line, cell, list) };
    let mut own: Vec<&mut Cell> = cells.iter_mut().filter(|cell| covers(cell)).collect();
    let paid = match line.sold {
        Sold::Boxes { boxes, .. } => by_boxes(&own, boxes),
        Sold::Weight { weight, .. } => by_weight(&own, weight.decimal()),
        Sold::Adjustment(_) => Paid { weights: packed(&own), boxes: Vec::new(), over: None },
    };
    let Some(parts) = allocate(line_money(line).net(), &paid.weights) else { return Some(nothing_packed(kept)) };
    let boxes = paid.boxes.iter().copied().chain(core::iter::repeat(Boxes::ZERO));
    for ((cell, net), boxes) in own.iter_mut().zip(parts).zip(boxes) {
        cell.settled_net = cell.settled_net.plus(net);
        cell.settled = cell.settled.plus(boxes);
        cell.settlements.push(reference(kept));
        cell.payments.push(Payment { date: line.date, record: reference(kept), boxes, net });
    }
    paid.over.map(|over| more_than_packed(kept, &over))
}

fn of_grade(line: &SettlementLine, cell: &Cell) -> bool {
    line.grade.as_ref().is_none_or(|name| name.trim() == cell.grade)
}

/// A buyer's word that nothing was packed under covers what stands for the same size in the
/// operation's own list.
fn stands_for(line: &SettlementLine, cell: &Cell, list: &OwnList<'_>) -> bool {
    line.size_class.as_ref().is_some_and(|name| list.same(name, &cell.size))
}

/// How a line goes out to the cells it covers.
struct Paid {
    /// For its money.
    weights: Vec<Decimal>,
    /// Boxes it settles in each cell.
    boxes: Vec<Boxes>,
    /// What it pays beyond the fruit packed: "88 boxes".
    over: Option<String>,
}

fn packed(cells: &[&mut Cell]) -> Vec<Decimal> {
    cells.iter().map(|cell| cell.boxes().decimal()).collect()
}

fn by_boxes(cells: &[&mut Cell], boxes: Boxes) -> Paid {
    let left: Vec<Boxes> = cells.iter().map(|cell| cell.left()).collect();
    let all: Boxes = left.iter().copied().sum();
    let weights: Vec<Decimal> = left.iter().map(|boxes| boxes.decimal()).collect();
    let over = less(boxes, all);
    let over = (!over.is_zero()).then(|| say::counted(over.decimal(), "box", "boxes"));
    match largest_remainder(boxes.min(all).micros(), &weights) {
        Some(parts) => Paid { weights, boxes: parts.into_iter().map(Boxes::from_micros).collect(), over },
        None => Paid { weights: packed(cells), boxes: Vec::new(), over },
    }
}

/// Shipped weight never quite agrees with packed weight: within one percent it is the same fruit.
fn by_weight(cells: &[&mut Cell], weight: Decimal) -> Paid {
    let left: Vec<Boxes> = cells.iter().map(|cell| cell.left()).collect();
    let weights: Option<Vec<Decimal>> = cells.iter().zip(&left).map(|(cell, left)| cell.weight_of(*left)).collect();
    // Without packed weights a line by weight can only be taken for all fruit left.
    let Some(weights) = weights else {
        let by_boxes = left.iter().map(|boxes| boxes.decimal()).collect();
        return all_of(cells, by_boxes, left, None);
    };
    let all: Decimal = weights.iter().sum();
    let (low, high) = (Decimal::new(99, 2) * all, Decimal::new(101, 2) * all);
    if weight < low {
        let parts = left.iter().map(|boxes| part_of(*boxes, weight, all)).collect();
        return Paid { weights, boxes: parts, over: None };
    }
    let over = (weight > high).then(|| format!("{} lb", say::number(crate::money::round_half_away(weight - all, 0))));
    all_of(cells, weights, left, over)
}

/// Settles all that is left; where nothing is, the money still goes to the fruit it names.
fn all_of(cells: &[&mut Cell], weights: Vec<Decimal>, left: Vec<Boxes>, over: Option<String>) -> Paid {
    let none_left = left.iter().all(|boxes| boxes.is_zero());
    Paid { weights: if none_left { packed(cells) } else { weights }, boxes: left, over }
}

/// Boxes that go with a part of the weight, rounded to a millionth of a box.
fn part_of(boxes: Boxes, weight: Decimal, all: Decimal) -> Boxes {
    let exact = boxes.decimal().checked_mul(weight).and_then(|product| product.checked_div(all));
    exact.and_then(|part| Boxes::new(crate::money::round_half_away(part, 6)).ok()).unwrap_or_default()
}

/// "AA, Fancy", "AA", or nothing for a line that is for all fruit.
fn name(line: &SettlementLine) -> String {
    let words: Vec<&str> = [&line.size_class, &line.grade].into_iter().flatten().map(|word| word.trim()).collect();
    words.join(", ")
}

fn nothing_packed(kept: &Kept<SettlementLine>) -> Gap {
    let day = say::day(kept.record.date);
    let what = format!("The settlement of {day} is for {}, and no such boxes were packed.", name(&kept.record));
    let mend = "Use the size classes and grades of the packing report, or leave them blank on the settlement.";
    say::missing(GapAbout::Price, what, mend, [reference(kept)])
}

fn more_than_packed(kept: &Kept<SettlementLine>, over: &str) -> Gap {
    let (day, name) = (say::day(kept.record.date), name(&kept.record));
    let of = if name.is_empty() { String::new() } else { format!(" of {name}") };
    let what = format!("The settlement of {day} pays for {over}{of} more than were packed.");
    say::missing(
        GapAbout::Price,
        what,
        "Check the settlement against the packing report; a line may stand twice.",
        [reference(kept)],
    )
}
