//! An operation's blocks by code and by variety.

use std::collections::BTreeMap;

use super::PollinationBlock;
use super::read::{Known, Named, Pollinizer, read};
use crate::block::folded;
use crate::say;

/// Blocks by code and by variety.
pub(super) struct Book<'b> {
    by_code: BTreeMap<String, &'b PollinationBlock>,
    /// In order of code.
    by_variety: BTreeMap<String, Vec<&'b PollinationBlock>>,
    known: Known,
}

impl<'b> Book<'b> {
    pub(super) fn of(blocks: &'b [PollinationBlock]) -> Self {
        let mut sorted: Vec<&PollinationBlock> = blocks.iter().collect();
        sorted.sort_by(|a, b| crate::size_classes::natural(&a.code, &b.code));
        let mut by_variety: BTreeMap<String, Vec<&PollinationBlock>> = BTreeMap::new();
        for block in sorted {
            by_variety.entry(folded(&block.variety)).or_default().push(block);
        }
        let by_code = blocks.iter().map(|block| (folded(&block.code), block)).collect();
        Self { by_code, by_variety, known: Known::of(blocks) }
    }

    /// The block of this code.
    pub(super) fn block(&self, code: &str) -> Option<&'b PollinationBlock> {
        self.by_code.get(&folded(code)).copied()
    }

    /// Other blocks of a variety.
    pub(super) fn of_variety(&self, variety: &str, but: &PollinationBlock) -> Vec<&'b PollinationBlock> {
        let all = self.by_variety.get(&folded(variety)).into_iter().flatten();
        all.filter(|other| folded(&other.code) != folded(&but.code)).copied().collect()
    }

    /// Those of them that serve: on the block's farm, or anywhere where none stands there and the distance
    /// is given.
    pub(super) fn serving(&self, variety: &str, block: &PollinationBlock) -> Vec<&'b PollinationBlock> {
        let all = self.of_variety(variety, block);
        let near: Vec<&PollinationBlock> = all.iter().filter(|other| same_farm(block, other)).copied().collect();
        if near.is_empty() && block.trees_away.is_some() { all } else { near }
    }

    /// What a block's record says. "P-8 rows 4, 9" on record of P-8 itself are rows within it.
    pub(super) fn read(&self, block: &PollinationBlock) -> Pollinizer {
        match read(&block.pollinizer, &self.known) {
            Pollinizer::Named(mut named) if named.rows => {
                named.codes.retain(|code| folded(code) != folded(&block.code));
                Pollinizer::Named(named)
            }
            other => other,
        }
    }

    /// Which blocks its varieties stand for: "T-7 names Gamma: read as T-3."
    pub(super) fn readings(&self, block: &PollinationBlock) -> Vec<String> {
        let Pollinizer::Named(Named { varieties, rows: false, .. }) = self.read(block) else { return Vec::new() };
        let read_as = |variety: &String| {
            if folded(variety) == folded(&block.variety) {
                return None;
            }
            let codes: Vec<String> = self.serving(variety, block).into_iter().map(|other| other.code.clone()).collect();
            (!codes.is_empty()).then(|| format!("{} names {variety}: read as {}.", block.code, say::list(&codes)))
        };
        varieties.iter().filter_map(read_as).collect()
    }
}

pub(super) fn same_farm(block: &PollinationBlock, other: &PollinationBlock) -> bool {
    folded(&block.farm) == folded(&other.farm)
}
