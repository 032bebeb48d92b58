//! What a record of a pollinizer says, in the words growers write it in.

use std::collections::BTreeSet;

use super::PollinationBlock;
use crate::block::folded;

/// What a record says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Pollinizer {
    /// Nothing.
    NotGiven,
    /// None is needed: the variety sets on its own pollen, or without any.
    NoneNeeded,
    /// Blocks, varieties or rows.
    Named(Named),
    /// Words that name none of them.
    Other(String),
}

/// What a record names.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Named {
    /// Codes of blocks, as written, whether there are such blocks or not.
    pub codes: Vec<String>,
    /// Varieties of the operation's blocks, as written.
    pub varieties: Vec<String>,
    /// Whether it names rows or trees: of the blocks above, else of the block itself.
    pub rows: bool,
    /// The rows by number.
    pub row_numbers: Vec<u32>,
}

/// Codes and varieties that words are held against.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Known {
    codes: BTreeSet<String>,
    varieties: BTreeSet<String>,
}

impl Known {
    /// Of an operation's blocks.
    pub fn of(blocks: &[PollinationBlock]) -> Self {
        let names = |name: fn(&PollinationBlock) -> &str| {
            let names = blocks.iter().map(|block| phrase(&words(name(block))));
            names.filter(|name| !name.is_empty()).collect()
        };
        Self { codes: names(|block| &block.code), varieties: names(|block| &block.variety) }
    }

    /// The longest name that begins here, and how many words it takes.
    fn longest(&self, words: &[&str]) -> Option<(Name, usize)> {
        (1..=words.len().min(MOST_WORDS)).rev().find_map(|taken| {
            let name = phrase(words.get(..taken)?);
            let name = match () {
                () if self.codes.contains(&name) => Name::Code,
                () if self.varieties.contains(&name) => Name::Variety,
                () => return None,
            };
            Some((name, taken))
        })
    }
}

/// A code or a variety has no more words than these.
const MOST_WORDS: usize = 5;

enum Name {
    Code,
    Variety,
}

/// Reads a record. Names are known codes and varieties, words with a letter and a digit, and a lone word;
/// other words beside a name ("UD-1 bouquets") are the grower's note.
pub fn read(text: &str, known: &Known) -> Pollinizer {
    let plain = folded(&text.replace('-', " "));
    let words = words(text);
    if plain.is_empty() || words.is_empty() {
        return Pollinizer::NotGiven;
    }
    if says_none(&plain) || says_self_fruitful(&plain) {
        return Pollinizer::NoneNeeded;
    }
    let named = Reader::over(&words, known);
    if named.codes.is_empty() && named.varieties.is_empty() && !named.rows {
        return Pollinizer::Other(text.trim().to_owned());
    }
    Pollinizer::Named(named)
}

/// "Self-fruitful", "autofértil": it sets on its own pollen, or without any.
fn says_self_fruitful(plain: &str) -> bool {
    const SAID: [&str; 8] = [
        "self fruitful",
        "self fertile",
        "self pollinat",
        "without pollen",
        "autofértil",
        "autofertil",
        "autofecund",
        "autocompatib",
    ];
    SAID.iter().any(|said| plain.contains(said))
}

/// "None needed", "no": whatever the reason.
pub(super) fn says_none(plain: &str) -> bool {
    const WHOLE: [&str; 7] = ["no", "none", "ninguno", "ninguna", "n/a", "not any", "nada"];
    const PART: [&str; 7] =
        ["none needed", "not needed", "needs none", "no pollini", "no necesita", "no hace falta", "sin polini"];
    WHOLE.contains(&plain.trim_end_matches('.')) || PART.iter().any(|said| plain.contains(said))
}

struct Reader<'t> {
    words: &'t [&'t str],
    known: &'t Known,
    named: Named,
    /// Whether numbers are those of rows: a word for rows came before.
    after_rows: bool,
}

impl<'t> Reader<'t> {
    fn over(words: &'t [&'t str], known: &'t Known) -> Named {
        let rows = words.iter().any(|word| is_row(word) || is_tree(word));
        let mut reader = Self { words, known, named: Named { rows, ..Named::default() }, after_rows: false };
        let mut at = 0;
        while let Some(word) = words.get(at) {
            at += reader.take(at, word);
        }
        reader.named
    }

    /// Takes the words of one name or number, and says how many they were.
    fn take(&mut self, at: usize, word: &str) -> usize {
        let rest = self.words.get(at..).unwrap_or_default();
        if is_row(word) || is_tree(word) {
            self.after_rows = is_row(word);
            return 1;
        }
        if let Some(numbers) = numbers(word).filter(|_| self.after_rows) {
            if !is_distance(rest) {
                self.named.row_numbers.extend(numbers);
            }
            return 1;
        }
        // "a row of T-6" names no block A.
        let little = self.words.len() > 1 && word.len() == 1 && word.chars().all(char::is_lowercase);
        if let Some((name, taken)) = self.known.longest(rest).filter(|_| !little) {
            let written = rest.get(..taken).unwrap_or_default().join(" ");
            match name {
                Name::Code => self.named.codes.push(written),
                Name::Variety => self.named.varieties.push(written),
            }
            return taken;
        }
        let alone = self.words.len() == 1;
        if alone || is_mixed(word) && !(self.named.rows && is_ordinal(word)) {
            self.named.codes.push(word.to_owned());
        }
        1
    }
}

fn words(text: &str) -> Vec<&str> {
    let words = text.split([' ', ',', ';', '/', '&', '+', '(', ')', '"', '\t', '\n']);
    words.map(|word| word.trim_matches(['.', ':'])).filter(|word| word.chars().any(char::is_alphanumeric)).collect()
}

fn phrase(words: &[&str]) -> String {
    folded(&words.join(" "))
}

fn is_row(word: &str) -> bool {
    const ROWS: [&str; 8] = ["row", "rows", "hilera", "hileras", "surco", "surcos", "fila", "filas"];
    ROWS.contains(&word.to_lowercase().as_str())
}

fn is_tree(word: &str) -> bool {
    ["tree", "trees", "árbol", "árboles", "arbol", "arboles"].contains(&word.to_lowercase().as_str())
}

fn is_measure(word: &str) -> bool {
    ["ft", "feet", "foot", "m", "meters", "metros", "yards", "away", "pies"].contains(&word.to_lowercase().as_str())
}

/// "12 trees away", "30 ft"; not "row 4 tree 11".
fn is_distance(words: &[&str]) -> bool {
    let tree = words.get(1).is_some_and(|next| is_tree(next));
    let counted = words.get(2).is_some_and(|after| numbers(after).is_some());
    tree && !counted || words.get(1).is_some_and(|next| is_measure(next))
}

fn is_mixed(word: &str) -> bool {
    word.chars().any(char::is_alphabetic) && word.chars().any(|sign| sign.is_ascii_digit())
}

/// "3rd", "3ª", "3er".
fn is_ordinal(word: &str) -> bool {
    const ENDS: [&str; 14] = ["st", "nd", "rd", "th", "ª", "º", "a", "o", "er", "ra", "ro", "da", "ta", "va"];
    let end = word.trim_start_matches(|sign: char| sign.is_ascii_digit());
    end.len() < word.len() && ENDS.contains(&end.to_lowercase().as_str())
}

/// "14", and both ends of "4-9".
fn numbers(word: &str) -> Option<Vec<u32>> {
    let ends: Result<Vec<u32>, _> = word.split(['-', '–']).map(str::parse).collect();
    ends.ok().filter(|ends| ends.len() <= 2)
}
