//! Invented block seasons: the pages' and the reports' tests lay them out, print them and compare.
//!
//! [`full`] has everything, [`sparse`] hardly anything, [`extreme`] long names and huge numbers,
//! [`letters`] names in other alphabets. No grower, farm or variety of these exists.

mod labor;
mod odd;
mod operation;
mod packout;
mod statement;
mod water;
mod water_words;
mod words;

use chrono::NaiveDate;
use reckon::block::{Block, Emitter, Farm, MonthDay, NeedsPollinizer, Season, SeasonState};
use reckon::exact::Acres;
use reckon::figure::{Evidence, Figure, RecordId, RecordKind, RecordRef};
use reckon::season::{BlockSeason, Heading};
use reckon::units::{Feet, GallonsPerHour};
use reckon::water::setup::{Setting, Soil, WaterSetup};

pub use odd::{extreme, letters, sparse};
pub use operation::{operation, operation_records, with_own_sizes};

/// Every sample with its name.
pub fn all() -> Vec<(&'static str, BlockSeason)> {
    vec![("full", full()), ("sparse", sparse()), ("extreme", extreme()), ("letters", letters())]
}

/// A mulched block with records of every kind.
pub fn full() -> BlockSeason {
    let heading = heading();
    let packout = packout::packout(&heading.block);
    let labor = labor::labor(&heading.block);
    let statement = statement::statement(&heading.block, &labor, &packout);
    BlockSeason {
        labor,
        thinning: labor::thinning(),
        water: water::water(&heading.block),
        mulch: water::mulch(),
        packout,
        statement,
        observations: words::observations(),
        gaps: words::gaps(),
        how: reckon::how::of(reckon::how::Made::default()),
        heading,
    }
}

fn heading() -> Heading {
    Heading {
        operation: "Cottonwood Flat Orchards".to_owned(),
        farm: Farm {
            name: "River Bench".to_owned(),
            place: "two miles below the diversion".to_owned(),
            station: "Bench Station".to_owned(),
            station_miles: Some(4.0),
            latitude_deg: Some(38.9),
            elevation_m: Some(1402.0),
            time_zone: "America/Denver".to_owned(),
        },
        block: block(),
        season: Season { year: 2026, first_day: day(1, 1), last_day: day(12, 31), state: SeasonState::Open },
        records: 412,
    }
}

fn block() -> Block {
    let mut water = WaterSetup::default();
    water.soil = Some(Soil::SandyLoam);
    water.set(Setting::ApplicationEfficiencyPct, Some(90.0));
    Block {
        code: "RB-1".to_owned(),
        crop: "nectarine".to_owned(),
        variety: "Ninebark".to_owned(),
        planted_year: Some(2017),
        first_season: None,
        last_season: None,
        acres: Acres::from_micros(15_400_000),
        trees: Some(2387),
        row_spacing: Some(Feet::of(18.0)),
        tree_spacing: Some(Feet::of(14.0)),
        rows: Some(62),
        emitter: Emitter::DoubleDrip,
        emitters_per_tree: Some(8.0),
        emitter_flow: Some(GallonsPerHour::of(0.5)),
        ripening: MonthDay::new(7, 18).zip(MonthDay::new(8, 2)),
        pollinizer: "self-fruitful".to_owned(),
        needs_pollinizer: Some(NeedsPollinizer::No),
        pollinizer_trees: None,
        target_fruit: None,
        water,
    }
}

/// A day of the sample season.
fn day(month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, month, day).unwrap_or_default()
}

/// Lines of a file of this kind, so many from a first one.
fn lines(kind: RecordKind, first: u32, n: u32) -> Vec<RecordRef> {
    (first..first.saturating_add(n)).map(|line| RecordRef { kind, id: RecordId::Line(line) }).collect()
}

/// A figure resting on lines of one file.
fn figure<T>(value: T, evidence: Evidence, kind: RecordKind, n: u32) -> Figure<T> {
    Figure::new(value, evidence, lines(kind, 2, n))
}
