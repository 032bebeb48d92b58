//! Samples: one tree or branch, its counts of all passes joined; means, spacing and size of fruit.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::block::Block;
use crate::figure::{Evidence, Figure, Kept, RecordId, RecordKind, RecordRef};
use crate::records::FruitCount;
use crate::stats::{self, ratio};
use crate::units::{Count, FruitPerTree, Inches};

/// One tree or branch, its counts of all passes joined: fruit before the first, fruit left by the last.
#[derive(Debug, Clone, Default)]
pub(super) struct Sample {
    branch: bool,
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

/// The counts of each sample, in order of name and day. A name that stands on several days is one tree
/// counted again; a name that stands twice on one day ("tree") is no name, and each of its counts
/// stands alone.
pub(super) fn each_sample(counts: &[Kept<FruitCount>]) -> Vec<Vec<&Kept<FruitCount>>> {
    let mut named: BTreeMap<(bool, &str), Vec<&Kept<FruitCount>>> = BTreeMap::new();
    for kept in counts {
        named.entry((kept.record.branch, kept.record.sample.trim())).or_default().push(kept);
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

/// Means of whole trees counted both before and after.
pub(super) struct PerTree {
    pub(super) before: f64,
    pub(super) left: f64,
    /// Standard error of `left`; needs two trees.
    pub(super) left_error: Option<f64>,
    records: Vec<RecordRef>,
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

pub(super) fn per_tree(complete: &[&Sample]) -> Option<PerTree> {
    let trees: Vec<&Sample> = complete.iter().copied().filter(|sample| !sample.branch).collect();
    let pairs: Vec<(f64, f64)> = trees.iter().filter_map(|tree| tree.pair()).collect();
    let before = stats::Sample::of(&pairs.iter().map(|(before, _)| *before).collect::<Vec<f64>>())?;
    let left = stats::Sample::of(&pairs.iter().map(|(_, left)| *left).collect::<Vec<f64>>())?;
    Some(PerTree {
        before: before.mean,
        left: left.mean,
        left_error: left.standard_error(),
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
