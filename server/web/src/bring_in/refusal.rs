//! Why a file was not brought in: what to mend, what to confirm, what looks like a double.

use core::fmt;

use intake::{Problem, Question};
use store::{StoreError, Twin, TwinOf};
use thiserror::Error;

use crate::display;
use crate::likeness::{differing, figure};
use crate::place::Places;

/// Why a file was not brought in. Nothing of it was kept.
#[derive(Debug, Error)]
pub enum BringInError {
    /// The file, row by row.
    #[error("{0}")]
    Refused(Box<Refusal>),
    /// The book.
    #[error("Nothing was kept: {0}")]
    Store(#[from] StoreError),
    /// The same request came before, and this was told of it. Nothing was kept this time.
    #[error("Nothing was kept: the same request came before")]
    Before(String),
    /// Reading was broken off; a fault of the program.
    #[error("Nothing was kept: reading the file was broken off")]
    BrokenOff(#[from] tokio::task::JoinError),
}

impl From<Refusal> for BringInError {
    fn from(refusal: Refusal) -> Self {
        Self::Refused(Box::new(refusal))
    }
}

/// Everything that keeps a file out.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Refusal {
    /// What must be mended, in the order of lines.
    pub problems: Vec<Problem>,
    /// What must be confirmed.
    pub questions: Vec<Asked>,
    /// Rows that look like records of the book, or like another row of the file.
    pub doubles: Vec<Doubled>,
    /// Lines whose row is put right on a page of the book: line, address, and what the page is.
    pub pages: Vec<(u32, String, String)>,
    /// The problems are rows that reach into a closed season, and nothing else.
    pub closed: bool,
}

/// A question about a row of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Asked {
    /// Its line.
    pub line: u32,
    /// Its column.
    pub column: &'static str,
    /// The question.
    pub sentence: String,
}

impl Asked {
    pub(super) fn all(line: u32, questions: Vec<Question>) -> impl Iterator<Item = Self> {
        questions.into_iter().map(move |Question { column, sentence }| Self { line, column, sentence })
    }
}

/// A row of a file that looks like a record of the book, or like another row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Doubled {
    /// Its line.
    pub line: u32,
    /// The line of the other, where that is a row of the same file.
    pub other_line: Option<u32>,
    /// What it looks like: "the labor entry of 14 Jul 2026 for RB-1".
    pub what: String,
    /// Where a record of the book came from: "entered by hand".
    pub from: String,
    /// What differs, after a comma; empty where nothing does.
    pub differing: String,
}

impl Doubled {
    pub(super) fn of(twin: &Twin, places: &Places) -> Self {
        let (other_line, from) = match &twin.other {
            TwinOf::Kept { from_file: Some((file, line)), .. } => (None, format!("from {file}, line {line}")),
            TwinOf::Kept { from_file: None, .. } => (None, "entered by hand".to_owned()),
            TwinOf::Row(line) => (Some(*line), format!("on line {line} of this file")),
        };
        let kind = display::kind_words(twin.record.kind()).0;
        let day = display::full_day(twin.record.date());
        let place = places.written(&twin.target).map(|(_, name)| format!(" for {name}")).unwrap_or_default();
        let (figure, differing) = (figure(&twin.record), differing(twin.likeness));
        Self { line: twin.line, other_line, what: format!("the {kind} of {day}{figure}{place}"), from, differing }
    }

    /// "the labor entry of 14 Jul 2026 for RB-1, entered by hand, all but the hours".
    pub fn like(&self) -> String {
        self.like_from(&self.from)
    }

    /// The same, with other words for where the other stands.
    pub(crate) fn like_from(&self, from: &str) -> String {
        format!("{}, {from}{}", self.what, self.differing)
    }
}

impl Refusal {
    /// Problems in the order of lines, as many as a person can take in, and a last one that says how
    /// many more there are.
    pub(super) fn problems(mut problems: Vec<Problem>, more: usize) -> Self {
        problems.sort_by_key(|problem| problem.line);
        let more = more + problems.len().saturating_sub(intake::MOST_PROBLEMS);
        problems.truncate(intake::MOST_PROBLEMS);
        if more > 0 {
            let read = format!("{} more problems", print::figures::count(more));
            let expected = "these first ones mended before the rest is listed".to_owned();
            problems.push(Problem { line: None, column: None, read, expected, example: String::new() });
        }
        Self { problems, ..Self::default() }
    }

    /// The page on which the row of a line is put right.
    pub fn page_of(&self, line: Option<u32>) -> Option<(&str, &str)> {
        let page = self.pages.iter().find(|(known, ..)| Some(*known) == line)?;
        Some((&page.1, &page.2))
    }
}

/// Without a page around it: every line begins where it is.
impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Nothing was kept.")?;
        if !self.problems.is_empty() {
            f.write_str(" To mend:")?;
        }
        for problem in &self.problems {
            write!(f, "\n  {problem}")?;
            if let Some((address, page)) = self.page_of(problem.line) {
                write!(f, " ({page}: {address})")?;
            }
        }
        if !self.questions.is_empty() {
            f.write_str("\nTo confirm:")?;
        }
        for asked in &self.questions {
            write!(f, "\n  line {}, column {}: {}", asked.line, asked.column, asked.sentence)?;
        }
        if !self.doubles.is_empty() {
            f.write_str("\nPerhaps there already, in the book or in this file:")?;
        }
        for double in &self.doubles {
            write!(f, "\n  line {} looks like {}", double.line, double.like())?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn problem(line: Option<u32>) -> Problem {
        Problem::at(line, "date", "x", "a day".to_owned(), "2026-05-14")
    }

    #[test]
    fn it_says_first_that_nothing_was_kept() {
        let asked = Asked { line: 3, column: "hours", sentence: "Is it so much?".to_owned() };
        let double = Doubled {
            line: 7,
            other_line: None,
            what: "the labor entry of 14 Jul 2026 for RB-1".to_owned(),
            from: "entered by hand".to_owned(),
            differing: String::new(),
        };
        let mut refusal = Refusal::problems(vec![problem(Some(9)), problem(Some(2))], 0);
        refusal.questions.push(asked);
        refusal.doubles.push(double);
        refusal.pages.push((9, "/season/2026/block/x/correct".to_owned(), "the block's page".to_owned()));
        assert_eq!(
            refusal.to_string(),
            "Nothing was kept. To mend:\n  line 2, column date: read \"x\", expected a day, for example 2026-05-14\n  \
             line 9, column date: read \"x\", expected a day, for example 2026-05-14 (the block's page: \
             /season/2026/block/x/correct)\nTo confirm:\n  line 3, column hours: Is it so much?\nPerhaps there already, in \
             the book or in this file:\n  line 7 looks like the labor entry of 14 Jul 2026 for RB-1, entered by hand"
        );
    }

    #[test]
    fn a_flood_is_cut() {
        let refusal = Refusal::problems(vec![problem(Some(1)); 250], 1_000);
        assert_eq!(refusal.problems.len(), intake::MOST_PROBLEMS + 1);
        assert_eq!(refusal.problems.last().unwrap().read, "1,050 more problems");
    }
}
