//! Soil-water tension readings: what they say by texture, and whether the balance agrees.
//!
//! Readings never change the balance: no release curve by texture was found in a source, so both are
//! shown beside each other and a person decides.

use chrono::NaiveDate;

use crate::block::Block;
use crate::figure::{Gap, Kept, RecordKind, RecordRef};
use crate::records::TensionReading;
use crate::season::{SeasonRecords, TensionPoint};
use crate::{say, ties};

use super::run::WaterDay;
use super::sentence::{listed, worth_a_look};
use super::setup::Soil;
use super::totals::inches;

/// What a reading says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum TensionBand {
    /// Near saturation.
    Wet,
    /// Near field capacity.
    Moist,
    /// The usual range for starting a set.
    Irrigate,
    /// Drier than that: trees begin to feel it.
    Dry,
}

impl TensionBand {
    /// The words beside a reading.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Wet => "wet",
            Self::Moist => "moist enough",
            Self::Irrigate => "time to irrigate",
            Self::Dry => "dry",
        }
    }
}

/// Ends of the wet, moist and irrigate bands, kPa.
///
/// Common practice, no source, by texture. For medium soils they agree with the few published ranges
/// read: sets usually begin at 30 to 80 kPa (New Mexico State University), pears show stress at 50 to
/// 70 kPa (Washington State University, 2022).
pub const fn bands(soil: Soil) -> [f64; 3] {
    match soil {
        Soil::Sand | Soil::LoamySand => [10.0, 20.0, 40.0],
        Soil::SandyLoam | Soil::Loam | Soil::SiltLoam | Soil::Silt => [10.0, 30.0, 60.0],
        Soil::SiltyClayLoam | Soil::SiltyClay | Soil::Clay => [10.0, 60.0, 100.0],
    }
}

/// What a reading says in a soil.
pub fn band(soil: Soil, tension_kpa: f64) -> TensionBand {
    let [wet, moist, irrigate] = bands(soil);
    match () {
        () if tension_kpa < wet => TensionBand::Wet,
        () if tension_kpa < moist => TensionBand::Moist,
        () if tension_kpa <= irrigate => TensionBand::Irrigate,
        () => TensionBand::Dry,
    }
}

/// Each reading with its band, and the balance of that evening where there is one.
pub(super) fn points(records: &SeasonRecords, days: &[WaterDay]) -> Vec<TensionPoint> {
    let soil = soil_of(&records.block);
    let point = |read: &TensionReading| TensionPoint {
        date: read.date,
        depth: read.depth,
        tension: read.tension,
        band: band(soil, read.tension.get()),
        depletion: evening(days, read.date).map(|day| inches(day.dr_end_mm)),
    };
    in_order(records).into_iter().map(|kept| point(&kept.record)).collect()
}

/// By day, then depth and place.
fn in_order(records: &SeasonRecords) -> Vec<&Kept<TensionReading>> {
    let mut readings: Vec<&Kept<TensionReading>> = records.tension.iter().collect();
    let said = |read: &TensionReading| [Some(read.depth.get()), Some(read.tension.get())];
    readings.sort_by(|a, b| {
        let (one, other) = (&a.record, &b.record);
        let days = one.date.cmp(&other.date);
        days.then_with(|| ties::values(said(one), said(other)))
            .then_with(|| one.place.cmp(&other.place))
            .then(a.id.cmp(&b.id))
    });
    readings
}

fn soil_of(block: &Block) -> Soil {
    block.water.soil.unwrap_or(Soil::Loam)
}

/// Days follow one another, so a date's place is its distance from the first.
fn evening(days: &[WaterDay], date: NaiveDate) -> Option<&WaterDay> {
    let place = date.signed_duration_since(days.first()?.date).num_days();
    days.get(usize::try_from(place).ok()?)
}

/// Readings that say the opposite of the balance: dry where it has the roots nearly full, wet where
/// it has them past what is readily available.
pub(super) fn disagreement(records: &SeasonRecords, days: &[WaterDay]) -> Option<Gap> {
    let soil = soil_of(&records.block);
    let apart = |kept: &&Kept<TensionReading>| {
        let Some(day) = evening(days, kept.record.date) else { return false };
        match band(soil, kept.record.tension.get()) {
            TensionBand::Dry => day.dr_end_mm < 0.25 * day.raw_mm,
            TensionBand::Wet => day.dr_end_mm > day.raw_mm,
            TensionBand::Moist | TensionBand::Irrigate => false,
        }
    };
    let found: Vec<_> = in_order(records).into_iter().filter(apart).collect();
    let first = &found.first()?.record;
    let day = evening(days, first.date)?;
    let other =
        |kept: &&Kept<TensionReading>| format!("{} ({:.0} kPa)", say::day(kept.record.date), kept.record.tension.get());
    let others: Vec<String> = found.iter().skip(1).map(other).collect();
    let more = match others.len() {
        0 => String::new(),
        1 => format!(" So does the reading of {}.", listed(&others)),
        n => format!(" So do {n} other readings: {}.", listed(&others)),
    };
    let what = format!(
        "The reading of {} at {:.0} in in {} is {:.0} kPa, {}, but the balance has {:.1} in of {:.1} in readily available water used.{more}",
        say::day(first.date),
        first.depth.get(),
        records.block.code,
        first.tension.get(),
        band(soil, first.tension.get()).word(),
        inches(day.dr_end_mm).get(),
        inches(day.raw_mm).get(),
    );
    let records = found.iter().map(|kept| RecordRef { kind: RecordKind::Tension, id: kept.id }).collect();
    Some(worth_a_look(what, "Check the soil, the instrument, and the settings of soil and roots.", records))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_reading_says_more_in_sand_than_in_clay() {
        assert_eq!(band(Soil::Sand, 35.0), TensionBand::Irrigate);
        assert_eq!(band(Soil::Sand, 45.0), TensionBand::Dry);
        assert_eq!(band(Soil::Loam, 45.0), TensionBand::Irrigate);
        assert_eq!(band(Soil::Clay, 45.0), TensionBand::Moist);
        assert_eq!(band(Soil::Clay, 9.9), TensionBand::Wet);
    }

    #[test]
    fn bands_rise() {
        for soil in Soil::ALL {
            let [wet, moist, irrigate] = bands(soil);
            assert!(0.0 < wet && wet < moist && moist < irrigate);
        }
    }
}
