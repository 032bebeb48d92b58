//! An invented operation, reckoned from records: six blocks on two farms, two crops, three ways of
//! thinning, costs of blocks, of a farm and of all, and one that no block can bear.

use chrono::Datelike;
use reckon::block::{Block, Farm, Season, SeasonState};
use reckon::exact::{Acres, Boxes, Hours, Pounds};
use reckon::figure::{Kept, RecordId};
use reckon::money::{Money, UnitPrice};
use reckon::operation_season::{OperationRecords, OperationSeason, SharedAmong};
use reckon::records::{
    Applied, Charges, Cost, CostGroup, IrrigationSet, LaborEntry, LineOutcome, Loading, MeterUnit, PackoutLine, Pay,
    SettlementLine, SharedBasis, Shares, Sold, Task, ThinningMethod,
};
use reckon::season::{SeasonRecords, SharedCost};
use reckon::sharing::shared_out;
use reckon::size_classes::own::OwnSize;
use rust_decimal::Decimal;

use super::day;

/// Code, farm, crop, acres in tenths, trees, method, boxes, cents a box.
type Sketch = (&'static str, &'static str, &'static str, i64, u32, ThinningMethod, i64, i64);

const BLOCKS: [Sketch; 6] = [
    ("RB-1", "River Bench", "nectarine", 154, 2_387, ThinningMethod::ByHand, 9_120, 2_145),
    ("RB-2", "River Bench", "nectarine", 92, 1_420, ThinningMethod::ByHand, 4_010, 1_980),
    ("RB-10", "River Bench", "nectarine", 60, 935, ThinningMethod::Pole, 2_655, 2_010),
    ("SD-1", "Sand Draw", "peach", 121, 1_880, ThinningMethod::ByHand, 7_340, 1_725),
    ("SD-2", "Sand Draw", "peach", 33, 512, ThinningMethod::Cuts, 1_903, 1_690),
    ("SD-4", "Sand Draw", "plum", 32, 498, ThinningMethod::ByHand, 0, 0),
];

/// The sample, reckoned.
pub fn operation() -> OperationSeason {
    operation_records().reckon()
}

/// Its records.
pub fn operation_records() -> OperationRecords {
    let season = season(2026);
    let costs = shared_costs();
    let blocks: Vec<SeasonRecords> = BLOCKS.iter().map(|sketch| records(sketch, &costs, 2026)).collect();
    let among = |(n, (cost, farm)): (usize, &(Cost, Option<&str>))| {
        let bearing = bearing(*farm);
        let weights: Vec<Decimal> = bearing.iter().map(|sketch| weight(cost, sketch)).collect();
        SharedAmong {
            out: shared_out(cost, &season, &weights),
            cost: Kept { id: id(900, n), record: cost.clone() },
            farm: farm.map(str::to_owned),
            share_only: false,
            blocks: bearing.iter().map(|sketch| sketch.0.to_owned()).collect(),
        }
    };
    OperationRecords {
        operation: "Cottonwood Flat Orchards".to_owned(),
        whole: true,
        shared: costs.iter().enumerate().map(among).collect(),
        last: BLOCKS.iter().take(4).map(|sketch| records(sketch, &[], 2025)).collect(),
        blocks,
        season,
    }
}

fn id(first: u32, n: usize) -> RecordId {
    RecordId::Line(first.saturating_add(u32::try_from(n).unwrap_or_default()))
}

fn season(year: i32) -> Season {
    let first_day = day(1, 1).with_year(year).unwrap_or_default();
    Season { year, first_day, last_day: day(12, 31).with_year(year).unwrap_or_default(), state: SeasonState::Open }
}

fn kept<R>(first: u32, records: impl IntoIterator<Item = R>) -> Vec<Kept<R>> {
    records.into_iter().enumerate().map(|(n, record)| Kept { id: id(first, n), record }).collect()
}

fn bearing(farm: Option<&str>) -> Vec<&'static Sketch> {
    BLOCKS.iter().filter(|sketch| farm.is_none_or(|farm| sketch.1 == farm)).collect()
}

fn weight(cost: &Cost, sketch: &Sketch) -> Decimal {
    match cost.basis {
        SharedBasis::Trees => Decimal::from(sketch.4),
        // Nobody kept weights: this cost has no block to go to.
        SharedBasis::Weight => Decimal::ZERO,
        _ => Decimal::new(sketch.3, 1),
    }
}

fn shared_costs() -> Vec<(Cost, Option<&'static str>)> {
    let cost = |(month, date), what: &str, group, cents, basis| Cost {
        date: day(month, date),
        payee: "valley supply".to_owned(),
        category: what.to_owned(),
        group,
        amount: Money::from_cents(cents),
        basis,
        shares: Shares::default(),
        lasting: None,
        note: String::new(),
    };
    vec![
        (cost((1, 15), "office", CostGroup::CashOverhead, 1_284_651, SharedBasis::Acres), None),
        (cost((2, 3), "property insurance", CostGroup::CashOverhead, 742_018, SharedBasis::Acres), None),
        (cost((3, 9), "bee hives", CostGroup::Cultural, 318_000, SharedBasis::Trees), Some("River Bench")),
        (cost((8, 20), "sorting table rent", CostGroup::Harvest, 90_000, SharedBasis::Weight), Some("Sand Draw")),
    ]
}

fn records(sketch: &Sketch, shared: &[(Cost, Option<&str>)], year: i32) -> SeasonRecords {
    let (code, farm, crop, acres, trees, method, boxes, price) = *sketch;
    // Each block's records have lines of their own.
    let first = trees.saturating_mul(100);
    let season = season(year);
    let farm = Farm { name: farm.to_owned(), ..Farm::default() };
    let block = Block {
        code: code.to_owned(),
        crop: crop.to_owned(),
        variety: "Ninebark".to_owned(),
        acres: Acres::from_micros(acres.saturating_mul(100_000)),
        trees: Some(trees),
        ..Block::default()
    };
    let mut all = SeasonRecords::without_records("Cottonwood Flat Orchards".to_owned(), farm, block, season);
    let at = |month, date| day(month, date).with_year(year).unwrap_or_default();
    // Each year's work differs a little, so a comparison with the last has something to say.
    let more = i64::from(year == 2026);
    let hours = i64::from(trees) / 4 + more * 37;
    all.labor = kept(
        first + 2,
        [
            work(at(2, 11), Task::Prune, None, hours * 2),
            work(at(5, 14), Task::Thin, Some(method), hours),
            work(at(7, 20), Task::Pick, None, boxes / 20),
        ],
    );
    if boxes > 0 {
        all.packout = kept(first + 40, (0..4).map(|n| packed(at(7, 6 + 7 * n), n, boxes)));
        all.settlements = kept(first + 60, (0..3).map(|n| settled(at(8, 3), n, boxes, price - more * 40)));
    }
    all.irrigation = kept(first + 80, (1..4).map(|n| set(at(5 + n, 2), n, acres)));
    all.costs = kept(first + 20, [own_cost(at(4, 2), acres)]);
    for (n, (cost, farm)) in shared.iter().enumerate() {
        let bearing = bearing(*farm);
        if let Some(own) = bearing.iter().position(|other| other.0 == code) {
            let weights = bearing.iter().map(|sketch| weight(cost, sketch)).collect();
            all.shared_costs.push(SharedCost { cost: Kept { id: id(900, n), record: cost.clone() }, weights, own });
        }
    }
    all
}

fn work(date: chrono::NaiveDate, task: Task, method: Option<ThinningMethod>, hours: i64) -> LaborEntry {
    LaborEntry {
        date,
        task,
        method,
        pass: method.map(|_| 1),
        crew: "north crew".to_owned(),
        people: None,
        hours: Hours::whole(hours).ok(),
        hours_each: None,
        overtime_hours: Hours::ZERO,
        overtime_multiplier: None,
        pay: Pay::Hourly(Some(UnitPrice::from_micros(17_850_000))),
        loading: Loading::FromRates,
        trees_done: None,
        rows_done: None,
        note: String::new(),
    }
}

/// The same with a packing shed's own list, which has the sizes the other way round, and calls what others
/// call A and AA by two words each.
pub fn with_own_sizes() -> OperationRecords {
    let mut records = operation_records();
    let own = |(n, (size, means)): (u32, (&str, &str))| Kept {
        id: RecordId::Line(n.saturating_add(2)),
        record: OwnSize {
            from: records.season.first_day,
            crop: None,
            size_class: size.to_owned(),
            place: n.saturating_add(1),
            means: Some(means.to_owned()),
            note: String::new(),
        },
    };
    let list = [("AA", "A"), ("A", "A"), ("B", "AA"), ("C", "AA")];
    let sizes: Vec<Kept<OwnSize>> = (0..).zip(list).map(own).collect();
    for block in &mut records.blocks {
        block.sizes.clone_from(&sizes);
    }
    records
}

/// Letters of the published classes, smaller first, the weeks running toward the larger.
const SIZES: [&str; 4] = ["C", "B", "A", "AA"];

fn packed(date: chrono::NaiveDate, n: u32, boxes: i64) -> PackoutLine {
    let part = boxes / 4 + i64::from(n) * 11;
    PackoutLine {
        date,
        outcome: LineOutcome::Packed {
            size_class: SIZES.get(n as usize).copied().unwrap_or("A").to_owned(),
            grade: if n.is_multiple_of(2) { "first" } else { "second" }.to_owned(),
            boxes: Boxes::whole(part).unwrap_or_default(),
        },
        weight: Pounds::whole(part * 25).ok(),
        note: String::new(),
    }
}

/// Three of the four sizes are settled; the largest waits.
fn settled(date: chrono::NaiveDate, n: u32, boxes: i64, cents: i64) -> SettlementLine {
    SettlementLine {
        date,
        buyer: "shed by the tracks".to_owned(),
        size_class: SIZES.get(n as usize).map(|size| (*size).to_owned()),
        grade: None,
        sold: Sold::Boxes {
            boxes: Boxes::whole(boxes / 4 + i64::from(n) * 11).unwrap_or_default(),
            price: UnitPrice::from_micros((cents + i64::from(n) * 130) * 10_000),
        },
        charges: Charges { packing: UnitPrice::from_micros(4_250_000), ..Charges::default() },
        note: String::new(),
    }
}

fn set(date: chrono::NaiveDate, n: u32, acres: i64) -> IrrigationSet {
    // About two acre-inches an acre.
    let gallons = f64::from(u32::try_from(acres).unwrap_or_default()) * 5_431.0;
    let start = 1_000.0 * f64::from(n);
    let applied =
        Applied::Meter { start, end: start + gallons, unit: MeterUnit::Gallons, rolls_at: None, replaced: None };
    IrrigationSet { date, applied, note: String::new() }
}

fn own_cost(date: chrono::NaiveDate, acres: i64) -> Cost {
    Cost {
        date,
        // What a person typed is text in a spreadsheet, whatever it begins with.
        payee: "=HYPERLINK(\"x\")".to_owned(),
        category: "fungicide".to_owned(),
        group: CostGroup::Cultural,
        amount: Money::from_cents(acres * 2_217 + 9),
        basis: SharedBasis::Acres,
        shares: Shares::default(),
        lasting: None,
        note: "+1 drum".to_owned(),
    }
}
