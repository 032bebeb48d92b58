//! Bloom, hail, frost and the like.

use reckon::records::Observation;

use crate::column::{BLOCK, Column, NOTE, day, number, text};
use crate::kinds::Printed;
use crate::row::{DateRule, PERCENT, Row};

pub(super) const COLUMNS: &[Column] = &[
    day("date", "Day", "The day."),
    BLOCK,
    text("what", "What", "What was seen: full bloom, hail, frost, broken limbs.", "full bloom").required(),
    number("share_pct", "Share of the crop hurt", "%", "Percent of the crop hurt. Blank = not estimated.", "15"),
    NOTE,
];

pub(super) fn read(row: &mut Row<'_>) -> Option<Observation> {
    let date = row.date("date", DateRule::InSeason);
    let share_pct = row.float("share_pct", PERCENT);
    Some(Observation { date: date?, what: row.maybe_text("what")?, share_pct, note: row.text("note") })
}

pub(super) fn print(seen: &Observation) -> Vec<(&'static str, String)> {
    Printed::default()
        .put("date", seen.date)
        .text("what", &seen.what)
        .maybe_float("share_pct", seen.share_pct)
        .text("note", &seen.note)
        .done()
}
