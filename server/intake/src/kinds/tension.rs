//! Soil-water tension readings.

use reckon::records::TensionReading;
use reckon::units::{Inches, Kilopascals};

use crate::column::{BLOCK, Column, NOTE, day, number, text};
use crate::kinds::Printed;
use crate::row::{DateRule, Row, above, from};

pub(super) const COLUMNS: &[Column] = &[
    day("date", "Day", "Day of the reading."),
    BLOCK,
    text("place", "Place", "Name of the place or instrument. Blank = not said.", "row 8, north end"),
    number("depth_in", "Depth", "in", "Depth of the instrument in inches.", "18").required(),
    number("tension_kpa", "Tension", "kPa", "Tension in kilopascals; one kilopascal is one centibar.", "42").required(),
    NOTE,
];

pub(super) fn read(row: &mut Row<'_>) -> Option<TensionReading> {
    let date = row.date("date", DateRule::InSeason);
    let depth = row.float("depth_in", above(0.0).up_to(400.0));
    let tension = row.float("tension_kpa", from(0.0).up_to(10_000.0));
    Some(TensionReading {
        date: date?,
        place: row.text("place"),
        depth: Inches::of(depth?),
        tension: Kilopascals::of(tension?),
        note: row.text("note"),
    })
}

pub(super) fn print(reading: &TensionReading) -> Vec<(&'static str, String)> {
    Printed::default()
        .put("date", reading.date)
        .text("place", &reading.place)
        .float("depth_in", reading.depth.get())
        .float("tension_kpa", reading.tension.get())
        .text("note", &reading.note)
        .done()
}
