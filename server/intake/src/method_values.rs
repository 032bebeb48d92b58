//! A table of any measure by unit and method, for comparing methods: unit, method, value.

use std::collections::BTreeMap;

use reckon::compare::Value;
use rust_decimal::prelude::ToPrimitive;

use crate::bytes;
use crate::nearest::nearest;
use crate::number::{self, Mark, shows_decimal_comma};
use crate::problem::{Problem, Problems, shown};
use crate::table::{Line, Lines, separator};

/// The columns, in the order in which a row is read. Their order in a file is free.
pub const METHOD_COLUMNS: [&str; 3] = ["unit", "method", "value"];

const EXAMPLES: [&str; 3] = ["KW-2", "by hand", "9.85"];

/// Reads a table with the columns unit, method and value, whole or not at all. A unit stands once
/// under a method: several values of one unit are no observations of their own.
///
/// # Errors
/// Every problem up to [`crate::MOST_PROBLEMS`], each with line and column, then how many more.
pub fn read_method_values(bytes: &[u8]) -> Result<Vec<Value>, Vec<Problem>> {
    let mut problems = Problems::default();
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
    let mut table =
        Table { places, width: header.cells.len(), mark: mark_of(separator, rows, places), seen: BTreeMap::new() };
    let values: Vec<Value> = rows.iter().filter_map(|row| table.row(row, &mut problems)).collect();
    if problems.count() > 0 { Err(problems.into_list()) } else { Ok(values) }
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

/// Where unit, method and value stand in the header.
fn header_places(header: &Line, problems: &mut Problems) -> Option<[usize; 3]> {
    let mut found: [Option<usize>; 3] = [None; 3];
    for (n, cell) in header.cells.iter().enumerate() {
        let cell = cell.trim();
        let slot = place_of(cell).and_then(|place| found.get_mut(place));
        match slot {
            Some(slot) if slot.is_none() => *slot = Some(n),
            Some(_) => problems.add(at(header, cell, cell, "this column once only".to_owned(), "")),
            None => {
                let near = nearest(&cell.to_lowercase(), METHOD_COLUMNS);
                let near = near.map(|name| format!(", perhaps {name}")).unwrap_or_default();
                problems.add(at(header, cell, cell, format!("one of unit, method, value{near}"), "unit,method,value"));
            }
        }
    }
    for (name, place) in METHOD_COLUMNS.iter().zip(&found) {
        if place.is_none() {
            problems.add(at(header, name, "", "this column in the header".to_owned(), "unit,method,value"));
        }
    }
    let [Some(unit), Some(method), Some(value)] = found else { return None };
    Some([unit, method, value])
}

fn at(line: &Line, column: &str, read: &str, expected: String, example: &str) -> Problem {
    Problem::at(Some(line.number), column, read, expected, example)
}

/// Which sign stands before fractions: a point where commas separate cells, else what the values show.
fn mark_of(separator: char, rows: &[Line], [_, _, value]: [usize; 3]) -> Mark {
    let shows = || rows.iter().filter_map(|row| row.cells.get(value)).any(|cell| shows_decimal_comma(cell));
    match separator {
        ',' => Mark::Point,
        _ if shows() => Mark::Comma,
        _ => Mark::Unknown,
    }
}

struct Table {
    places: [usize; 3],
    width: usize,
    mark: Mark,
    /// Line of each unit and method.
    seen: BTreeMap<(String, String), u32>,
}

impl Table {
    fn row(&mut self, line: &Line, problems: &mut Problems) -> Option<Value> {
        if line.cells.len() != self.width {
            let (read, expected) =
                (format!("{} cells", line.cells.len()), format!("{} cells, as in the header", self.width));
            problems.add(Problem::of_file(Some(line.number), &read, &expected, "KW-2,by hand,9.85"));
            return None;
        }
        let [unit, method, value] = self.places.map(|place| line.cells.get(place).map_or("", |cell| cell.trim()));
        let names = [(unit, 0), (method, 1)].map(|(text, column)| filled(line, column, text, problems));
        let value = self.number(line, value, problems);
        let ([Some(unit), Some(method)], Some(value)) = (names, value) else { return None };
        if let Some(first) = self.seen.insert((unit.clone(), method.clone()), line.number) {
            let expected = format!(
                "each unit once under a method (line {first} has {} under {}); take the mean of its values, or name its \
                 parts as units",
                shown(&unit),
                shown(&method)
            );
            problems.add(at(line, "unit", &unit, expected, ""));
            return None;
        }
        Some(Value { unit, method, value })
    }

    fn number(&self, line: &Line, text: &str, problems: &mut Problems) -> Option<f64> {
        if text.is_empty() {
            problems.add(at(
                line,
                "value",
                "",
                "a number; leave the whole row out where it is not known".to_owned(),
                "9.85",
            ));
            return None;
        }
        match number::read(text, self.mark, false) {
            Ok(exact) => exact.to_f64(),
            Err(fault) => {
                problems.add(at(line, "value", text, format!("a number {}", fault.expected()), "9.85"));
                None
            }
        }
    }
}

fn filled(line: &Line, column: usize, text: &str, problems: &mut Problems) -> Option<String> {
    if text.is_empty() {
        let name = METHOD_COLUMNS.get(column).copied().unwrap_or_default();
        let example = EXAMPLES.get(column).copied().unwrap_or_default();
        problems.add(at(line, name, "", format!("the name of the {name}"), example));
        return None;
    }
    Some(text.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Vec<Value>, Vec<String>> {
        read_method_values(text.as_bytes()).map_err(|problems| problems.iter().map(ToString::to_string).collect())
    }

    #[test]
    fn columns_stand_in_any_order_and_numbers_in_any_custom() {
        let rows = read("value;Unit;METHOD\n1.234,5;KW-2;by hand\n\n-3;KW-2;cuts\n").unwrap();
        assert_eq!(rows[0], Value { unit: "KW-2".into(), method: "by hand".into(), value: 1234.5 });
        assert!((rows[1].value + 3.0).abs() < f64::EPSILON);
    }

    #[test]
    fn every_problem_has_its_line_and_column() {
        let problems = read("unit,method,value\nA,x,1\nA,x,2\n,x,3\nB,,4\nB,x,1e3\nC,x\nD,x,\n").unwrap_err();
        let starts = [
            "line 3, column unit: ",
            "line 4, column unit: read nothing",
            "line 5, column method: read nothing",
            "line 6, column value: read \"1e3\"",
            "line 7: read 2 cells",
            "line 8, column value: read nothing",
        ];
        assert_eq!(problems.len(), starts.len(), "{problems:?}");
        for (problem, start) in problems.iter().zip(starts) {
            assert!(problem.starts_with(start), "{problem}");
        }
        assert!(problems[0].contains("line 2 has A under x"), "{}", problems[0]);
    }

    #[test]
    fn a_header_says_what_is_missing_and_what_was_meant() {
        let problems = read("units,method,note\nA,x,1\n").unwrap_err();
        assert!(problems[0].contains("perhaps unit"), "{problems:?}");
        assert!(problems.iter().any(|problem| problem.contains("column value")), "{problems:?}");
        assert!(read("unit,method,value\n").unwrap_err()[0].contains("at least one row"));
        assert!(read("").is_err());
        assert!(read("unit,method,unit,value\nA,x,A,1\n").unwrap_err()[0].contains("once only"));
    }
}
