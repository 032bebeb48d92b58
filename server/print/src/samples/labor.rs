use chrono::NaiveDate;
use reckon::block::Block;
use reckon::exact::Hours;
use reckon::figure::{Evidence, Figure, RecordKind, RecordRef};
use reckon::money::{Money, UnitPrice};
use reckon::records::{Task, ThinningMethod};
use reckon::season::{LaborMeasure, LaborSeason, MethodPass, PayBasis, TaskLabor, ThinningSeason, TreesFrom};
use reckon::thinning::guides;
use reckon::thinning::target::{Wanted, WantedFrom};
use reckon::units::{Count, FruitPerTree, HoursPerAcre, HoursPerThousandFruit, HoursPerTree, Inches, Share};
use rust_decimal::Decimal;

use super::{day, figure, lines};

/// Cents, tenths of an hour, entries.
type Work = (i64, i64, u32);

/// Method, pass, first and last month and day.
type Pass = (ThinningMethod, u8, [(u32, u32); 2], Work);

const PASSES: [Pass; 3] = [
    (ThinningMethod::ByHand, 1, [(5, 5), (5, 16)], (1_479_940, 6_635, 28)),
    (ThinningMethod::Cuts, 1, [(5, 12), (5, 15)], (262_570, 1_180, 5)),
    (ThinningMethod::ByHand, 2, [(5, 26), (5, 29)], (267_344, 1_250, 8)),
];

const TASKS: [(Task, Work); 7] = [
    (Task::Prune, (924_000, 4_120, 19)),
    (Task::Thin, (2_009_854, 9_065, 41)),
    (Task::Irrigate, (148_000, 660, 24)),
    (Task::Mulch, (211_200, 960, 4)),
    (Task::Weeds, (106_000, 480, 6)),
    (Task::Pick, (2_431_050, 10_900, 17)),
    (Task::Haul, (502_000, 1_900, 11)),
];

pub(super) fn labor(block: &Block) -> LaborSeason {
    let mut first = 2;
    let mut entries = |n: u32| {
        let refs = lines(RecordKind::Labor, first, n);
        first += n;
        refs
    };
    let tasks: Vec<TaskLabor> = TASKS
        .iter()
        .map(|(task, work)| TaskLabor { task: *task, measure: measure(block, *work, entries(work.2)) })
        .collect();
    let thinning = tasks.iter().find(|task| task.task == Task::Thin).map(|task| over_fruit(task.measure.clone()));
    let refs = thinning.as_ref().map(|all| all.cost.records.clone()).unwrap_or_default();
    let mut rest = refs.as_slice();
    let mut passes = Vec::new();
    for (method, pass, [from, to], work) in PASSES {
        let (own, others) = rest.split_at(rest.len().min(usize::try_from(work.2).unwrap_or(0)));
        rest = others;
        passes.push(MethodPass {
            method: Some(method),
            pass: Some(pass),
            days: (day(from.0, from.1), day(to.0, to.1)),
            pay: [PayBasis::Hour].into(),
            measure: over_fruit(measure(block, work, own.to_vec())),
        });
    }
    let sum = TASKS.iter().fold((0, 0, 0), |sum, (_, work)| (sum.0 + work.0, sum.1 + work.1, sum.2 + work.2));
    LaborSeason {
        entries: usize::try_from(sum.2).unwrap_or(0),
        all: measure(block, sum, lines(RecordKind::Labor, 2, sum.2)),
        tasks,
        thinning,
        passes,
        cost_per_thousand_removed: Some(Figure::new(
            UnitPrice::from_micros(6_842_113),
            Evidence::Counted,
            refs.clone(),
        )),
        thinning_cost_per_box: Some(Figure::new(UnitPrice::from_micros(1_686_119), Evidence::Metered, refs)),
    }
}

fn measure(block: &Block, (cents, tenths, _): Work, refs: Vec<RecordRef>) -> LaborMeasure {
    let (cost, hours) = (Money::from_cents(cents), Hours::from_micros(tenths * 100_000));
    let trees = f64::from(block.trees.unwrap_or(1));
    let base = Figure::new(cost, Evidence::Metered, refs);
    let per_tree = UnitPrice::spread(cost.decimal(), Decimal::from(block.trees.unwrap_or(1)));
    let per_acre = UnitPrice::spread(cost.decimal(), block.acres.decimal());
    LaborMeasure {
        entries: base.n(),
        hours: Some(base.map(hours)),
        overtime: None,
        trees_from: Some(TreesFrom::Entries),
        cost_per_thousand: None,
        hours_per_thousand: None,
        trees: Some(base.map(Count::of(trees)).weakened(Evidence::Counted)),
        cost_per_tree: per_tree.map(|price| base.map(price).weakened(Evidence::Counted)),
        hours_per_tree: Some(base.map(HoursPerTree::of(hours.as_f64() / trees)).weakened(Evidence::Counted)),
        cost_per_acre: per_acre.map(|price| base.map(price)),
        hours_per_acre: Some(base.map(HoursPerAcre::of(hours.as_f64() / block.acres.as_f64()))),
        cost: base,
    }
}

/// With what falls on a thousand of the 2,937,203.5 fruit taken off.
fn over_fruit(measure: LaborMeasure) -> LaborMeasure {
    let thousands = Decimal::new(29_372_035, 4);
    let each = UnitPrice::spread(measure.cost.value.decimal(), thousands);
    let hours = measure.hours.as_ref().map(|hours| {
        let each = HoursPerThousandFruit::of(hours.value.as_f64() / 2_937.203_5);
        hours.map(each).weakened(Evidence::Modelled)
    });
    LaborMeasure {
        cost_per_thousand: each.map(|each| measure.cost.map(each).weakened(Evidence::Modelled)),
        hours_per_thousand: hours,
        ..measure
    }
}

pub(super) fn thinning() -> ThinningSeason {
    ThinningSeason {
        again_from: None,
        in_part: None,
        samples: 12,
        removed: Some(figure(Share::of(74.2), Evidence::Counted, RecordKind::FruitCount, 24)),
        removed_standard_error: Some(figure(Share::of(3.9), Evidence::Counted, RecordKind::FruitCount, 24)),
        whole_trees: 12,
        left_trees: 12,
        before_standard_error: Some(figure(FruitPerTree::of(61.2), Evidence::Counted, RecordKind::FruitCount, 24)),
        removed_in_block_standard_error: Some(figure(
            Count::of(131_275.5),
            Evidence::Modelled,
            RecordKind::FruitCount,
            24,
        )),
        trees_to_count: Some(figure(Count::of(14.0), Evidence::Modelled, RecordKind::FruitCount, 24)),
        before_per_tree: Some(figure(FruitPerTree::of(1658.4), Evidence::Counted, RecordKind::FruitCount, 24)),
        left_per_tree: Some(figure(FruitPerTree::of(427.9), Evidence::Counted, RecordKind::FruitCount, 24)),
        removed_in_block: Some(figure(Count::of(2_937_203.5), Evidence::Modelled, RecordKind::FruitCount, 24)),
        spacing: Some(figure(Inches::of(4.6), Evidence::Counted, RecordKind::FruitCount, 24)),
        spacing_standard_error: Some(figure(Inches::of(0.3), Evidence::Counted, RecordKind::FruitCount, 24)),
        left_standard_error: Some(figure(FruitPerTree::of(21.4), Evidence::Counted, RecordKind::FruitCount, 24)),
        crop: Some(figure(Count::of(1_021_397.3), Evidence::Modelled, RecordKind::FruitCount, 24)),
        crop_standard_error: Some(figure(Count::of(51_081.8), Evidence::Modelled, RecordKind::FruitCount, 24)),
        target: Some(Wanted {
            figure: Figure::new(FruitPerTree::of(420.0), Evidence::Assumed, []),
            from: WantedFrom::Block,
        }),
        target_spacing: None,
        spacing_of_target: None,
        guides: guides::of_crop("peach"),
        left_of_target: Some(figure(Share::of(101.9), Evidence::Assumed, RecordKind::FruitCount, 24)),
        diameter: Some(figure(Inches::of(0.8), Evidence::Counted, RecordKind::FruitCount, 12)),
        by_method: Vec::new(),
    }
}

/// First and last day of thinning.
pub(super) fn thinning_days() -> (NaiveDate, NaiveDate) {
    (day(5, 5), day(5, 29))
}
