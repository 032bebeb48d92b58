//! In which words a record that is about to be kept looks like one of the book.

use reckon::records::{Likeness, Record};

/// What differs between the two, after a comma; nothing where nothing does.
pub(crate) fn differing(likeness: Likeness) -> String {
    match likeness {
        Likeness::Same => String::new(),
        Likeness::AllBut(what) => format!(", all but the {what}"),
        Likeness::Instead { what, counts } => format!(", with another {what}; of the two {counts} counts"),
    }
}

/// The figure of a rate or a price, as it is written in a file, between brackets.
pub(crate) fn figure(record: &Record) -> String {
    if !matches!(record, Record::Rate(_) | Record::Price(_)) {
        return String::new();
    }
    let cells = intake::print_record(record);
    let figure = cells.iter().find(|(name, _)| name.contains("usd") || name.contains("pct"));
    figure.map(|(_, text)| format!(" ({text})")).unwrap_or_default()
}
