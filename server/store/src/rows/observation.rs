//! Rows of bloom, hail, frost and the like.

use reckon::records::Observation;

use crate::read::{Bad, number_or_none};

record_row! {
    Observation, Observation, "observation",
    place { block_id: Uuid, }
    fields { what: String, share_pct: Option<f64>, }
}

impl From<&Observation> for Fields {
    fn from(seen: &Observation) -> Self {
        Self { day: seen.date, note: seen.note.clone(), what: seen.what.clone(), share_pct: seen.share_pct }
    }
}

impl TryFrom<Fields> for Observation {
    type Error = Bad;

    fn try_from(row: Fields) -> Result<Self, Bad> {
        Ok(Self {
            date: row.day,
            what: row.what,
            share_pct: number_or_none(row.share_pct, "share_pct")?,
            note: row.note,
        })
    }
}
