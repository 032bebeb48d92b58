//! Water, weather, canopy and mulch.

use chrono::NaiveDate;

use crate::exact::{Hours, Years};
use crate::money::Money;
use crate::units::{
    Celsius, Feet, GallonsPerHour, Inches, Kilopascals, MegajoulesPerSquareMetre, MetresPerSecond, Millimetres,
};

/// Unit of a water meter's register.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MeterUnit {
    /// US gallons.
    Gallons,
    /// Acre-inches.
    AcreInches,
    /// Acre-feet.
    AcreFeet,
    /// Cubic metres.
    CubicMetres,
    /// Hundreds of cubic feet.
    HundredCubicFeet,
}

impl MeterUnit {
    /// Every unit.
    pub const ALL: [Self; 5] =
        [Self::Gallons, Self::AcreInches, Self::AcreFeet, Self::CubicMetres, Self::HundredCubicFeet];

    /// The word in a CSV cell.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Gallons => "gal",
            Self::AcreInches => "acre-in",
            Self::AcreFeet => "acre-ft",
            Self::CubicMetres => "m3",
            Self::HundredCubicFeet => "100 ft3",
        }
    }
}

/// How the water of a set is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Applied {
    /// Difference of two meter readings.
    Meter {
        /// Reading before the set.
        start: f64,
        /// Reading after the set.
        end: f64,
        /// Register's unit.
        unit: MeterUnit,
        /// The register shows zero again at this number (100,000 for five digits).
        rolls_at: Option<f64>,
        /// Last reading of the old meter and first of the new, when it was replaced during the set.
        replaced: Option<(f64, f64)>,
    },
    /// Hours of running at a known flow.
    Runtime {
        /// Length of the set.
        hours: Hours,
        /// Flow of one emitter; `None` takes the block's.
        flow: Option<GallonsPerHour>,
        /// Emitters running; `None` takes the block's.
        emitters: Option<u32>,
    },
    /// A depth over the block, as read from a gauge or given by the district.
    Depth(Inches),
}

/// One set of irrigation, gross (before losses).
#[derive(Debug, Clone, PartialEq)]
pub struct IrrigationSet {
    /// Day the water was applied.
    pub date: NaiveDate,
    /// How much, and how it is known.
    pub applied: Applied,
    /// Free text.
    pub note: String,
}

/// A soil-water tension reading.
#[derive(Debug, Clone, PartialEq)]
pub struct TensionReading {
    /// Day of the reading.
    pub date: NaiveDate,
    /// Name of the place or instrument; may be empty.
    pub place: String,
    /// Depth of the instrument.
    pub depth: Inches,
    /// Tension; 1 kPa = 1 centibar.
    pub tension: Kilopascals,
    /// Free text.
    pub note: String,
}

/// A day at a weather station. Fields that the station does not measure are `None`.
#[derive(Debug, Clone, PartialEq)]
pub struct WeatherDay {
    /// The day.
    pub date: NaiveDate,
    /// Highest air temperature.
    pub t_max: Option<Celsius>,
    /// Lowest air temperature.
    pub t_min: Option<Celsius>,
    /// Rain.
    pub rain: Option<Millimetres>,
    /// Rain that ran off before it could soak in.
    pub runoff: Option<Millimetres>,
    /// Grass-reference evapotranspiration as the station gives it.
    pub eto: Option<Millimetres>,
    /// Solar radiation.
    pub solar: Option<MegajoulesPerSquareMetre>,
    /// Hours of bright sunshine.
    pub sunshine_hours: Option<f64>,
    /// Mean wind speed at `wind_height_m`.
    pub wind: Option<MetresPerSecond>,
    /// Height of the wind instrument in metres; 2 m unless said otherwise.
    pub wind_height_m: Option<f64>,
    /// Highest relative humidity, percent.
    pub rh_max_pct: Option<f64>,
    /// Lowest relative humidity, percent.
    pub rh_min_pct: Option<f64>,
    /// Actual vapour pressure, kPa.
    pub vapour_pressure_kpa: Option<f64>,
    /// Dew point.
    pub dew_point: Option<Celsius>,
    /// Free text.
    pub note: String,
}

/// Canopy values that hold on one day; days between two entries keep the earlier one.
#[derive(Debug, Clone, PartialEq)]
pub struct CanopyDay {
    /// The day.
    pub date: NaiveDate,
    /// Basal crop coefficient.
    pub kcb: Option<f64>,
    /// Share of the ground the canopy covers, 0 to 1.
    pub ground_cover: Option<f64>,
    /// Height of the trees in metres.
    pub height_m: Option<f64>,
    /// Root depth in metres.
    pub root_depth_m: Option<f64>,
    /// Free text.
    pub note: String,
}

impl CanopyDay {
    /// The first value that both entries give and that differs, by name, with both numbers: this one's,
    /// then the other's. What only one of them gives is no difference.
    pub fn differs_in(&self, other: &Self) -> Option<(&'static str, [f64; 2])> {
        [
            ("crop coefficient", self.kcb, other.kcb),
            ("ground cover", self.ground_cover, other.ground_cover),
            ("tree height in metres", self.height_m, other.height_m),
            ("root depth in metres", self.root_depth_m, other.root_depth_m),
        ]
        .into_iter()
        .find_map(|(what, ours, theirs)| {
            let (ours, theirs) = ours.zip(theirs)?;
            ours.total_cmp(&theirs).is_ne().then_some((what, [ours, theirs]))
        })
    }
}

/// What a mulch is made of, as far as its rule differs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MulchKind {
    /// Wood chips, straw, prunings, compost.
    Organic,
    /// Sheet plastic.
    Plastic,
}

impl MulchKind {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Organic, Self::Plastic];

    /// The word in a CSV cell.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Organic => "organic",
            Self::Plastic => "plastic",
        }
    }
}

/// Where the mulch lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MulchShape {
    /// A strip along each tree row, this wide in all.
    Strip(Feet),
    /// A ring around each tree, this far out from the trunk.
    Ring(Feet),
    /// This share of the block's whole surface, percent.
    SharePct(f64),
}

/// Mulch laid on a block. The cover it gives holds from this day.
#[derive(Debug, Clone, PartialEq)]
pub struct MulchApplication {
    /// Day it was laid.
    pub date: NaiveDate,
    /// What it is: "wood chips".
    pub material: String,
    /// Which rule it follows.
    pub kind: MulchKind,
    /// Depth as laid.
    pub depth: Inches,
    /// Where it lies.
    pub shape: MulchShape,
    /// Bare ring kept around each trunk.
    pub clear_radius: Inches,
    /// Years it is expected to last.
    pub life: Years,
    /// What the material cost: zero where it was free, `None` where nobody said.
    pub material_cost: Option<Money>,
    /// What bringing it cost, likewise.
    pub delivery_cost: Option<Money>,
    /// What spreading it cost, where that is not in the labor entries, likewise.
    pub spreading_cost: Option<Money>,
    /// Free text.
    pub note: String,
}
