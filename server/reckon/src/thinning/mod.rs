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
mod weighed;

pub use doubts::{REMOVED_RANGE_PCT, SPACING_RANGE_IN, TARGET_APART_PCT, USUAL_REMOVED_PCT, USUAL_SPACING_IN};
pub use said::ONLY_BRANCHES;

use crate::block::Block;
use crate::figure::{Evidence, Figure, Gap};
use crate::labor;
use crate::season::{SeasonRecords, ThinningSeason};
use crate::stats::{self, Ratio};
use crate::units::{Count, FruitPerTree, Inches, Measure, Share};
use counts::{Sample, diameter, samples};
use strata::{Mean, Strata};
use target::{Targets, Wanted};
use weighed::Weighed;

/// How near the mean a count is planned for, as a share of it: common practice, no source.
const WITHIN: f64 = 0.1;

/// What the counts of a season say.
pub fn season(records: &SeasonRecords) -> (ThinningSeason, Vec<Gap>) {
    let samples = samples(&records.fruit_counts);
    let weighed = Weighed::of(records, &samples);
    let targets = Targets::of(records);
    let season = targets.held_against(of_counts(records, &weighed));
    let mut gaps = doubts::of(&season, &records.block);
    gaps.extend(doubted::of(&records.fruit_counts));
    gaps.extend(doubts::more_than_the_block(&records.block, &samples));
    gaps.extend(doubts::uncounted(records, &samples, &season));
    gaps.extend(doubts::before_thinning(records));
    gaps.extend(weighed.gaps);
    gaps.extend(targets.gaps);
    (season, gaps)
}

/// Fruit wanted on a tree and shoot wanted for each fruit, as [`season`] has them.
pub(crate) fn wanted(records: &SeasonRecords) -> (Option<FruitPerTree>, Option<Inches>) {
    let targets = Targets::of(records);
    (targets.fruit.map(|wanted| wanted.figure.value), targets.spacing.map(|wanted| wanted.figure.value))
}

fn of_counts(records: &SeasonRecords, weighed: &Weighed<'_>) -> ThinningSeason {
    let block = &records.block;
    let Weighed { share, both, left, spaced, .. } = weighed;
    let ratio = share.ratio(Sample::pair);
    let before = both.mean(|tree| Some(tree.pair()?.0));
    let taken = both.mean(|tree| tree.pair().map(|(before, left)| before - left));
    let kept = left.mean(Sample::left);
    let spacing = spaced.ratio(Sample::spaced);
    let removed = |ratio: Ratio| 1.0 - ratio.ratio;
    let in_part = labor::thinned_in_part(records);
    let thinned = in_part.map(|(own, _)| labor::float(own)).or(block.trees.map(f64::from));
    ThinningSeason {
        samples: share.len(),
        removed: ratio.map(|ratio| percent(removed(ratio), share)),
        removed_standard_error: ratio.and_then(|ratio| ratio.standard_error).map(|error| percent(error, share)),
        whole_trees: share.trees(),
        left_trees: left.len(),
        removed_in_block: taken.and_then(|taken| on_trees(taken.value, both, thinned)),
        removed_in_block_standard_error: error(taken).and_then(|error| on_trees(error, both, thinned)),
        before_per_tree: before.map(|before| on_a_tree(before.value, both)),
        before_standard_error: error(before).map(|error| on_a_tree(error, both)),
        trees_to_count: Some(left).filter(|_| !weighed.several).and_then(|left| to_count(left, block)),
        left_per_tree: kept.map(|kept| on_a_tree(kept.value, left)),
        left_standard_error: error(kept).map(|error| on_a_tree(error, left)),
        crop: match in_part {
            None => kept.and_then(|kept| on_trees(kept.value, left, thinned)),
            Some(part) => kept.zip(before).map(|(kept, before)| crop_in_part(kept.value, (before.value, both), part)),
        },
        crop_standard_error: error(kept).filter(|_| in_part.is_none()).and_then(|error| on_trees(error, left, thinned)),
        again_from: labor::Spanned::of(records).thinned_after(records),
        in_part,
        diameter: diameter(&records.fruit_counts),
        spacing: spacing.map(|spacing| inches(spacing.ratio, spaced)),
        spacing_standard_error: spacing.and_then(|spacing| spacing.standard_error).map(|error| inches(error, spaced)),
        by_method: by_method::by_method(&records.fruit_counts),
        ..ThinningSeason::default()
    }
}

fn error(mean: Option<Mean>) -> Option<f64> {
    mean.and_then(|mean| mean.error)
}

fn percent(share: f64, of: &Strata<'_>) -> Figure<Share> {
    Figure::new(Share::of(share * 100.0), Evidence::Counted, of.records())
}

fn on_a_tree(fruit: f64, of: &Strata<'_>) -> Figure<FruitPerTree> {
    Figure::new(FruitPerTree::of(fruit), Evidence::Counted, of.records())
}

fn inches(inches: f64, of: &Strata<'_>) -> Figure<Inches> {
    Figure::new(Inches::of(inches), Evidence::Counted, of.records())
}

/// Fruit of a tree scaled up to so many trees: an estimate, so modelled.
fn on_trees(fruit: f64, of: &Strata<'_>, trees: Option<f64>) -> Option<Figure<Count>> {
    Some(Figure::new(Count::of(fruit * trees?), Evidence::Modelled, of.records()))
}

/// Fruit left on the trees that were thinned, and those of before on the others.
fn crop_in_part(left: f64, (before, of): (f64, &Strata<'_>), (own, all): (u64, u32)) -> Figure<Count> {
    let own = labor::float(own);
    let fruit = left * own + before * (f64::from(all) - own);
    Figure::new(Count::of(fruit), Evidence::Modelled, of.records())
}

/// Trees that would put fruit left within [`WITHIN`] of itself, going by the spread of those counted, as far
/// as the block has them.
fn to_count(left: &Strata<'_>, block: &Block) -> Option<Figure<Count>> {
    // Counts that are all alike do not say that two trees would do.
    let spread = left.spread(Sample::left).filter(|spread| spread.sd.is_some_and(|sd| sd > 0.0))?;
    let needed = stats::needed(spread, WITHIN, stats::LEVEL)?.count?;
    let all = block.trees.and_then(|trees| usize::try_from(trees).ok());
    all.is_none_or(|all| needed <= all)
        .then(|| Figure::new(Count::of(stats::float(needed)), Evidence::Modelled, left.records()))
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
    Some(Figure::new(share, counted.evidence.and(wanted.figure.evidence), records))
}
