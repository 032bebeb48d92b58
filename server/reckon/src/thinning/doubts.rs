//! What about the counts is worth a look: far from what is wanted, or from common practice.

use rust_decimal::Decimal;

use super::counts::{Sample, references};
use crate::block::Block;
use crate::figure::{Gap, GapAbout, RecordKind, RecordRef};
use crate::labor;
use crate::records::Task;
use crate::say;
use crate::season::{SeasonRecords, ThinningSeason};

use super::target::WantedFrom;

/// Share of the fruit usually taken off, percent: common practice, no source.
pub const USUAL_REMOVED_PCT: f64 = 75.0;
/// Outside this range of the share taken off a look is asked for: common practice, no source.
pub const REMOVED_RANGE_PCT: (f64, f64) = (50.0, 90.0);
/// Shoot for each fruit usually left, inches: common practice, no source.
pub const USUAL_SPACING_IN: (f64, f64) = (4.0, 5.0);
/// Outside this range of spacing a look is asked for: common practice, no source.
pub const SPACING_RANGE_IN: (f64, f64) = (3.0, 7.0);

/// Fruit left, or their spacing, so far from the target, as a share of it, that a look is asked for:
/// common practice, no source.
pub const TARGET_APART_PCT: f64 = 20.0;

/// What the counts of a season ask to be looked at.
pub(super) fn of(season: &ThinningSeason, block: &Block) -> Vec<Gap> {
    let apart = if season.target_spacing.is_some() { off_spacing(season) } else { off_common_spacing(season) };
    off_common_share(season).into_iter().chain(apart).chain(off_target(season, block)).collect()
}

fn off_common_share(season: &ThinningSeason) -> Option<Gap> {
    let share = season.removed.as_ref().filter(|share| outside(share.value.get(), REMOVED_RANGE_PCT))?;
    let what =
        format!("{:.0}% of the fruit came off; about {USUAL_REMOVED_PCT:.0}% is common practice.", share.value.get());
    let mend = "Check the counts, and the trees: too many fruit stay small, too few are crop lost.";
    Some(say::worth_a_look(GapAbout::Thinning, what, mend, share.records.iter().copied()))
}

const CHECK_SHOOTS: &str = "Check the shoot lengths and counts.";

/// Without a wanted spacing the guides of the crop are the range, and common practice where there are none.
fn off_common_spacing(season: &ThinningSeason) -> Option<Gap> {
    let guided = season.guide_ends().into_iter().reduce(|all, own| (all.0.min(own.0), all.1.max(own.1)));
    let range = guided.unwrap_or(SPACING_RANGE_IN);
    let spacing = season.spacing.as_ref().filter(|each| outside(each.value.get(), range))?;
    let usual = match guided {
        Some((low, high)) => format!("published guides go from {low:.0} to {high:.0} in"),
        None => format!("{:.0} to {:.0} in is common practice", USUAL_SPACING_IN.0, USUAL_SPACING_IN.1),
    };
    let what = format!("One fruit was left every {:.1} in of shoot; {usual}.", spacing.value.get());
    Some(say::worth_a_look(GapAbout::Thinning, what, CHECK_SHOOTS, spacing.records.iter().copied()))
}

/// "One fruit was left every 3.8 in of shoot, 31% closer than the 5.5 wanted of peaches that ripen from 21 June to 10
/// August."
fn off_spacing(season: &ThinningSeason) -> Option<Gap> {
    let (spacing, wanted) = (season.spacing.as_ref()?, season.target_spacing.as_ref()?);
    let off = season.spacing_of_target.as_ref()?;
    let share = off.value.get() - 100.0;
    if share.abs() <= TARGET_APART_PCT {
        return None;
    }
    let side = if share > 0.0 { "wider" } else { "closer" };
    let what = format!(
        "One fruit was left every {:.1} in of shoot, {:.0}% {side} than the {:.1} wanted {}.",
        spacing.value.get(),
        share.abs(),
        wanted.figure.value.get(),
        wanted.from.words(),
    );
    Some(say::worth_a_look(GapAbout::Thinning, what, CHECK_SHOOTS, off.records.iter().copied()))
}

/// "A tree keeps 520 fruit, 24% more than the 420 wanted of Early Amber, which ripens from 18 July."
fn off_target(season: &ThinningSeason, block: &Block) -> Option<Gap> {
    let (left, wanted) = (season.left_per_tree.as_ref()?, season.target.as_ref()?);
    let off = season.left_of_target.as_ref()?;
    let share = off.value.get() - 100.0;
    if share.abs() <= TARGET_APART_PCT {
        return None;
    }
    let side = if share > 0.0 { "more" } else { "less" };
    let whose = match wanted.from {
        WantedFrom::Block => format!("of {}", variety(block)),
        WantedFrom::List { .. } => wanted.from.words(),
    };
    let what = format!(
        "A tree keeps {} fruit, {:.0}% {side} than the {} wanted {whose}.",
        say::whole(left.value.get()),
        share.abs(),
        say::whole(wanted.figure.value.get()),
    );
    let mend = if share > 0.0 {
        "Look again while the fruit is small: what is left now stays smaller."
    } else {
        "Check the counts; fruit that is off cannot be put back."
    };
    Some(say::worth_a_look(GapAbout::Thinning, what, mend, off.records.iter().copied()))
}

/// "Early Amber, which ripens from 18 July".
fn variety(block: &Block) -> String {
    let ripens = block.ripening.map(|(first, _)| format!(", which ripens from {}", say::day_of_year(first)));
    format!("{}{}", block.variety.trim(), ripens.unwrap_or_default())
}

fn outside(value: f64, (low, high): (f64, f64)) -> bool {
    value < low || value > high
}

/// More trees counted than there are: a tree counted again stands under two names, or the block's trees
/// are wrong.
pub(super) fn more_than_the_block(block: &Block, samples: &[Sample]) -> Option<Gap> {
    let trees: Vec<&Sample> = samples.iter().filter(|sample| !sample.branch).collect();
    let all = block.trees.filter(|all| *all > 0 && usize::try_from(*all).is_ok_and(|all| all < trees.len()))?;
    let (counted, has) = (say::number(Decimal::from(trees.len())), say::number(Decimal::from(all)));
    let what = format!("Fruit was counted on {counted} trees, and {} has {has}.", block.code);
    let mend = "Correct the block's trees, or give a tree that was counted again the same name.";
    Some(say::missing(GapAbout::Thinning, what, mend, references(&trees)))
}

/// Samples with only one of the two counts, and thinning nobody counted.
pub(super) fn uncounted(records: &SeasonRecords, samples: &[Sample], season: &ThinningSeason) -> Vec<Gap> {
    let half = |of_use: bool| -> Vec<&Sample> {
        let half = samples.iter().filter(|sample| sample.before.is_some() != sample.after.is_some());
        half.filter(|sample| (!sample.branch && sample.after.is_some()) == of_use).collect()
    };
    let (after, useless) = (half(true), half(false));
    let complete = samples.iter().any(|sample| sample.pair().is_some());
    let thinned = records.labor.iter().any(|kept| kept.record.task == Task::Thin);
    let none = (thinned && !complete && after.is_empty() && useless.is_empty()).then(|| {
        let what = "Thinning is recorded, but no fruit was counted before and after.";
        let mend = "Count a few trees before and after; it gives the share taken off and the cost of 1,000 fruit.";
        say::worth_a_look(GapAbout::Thinning, what, mend, [])
    });
    let useless = (!useless.is_empty()).then(|| {
        let n = Decimal::from(useless.len());
        let what = format!("{} only one of the two counts.", say::counted(n, "sample has", "samples have"));
        let mend = "Add the count before or after thinning under the same sample name.";
        say::missing(GapAbout::Thinning, what, mend, references(&useless))
    });
    only_after(&after, season).into_iter().chain(useless).chain(none).collect()
}

/// Fruit left that was counted before any thinning.
pub(super) fn before_thinning(records: &SeasonRecords) -> Option<Gap> {
    let (counted, began) = labor::Spanned::of(records).counted_before()?;
    let what =
        format!("Fruit left was counted on {}, before thinning began on {}.", say::day(counted), say::day(began));
    let after = records.fruit_counts.iter().filter(|kept| kept.record.after.is_some());
    let counts = after.map(|kept| RecordRef { kind: RecordKind::FruitCount, id: kept.id });
    Some(say::worth_a_look(GapAbout::Thinning, what, "Correct the day of the count, or that of the work.", counts))
}

/// "3 trees were counted only after thinning: fruit left is of 8 trees, the share taken off of 5 samples."
fn only_after(after: &[&Sample], season: &ThinningSeason) -> Option<Gap> {
    let counted = |n: usize, one, many| say::counted(Decimal::from(n), one, many);
    let trees = (!after.is_empty()).then(|| counted(after.len(), "tree was", "trees were"))?;
    let left = counted(season.left_trees, "tree", "trees");
    let share = if season.removed.is_some() {
        format!("the share taken off of {}", counted(season.samples, "sample", "samples"))
    } else {
        "what came off is not known".into()
    };
    let what = format!("{trees} counted only after thinning: fruit left is of {left}, {share}.");
    let mend = "Add the count before thinning under the same sample name, if there is one.";
    Some(say::worth_a_look(GapAbout::Thinning, what, mend, references(after)))
}
