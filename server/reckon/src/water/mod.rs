//! The daily water balance of a block: dual crop coefficient, surface layer, root zone, mulch.
//!
//! Source: Allen, Pereira, Raes, Smith (1998), FAO Irrigation and Drainage Paper 56, chapters 7, 8, 10.

mod advice;
mod air;
pub mod applied;
mod balance;
pub mod canopy;
pub mod daily;
pub mod how;
mod layers;
mod params;
mod prepare;
pub mod preset;
pub mod rate;
pub mod resolve;
pub mod run;
mod sentence;
mod sets;
pub mod setup;
pub mod sparse;
mod stand;
pub mod totals;

pub use advice::BEYOND_PRACTICE_PCT;

use crate::figure::Gap;
use crate::season::{SeasonRecords, TensionPoint, WaterSeason};

/// The water of a block season: what was applied, what the trees needed, what mulch saved.
///
/// It cannot fail; what could not be reckoned is `None` and among the gaps.
pub fn season(records: &SeasonRecords) -> (WaterSeason, Vec<Gap>) {
    let mut gaps = Vec::new();
    let mut season = WaterSeason { tension: tension(records), ..WaterSeason::default() };
    let sets = sets::known(records, &mut gaps);
    sets::fill(&mut season, &sets, records, &mut gaps);
    balance::fill(&mut season, &sets, records, &mut gaps);
    (season, gaps)
}

fn tension(records: &SeasonRecords) -> Vec<TensionPoint> {
    let readings = records.tension.iter().map(|kept| &kept.record);
    readings.map(|read| TensionPoint { date: read.date, depth: read.depth, tension: read.tension }).collect()
}

#[cfg(test)]
mod tests;
