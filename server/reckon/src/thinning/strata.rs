//! Methods that were used on different trees of a block: each counts by the trees it thinned, not by
//! how many of them were sampled.

use crate::block::Block;
use crate::labor::thinned_by_method;
use crate::records::ThinningMethod;
use crate::season::SeasonRecords;
use crate::stats::{self, Ratio, ratio, sum};

use super::counts::{PerTree, Sample, per_tree};

/// Of this share of the block's trees the methods' own may be more, for a miscount: common practice, no
/// source. Beyond it a tree was thinned by several methods.
const MISCOUNT: f64 = 1.05;

/// Means of the block, and the share left of the fruit.
pub(super) struct Weighted {
    pub(super) trees: PerTree,
    /// Fruit left over fruit before, each the weighted mean.
    pub(super) left: Ratio,
}

/// One method's part of the trees, and what its samples say.
struct Stratum {
    weight: f64,
    trees: PerTree,
    pairs: Vec<(f64, f64)>,
}

/// Means weighted by the trees of each method. `None` where the plain means serve: one method, methods
/// that followed each other on the same trees, trees that were not counted, a method without a sample
/// tree of its own, or a sample that names none.
pub(super) fn weighted(records: &SeasonRecords, complete: &[&Sample]) -> Option<Weighted> {
    let strata = strata(records, &records.block, complete)?;
    let mean = |of: fn(&PerTree) -> f64| sum(strata.iter().map(|stratum| stratum.weight * of(&stratum.trees)));
    let (before, left) = (mean(|trees| trees.before), mean(|trees| trees.left));
    let error = |of: fn(&PerTree) -> Option<f64>| {
        let errors: Option<Vec<f64>> =
            strata.iter().map(|stratum| Some(squared(stratum.weight * of(&stratum.trees)?))).collect();
        errors.map(|squares| libm::sqrt(sum(squares)))
    };
    let trees = PerTree {
        before,
        left,
        left_error: error(|trees| trees.left_error),
        before_error: error(|trees| trees.before_error),
        taken_error: error(|trees| trees.taken_error),
        // How many trees of which method is more than one number.
        needed: None,
        records: strata.iter().flat_map(|stratum| stratum.trees.records.clone()).collect(),
    };
    let ratio = (before > 0.0).then(|| left / before)?;
    let standard_error = ratio_error(&strata, ratio).map(|error| error / before);
    Some(Weighted { trees, left: Ratio { ratio, standard_error } })
}

fn strata(records: &SeasonRecords, block: &Block, complete: &[&Sample]) -> Option<Vec<Stratum>> {
    let thinned = thinned_by_method(&records.labor, block)?;
    let all = sum(thinned.values().copied());
    let is_tree = |sample: &&Sample| !sample.branch && sample.methods.len() == 1;
    if thinned.len() < 2 || all > f64::from(block.trees?) * MISCOUNT || !complete.iter().all(is_tree) {
        return None;
    }
    let stratum = |(method, trees): (ThinningMethod, f64)| {
        let own: Vec<&Sample> = complete.iter().copied().filter(|s| s.methods.contains(&Some(method))).collect();
        let pairs = own.iter().filter_map(|sample| sample.pair()).collect();
        Some(Stratum { weight: trees / all, trees: per_tree(&own)?, pairs })
    };
    let found: Option<Vec<Stratum>> = thinned.iter().map(|(method, trees)| stratum((*method, *trees))).collect();
    let found = found?;
    (found.iter().map(|stratum| stratum.pairs.len()).sum::<usize>() == complete.len()).then_some(found)
}

/// Standard error of left − ratio × before: the combined ratio estimate of parts of a whole, each by
/// the spread about its own mean. Needs two trees of each method.
fn ratio_error(strata: &[Stratum], ratio: f64) -> Option<f64> {
    let squares: Option<Vec<f64>> = strata
        .iter()
        .map(|stratum| {
            let rest: Vec<f64> = stratum.pairs.iter().map(|(before, left)| left - ratio * before).collect();
            Some(squared(stratum.weight * stats::Sample::of(&rest)?.standard_error()?))
        })
        .collect();
    squares.map(|squares| libm::sqrt(sum(squares)))
}

fn squared(value: f64) -> f64 {
    value * value
}

/// The share left of the fruit: weighted by the trees of each method where they stand on trees of their
/// own, else over all samples.
pub(super) fn share_left(weighted: Option<&Weighted>, complete: &[&Sample]) -> Option<Ratio> {
    let pairs: Vec<(f64, f64)> = complete.iter().filter_map(|sample| sample.pair()).collect();
    weighted.map(|weighted| weighted.left).or_else(|| ratio(&pairs))
}

#[cfg(test)]
mod tests {
    use crate::records::{FruitCount, LaborEntry, Pay, Task, ThinningMethod};
    use crate::season::{PackoutSeason, SeasonRecords};
    use crate::testing::{date, kept, labor_entry, records};

    fn count(sample: &str, method: ThinningMethod, before: u32, after: u32) -> FruitCount {
        FruitCount {
            date: date(5, 3),
            sample: sample.into(),
            branch: false,
            before: Some(before),
            after: Some(after),
            shoot: None,
            fruit_diameter: None,
            method: Some(method),
            note: String::new(),
        }
    }

    fn work(method: ThinningMethod, trees: u32, cents: i64) -> LaborEntry {
        LaborEntry {
            method: Some(method),
            pass: Some(1),
            trees_done: Some(trees),
            pay: Pay::Contract(crate::money::Money::from_cents(cents)),
            ..labor_entry(Task::Thin, "1", "1")
        }
    }

    /// 800 of 1,000 trees by hand, 200 with a machine; two sample trees each.
    fn both() -> SeasonRecords {
        let mut season = records();
        season.block.trees = Some(1_000);
        season.labor = kept([work(ThinningMethod::ByHand, 800, 400_000), work(ThinningMethod::Machine, 200, 20_000)]);
        season.fruit_counts = kept([
            count("h1", ThinningMethod::ByHand, 1_000, 200),
            count("h2", ThinningMethod::ByHand, 1_200, 300),
            count("m1", ThinningMethod::Machine, 1_000, 700),
            count("m2", ThinningMethod::Machine, 900, 600),
        ]);
        season
    }

    fn close(value: f64, expected: f64) {
        assert!((value - expected).abs() < 1e-9, "{value}, not {expected}");
    }

    #[test]
    fn each_method_counts_by_its_trees() {
        let (season, _) = crate::thinning::season(&both());
        // 0.8 x 1,100 + 0.2 x 950; 0.8 x 250 + 0.2 x 650.
        close(season.before_per_tree.as_ref().unwrap().value.get(), 1_070.0);
        close(season.left_per_tree.as_ref().unwrap().value.get(), 330.0);
        close(season.removed.as_ref().unwrap().value.get(), 100.0 * (1.0 - 330.0 / 1_070.0));
        close(season.removed_in_block.as_ref().unwrap().value.get(), 740_000.0);
        // Both methods' two trees are 100 apart: their mean is off by 50.
        close(season.left_standard_error.as_ref().unwrap().value.get(), libm::sqrt(40.0 * 40.0 + 10.0 * 10.0));
        // Left less share left of before: 200 - r 1,000 and 300 - r 1,200; 700 - r 1,000 and 600 - r 900.
        let ratio = 330.0 / 1_070.0;
        let (hand, machine) = ((100.0 - ratio * 200.0) / 2.0, (100.0 - ratio * 100.0) / 2.0);
        let error = libm::sqrt((0.8 * hand) * (0.8 * hand) + (0.2 * machine) * (0.2 * machine)) / 1_070.0;
        close(season.removed_standard_error.as_ref().unwrap().value.get(), 100.0 * error);
    }

    #[test]
    fn rows_of_methods_tie_to_all_thinning() {
        let season = both();
        let (fruit, _) = crate::thinning::season(&season);
        let (labor, _) = crate::labor::season(&season, &fruit, &PackoutSeason::default());
        let micros = |measure: &crate::season::LaborMeasure| measure.cost_per_thousand.as_ref().unwrap().value.micros();
        let rows: Vec<i64> = labor.passes.iter().map(|pass| micros(&pass.measure)).collect();
        // 4,000.00 over 800 x 850 fruit, 200.00 over 200 x 300; all 4,200.00 over 740,000.
        assert_eq!(rows, [5_882_353, 3_333_333]);
        assert_eq!(micros(labor.thinning.as_ref().unwrap()), 5_675_676);
    }

    #[test]
    fn the_plain_means_serve_where_trees_met_both_methods_or_were_not_counted() {
        let plain = |season: &SeasonRecords| {
            let (found, _) = crate::thinning::season(season);
            close(found.left_per_tree.unwrap().value.get(), 450.0);
        };
        let mut after = both();
        after.labor = kept([work(ThinningMethod::Machine, 1_000, 20_000), work(ThinningMethod::ByHand, 800, 400_000)]);
        plain(&after);
        let mut unsaid = both();
        unsaid.fruit_counts[0].record.method = None;
        plain(&unsaid);
        let mut uncounted = both();
        uncounted.labor[1].record.trees_done = None;
        plain(&uncounted);
    }
}
