//! Fruit counted before and after: the share taken off, fruit left and their spacing, and these
//! against what is wanted of the block.

mod by_method;
mod counts;
mod doubted;
mod doubts;
pub mod guides;
mod said;
mod strata;
pub mod target;
#[cfg(test)]
mod tests;

pub use doubts::{REMOVED_RANGE_PCT, SPACING_RANGE_IN, TARGET_APART_PCT, USUAL_REMOVED_PCT, USUAL_SPACING_IN};

use crate::figure::{Evidence, Figure, Gap};
use crate::season::{SeasonRecords, ThinningSeason};
use crate::units::{FruitPerTree, Inches, Measure, Share};
use counts::{PerTree, Sample, diameter, per_tree, references, samples, spacing};
use target::{Targets, Wanted};

/// What the counts of a season say.
pub fn season(records: &SeasonRecords) -> (ThinningSeason, Vec<Gap>) {
    let samples = samples(&records.fruit_counts);
    let complete: Vec<&Sample> = samples.iter().filter(|sample| sample.pair().is_some()).collect();
    let targets = Targets::of(records);
    let season = targets.held_against(of_counts(records, &samples, &complete));
    let mut gaps = doubts::of(&season, &records.block);
    gaps.extend(doubted::of(&records.fruit_counts));
    gaps.extend(doubts::more_than_the_block(&records.block, &samples));
    gaps.extend(doubts::uncounted(records, &samples, complete.len()));
    gaps.extend(targets.gaps);
    (season, gaps)
}

/// Fruit wanted on a tree and shoot wanted for each fruit, as [`season`] has them.
pub(crate) fn wanted(records: &SeasonRecords) -> (Option<FruitPerTree>, Option<Inches>) {
    let targets = Targets::of(records);
    (targets.fruit.map(|wanted| wanted.figure.value), targets.spacing.map(|wanted| wanted.figure.value))
}

fn of_counts(records: &SeasonRecords, samples: &[Sample], complete: &[&Sample]) -> ThinningSeason {
    let weighted = strata::weighted(records, complete);
    let ratio = strata::share_left(weighted.as_ref(), complete);
    let trees = weighted.map(|weighted| weighted.trees).or_else(|| per_tree(complete));
    let trees = trees.as_ref();
    let spacing = spacing(samples);
    let counted = |value: f64| Figure::new(Share::of(value * 100.0), Evidence::Counted, references(complete));
    let in_block = |fruit: fn(&PerTree) -> Option<f64>| trees.and_then(|t| t.in_block(fruit(t)?, &records.block));
    ThinningSeason {
        samples: complete.len(),
        removed: ratio.map(|found| counted(1.0 - found.ratio)),
        removed_standard_error: ratio.and_then(|found| found.standard_error).map(counted),
        whole_trees: complete.iter().filter(|sample| !sample.branch).count(),
        removed_in_block: in_block(|trees| Some(trees.before - trees.left)),
        removed_in_block_standard_error: in_block(|trees| trees.taken_error),
        before_standard_error: trees.and_then(|trees| Some(trees.figure(trees.before_error?))),
        trees_to_count: trees.and_then(|trees| trees.to_count(&records.block)),
        before_per_tree: trees.map(|trees| trees.figure(trees.before)),
        left_per_tree: trees.map(|trees| trees.figure(trees.left)),
        left_standard_error: trees.and_then(|trees| Some(trees.figure(trees.left_error?))),
        crop: in_block(|trees| Some(trees.left)),
        crop_standard_error: in_block(|trees| trees.left_error),
        diameter: diameter(&records.fruit_counts),
        spacing: spacing.as_ref().map(|(each, _)| each.clone()),
        spacing_standard_error: spacing.and_then(|(_, error)| error),
        by_method: by_method::by_method(&records.fruit_counts),
        ..ThinningSeason::default()
    }
}

impl Targets {
    /// The season of the counts with what is wanted beside it. Published guides stand there where no
    /// spacing is wanted, and are held against nothing.
    fn held_against(&self, counted: ThinningSeason) -> ThinningSeason {
        let unsaid = self.spacing.is_none() && counted.spacing.is_some();
        ThinningSeason {
            left_of_target: share_of(counted.left_per_tree.as_ref(), self.fruit.as_ref()),
            spacing_of_target: share_of(counted.spacing.as_ref(), self.spacing.as_ref()),
            target: self.fruit.clone(),
            target_spacing: self.spacing.clone(),
            guides: if unsaid { guides::of_crop(&self.crop) } else { Vec::new() },
            ..counted
        }
    }
}

fn share_of<M: Measure>(counted: Option<&Figure<M>>, wanted: Option<&Wanted<M>>) -> Option<Figure<Share>> {
    let (counted, wanted) = (counted?, wanted.filter(|wanted| wanted.figure.value.float() > 0.0)?);
    let share = Share::of(counted.value.float() / wanted.figure.value.float() * 100.0);
    let records = counted.records.iter().chain(&wanted.figure.records).copied();
    Some(Figure::new(share, counted.evidence, records))
}
