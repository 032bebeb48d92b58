//! The awkward ones.

use reckon::block::{Block, Emitter, Farm};
use reckon::exact::{Acres, Boxes, Hours, Pounds};
use reckon::figure::{Evidence, Figure, Gap, GapAbout, GapWeight, RecordKind};
use reckon::money::{Money, UnitPrice};
use reckon::records::{Observation, Task};
use reckon::season::{
    BlockSeason, LaborMeasure, LaborSeason, MulchSeason, PackoutSeason, Statement, TaskLabor, ThinningSeason,
    WaterSeason,
};
use reckon::units::{Count, GallonsUs};

use super::{day, full, heading, lines};

/// A bare block of which hardly anything was recorded: no trees counted, no weather, nothing sold.
pub fn sparse() -> BlockSeason {
    let mut heading = heading();
    heading.farm = Farm { name: "Sand Draw".to_owned(), ..Farm::default() };
    heading.block = Block {
        code: "SD-4".to_owned(),
        crop: "plum".to_owned(),
        variety: "Lanternfield".to_owned(),
        acres: Acres::from_micros(3_250_000),
        emitter: Emitter::Furrow,
        ..Block::default()
    };
    heading.records = 1;
    let cost = Figure::new(Money::from_cents(41_600), Evidence::Metered, lines(RecordKind::Labor, 2, 1));
    let pruning = LaborMeasure {
        entries: 1,
        overtime: None,
        trees_from: None,
        cost_per_thousand: None,
        hours_per_thousand: None,
        hours: Some(cost.map(Hours::from_micros(16_000_000))),
        trees: None,
        cost_per_tree: None,
        hours_per_tree: None,
        cost_per_acre: UnitPrice::spread(cost.value.decimal(), heading.block.acres.decimal()).map(|p| cost.map(p)),
        hours_per_acre: None,
        cost,
    };
    let task = TaskLabor { task: Task::Prune, measure: pruning.clone() };
    BlockSeason {
        heading,
        labor: LaborSeason {
            entries: 1,
            all: pruning,
            tasks: vec![task],
            thinning: None,
            passes: Vec::new(),
            cost_per_thousand_removed: None,
            thinning_cost_per_box: None,
        },
        thinning: ThinningSeason::default(),
        water: WaterSeason::default(),
        mulch: MulchSeason::default(),
        packout: PackoutSeason::default(),
        statement: Statement::default(),
        observations: Vec::new(),
        gaps: vec![
            missing(GapAbout::Block, "SD-4 has no tree count.", "Count the trees, or give the spacings."),
            missing(GapAbout::Water, "Sand Draw has no weather station.", "Name a station and bring in its days."),
        ],
        how: Vec::new(),
    }
}

/// Everything too long and too large.
pub fn extreme() -> BlockSeason {
    let mut season = full();
    "The Upper and Lower Cottonwood Flat Irrigated Orchard Growing, Packing and Hauling Partnership of 1911"
        .clone_into(&mut season.heading.operation);
    "Home Place below the Old Diversion and above the New One, West Side".clone_into(&mut season.heading.farm.name);
    "RIVER-BENCH-NORTHWEST-ROWS-1-TO-148".clone_into(&mut season.heading.block.code);
    "Queen of the Late August Morning on the Far Side of the Ditch".clone_into(&mut season.heading.block.variety);
    season.heading.block.trees = Some(u32::MAX);
    season.heading.records = 9_999_999;
    for line in &mut season.statement.lines {
        // The whole range of money but for the last digits.
        line.amount.value = Money::from_cents(line.amount.value.cents().signum() * 9_223_372_036_854_775_000);
        line.per_acre = Some(UnitPrice::from_micros(-9_223_372_036_854_000_000));
        line.per_tree = Some(UnitPrice::from_micros(-9_223_372_036_854_000_000));
        line.per_box = Some(UnitPrice::from_micros(-9_223_372_036_854_000_000));
    }
    for pass in &mut season.labor.passes {
        pass.measure.cost.value = Money::from_cents(9_223_372_036_854_775_000);
        pass.measure.cost_per_tree = Some(pass.measure.cost.map(UnitPrice::from_micros(9_223_372_036_854_000_000)));
        pass.measure.trees = Some(pass.measure.cost.map(Count::of(4_294_967_295.0)));
    }
    season.water.applied = season.water.applied.map(|applied| applied.map(GallonsUs::of(1e19)));
    for cell in season.packout.sizes.iter_mut().chain(&mut season.packout.cells) {
        if let Some(size) = &mut cell.size_class {
            size.push_str(" extra large and hand selected from the outer rows");
        }
        cell.boxes.value = Boxes::from_micros(i64::MAX);
        cell.weight = cell.weight.as_ref().map(|weight| weight.map(Pounds::from_micros(i64::MAX)));
    }
    let long = "Limbs were propped late, and ".repeat(20);
    season.observations.push(Observation { date: day(8, 1), what: long.clone(), share_pct: Some(100.0), note: long });
    season.gaps.extend((0..40).map(|n| {
        let what = format!("Crew day {n} of the second look names a block that was pulled out in the winter before.");
        missing(GapAbout::Labor, &what, "Give it to another block, or remove it.")
    }));
    season
}

/// Names in other alphabets, with accents, and with signs that no face of ours has.
pub fn letters() -> BlockSeason {
    let mut season = full();
    "Huerta Ñandú & Łąka Ōhara <\"果樹園\">".clone_into(&mut season.heading.operation);
    "Σκιά και Άνεμος".clone_into(&mut season.heading.farm.name);
    "Ñ-3".clone_into(&mut season.heading.block.code);
    "Žlutá Вишня".clone_into(&mut season.heading.block.variety);
    "durazno 桃".clone_into(&mut season.heading.block.crop);
    season.observations.push(Observation {
        date: day(5, 2),
        what: "granizo".to_owned(),
        share_pct: Some(12.0),
        note: "فاكهة، פרי, ผลไม้ and a peach \u{1F351}\u{FE0F}: 3 ≤ x ≥ 2 ½ m³".to_owned(),
    });
    for cell in season.packout.sizes.iter_mut().chain(&mut season.packout.cells) {
        cell.size_class = cell.size_class.take().map(|size| format!("Größe {size}"));
    }
    season
}

fn missing(about: GapAbout, what: &str, mend: &str) -> Gap {
    Gap { about, what: what.to_owned(), mend: mend.to_owned(), records: Vec::new(), weight: GapWeight::Missing }
}
