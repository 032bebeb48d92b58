//! What is wrong with a file or a form, said so that a person can mend it.

use core::fmt;

/// Most problems reported of one file; a last one says how many more there are.
pub const MOST_PROBLEMS: usize = 200;

/// Longest stretch of a cell that is repeated in a problem.
const MOST_SHOWN: usize = 40;

/// One thing that could not be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Line of the file, the header being line 1; `None` in a form.
    pub line: Option<u32>,
    /// Column, as named in the file; `[block] acres` for a key of `block.toml`.
    pub column: Option<String>,
    /// What stood there, shortened, with control characters spelt out; empty for nothing.
    pub read: String,
    /// What was expected instead.
    pub expected: String,
    /// An example of it; may be empty.
    pub example: String,
}

impl Problem {
    /// A problem of one cell; what was read is shortened and its control characters spelt out.
    pub fn at(line: Option<u32>, column: &str, read: &str, expected: String, example: &str) -> Self {
        Self { line, column: Some(column.to_owned()), read: shown(read), expected, example: example.to_owned() }
    }

    /// A problem of the whole file or of a line: `read` is a description, not a quotation.
    pub(crate) fn of_file(line: Option<u32>, read: &str, expected: &str, example: &str) -> Self {
        let (read, expected, example) = (read.to_owned(), expected.to_owned(), example.to_owned());
        Self { line, column: None, read, expected, example }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let line = self.line.map(|line| format!("line {line}"));
        let column = self
            .column
            .as_ref()
            .map(|column| if column.starts_with('[') { column.clone() } else { format!("column {column}") });
        let place: Vec<String> = line.into_iter().chain(column).collect();
        if !place.is_empty() {
            write!(f, "{}: ", place.join(", "))?;
        }
        match (self.read.is_empty(), self.column.is_some()) {
            (true, _) => f.write_str("read nothing")?,
            (false, true) => write!(f, "read \"{}\"", self.read)?,
            (false, false) => write!(f, "read {}", self.read)?,
        }
        write!(f, ", expected {}", self.expected)?;
        if self.example.is_empty() { Ok(()) } else { write!(f, ", for example {}", self.example) }
    }
}

impl core::error::Error for Problem {}

/// Problems as they are found, the first [`MOST_PROBLEMS`] of them.
#[derive(Debug, Default)]
pub(crate) struct Problems {
    kept: Vec<Problem>,
    more: usize,
}

impl Problems {
    /// One problem that leaves nothing more to look at.
    pub(crate) fn one(problem: Problem) -> Self {
        Self { kept: vec![problem], more: 0 }
    }

    pub(crate) fn add(&mut self, problem: Problem) {
        if self.kept.len() < MOST_PROBLEMS {
            self.kept.push(problem);
        } else {
            self.more += 1;
        }
    }

    /// How many were found so far, kept or not.
    pub(crate) fn count(&self) -> usize {
        self.kept.len() + self.more
    }

    /// The problems kept, and how many more there are.
    pub(crate) fn into_parts(self) -> (Vec<Problem>, usize) {
        (self.kept, self.more)
    }

    /// The problems kept, without the last line.
    pub(crate) fn into_kept(self) -> Vec<Problem> {
        self.kept
    }

    /// The list, with a last line if it was cut; empty when nothing was wrong.
    pub(crate) fn into_list(self) -> Vec<Problem> {
        let mut list = self.kept;
        list.extend(more(self.more));
        list
    }
}

/// The last line of a list that was cut.
pub(crate) fn more(number: usize) -> Option<Problem> {
    let read = format!("{} more problems", thousands(number));
    (number > 0).then(|| Problem::of_file(None, &read, "these first ones mended before the rest is listed", ""))
}

/// A cell's text as it can be shown in a sentence: shortened, control characters spelt out.
pub(crate) fn shown(text: &str) -> String {
    let start: String = text.chars().take(MOST_SHOWN).map(visible).collect();
    let length = text.chars().count();
    if length > MOST_SHOWN { format!("{start}… ({} characters)", thousands(length)) } else { start }
}

fn visible(character: char) -> String {
    match character {
        '\0' => "<NUL>".to_owned(),
        '\t' => "<tab>".to_owned(),
        '\n' | '\r' => "<line break>".to_owned(),
        c if is_control(c) => format!("<U+{:04X}>", u32::from(c)),
        c => c.to_string(),
    }
}

/// Control characters, and the marks that turn the direction of writing without being seen.
pub(crate) fn is_control(character: char) -> bool {
    character.is_control() || matches!(character, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' | '\u{FEFF}')
}

/// A whole number with commas between thousands, for sentences.
pub(crate) fn thousands(number: usize) -> String {
    let digits = number.to_string();
    let mut out = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_problem_reads_as_one_sentence() {
        let problem = Problem {
            line: Some(14),
            column: Some("trees_done".to_owned()),
            read: "0".to_owned(),
            expected: "a whole number from 1".to_owned(),
            example: "620".to_owned(),
        };
        let sentence = "line 14, column trees_done: read \"0\", expected a whole number from 1, for example 620";
        assert_eq!(problem.to_string(), sentence);
    }

    #[test]
    fn the_list_is_cut_and_says_by_how_much() {
        let mut problems = Problems::default();
        for _ in 0..1_412 {
            problems.add(Problem::of_file(None, "a", "b", ""));
        }
        let list = problems.into_list();
        assert_eq!(list.len(), MOST_PROBLEMS + 1);
        assert!(list.last().unwrap().to_string().starts_with("read 1,212 more problems"));
    }

    #[test]
    fn control_characters_are_spelt_and_long_cells_cut() {
        assert_eq!(shown("a\0b\tc\u{1b}\u{202e}"), "a<NUL>b<tab>c<U+001B><U+202E>");
        let long = shown(&"x".repeat(1_048_576));
        assert_eq!(long, format!("{}… (1,048,576 characters)", "x".repeat(40)));
    }
}
