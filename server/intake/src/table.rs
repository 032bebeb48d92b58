//! From text to lines of cells: which sign separates them, quotes, line numbers.
//!
//! Written here because the place of a mistake matters most where a quote is never closed: that
//! swallows the rest of a file, and the line where it was opened must be named.

use core::iter::Peekable;
use core::str::Chars;

use crate::problem::{Problem, shown};

/// A line of a file: its number (the header is line 1) and its cells.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Line {
    pub(crate) number: u32,
    pub(crate) cells: Vec<String>,
}

impl Line {
    /// A line of nothing but separators, as spreadsheets leave below a table.
    pub(crate) fn is_blank(&self) -> bool {
        self.cells.iter().all(|cell| cell.trim().is_empty())
    }
}

/// The sign between cells: the one that gives most known names in the header, then most cells.
pub(crate) fn separator(text: &str, is_known: impl Fn(&str) -> bool) -> char {
    let mut best = (',', (0, 0));
    for candidate in [',', ';', '\t'] {
        let header = Lines::new(text, candidate).filter_map(Result::ok).find(|line| !line.is_blank());
        let cells = header.map(|line| line.cells).unwrap_or_default();
        let score = (cells.iter().filter(|cell| is_known(cell)).count(), cells.len());
        if score > best.1 {
            best = (candidate, score);
        }
    }
    best.0
}

/// The lines of a text, quotes undone. Empty lines are left out but counted.
pub(crate) struct Lines<'a> {
    signs: Peekable<Chars<'a>>,
    separator: char,
    number: u32,
}

impl<'a> Lines<'a> {
    pub(crate) fn new(text: &'a str, separator: char) -> Self {
        Self { signs: text.chars().peekable(), separator, number: 1 }
    }

    /// Takes a line break (`\n`, `\r\n` or a lone `\r`) if one stands here.
    fn take_break(&mut self) -> bool {
        let broke = match self.signs.peek() {
            Some('\n') => self.signs.next().is_some(),
            Some('\r') => {
                self.signs.next();
                self.signs.next_if_eq(&'\n');
                true
            }
            _ => false,
        };
        self.number = self.number.saturating_add(u32::from(broke));
        broke
    }

    fn cell(&mut self) -> Result<String, Problem> {
        if self.signs.next_if_eq(&'"').is_some() {
            return self.quoted();
        }
        let mut cell = String::new();
        let separator = self.separator;
        while let Some(sign) = self.signs.next_if(|sign| *sign != separator && !matches!(sign, '\n' | '\r')) {
            cell.push(sign);
        }
        Ok(cell)
    }

    /// The rest of a cell whose opening quote was taken; two quotes inside stand for one.
    fn quoted(&mut self) -> Result<String, Problem> {
        let opened = self.number;
        let mut cell = String::new();
        loop {
            if self.take_break() {
                cell.push('\n');
                continue;
            }
            match self.signs.next() {
                Some('"') if self.signs.next_if_eq(&'"').is_some() => cell.push('"'),
                Some('"') => return self.after_quote(cell),
                Some(sign) => cell.push(sign),
                None => {
                    let read = format!("a quote that is opened here and never closed, before \"{}\"", shown(&cell));
                    return Err(Problem::of_file(Some(opened), &read, CLOSED, CLOSED_EXAMPLE));
                }
            }
        }
    }

    fn after_quote(&mut self, cell: String) -> Result<String, Problem> {
        while self.signs.next_if(|sign| *sign == ' ' && *sign != self.separator).is_some() {}
        match self.signs.peek() {
            None | Some('\n' | '\r') => Ok(cell),
            Some(sign) if *sign == self.separator => Ok(cell),
            Some(_) => {
                let read = format!("text right after a closing quote, after \"{}\"", shown(&cell));
                Err(Problem::of_file(Some(self.number), &read, CLOSED, CLOSED_EXAMPLE))
            }
        }
    }
}

const CLOSED: &str = "a quote at both ends of a cell, and two for a quote inside it";
const CLOSED_EXAMPLE: &str = "\"the \"\"old\"\" block\"";

impl Iterator for Lines<'_> {
    type Item = Result<Line, Problem>;

    fn next(&mut self) -> Option<Self::Item> {
        while self.take_break() {}
        self.signs.peek()?;
        let number = self.number;
        let mut cells = Vec::new();
        loop {
            match self.cell() {
                Ok(cell) => cells.push(cell),
                Err(problem) => {
                    // What follows a broken quote cannot be cut into cells.
                    self.signs = "".chars().peekable();
                    return Some(Err(problem));
                }
            }
            if self.signs.next_if_eq(&self.separator).is_none() {
                self.take_break();
                return Some(Ok(Line { number, cells }));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn lines(text: &str, separator: char) -> Vec<(u32, Vec<String>)> {
        Lines::new(text, separator).map(|line| line.unwrap()).map(|line| (line.number, line.cells)).collect()
    }

    fn cells(cells: &[&str]) -> Vec<String> {
        cells.iter().map(|cell| (*cell).to_owned()).collect()
    }

    #[test]
    fn numbers_lines_with_every_line_ending() {
        let text = "a,b\r\n1,\"x\r\ny\"\n\n\r2,5\" pipe\r";
        let expected = vec![(1, cells(&["a", "b"])), (2, cells(&["1", "x\ny"])), (6, cells(&["2", "5\" pipe"]))];
        assert_eq!(lines(text, ','), expected);
    }

    #[test]
    fn names_the_line_where_a_quote_was_opened() {
        let broken = Lines::new("a\n\"b\nc\nd", ',').last().unwrap().unwrap_err();
        assert_eq!(broken.line, Some(2));
        let broken = Lines::new("a\n\"b\"c", ',').last().unwrap().unwrap_err();
        assert!(broken.read.contains("after a closing quote"), "{broken}");
    }

    #[test]
    fn finds_the_separator() {
        let known = |name: &str| ["date", "block", "note"].contains(&name);
        assert_eq!(separator("date,block\n1;2;3;4", known), ',');
        assert_eq!(separator("\n\"date\";block;x,y", known), ';');
        assert_eq!(separator("date\tblock", known), '\t');
        assert_eq!(separator("date", known), ',');
    }

    proptest! {
        /// The outside check: what the csv crate writes, we read, and we read what it reads.
        #[test]
        fn agrees_with_the_csv_crate(table in prop::collection::vec(prop::collection::vec("[ -~ñ\n]{0,8}", 3), 1..6)) {
            let mut writer = csv::Writer::from_writer(vec![]);
            for row in &table {
                writer.write_record(row).unwrap();
            }
            let text = String::from_utf8(writer.into_inner().unwrap()).unwrap();
            let ours: Vec<Vec<String>> = lines(&text, ',').into_iter().map(|(_, cells)| cells).collect();
            prop_assert_eq!(&ours, &table);
            let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
            let theirs: Vec<Vec<String>> = reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect();
            prop_assert_eq!(ours, theirs);
        }

        #[test]
        fn no_text_breaks_it(text in ".{0,60}", separator in prop::sample::select(vec![',', ';', '\t'])) {
            let _ = Lines::new(&text, separator).count();
        }
    }
}
