//! The table of outside checks, built into the program from `fixtures/published/checks.csv`.

use csv::{ReaderBuilder, StringRecord};

use crate::display::shown;

const TABLE: &str = include_str!("../../../../../fixtures/published/checks.csv");

/// One source and what is checked against it.
pub(super) struct Source {
    /// Title and year.
    pub(super) title: String,
    /// In the order of the table.
    pub(super) checks: Vec<Check>,
}

impl Source {
    /// Whether it is nobody's: a fact of the trade.
    pub(super) fn is_practice(&self) -> bool {
        self.title.starts_with("common practice")
    }
}

/// One published value beside ours.
pub(super) struct Check {
    pub(super) id: String,
    pub(super) what: String,
    /// Page or table of the source.
    pub(super) place: String,
    pub(super) unit: String,
    pub(super) published: String,
    /// What our reckoning gives; the mark for not known where the table leaves it to the tests.
    pub(super) ours: String,
    /// How far apart they may lie.
    pub(super) within: String,
    /// How the published value is known: read, derived, inferred.
    pub(super) mark: String,
}

/// Every check, by source in the order in which the sources first stand in the table.
pub(super) fn by_source() -> Result<Vec<Source>, csv::Error> {
    let mut sources: Vec<Source> = Vec::new();
    for row in ReaderBuilder::new().from_reader(TABLE.as_bytes()).into_records() {
        let (title, check) = read(&row?);
        match sources.iter_mut().find(|source| source.title == title) {
            Some(source) => source.checks.push(check),
            None => sources.push(Source { title, checks: vec![check] }),
        }
    }
    Ok(sources)
}

/// Columns: id, what, source, where, unit, published, ours, tolerance, mark. The reader has
/// already refused a row with more or fewer.
fn read(row: &StringRecord) -> (String, Check) {
    let cell = |column| row.get(column).unwrap_or_default().trim();
    let number = |column| shown(Some(cell(column).to_owned()).filter(|text| !text.is_empty()));
    let check = Check {
        id: cell(0).to_owned(),
        what: cell(1).to_owned(),
        place: cell(3).to_owned(),
        unit: cell(4).to_owned(),
        published: written(&number(5)),
        ours: written(&number(6)),
        within: if cell(7) == "0" { "equal".to_owned() } else { format!("±{}", cell(7)) },
        mark: cell(8).to_owned(),
    };
    (cell(2).to_owned(), check)
}

/// As numbers are written on pages, with the places they were published with.
fn written(text: &str) -> String {
    text.parse::<rust_decimal::Decimal>()
        .map_or_else(|_| text.to_owned(), |value| print::figures::decimal(value, value.scale()))
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn the_table_has_the_columns_that_are_read() {
        let head = TABLE.lines().next().unwrap();
        assert_eq!(head, "id,what,source,where,unit,published,ours,tolerance,mark");
    }

    #[test]
    fn every_check_says_what_it_is_and_where_it_stands() {
        let sources = by_source().unwrap();
        assert!(sources.len() > 3, "{}", sources.len());
        let mut ids = BTreeSet::new();
        for source in &sources {
            assert!(!source.title.is_empty());
            for check in &source.checks {
                assert!(ids.insert(check.id.clone()), "{} stands twice", check.id);
                for text in [&check.what, &check.place, &check.unit, &check.published, &check.mark] {
                    assert!(!text.is_empty(), "{}", check.id);
                }
            }
        }
    }

    #[test]
    fn numbers_keep_their_places() {
        for (read, shown) in
            [("14400", "14,400"), ("588.00", "588.00"), ("0.18889", "0.18889"), ("-3", "−3"), ("–", "–")]
        {
            assert_eq!(written(read), shown);
        }
    }
}
