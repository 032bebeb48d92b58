//! Fruit counted before and after: the share taken off, fruit left, spacing.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::block::Block;
use crate::figure::{Evidence, Figure, Gap, GapAbout, Kept, RecordId, RecordKind, RecordRef};
use crate::records::{FruitCount, Task};
use crate::say;
use crate::season::{SeasonRecords, ThinningSeason};
use crate::stats::{self, ratio};
use crate::units::{Count, FruitPerTree, Inches, Share};

/// What the counts of a season say.
pub fn season(records: &SeasonRecords) -> (ThinningSeason, Vec<Gap>) {
    let samples = samples(&records.fruit_counts);
    let complete: Vec<&Sample> = samples.iter().filter(|sample| sample.pair().is_some()).collect();
    let pairs: Vec<(f64, f64)> = complete.iter().filter_map(|sample| sample.pair()).collect();
    let ratio = ratio(&pairs);
    let per_tree = per_tree(&complete);
    let spacing = spacing(&samples);
    let counted = |value: f64| Figure::new(Share::of(value * 100.0), Evidence::Counted, references(&complete));
    let season = ThinningSeason {
        samples: complete.len(),
        removed: ratio.map(|found| counted(1.0 - found.ratio)),
        removed_standard_error: ratio.and_then(|found| found.standard_error).map(counted),
        removed_in_block: per_tree.as_ref().and_then(|trees| trees.in_block(trees.before - trees.left, &records.block)),
        before_per_tree: per_tree.as_ref().map(|trees| trees.figure(trees.before)),
        left_per_tree: per_tree.as_ref().map(|trees| trees.figure(trees.left)),
        left_standard_error: per_tree.as_ref().and_then(|trees| Some(trees.figure(trees.left_error?))),
        crop: per_tree.as_ref().and_then(|trees| trees.in_block(trees.left, &records.block)),
        crop_standard_error: per_tree.as_ref().and_then(|trees| trees.in_block(trees.left_error?, &records.block)),
        left_of_target: per_tree.as_ref().and_then(|trees| of_target(trees, &records.block)),
        diameter: diameter(&records.fruit_counts),
        spacing: spacing.as_ref().map(|(each, _)| each.clone()),
        spacing_standard_error: spacing.and_then(|(_, error)| error),
    };
    let mut gaps = doubts(&season, &records.block);
    gaps.extend(uncounted(records, &samples, complete.len()));
    (season, gaps)
}

/// One tree or branch, its counts of all passes joined: fruit before the first, fruit left by the last.
#[derive(Debug, Clone, Default)]
struct Sample {
    branch: bool,
    before: Option<u32>,
    after: Option<u32>,
    shoot: Option<f64>,
    ids: Vec<RecordId>,
}

impl Sample {
    fn of(kept: &Kept<FruitCount>) -> Self {
        let mut sample = Self { branch: kept.record.branch, ..Self::default() };
        sample.join(kept);
        sample
    }

    fn join(&mut self, later: &Kept<FruitCount>) {
        self.before = self.before.or(later.record.before);
        self.after = later.record.after.or(self.after);
        self.shoot = later.record.shoot.map(Inches::get).or(self.shoot);
        self.ids.push(later.id);
    }

    fn pair(&self) -> Option<(f64, f64)> {
        self.before.map(f64::from).zip(self.after.map(f64::from))
    }
}

/// Samples in order of name. A name that stands on several days is one tree counted again; a name
/// that stands twice on one day ("tree") is no name, and each of its records stands alone.
fn samples(counts: &[Kept<FruitCount>]) -> Vec<Sample> {
    let mut named: BTreeMap<(bool, &str), Vec<&Kept<FruitCount>>> = BTreeMap::new();
    for kept in counts {
        named.entry((kept.record.branch, kept.record.sample.trim())).or_default().push(kept);
    }
    named.into_values().flat_map(of_one_name).collect()
}

fn of_one_name(mut counts: Vec<&Kept<FruitCount>>) -> Vec<Sample> {
    counts.sort_by_key(|kept| (kept.record.date, kept.id));
    let mut days: Vec<NaiveDate> = counts.iter().map(|kept| kept.record.date).collect();
    days.dedup();
    if days.len() < counts.len() {
        return counts.into_iter().map(Sample::of).collect();
    }
    let joined = counts.into_iter().fold(None, |sample: Option<Sample>, kept| match sample {
        Some(mut sample) => {
            sample.join(kept);
            Some(sample)
        }
        None => Some(Sample::of(kept)),
    });
    joined.into_iter().collect()
}

fn references(samples: &[&Sample]) -> Vec<RecordRef> {
    samples
        .iter()
        .flat_map(|sample| &sample.ids)
        .map(|id| RecordRef { kind: RecordKind::FruitCount, id: *id })
        .collect()
}

/// Means of whole trees counted both before and after.
struct PerTree {
    before: f64,
    left: f64,
    /// Standard error of `left`; needs two trees.
    left_error: Option<f64>,
    records: Vec<RecordRef>,
}

impl PerTree {
    fn figure(&self, fruit: f64) -> Figure<FruitPerTree> {
        Figure::new(FruitPerTree::of(fruit), Evidence::Counted, self.records.iter().copied())
    }

    /// Fruit of a tree scaled up to the block's bearing trees: an estimate, so modelled.
    fn in_block(&self, fruit: f64, block: &Block) -> Option<Figure<Count>> {
        let fruit = fruit * f64::from(block.trees?);
        Some(Figure::new(Count::of(fruit), Evidence::Modelled, self.records.iter().copied()))
    }
}

fn per_tree(complete: &[&Sample]) -> Option<PerTree> {
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

fn of_target(trees: &PerTree, block: &Block) -> Option<Figure<Share>> {
    let target = block.target_fruit.filter(|target| target.get() > 0.0)?;
    let share = Share::of(trees.left / target.get() * 100.0);
    Some(Figure::new(share, Evidence::Counted, trees.records.iter().copied()))
}

/// Shoot over fruit left, both summed, and the standard error of that ratio.
fn spacing(samples: &[Sample]) -> Option<(Figure<Inches>, Option<Figure<Inches>>)> {
    let measured: Vec<&Sample> = samples.iter().filter(|s| s.shoot.is_some() && s.after.is_some()).collect();
    let pairs: Vec<(f64, f64)> =
        measured.iter().filter_map(|sample| sample.after.map(f64::from).zip(sample.shoot)).collect();
    let found = ratio(&pairs)?;
    let figure = |inches: f64| Figure::new(Inches::of(inches), Evidence::Counted, references(&measured));
    Some((figure(found.ratio), found.standard_error.map(figure)))
}

/// Over the counts that carry one: a later count of the same tree is a later size.
fn diameter(counts: &[Kept<FruitCount>]) -> Option<Figure<Inches>> {
    let measured: Vec<(&Kept<FruitCount>, f64)> =
        counts.iter().filter_map(|kept| kept.record.fruit_diameter.map(|inches| (kept, inches.get()))).collect();
    let mean = stats::Sample::of(&measured.iter().map(|(_, inches)| *inches).collect::<Vec<f64>>())?.mean;
    let records = measured.iter().map(|(kept, _)| RecordRef { kind: RecordKind::FruitCount, id: kept.id });
    Some(Figure::new(Inches::of(mean), Evidence::Counted, records))
}

/// Share of the fruit usually taken off, percent: common practice, no source.
pub const USUAL_REMOVED_PCT: f64 = 75.0;
/// Outside this range of the share taken off a look is asked for: common practice, no source.
pub const REMOVED_RANGE_PCT: (f64, f64) = (50.0, 90.0);
/// Shoot for each fruit usually left, inches: common practice, no source.
pub const USUAL_SPACING_IN: (f64, f64) = (4.0, 5.0);
/// Outside this range of spacing a look is asked for: common practice, no source.
pub const SPACING_RANGE_IN: (f64, f64) = (3.0, 7.0);

/// Fruit left so far from the block's target, as a share of it, that a look is asked for: common
/// practice, no source.
pub const TARGET_APART_PCT: f64 = 20.0;

fn doubts(season: &ThinningSeason, block: &Block) -> Vec<Gap> {
    let removed = season.removed.as_ref().filter(|share| outside(share.value.get(), REMOVED_RANGE_PCT));
    let spacing = season.spacing.as_ref().filter(|each| outside(each.value.get(), SPACING_RANGE_IN));
    let off = removed.map(|share| {
        let what = format!(
            "{:.0}% of the fruit came off; about {USUAL_REMOVED_PCT:.0}% is common practice.",
            share.value.get()
        );
        let mend = "Check the counts, and the trees: too many fruit stay small, too few are crop lost.";
        say::worth_a_look(GapAbout::Thinning, what, mend, share.records.iter().copied())
    });
    let wide = spacing.map(|each| {
        let (low, high) = USUAL_SPACING_IN;
        let what = format!(
            "One fruit was left every {:.1} in of shoot; {low:.0} to {high:.0} in is common practice.",
            each.value.get()
        );
        say::worth_a_look(GapAbout::Thinning, what, "Check the shoot lengths and counts.", each.records.iter().copied())
    });
    off.into_iter().chain(wide).chain(off_target(season, block)).collect()
}

/// "A tree keeps 520 fruit, 24% more than the 420 wanted of Early Amber, which ripens from 18 July."
fn off_target(season: &ThinningSeason, block: &Block) -> Option<Gap> {
    let (left, target) = (season.left_per_tree.as_ref()?, block.target_fruit?);
    let share = season.left_of_target.as_ref()?.value.get() - 100.0;
    if share.abs() <= TARGET_APART_PCT {
        return None;
    }
    let side = if share > 0.0 { "more" } else { "less" };
    let ripens = block.ripening.and_then(|(first, _)| first.in_year(LEAP_YEAR));
    let ripens = ripens.map(|first| format!(", which ripens from {}", say::day(first))).unwrap_or_default();
    let what = format!(
        "A tree keeps {:.0} fruit, {:.0}% {side} than the {:.0} wanted of {}{ripens}.",
        left.value.get(),
        share.abs(),
        target.get(),
        block.variety.trim(),
    );
    let mend = if share > 0.0 {
        "Look again while the fruit is small: what is left now stays smaller."
    } else {
        "Check the counts; fruit that is off cannot be put back."
    };
    Some(say::worth_a_look(GapAbout::Thinning, what, mend, left.records.iter().copied()))
}

/// Any year that has every day, for the words of a day that stands for any year.
const LEAP_YEAR: i32 = 2024;

fn outside(value: f64, (low, high): (f64, f64)) -> bool {
    value < low || value > high
}

/// Samples with only one of the two counts, and thinning nobody counted.
fn uncounted(records: &SeasonRecords, samples: &[Sample], complete: usize) -> Option<Gap> {
    let half: Vec<&Sample> = samples.iter().filter(|s| s.before.is_some() != s.after.is_some()).collect();
    if !half.is_empty() {
        let n = rust_decimal::Decimal::from(half.len());
        let what = format!("{} only one of the two counts.", say::counted(n, "sample has", "samples have"));
        let mend = "Add the count before or after thinning under the same sample name.";
        return Some(say::missing(GapAbout::Thinning, what, mend, references(&half)));
    }
    let thinned = records.labor.iter().any(|kept| kept.record.task == Task::Thin);
    (thinned && complete == 0).then(|| {
        let what = "Thinning is recorded, but no fruit was counted before and after.";
        let mend = "Count a few trees before and after; it gives the share taken off and the cost of 1,000 fruit.";
        say::worth_a_look(GapAbout::Thinning, what, mend, [])
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{date, kept, records};

    fn count(sample: &str, day: u32, before: Option<u32>, after: Option<u32>) -> FruitCount {
        FruitCount {
            date: date(5, day),
            sample: sample.into(),
            branch: false,
            before,
            after,
            shoot: None,
            fruit_diameter: None,
            method: None,
            note: String::new(),
        }
    }

    fn season_of(counts: Vec<FruitCount>) -> (ThinningSeason, Vec<Gap>) {
        let mut season = records();
        season.fruit_counts = kept(counts);
        super::season(&season)
    }

    fn close(figure: Option<&Figure<Share>>, expected: f64) {
        let value = figure.unwrap().value.get();
        assert!((value - expected).abs() < 1e-9, "{value}");
    }

    #[test]
    fn a_ratio_of_sums_and_not_a_mean_of_ratios() {
        let (season, gaps) = season_of(vec![count("1", 1, Some(1_000), Some(200)), count("2", 1, Some(100), Some(60))]);
        close(season.removed.as_ref(), 100.0 * (1.0 - 260.0 / 1_100.0));
        // r = 26/110; residuals 200 - 236.3636 and 60 - 23.6364 are -+36.3636; s2 = 2 x 36.3636^2 / 1 / 2; over 550.
        close(season.removed_standard_error.as_ref(), 100.0 * (400.0 / 11.0) / 550.0);
        assert_eq!(season.removed_in_block.unwrap().value, Count::of(420_000.0));
        assert!(gaps.is_empty());
    }

    #[test]
    fn a_second_look_at_the_same_tree_is_one_sample() {
        let (season, _) = season_of(vec![
            count("7 N", 20, Some(300), Some(200)),
            count("7 N", 1, Some(1_000), Some(300)),
            count("8 N", 1, Some(900), None),
            count("8 N", 3, None, Some(180)),
        ]);
        assert_eq!(season.samples, 2);
        close(season.removed.as_ref(), 80.0);
        assert_eq!(season.removed.unwrap().n(), 4);
    }

    #[test]
    fn a_name_used_twice_on_one_day_joins_nothing() {
        let (season, _) =
            season_of(vec![count("tree", 1, Some(1_000), Some(300)), count("tree", 1, Some(500), Some(100))]);
        assert_eq!(season.samples, 2);
        close(season.removed.as_ref(), 100.0 * (1.0 - 400.0 / 1_500.0));
    }

    #[test]
    fn branches_give_share_and_spacing_but_no_fruit_per_tree() {
        let branch = |sample: &str, before, after, shoot| FruitCount {
            branch: true,
            shoot: Some(Inches::of(shoot)),
            ..count(sample, 1, Some(before), Some(after))
        };
        let (season, gaps) = season_of(vec![branch("a", 40, 10, 45.0), branch("b", 44, 10, 55.0)]);
        assert_eq!(season.before_per_tree, None);
        assert_eq!(season.removed_in_block, None);
        assert!((season.spacing.unwrap().value.get() - 5.0).abs() < 1e-12);
        assert!(gaps.is_empty());
    }

    #[test]
    fn far_from_common_practice_is_worth_a_look() {
        let thin = FruitCount { shoot: Some(Inches::of(100.0)), ..count("1", 1, Some(100), Some(60)) };
        let (_, gaps) = season_of(vec![thin]);
        assert_eq!(gaps[0].what, "40% of the fruit came off; about 75% is common practice.");
        assert_eq!(gaps[1].what, "One fruit was left every 1.7 in of shoot; 4 to 5 in is common practice.");
        let (_, gaps) = season_of(vec![count("1", 1, Some(100), Some(50))]);
        assert!(gaps.is_empty());
    }

    #[test]
    fn half_a_count_is_said_and_one_tree_has_no_error() {
        let (season, gaps) = season_of(vec![count("1", 1, Some(100), Some(25)), count("2", 1, Some(100), None)]);
        assert_eq!(season.samples, 1);
        assert_eq!(season.removed_standard_error, None);
        assert_eq!(gaps[0].what, "1 sample has only one of the two counts.");
        let (season, _) = season_of(vec![count("1", 1, Some(0), Some(0))]);
        assert_eq!(season.removed, None);
    }

    #[test]
    fn the_crop_to_expect_and_its_error() {
        let (season, _) = season_of(vec![count("1", 1, Some(1_000), Some(300)), count("2", 1, Some(900), Some(200))]);
        // Mean 250, standard deviation 70.71, over the root of 2: 50; a thousand trees.
        assert!((season.left_standard_error.unwrap().value.get() - 50.0).abs() < 1e-9);
        let crop = season.crop.unwrap();
        assert_eq!((crop.value, crop.evidence), (Count::of(250_000.0), Evidence::Modelled));
        assert!((season.crop_standard_error.unwrap().value.get() - 50_000.0).abs() < 1e-6);
        let (one, _) = season_of(vec![count("1", 1, Some(1_000), Some(300))]);
        assert_eq!((one.left_standard_error, one.crop_standard_error), (None, None), "one tree has no error");
        assert_eq!(one.crop.unwrap().value, Count::of(300_000.0));
    }

    #[test]
    fn spacing_is_a_ratio_with_its_error_and_fruit_have_a_size() {
        let branch = |sample: &str, left, shoot, diameter| FruitCount {
            branch: true,
            shoot: Some(Inches::of(shoot)),
            fruit_diameter: Some(Inches::of(diameter)),
            ..count(sample, 1, Some(40), Some(left))
        };
        let (season, _) = season_of(vec![branch("a", 10, 45.0, 0.7), branch("b", 10, 55.0, 0.9)]);
        assert!((season.spacing.unwrap().value.get() - 5.0).abs() < 1e-12);
        // Residuals -5 and 5: s2 = 50 / 1 / 2 = 25, its root 5, over a mean of 10.
        assert!((season.spacing_standard_error.unwrap().value.get() - 0.5).abs() < 1e-12);
        assert!((season.diameter.unwrap().value.get() - 0.8).abs() < 1e-12);
    }

    #[test]
    fn far_from_the_blocks_own_target_is_worth_a_look() {
        let mut season = records();
        season.block.variety = "Dusk".into();
        season.block.target_fruit = Some(FruitPerTree::of(400.0));
        season.block.ripening = crate::block::MonthDay::new(7, 18).zip(crate::block::MonthDay::new(8, 1));
        season.fruit_counts = kept([count("1", 1, Some(1_600), Some(480))]);
        let (found, gaps) = super::season(&season);
        close(found.left_of_target.as_ref(), 120.0);
        assert!(gaps.is_empty(), "{gaps:?}");
        season.fruit_counts = kept([count("1", 1, Some(1_600), Some(500))]);
        let (_, gaps) = super::season(&season);
        assert_eq!(
            gaps[0].what,
            "A tree keeps 500 fruit, 25% more than the 400 wanted of Dusk, which ripens from 18 July."
        );
        season.fruit_counts = kept([count("1", 1, Some(1_000), Some(300))]);
        let (_, gaps) = super::season(&season);
        assert!(gaps[0].what.starts_with("A tree keeps 300 fruit, 25% less than the 400"), "{gaps:?}");
    }
}
