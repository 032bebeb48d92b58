//! `seasonbook compare FILE.csv`: methods held against each other, by the same code as the pages.

use std::path::PathBuf;

use reckon::compare::Pairing;

use super::reckon_folder::print_json;
use crate::trouble::Trouble;

/// Compare methods from a table; prints means, intervals and differences as JSON.
///
/// Columns: unit (a block-season, or whatever was measured), method, value; and block, where units of
/// several methods stand together in blocks. Everything is of one value for each block, the mean of its
/// units; without blocks each unit is its own. Units (or blocks) that have both methods are paired.
#[derive(Debug, clap::Args)]
pub(crate) struct Compare {
    /// The CSV file.
    file: PathBuf,
}

impl Compare {
    pub(crate) fn run(&self) -> Result<(), Trouble> {
        let bytes = std::fs::read(&self.file).map_err(|source| Trouble::file("read", &self.file, source))?;
        let values = intake::read_method_values(&bytes)
            .map_err(|problems| Trouble::Input(problems.iter().map(ToString::to_string).collect()))?;
        let table = reckon::compare::methods(&values.values, Pairing::SharedUnits);
        print_json(&print::json::method_table(&values.put_back(table)))
    }
}
