//! A block as far as its thinning is due, read from its records up to a day.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::block::{MonthDay, folded};
use crate::records::{LaborEntry, Task};
use crate::season::SeasonRecords;
use crate::units::{FruitPerTree, Inches};
use crate::{labor, thinning};

/// What an observation of full bloom is called.
pub const FULL_BLOOM: &str = "full bloom";

/// A block as far as its thinning is due.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DueBlock {
    /// The block's code.
    pub code: String,
    /// Farm.
    pub farm: String,
    /// Crop.
    pub crop: String,
    /// Variety.
    pub variety: String,
    /// First and last day of ripening in a usual year.
    pub ripening: Option<(MonthDay, MonthDay)>,
    /// Full bloom of this season, where somebody noted it.
    pub full_bloom: Option<NaiveDate>,
    /// Passes worked in, with the last day of each; entries without a pass count as the first.
    pub passes: Vec<(u8, NaiveDate)>,
    /// Trees counted in the first pass; `None` where an entry of it leaves them out, and so stands for
    /// all trees.
    pub first_pass_trees: Option<u64>,
    /// Crews of the last day of thinning, each once; empty where nobody wrote one.
    pub crews: Vec<String>,
    /// First day of picking, if it was picked.
    pub picked: Option<NaiveDate>,
    /// Bearing trees, for the crew's sheet.
    pub trees: Option<u32>,
    /// Fruit wanted on a tree.
    pub fruit: Option<FruitPerTree>,
    /// Shoot wanted for each fruit.
    pub spacing: Option<Inches>,
}

impl DueBlock {
    /// Of a block's records of a season. Full bloom is the latest observation of that name.
    pub fn of(records: &SeasonRecords) -> Self {
        Self::until(records, NaiveDate::MAX)
    }

    /// The same as it stood on a day: what was recorded for later days does not count.
    pub fn until(records: &SeasonRecords, today: NaiveDate) -> Self {
        let bloom = records.observations.iter().map(|kept| &kept.record).filter(|seen| seen.date <= today);
        let bloom = bloom.filter(|seen| seen.what.trim().eq_ignore_ascii_case(FULL_BLOOM)).map(|seen| seen.date).max();
        let thinned = records.labor.iter().map(|kept| &kept.record).filter(|entry| entry.task == Task::Thin);
        let thinned: Vec<&LaborEntry> = thinned.filter(|entry| entry.date <= today).collect();
        let first = thinned.iter().copied().filter(|entry| pass(entry) == FIRST);
        let (fruit, spacing) = thinning::wanted(records);
        let block = &records.block;
        Self {
            code: block.code.clone(),
            farm: records.farm.name.clone(),
            crop: block.crop.clone(),
            variety: block.variety.clone(),
            ripening: block.ripening,
            full_bloom: bloom,
            passes: passes(&thinned),
            first_pass_trees: labor::trees_counted(first, block),
            crews: last_crews(&thinned),
            picked: records.picks.iter().map(|kept| kept.record.date).filter(|day| *day <= today).min(),
            trees: block.trees,
            fruit,
            spacing,
        }
    }

    /// Trees done and trees of a first pass that has only begun: more than 5% of the block's trees are
    /// left (common practice, no source), each entry counts its trees, and no later pass has begun.
    pub fn begun(&self) -> Option<(u64, u32)> {
        let (done, trees) = (self.first_pass_trees?, self.trees.filter(|trees| *trees > 0)?);
        let only_first = !self.passes.is_empty() && self.passes.iter().all(|(pass, _)| *pass <= FIRST);
        let under = done.saturating_mul(100) < u64::from(trees).saturating_mul(ENOUGH_PCT);
        (only_first && under).then_some((done, trees))
    }
}

const FIRST: u8 = 1;
/// From so many of the block's trees on, percent, a pass is taken as done.
const ENOUGH_PCT: u64 = 95;

fn pass(entry: &LaborEntry) -> u8 {
    entry.pass.unwrap_or(FIRST)
}

fn passes(thinned: &[&LaborEntry]) -> Vec<(u8, NaiveDate)> {
    let mut passes: BTreeMap<u8, NaiveDate> = BTreeMap::new();
    for entry in thinned {
        let last = passes.entry(pass(entry)).or_insert(entry.date);
        *last = entry.date.max(*last);
    }
    passes.into_iter().collect()
}

/// In the order of their names, whatever the order of the entries.
fn last_crews(thinned: &[&LaborEntry]) -> Vec<String> {
    let last = thinned.iter().map(|entry| entry.date).max();
    let written: BTreeSet<&str> =
        thinned.iter().filter(|entry| Some(entry.date) == last).map(|entry| entry.crew.trim()).collect();
    let named = written.into_iter().filter(|name| !name.is_empty());
    let once: BTreeMap<String, &str> = named.rev().map(|name| (folded(name), name)).collect();
    once.into_values().map(str::to_owned).collect()
}
