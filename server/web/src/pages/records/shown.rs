//! A record as it is shown: its day, its filled columns, who kept it, and from which file and line.

use intake::{Column, Input};
use reckon::records::Record;
use rust_decimal::Decimal;
use store::{BlockId, StoredRecord, Target};
use uuid::Uuid;

use super::List;
use crate::display;

/// Decimals of a measure in a list.
const MEASURE_PLACES: u32 = 3;

/// A record as it is shown.
#[derive(Debug, Clone)]
pub(super) struct Shown {
    pub(super) id: Uuid,
    /// The block it belongs to, if one: its own list is there.
    pub(super) block: Option<BlockId>,
    pub(super) day: String,
    /// "July 2026".
    pub(super) month: String,
    /// Whether its month is named above it.
    pub(super) begins_month: bool,
    /// The filled columns, in order.
    pub(super) cells: Vec<(Column, String)>,
    pub(super) author: String,
    pub(super) kept: String,
    /// File and line it came from.
    pub(super) from: Option<String>,
}

impl Shown {
    pub(super) fn cell(&self, column: &Column) -> &str {
        self.cells.iter().find(|(known, _)| known == column).map_or("", |(_, text)| text)
    }
}

/// A record in the words of its columns.
pub(super) fn shown(list: &List, stored: &StoredRecord) -> Shown {
    let mut written = list.written(stored);
    // A form asks for one of the two; a list shows both.
    if let Record::Labor(entry) = &stored.record
        && let Some(hours) = entry.hours.filter(|_| entry.hours_each.is_some())
    {
        written.push(("hours".to_owned(), hours.to_string()));
    }
    let cell = |column: Column| {
        let (_, text) = written.iter().find(|(name, _)| name == column.name)?;
        (!text.is_empty() && column.input != Input::Date).then(|| (column, said(&column, text)))
    };
    let day = stored.record.date();
    Shown {
        id: stored.id,
        block: if let Target::Block(block) = stored.target { Some(block) } else { None },
        day: display::full_day(day),
        month: display::month_of(day),
        begins_month: false,
        cells: list.all_columns().into_iter().filter_map(cell).collect(),
        author: stored.author.clone(),
        kept: display::full_day(stored.kept_at.date_naive()),
        from: stored.from_file.as_ref().map(|(file, line)| format!("{file}, line {line}")),
    }
}

/// Numbers with their thousands apart and a real minus. Money and its rates stand as they are kept;
/// a measure turned from another unit ("64 °F") does not need its ninth decimal to be looked over.
fn said(column: &Column, text: &str) -> String {
    match (column.input, text.parse::<Decimal>()) {
        (Input::Number { .. }, Ok(number)) => {
            let exact = ["usd", "pct"].iter().any(|part| column.name.contains(part));
            if exact {
                return print::figures::decimal(number, number.scale());
            }
            let text = print::figures::decimal(number, number.scale().min(MEASURE_PLACES));
            if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
        }
        _ => text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use intake::{FileKind, columns};
    use reckon::figure::RecordKind;

    use super::*;

    #[test]
    fn numbers_are_grouped_and_words_left_alone() {
        let costs = columns(FileKind::Records(RecordKind::Cost));
        let column = |name| costs.iter().find(|column| column.name == name).unwrap();
        let (amount, note) = (column("amount_usd"), column("note"));
        assert_eq!(said(amount, "10148.49"), "10,148.49");
        assert_eq!(said(amount, "-1250.00"), "\u{2212}1,250.00");
        assert_eq!(said(note, "2026"), "2026");
        let weather = columns(FileKind::Records(RecordKind::Weather));
        let warmest = weather.iter().find(|column| column.name == "tmax_f").unwrap();
        assert_eq!(said(warmest, "87.999999"), "88");
        assert_eq!(said(warmest, "65.6666"), "65.667");
        assert_eq!(said(amount, "about 12"), "about 12");
    }
}
