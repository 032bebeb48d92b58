//! Rows of canopy values.

use reckon::records::CanopyDay;

use crate::read::{Bad, number_or_none};

record_row! {
    Canopy, CanopyDay, "canopy",
    place { block_id: Uuid, }
    fields {
        kcb: Option<f64>,
        ground_cover: Option<f64>,
        height_m: Option<f64>,
        root_depth_m: Option<f64>,
    }
}

impl From<&CanopyDay> for Fields {
    fn from(day: &CanopyDay) -> Self {
        Self {
            day: day.date,
            note: day.note.clone(),
            kcb: day.kcb,
            ground_cover: day.ground_cover,
            height_m: day.height_m,
            root_depth_m: day.root_depth_m,
        }
    }
}

impl TryFrom<Fields> for CanopyDay {
    type Error = Bad;

    fn try_from(row: Fields) -> Result<Self, Bad> {
        Ok(Self {
            date: row.day,
            kcb: number_or_none(row.kcb, "kcb")?,
            ground_cover: number_or_none(row.ground_cover, "ground_cover")?,
            height_m: number_or_none(row.height_m, "height_m")?,
            root_depth_m: number_or_none(row.root_depth_m, "root_depth_m")?,
            note: row.note,
        })
    }
}
