//! `seasonbook compare FILE.csv`: methods held against each other, by the same code as the pages.

use std::path::PathBuf;

use super::reckon_folder::print_json;
use crate::trouble::Trouble;

/// Compare methods from a table; prints means, intervals and differences as JSON.
///
/// Columns: unit (a block-season, or whatever was measured), method, value. Paired differences are
/// made where every unit has both methods.
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
        let table = reckon::compare::methods(&values, reckon::compare::Pairing::EveryUnit);
        print_json(&print::json::method_table(&table))
    }
}
