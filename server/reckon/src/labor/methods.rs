//! How the methods of thinning share a block's trees: each on trees of its own, or one after the other.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use super::trees::as_entered;
use crate::block::Block;
use crate::figure::Kept;
use crate::records::{LaborEntry, Task, ThinningMethod};
use crate::say;
use crate::season::TreesFrom;

/// Of this many times the block's trees the methods' own may be, for a miscount: common practice, no
/// source. Beyond it a tree was thinned by several methods.
const MISCOUNT: f64 = 1.05;

/// How the methods that the entries name share the block's trees.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Methods {
    /// The entries name one method, or none, or the first pass was of one method.
    One,
    /// Every method went over the whole block: all trees are alike.
    Alike,
    /// Each method of the first pass thinned trees of its own.
    Apart(Apart),
    /// Which tree met which method is not known, and why, as the end of a sentence.
    Unclear(String),
}

/// Methods of the first pass, each on trees of its own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Apart {
    /// Trees that each thinned; `None` is a method that is not given.
    pub(crate) trees: BTreeMap<Option<ThinningMethod>, u64>,
    /// Methods of later passes, which come after the parts.
    pub(crate) later: BTreeSet<ThinningMethod>,
}

impl Methods {
    /// Of the thinning entries. A later pass comes after the parts, so only the first pass makes them.
    pub(crate) fn of(labor: &[Kept<LaborEntry>], block: &Block) -> Self {
        let thins = |entry: &LaborEntry| entry.task == Task::Thin && !entry.is_on_top();
        let thin: Vec<&Kept<LaborEntry>> = labor.iter().filter(|kept| thins(&kept.record)).collect();
        let known: BTreeSet<ThinningMethod> = thin.iter().filter_map(|kept| kept.record.method).collect();
        let passes: BTreeSet<Option<u8>> = thin.iter().map(|kept| kept.record.pass).collect();
        let Some(first) = passes.first().copied().filter(|_| known.len() > 1) else { return Self::One };
        let own: Vec<&Kept<LaborEntry>> = thin.iter().copied().filter(|kept| kept.record.pass == first).collect();
        if known.iter().all(|method| over_the_block(&thin, *method, block)) {
            return Self::Alike;
        }
        if passes.len() > 1 && first.is_none() {
            return Self::Unclear("some of the entries name a pass and some none".into());
        }
        let later = thin.iter().filter(|kept| kept.record.pass != first).filter_map(|kept| kept.record.method);
        Self::apart(&own, later.collect(), block)
    }

    fn apart(first: &[&Kept<LaborEntry>], later: BTreeSet<ThinningMethod>, block: &Block) -> Self {
        let mut groups: BTreeMap<Option<ThinningMethod>, Vec<&Kept<LaborEntry>>> = BTreeMap::new();
        for kept in first {
            groups.entry(kept.record.method).or_default().push(kept);
        }
        if groups.len() < 2 {
            return Self::One;
        }
        let counted = |(method, own): (&Option<ThinningMethod>, &Vec<&Kept<LaborEntry>>)| {
            let trees = as_entered(own, block).filter(|trees| !matches!(trees.from, TreesFrom::LeftOut(_)))?;
            (trees.count > 0).then_some((*method, trees.count))
        };
        let trees: Option<BTreeMap<Option<ThinningMethod>, u64>> = groups.iter().map(counted).collect();
        let Some(trees) = trees else {
            return Self::Unclear("how many trees each of them thinned is not known".into());
        };
        let apart = Apart { trees, later };
        match block.trees.filter(|most| super::trees::float(apart.all()) > f64::from(*most) * MISCOUNT) {
            Some(most) => {
                let number = |count: u64| say::number(Decimal::from(count));
                let (all, most) = (number(apart.all()), number(u64::from(most)));
                Self::Unclear(format!("their trees are {all} together, of {most}"))
            }
            None => Self::Apart(apart),
        }
    }
}

/// Whether a method met every tree: its entries count them, or leave them out where no other method stands
/// in the same pass.
fn over_the_block(thin: &[&Kept<LaborEntry>], method: ThinningMethod, block: &Block) -> bool {
    let own: Vec<&Kept<LaborEntry>> = thin.iter().copied().filter(|kept| kept.record.method == Some(method)).collect();
    let alone = |kept: &&Kept<LaborEntry>| {
        let pass = kept.record.pass;
        pass.is_some() && thin.iter().all(|other| other.record.pass != pass || other.record.method == Some(method))
    };
    let trees = as_entered(&own, block)
        .filter(|trees| !matches!(trees.from, TreesFrom::LeftOut(_)) || own.iter().all(alone))
        .map(|trees| super::trees::float(trees.count));
    trees.zip(block.trees).is_some_and(|(trees, most)| trees * MISCOUNT >= f64::from(most))
}

impl Apart {
    /// Trees of all methods of the first pass.
    pub(crate) fn all(&self) -> u64 {
        self.trees.values().fold(0, |sum, trees| sum.saturating_add(*trees))
    }

    /// Of the methods that a tree's counts name, the one of the first pass. One that only later passes
    /// used goes before none; two of the first pass tell nothing, unless one of them came back later.
    pub(crate) fn first_of(&self, named: &BTreeSet<Option<ThinningMethod>>) -> Option<ThinningMethod> {
        let own: Vec<ThinningMethod> =
            named.iter().flatten().copied().filter(|method| self.trees.contains_key(&Some(*method))).collect();
        let once: Vec<ThinningMethod> = own.iter().copied().filter(|method| !self.later.contains(method)).collect();
        match (own.as_slice(), once.as_slice()) {
            ([only], _) | (_, [only]) => Some(*only),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{kept, labor_entry, records};

    const HAND: ThinningMethod = ThinningMethod::ByHand;
    const CUTS: ThinningMethod = ThinningMethod::Cuts;

    fn work(pass: Option<u8>, method: Option<ThinningMethod>, trees_done: Option<u32>) -> LaborEntry {
        LaborEntry { method, pass, trees_done, ..labor_entry(Task::Thin, "8", "15") }
    }

    /// Of a block of 1,000 trees.
    fn of(entries: Vec<LaborEntry>) -> Methods {
        let found = Methods::of(&kept(entries.clone()), &records().block);
        let turned: Vec<LaborEntry> = entries.into_iter().rev().collect();
        assert_eq!(found, Methods::of(&kept(turned), &records().block), "the order does not matter");
        found
    }

    fn trees(found: &Methods) -> Vec<(Option<ThinningMethod>, u64)> {
        let Methods::Apart(apart) = found else { panic!("{found:?}") };
        apart.trees.iter().map(|(method, trees)| (*method, *trees)).collect()
    }

    #[test]
    fn a_later_pass_comes_after_the_parts() {
        let parts = [work(Some(1), Some(HAND), Some(940)), work(Some(1), Some(CUTS), Some(60))];
        let expected = [(Some(HAND), 940), (Some(CUTS), 60)];
        assert_eq!(trees(&of(parts.to_vec())), expected);
        for (method, later) in [(Some(HAND), Some(1_000)), (Some(ThinningMethod::Pole), None), (None, None)] {
            let found = of(parts.iter().cloned().chain([work(Some(2), method, later)]).collect());
            assert_eq!(trees(&found), expected);
        }
        let passless = parts.map(|entry| LaborEntry { pass: None, ..entry });
        assert_eq!(trees(&of(passless.to_vec())), expected);
    }

    #[test]
    fn a_method_not_given_keeps_its_trees() {
        let found = of(vec![
            work(Some(1), Some(HAND), Some(700)),
            work(Some(1), Some(CUTS), Some(200)),
            work(Some(1), None, Some(100)),
        ]);
        assert_eq!(trees(&found), [(None, 100), (Some(HAND), 700), (Some(CUTS), 200)]);
        assert_eq!(of(vec![work(Some(1), Some(HAND), Some(700)), work(Some(1), None, Some(100))]), Methods::One);
    }

    #[test]
    fn what_is_not_known_says_why() {
        let why = |entries: Vec<LaborEntry>| match of(entries) {
            Methods::Unclear(why) => why,
            other => panic!("{other:?}"),
        };
        let both = |a: LaborEntry, b: LaborEntry| why(vec![a, b]);
        let hand = work(Some(1), Some(HAND), Some(600));
        assert_eq!(
            both(hand.clone(), work(None, Some(CUTS), Some(400))),
            "some of the entries name a pass and some none"
        );
        assert_eq!(
            both(hand.clone(), work(Some(1), Some(CUTS), None)),
            "how many trees each of them thinned is not known"
        );
        assert_eq!(both(hand, work(Some(1), Some(CUTS), Some(900))), "their trees are 1,500 together, of 1,000");
    }

    #[test]
    fn methods_over_the_whole_block_leave_trees_alike() {
        let whole = |pass, method| work(pass, Some(method), Some(1_000));
        assert_eq!(of(vec![whole(Some(1), CUTS), whole(Some(2), HAND)]), Methods::Alike);
        assert_eq!(of(vec![whole(None, CUTS), whole(None, HAND)]), Methods::Alike);
        let unsaid = |pass, method| work(Some(pass), Some(method), None);
        assert_eq!(of(vec![unsaid(1, CUTS), unsaid(2, HAND)]), Methods::Alike);
        assert!(matches!(of(vec![unsaid(1, CUTS), unsaid(1, HAND)]), Methods::Unclear(_)));
        let part = work(Some(2), Some(HAND), Some(600));
        assert_eq!(of(vec![whole(Some(1), CUTS), part]), Methods::One, "the first pass is of one method");
    }

    #[test]
    fn the_part_a_tree_stands_in_is_that_of_its_first_method() {
        let apart = Apart { trees: [(Some(HAND), 940), (Some(CUTS), 60)].into(), later: [HAND].into() };
        let of = |named: &[Option<ThinningMethod>]| apart.first_of(&named.iter().copied().collect());
        assert_eq!(of(&[Some(HAND)]), Some(HAND));
        assert_eq!(of(&[None, Some(CUTS)]), Some(CUTS));
        assert_eq!(of(&[Some(CUTS), Some(HAND)]), Some(CUTS), "the second look was by hand");
        assert_eq!((of(&[None]), of(&[Some(ThinningMethod::Pole)])), (None, None));
        let once = Apart { later: BTreeSet::new(), ..apart.clone() };
        assert_eq!(once.first_of(&[Some(CUTS), Some(HAND)].into()), None);
    }
}
