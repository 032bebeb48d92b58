//! Rows of the operation's own sizes.

use reckon::records::OwnSize;

use crate::read::{Bad, count_or_none, given};

record_row! {
    Size, OwnSize, "own_size",
    place { }
    fields {
        crop: Option<String>,
        size_class: String,
        place_in_list: i64,
        means: Option<String>,
    }
}

impl From<&OwnSize> for Fields {
    fn from(size: &OwnSize) -> Self {
        Self {
            day: size.from,
            note: size.note.clone(),
            crop: size.crop.clone(),
            size_class: size.size_class.clone(),
            place_in_list: size.place.into(),
            means: size.means.clone(),
        }
    }
}

impl TryFrom<Fields> for OwnSize {
    type Error = Bad;

    fn try_from(row: Fields) -> Result<Self, Bad> {
        const PLACE: &str = "place_in_list";
        Ok(Self {
            from: row.day,
            crop: row.crop,
            size_class: row.size_class,
            place: given(count_or_none(Some(row.place_in_list), PLACE)?, PLACE)?,
            means: row.means,
            note: row.note,
        })
    }
}
