//! Rows of fruit counted before and after thinning.

use reckon::records::{FruitCount, ThinningMethod};
use reckon::units::Inches;

use crate::read::{Bad, count_or_none, measure_or_none, word_or_none};

record_row! {
    FruitCount, FruitCount, "fruit_count",
    place { block_id: Uuid, }
    fields {
        sample: String,
        branch: bool,
        fruit_before: Option<i64>,
        fruit_after: Option<i64>,
        shoot_in: Option<f64>,
        fruit_diameter_in: Option<f64>,
        method: Option<String>,
    }
}

impl From<&FruitCount> for Fields {
    fn from(count: &FruitCount) -> Self {
        Self {
            day: count.date,
            note: count.note.clone(),
            sample: count.sample.clone(),
            branch: count.branch,
            fruit_before: count.before.map(i64::from),
            fruit_after: count.after.map(i64::from),
            shoot_in: count.shoot.map(Inches::get),
            fruit_diameter_in: count.fruit_diameter.map(Inches::get),
            method: count.method.map(|method| method.word().to_owned()),
        }
    }
}

impl TryFrom<Fields> for FruitCount {
    type Error = Bad;

    fn try_from(row: Fields) -> Result<Self, Bad> {
        Ok(Self {
            date: row.day,
            sample: row.sample,
            branch: row.branch,
            before: count_or_none(row.fruit_before, "fruit_before")?,
            after: count_or_none(row.fruit_after, "fruit_after")?,
            shoot: measure_or_none(row.shoot_in, Inches::new, "shoot_in")?,
            fruit_diameter: measure_or_none(row.fruit_diameter_in, Inches::new, "fruit_diameter_in")?,
            method: word_or_none(&ThinningMethod::ALL, ThinningMethod::word, row.method.as_deref(), "method")?,
            note: row.note,
        })
    }
}
