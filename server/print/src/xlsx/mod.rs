//! A season as a spreadsheet for the books: the same figures as pages and reports, as plain values.
//!
//! Money is a number with its cents, a day is a day, and how each figure is known stands beside it.
//! There is no formula in the file: what a person typed is text, whatever it begins with, and a sum is
//! the sum that the reckoning made. The same season and day give the same bytes.

mod block;
mod operation;
mod operation_methods;
mod parts;
mod table;
#[cfg(test)]
mod tests;

use chrono::NaiveDate;
use reckon::operation_season::{CostLine, OperationSeason};
use reckon::season::BlockSeason;

use crate::report::Standing;
pub use table::SpreadsheetError;

/// The season of a block. `costs` are its part of each cost; `made_on` is the day in the file.
///
/// # Errors
/// [`SpreadsheetError`] for a season that no spreadsheet holds: more than a million rows.
pub fn block(season: &BlockSeason, costs: &[CostLine], made_on: NaiveDate) -> Result<Vec<u8>, SpreadsheetError> {
    let title = format!("{}, season {}", crate::report::title(season), season.heading.season.year);
    table::write(&title, made_on, &block::sheets(season, costs, made_on))
}

/// The season of an operation; `standing` tells which issue of it this is.
///
/// # Errors
/// As [`block`].
pub fn operation(
    season: &OperationSeason,
    made_on: NaiveDate,
    standing: &Standing,
) -> Result<Vec<u8>, SpreadsheetError> {
    let title = format!("{}, season {}", season.operation, season.season.year);
    table::write(&title, made_on, &operation::sheets(season, made_on, standing))
}
