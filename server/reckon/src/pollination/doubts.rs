//! What does not fit in a block's record of its pollinizer.

use super::book::{Book, same_farm};
use super::read::{Named, Pollinizer};
use super::{PollinationBlock, Remark};
use crate::block::{NeedsPollinizer, folded};
use crate::say;

/// Days between two blocks' full bloom from which they are said not to bloom together: common
/// practice, no source.
const BLOOM_APART_DAYS: i64 = 5;

pub(super) const HANDBOOK: &str =
    "University of California, Fruit and Nut Research and Information Center, plum orchard management";

fn remark(block: &PollinationBlock, source: &'static str, sentence: String) -> Remark {
    Remark { code: block.code.clone(), sentence, source }
}

/// Everything about one block.
pub(super) fn of_block(block: &PollinationBlock, book: &Book<'_>, reach: Option<u32>) -> Vec<Remark> {
    if block.needs == Some(NeedsPollinizer::No) {
        return Vec::new();
    }
    match book.read(block) {
        Pollinizer::NoneNeeded => contradicts(block).into_iter().collect(),
        Pollinizer::Other(words) => vec![remark(block, "", missing(&names(block), &quoted(&words)))],
        Pollinizer::NotGiven => not_given(block).into_iter().collect(),
        Pollinizer::Named(named) => {
            let mut found = of_named(block, &named, book);
            found.extend(too_far(block, reach));
            found
        }
    }
}

fn of_named(block: &PollinationBlock, named: &Named, book: &Book<'_>) -> Vec<Remark> {
    if let Some(none) = none_near(block, named, book) {
        return vec![none];
    }
    let codes = named.codes.iter().filter_map(|code| of_code(block, code, named.rows, book));
    let varieties = named.varieties.iter().filter_map(|variety| of_variety(block, variety, named.rows, book));
    let said = codes.chain(varieties).chain(beyond(block, named, book));
    said.map(|sentence| remark(block, "", sentence)).collect()
}

/// What does not fit with one of the blocks it names.
fn of_code(block: &PollinationBlock, code: &str, rows: bool, book: &Book<'_>) -> Option<String> {
    let Some(other) = book.block(code) else { return Some(missing(&names(block), &quoted(code))) };
    if folded(&block.code) == folded(&other.code) {
        let code = &block.code;
        return Some(format!("{code} names itself as its pollinizer. Write \"self-fruitful\" if it needs none."));
    }
    doubt(block, other, rows)
}

/// What does not fit with one of the varieties it names. A variety that stands in rows of the block needs no
/// block of its own.
fn of_variety(block: &PollinationBlock, variety: &str, rows: bool, book: &Book<'_>) -> Option<String> {
    if folded(variety) == folded(&block.variety) {
        return Some(format!(
            "{} names {variety} as its pollinizer and is {variety} itself. A variety that needs another's pollen finds \
             none there.",
            block.code
        ));
    }
    let all = book.of_variety(variety, block);
    if rows {
        let crops = |other: &&&PollinationBlock| folded(&other.crop) != folded(&block.crop);
        return all.first().filter(|_| all.iter().all(|other| crops(&other))).map(|other| {
            let (code, kind, own) = (&block.code, a(&other.crop), a(&block.crop));
            format!("{variety}, the pollinizer of {code}, is {kind} and {code} {own}. Does its pollen serve?")
        });
    }
    let serving = book.serving(variety, block);
    let asked = if serving.is_empty() { &all } else { &serving };
    let doubts: Vec<String> = asked.iter().filter_map(|other| doubt(block, other, false)).collect();
    if doubts.len() == asked.len() { doubts.into_iter().next() } else { None }
}

/// Rows that the block, or the one other block it names, does not have.
fn beyond(block: &PollinationBlock, named: &Named, book: &Book<'_>) -> Option<String> {
    let of = match named.codes.as_slice() {
        [] => block,
        [code] => book.block(code)?,
        _ => return None,
    };
    let rows = of.rows?;
    let mut beyond: Vec<u32> = named.row_numbers.iter().filter(|n| !(1..=rows).contains(*n)).copied().collect();
    beyond.sort_unstable();
    beyond.dedup();
    let numbers: Vec<String> = beyond.iter().map(|n| say::number((*n).into())).collect();
    (!numbers.is_empty()).then(|| {
        let (code, word) = (&block.code, if numbers.len() == 1 { "row" } else { "rows" });
        let whose = if folded(&of.code) == folded(code) { String::new() } else { format!(" of {}", of.code) };
        let has = say::counted(rows.into(), "row", "rows");
        format!("{code} names {word} {}{whose} as its pollinizer, and {} has {has}.", say::list(&numbers), of.code)
    })
}

/// A block that needs one, of whose named blocks none stands on its farm while nobody said how far they are:
/// one remark, whether they stand elsewhere or do not exist.
fn none_near(block: &PollinationBlock, named: &Named, book: &Book<'_>) -> Option<Remark> {
    let near_code = |code: &String| book.block(code).is_some_and(|other| same_farm(block, other));
    let near_variety =
        |variety: &String| folded(variety) == folded(&block.variety) || !book.serving(variety, block).is_empty();
    let within = named.rows && named.codes.is_empty();
    let near = named.codes.iter().any(near_code) || !named.rows && named.varieties.iter().any(near_variety);
    let unknown: Vec<String> =
        named.codes.iter().filter(|code| book.block(code).is_none()).map(|code| quoted(code)).collect();
    let told = block.trees_away.is_some() && unknown.len() < named.codes.len();
    if block.needs != Some(NeedsPollinizer::Yes) || within || near || told {
        return None;
    }
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

/// "a peach", "an apricot".
fn a(crop: &str) -> String {
    let crop = crop.trim();
    let article = if crop.to_lowercase().starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
    format!("{article} {crop}")
}

fn missing(who_names: &str, what: &str) -> String {
    format!(
        "{who_names} {what} as its pollinizer, and there is no block of that code or variety. Expected a block's code, a \
         variety, rows of this or another block (\"rows 4, 9, 14\") or \"self-fruitful\"."
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

/// What does not fit between two blocks. A distance that is given says how far off the other stands, on
/// whichever farm; rows of a block are told apart from it because they are of another variety.
fn doubt(block: &PollinationBlock, other: &PollinationBlock, rows: bool) -> Option<String> {
    let (code, its) = (&block.code, &other.code);
    if block.trees_away.is_none() && !same_farm(block, other) {
        let (own, far) = (block.farm.trim(), other.farm.trim());
        return Some(format!(
            "{its}, the pollinizer of {code}, stands on {far} and {code} on {own}. Is it in reach of bees?"
        ));
    }
    if folded(&block.crop) != folded(&other.crop) {
        let (kind, own) = (a(&other.crop), a(&block.crop));
        return Some(format!("{its}, the pollinizer of {code}, is {kind} and {code} {own}. Does its pollen serve?"));
    }
    if !rows && !block.variety.trim().is_empty() && folded(&block.variety) == folded(&other.variety) {
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
