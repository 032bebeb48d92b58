//! Reading the tables in `fixtures/published`.

use std::collections::BTreeMap;
use std::path::PathBuf;

/// A row of a table, by column name.
#[derive(Debug)]
pub(crate) struct Row(BTreeMap<String, String>);

impl Row {
    /// The cell's text.
    pub(crate) fn text(&self, column: &str) -> &str {
        self.0.get(column).unwrap_or_else(|| panic!("no column {column}"))
    }

    /// The cell's number; `None` when it is empty.
    pub(crate) fn maybe(&self, column: &str) -> Option<f64> {
        let text = self.text(column);
        (!text.is_empty()).then(|| text.parse().unwrap_or_else(|e| panic!("{column} holds {text}: {e}")))
    }

    /// The cell's number.
    pub(crate) fn number(&self, column: &str) -> f64 {
        self.maybe(column).unwrap_or_else(|| panic!("{column} is empty"))
    }
}

/// A file under `fixtures/published`.
pub(crate) fn path(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../fixtures/published").join(name)
}

/// Every row of a CSV table.
pub(crate) fn table(name: &str) -> Vec<Row> {
    let mut reader = csv::Reader::from_path(path(name)).unwrap_or_else(|e| panic!("{name}: {e}"));
    let rows = reader.deserialize().map(|row| Row(row.unwrap_or_else(|e| panic!("{name}: {e}"))));
    rows.collect()
}

/// A TOML file.
pub(crate) fn toml(name: &str) -> toml::Table {
    let text = std::fs::read_to_string(path(name)).unwrap_or_else(|e| panic!("{name}: {e}"));
    text.parse().unwrap_or_else(|e| panic!("{name}: {e}"))
}

/// The number at a dotted place of a TOML file: `soil.TEW_mm`.
pub(crate) fn number(table: &toml::Table, place: &str) -> f64 {
    let mut parts = place.split('.');
    let first = parts.next().and_then(|key| table.get(key));
    let value = parts.try_fold(first.unwrap_or_else(|| panic!("no {place}")), |value, key| value.get(key));
    match value.unwrap_or_else(|| panic!("no {place}")) {
        toml::Value::Float(number) => *number,
        toml::Value::Integer(number) => f64::from(i32::try_from(*number).unwrap()),
        other => panic!("{place} holds {other}"),
    }
}

/// Fails unless two numbers are this close.
#[track_caller]
pub(crate) fn close(what: &str, ours: f64, theirs: f64, tolerance: f64) {
    assert!((ours - theirs).abs() <= tolerance, "{what}: {ours} is not {theirs} within {tolerance}");
}
