//! Rows of picks.

use reckon::exact::{Bins, Pounds};
use reckon::records::Pick;

use crate::read::{Bad, ordinal_or_none};

record_row! {
    Pick, Pick, "pick",
    place { block_id: Uuid, }
    fields {
        pick_number: Option<i64>,
        bins_micros: Option<i64>,
        lugs_micros: Option<i64>,
        weight_lb_micros: Option<i64>,
    }
}

impl From<&Pick> for Fields {
    fn from(pick: &Pick) -> Self {
        Self {
            day: pick.date,
            note: pick.note.clone(),
            pick_number: pick.pick.map(i64::from),
            bins_micros: pick.bins.map(Bins::micros),
            lugs_micros: pick.lugs.map(Bins::micros),
            weight_lb_micros: pick.weight.map(Pounds::micros),
        }
    }
}

impl TryFrom<Fields> for Pick {
    type Error = Bad;

    fn try_from(row: Fields) -> Result<Self, Bad> {
        Ok(Self {
            date: row.day,
            pick: ordinal_or_none(row.pick_number, "pick_number")?,
            bins: row.bins_micros.map(Bins::from_micros),
            lugs: row.lugs_micros.map(Bins::from_micros),
            weight: row.weight_lb_micros.map(Pounds::from_micros),
            note: row.note,
        })
    }
}
