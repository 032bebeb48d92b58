//! An invented operation, and a record of every kind.
#![allow(dead_code, clippy::allow_attributes, reason = "each test file uses its part")]

use chrono::NaiveDate;
use reckon::block::{Block, Emitter, Farm, MonthDay, NeedsPollinizer, Season};
use reckon::exact::{Acres, Bins, Boxes, Hours, Percent, Pieces, Pounds, Years};
use reckon::money::{Money, UnitPrice};
use reckon::records::{
    Applied, CanopyDay, Charges, Cost, CostGroup, FruitCount, FruitWanted, IrrigationSet, LaborEntry, LineOutcome,
    Loading, MeterUnit, MulchApplication, MulchKind, MulchShape, Observation, OwnSize, PackoutLine, Pay, Pick,
    PriceLine, Rate, RateKind, Record, SettlementLine, SharedBasis, Shares, Sold, Task, TensionReading, ThinningMethod,
    ThinningTarget, WeatherDay,
};
use reckon::units::{
    Celsius, Feet, FruitPerAcre, FruitPerTree, GallonsPerHour, Inches, Kilopascals, MegajoulesPerSquareMetre,
    MetresPerSecond, Millimetres,
};
use reckon::water::setup::{Setting, Soil};
use store::kit::Fresh;
use store::{BlockId, FarmId, Right, Scope, Target};

pub(crate) fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// Two farms with their own stations, three blocks, the seasons of 2025 and 2026.
pub(crate) struct World {
    pub(crate) owner: Scope,
    pub(crate) rim: FarmId,
    pub(crate) flat: FarmId,
    /// On the rim: 4 acres, 400 trees.
    pub(crate) rim_1: BlockId,
    /// On the rim: 1 acre, no tree count.
    pub(crate) rim_2: BlockId,
    /// On the flat: 2.5 acres, 260 trees.
    pub(crate) flat_1: BlockId,
}

pub(crate) async fn world(fresh: &Fresh) -> World {
    named_world(fresh, "Dry Fork Orchards").await
}

pub(crate) async fn named_world(fresh: &Fresh, name: &str) -> World {
    let owner = fresh.owner(name).await.unwrap();
    let mut book = fresh.store.book(&owner, Right::SetUp).await.unwrap();
    let rim = book.add_farm(&farm("Rim")).await.unwrap();
    let flat = book.add_farm(&farm("Flat")).await.unwrap();
    let rim_1 = book.add_block(rim, &block("R-1", "4", Some(400))).await.unwrap();
    let rim_2 = book.add_block(rim, &block("R-2", "1", None)).await.unwrap();
    let flat_1 = book.add_block(flat, &block("F-1", "2.5", Some(260))).await.unwrap();
    for year in [2025, 2026] {
        book.open_season(&Season::calendar_year(year).unwrap()).await.unwrap();
    }
    book.save().await.unwrap();
    World { owner, rim, flat, rim_1, rim_2, flat_1 }
}

pub(crate) fn farm(name: &str) -> Farm {
    Farm {
        name: name.to_owned(),
        place: "above the wash".to_owned(),
        station: format!("{name} station"),
        station_miles: Some(6.5),
        latitude_deg: Some(38.25),
        elevation_m: Some(1_450.5),
        time_zone: "America/Denver".to_owned(),
    }
}

pub(crate) fn block(code: &str, acres: &str, trees: Option<u32>) -> Block {
    let mut block = Block {
        code: code.to_owned(),
        crop: "peach".to_owned(),
        variety: "Ember Late".to_owned(),
        planted_year: Some(2014),
        acres: Acres::new(acres.parse().unwrap()).unwrap(),
        trees,
        row_spacing: Feet::new(18.0),
        tree_spacing: Feet::new(12.5),
        emitter: Emitter::DoubleDrip,
        emitters_per_tree: Some(4.0),
        emitter_flow: GallonsPerHour::new(0.53),
        ripening: MonthDay::new(7, 18).zip(MonthDay::new(8, 2)),
        pollinizer: "self-fruitful".to_owned(),
        needs_pollinizer: Some(NeedsPollinizer::Yes),
        pollinizer_trees: Some(3),
        rows: Some(48),
        target_fruit: FruitPerTree::new(412.5),
        ..Block::default()
    };
    block.water.soil = Some(Soil::SandyLoam);
    block.water.set(Setting::RootDepthM, Some(1.2));
    block.water.set(Setting::KcbMid, Some(0.85));
    block
}

pub(crate) fn money(cents: i64) -> Money {
    Money::from_cents(cents)
}

pub(crate) fn observation(date: &str, what: &str) -> Record {
    Record::Observation(Observation {
        date: day(date),
        what: what.to_owned(),
        share_pct: Some(12.5),
        note: String::new(),
    })
}

pub(crate) fn labor(date: &str, hours: i64, wage_micros: i64) -> LaborEntry {
    LaborEntry {
        date: day(date),
        task: Task::Thin,
        method: Some(ThinningMethod::ByHand),
        pass: Some(1),
        crew: "Crew of the ñandú".to_owned(),
        people: Some(6),
        hours: Some(Hours::whole(hours).unwrap()),
        hours_each: None,
        overtime_hours: Hours::from_micros(1_500_000),
        overtime_multiplier: Some(Percent::whole(150).unwrap()),
        pay: Pay::Hourly(Some(UnitPrice::from_micros(wage_micros))),
        loading: Loading::Payroll(Percent::from_micros(12_650_000)),
        trees_done: Some(120),
        rows_done: None,
        note: "second row from the road".to_owned(),
    }
}

fn labors(date: &str) -> Vec<LaborEntry> {
    let base = labor(date, 48, 16_500_000);
    vec![
        base.clone(),
        LaborEntry {
            pay: Pay::Piece { pieces: Pieces::from_micros(812_500_000), rate: UnitPrice::from_micros(1_250_000) },
            loading: Loading::Commission(Percent::whole(30).unwrap()),
            hours: None,
            people: None,
            ..base.clone()
        },
        LaborEntry {
            task: Task::Other,
            method: None,
            pass: None,
            crew: String::new(),
            pay: Pay::Contract(money(123_456)),
            loading: Loading::FromRates,
            overtime_hours: Hours::ZERO,
            overtime_multiplier: None,
            trees_done: None,
            ..base.clone()
        },
        LaborEntry { hours_each: Some(Hours::whole(8).unwrap()), ..base.clone() },
        LaborEntry { pay: Pay::Hourly(None), ..base },
    ]
}

fn sets(date: &str) -> Vec<IrrigationSet> {
    let set = |applied| IrrigationSet { date: day(date), applied, note: "north valve".to_owned() };
    vec![
        set(Applied::Meter {
            start: 99_812.5,
            end: 1_204.25,
            unit: MeterUnit::HundredCubicFeet,
            rolls_at: Some(100_000.0),
            replaced: None,
        }),
        set(Applied::Meter {
            start: 1.0,
            end: 7.0,
            unit: MeterUnit::AcreFeet,
            rolls_at: None,
            replaced: Some((3.5, 0.25)),
        }),
        set(Applied::Runtime {
            hours: Hours::from_micros(11_250_000),
            flow: GallonsPerHour::new(0.5),
            emitters: Some(1_600),
        }),
        set(Applied::Depth(Inches::of(1.75))),
    ]
}

fn mulches(date: &str) -> Vec<MulchApplication> {
    let base = MulchApplication {
        date: day(date),
        material: "wood chips".to_owned(),
        kind: MulchKind::Organic,
        depth: Inches::of(4.0),
        shape: MulchShape::Strip(Feet::of(6.0)),
        clear_radius: Inches::of(12.0),
        life: Years::whole(2).unwrap(),
        material_cost: Some(money(88_000)),
        delivery_cost: Some(money(12_050)),
        spreading_cost: Some(money(0)),
        note: String::new(),
    };
    vec![
        MulchApplication { shape: MulchShape::Ring(Feet::of(3.5)), delivery_cost: None, ..base.clone() },
        MulchApplication { shape: MulchShape::SharePct(33.3), kind: MulchKind::Plastic, ..base.clone() },
        base,
    ]
}

fn settlements(date: &str) -> Vec<SettlementLine> {
    let charges = Charges {
        packing: UnitPrice::from_micros(5_750_000),
        cooling: UnitPrice::from_micros(900_000),
        freight: UnitPrice::from_micros(1_333_333),
        commission: Percent::whole(8).unwrap(),
        lump: money(-2_500),
    };
    let line = |sold, charges| SettlementLine {
        date: day(date),
        buyer: "Packing shed".to_owned(),
        size_class: Some("56".to_owned()),
        grade: None,
        sold,
        charges,
        note: String::new(),
    };
    vec![
        line(
            Sold::Boxes { boxes: Boxes::from_micros(212_500_000), price: UnitPrice::from_micros(24_500_000) },
            charges,
        ),
        line(
            Sold::Weight { weight: Pounds::whole(4_200).unwrap(), price: UnitPrice::from_micros(412_500) },
            Charges::default(),
        ),
        line(Sold::Adjustment(money(-19_999)), Charges::default()),
    ]
}

pub(crate) fn cost(date: &str, cents: i64, basis: SharedBasis) -> Record {
    Record::Cost(Cost {
        date: day(date),
        payee: "Valley Supply".to_owned(),
        category: "fuel".to_owned(),
        group: CostGroup::NonCashOverhead,
        amount: money(cents),
        basis,
        shares: Shares::default(),
        lasting: None,
        note: String::new(),
    })
}

pub(crate) fn rate(from: &str, kind: RateKind, micros: i64) -> Record {
    Record::Rate(Rate { from: day(from), kind, micros, note: "from the board".to_owned() })
}

pub(crate) fn weather(date: &str, rain: Option<f64>) -> Record {
    Record::Weather(WeatherDay {
        date: day(date),
        t_max: Celsius::new(31.5),
        t_min: Celsius::new(-2.25),
        rain: rain.and_then(Millimetres::new),
        runoff: None,
        eto: Millimetres::new(6.125),
        solar: MegajoulesPerSquareMetre::new(27.5),
        sunshine_hours: Some(11.5),
        wind: MetresPerSecond::new(2.2),
        wind_height_m: Some(3.0),
        rh_max_pct: Some(71.0),
        rh_min_pct: None,
        vapour_pressure_kpa: Some(0.9),
        dew_point: Celsius::new(5.4),
        note: String::new(),
    })
}

/// Records of every kind and every variant, all on one day.
pub(crate) fn every_record(date: &str) -> Vec<Record> {
    let mut records: Vec<Record> = labors(date).into_iter().map(Record::Labor).collect();
    records.push(Record::FruitCount(FruitCount {
        date: day(date),
        sample: "tree 7".to_owned(),
        branch: true,
        before: Some(412),
        after: Some(96),
        shoot: Inches::new(210.5),
        fruit_diameter: None,
        method: Some(ThinningMethod::Pole),
        note: "windward side".to_owned(),
    }));
    records.extend(sets(date).into_iter().map(Record::Irrigation));
    records.push(Record::Tension(TensionReading {
        date: day(date),
        place: "row 9".to_owned(),
        depth: Inches::of(18.0),
        tension: Kilopascals::of(42.0),
        note: String::new(),
    }));
    records.push(weather(date, None));
    records.push(Record::Canopy(CanopyDay {
        date: day(date),
        kcb: Some(0.62),
        ground_cover: Some(0.41),
        height_m: None,
        root_depth_m: Some(1.1),
        note: String::new(),
    }));
    records.extend(mulches(date).into_iter().map(Record::Mulch));
    records.push(Record::Pick(Pick {
        date: day(date),
        pick: Some(2),
        bins: Some(Bins::from_micros(18_500_000)),
        lugs: None,
        weight: Some(Pounds::whole(16_650).unwrap()),
        note: String::new(),
    }));
    records.extend(packouts(date));
    records.extend(settlements(date).into_iter().map(Record::Settlement));
    records.push(cost(date, -45_010, SharedBasis::Trees));
    records.push(Record::Price(PriceLine {
        from: day(date),
        crop: Some("peach".to_owned()),
        size_class: None,
        grade: Some("1".to_owned()),
        net_price: UnitPrice::from_micros(14_250_000),
        note: String::new(),
    }));
    records.push(Record::Size(OwnSize {
        from: day(date),
        crop: Some("peach".to_owned()),
        size_class: "grand".to_owned(),
        place: 3,
        means: Some("AA".to_owned()),
        note: String::new(),
    }));
    records.push(Record::ThinningTarget(ThinningTarget {
        from: day(date),
        crop: Some("peach".to_owned()),
        ripening: MonthDay::new(12, 20).zip(MonthDay::new(2, 29)),
        fruit: Some(FruitWanted::Acre(FruitPerAcre::of(61_250.5))),
        spacing: Some(Inches::of(5.5)),
        note: String::new(),
    }));
    records.push(Record::ThinningTarget(ThinningTarget {
        from: day(date),
        crop: None,
        ripening: None,
        fruit: Some(FruitWanted::Tree(FruitPerTree::of(412.5))),
        spacing: None,
        note: "small trees".to_owned(),
    }));
    records.push(rate(date, RateKind::Wage(Some(Task::Thin)), 17_250_000));
    records.push(rate(date, RateKind::Wage(None), 16_000_000));
    records.push(rate(date, RateKind::Water, 42_000_000));
    records.push(observation(date, "hail"));
    records
}

fn packouts(date: &str) -> Vec<Record> {
    let line = |outcome, weight| Record::Packout(PackoutLine { date: day(date), outcome, weight, note: String::new() });
    vec![
        line(
            LineOutcome::Packed {
                size_class: "56".to_owned(),
                grade: "1".to_owned(),
                boxes: Boxes::from_micros(140_500_000),
            },
            Some(Pounds::whole(3_512).unwrap()),
        ),
        line(LineOutcome::Culled { cause: "split".to_owned() }, None),
    ]
}

/// Where a record of this kind can go in this world.
pub(crate) fn target(world: &World, record: &Record) -> Target {
    use reckon::records::Attach;
    match record.kind().attach() {
        Attach::Station => Target::Station("Rim station".to_owned()),
        Attach::Operation => Target::Operation,
        Attach::Block | Attach::Any => Target::Block(world.rim_1),
    }
}
