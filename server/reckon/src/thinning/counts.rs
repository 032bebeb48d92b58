//! Samples: one tree or branch, its counts of all passes joined; means, spacing and size of fruit.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::block::{Block, folded};
use crate::figure::{Evidence, Figure, Kept, RecordId, RecordKind, RecordRef};
use crate::records::{FruitCount, ThinningMethod};
use crate::stats::{self, ratio};
use crate::units::{Count, FruitPerTree, Inches};

/// One tree or branch, its counts of all passes joined: fruit before the first, fruit left by the last.
#[derive(Debug, Clone, Default)]
pub(super) struct Sample {
    pub(super) branch: bool,
    /// The methods its counts name, and `None` for a count that names none.
    pub(super) methods: BTreeSet<Option<ThinningMethod>>,
    pub(super) before: Option<u32>,
    pub(super) after: Option<u32>,
    shoot: Option<f64>,
    ids: Vec<RecordId>,
}

impl Sample {
    fn of(own: &[&Kept<FruitCount>]) -> Self {
        let mut sample = Self { branch: own.iter().any(|kept| kept.record.branch), ..Self::default() };
        for kept in own {
            sample.join(kept);
        }
        sample
    }

    fn join(&mut self, later: &Kept<FruitCount>) {
        self.before = self.before.or(later.record.before);
        self.after = later.record.after.or(self.after);
        self.shoot = later.record.shoot.map(Inches::get).or(self.shoot);
        self.methods.insert(later.record.method);
        self.ids.push(later.id);
    }

    pub(super) fn pair(&self) -> Option<(f64, f64)> {
        self.before.map(f64::from).zip(self.after.map(f64::from))
    }
}

/// Samples in order of name.
pub(super) fn samples(counts: &[Kept<FruitCount>]) -> Vec<Sample> {
    each_sample(counts).iter().map(|own| Sample::of(own)).collect()
}

/// The counts of each sample, in order of name and day; capitals and blanks of a name do not matter. A
/// name that stands on several days is one tree counted again; a name that stands twice on one day
/// ("tree") is no name, and each of its counts stands alone.
pub(super) fn each_sample(counts: &[Kept<FruitCount>]) -> Vec<Vec<&Kept<FruitCount>>> {
    let mut named: BTreeMap<(bool, String), Vec<&Kept<FruitCount>>> = BTreeMap::new();
    for kept in counts {
        named.entry((kept.record.branch, folded(&kept.record.sample))).or_default().push(kept);
    }
    named.into_values().flat_map(of_one_name).collect()
}

fn of_one_name(mut counts: Vec<&Kept<FruitCount>>) -> Vec<Vec<&Kept<FruitCount>>> {
    counts.sort_by_key(|kept| (kept.record.date, kept.id));
    let mut days: Vec<NaiveDate> = counts.iter().map(|kept| kept.record.date).collect();
    days.dedup();
    if days.len() < counts.len() {
        return counts.into_iter().map(|kept| vec![kept]).collect();
    }
    vec![counts]
}

pub(super) fn references(samples: &[&Sample]) -> Vec<RecordRef> {
    samples
        .iter()
        .flat_map(|sample| &sample.ids)
        .map(|id| RecordRef { kind: RecordKind::FruitCount, id: *id })
        .collect()
}

/// How near the mean a count is planned for, as a share of it: common practice, no source.
pub(super) const WITHIN: f64 = 0.1;

/// Means of whole trees counted both before and after.
pub(super) struct PerTree {
    pub(super) before: f64,
    pub(super) left: f64,
    /// Standard error of `left`; needs two trees.
    pub(super) left_error: Option<f64>,
    /// Standard error of `before`.
    pub(super) before_error: Option<f64>,
    /// Standard error of what came off, `before` less `left` of each tree.
    pub(super) taken_error: Option<f64>,
    /// Trees that would put `left` within [`WITHIN`] of itself, going by the spread of these.
    pub(super) needed: Option<usize>,
    pub(super) records: Vec<RecordRef>,
}

impl PerTree {
    pub(super) fn figure(&self, fruit: f64) -> Figure<FruitPerTree> {
        Figure::new(FruitPerTree::of(fruit), Evidence::Counted, self.records.iter().copied())
    }

    /// Fruit of a tree scaled up to the block's bearing trees: an estimate, so modelled.
    pub(super) fn in_block(&self, fruit: f64, block: &Block) -> Option<Figure<Count>> {
        let fruit = fruit * f64::from(block.trees?);
        Some(Figure::new(Count::of(fruit), Evidence::Modelled, self.records.iter().copied()))
    }
}

impl PerTree {
    /// How many trees to count, as far as the block has them.
    pub(super) fn to_count(&self, block: &Block) -> Option<Figure<Count>> {
        let all = block.trees.and_then(|trees| usize::try_from(trees).ok());
        let needed = self.needed.filter(|needed| all.is_none_or(|all| *needed <= all))?;
        Some(Figure::new(Count::of(stats::float(needed)), Evidence::Modelled, self.records.iter().copied()))
    }
}

pub(super) fn per_tree(complete: &[&Sample]) -> Option<PerTree> {
    let trees: Vec<&Sample> = complete.iter().copied().filter(|sample| !sample.branch).collect();
    let pairs: Vec<(f64, f64)> = trees.iter().filter_map(|tree| tree.pair()).collect();
    let sample = |of: fn((f64, f64)) -> f64| stats::Sample::of(&pairs.iter().copied().map(of).collect::<Vec<f64>>());
    let (before, left) = (sample(|(before, _)| before)?, sample(|(_, left)| left)?);
    Some(PerTree {
        before: before.mean,
        left: left.mean,
        left_error: left.standard_error(),
        before_error: before.standard_error(),
        taken_error: sample(|(before, left)| before - left)?.standard_error(),
        needed: stats::needed(left, WITHIN, stats::LEVEL).and_then(|needed| needed.count),
        records: references(&trees),
    })
}

/// Shoot over fruit left, both summed, and the standard error of that ratio.
pub(super) fn spacing(samples: &[Sample]) -> Option<(Figure<Inches>, Option<Figure<Inches>>)> {
    let measured: Vec<&Sample> = samples.iter().filter(|s| s.shoot.is_some() && s.after.is_some()).collect();
    let pairs: Vec<(f64, f64)> =
        measured.iter().filter_map(|sample| sample.after.map(f64::from).zip(sample.shoot)).collect();
    let found = ratio(&pairs)?;
    let figure = |inches: f64| Figure::new(Inches::of(inches), Evidence::Counted, references(&measured));
    Some((figure(found.ratio), found.standard_error.map(figure)))
}

/// Over the counts that carry one: a later count of the same tree is a later size.
pub(super) fn diameter(counts: &[Kept<FruitCount>]) -> Option<Figure<Inches>> {
    let measured: Vec<(&Kept<FruitCount>, f64)> =
        counts.iter().filter_map(|kept| kept.record.fruit_diameter.map(|inches| (kept, inches.get()))).collect();
    let mean = stats::Sample::of(&measured.iter().map(|(_, inches)| *inches).collect::<Vec<f64>>())?.mean;
    let records = measured.iter().map(|(kept, _)| RecordRef { kind: RecordKind::FruitCount, id: kept.id });
    Some(Figure::new(Inches::of(mean), Evidence::Counted, records))
}
