//! Bytes or form fields to typed, checked records, or problems with their place.
//!
//! One parser serves CSV files, forms and folders. A row is a list of columns with text; each kind
//! of record has a table of columns and one function from a row to a record (`kinds/`). Nothing
//! is guessed: what cannot be read one way only is a [`Problem`] that says what was read, where,
//! what was expected, and an example.
//!
//! Pure: no input or output, no clock, no chance. Start at [`read_file`], [`read_form`] or
//! [`read_folder`].

#![warn(missing_docs)]

mod ask;
mod bytes;
mod column;
mod digest;
mod field_rules;
mod file;
mod folder;
mod form;
mod formats;
mod kinds;
mod method_values;
mod nearest;
mod number;
mod place;
mod problem;
mod row;
mod setting_fields;
mod table;
mod toml_file;
mod us_units;
mod written;

pub use ask::{Beside, Question, questions};
pub use column::{Column, Input};
pub use field_rules::{field_rule_columns, print_field_rules, read_field_rules};
pub use file::{FileDraft, FileRead, ReadRow, UnreadRow, blank, column_named, read_draft, read_file};
pub use folder::{FolderProblem, read_folder};
pub use form::{Fields, read_form};
pub use formats::formats;
pub use kinds::{FileKind, Parsed, columns, print, print_record};
pub use method_values::{METHOD_COLUMNS, MethodValues, read_method_values};
pub use nearest::nearest;
pub use place::Place;
pub use problem::{MOST_PROBLEMS, Problem};
pub use setting_fields::{SettingField, read_setting_fields, setting_fields};
pub use us_units::in_us_units;

use reckon::block::{Block, Season};

/// What is known before a row is read.
#[derive(Debug, Clone, Copy, Default)]
pub struct Context<'a> {
    /// The season the records must fall in; `None` leaves that to the store.
    pub season: Option<&'a Season>,
    /// The block they belong to, when a form or a folder is about one block. A `block` column may
    /// then be blank or left out, and must name this block where it is filled.
    pub block: Option<&'a Block>,
}

#[cfg(test)]
mod tests;
