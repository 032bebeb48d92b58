//! A block as far as its thinning is due, read from its records up to a day.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::block::{Block, MonthDay, folded};
use crate::crew;
use crate::records::{LaborEntry, Task, ThinningMethod};
use crate::season::SeasonRecords;
use crate::units::{FruitPerTree, Inches};
use crate::{labor, thinning};

/// What an observation of full bloom is called.
pub const FULL_BLOOM: &str = "full bloom";
/// The same in Spanish, with and without its accent.
const PLENA_FLORACION: [&str; 2] = ["plena floración", "plena floracion"];

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
    /// Whether the farm lies south of the equator.
    pub south: bool,
    /// Full bloom of this season, where somebody noted it: the latest.
    pub full_bloom: Option<NaiveDate>,
    /// Other days that were noted as full bloom, the earliest first.
    pub other_full_blooms: Vec<NaiveDate>,
    /// The latest bloom noted that does not say it is the full one.
    pub some_bloom: Option<NaiveDate>,
    /// Last day of thinning by a machine or a spray, which comes before the hands.
    pub by_machine: Option<(ThinningMethod, NaiveDate)>,
    /// Passes of hand work, with the last day of each. An entry without a pass counts as the first, or as
    /// the second look where it comes days after a first pass that was done.
    pub passes: Vec<(u8, NaiveDate)>,
    /// Trees counted in the first pass; `None` where an entry of it leaves them out, and so stands for
    /// all trees.
    pub first_pass_trees: Option<u64>,
    /// The same of the second look.
    pub second_look_trees: Option<u64>,
    /// Crews of the last pass, each once; empty where nobody wrote one.
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
    /// Of a block's records of a season.
    pub fn of(records: &SeasonRecords) -> Self {
        Self::until(records, NaiveDate::MAX)
    }

    /// The same as it stood on a day: what was recorded for later days does not count.
    pub fn until(records: &SeasonRecords, today: NaiveDate) -> Self {
        let (full, some_bloom) = blooms(records, today);
        let together = labor::read_together(records);
        let thins = |entry: &&LaborEntry| entry.task == Task::Thin && !entry.is_on_top();
        let thinned = together.labor.iter().map(|kept| &kept.record).filter(thins);
        let (by_machine, by_hand): (Vec<&LaborEntry>, Vec<&LaborEntry>) = thinned
            .filter(|entry| entry.date <= today)
            .partition(|entry| entry.method.is_some_and(ThinningMethod::is_by_machine));
        let block = &records.block;
        let rounds = rounds(&by_hand, passes_before(&by_machine, &by_hand), block);
        let of_rounds = |wanted: fn(u8) -> bool| {
            labor::trees_counted(rounds.iter().filter(|(pass, _)| wanted(*pass)).map(|(_, entry)| *entry), block)
        };
        let (fruit, spacing) = thinning::wanted(records);
        Self {
            code: block.code.clone(),
            farm: records.farm.name.clone(),
            crop: block.crop.clone(),
            variety: block.variety.clone(),
            ripening: block.ripening,
            south: records.farm.latitude_deg.is_some_and(|latitude| latitude < 0.0),
            full_bloom: full.last().copied(),
            other_full_blooms: full.iter().rev().skip(1).rev().copied().collect(),
            some_bloom,
            by_machine: by_machine
                .iter()
                .filter_map(|entry| Some((entry.method?, entry.date)))
                .max_by_key(|last| (last.1, last.0)),
            passes: passes(&rounds),
            first_pass_trees: of_rounds(|pass| pass == FIRST),
            second_look_trees: of_rounds(|pass| pass > FIRST),
            crews: last_crews(&rounds),
            picked: records.picks.iter().map(|kept| kept.record.date).filter(|day| *day <= today).min(),
            trees: block.trees,
            fruit,
            spacing,
        }
    }

    /// Trees done and trees of a first pass that has only begun: more than 5% of the block's trees are
    /// left (common practice, no source), and each entry counts its trees. Trees of a later pass are done too:
    /// one mistyped pass must not take the others off the list.
    pub fn begun(&self) -> Option<(u64, u32)> {
        let later = self.passes.iter().any(|(pass, _)| *pass > FIRST);
        let (first, later) = (self.first_pass_trees?, if later { self.second_look_trees? } else { 0 });
        self.part(Some(first.saturating_add(later))).filter(|_| !self.passes.is_empty())
    }

    /// Trees looked at and trees of a second look that has begun, by the same rule. It need not come to
    /// all of them.
    pub fn look_begun(&self) -> Option<(u64, u32)> {
        let last = self.passes.iter().map(|(pass, _)| *pass).max();
        self.part(self.second_look_trees).filter(|_| last == Some(SECOND))
    }

    /// Last day of the first pass.
    pub(super) fn first_pass(&self) -> Option<NaiveDate> {
        self.passes.iter().filter(|(pass, _)| *pass <= FIRST).map(|(_, last)| *last).max()
    }

    /// Whether a pass after the first has begun, and the first was done.
    pub(super) fn is_looked_at(&self) -> bool {
        self.passes.iter().any(|(pass, _)| *pass > FIRST) && self.begun().is_none()
    }

    /// Whether a crew's sheet holds it: the crew was there in the last pass, or nobody has
    /// thinned it yet. The crew is told again by its own name ([`crate::crew`]).
    pub fn is_for(&self, name: &str) -> bool {
        self.passes.is_empty() || self.crews.iter().any(|crew| crew::key(crew) == crew::key(name))
    }

    fn part(&self, counted: Option<u64>) -> Option<(u64, u32)> {
        let (done, trees) = (counted?, self.trees.filter(|trees| *trees > 0)?);
        (!labor::is_whole(done, trees)).then_some((done, trees))
    }
}

const FIRST: u8 = 1;
const SECOND: u8 = 2;
/// Within so many days of a first pass that was done, an entry without a pass is taken for the rest of it:
/// common practice, no source.
const REST_DAYS: i64 = 3;

/// The days of full bloom, in order and each once, and the latest bloom that is not said to be full.
fn blooms(records: &SeasonRecords, today: NaiveDate) -> (Vec<NaiveDate>, Option<NaiveDate>) {
    let seen = records.observations.iter().map(|kept| &kept.record).filter(|seen| seen.date <= today);
    let (mut full, mut some) = (BTreeSet::new(), None);
    for seen in seen {
        let what = folded(&seen.what.replace('-', " "));
        let what = what.trim_end_matches(['.', '!']);
        if is_full_bloom(what) {
            full.insert(seen.date);
        } else if what.contains("bloom") || what.contains("floraci") {
            some = some.max(Some(seen.date));
        }
    }
    (full.into_iter().collect(), some)
}

/// "Full bloom", "in full bloom", "plena floración"; not "before full bloom".
fn is_full_bloom(what: &str) -> bool {
    let bare = ["in ", "at ", "en "].into_iter().find_map(|before| what.strip_prefix(before)).unwrap_or(what);
    bare == FULL_BLOOM || PLENA_FLORACION.contains(&bare)
}

/// Passes that a machine or a spray made before the hands came, where they are numbered through: the first of
/// the hands is the first pass.
fn passes_before(by_machine: &[&LaborEntry], by_hand: &[&LaborEntry]) -> u8 {
    let first = by_hand.iter().filter_map(|entry| entry.pass).min();
    let unnumbered = by_hand.iter().any(|entry| entry.pass.is_none());
    let before =
        by_machine.iter().filter_map(|entry| entry.pass).filter(|pass| first.is_some_and(|first| *pass < first));
    before.max().filter(|_| !unnumbered).unwrap_or_default()
}

/// Each entry with its pass, in order of day; `before` passes were not by hand.
fn rounds<'e>(thinned: &[&'e LaborEntry], before: u8, block: &Block) -> Vec<(u8, &'e LaborEntry)> {
    let mut sorted = thinned.to_vec();
    sorted.sort_by_key(|entry| entry.date);
    let mut first: Vec<&LaborEntry> = Vec::new();
    let numbered = |entry: &'e LaborEntry| {
        let again = || is_again(&first, entry.date, block);
        let numbered = entry.pass.map(|pass| pass.saturating_sub(before));
        let pass = numbered.unwrap_or_else(|| if again() { SECOND } else { FIRST });
        if pass <= FIRST {
            first.push(entry);
        }
        (pass, entry)
    };
    sorted.into_iter().map(numbered).collect()
}

/// Whether an entry of a day without a pass comes after the first pass: its entries before that day count
/// enough trees, and the last of them is days back. Where nobody counted trees it may be the rest of the first
/// pass, and a block that is asked for once too often is better than one that is forgotten.
fn is_again(first: &[&LaborEntry], day: NaiveDate, block: &Block) -> bool {
    let before = || first.iter().copied().filter(|entry| entry.date < day);
    let done = labor::trees_counted(before(), block).zip(block.trees.filter(|trees| *trees > 0));
    let last = before().map(|entry| entry.date).max();
    done.is_some_and(|(done, trees)| labor::is_whole(done, trees))
        && last.is_some_and(|last| (day - last).num_days() > REST_DAYS)
}

fn passes(rounds: &[(u8, &LaborEntry)]) -> Vec<(u8, NaiveDate)> {
    let mut passes: BTreeMap<u8, NaiveDate> = BTreeMap::new();
    for (pass, entry) in rounds {
        let last = passes.entry(*pass).or_insert(entry.date);
        *last = entry.date.max(*last);
    }
    passes.into_iter().collect()
}

/// In the order of their names, whatever the order of the entries.
fn last_crews(rounds: &[(u8, &LaborEntry)]) -> Vec<String> {
    let last = rounds.iter().map(|(pass, _)| *pass).max();
    let then = rounds.iter().filter(|(pass, _)| Some(*pass) == last).map(|(_, entry)| entry);
    crew::each_once(then.map(|entry| entry.crew.as_str())).into_iter().map(str::to_owned).collect()
}
