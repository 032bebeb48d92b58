//! What came of a file that was brought in, in sentences.

use std::collections::BTreeMap;

use chrono::{DateTime, NaiveDate, Utc};
use store::{KeptOut, Why};

use crate::display;

/// What came of a file.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct BroughtIn {
    /// Rows that are new in the book.
    pub added: usize,
    /// Rows that stood in it already.
    pub already: usize,
    /// When the very same file was brought in before.
    pub same_file: Option<DateTime<Utc>>,
    /// Rows that somebody removed or left out before, and that were not added.
    pub kept_out: Vec<KeptOut>,
    /// Rows that look like records of the book or like another row and were left out now, as was wished.
    pub left_out: usize,
    /// How the file was read, where that is worth saying: "semicolons between cells".
    pub remarks: Vec<String>,
}

impl BroughtIn {
    pub(super) fn records(kept: store::BroughtIn, remarks: Vec<String>) -> Self {
        let store::BroughtIn { added, already, same_file, kept_out, left_out } = kept;
        Self { added, already, same_file, kept_out, left_out, remarks }
    }

    /// What came of it, in one sentence.
    pub fn sentence(&self) -> String {
        let none_out = self.kept_out.is_empty() && self.left_out == 0;
        match (self.added, self.already, self.same_file) {
            (0, _, Some(before)) => {
                let day = display::full_day(before.date_naive());
                format!("This very file was brought in on {day}; nothing was added.")
            }
            (added, _, Some(before)) => {
                let day = display::full_day(before.date_naive());
                format!("This very file was brought in on {day}; {} brought back now.", were(added))
            }
            (0, _, None) if none_out => "Every row of this file is already in the book; nothing was added.".to_owned(),
            (0, 0, None) => "Nothing was added.".to_owned(),
            (0, already, None) => format!("Nothing was added; {} already in the book.", were(already)),
            (added, 0, None) => format!("Brought in {}.", rows(added)),
            (added, already, None) => format!("Brought in {}; {} already in the book.", rows(added), were(already)),
        }
    }

    /// A sentence for each reason why rows stayed out.
    pub fn stayed_out(&self) -> Vec<String> {
        let mut groups: BTreeMap<(Why, NaiveDate, &str), usize> = BTreeMap::new();
        for row in &self.kept_out {
            *groups.entry((row.why, row.at.date_naive(), &row.by)).or_default() += 1;
        }
        let mut said: Vec<String> = groups
            .into_iter()
            .map(|((why, day, by), n)| {
                let (count, was) = (rows(n), was(n));
                let day = display::full_day(day);
                match why {
                    Why::Removed => {
                        format!("{count} of this file {was} removed by {by} on {day} and {was} not added again.")
                    }
                    Why::Double => {
                        format!("{count} of this file {was} left out as doubles by {by} on {day} and {was} not added.")
                    }
                }
            })
            .collect();
        if self.left_out > 0 {
            let look = if self.left_out == 1 { "looks" } else { "look" };
            let (count, was) = (rows(self.left_out), was(self.left_out));
            said.push(format!("{count} {look} like records of the book or like another row and {was} left out."));
        }
        said
    }

    /// Whether rows stayed out that somebody removed.
    pub fn has_removed(&self) -> bool {
        self.kept_out.iter().any(|row| row.why == Why::Removed)
    }
}

fn rows(n: usize) -> String {
    print::figures::counted(n, "row", "rows")
}

const fn was(n: usize) -> &'static str {
    if n == 1 { "was" } else { "were" }
}

fn were(n: usize) -> String {
    format!("{} {}", rows(n), was(n))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn out(line: u32, why: Why, by: &str) -> KeptOut {
        KeptOut { line, why, by: by.to_owned(), at: "2026-07-01T12:00:00Z".parse().unwrap() }
    }

    #[test]
    fn rows_that_stay_out_are_said_by_whom_and_when() {
        let kept_out = vec![out(2, Why::Removed, "Ana"), out(3, Why::Double, "Ana"), out(4, Why::Double, "Ana")];
        let done = BroughtIn { already: 5, kept_out, ..BroughtIn::default() };
        assert_eq!(done.sentence(), "Nothing was added; 5 rows were already in the book.");
        assert_eq!(
            done.stayed_out(),
            [
                "1 row of this file was removed by Ana on 1 Jul 2026 and was not added again.",
                "2 rows of this file were left out as doubles by Ana on 1 Jul 2026 and were not added."
            ]
        );
        assert!(done.has_removed());
    }

    #[test]
    fn doubles_left_out_now_are_counted() {
        let done = BroughtIn { added: 3, left_out: 1, ..BroughtIn::default() };
        assert_eq!(done.sentence(), "Brought in 3 rows.");
        assert_eq!(done.stayed_out(), ["1 row looks like records of the book or like another row and was left out."]);
    }
}
