//! Pollinizers: what the grower's record says, and where it does not fit.
//!
//! Whether a variety needs a pollinizer, and how near it must stand, is the grower's knowledge. Ratios
//! and distances that go about were not found in a bulletin and are not built in: how many trees are in
//! reach is a number the operation sets, and until it does no distance is questioned.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::block::NeedsPollinizer;

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
    match (codes.is_empty(), holds(&["row", "tree", "hilera", "surco"])) {
        (false, _) => Pollinizer::Blocks(codes),
        (true, true) => Pollinizer::Within(text.trim().to_owned()),
        (true, false) => Pollinizer::Other(text.trim().to_owned()),
    }
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
    let record = read(&block.pollinizer, |word| by_code.contains_key(&key(word)));
    let mut found: Vec<Remark> = match &record {
        Pollinizer::NoneNeeded => contradicts(block).into_iter().collect(),
        Pollinizer::Within(_) => Vec::new(),
        Pollinizer::Other(words) => vec![remark(block, "", missing(block, words))],
        Pollinizer::NotGiven => not_given(block).into_iter().collect(),
        Pollinizer::Blocks(codes) => codes.iter().filter_map(|code| named(block, code, by_code)).collect(),
    };
    if let Pollinizer::Blocks(codes) = &record {
        found.extend(none_near(block, codes, by_code));
    }
    if matches!(record, Pollinizer::Blocks(_) | Pollinizer::Within(_)) {
        found.extend(too_far(block, reach));
    }
    found
}

/// What does not fit with one of the blocks it names.
fn named(block: &PollinationBlock, code: &str, by_code: &BTreeMap<String, &PollinationBlock>) -> Option<Remark> {
    match by_code.get(&key(code)) {
        None => Some(remark(block, "", missing(block, code))),
        Some(other) => doubt(block, other).map(|sentence| remark(block, "", sentence)),
    }
}

/// A block that needs one, of whose named blocks none stands on its farm.
fn none_near(
    block: &PollinationBlock,
    codes: &[String],
    by_code: &BTreeMap<String, &PollinationBlock>,
) -> Option<Remark> {
    let near = |code: &String| by_code.get(&key(code)).is_some_and(|other| other.farm.trim() == block.farm.trim());
    let none = block.needs == Some(NeedsPollinizer::Yes) && !codes.iter().any(near);
    none.then(|| {
        let sentence = format!(
            "{} needs a pollinizer and has none in reach: no block it names stands on {}.",
            block.code,
            block.farm.trim()
        );
        remark(block, "", sentence)
    })
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

fn missing(block: &PollinationBlock, code: &str) -> String {
    format!(
        "{} names \"{code}\" as its pollinizer, and there is no block of that code. Expected a block's code, rows of the \
         block (\"rows 4, 9, 14\") or \"self-fruitful\".",
        block.code
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
    if !block.variety.trim().is_empty() && block.variety.trim().eq_ignore_ascii_case(other.variety.trim()) {
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
mod tests {
    use super::*;
    use crate::testing::date;

    fn block(code: &str, farm: &str, variety: &str, pollinizer: &str) -> PollinationBlock {
        PollinationBlock {
            code: code.into(),
            farm: farm.into(),
            crop: "plum".into(),
            variety: variety.into(),
            pollinizer: pollinizer.into(),
            needs: None,
            trees_away: None,
            full_bloom: None,
        }
    }

    fn said(blocks: &[PollinationBlock]) -> Vec<String> {
        remarks(blocks, None).into_iter().map(|remark| remark.sentence).collect()
    }

    #[test]
    fn records_are_read_as_growers_write_them() {
        let read = |text: &str| read(text, |word| word == "NORTH");
        let blocks = |codes: &[&str]| Pollinizer::Blocks(codes.iter().map(|code| (*code).to_owned()).collect());
        assert_eq!(read(" Self-fruitful "), Pollinizer::NoneNeeded);
        assert_eq!(read("sets without pollen"), Pollinizer::NoneNeeded);
        assert_eq!(read("rows 4, 9 and 14"), Pollinizer::Within("rows 4, 9 and 14".into()));
        assert_eq!(read("every fourth row Moth Window"), Pollinizer::Within("every fourth row Moth Window".into()));
        assert_eq!(read("UD-3; UD-5 and NORTH"), blocks(&["UD-3", "UD-5", "NORTH"]));
        assert_eq!(read("UD-1 bouquets"), blocks(&["UD-1"]));
        assert_eq!(read("South"), blocks(&["South"]));
        assert_eq!(read("the neighbor has some"), Pollinizer::Other("the neighbor has some".into()));
        assert_eq!(read("  "), Pollinizer::NotGiven);
    }

    #[test]
    fn a_named_block_must_exist_and_stand_on_the_farm() {
        let near = block("B", "Home", "Amber", "self-fruitful");
        assert!(said(&[block("A", "Home", "Dusk", "b"), near.clone()]).is_empty());
        let gone = said(&[block("A", "Home", "Dusk", "B, C-9"), near.clone()]);
        assert_eq!(gone.len(), 1);
        assert!(
            gone[0].starts_with("A names \"C-9\" as its pollinizer, and there is no block of that code."),
            "{}",
            gone[0]
        );
        let far = said(&[block("A", "Away", "Dusk", "B"), near]);
        assert_eq!(far, ["B, the pollinizer of A, stands on Home and A on Away. Is it in reach of bees?"]);
    }

    #[test]
    fn a_pollinizer_is_another_variety_of_the_same_crop() {
        let itself = said(&[block("A", "Home", "Dusk", "A")]);
        assert!(itself[0].contains("names itself"), "{itself:?}");
        let same = said(&[block("A", "Home", "Dusk", "B"), block("B", "Home", "dusk", "rows 3")]);
        assert!(same[0].contains("is Dusk too"), "{same:?}");
        let peach = PollinationBlock { crop: "peach".into(), ..block("B", "Home", "Tallow", "self-fruitful") };
        let other = said(&[block("A", "Home", "Dusk", "B"), peach]);
        assert!(other[0].contains("is a peach"), "{other:?}");
    }

    #[test]
    fn bloom_too_far_apart_is_asked_about() {
        let at = |code: &str, variety: &str, day, other: &str| PollinationBlock {
            full_bloom: Some(date(3, day)),
            ..block(code, "Home", variety, other)
        };
        assert!(said(&[at("A", "Dusk", 4, "B"), at("B", "Amber", 9, "A")]).is_empty());
        assert_eq!(said(&[at("A", "Dusk", 4, "B"), at("B", "Amber", 10, "A")]).len(), 2);
    }

    #[test]
    fn a_plum_without_a_record_is_asked_about_and_a_peach_is_not() {
        let plum = block("A", "Home", "Dusk", "");
        assert_eq!(remarks(core::slice::from_ref(&plum), None)[0].source, HANDBOOK);
        assert!(said(&[PollinationBlock { crop: "peach".into(), ..plum }]).is_empty());
    }

    #[test]
    fn a_block_that_needs_one_and_has_none_in_reach_is_said() {
        let needs = |pollinizer: &str| PollinationBlock {
            needs: Some(NeedsPollinizer::Yes),
            crop: "apricot".into(),
            ..block("A", "Home", "Dusk", pollinizer)
        };
        let other =
            |farm: &str| PollinationBlock { crop: "apricot".into(), ..block("B", farm, "Amber", "self-fruitful") };
        let said = |own: PollinationBlock, farm: &str, reach| -> Vec<String> {
            let found = remarks(&[own, other(farm)], reach);
            found.into_iter().map(|remark| remark.sentence).collect()
        };
        assert_eq!(
            said(needs(" "), "Home", None),
            ["A needs a pollinizer and has none on record. Name the block or the rows that serve it."]
        );
        assert_eq!(
            said(needs("self-fruitful"), "Home", None),
            ["A is kept as needing a pollinizer, and its record says \"self-fruitful\". One of the two is wrong."]
        );
        assert!(said(needs("B"), "Home", None).is_empty());
        let away = said(needs("B"), "Away", None);
        assert_eq!(away[1], "A needs a pollinizer and has none in reach: no block it names stands on Home.");
        let gone = said(needs("C-4"), "Home", None);
        assert!(gone[0].contains("there is no block of that code") && gone[1].contains("none in reach"), "{gone:?}");
        // Of a block that needs none, nothing is asked.
        let none = PollinationBlock { needs: Some(NeedsPollinizer::No), ..needs("C-4") };
        assert!(said(none, "Home", Some(1)).is_empty());
    }

    #[test]
    fn a_distance_counts_only_where_the_operation_says_how_far_is_too_far() {
        let rows = |trees_away| PollinationBlock { trees_away, ..block("A", "Home", "Dusk", "rows 4, 9") };
        let said = |own, reach| remarks(&[own], reach).len();
        assert_eq!(said(rows(Some(9)), None), 0);
        assert_eq!(said(rows(Some(9)), Some(9)), 0);
        assert_eq!(said(rows(None), Some(3)), 0);
        let found = remarks(&[rows(Some(9))], Some(3));
        assert_eq!(
            found[0].sentence,
            "A has no pollinizer in reach for all its trees: the nearest stands up to 9 trees off, and the operation \
             takes 3 as the limit."
        );
    }
}
