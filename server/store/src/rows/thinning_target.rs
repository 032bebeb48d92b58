//! Rows of the operation's thinning targets.

use reckon::block::MonthDay;
use reckon::records::{FruitWanted, ThinningTarget};
use reckon::units::{FruitPerAcre, FruitPerTree, Inches};

use crate::read::{Bad, measure_or_none};
use crate::tables::places::{month_day, month_times_100_plus_day};

record_row! {
    ThinningTarget, ThinningTarget, "thinning_target",
    place { }
    fields {
        crop: Option<String>,
        ripening_from: Option<i64>,
        ripening_to: Option<i64>,
        fruit_per_tree: Option<f64>,
        fruit_per_acre: Option<f64>,
        spacing_in: Option<f64>,
    }
}

impl From<&ThinningTarget> for Fields {
    fn from(target: &ThinningTarget) -> Self {
        let (fruit_per_tree, fruit_per_acre) = match target.fruit {
            Some(FruitWanted::Tree(fruit)) => (Some(fruit.get()), None),
            Some(FruitWanted::Acre(fruit)) => (None, Some(fruit.get())),
            None => (None, None),
        };
        Self {
            day: target.from,
            note: target.note.clone(),
            crop: target.crop.clone(),
            ripening_from: target.ripening.map(|(first, _)| month_times_100_plus_day(first)),
            ripening_to: target.ripening.map(|(_, last)| month_times_100_plus_day(last)),
            fruit_per_tree,
            fruit_per_acre,
            spacing_in: target.spacing.map(Inches::get),
        }
    }
}

impl TryFrom<Fields> for ThinningTarget {
    type Error = Bad;

    fn try_from(row: Fields) -> Result<Self, Bad> {
        let ripening: Option<(MonthDay, MonthDay)> = match (row.ripening_from, row.ripening_to) {
            (None, None) => None,
            (from, to) => Some((month_day(from, "ripening_from")?, month_day(to, "ripening_to")?)),
        };
        let tree = measure_or_none(row.fruit_per_tree, FruitPerTree::new, "fruit_per_tree")?;
        let acre = measure_or_none(row.fruit_per_acre, FruitPerAcre::new, "fruit_per_acre")?;
        Ok(Self {
            from: row.day,
            crop: row.crop,
            ripening,
            fruit: tree.map(FruitWanted::Tree).or(acre.map(FruitWanted::Acre)),
            spacing: measure_or_none(row.spacing_in, Inches::new, "spacing_in")?,
            note: row.note,
        })
    }
}
