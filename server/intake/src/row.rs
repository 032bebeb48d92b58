//! One row: cells under known columns, read one by one into typed values.
//!
//! A getter gives `None` for a blank cell and for one that cannot be read; the second also adds a
//! [`Problem`]. Whether a row is good is decided once, by the number of problems ([`Row::found`]).

use chrono::NaiveDate;
use reckon::block::MonthDay;
use reckon::exact::Exact;
use reckon::money::{Money, UnitPrice};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use unicode_normalization::UnicodeNormalization as _;

use crate::Context;
use crate::column::{Column, Input};
use crate::number::{self, Mark};
use crate::problem::{Problem, Problems, is_control, shown, thousands};

mod bounds;
mod dates;

pub(crate) use bounds::{BOXES, Bounds, Conversion, EITHER_SIGN, PERCENT, POUNDS, above, from, plain, to_f64};
pub(crate) use dates::DateRule;

/// Most characters of a note.
const MOST_CHARACTERS: usize = 4_000;
/// Most characters of a name or another short text.
const MOST_IN_A_NAME: usize = 200;
/// Decimals of a quantity that multiplies money.
const EXACT_PLACES: u32 = 6;
/// Decimals of a physical quantity.
const FLOAT_PLACES: u32 = 9;
/// Decimals of an amount of money.
const CENT_PLACES: u32 = 2;

/// A cell under a known column.
#[derive(Debug, Clone)]
pub(crate) struct Cell {
    /// The column's name.
    pub(crate) name: &'static str,
    /// How problems name the column where that differs: a key of `block.toml`.
    pub(crate) shown: Option<String>,
    /// Its own line where a row spans several; the row's line otherwise.
    pub(crate) line: Option<u32>,
    /// Its text; trimmed and checked once the row is made.
    pub(crate) text: String,
    /// A problem with it was added already: it is neither read nor called blank.
    pub(crate) refused: bool,
}

impl Cell {
    /// A cell of a file's line or a form.
    pub(crate) const fn plain(name: &'static str, text: String) -> Self {
        Self { name, shown: None, line: None, text, refused: false }
    }
}

/// A filled cell. One whose text is refused as such is neither read nor called blank.
struct Held {
    cell: Cell,
    /// Why the text is refused: what was expected instead.
    fault: Option<String>,
}

/// A row being read.
pub(crate) struct Row<'a> {
    columns: &'a [Column],
    cells: Vec<Held>,
    line: Option<u32>,
    /// Table of `block.toml` the row stands in, for the names of blank keys.
    section: Option<&'static str>,
    mark: Mark,
    context: Context<'a>,
    problems: &'a mut Problems,
}

impl<'a> Row<'a> {
    /// Takes the cells.
    pub(crate) fn new(
        columns: &'a [Column],
        cells: Vec<Cell>,
        line: Option<u32>,
        mark: Mark,
        context: Context<'a>,
        problems: &'a mut Problems,
    ) -> Self {
        let mut row = Self { columns, cells: Vec::new(), line, section: None, mark, context, problems };
        for cell in cells {
            row.take(cell);
        }
        row
    }

    fn take(&mut self, mut cell: Cell) {
        cell.text = cell.text.trim().replace("\r\n", "\n").nfc().collect();
        if cell.text.is_empty() {
            return;
        }
        let twice = self.has(cell.name).then(|| "the column once only".to_owned());
        let fault = twice.or_else(|| self.fault_of_text(&cell));
        self.cells.push(Held { cell, fault });
    }

    /// The same row, named as a table of `block.toml` in problems.
    pub(crate) fn in_section(mut self, section: &'static str) -> Self {
        self.section = Some(section);
        self
    }

    /// Adds a problem for every cell whose text is refused as such: control characters, too long,
    /// a column given twice.
    pub(crate) fn check_texts(&mut self) {
        let refused: Vec<Problem> =
            self.cells.iter().filter_map(|held| Some(self.problem_at(&held.cell, held.fault.clone()?))).collect();
        for problem in refused {
            self.problems.add(problem);
        }
    }

    fn problem_at(&self, cell: &Cell, expected: String) -> Problem {
        Problem {
            line: cell.line.or(self.line),
            column: Some(cell.shown.clone().unwrap_or_else(|| cell.name.to_owned())),
            read: shown(&cell.text),
            expected,
            example: self.column(cell.name).map_or("", |column| column.example).to_owned(),
        }
    }

    fn fault_of_text(&self, cell: &Cell) -> Option<String> {
        let input = self.column(cell.name).map(|column| column.input);
        let long = matches!(input, Some(Input::LongText));
        let most = if long { MOST_CHARACTERS } else { MOST_IN_A_NAME };
        let allowed = |c: char| !is_control(c) || long && matches!(c, '\n' | '\t');
        if cell.text.chars().count() > most {
            return Some(format!("at most {} characters", thousands(most)));
        }
        (!cell.text.chars().all(allowed)).then(|| "text without control characters".to_owned())
    }

    fn column(&self, name: &str) -> Option<&'a Column> {
        self.columns.iter().find(|column| column.name == name)
    }

    /// The text of a cell that is filled and was not refused already.
    fn readable(&self, name: &str) -> Option<&str> {
        debug_assert!(self.column(name).is_some(), "{name} is not in the table of columns");
        self.cells
            .iter()
            .find(|held| held.cell.name == name && held.fault.is_none() && !held.cell.refused)
            .map(|held| held.cell.text.as_str())
    }

    /// What is known beside the row.
    pub(crate) const fn context(&self) -> Context<'a> {
        self.context
    }

    /// Number of problems found so far, in this row and before it.
    pub(crate) fn found(&self) -> usize {
        self.problems.count()
    }

    /// Whether something stands in the cell.
    pub(crate) fn has(&self, name: &str) -> bool {
        self.cells.iter().any(|held| held.cell.name == name)
    }

    /// Adds a problem at a cell, with what stands there and the column's example.
    pub(crate) fn problem(&mut self, name: &str, expected: impl Into<String>) {
        let example = self.column(name).map_or("", |column| column.example);
        self.problem_like(name, expected, example);
    }

    /// Adds a problem at a cell, with an example of its own.
    pub(crate) fn problem_like(&mut self, name: &str, expected: impl Into<String>, example: &str) {
        let cell = self.cells.iter().map(|held| &held.cell).find(|cell| cell.name == name);
        let mut problem = match cell {
            Some(cell) => self.problem_at(cell, expected.into()),
            None => self.problem_blank(name, expected.into()),
        };
        example.clone_into(&mut problem.example);
        self.problems.add(problem);
    }

    fn problem_blank(&self, name: &str, expected: String) -> Problem {
        let column = self.section.map_or_else(|| name.to_owned(), |section| key_name(section, name));
        Problem { line: self.line, column: Some(column), read: String::new(), expected, example: String::new() }
    }

    /// Adds a problem for every required column that is blank, but for those in `excused`.
    pub(crate) fn check_required(&mut self, excused: &[&str]) {
        for column in self.columns.iter().filter(|column| column.required && !excused.contains(&column.name)) {
            if !self.has(column.name) {
                self.problem(column.name, column.expected());
            }
        }
    }

    /// Adds a problem if the cell is blank.
    pub(crate) fn need(&mut self, name: &str, expected: &str) {
        if !self.has(name) {
            self.problem(name, expected);
        }
    }

    /// Adds a problem if the cell is filled.
    pub(crate) fn refuse(&mut self, name: &str, because: &str) {
        if self.has(name) {
            self.problem_like(name, format!("nothing here, because {because}"), "a blank cell");
        }
    }

    /// The one of these columns that is filled. More than one is a problem, none is not.
    pub(crate) fn only_one(&mut self, names: &[&'static str]) -> Option<&'static str> {
        let filled: Vec<&'static str> = names.iter().copied().filter(|name| self.has(name)).collect();
        let (first, others) = filled.split_first()?;
        for other in others {
            self.refuse(other, &format!("{first} is filled and only one of the two may be"));
        }
        Some(first)
    }

    /// Adds a problem at the first of these columns if all are blank.
    pub(crate) fn need_any(&mut self, names: &[&'static str]) {
        if let (Some(first), false) = (names.first(), names.iter().any(|name| self.has(name))) {
            self.problem(first, format!("at least one of {}", names.join(", ")));
        }
    }

    /// A text, empty if blank.
    pub(crate) fn text(&self, name: &str) -> String {
        self.maybe_text(name).unwrap_or_default()
    }

    /// A text.
    pub(crate) fn maybe_text(&self, name: &str) -> Option<String> {
        self.readable(name).map(str::to_owned)
    }

    /// One of some words; capitals do not matter.
    pub(crate) fn choice<T: Copy>(&mut self, name: &str, all: &[T], word: fn(T) -> &'static str) -> Option<T> {
        let text = self.readable(name)?.to_lowercase();
        let found = all.iter().copied().find(|item| word(*item) == text);
        if found.is_none() {
            let words: Vec<&str> = all.iter().map(|item| word(*item)).collect();
            self.problem(name, format!("one of {}", words.join(", ")));
        }
        found
    }

    /// A number in its bounds with no more decimals than given.
    fn number(&mut self, name: &str, bounds: Bounds, places: u32) -> Option<Decimal> {
        let text = self.readable(name)?;
        let read = number::read(text, self.mark, name.contains("usd"));
        let expected = match read {
            Err(fault) => format!("a number {}", fault.expected()),
            Ok(value) if bounds.whole() && value.scale() > 0 => bounds.sentence(value),
            Ok(value) if !bounds.hold(value) => bounds.sentence(value),
            Ok(value) if value.scale() > places => format!("a number with at most {places} decimals"),
            Ok(value) => return Some(value),
        };
        self.problem(name, expected);
        None
    }

    /// A whole number up to 255.
    pub(crate) fn small(&mut self, name: &str, bounds: Bounds) -> Option<u8> {
        self.whole(name, bounds).and_then(|value| u8::try_from(value).ok())
    }

    /// A whole number.
    pub(crate) fn whole(&mut self, name: &str, bounds: Bounds) -> Option<u32> {
        self.number(name, bounds.in_whole(), 0).and_then(|value| value.to_u32())
    }

    /// A quantity that multiplies money, exactly.
    pub(crate) fn exact<U>(&mut self, name: &str, bounds: Bounds) -> Option<Exact<U>> {
        self.number(name, bounds, EXACT_PLACES).and_then(|value| Exact::new(value).ok())
    }

    /// Dollars and cents.
    pub(crate) fn money(&mut self, name: &str, bounds: Bounds) -> Option<Money> {
        self.number(name, bounds, CENT_PLACES).and_then(|value| Money::round(value).ok())
    }

    /// Dollars per one of something; never negative.
    pub(crate) fn price<U>(&mut self, name: &str) -> Option<UnitPrice<U>> {
        self.number(name, from(0.0).up_to(1e6), EXACT_PLACES).and_then(|value| UnitPrice::round(value).ok())
    }

    /// An exact decimal, for values that are turned into another unit.
    pub(crate) fn decimal(&mut self, name: &str, bounds: Bounds) -> Option<Decimal> {
        self.number(name, bounds, EXACT_PLACES)
    }

    /// A physical quantity.
    pub(crate) fn float(&mut self, name: &str, bounds: Bounds) -> Option<f64> {
        self.number(name, bounds, FLOAT_PLACES).and_then(bounds::to_f64)
    }

    /// A physical quantity given in another unit than the one kept, with so few decimals that the kept
    /// value leads back to it.
    pub(crate) fn converted(&mut self, name: &str, bounds: Bounds, way: Conversion) -> Option<f64> {
        self.number(name, bounds, EXACT_PLACES).and_then(|value| way.convert(value))
    }

    /// A physical quantity given in the unit kept, or in another that is converted.
    pub(crate) fn either(
        &mut self,
        kept: (&'static str, Bounds),
        other: (&'static str, Bounds, Conversion),
    ) -> Option<f64> {
        if self.only_one(&[kept.0, other.0])? == kept.0 {
            return self.float(kept.0, kept.1);
        }
        self.number(other.0, other.1, FLOAT_PLACES).and_then(|value| other.2.convert(value))
    }

    /// A day, checked against the season by the rule.
    pub(crate) fn date(&mut self, name: &str, rule: DateRule) -> Option<NaiveDate> {
        let read = dates::read(self.readable(name)?, self.context.season, rule);
        read.map_err(|expected| self.problem(name, expected)).ok()
    }

    /// The day in the first of these cells that is filled with one, without a word about a wrong one.
    pub(crate) fn any_date(&self, names: &[&str]) -> Option<NaiveDate> {
        let known = names.iter().filter(|name| self.column(name).is_some());
        known.filter_map(|name| self.readable(name)).find_map(|text| dates::read(text, None, DateRule::Any).ok())
    }

    /// A day of any year.
    pub(crate) fn month_day(&mut self, name: &str) -> Option<MonthDay> {
        let day = dates::month_day(self.readable(name)?);
        if day.is_none() {
            self.problem(name, "a day of the year as month-day");
        }
        day
    }
}

/// The key of `block.toml` for a column: a farm's own name is the column `farm` of a file of farms.
pub(crate) fn key_of<'n>(section: &str, name: &'n str) -> &'n str {
    if section == "farm" && name == "farm" { "name" } else { name }
}

/// A key of `block.toml` as problems name it.
pub(crate) fn key_name(section: &str, name: &str) -> String {
    format!("[{section}] {}", key_of(section, name))
}
