//! Speed of the water balance: one block season, 365 days, bare and mulched; and all that is made of it.
//!
//! Goal: two runs of 365 days under 100 microseconds on one core.

use std::hint::black_box;

use chrono::{Days, NaiveDate};
use criterion::{Criterion, criterion_group, criterion_main};
use reckon::block::{Block, Emitter, Farm, Season};
use reckon::exact::{Acres, Years};
use reckon::figure::{Kept, RecordId};
use reckon::money::Money;
use reckon::records::{Applied, IrrigationSet, MulchApplication, MulchKind, MulchShape, WeatherDay};
use reckon::season::SeasonRecords;
use reckon::units::{Celsius, Inches, MegajoulesPerSquareMetre, MetresPerSecond, Millimetres};
use reckon::water::daily::{DayInput, DayMulch, Floor, Params, Supply, run};
use reckon::water::resolve::Resolved;
use reckon::water::setup::{Setting, Soil};

const DAYS: u32 = 365;

fn date(n: u32) -> NaiveDate {
    NaiveDate::default().checked_add_days(Days::new(20_454 + u64::from(n))).unwrap_or_default()
}

/// A hump over the year, 0 to 1.
fn summer(n: u32) -> f64 {
    let place = f64::from(n) / f64::from(DAYS - 1);
    4.0 * place * (1.0 - place)
}

fn rain(n: u32) -> f64 {
    if n % 19 == 4 { 12.0 } else { 0.0 }
}

fn block() -> Block {
    let mut block = Block {
        code: "B-1".to_owned(),
        crop: "peach".to_owned(),
        acres: Acres::from_micros(10_000_000),
        trees: Some(1_500),
        emitter: Emitter::Drip,
        ..Block::default()
    };
    block.water.soil = Some(Soil::SandyLoam);
    block.water.set(Setting::RuleDepletionMm, Some(20.0));
    block
}

fn input(n: u32) -> DayInput {
    DayInput {
        date: date(n),
        eto_mm: 1.0 + 7.0 * summer(n),
        rain_mm: rain(n),
        runoff_mm: 0.0,
        kcb: 0.2 + 0.7 * summer(n),
        kc_max_climate: 1.25,
        fc: 0.1 + 0.5 * summer(n),
        root_depth_m: 1.0,
        irrigation_gross_mm: if n.is_multiple_of(5) { 20.0 * summer(n) } else { 0.0 },
        mulch: DayMulch { organic: 0.4, plastic: 0.0, covered: 0.4 },
    }
}

fn weather(n: u32) -> WeatherDay {
    let warm = summer(n);
    WeatherDay {
        date: date(n),
        t_max: Celsius::new(8.0 + 26.0 * warm),
        t_min: Celsius::new(-4.0 + 19.0 * warm),
        rain: Millimetres::new(rain(n)),
        runoff: None,
        eto: None,
        solar: MegajoulesPerSquareMetre::new(7.0 + 18.0 * warm),
        sunshine_hours: None,
        wind: MetresPerSecond::new(2.2),
        wind_height_m: None,
        rh_max_pct: Some(85.0),
        rh_min_pct: Some(30.0),
        vapour_pressure_kpa: None,
        dew_point: None,
        note: String::new(),
    }
}

fn kept<R>(records: impl Iterator<Item = R>) -> Vec<Kept<R>> {
    (2..).zip(records).map(|(line, record)| Kept { id: RecordId::Line(line), record }).collect()
}

fn mulch() -> MulchApplication {
    MulchApplication {
        date: date(60),
        material: "wood chips".to_owned(),
        kind: MulchKind::Organic,
        depth: Inches::of(4.0),
        shape: MulchShape::SharePct(40.0),
        clear_radius: Inches::of(12.0),
        life: Years::from_micros(2_000_000),
        material_cost: Some(Money::from_cents(100_000)),
        delivery_cost: None,
        spreading_cost: None,
        note: String::new(),
    }
}

fn set(n: u32) -> IrrigationSet {
    IrrigationSet { date: date(n), applied: Applied::Depth(Inches::of(0.8 * summer(n))), note: String::new() }
}

fn records() -> Option<SeasonRecords> {
    Some(SeasonRecords {
        irrigation: kept((80..300).step_by(5).map(set)),
        weather: kept((0..DAYS).map(weather)),
        mulch: kept([mulch()].into_iter()),
        ..SeasonRecords::without_records(
            "Bench".to_owned(),
            Farm { latitude_deg: Some(38.0), elevation_m: Some(1_200.0), ..Farm::default() },
            block(),
            Season::calendar_year(2026)?,
        )
    })
}

fn balance(criterion: &mut Criterion) {
    let days: Vec<DayInput> = (0..DAYS).map(input).collect();
    let params = Params::of(&Resolved::of(&block()), 1.0);
    criterion.bench_function("two runs of 365 days", |bench| {
        bench.iter(|| {
            let bare = run(black_box(&days), &params, Floor::Bare, Supply::Recorded);
            (bare, run(black_box(&days), &params, Floor::Mulched(1.0), Supply::Recorded))
        });
    });
    if let Some(records) = records() {
        criterion.bench_function("water of a block season, from its records", |bench| {
            bench.iter(|| reckon::water::season(black_box(&records)));
        });
    }
}

criterion_group!(benches, balance);
criterion_main!(benches);
