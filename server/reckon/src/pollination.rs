//! Pollinizers: what the grower's record says, and where it does not fit.
//!
//! Whether a variety needs a pollinizer, and how near it must stand, is the grower's knowledge. Ratios
//! and distances that go about were not found in a bulletin and are not built in: how many trees are in
//! reach is a number the operation sets, and until it does no distance is questioned.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::block::{Block, NeedsPollinizer};
use crate::figure::{Gap, GapAbout};
use crate::say;

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
    /// The record: "self-fruitful", "rows 4, 9, 14", "every fourth row", block codes; may be empty.
    pub pollinizer: String,
    /// Whether the variety needs another's pollen; `None` when nobody said.
    pub needs: Option<NeedsPollinizer>,
    /// Trees from the tree that stands farthest off to the nearest that pollinizes it.
    pub trees_away: Option<u32>,
    /// Full bloom of a season, where somebody noted it.
    pub full_bloom: Option<NaiveDate>,
}

/// What a record says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Pollinizer {
    /// Nothing.
    NotGiven,
    /// None is needed: the variety sets on its own pollen, or without any.
    NoneNeeded,
    /// Rows or trees within the block, as written.
    Within(String),
    /// These blocks.
    Blocks(Vec<String>),
    /// Words that name neither.
    Other(String),
}

/// That no distance is judged, where blocks need a pollinizer or say how far it stands and the operation
/// has set no limit.
pub fn unchecked(blocks: &[PollinationBlock], reach: Option<u32>) -> Option<String> {
    let asked = |block: &PollinationBlock| {
        block.needs == Some(NeedsPollinizer::Yes)
            || block.needs != Some(NeedsPollinizer::No) && block.trees_away.is_some()
    };
    let said = "How far off a pollinizer stands is not checked: the operation has set no limit.";
    (reach.is_none() && blocks.iter().any(asked)).then(|| said.to_owned())
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

/// Days between two blocks' full bloom from which they are said not to bloom together: common
/// practice, no source.
pub const BLOOM_APART_DAYS: i64 = 5;

const HANDBOOK: &str =
    "University of California, Fruit and Nut Research and Information Center, plum orchard management";

/// Reads a record. Block codes are known codes, words with a letter and a digit, and a lone word;
/// other words beside a code ("UD-1 bouquets") are the grower's note.
pub fn read(text: &str, is_code: impl Fn(&str) -> bool) -> Pollinizer {
    let plain = text.trim().to_lowercase().replace('-', " ");
    let holds = |words: &[&str]| words.iter().any(|word| plain.contains(word));
    if plain.is_empty() {
        return Pollinizer::NotGiven;
    }
    if holds(&["self fruitful", "self fertile", "none needed", "not needed", "without pollen"]) || plain == "none" {
        return Pollinizer::NoneNeeded;
    }
    let words: Vec<&str> =
        text.split([' ', ',', ';', '/', '&', '+', '(', ')']).filter(|word| !word.is_empty()).collect();
    let mixed = |word: &str| word.chars().any(char::is_alphabetic) && word.chars().any(|sign| sign.is_ascii_digit());
    let codes = words.iter().filter(|word| is_code(word) || mixed(word) || words.len() == 1);
    let codes: Vec<String> = codes.map(|word| (*word).to_owned()).collect();
    match (codes.is_empty(), names_rows(text)) {
        (false, _) => Pollinizer::Blocks(codes),
        (true, true) => Pollinizer::Within(text.trim().to_owned()),
        (true, false) => Pollinizer::Other(text.trim().to_owned()),
    }
}

fn names_rows(text: &str) -> bool {
    let plain = text.to_lowercase();
    ["row", "tree", "hilera", "surco"].iter().any(|word| plain.contains(word))
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
    match (read(&block.pollinizer, |_| false), block.needs_pollinizer) {
        (Pollinizer::NoneNeeded, Some(NeedsPollinizer::Yes)) => {
            Some("kept as needing one and as self-fruitful".to_owned())
        }
        (Pollinizer::NoneNeeded, _) => Some("self-fruitful".to_owned()),
        (Pollinizer::NotGiven, None) => None,
        (Pollinizer::NotGiven, Some(NeedsPollinizer::No)) => Some("none needed".to_owned()),
        (Pollinizer::NotGiven, Some(NeedsPollinizer::Yes)) => Some("needs one, none on record".to_owned()),
        _ => Some(format!("{}{}", block.pollinizer.trim(), away.unwrap_or_default())),
    }
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
    let names_none = matches!(read(&own.pollinizer, |_| false), Pollinizer::NotGiven | Pollinizer::NoneNeeded);
    let remark = of_block(&own, &BTreeMap::new(), None).into_iter().next().filter(|_| names_none)?;
    Some(say::worth_a_look(GapAbout::Block, remark.sentence, "Correct it on the block's page.", []))
}

/// Looks through the blocks of an operation: blocks that need a pollinizer and have none in reach;
/// named blocks that do not exist, stand on another farm, are the block itself or its own variety, are
/// another crop, or bloom at another time; and Japanese plums without a record. `reach` is how many
/// trees away a pollinizer may stand, where the operation says. In order of block, whatever the order
/// of the list.
pub fn remarks(blocks: &[PollinationBlock], reach: Option<u32>) -> Vec<Remark> {
    let by_code: BTreeMap<String, &PollinationBlock> = blocks.iter().map(|block| (key(&block.code), block)).collect();
    let mut sorted: Vec<&PollinationBlock> = blocks.iter().collect();
    sorted.sort_by(|a, b| crate::size_classes::natural(&a.code, &b.code));
    sorted.into_iter().flat_map(|block| of_block(block, &by_code, reach)).collect()
}

fn key(code: &str) -> String {
    code.trim().to_uppercase()
}

fn remark(block: &PollinationBlock, source: &'static str, sentence: String) -> Remark {
    Remark { code: block.code.clone(), sentence, source }
}

fn of_block(
    block: &PollinationBlock,
    by_code: &BTreeMap<String, &PollinationBlock>,
    reach: Option<u32>,
) -> Vec<Remark> {
    if block.needs == Some(NeedsPollinizer::No) {
        return Vec::new();
    }
    let record = without_itself(block, read(&block.pollinizer, |word| by_code.contains_key(&key(word))));
    let mut found: Vec<Remark> = match &record {
        Pollinizer::NoneNeeded => contradicts(block).into_iter().collect(),
        Pollinizer::Within(_) => Vec::new(),
        Pollinizer::Other(words) => vec![remark(block, "", missing(&names(block), &quoted(words)))],
        Pollinizer::NotGiven => not_given(block).into_iter().collect(),
        Pollinizer::Blocks(codes) => match none_near(block, codes, by_code) {
            Some(none) => vec![none],
            None => codes.iter().filter_map(|code| named(block, code, by_code)).collect(),
        },
    };
    if matches!(record, Pollinizer::Blocks(_) | Pollinizer::Within(_)) {
        found.extend(too_far(block, reach));
    }
    found
}

/// "P-8 rows 4, 9" on record of P-8 itself are rows within it.
fn without_itself(block: &PollinationBlock, record: Pollinizer) -> Pollinizer {
    match record {
        Pollinizer::Blocks(mut codes) if names_rows(&block.pollinizer) => {
            codes.retain(|code| key(code) != key(&block.code));
            if codes.is_empty() {
                Pollinizer::Within(block.pollinizer.trim().to_owned())
            } else {
                Pollinizer::Blocks(codes)
            }
        }
        other => other,
    }
}

/// What does not fit with one of the blocks it names.
fn named(block: &PollinationBlock, code: &str, by_code: &BTreeMap<String, &PollinationBlock>) -> Option<Remark> {
    match by_code.get(&key(code)) {
        None => Some(remark(block, "", missing(&names(block), &quoted(code)))),
        Some(other) => doubt(block, other).map(|sentence| remark(block, "", sentence)),
    }
}

/// A block that needs one, of whose named blocks none stands on its farm: one remark, whether they stand
/// elsewhere or do not exist.
fn none_near(
    block: &PollinationBlock,
    codes: &[String],
    by_code: &BTreeMap<String, &PollinationBlock>,
) -> Option<Remark> {
    let near = |code: &String| by_code.get(&key(code)).is_some_and(|other| other.farm.trim() == block.farm.trim());
    if block.needs != Some(NeedsPollinizer::Yes) || codes.iter().any(near) {
        return None;
    }
    let unknown: Vec<String> =
        codes.iter().filter(|code| !by_code.contains_key(&key(code))).map(|code| quoted(code)).collect();
    let none = format!("{} needs a pollinizer and has none in reach:", block.code);
    let sentence = if unknown.is_empty() {
        format!("{none} no block it names stands on {}.", block.farm.trim())
    } else {
        missing(&format!("{none} it names"), &unknown.join(", "))
    };
    Some(remark(block, "", sentence))
}

/// Only where the operation says how far is too far.
fn too_far(block: &PollinationBlock, reach: Option<u32>) -> Option<Remark> {
    let (reach, away) = (reach?, block.trees_away?);
    (away > reach).then(|| {
        let sentence = format!(
            "{} has no pollinizer in reach for all its trees: the nearest stands up to {away} trees off, and the \
             operation takes {reach} as the limit.",
            block.code
        );
        remark(block, "", sentence)
    })
}

fn contradicts(block: &PollinationBlock) -> Option<Remark> {
    (block.needs == Some(NeedsPollinizer::Yes)).then(|| {
        let sentence = format!(
            "{} is kept as needing a pollinizer, and its record says \"{}\". One of the two is wrong.",
            block.code,
            block.pollinizer.trim()
        );
        remark(block, "", sentence)
    })
}

/// "A names": how a remark about a name begins.
fn names(block: &PollinationBlock) -> String {
    format!("{} names", block.code)
}

fn quoted(words: &str) -> String {
    format!("\"{words}\"")
}

fn missing(who_names: &str, what: &str) -> String {
    format!(
        "{who_names} {what} as its pollinizer, and there is no block of that code. Expected a block's code, rows of this \
         or another block (\"rows 4, 9, 14\") or \"self-fruitful\"."
    )
}

/// Nothing on record: asked where the block is said to need one, and of Japanese plums, most of which set
/// 1 to 3 percent without.
fn not_given(block: &PollinationBlock) -> Option<Remark> {
    if block.needs == Some(NeedsPollinizer::Yes) {
        let sentence = format!(
            "{} needs a pollinizer and has none on record. Name the block or the rows that serve it.",
            block.code
        );
        return Some(remark(block, "", sentence));
    }
    let crop = block.crop.to_lowercase();
    let needs = (crop.contains("plum") && !crop.contains("europ")) || crop.contains("pluot");
    needs.then(|| {
        let sentence = format!(
            "{} is a {crop} and has no pollinizer on record. Most Japanese plums set 1 to 3% of their flowers without \
             one, too little for a crop. Name the block or the rows that serve it, or write \"self-fruitful\".",
            block.code
        );
        remark(block, HANDBOOK, sentence)
    })
}

fn doubt(block: &PollinationBlock, other: &PollinationBlock) -> Option<String> {
    let (code, its) = (&block.code, &other.code);
    if key(code) == key(its) {
        return Some(format!("{code} names itself as its pollinizer. Write \"self-fruitful\" if it needs none."));
    }
    if block.farm.trim() != other.farm.trim() {
        let (own, far) = (block.farm.trim(), other.farm.trim());
        return Some(format!(
            "{its}, the pollinizer of {code}, stands on {far} and {code} on {own}. Is it in reach of bees?"
        ));
    }
    if !block.crop.trim().eq_ignore_ascii_case(other.crop.trim()) {
        let (own, kind) = (block.crop.trim(), other.crop.trim());
        return Some(format!(
            "{its}, the pollinizer of {code}, is a {kind} and {code} a {own}. Does its pollen serve?"
        ));
    }
    // Rows of a block are told apart from it because they are of another variety.
    let alike = !block.variety.trim().is_empty() && !names_rows(&block.pollinizer);
    if alike && block.variety.trim().eq_ignore_ascii_case(other.variety.trim()) {
        let variety = block.variety.trim();
        return Some(format!(
            "{its}, the pollinizer of {code}, is {variety} too. A variety that needs another's pollen finds none there."
        ));
    }
    let apart = block.full_bloom.zip(other.full_bloom).map(|(own, its)| (own - its).num_days().abs());
    let apart = apart.filter(|days| *days > BLOOM_APART_DAYS)?;
    Some(format!(
        "{code} and its pollinizer {its} came to full bloom {apart} days apart. Did they bloom together at all?"
    ))
}

#[cfg(test)]
mod tests;
