//! Gaps on water, and the records they speak of.

use rust_decimal::Decimal;

use crate::figure::{Gap, GapAbout, Kept, RecordKind, RecordRef};
use crate::records::IrrigationSet;
use crate::say;

/// A gap that leaves a figure incomplete or resting on an assumption.
pub(super) fn missing(what: String, mend: &str, records: Vec<RecordRef>) -> Gap {
    say::missing(GapAbout::Water, what, mend, records)
}

/// A remark: the figures stand, a person should look.
pub(super) fn worth_a_look(what: String, mend: &str, records: Vec<RecordRef>) -> Gap {
    say::worth_a_look(GapAbout::Water, what, mend, records)
}

/// "1 day", "4 days".
pub(super) fn counted(n: usize, one: &str, many: &str) -> String {
    say::counted(Decimal::from(n), one, many)
}

/// Others beside the one a sentence names, each with its day and amount; of many the first four.
pub(super) fn listed(others: &[String]) -> String {
    const NAMED: usize = 4;
    let named: Vec<&str> = others.iter().take(NAMED).map(String::as_str).collect();
    match others.len().saturating_sub(NAMED) {
        0 => named.join(", "),
        more => format!("{} and {more} more", named.join(", ")),
    }
}

/// A meter's reading with its thousands apart.
pub(super) fn number(reading: f64) -> String {
    let plain = reading.to_string();
    plain.parse().map_or(plain, say::number)
}

/// The reference to a set of irrigation.
pub(super) fn set_ref(set: &Kept<IrrigationSet>) -> RecordRef {
    RecordRef { kind: RecordKind::Irrigation, id: set.id }
}
