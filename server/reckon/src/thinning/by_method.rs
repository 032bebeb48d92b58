//! What each method of thinning took, where counts name it.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::counts::each_sample;
use crate::figure::{Evidence, Figure, Kept, RecordKind, RecordRef};
use crate::records::{FruitCount, ThinningMethod};
use crate::say;
use crate::season::{MethodTaken, ThinningSeason};
use crate::stats::{self, ratio};
use crate::units::{FruitPerTree, Share};

/// What one method met and left on one tree or branch, over all counts under its name.
#[derive(Debug, Clone, Default)]
struct Met {
    branch: bool,
    /// Fruit before its first count there.
    before: u32,
    taken: u32,
    records: Vec<RecordRef>,
}

/// By method, in the order of methods. A count without a number before goes on from what the count
/// before it left; one that has no number to begin with, or none after, says nothing.
pub(super) fn by_method(counts: &[Kept<FruitCount>]) -> Vec<MethodTaken> {
    let mut methods: BTreeMap<ThinningMethod, Vec<Met>> = BTreeMap::new();
    for own in each_sample(counts) {
        for (method, met) in of_sample(&own) {
            methods.entry(method).or_default().push(met);
        }
    }
    methods.into_iter().filter_map(|(method, met)| taken(method, &met)).collect()
}

fn of_sample(own: &[&Kept<FruitCount>]) -> BTreeMap<ThinningMethod, Met> {
    let mut methods: BTreeMap<ThinningMethod, Met> = BTreeMap::new();
    let mut left = None;
    for kept in own {
        let count = &kept.record;
        let step = count.before.or(left).zip(count.after);
        left = count.after.or(count.before).or(left);
        let Some(((before, after), method)) = step.zip(count.method) else { continue };
        let met = methods.entry(method).or_insert_with(|| Met { before, branch: count.branch, ..Met::default() });
        met.taken = met.taken.saturating_add(before.saturating_sub(after));
        met.records.push(RecordRef { kind: RecordKind::FruitCount, id: kept.id });
    }
    methods
}

fn taken(method: ThinningMethod, met: &[Met]) -> Option<MethodTaken> {
    let pairs: Vec<(f64, f64)> = met.iter().map(|met| (f64::from(met.before), f64::from(met.taken))).collect();
    let removed = Share::of(ratio(&pairs)?.ratio * 100.0);
    let of = |met: &[&Met]| met.iter().flat_map(|met| met.records.clone()).collect::<Vec<RecordRef>>();
    let trees: Vec<&Met> = met.iter().filter(|met| !met.branch).collect();
    let fruit: Vec<f64> = trees.iter().map(|met| f64::from(met.taken)).collect();
    Some(MethodTaken {
        method,
        samples: met.len(),
        removed: Figure::new(removed, Evidence::Counted, of(&met.iter().collect::<Vec<_>>())),
        per_tree: stats::Sample::of(&fruit)
            .map(|fruit| Figure::new(FruitPerTree::of(fruit.mean), Evidence::Counted, of(&trees))),
    })
}

impl ThinningSeason {
    /// "Of the fruit it met, by hand took 80% (4 samples), machine 30% (4 samples)."; `None` without
    /// two methods.
    pub fn methods_say(&self) -> Option<String> {
        let said = |(n, taken): (usize, &MethodTaken)| {
            let samples = say::counted(Decimal::from(taken.samples), "sample", "samples");
            let took = if n == 0 { " took" } else { "" };
            format!("{}{took} {:.0}% ({samples})", taken.method.word(), taken.removed.value.get())
        };
        let each: Vec<String> = self.by_method.iter().enumerate().map(said).collect();
        (each.len() > 1).then(|| format!("Of the fruit it met, {}.", each.join(", ")))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{date, kept};

    fn count(sample: &str, day: u32, method: ThinningMethod, before: Option<u32>, after: u32) -> FruitCount {
        FruitCount {
            date: date(5, day),
            sample: sample.into(),
            branch: false,
            before,
            after: Some(after),
            shoot: None,
            fruit_diameter: None,
            method: Some(method),
            note: String::new(),
        }
    }

    /// Method, samples, percent taken to two places, fruit taken from a tree.
    fn shown(counts: Vec<FruitCount>) -> Vec<(ThinningMethod, usize, f64, f64)> {
        let found = by_method(&kept(counts));
        found
            .into_iter()
            .map(|m| {
                (m.method, m.samples, (m.removed.value.get() * 100.0).round() / 100.0, m.per_tree.unwrap().value.get())
            })
            .collect()
    }

    #[test]
    fn each_method_has_the_fruit_of_its_own_trees() {
        let by_hand = (0..4).map(|n| count(&format!("h{n}"), 1, ThinningMethod::ByHand, Some(1_000), 200 + n));
        let machine = (0..4).map(|n| count(&format!("m{n}"), 1, ThinningMethod::Machine, Some(1_000), 700 + n));
        let counts: Vec<FruitCount> = by_hand.chain(machine).collect();
        let season = ThinningSeason { by_method: by_method(&kept(counts.clone())), ..ThinningSeason::default() };
        let said = "Of the fruit it met, by hand took 80% (4 samples), machine 30% (4 samples).";
        assert_eq!(season.methods_say().as_deref(), Some(said));
        let found = shown(counts);
        assert_eq!(found, [(ThinningMethod::ByHand, 4, 79.85, 798.5), (ThinningMethod::Machine, 4, 29.85, 298.5),]);
    }

    #[test]
    fn two_methods_on_one_tree_share_what_came_off_it() {
        let found = shown(vec![
            count("7 N", 12, ThinningMethod::ByHand, None, 250),
            count("7 N", 1, ThinningMethod::Machine, Some(1_000), 600),
            count("7 N", 20, ThinningMethod::ByHand, Some(240), 200),
        ]);
        // By hand: 600 to 250, and 40 of the second look, of the 600 it met.
        assert_eq!(found, [(ThinningMethod::ByHand, 1, 65.0, 390.0), (ThinningMethod::Machine, 1, 40.0, 400.0),]);
    }
}
