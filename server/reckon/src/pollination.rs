//! Pollinizers: what the grower's record says, and where it does not fit.
//!
//! Whether a variety needs a pollinizer, and how near it must stand, is the grower's knowledge. Ratios
//! and distances that go about were not found in a bulletin and are not built in.

use std::collections::BTreeMap;

use chrono::NaiveDate;

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

/// Looks through the blocks of an operation: named blocks that do not exist, stand on another farm,
/// are the block itself or its own variety, are another crop, or bloom at another time; and Japanese
/// plums without a record. In order of block, whatever the order of the list.
pub fn remarks(blocks: &[PollinationBlock]) -> Vec<Remark> {
    let by_code: BTreeMap<String, &PollinationBlock> = blocks.iter().map(|block| (key(&block.code), block)).collect();
    let mut sorted: Vec<&PollinationBlock> = blocks.iter().collect();
    sorted.sort_by(|a, b| crate::size_classes::natural(&a.code, &b.code));
    sorted.into_iter().flat_map(|block| of_block(block, &by_code)).collect()
}

fn key(code: &str) -> String {
    code.trim().to_uppercase()
}

fn remark(block: &PollinationBlock, source: &'static str, sentence: String) -> Remark {
    Remark { code: block.code.clone(), sentence, source }
}

fn of_block(block: &PollinationBlock, by_code: &BTreeMap<String, &PollinationBlock>) -> Vec<Remark> {
    match read(&block.pollinizer, |word| by_code.contains_key(&key(word))) {
        Pollinizer::NoneNeeded | Pollinizer::Within(_) => Vec::new(),
        Pollinizer::Other(words) => vec![remark(block, "", missing(block, &words))],
        Pollinizer::NotGiven => not_given(block).into_iter().collect(),
        Pollinizer::Blocks(codes) => codes
            .iter()
            .filter_map(|code| match by_code.get(&key(code)) {
                None => Some(remark(block, "", missing(block, code))),
                Some(other) => doubt(block, other).map(|sentence| remark(block, "", sentence)),
            })
            .collect(),
    }
}

fn missing(block: &PollinationBlock, code: &str) -> String {
    format!(
        "{} names \"{code}\" as its pollinizer, and there is no block of that code. Expected a block's code, rows of the \
         block (\"rows 4, 9, 14\") or \"self-fruitful\".",
        block.code
    )
}

/// Most Japanese plums set 1 to 3 percent without a pollinizer.
fn not_given(block: &PollinationBlock) -> Option<Remark> {
    let crop = block.crop.to_lowercase();
    let needs = (crop.contains("plum") && !crop.contains("europ")) || crop.contains("pluot");
    needs.then(|| {
        let sentence = format!(
            "{} is a {crop} and has no pollinizer on record. Most Japanese plums set 1 to 3 % of their flowers without \
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
            full_bloom: None,
        }
    }

    fn said(blocks: &[PollinationBlock]) -> Vec<String> {
        remarks(blocks).into_iter().map(|remark| remark.sentence).collect()
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
        assert_eq!(remarks(core::slice::from_ref(&plum))[0].source, HANDBOOK);
        assert!(said(&[PollinationBlock { crop: "peach".into(), ..plum }]).is_empty());
    }
}
