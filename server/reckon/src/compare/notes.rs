//! What is to be known of blocks that stand in parts: with which trees, and which passes their parts share.
//!
//! What several blocks have alike is said once for all of them, or fifteen blocks would say it fifteen times.

use std::collections::{BTreeMap, BTreeSet};

use super::observation::{Observation, Place};
use crate::say;
use crate::size_classes::natural;

/// A part of a block that was thinned its own way.
#[derive(Debug, Clone, PartialEq)]
pub struct PartOf {
    /// Its trees.
    pub trees: f64,
    /// Bearing trees of the block.
    pub of: u32,
    /// Later passes that all parts bear alike: nobody kept which trees they met. `None` is a pass that is not
    /// given.
    pub shared: BTreeSet<Option<u8>>,
}

/// A block in parts.
#[derive(Default)]
struct InParts<'o> {
    unit: String,
    of: u32,
    shared: Option<&'o BTreeSet<Option<u8>>>,
    /// Each method with its trees.
    parts: Vec<(&'o str, f64)>,
}

/// The notes of a group, in natural order.
pub(super) fn joined(observations: &[&Observation]) -> Vec<String> {
    let blocks = in_parts(observations);
    let own: BTreeSet<String> = observations.iter().flat_map(|seen| &seen.notes).cloned().collect();
    let mut said: Vec<String> = own.into_iter().chain(shared(&blocks)).chain(stand(&blocks)).collect();
    said.extend(crossed(observations));
    said.sort_by(|a, b| natural(a, b));
    said.extend(labor_only(observations));
    said
}

/// Blocks that were thinned one way in one season and another way in the next: their seasons are as alike as the
/// block is, and the difference of the methods is taken between blocks all the same.
fn crossed(observations: &[&Observation]) -> Option<String> {
    let mut ways: BTreeMap<Place<'_>, (BTreeSet<&str>, BTreeSet<&str>)> = BTreeMap::new();
    for seen in observations.iter().filter(|seen| !seen.traits.block.is_empty()) {
        let (methods, units) = ways.entry((&seen.traits.farm, &seen.traits.block)).or_default();
        methods.insert(&seen.method);
        units.insert(&seen.unit);
    }
    let crossed = ways.into_iter().filter(|(_, (methods, units))| methods.len() > 1 && units.len() > 1);
    let mut blocks: Vec<&str> = crossed.map(|((_, block), _)| block).collect();
    blocks.sort_by(|a, b| natural(a, b));
    let (stand, whose) = if blocks.len() == 1 { ("stands", "its") } else { ("stand", "their") };
    (!blocks.is_empty()).then(|| {
        format!(
            "{} {stand} with several methods in different seasons: {whose} seasons are not independent, and the \
             intervals of differences take them as if they were.",
            say::list(&blocks)
        )
    })
}

/// What a machine or a sprayed thinner costs beside its labor is nowhere tied to thinning.
fn labor_only(observations: &[&Observation]) -> Option<String> {
    let beside = |method: &str| ["machine", "chemical"].iter().any(|word| method.contains(word));
    observations.iter().any(|seen| beside(&seen.method)).then(|| {
        "Cost per tree is that of the thinning entries: what a machine or a thinner cost otherwise stands among the \
         costs, and is in the return only."
            .to_owned()
    })
}

/// In natural order, as are the methods of each.
fn in_parts<'o>(observations: &[&'o Observation]) -> Vec<InParts<'o>> {
    let mut found: BTreeMap<Place<'_>, InParts<'o>> = BTreeMap::new();
    for seen in observations {
        let Some(part) = &seen.part else { continue };
        let block = found.entry(seen.place()).or_default();
        (block.unit, block.of, block.shared) = (seen.words(), part.of, Some(&part.shared));
        block.parts.push((&seen.method, part.trees));
    }
    let mut blocks: Vec<InParts<'_>> = found.into_values().collect();
    blocks.sort_by(|a, b| natural(&a.unit, &b.unit));
    for block in &mut blocks {
        block.parts.sort_by(|a, b| natural(a.0, b.0));
    }
    blocks
}

/// "The second look of T-1 2026 is shared alike by its parts: nobody kept which trees it met."
fn shared(blocks: &[InParts<'_>]) -> Vec<String> {
    let mut looks: BTreeMap<String, Vec<&str>> = BTreeMap::new();
    for block in blocks {
        if let Some(look) = block.shared.and_then(look) {
            looks.entry(look).or_default().push(&block.unit);
        }
    }
    let said = |(look, units): (String, Vec<&str>)| {
        let several = look.ends_with('s');
        let plural = if several || units.len() == 1 { "" } else { "s" };
        let (are, met) = if several || units.len() > 1 { ("are", "they") } else { ("is", "it") };
        let their = if units.len() > 1 { "their" } else { "its" };
        let units = say::list(&units);
        format!("The {look}{plural} of {units} {are} shared alike by {their} parts: nobody kept which trees {met} met.")
    };
    looks.into_iter().map(said).collect()
}

/// "second look", "later passes"; `None` without a later pass.
fn look(passes: &BTreeSet<Option<u8>>) -> Option<String> {
    let mut passes = passes.iter();
    Some(match (passes.next()?, passes.next()) {
        (Some(pass), None) => say::pass(*pass),
        _ => "later passes".to_owned(),
    })
}

/// "T-1 2026 stands in parts: by hand with 200 and cuts with 800 of its 1,000 trees."; one sentence for all
/// blocks in parts.
fn stand(blocks: &[InParts<'_>]) -> Option<String> {
    let own = |block: &InParts<'_>| {
        let each: Vec<String> =
            block.parts.iter().map(|(method, trees)| format!("{method} with {}", say::whole(*trees))).collect();
        format!("{} of its {} trees", say::list(&each), say::number(block.of.into()))
    };
    match blocks {
        [] => None,
        [block] => Some(format!("{} stands in parts: {}.", block.unit, own(block))),
        many => {
            let each: Vec<String> = many.iter().map(|block| format!("{} ({})", block.unit, own(block))).collect();
            Some(format!("Some blocks stand in parts: {}.", each.join("; ")))
        }
    }
}
