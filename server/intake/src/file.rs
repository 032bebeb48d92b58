//! A CSV file, read whole or not at all.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use reckon::block::folded;

use crate::column::{Column, Input};
use crate::digest::{self, Prints};
use crate::kinds::{self, FileKind, Parsed, columns};
use crate::nearest::nearest;
use crate::number::{Mark, shows_decimal_comma};
use crate::place::Place;
use crate::problem::{Problem, Problems, shown, thousands};
use crate::row::{Cell, Row};
use crate::table::{Line, Lines, separator};
use crate::{Context, bytes};

/// Most rows of one file.
const MOST_ROWS: usize = 200_000;

/// Most cells of a header; no kind has a fifth of that.
const MOST_COLUMNS: usize = 500;

/// A row that could be read.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadRow {
    /// Its line in the file, the header being line 1.
    pub line: u32,
    /// What tells the row from every other one: kind, place, meaning, and its ordinal among equal
    /// rows of the file. The same row written differently has the same print.
    pub print: [u8; 32],
    /// What it belongs to.
    pub place: Place,
    /// What it says.
    pub parsed: Parsed,
}

/// A file that could be read.
#[derive(Debug, Clone, PartialEq)]
pub struct FileRead {
    /// SHA-256 of its bytes.
    pub sha256: [u8; 32],
    /// Its rows, in file order.
    pub rows: Vec<ReadRow>,
    /// What is worth saying about how it was read: "read as Windows-1252 (Latin-1)".
    pub remarks: Vec<String>,
}

/// A row that could not be read: what it belongs to and its day, as far as they could.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnreadRow {
    /// Its line in the file.
    pub line: u32,
    /// What it belongs to.
    pub place: Place,
    /// Its day.
    pub day: Option<NaiveDate>,
}

/// A file as far as it could be read, with everything that is wrong with its cells: whoever knows the
/// book can then say in the same breath what is wrong with its places and days.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FileDraft {
    /// SHA-256 of its bytes.
    pub sha256: [u8; 32],
    /// The rows without a problem, in file order.
    pub rows: Vec<ReadRow>,
    /// The rows with one.
    pub unread: Vec<UnreadRow>,
    /// The first [`crate::MOST_PROBLEMS`] problems.
    pub problems: Vec<Problem>,
    /// How many more there are.
    pub more: usize,
    /// What is worth saying about how it was read.
    pub remarks: Vec<String>,
}

impl FileDraft {
    /// The same file with its places in the spelling of the book, and the prints of its rows renewed: a
    /// row that names block `rb-1` is the row that names `RB-1`.
    pub fn spell(&mut self, kind: FileKind, spell: impl Fn(&mut Place)) {
        let mut prints = Prints::default();
        for row in &mut self.rows {
            spell(&mut row.place);
            row.print = prints.of(kind, &row.place, &row.parsed);
        }
        for row in &mut self.unread {
            spell(&mut row.place);
        }
    }
}

/// Reads a CSV file, whole or not at all.
///
/// # Errors
/// Every problem up to [`crate::MOST_PROBLEMS`], each with line and column, then how many more.
pub fn read_file(kind: FileKind, bytes: &[u8], context: &Context<'_>) -> Result<FileRead, Vec<Problem>> {
    read_counted(kind, bytes, context).map_err(Problems::into_list)
}

/// Reads a CSV file as far as it goes.
pub fn read_draft(kind: FileKind, bytes: &[u8], context: &Context<'_>) -> FileDraft {
    let mut problems = Problems::default();
    let draft = draft(kind, bytes, context, &mut problems);
    let (problems, more) = problems.into_parts();
    FileDraft { problems, more, ..draft }
}

/// [`read_file`] with the number of problems beside them.
pub(crate) fn read_counted(kind: FileKind, bytes: &[u8], context: &Context<'_>) -> Result<FileRead, Problems> {
    let mut problems = Problems::default();
    let FileDraft { sha256, rows, remarks, .. } = draft(kind, bytes, context, &mut problems);
    if problems.count() == 0 { Ok(FileRead { sha256, rows, remarks }) } else { Err(problems) }
}

/// The file; nothing of it where its bytes or its header cannot be read.
fn draft(kind: FileKind, bytes: &[u8], context: &Context<'_>, problems: &mut Problems) -> FileDraft {
    let decoded = match bytes::decode(bytes) {
        Ok(decoded) => decoded,
        Err(problem) => {
            problems.add(problem);
            return FileDraft::default();
        }
    };
    let columns = columns(kind);
    let separator = separator(&decoded.text, |cell| column_of(&columns, cell).is_some());
    let (header, lines) = cut(&decoded.text, separator, problems);
    let header = header.map(|header| check_header(kind, &columns, &header, context, problems));
    if problems.count() > 0 {
        return FileDraft::default();
    }
    let header = header.unwrap_or_default();
    let mark = mark_of(separator, &columns, &header, &lines);
    let table = Table { kind, columns: &columns, header: &header, mark, context };
    let (rows, unread) = table.rows(lines, problems);
    let remarks = decoded.remarks.into_iter().chain(remarks(separator, mark)).collect();
    FileDraft { sha256: digest::of_file(bytes), rows, unread, remarks, ..FileDraft::default() }
}

/// A file with nothing but the header of a kind. The settings of the water balance, which are
/// many and seldom set, are left out of `blocks`; they may be added.
pub fn blank(kind: FileKind) -> String {
    let names: Vec<&str> = columns(kind)
        .into_iter()
        .map(|column| column.name)
        .filter(|name| reckon::water::setup::by_name(name).is_none())
        .collect();
    names.join(",") + "\n"
}

/// The header and the other lines that are not blank; quotes that do not close are problems.
fn cut(text: &str, separator: char, problems: &mut Problems) -> (Option<Line>, Vec<Line>) {
    let mut lines = Vec::new();
    let mut header = None;
    for line in Lines::new(text, separator) {
        match line {
            Ok(line) if line.is_blank() => {}
            Ok(line) if header.is_none() => header = Some(line),
            Ok(line) => lines.push(line),
            Err(problem) => problems.add(problem),
        }
        if lines.len() > MOST_ROWS {
            let read = format!("more than {} rows", thousands(MOST_ROWS));
            problems.add(Problem::of_file(None, &read, "at most that many in one file", "one file for each season"));
            break;
        }
    }
    if header.is_some() && lines.is_empty() && problems.count() == 0 {
        problems.add(Problem::of_file(None, "a header and no rows", "at least one row below the header", ""));
    }
    (header, lines)
}

/// The column of a kind that a header cell names.
pub fn column_named(kind: FileKind, cell: &str) -> Option<Column> {
    column_of(&columns(kind), cell).copied()
}

/// The column of a header cell; capitals and spaces do not matter.
fn column_of<'c>(columns: &'c [Column], cell: &str) -> Option<&'c Column> {
    let name = header_name(cell);
    columns.iter().find(|column| column.name == name)
}

fn header_name(cell: &str) -> String {
    cell.trim().to_lowercase().replace(' ', "_")
}

/// The columns of a header, `None` for an unnamed one.
fn check_header(
    kind: FileKind,
    columns: &[Column],
    header: &Line,
    context: &Context<'_>,
    problems: &mut Problems,
) -> Vec<Option<Column>> {
    if header.cells.len() > MOST_COLUMNS {
        let read = format!("a header of {} cells", thousands(header.cells.len()));
        problems.add(Problem::of_file(Some(header.number), &read, &format!("at most {MOST_COLUMNS} columns"), ""));
        return Vec::new();
    }
    let mut found: Vec<Option<Column>> = Vec::new();
    for cell in &header.cells {
        let column = column_of(columns, cell).copied();
        let known = column.is_some_and(|column| found.contains(&Some(column)));
        let fault = match column {
            Some(_) if known => Some(("this column once only".to_owned(), "")),
            None if !cell.trim().is_empty() => Some(unknown(kind, columns, cell)),
            _ => None,
        };
        if let Some((expected, example)) = fault {
            problems.add(header_problem(header, shown(cell.trim()), shown(cell.trim()), expected, example));
        }
        found.push(column);
    }
    let excused = crate::place::excused(context.block.is_some());
    for column in columns.iter().filter(|column| column.required && !excused.contains(&column.name)) {
        if !found.contains(&Some(*column)) {
            let expected = format!("this column in the header, with {}", column.expected());
            problems.add(header_problem(header, column.name.to_owned(), String::new(), expected, column.example));
        }
    }
    found
}

fn header_problem(header: &Line, column: String, read: String, expected: String, example: &str) -> Problem {
    Problem { line: Some(header.number), column: Some(column), read, expected, example: example.to_owned() }
}

fn unknown(kind: FileKind, columns: &[Column], cell: &str) -> (String, &'static str) {
    let names: Vec<&'static str> = columns.iter().map(|column| column.name).collect();
    match nearest(&header_name(cell), names.iter().copied()) {
        Some(name) => (format!("a column of {}, perhaps {name}", kind.word()), ""),
        None => (format!("a column of {}: {}", kind.word(), short_list(&names)), ""),
    }
}

/// The names without the many settings of the water balance.
fn short_list(names: &[&str]) -> String {
    let plain: Vec<&str> = names.iter().copied().filter(|name| reckon::water::setup::by_name(name).is_none()).collect();
    plain.join(", ")
}

/// Which sign stands before fractions: a point where commas separate cells, else what the numbers show.
fn mark_of(separator: char, columns: &[Column], header: &[Option<Column>], lines: &[Line]) -> Mark {
    if separator == ',' || columns.is_empty() {
        return Mark::Point;
    }
    let shows = lines.iter().any(|line| {
        let cells = line.cells.iter().zip(header);
        cells
            .filter(|(_, column)| column.is_some_and(|column| matches!(column.input, Input::Number { .. })))
            .any(|(cell, _)| shows_decimal_comma(cell))
    });
    if shows { Mark::Comma } else { Mark::Unknown }
}

fn remarks(separator: char, mark: Mark) -> impl Iterator<Item = String> {
    let separated = match separator {
        ';' => Some("semicolons between cells"),
        '\t' => Some("tabs between cells"),
        _ => None,
    };
    let marked = (mark == Mark::Comma).then_some("commas before decimals");
    separated.into_iter().chain(marked).map(str::to_owned)
}

fn ragged(line: u32, cells: usize, columns: usize) -> Problem {
    let (hint, example) = if cells > columns {
        ("quotes around a cell that holds a separator", "\"hail, light\"")
    } else {
        ("a separator for a blank cell too", "RB-1,,thin")
    };
    let expected = format!("{columns} cells, as in the header; {hint}");
    Problem::of_file(Some(line), &format!("{cells} cells"), &expected, example)
}

type RowResult = Result<(Place, Parsed), (Place, Option<NaiveDate>)>;

/// What is known of a file once its header is read.
struct Table<'a> {
    kind: FileKind,
    columns: &'a [Column],
    header: &'a [Option<Column>],
    mark: Mark,
    context: &'a Context<'a>,
}

impl Table<'_> {
    fn rows(&self, lines: Vec<Line>, problems: &mut Problems) -> (Vec<ReadRow>, Vec<UnreadRow>) {
        let mut prints = Prints::default();
        let mut names = BTreeMap::new();
        let (mut rows, mut unread) = (Vec::with_capacity(lines.len()), Vec::new());
        for line in lines {
            let number = line.number;
            let (place, parsed) = match self.row(line, problems) {
                Some(Ok(read)) => read,
                Some(Err((place, day))) => {
                    unread.push(UnreadRow { line: number, place, day });
                    continue;
                }
                None => continue,
            };
            if let Some(problem) = self.named_twice(number, &parsed, &mut names) {
                problems.add(problem);
                continue;
            }
            rows.push(ReadRow { line: number, print: prints.of(self.kind, &place, &parsed), place, parsed });
        }
        (rows, unread)
    }

    /// `None` for a line whose cells do not fit the header.
    fn row(&self, line: Line, problems: &mut Problems) -> Option<RowResult> {
        let (cells, columns) = (line.cells.len(), self.header.len());
        if cells != columns {
            problems.add(ragged(line.number, cells, columns));
            return None;
        }
        let mut named = Vec::with_capacity(cells);
        for (text, column) in line.cells.into_iter().zip(self.header) {
            match column {
                Some(column) => named.push(Cell::plain(column.name, text)),
                None if text.trim().is_empty() => {}
                None => {
                    let read = format!("\"{}\" in a column without a name", shown(text.trim()));
                    problems.add(Problem::of_file(Some(line.number), &read, "a name in the header", "note"));
                    return None;
                }
            }
        }
        let row = Row::new(self.columns, named, Some(line.number), self.mark, *self.context, problems);
        Some(kinds::read(self.kind, row))
    }

    /// A farm or block that stands twice in its file.
    fn named_twice(&self, line: u32, parsed: &Parsed, names: &mut BTreeMap<String, u32>) -> Option<Problem> {
        let (column, name) = match parsed {
            Parsed::Farm(farm) => ("farm", &farm.name),
            Parsed::Block { block, .. } => ("block", &block.code),
            Parsed::Record(_) => return None,
        };
        let first = names.insert(folded(name), line)?;
        Some(Problem {
            line: Some(line),
            column: Some(column.to_owned()),
            read: shown(name),
            expected: format!("each name once: line {first} of {} has it", self.kind.word()),
            example: String::new(),
        })
    }
}
