//! What to know of the samples beside their figures, in sentences.

use rust_decimal::Decimal;

use super::WITHIN;
use crate::say;
use crate::season::ThinningSeason;
use crate::stats::LEVEL;

impl ThinningSeason {
    /// Whether the share taken off is of whole trees and of branches, in one ratio.
    pub const fn pools(&self) -> bool {
        self.whole_trees > 0 && self.whole_trees < self.samples
    }

    /// Whether fruit was counted on branches and on no whole tree, so that fruit left on a tree is not known.
    pub const fn only_branches(&self) -> bool {
        self.left_per_tree.is_none() && (self.samples > 0 || self.spacing.is_some())
    }

    /// Why there is no standard error, what is pooled or not known, and how many trees would do: "One sample: no
    /// standard error.", "The share taken off is of 3 trees and 2 branches together.", "18 trees would put
    /// the mean of fruit left on a tree within 10% (95%)."
    pub fn samples_say(&self) -> Vec<String> {
        let counted = |n: usize, one, many| say::counted(Decimal::from(n), one, many);
        let branches = self.samples.saturating_sub(self.whole_trees);
        let left_alone = self.left_per_tree.is_some() && self.left_standard_error.is_none();
        let alone = match (self.samples, self.left_trees) {
            (1, 0 | 1) => Some("One sample: no standard error."),
            (_, 1) => Some("One whole tree: no standard error of fruit on a tree."),
            _ if left_alone => Some("One method has one tree: no standard error."),
            (1, _) => Some("One sample: no standard error of the share taken off."),
            _ => None,
        };
        let pooled = self.pools().then(|| {
            let trees = counted(self.whole_trees, "tree", "trees");
            format!("The share taken off is of {trees} and {} together.", counted(branches, "branch", "branches"))
        });
        let no_tree = self.only_branches().then(|| format!("Fruit left on a tree is not known: {ONLY_BRANCHES}."));
        let needed = self.trees_to_count.as_ref().map(|trees| {
            let (trees, within, level) = (say::whole(trees.value.get()), WITHIN * 100.0, LEVEL * 100.0);
            format!("{trees} trees would put the mean of fruit left on a tree within {within:.0}% ({level:.0}%).")
        });
        let when = self.when_says();
        [alone.map(str::to_owned), pooled, no_tree, needed].into_iter().flatten().chain(when).collect()
    }

    /// What the counts do not hold: a later pass, and trees that are not thinned yet.
    pub fn when_says(&self) -> Vec<String> {
        let again = self.again_from.map(|(from, last)| {
            format!(
                "Thinned again from {}, after the last count, {}: fruit left, the crop and the cost of 1,000 fruit are as \
                 counted then.",
                say::day(from),
                say::day(last)
            )
        });
        let part = self.in_part.filter(|_| self.samples > 0).map(|(own, all)| {
            let (own, all) = (say::number(Decimal::from(own)), say::number(Decimal::from(all)));
            format!("{own} of the {all} trees are thinned; the crop to expect has the others with the fruit they set.")
        });
        part.into_iter().chain(again).collect()
    }
}

/// Why fruit left on a tree is not known, of a block that [`ThinningSeason::only_branches`].
pub const ONLY_BRANCHES: &str = "only branches were counted, no whole tree";

#[cfg(test)]
mod tests {
    use crate::records::FruitCount;
    use crate::season::ThinningSeason;
    use crate::testing::{date, kept, records};

    fn season_of(counts: &[(&str, u32, u32)]) -> (ThinningSeason, Vec<String>) {
        let mut season = records();
        season.block.trees = Some(40);
        season.fruit_counts = kept(counts.iter().map(|(sample, before, after)| FruitCount {
            date: date(5, 1),
            sample: (*sample).into(),
            branch: sample.starts_with("branch"),
            before: Some(*before),
            after: Some(*after),
            shoot: None,
            fruit_diameter: None,
            method: None,
            note: String::new(),
        }));
        let (found, gaps) = crate::thinning::season(&season);
        (found, gaps.into_iter().map(|gap| gap.what).collect())
    }

    #[test]
    fn one_sample_says_why_it_has_no_error() {
        assert_eq!(season_of(&[("1", 1_000, 250)]).0.samples_say(), ["One sample: no standard error."]);
        let (mixed, _) = season_of(&[("1", 1_000, 250), ("branch a", 40, 10), ("branch b", 44, 10)]);
        let said = [
            "One whole tree: no standard error of fruit on a tree.",
            "The share taken off is of 1 tree and 2 branches together.",
        ];
        assert_eq!(mixed.samples_say(), said);
        assert!(season_of(&[]).0.samples_say().is_empty());
    }

    /// Left 8, 10 and 12 hundred: a spread of 0.2, for which Student's t asks for 18 trees.
    #[test]
    fn the_spread_of_the_counts_says_how_many_trees_would_do() {
        let (three, _) = season_of(&[("1", 4_000, 800), ("2", 4_000, 1_000), ("3", 4_300, 1_200)]);
        let said = "18 trees would put the mean of fruit left on a tree within 10% (95%).";
        assert_eq!(three.samples_say(), [said]);
        assert_eq!(three.trees_to_count.unwrap().n(), 3);
        let (wide, _) = season_of(&[("1", 4_000, 200), ("2", 4_000, 1_000), ("3", 4_300, 1_800)]);
        assert_eq!(wide.trees_to_count, None, "more than the block has");
    }

    /// Before 4,000, 4,000 and 4,300: deviation 173.2 over the root of 3. Taken off 3,200, 3,000 and 3,100:
    /// deviation 100 over the root of 3, on each of 40 trees.
    #[test]
    fn every_mean_has_its_error() {
        let (three, _) = season_of(&[("1", 4_000, 800), ("2", 4_000, 1_000), ("3", 4_300, 1_200)]);
        assert!((three.before_standard_error.unwrap().value.get() - 100.0).abs() < 1e-9);
        let error = three.removed_in_block_standard_error.unwrap().value.get();
        assert!((error - 4_000.0 / 3.0f64.sqrt()).abs() < 1e-9, "{error}");
    }

    #[test]
    fn more_trees_counted_than_the_block_has_is_a_gap() {
        let names: Vec<String> = (0..41).map(|n| n.to_string()).collect();
        let counts: Vec<(&str, u32, u32)> = names.iter().map(|name| (name.as_str(), 1_000, 250)).collect();
        let (_, said) = season_of(&counts);
        assert_eq!(said, ["Fruit was counted on 41 trees, and T-1 has 40."]);
        assert!(season_of(&counts[1..]).1.is_empty());
    }
}
