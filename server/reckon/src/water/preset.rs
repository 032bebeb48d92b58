//! What fills the settings nobody set: published tables, and what had to be assumed.
//!
//! Source unless said otherwise: Allen, Pereira, Raes, Smith (1998), FAO Irrigation and Drainage
//! Paper 56; the table stands beside each value. Where a table gives a range its middle is taken.

use crate::block::{Block, Emitter};

use super::resolve::on;
use super::setup::{Setting, Soil};
use crate::weather::equations::INLAND;

/// Where a value comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Origin {
    /// Set for the block.
    Set,
    /// From a published table, for this soil, crop or emitter.
    Preset,
    /// A convention or a guess: nothing published was found for it, or nobody said which holds.
    Assumed,
}

impl Origin {
    /// The word printed beside a value.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Set => "set",
            Self::Preset => "preset",
            Self::Assumed => "assumed",
        }
    }
}

/// A soil of table 19 (p. 144), middles of the printed ranges.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SoilWater {
    /// Water at field capacity, m3 in m3.
    pub field_capacity: f64,
    /// Water at wilting point, m3 in m3.
    pub wilting_point: f64,
    /// Readily evaporable water, mm.
    pub rew_mm: f64,
    /// Total evaporable water, mm, of a surface layer of 0.10 m.
    pub tew_mm: f64,
}

/// Table 19.
pub const fn soil_water(soil: Soil) -> SoilWater {
    let (field_capacity, wilting_point, rew_mm, tew_mm) = match soil {
        Soil::Sand => (0.12, 0.045, 4.5, 9.0),
        Soil::LoamySand => (0.15, 0.065, 6.0, 11.5),
        Soil::SandyLoam => (0.23, 0.11, 8.0, 17.5),
        Soil::Loam => (0.25, 0.12, 9.0, 19.0),
        Soil::SiltLoam => (0.29, 0.15, 9.5, 21.5),
        Soil::Silt => (0.32, 0.17, 9.5, 24.0),
        Soil::SiltyClayLoam => (0.335, 0.205, 9.5, 24.5),
        Soil::SiltyClay => (0.36, 0.23, 10.0, 25.0),
        Soil::Clay => (0.36, 0.22, 10.0, 25.5),
    };
    SoilWater { field_capacity, wilting_point, rew_mm, tew_mm }
}

/// Crop groups of table 17 (p. 140).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CropGroup {
    /// Peaches, nectarines, apricots, plums.
    StoneFruit,
    /// Apples, cherries, pears: the paper puts cherries here.
    PomeAndCherry,
    /// Almonds.
    Almond,
    /// A crop without a row, persimmon among them: the stone-fruit row is taken, marked assumed.
    Other,
}

/// First letters of a crop's name and its group.
const GROUPS: [(&str, CropGroup); 9] = [
    ("peach", CropGroup::StoneFruit),
    ("nectarine", CropGroup::StoneFruit),
    ("apricot", CropGroup::StoneFruit),
    ("plum", CropGroup::StoneFruit),
    ("prune", CropGroup::StoneFruit),
    ("apple", CropGroup::PomeAndCherry),
    ("cherr", CropGroup::PomeAndCherry),
    ("pear", CropGroup::PomeAndCherry),
    ("almond", CropGroup::Almond),
];

/// The group of a crop, by any word of its name: "yellow peach", "sweet cherries".
pub fn crop_group(crop: &str) -> CropGroup {
    let crop = crop.to_lowercase();
    let of_word = |word: &str| GROUPS.iter().find(|(start, _)| word.starts_with(start)).map(|(_, group)| *group);
    crop.split_whitespace().find_map(of_word).unwrap_or(CropGroup::Other)
}

/// What grows between the trees, and the winter: the sub-rows of tables 12 and 17.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Floor {
    /// A living ground cover.
    pub ground_cover: bool,
    /// Winters with killing frost.
    pub killing_frost: bool,
}

impl Floor {
    /// As set for the block; otherwise a bare floor and winters with frost.
    pub fn of(block: &Block) -> Self {
        Self {
            ground_cover: block.water.get(Setting::GroundCover).is_some_and(on),
            killing_frost: block.water.get(Setting::KillingFrost).is_none_or(on),
        }
    }
}

/// Crop values of the published tables.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CropWater {
    /// Single coefficients of the initial and mid stage and of the end (table 12).
    pub kc: [f64; 3],
    /// Basal coefficients of the initial and mid stage and of the end (table 17).
    pub kcb: [f64; 3],
    /// Greatest height, m (table 12).
    pub height_m: f64,
    /// Depletion fraction at 5 mm a day (table 22).
    pub depletion_fraction: f64,
}

/// Tables 12 (p. 113), 17 (p. 140) and 22 (p. 165).
pub const fn crop_water(group: CropGroup, floor: Floor) -> CropWater {
    let Floor { ground_cover, killing_frost } = floor;
    let (kc, kcb, height_m, depletion_fraction) = match (group, ground_cover, killing_frost) {
        // The row for almonds knows neither ground cover nor frost.
        (CropGroup::Almond, ..) => ([0.40, 0.90, 0.65], [0.20, 0.85, 0.60], 5.0, 0.4),
        (CropGroup::PomeAndCherry, false, true) => ([0.45, 0.95, 0.70], [0.35, 0.90, 0.65], 4.0, 0.5),
        (CropGroup::PomeAndCherry, false, false) => ([0.60, 0.95, 0.75], [0.50, 0.90, 0.70], 4.0, 0.5),
        (CropGroup::PomeAndCherry, true, true) => ([0.50, 1.20, 0.95], [0.45, 1.15, 0.90], 4.0, 0.5),
        (CropGroup::PomeAndCherry, true, false) => ([0.80, 1.20, 0.85], [0.75, 1.15, 0.80], 4.0, 0.5),
        (_, false, true) => ([0.45, 0.90, 0.65], [0.35, 0.85, 0.60], 3.0, 0.5),
        (_, false, false) => ([0.55, 0.90, 0.65], [0.45, 0.85, 0.60], 3.0, 0.5),
        (_, true, true) => ([0.50, 1.15, 0.90], [0.45, 1.10, 0.85], 3.0, 0.5),
        (_, true, false) => ([0.80, 1.15, 0.85], [0.75, 1.10, 0.80], 3.0, 0.5),
    };
    CropWater { kc, kcb, height_m, depletion_fraction }
}

/// Basal coefficient after leaf fall (p. 113 and 140, footnotes): bare or dead floor 0.15; a living
/// cover 0.45 to 0.75, the lower end under hard frost.
pub const fn dormant_kcb(floor: Floor) -> f64 {
    match (floor.ground_cover, floor.killing_frost) {
        (false, _) => 0.15,
        (true, true) => 0.45,
        (true, false) => 0.75,
    }
}

/// Ground covered by a crop in its initial, development, mid and late stage, from and to (table 21,
/// p. 149). Printed for field crops: orchards cover less in the mid stage.
pub const COVER_BY_STAGE: [(f64, f64); 4] = [(0.0, 0.1), (0.1, 0.8), (0.8, 1.0), (0.8, 0.2)];

/// Wetted share of the surface (table 20, p. 149).
pub const fn wetted_fraction(emitter: Emitter) -> (f64, Origin) {
    match emitter {
        Emitter::Drip => (0.35, Origin::Preset),
        // Upper end of the row for trickle, for two lines.
        Emitter::DoubleDrip => (0.4, Origin::Assumed),
        // The table has no row; 0.5 to 0.8 from memory.
        Emitter::MicroSprinkler => (0.65, Origin::Assumed),
        // Every furrow, wide bed.
        Emitter::Furrow => (0.5, Origin::Preset),
        Emitter::Sprinkler | Emitter::Flood => (1.0, Origin::Preset),
    }
}

/// Application efficiency, percent.
///
/// Source: FAO Irrigation Water Management Training Manual 4 (1989), annex I, read at second hand:
/// drip 90, sprinkler 75; surface 60 as in the look-up table of a published water-demand model.
pub const fn application_efficiency(emitter: Emitter) -> (f64, Origin) {
    match emitter {
        Emitter::Drip | Emitter::DoubleDrip => (90.0, Origin::Preset),
        Emitter::Sprinkler => (75.0, Origin::Preset),
        // No row of its own: as a sprinkler.
        Emitter::MicroSprinkler => (75.0, Origin::Assumed),
        Emitter::Furrow | Emitter::Flood => (60.0, Origin::Preset),
    }
}

/// What stands for a setting that nobody set. `None` where the setting is left out by default.
pub(super) fn default_of(setting: Setting, block: &Block, soil: Soil, floor: Floor) -> Option<(f64, Origin)> {
    let of_soil = |value| Some((value, if block.water.soil.is_some() { Origin::Preset } else { Origin::Assumed }));
    let group = crop_group(&block.crop);
    let crop = crop_water(group, floor);
    let of_crop = |value| Some((value, if group == CropGroup::Other { Origin::Assumed } else { Origin::Preset }));
    let [ini, mid, end] = crop.kcb;
    match setting {
        Setting::FieldCapacity => of_soil(soil_water(soil).field_capacity),
        Setting::WiltingPoint => of_soil(soil_water(soil).wilting_point),
        Setting::RewMm => of_soil(soil_water(soil).rew_mm),
        Setting::TewMm => of_soil(soil_water(soil).tew_mm),
        Setting::KcbIni => of_crop(ini),
        Setting::KcbMid => of_crop(mid),
        Setting::KcbEnd => of_crop(end),
        Setting::KcbDormant => of_crop(dormant_kcb(floor)),
        Setting::HeightM => of_crop(crop.height_m),
        Setting::DepletionFraction => of_crop(crop.depletion_fraction),
        // Table 22 gives 1.0 to 2.0 m: the shallow end, for irrigated trees.
        Setting::RootDepthM => of_crop(1.0),
        Setting::WettedFraction => Some(wetted_fraction(block.emitter)),
        Setting::ApplicationEfficiencyPct => Some(application_efficiency(block.emitter)),
        other => convention(other),
    }
}

/// Conventions that hold for every block.
const fn convention(setting: Setting) -> Option<(f64, Origin)> {
    Some(match setting {
        // Table 11 (p. 107), deciduous orchard, California: 30, 50, 130, 30 days from March.
        Setting::InitialDays | Setting::LateDays => (30.0, Origin::Preset),
        // As above; and p. 197: 5 % of evaporation for each 10 % of the surface.
        Setting::DevelopmentDays | Setting::MulchReductionPct => (50.0, Origin::Preset),
        Setting::MidDays => (130.0, Origin::Preset),
        // March, as above; and p. 149: rain of more than 3 to 4 mm wets the whole surface.
        Setting::GrowthStartMonth | Setting::RainWetsAllMm => (3.0, Origin::Preset),
        // Eq. 73 takes 0.10 to 0.15 m; table 19 is printed for 0.10.
        Setting::SurfaceDepthM => (0.1, Origin::Preset),
        // P. 162: the fraction follows ETc.
        Setting::DepletionFractionFollowsEtc | Setting::KcbClimateAdjustment => (1.0, Origin::Preset),
        // P. 149: 0.15 to 0.20.
        Setting::KcMin => (0.15, Origin::Preset),
        Setting::CurveFirstDay
        | Setting::GroundCover
        | Setting::WettedFractionShaded
        | Setting::WettingFirst
        | Setting::RainWithIrrigationWetsAll
        | Setting::LightRainOfEto
        | Setting::FillMissingWeather
        | Setting::DewBelowLowC
        | Setting::MulchOverWettedFirst
        | Setting::MulchSettlingInPerYear
        | Setting::MulchInterestPct
        | Setting::CapillaryRiseMm => (0.0, Origin::Assumed),
        // The table names the month alone; rain wetted all before the first set; the rule irrigates
        // before stress begins.
        // Winters of dry inland country have frost.
        Setting::GrowthStartDay
        | Setting::InitialWettedFraction
        | Setting::RuleDepletionOfRaw
        | Setting::KillingFrost => (1.0, Origin::Assumed),
        // Eq. 72.
        Setting::KcMaxBase => (1.2, Origin::Preset),
        // Eq. 50, away from a coast.
        Setting::RadiationFromRange => (INLAND, Origin::Preset),
        // P. 197: 5 to 15 %.
        Setting::PlasticKcbReductionPct => (10.0, Origin::Preset),
        // The published rule knows no depth.
        Setting::MulchFullDepthIn => (2.0, Origin::Assumed),
        // The paper calls its mulch rule approximate and gives no error: a quarter either way.
        Setting::MulchUncertaintyPct => (25.0, Origin::Assumed),
        // Half the width of table 19's ranges of TEW, a middling soil.
        Setting::EvaporationUncertaintyPct => (15.0, Origin::Assumed),
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn crops_find_their_row_by_any_word() {
        assert_eq!(crop_group("Peach"), CropGroup::StoneFruit);
        assert_eq!(crop_group("yellow peaches"), CropGroup::StoneFruit);
        assert_eq!(crop_group("sweet cherry"), CropGroup::PomeAndCherry);
        assert_eq!(crop_group("almonds"), CropGroup::Almond);
        assert_eq!(crop_group("persimmon"), CropGroup::Other);
        assert_eq!(crop_group(""), CropGroup::Other);
    }

    /// Eq. 73 at 0.10 m, from the middles of the other columns, stays within the printed range.
    #[test]
    fn evaporable_water_agrees_with_field_capacity_and_wilting_point() {
        for soil in Soil::ALL {
            let water = soil_water(soil);
            let tew = 1000.0 * (water.field_capacity - 0.5 * water.wilting_point) * 0.1;
            assert!((tew - water.tew_mm).abs() < 1.6, "{}: {tew} and {}", soil.word(), water.tew_mm);
            assert!(water.rew_mm < water.tew_mm);
        }
    }
}
