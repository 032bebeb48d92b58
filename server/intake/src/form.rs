//! A form's fields, read by the same functions as a line of a file.

use crate::Context;
use crate::kinds::{FileKind, Parsed, columns};
use crate::number::Mark;
use crate::place::Place;
use crate::problem::{Problem, Problems};
use crate::row::{Cell, Row};

/// What was typed: field names and their text.
pub type Fields = Vec<(String, String)>;

/// Reads one record from a form. Fields that are no column of the kind are left alone (a form
/// carries fields of its own); a column given twice is a problem.
///
/// # Errors
/// Every problem of the form, each with its column.
pub fn read_form(
    kind: FileKind,
    fields: &[(String, String)],
    context: &Context<'_>,
) -> Result<(Place, Parsed), Vec<Problem>> {
    let columns = columns(kind);
    let cells = fields.iter().filter_map(|(name, text)| {
        let column = columns.iter().find(|column| column.name == name)?;
        Some(Cell::plain(column.name, text.clone()))
    });
    let mut problems = Problems::default();
    let row = Row::new(&columns, cells.collect(), None, Mark::Point, *context, &mut problems);
    crate::kinds::read(kind, row).map_err(|_| problems.into_list())
}
