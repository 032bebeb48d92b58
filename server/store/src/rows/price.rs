//! Rows of the price list, the whole operation's.

use reckon::money::UnitPrice;
use reckon::records::PriceLine;

use crate::read::Bad;

record_row! {
    Price, PriceLine, "price",
    place { }
    fields {
        crop: Option<String>,
        size_class: Option<String>,
        grade: Option<String>,
        net_price_micros: i64,
    }
}

impl From<&PriceLine> for Fields {
    fn from(line: &PriceLine) -> Self {
        Self {
            day: line.from,
            note: line.note.clone(),
            crop: line.crop.clone(),
            size_class: line.size_class.clone(),
            grade: line.grade.clone(),
            net_price_micros: line.net_price.micros(),
        }
    }
}

impl TryFrom<Fields> for PriceLine {
    type Error = Bad;

    fn try_from(row: Fields) -> Result<Self, Bad> {
        Ok(Self {
            from: row.day,
            crop: row.crop,
            size_class: row.size_class,
            grade: row.grade,
            net_price: UnitPrice::from_micros(row.net_price_micros),
            note: row.note,
        })
    }
}
