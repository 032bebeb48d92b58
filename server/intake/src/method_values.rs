//! A table of any measure by unit and method, for comparing methods: unit, method, value, and where
//! units stand in blocks the block.

use std::collections::{BTreeMap, BTreeSet};

use reckon::block::folded;
use reckon::compare::{MethodTable, Value};
use rust_decimal::Decimal;
use rust_decimal::prelude::{FromPrimitive as _, ToPrimitive as _};
use unicode_normalization::UnicodeNormalization as _;

use crate::bytes;
use crate::nearest::nearest;
use crate::number::{Fault, Mark, shows_decimal_comma};
use crate::problem::{Problem, Problems, shown};
use crate::table::{Line, Lines, separator};
use crate::written;

/// The columns, in the order in which a row is read; the last may be left out. Their order in a file is free.
pub const METHOD_COLUMNS: [&str; 4] = ["unit", "method", "value", "block"];

const EXAMPLES: [&str; 4] = ["KW-2", "by hand", "9.85", "north"];

/// Most methods of a table: each pair of them is compared, and a column of a thousand names is no
/// column of methods.
const MOST_METHODS: usize = 100;

/// A table as it is reckoned with.
#[derive(Debug, Clone, PartialEq)]
pub struct MethodValues {
    /// What was taken off every value, exactly, before it became a binary fraction: zero, or the middle
    /// value where all values lie close to it. Their differences are then those that were typed.
    pub origin: Decimal,
    /// The rows, each less the origin.
    pub values: Vec<Value>,
}

impl MethodValues {
    fn of(rows: &[Row]) -> Self {
        let origin = origin(rows);
        // Both have at most fifteen digits before the mark, so the difference is within a decimal's range.
        let less = |exact: Decimal| exact.checked_sub(origin).and_then(|less| less.to_f64());
        let value = |row: &Row| {
            let Row { unit, block, method, exact } = row.clone();
            Some(Value { unit, block, method, value: less(exact)? })
        };
        Self { origin, values: rows.iter().filter_map(value).collect() }
    }

    /// A table of these values with the origin put back.
    pub fn put_back(&self, table: MethodTable) -> MethodTable {
        if self.origin.is_zero() {
            return table;
        }
        table.shifted(|less| {
            let exact = Decimal::from_f64(less).and_then(|less| less.checked_add(self.origin)?.to_f64());
            exact.unwrap_or_else(|| less + self.origin.to_f64().unwrap_or_default())
        })
    }
}

/// The middle value where every other lies within a tenth of the largest from it, else zero: among
/// values of very unlike size any origin but zero would cost the small ones their digits.
fn origin(rows: &[Row]) -> Decimal {
    let mut sorted: Vec<Decimal> = rows.iter().map(|row| row.exact).collect();
    sorted.sort_unstable();
    let Some(middle) = sorted.get(sorted.len() / 2).copied() else { return Decimal::ZERO };
    let ends = [sorted.first(), sorted.last()].into_iter().flatten();
    let far = ends.clone().filter_map(|end| end.checked_sub(middle)).map(|far| far.abs()).max();
    let large = ends.map(Decimal::abs).max();
    let close =
        far.zip(large).is_some_and(|(far, large)| far.checked_mul(Decimal::TEN).is_some_and(|tenfold| tenfold < large));
    if close { middle } else { Decimal::ZERO }
}

/// A row of the table, its value as it was typed.
#[derive(Debug, Clone)]
struct Row {
    unit: String,
    block: Option<String>,
    method: String,
    exact: Decimal,
}

/// Reads a table with the columns unit, method and value, and perhaps block, whole or not at all. A
/// unit stands once under a method (in a block, where blocks are named): several values of one unit
/// are no observations of their own. Names are compared without capitals and blanks and stand as they
/// were first typed.
///
/// # Errors
/// Every problem up to [`crate::MOST_PROBLEMS`], each with line and column, then how many more.
pub fn read_method_values(bytes: &[u8]) -> Result<MethodValues, Vec<Problem>> {
    let mut problems = Problems::default();
    let unmarked = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    if unmarked.iter().all(u8::is_ascii_whitespace) {
        return Err(vec![empty()]);
    }
    let text = bytes::decode(bytes).map_err(|problem| vec![problem])?.text;
    let separator = separator(&text, |cell| place_of(cell).is_some());
    let lines = cut(&text, separator, &mut problems);
    let Some((header, rows)) = lines.split_first() else { return Err(problems.into_list()) };
    let places = header_places(header, &mut problems);
    if rows.is_empty() && problems.count() == 0 {
        problems.add(Problem::of_file(
            None,
            "a header and no rows",
            "at least one row below the header",
            "KW-2,by hand,9.85",
        ));
    }
    let Some(places) = places.filter(|_| problems.count() == 0) else { return Err(problems.into_list()) };
    let mut table = Table {
        places,
        width: header.cells.len(),
        mark: mark_of(separator, rows, places),
        spelled: BTreeMap::new(),
        seen: BTreeMap::new(),
    };
    let values: Vec<Row> = rows.iter().filter_map(|row| table.row(row, &mut problems)).collect();
    few_methods(&values, &mut problems);
    if problems.count() > 0 { Err(problems.into_list()) } else { Ok(MethodValues::of(&values)) }
}

fn empty() -> Problem {
    Problem::of_file(None, "an empty file", "a header and a row for each value", "unit,method,value")
}

fn cut(text: &str, separator: char, problems: &mut Problems) -> Vec<Line> {
    let mut lines = Vec::new();
    for line in Lines::new(text, separator) {
        match line {
            Ok(line) if line.is_blank() => {}
            Ok(line) => lines.push(line),
            Err(problem) => problems.add(problem),
        }
    }
    lines
}

fn place_of(cell: &str) -> Option<usize> {
    let name = cell.trim().to_lowercase();
    METHOD_COLUMNS.iter().position(|column| *column == name)
}

fn few_methods(values: &[Row], problems: &mut Problems) {
    let methods: BTreeSet<&str> = values.iter().map(|value| value.method.as_str()).collect();
    if methods.len() > MOST_METHODS {
        let read = format!("{} methods", methods.len());
        let expected = format!("at most {MOST_METHODS} in the column method; is it the column of units?");
        problems.add(Problem::of_file(None, &read, &expected, "KW-2,by hand,9.85"));
    }
}

/// Where unit, method, value and block stand in the header.
#[derive(Clone, Copy)]
struct Places {
    needed: [usize; 3],
    block: Option<usize>,
}

fn header_places(header: &Line, problems: &mut Problems) -> Option<Places> {
    let mut found: [Option<usize>; 4] = [None; 4];
    for (n, cell) in header.cells.iter().enumerate() {
        let cell = cell.trim();
        let slot = place_of(cell).and_then(|place| found.get_mut(place));
        match slot {
            Some(slot) if slot.is_none() => *slot = Some(n),
            Some(_) => problems.add(at(header, cell, cell, "this column once only".to_owned(), "")),
            // Numbers of rows, which some programs write before the columns.
            None if n == 0 && cell.is_empty() => {}
            None => problems.add(unknown(header, cell, n)),
        }
    }
    for (name, place) in METHOD_COLUMNS.iter().zip(&found) {
        if place.is_none() && *name != "block" {
            problems.add(at(header, name, "", "this column in the header".to_owned(), "unit,method,value"));
        }
    }
    let [Some(unit), Some(method), Some(value), block] = found else { return None };
    Some(Places { needed: [unit, method, value], block })
}

/// A column that is none of ours, or has no name.
fn unknown(header: &Line, cell: &str, n: usize) -> Problem {
    if cell.is_empty() {
        let number = n.saturating_add(1).to_string();
        return at(
            header,
            &number,
            "",
            "a name: only the first column may be without one".to_owned(),
            "unit,method,value",
        );
    }
    let near = nearest(&cell.to_lowercase(), METHOD_COLUMNS);
    let near = near.map(|name| format!(", perhaps {name}")).unwrap_or_default();
    let expected =
        format!("one of unit, method, value, block{near}; take the column \"{}\" out otherwise", shown(cell));
    at(header, cell, cell, expected, "unit,method,value")
}

fn at(line: &Line, column: &str, read: &str, expected: String, example: &str) -> Problem {
    Problem::at(Some(line.number), column, read, expected, example)
}

/// Which sign stands before fractions: a point where commas separate cells, else what the values show.
fn mark_of(separator: char, rows: &[Line], places: Places) -> Mark {
    let [_, _, value] = places.needed;
    let shows = || rows.iter().filter_map(|row| row.cells.get(value)).any(|cell| shows_decimal_comma(cell));
    match separator {
        ',' => Mark::Point,
        _ if shows() => Mark::Comma,
        _ => Mark::Unknown,
    }
}

struct Table {
    places: Places,
    width: usize,
    mark: Mark,
    /// How a name of a column was first typed, by its folded form.
    spelled: BTreeMap<(usize, String), String>,
    /// Line of each block, unit and method.
    seen: BTreeMap<(Option<String>, String, String), u32>,
}

impl Table {
    fn row(&mut self, line: &Line, problems: &mut Problems) -> Option<Row> {
        if line.cells.len() != self.width {
            let (read, expected) =
                (format!("{} cells", line.cells.len()), format!("{} cells, as in the header", self.width));
            problems.add(Problem::of_file(Some(line.number), &read, &expected, "KW-2,by hand,9.85"));
            return None;
        }
        let cell = |place: usize| line.cells.get(place).map_or("", |cell| cell.trim());
        let [unit, method, value] = self.places.needed.map(cell);
        let names = [(unit, 0), (method, 1)].map(|(text, column)| self.name(line, column, text, problems));
        let block = self.places.block.map(|place| self.name(line, 3, cell(place), problems));
        let value = self.number(line, value, problems);
        let ([Some(unit), Some(method)], Some(exact)) = (names, value) else { return None };
        let block = match block {
            Some(None) => return None,
            Some(filled) => filled,
            None => None,
        };
        if let Some(first) = self.seen.insert((block.clone(), unit.clone(), method.clone()), line.number) {
            let expected = format!(
                "each unit once under a method (line {first} has {} under {}); take the mean of its values, or name its \
                 parts as units",
                shown(&unit),
                shown(&method)
            );
            problems.add(at(line, "unit", &unit, expected, ""));
            return None;
        }
        Some(Row { unit, block, method, exact })
    }

    /// A name as it was first typed; an accent is one letter however it was typed.
    fn name(&mut self, line: &Line, column: usize, text: &str, problems: &mut Problems) -> Option<String> {
        let typed: String = filled(line, column, text, problems)?.nfc().collect();
        Some(self.spelled.entry((column, folded(&typed))).or_insert(typed).clone())
    }

    fn number(&self, line: &Line, text: &str, problems: &mut Problems) -> Option<Decimal> {
        if text.is_empty() {
            problems.add(at(line, "value", "", NOT_KNOWN.to_owned(), "9.85"));
            return None;
        }
        let fault = match written::read(text, self.mark) {
            Ok(exact) => return Some(exact),
            Err(fault) => fault,
        };
        let unknown = fault == Fault::NotFinite || text.eq_ignore_ascii_case("NA");
        let expected = if unknown { NOT_KNOWN.to_owned() } else { format!("a number {}", fault.expected()) };
        problems.add(at(line, "value", text, expected, "9.85"));
        None
    }
}

/// What is expected where no value is known.
const NOT_KNOWN: &str = "a number; leave the whole row out where it is not known";

fn filled<'t>(line: &Line, column: usize, text: &'t str, problems: &mut Problems) -> Option<&'t str> {
    if text.is_empty() {
        let name = METHOD_COLUMNS.get(column).copied().unwrap_or_default();
        let example = EXAMPLES.get(column).copied().unwrap_or_default();
        problems.add(at(line, name, "", format!("the name of the {name}"), example));
        return None;
    }
    Some(text)
}

#[cfg(test)]
mod tests;
