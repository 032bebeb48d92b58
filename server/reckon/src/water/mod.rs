//! The daily water balance of a block: dual crop coefficient, surface layer, root zone, mulch.
//!
//! Source: Allen, Pereira, Raes, Smith (1998), FAO Irrigation and Drainage Paper 56, chapters 7, 8, 10.

pub mod advice;
mod air;
pub mod applied;
mod balance;
pub mod canopy;
mod canopy_twice;
pub mod daily;
mod doubts;
pub mod how;
mod layers;
pub mod metered;
pub mod months;
mod params;
mod prepare;
pub mod preset;
pub mod resolve;
pub mod rule;
pub mod run;
mod sentence;
mod sets;
pub mod setup;
pub mod single;
pub mod sparse;
mod stand;
pub mod tension;
#[cfg(test)]
pub(crate) mod testing;
pub mod together;
pub mod totals;

pub use advice::BEYOND_PRACTICE_PCT;

use crate::figure::Gap;
use crate::season::{SeasonRecords, WaterSeason};

/// The water of a block season: what was applied, what the trees needed, what mulch saved.
///
/// It cannot fail; what could not be reckoned is `None` and among the gaps.
pub fn season(records: &SeasonRecords) -> (WaterSeason, Vec<Gap>) {
    let mut gaps = Vec::new();
    let mut season = WaterSeason { tension: tension::points(records, &[]), ..WaterSeason::default() };
    let sets = sets::known(records, &mut gaps);
    sets::fill(&mut season, &sets, records, &mut gaps);
    balance::fill(&mut season, &sets, records, &mut gaps);
    (season, gaps)
}

#[cfg(test)]
mod tests;
