//! Soil, canopy and conventions of a block's water balance: what may be set, its range, its default.
//!
//! A [`WaterSetup`] holds only what somebody set; presets fill the rest when the balance is run.
//! [`SETTINGS`] is the one list of what can be set: `block.toml`, the block's page, the store and
//! the documentation all read it.

/// Which setting. The order is the order of the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Setting {
    /// Volumetric water at field capacity.
    FieldCapacity,
    /// Volumetric water at wilting point.
    WiltingPoint,
    /// Volumetric water in the root zone on the first day.
    InitialMoisture,
    /// Root-zone depletion on the first morning, instead of `InitialMoisture`.
    InitialDepletionMm,
    /// Root depth.
    RootDepthM,
    /// Root depth on the first day, where roots grow with Kcb to `RootDepthM` (eq. 8-1).
    RootDepthMinM,
    /// Share of available water that is readily available, at ETc 5 mm a day.
    DepletionFraction,
    /// 1: the depletion fraction follows the day's ETc; 0: it stays.
    DepletionFractionFollowsEtc,
    /// Depth of the surface layer that dries by evaporation.
    SurfaceDepthM,
    /// Readily evaporable water.
    RewMm,
    /// Total evaporable water.
    TewMm,
    /// Surface-layer depletion on the first morning.
    InitialSurfaceDepletionMm,
    /// Wetted share of the surface on the first day.
    InitialWettedFraction,
    /// Basal crop coefficient, initial stage.
    KcbIni,
    /// Basal crop coefficient, mid stage, before climate adjustment.
    KcbMid,
    /// Basal crop coefficient, end, before climate adjustment.
    KcbEnd,
    /// Basal crop coefficient outside the curve.
    KcbDormant,
    /// 1: winters with killing frost; 0: without. Chooses the rows of table 17.
    KillingFrost,
    /// 1: adjust Kcb mid and end to wind and humidity (eq. 70); 0: use them as given.
    KcbClimateAdjustment,
    /// 1: the curve counts the first day as day 1 (eq. 66); 0: as day 0.
    CurveFirstDay,
    /// Length of the initial stage.
    InitialDays,
    /// Length of the development stage.
    DevelopmentDays,
    /// Length of the mid stage.
    MidDays,
    /// Length of the late stage.
    LateDays,
    /// Month of the first day of the curve.
    GrowthStartMonth,
    /// Day of the month of the first day of the curve.
    GrowthStartDay,
    /// Height of the trees.
    HeightM,
    /// Height at first, where trees grow with Kcb to `HeightM`.
    HeightMinM,
    /// Ground covered by canopy, initial stage.
    CoverIni,
    /// Ground covered by canopy, mid stage.
    CoverMid,
    /// Ground covered by canopy, end.
    CoverEnd,
    /// Lowest Kc of dry bare soil, for cover reckoned from Kcb (eq. 76).
    KcMin,
    /// Upper limit of Kc in the standard climate (1.2 in eq. 72; about 1.1 where wetted daily).
    KcMaxBase,
    /// 1: a living ground cover between the trees; 0: bare or dead.
    GroundCover,
    /// Wetted share of the surface under irrigation.
    WettedFraction,
    /// 1: the wetted share is cut by canopy shade for drip (p. 147); 0: as given.
    WettedFractionShaded,
    /// Application efficiency, percent.
    ApplicationEfficiencyPct,
    /// Rain of a day from which the whole surface counts as wetted.
    RainWetsAllMm,
    /// Rain of a day below this share of its reference ET is left out of the balance.
    LightRainOfEto,
    /// 1: rain and irrigation come before the day's evaporation; 0: after it.
    WettingFirst,
    /// 1: on a day of irrigation and real rain the whole surface is wet (2006 erratum); 0: as printed.
    RainWithIrrigationWetsAll,
    /// Capillary rise each day.
    CapillaryRiseMm,
    /// First day of the balance, as month x 100 + day; otherwise the first with weather.
    RunFirstMonthDay,
    /// Last day of the balance, as month x 100 + day; otherwise the last with weather.
    RunLastMonthDay,
    /// 1: Penman-Monteith also from temperatures alone, the rest estimated; 0: Hargreaves then.
    FillMissingWeather,
    /// Coefficient of radiation from the temperature range (eq. 50).
    RadiationFromRange,
    /// How far the dew point is below the lowest temperature where humidity is not measured.
    DewBelowLowC,
    /// Depletion rule: irrigate when the root-zone depletion of the evening before is above this.
    RuleDepletionMm,
    /// Depletion rule: or when it is above this share of readily available water.
    RuleDepletionOfRaw,
    /// Depletion rule: or when it is above this share of total available water.
    RuleDepletionOfTaw,
    /// Depletion rule: net depth of a set; without it a set refills the root zone.
    RuleNetMm,
    /// Depletion rule: gross depth of a set, instead of the net one.
    RuleGrossMm,
    /// Depletion rule: first month and day it may irrigate, as month x 100 + day.
    RuleFirstMonthDay,
    /// Depletion rule: last month and day it may irrigate, as month x 100 + day.
    RuleLastMonthDay,
    /// Evaporation that organic mulch over the whole surface takes away.
    MulchReductionPct,
    /// Depth from which an organic mulch has its full effect.
    MulchFullDepthIn,
    /// 1: the covered share counts over the wetted surface; 0: over the whole surface.
    MulchOverWettedFirst,
    /// Depth an organic mulch loses in a year.
    MulchSettlingInPerYear,
    /// Kcb that plastic over the whole surface takes away.
    PlasticKcbReductionPct,
    /// Interest in the season cost of mulch; 0: straight line.
    MulchInterestPct,
    /// Uncertainty of the mulch rule, percent of the reduction, for the range.
    MulchUncertaintyPct,
    /// Uncertainty of the evaporable water (REW and TEW), percent, for the range.
    EvaporationUncertaintyPct,
}

/// A setting as documented.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SettingInfo {
    /// Which.
    pub setting: Setting,
    /// Name in `block.toml` under `[water]`, and in forms. The unit is in the name.
    pub name: &'static str,
    /// One sentence for the page.
    pub about: &'static str,
    /// Smallest value taken.
    pub low: f64,
    /// Largest value taken.
    pub high: f64,
}

macro_rules! settings {
    ($($setting:ident, $name:literal, $low:expr, $high:expr, $about:literal;)*) => {
        /// Everything that can be set, in order.
        pub const SETTINGS: &[SettingInfo] = &[$(
            SettingInfo { setting: Setting::$setting, name: $name, about: $about, low: $low, high: $high },
        )*];
    };
}

settings! {
    FieldCapacity, "field_capacity", 0.01, 0.7, "Water held at field capacity, m³ in m³.";
    WiltingPoint, "wilting_point", 0.001, 0.6, "Water left at wilting point, m³ in m³.";
    InitialMoisture, "initial_moisture", 0.0, 0.7, "Water in the root zone on the first morning, m³ in m³.";
    InitialDepletionMm, "initial_depletion_mm", 0.0, 1000.0, "Root-zone depletion on the first morning, mm; instead of initial_moisture.";
    RootDepthM, "root_depth_m", 0.05, 5.0, "Root depth, m.";
    RootDepthMinM, "root_depth_min_m", 0.02, 5.0, "Root depth at first, m, where roots grow with kcb up to root_depth_m; left out, they do not grow.";
    DepletionFraction, "depletion_fraction", 0.05, 0.9, "Share of available water the trees take without stress, at a crop need of 5 mm a day.";
    DepletionFractionFollowsEtc, "depletion_fraction_follows_etc", 0.0, 1.0, "1: that share follows the day's crop need; 0: it stays.";
    SurfaceDepthM, "surface_depth_m", 0.01, 0.5, "Depth of the surface layer that dries by evaporation, m.";
    RewMm, "rew_mm", 0.0, 50.0, "Readily evaporable water, mm.";
    TewMm, "tew_mm", 0.5, 100.0, "Total evaporable water, mm.";
    InitialSurfaceDepletionMm, "initial_surface_depletion_mm", 0.0, 100.0, "Surface-layer depletion on the first morning, mm.";
    InitialWettedFraction, "initial_wetted_fraction", 0.01, 1.0, "Wetted share of the surface before the first set.";
    KcbIni, "kcb_ini", 0.0, 1.5, "Basal crop coefficient, initial stage.";
    KcbMid, "kcb_mid", 0.0, 1.5, "Basal crop coefficient, mid stage.";
    KcbEnd, "kcb_end", 0.0, 1.5, "Basal crop coefficient, end of the late stage.";
    KcbDormant, "kcb_dormant", 0.0, 1.5, "Basal crop coefficient before the first and after the last day of the curve.";
    KillingFrost, "killing_frost", 0.0, 1.0, "1: killing frost in winter; 0: none. Chooses the published crop coefficients.";
    KcbClimateAdjustment, "kcb_climate_adjustment", 0.0, 1.0, "1: adjust kcb_mid and kcb_end to wind and humidity; 0: as given.";
    CurveFirstDay, "curve_first_day", 0.0, 1.0, "1: the curve counts its first day as day 1; 0: as day 0.";
    InitialDays, "initial_days", 0.0, 366.0, "Length of the initial stage, days.";
    DevelopmentDays, "development_days", 0.0, 366.0, "Length of the development stage, days.";
    MidDays, "mid_days", 0.0, 366.0, "Length of the mid stage, days.";
    LateDays, "late_days", 0.0, 366.0, "Length of the late stage, days.";
    GrowthStartMonth, "growth_start_month", 1.0, 12.0, "Month in which the curve starts.";
    GrowthStartDay, "growth_start_day", 1.0, 31.0, "Day of that month.";
    HeightM, "height_m", 0.1, 20.0, "Height of the trees, m.";
    HeightMinM, "height_min_m", 0.05, 20.0, "Height at first, m, where it grows with kcb up to height_m; left out, it does not grow.";
    CoverIni, "cover_ini", 0.0, 0.99, "Ground covered by canopy in the initial stage, 0 to 1.";
    CoverMid, "cover_mid", 0.0, 0.99, "Ground covered by canopy in the mid stage, 0 to 1.";
    CoverEnd, "cover_end", 0.0, 0.99, "Ground covered by canopy at the end, 0 to 1.";
    KcMin, "kc_min", 0.0, 0.5, "Lowest coefficient of dry bare soil, for cover reckoned from kcb.";
    KcMaxBase, "kc_max_base", 0.8, 1.6, "Upper limit of the crop coefficient in the standard climate; about 1.1 where the soil is wetted every day or two.";
    GroundCover, "ground_cover", 0.0, 1.0, "1: living ground cover between the trees; 0: bare or dead.";
    WettedFraction, "wetted_fraction", 0.01, 1.0, "Share of the surface that irrigation wets.";
    WettedFractionShaded, "wetted_fraction_shaded", 0.0, 1.0, "1: cut that share by canopy shade (drip under the trees); 0: as given.";
    ApplicationEfficiencyPct, "application_efficiency_pct", 10.0, 100.0, "Share of the applied water that reaches the root zone, percent.";
    RainWetsAllMm, "rain_wets_all_mm", 0.0, 20.0, "Rain of a day from which the whole surface counts as wetted, mm.";
    LightRainOfEto, "light_rain_of_eto", 0.0, 1.0, "Rain of a day below this share of reference evapotranspiration is left out (0.2 is usual; 0 leaves none out).";
    WettingFirst, "wetting_first", 0.0, 1.0, "1: rain and irrigation come before the day's evaporation; 0: after it.";
    RainWithIrrigationWetsAll, "rain_with_irrigation_wets_all", 0.0, 1.0, "1: on a day of irrigation and real rain the whole surface is wet; 0: only the irrigated share.";
    CapillaryRiseMm, "capillary_rise_mm", 0.0, 20.0, "Water rising into the root zone each day, mm.";
    RunFirstMonthDay, "run_first_month_day", 101.0, 1231.0, "First day of the balance, as month x 100 + day; left out, the first day with weather.";
    RunLastMonthDay, "run_last_month_day", 101.0, 1231.0, "Last day of the balance, as month x 100 + day; left out, the last day with weather.";
    FillMissingWeather, "fill_missing_weather", 0.0, 1.0, "1: on days with temperatures alone, estimate radiation, humidity and wind for Penman-Monteith; 0: take Hargreaves.";
    RadiationFromRange, "radiation_from_range", 0.1, 0.25, "Coefficient of radiation estimated from the temperature range: 0.16 inland, 0.19 at a coast.";
    DewBelowLowC, "dew_below_low_c", 0.0, 10.0, "Degrees Celsius that the dew point is below the lowest temperature, where humidity is not measured; 2 is usual in dry country.";
    RuleDepletionMm, "rule_depletion_mm", 0.0, 1000.0, "Depletion rule: irrigate when the evening's depletion is above this, mm.";
    RuleDepletionOfRaw, "rule_depletion_of_raw", 0.05, 2.0, "Depletion rule: or above this share of readily available water.";
    RuleDepletionOfTaw, "rule_depletion_of_taw", 0.02, 1.0, "Depletion rule: or above this share of total available water.";
    RuleNetMm, "rule_net_mm", 0.1, 500.0, "Depletion rule: net depth of a set, mm; without it a set refills the root zone.";
    RuleGrossMm, "rule_gross_mm", 0.1, 1000.0, "Depletion rule: gross depth of a set, mm, instead of rule_net_mm.";
    RuleFirstMonthDay, "rule_first_month_day", 101.0, 1231.0, "Depletion rule: first day, as month x 100 + day (420 = 20 April).";
    RuleLastMonthDay, "rule_last_month_day", 101.0, 1231.0, "Depletion rule: last day, as month x 100 + day.";
    MulchReductionPct, "mulch_reduction_pct", 0.0, 100.0, "Soil evaporation that an organic mulch over the whole surface takes away, percent; 50 as published.";
    MulchFullDepthIn, "mulch_full_depth_in", 0.1, 24.0, "Depth from which an organic mulch has its full effect, in; thinner counts in proportion.";
    MulchOverWettedFirst, "mulch_over_wetted_first", 0.0, 1.0, "1: the mulch lies on the wetted strip first, and its share counts over that; 0: over the whole surface, as published.";
    MulchSettlingInPerYear, "mulch_settling_in_per_year", 0.0, 24.0, "Depth that an organic mulch loses in a year by settling and rotting, in.";
    PlasticKcbReductionPct, "plastic_kcb_reduction_pct", 0.0, 35.0, "Basal coefficient that plastic over the whole surface takes away, percent; 5 to 15 as published.";
    MulchInterestPct, "mulch_interest_pct", 0.0, 50.0, "Interest a year in the season cost of mulch, percent; 0 spreads it in a straight line.";
    MulchUncertaintyPct, "mulch_uncertainty_pct", 0.0, 100.0, "Uncertainty of the mulch rule and of the covered share, percent of the reduction, for the range.";
    EvaporationUncertaintyPct, "evaporation_uncertainty_pct", 0.0, 60.0, "Uncertainty of rew_mm and tew_mm, percent, for the range.";
}

/// Soil preset, by the texture names of FAO-56 table 19.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Soil {
    /// Sand.
    Sand,
    /// Loamy sand.
    LoamySand,
    /// Sandy loam.
    SandyLoam,
    /// Loam.
    Loam,
    /// Silt loam.
    SiltLoam,
    /// Silt.
    Silt,
    /// Silty clay loam.
    SiltyClayLoam,
    /// Silty clay.
    SiltyClay,
    /// Clay.
    Clay,
}

impl Soil {
    /// Every texture, coarse to fine.
    pub const ALL: [Self; 9] = [
        Self::Sand,
        Self::LoamySand,
        Self::SandyLoam,
        Self::Loam,
        Self::SiltLoam,
        Self::Silt,
        Self::SiltyClayLoam,
        Self::SiltyClay,
        Self::Clay,
    ];

    /// The words in a CSV cell.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Sand => "sand",
            Self::LoamySand => "loamy sand",
            Self::SandyLoam => "sandy loam",
            Self::Loam => "loam",
            Self::SiltLoam => "silt loam",
            Self::Silt => "silt",
            Self::SiltyClayLoam => "silty clay loam",
            Self::SiltyClay => "silty clay",
            Self::Clay => "clay",
        }
    }
}

/// What somebody set for a block; presets fill the rest.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WaterSetup {
    /// Soil preset; `None` takes loam, marked assumed.
    pub soil: Option<Soil>,
    /// Values set, sorted by setting, each at most once.
    values: Vec<(Setting, f64)>,
}

impl WaterSetup {
    /// The value set, if any.
    pub fn get(&self, setting: Setting) -> Option<f64> {
        self.values.iter().find(|(s, _)| *s == setting).map(|(_, value)| *value)
    }

    /// Sets a value, or takes it back with `None`. Ranges are checked at intake.
    pub fn set(&mut self, setting: Setting, value: Option<f64>) {
        self.values.retain(|(s, _)| *s != setting);
        if let Some(value) = value {
            self.values.push((setting, value));
            self.values.sort_unstable_by_key(|(s, _)| *s);
        }
    }

    /// Everything set, in the order of [`SETTINGS`].
    pub fn values(&self) -> impl Iterator<Item = (&'static SettingInfo, f64)> {
        SETTINGS.iter().filter_map(|info| self.get(info.setting).map(|value| (info, value)))
    }
}

/// The setting of this name.
pub fn by_name(name: &str) -> Option<&'static SettingInfo> {
    SETTINGS.iter().find(|info| info.name == name)
}
