//! Rows of soil-water tension readings.

use reckon::records::TensionReading;
use reckon::units::{Inches, Kilopascals};

use crate::read::{Bad, measure};

record_row! {
    Tension, TensionReading, "tension",
    place { block_id: Uuid, }
    fields { place: String, depth_in: f64, tension_kpa: f64, }
}

impl From<&TensionReading> for Fields {
    fn from(reading: &TensionReading) -> Self {
        Self {
            day: reading.date,
            note: reading.note.clone(),
            place: reading.place.clone(),
            depth_in: reading.depth.get(),
            tension_kpa: reading.tension.get(),
        }
    }
}

impl TryFrom<Fields> for TensionReading {
    type Error = Bad;

    fn try_from(row: Fields) -> Result<Self, Bad> {
        Ok(Self {
            date: row.day,
            place: row.place,
            depth: measure(row.depth_in, Inches::new, "depth_in")?,
            tension: measure(row.tension_kpa, Kilopascals::new, "tension_kpa")?,
            note: row.note,
        })
    }
}
