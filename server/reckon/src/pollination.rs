//! Pollinizers: what the grower's record says, and where it does not fit.
//!
//! Whether a variety needs a pollinizer, and how near it must stand, is the grower's knowledge. Ratios
//! and distances that go about were not found in a bulletin and are not built in: how many trees are in
//! reach is a number the operation sets, and until it does no distance is questioned.

mod book;
mod doubts;
mod read;

use chrono::NaiveDate;

use crate::block::{Block, NeedsPollinizer, folded};
use crate::figure::{Gap, GapAbout};
use crate::say;
use book::Book;
use read::says_none;
pub use read::{Known, Named, Pollinizer, read};

/// A block as far as its pollinizer goes.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PollinationBlock {
    /// The block's code.
    pub code: String,
    /// Farm.
    pub farm: String,
    /// Crop.
    pub crop: String,
    /// Variety.
    pub variety: String,
    /// The record: "self-fruitful", "rows 4, 9, 14", "every fourth row", block codes, a variety; may be empty.
    pub pollinizer: String,
    /// Whether the variety needs another's pollen; `None` when nobody said.
    pub needs: Option<NeedsPollinizer>,
    /// Trees from the tree that stands farthest off to the nearest that pollinizes it.
    pub trees_away: Option<u32>,
    /// Rows of trees, where somebody counted them.
    pub rows: Option<u32>,
    /// Full bloom of a season, where somebody noted it.
    pub full_bloom: Option<NaiveDate>,
}

/// That no distance is judged: the operation has set no limit, and blocks need a pollinizer or say how far it
/// stands; or it has set one, and blocks that need a pollinizer name one without saying how far it stands.
pub fn unchecked(blocks: &[PollinationBlock], reach: Option<u32>) -> Option<String> {
    let Some(reach) = reach else {
        let asked = |block: &PollinationBlock| {
            block.needs == Some(NeedsPollinizer::Yes)
                || block.needs != Some(NeedsPollinizer::No) && block.trees_away.is_some()
        };
        let said = "How far off a pollinizer stands is not checked: the operation has set no limit.";
        return blocks.iter().any(asked).then(|| said.to_owned());
    };
    let book = Book::of(blocks);
    let silent = |block: &&PollinationBlock| {
        block.needs == Some(NeedsPollinizer::Yes)
            && block.trees_away.is_none()
            && matches!(book.read(block), Pollinizer::Named(_))
    };
    let mut codes: Vec<String> = blocks.iter().filter(silent).map(|block| block.code.clone()).collect();
    codes.sort_by(|a, b| crate::size_classes::natural(a, b));
    (!codes.is_empty()).then(|| {
        let trees = say::counted(reach.into(), "tree", "trees");
        format!(
            "Distance not given for {}: how far off the pollinizer stands is not held against the limit of {trees} there.",
            say::list(&codes)
        )
    })
}

/// How varieties were read that stand for blocks: "T-7 names Gamma: read as T-3." In order of block.
pub fn readings(blocks: &[PollinationBlock]) -> Vec<String> {
    let book = Book::of(blocks);
    let asked = blocks.iter().filter(|block| block.needs != Some(NeedsPollinizer::No));
    let mut found: Vec<(&PollinationBlock, String)> =
        asked.flat_map(|block| book.readings(block).into_iter().map(move |said| (block, said))).collect();
    found.sort_by(|(a, _), (b, _)| crate::size_classes::natural(&a.code, &b.code));
    found.into_iter().map(|(_, said)| said).collect()
}

/// Something about a block's pollinizer to look at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remark {
    /// The block.
    pub code: String,
    /// What does not fit, and what to do.
    pub sentence: String,
    /// Where the sentence's knowledge comes from; empty for what was only read in the book.
    pub source: &'static str,
}

/// What a block's page and report say of its ripening and its pollinizer: "Ripens 13 July to 24 July.
/// Pollinizer: UD-1, 12 trees away."; `None` where neither is known.
pub fn heading(block: &Block) -> Option<String> {
    let ripens = block.ripening.map(|(first, last)| {
        let (first, last) = (say::day_of_year(first), say::day_of_year(last));
        if first == last { format!("Ripens {last}.") } else { format!("Ripens {first} to {last}.") }
    });
    let served = served(block).map(|by| format!("Pollinizer: {by}."));
    let parts: Vec<String> = ripens.into_iter().chain(served).collect();
    (!parts.is_empty()).then(|| parts.join(" "))
}

fn served(block: &Block) -> Option<String> {
    let away = block.pollinizer_trees.map(|trees| {
        let trees = say::counted(trees.into(), "tree", "trees");
        format!(", {trees} away")
    });
    let none = says_none(&folded(&block.pollinizer.replace('-', " ")));
    match (read(&block.pollinizer, &Known::default()), block.needs_pollinizer) {
        (Pollinizer::NoneNeeded, Some(NeedsPollinizer::Yes)) if none => {
            Some("kept as needing one and as needing none".to_owned())
        }
        (Pollinizer::NoneNeeded, Some(NeedsPollinizer::Yes)) => {
            Some("kept as needing one and as self-fruitful".to_owned())
        }
        (Pollinizer::NoneNeeded, _) if none => Some("none needed".to_owned()),
        // A variety that sets without any pollen is not self-fruitful.
        (Pollinizer::NoneNeeded, _) if folded(&block.pollinizer).contains("without pollen") => {
            Some(block.pollinizer.trim().to_owned())
        }
        (Pollinizer::NoneNeeded, _) => Some("self-fruitful".to_owned()),
        (Pollinizer::NotGiven, None) => None,
        (Pollinizer::NotGiven, Some(NeedsPollinizer::No)) => Some("none needed".to_owned()),
        (Pollinizer::NotGiven, Some(NeedsPollinizer::Yes)) => Some("needs one, none on record".to_owned()),
        _ => Some(format!("{}{}", block.pollinizer.trim(), away.unwrap_or_default())),
    }
}

/// Whether its record names something that other blocks can be held against: what is said of any other, the
/// block knows itself.
pub fn names_another(block: &Block) -> bool {
    !matches!(read(&block.pollinizer, &Known::default()), Pollinizer::NotGiven | Pollinizer::NoneNeeded)
}

/// What the block's own record says against itself, by the rule of [`remarks`]: one that needs a pollinizer
/// and names none. What other blocks say is not known here.
pub(crate) fn own_gap(block: &Block) -> Option<Gap> {
    let own = PollinationBlock {
        code: block.code.clone(),
        crop: block.crop.clone(),
        pollinizer: block.pollinizer.clone(),
        needs: block.needs_pollinizer,
        ..PollinationBlock::default()
    };
    let remark = doubts::of_block(&own, &Book::of(&[]), None).into_iter().next().filter(|_| !names_another(block))?;
    Some(say::worth_a_look(GapAbout::Block, remark.sentence, "Correct it on the block's page.", []))
}

/// Looks through the blocks of an operation: blocks that need a pollinizer and have none in reach;
/// named blocks and varieties that do not exist, stand on another farm while no distance is given, are the
/// block itself or its own variety, are another crop, or bloom at another time; rows a block does not have;
/// and Japanese plums without a record. `reach` is how many trees away a pollinizer may stand, where the
/// operation says. In order of block, whatever the order of the list.
pub fn remarks(blocks: &[PollinationBlock], reach: Option<u32>) -> Vec<Remark> {
    let book = Book::of(blocks);
    let mut sorted: Vec<&PollinationBlock> = blocks.iter().collect();
    sorted.sort_by(|a, b| crate::size_classes::natural(&a.code, &b.code));
    sorted.into_iter().flat_map(|block| doubts::of_block(block, &book, reach)).collect()
}

#[cfg(test)]
mod tests;
