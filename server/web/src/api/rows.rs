//! The objects of a request as the rows of a file, and back from a line of the file to its object.
//!
//! Written as a file so that there is one way in: whatever is said about a row of a file is said about
//! an object, by the same code.

use std::collections::BTreeMap;

use csv::{QuoteStyle, WriterBuilder};
use intake::{FileKind, Problem, column_named, columns};

use super::asked::Object;
use crate::error::PageError;

/// A request as a file.
pub(super) struct Rows {
    /// The file.
    pub(super) bytes: Vec<u8>,
    /// The line each object begins at.
    lines: Vec<u32>,
    header: Header,
}

/// The columns that the objects fill, and the required ones.
#[derive(Default)]
struct Header {
    columns: Vec<Named>,
    /// By name, and how often it stood before in the same object.
    places: BTreeMap<(String, usize), usize>,
}

/// A column of the file.
struct Named {
    name: String,
    /// The first object that fills it, the first being 1; 1 for a required one.
    first: usize,
}

impl Header {
    fn of(kind: FileKind, objects: &[Object]) -> Self {
        let mut header = Self::default();
        for column in columns(kind).into_iter().filter(|column| column.required) {
            header.place(column.name.to_owned(), 0, 1);
        }
        for (n, object) in (1..).zip(objects) {
            for (name, before) in names(kind, object) {
                header.place(name, before, n);
            }
        }
        header
    }

    fn place(&mut self, name: String, before: usize, first: usize) {
        let next = self.columns.len();
        let place = *self.places.entry((name.clone(), before)).or_insert(next);
        if place == next {
            self.columns.push(Named { name, first });
        }
    }
}

/// The keys of an object as names of columns, each with how often it stood before: a key given twice
/// is a column given twice, which intake refuses.
fn names(kind: FileKind, object: &Object) -> impl Iterator<Item = (String, usize)> {
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    object.0.iter().map(move |(key, _)| {
        let name = column_named(kind, key).map_or_else(|| key.clone(), |column| column.name.to_owned());
        let times = seen.entry(name.clone()).or_default();
        *times += 1;
        (name, *times - 1)
    })
}

impl Rows {
    /// Writes the objects as a file of at most `limit` bytes.
    ///
    /// # Errors
    /// `too_large` where the file would not fit.
    pub(super) fn of(
        kind: FileKind,
        objects: &[Object],
        limit: usize,
        too_large: PageError,
    ) -> Result<Self, PageError> {
        let header = Header::of(kind, objects);
        // Quotes around every cell: no text of a cell is taken for a separator.
        let mut writer = WriterBuilder::new().quote_style(QuoteStyle::Always).from_writer(Vec::new());
        writer.write_record(header.columns.iter().map(|column| &column.name)).map_err(PageError::inside)?;
        let mut line = header.columns.iter().fold(2, |line: u32, column| line.saturating_add(breaks(&column.name)));
        let (mut lines, mut size) = (Vec::with_capacity(objects.len()), 0);
        for object in objects {
            lines.push(line);
            let mut cells = vec![""; header.columns.len()];
            for ((_, cell), name) in object.0.iter().zip(names(kind, object)) {
                if let Some(place) = header.places.get(&name).and_then(|place| cells.get_mut(*place)) {
                    *place = cell.text();
                }
            }
            // Two quotes and a separator around each.
            size += cells.iter().map(|cell| cell.len() + 3).sum::<usize>();
            if size > limit {
                return Err(too_large);
            }
            line = cells.iter().fold(line, |line, cell| line.saturating_add(breaks(cell))).saturating_add(1);
            writer.write_record(&cells).map_err(PageError::inside)?;
        }
        let bytes = writer.into_inner().map_err(|error| PageError::inside(error.into_error()))?;
        Ok(Self { bytes, lines, header })
    }

    /// The object a problem is about, the first being 1; `None` where it is about all of them.
    pub(super) fn of_problem(&self, problem: &Problem) -> Option<usize> {
        let line = problem.line?;
        self.of_line(line).or_else(|| {
            let name = problem.column.as_deref()?;
            self.header.columns.iter().rev().find(|column| as_said(&column.name) == name).map(|column| column.first)
        })
    }

    /// The object that stands at a line; `None` for the header.
    pub(super) fn of_line(&self, line: u32) -> Option<usize> {
        Some(self.lines.partition_point(|first| *first <= line)).filter(|n| *n > 0)
    }
}

/// A key as a problem says it: shortened, without control characters.
fn as_said(key: &str) -> String {
    Problem::at(None, "", key.trim(), String::new(), "").read
}

/// Line breaks within a cell; `\r\n` is one.
fn breaks(cell: &str) -> u32 {
    let alone = cell.replace("\r\n", "\n");
    u32::try_from(alone.bytes().filter(|byte| matches!(byte, b'\n' | b'\r')).count()).unwrap_or(u32::MAX)
}
