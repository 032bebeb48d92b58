//! The settings whose field differs from their column in a file: name, unit, sentence, example.

use reckon::water::setup::Setting;

use super::Way;
use crate::row::Conversion;

/// A field that differs from the column of a file.
pub(super) struct Differs {
    pub(super) setting: Setting,
    /// Its name in the form, with the unit it is typed in.
    pub(super) name: &'static str,
    pub(super) way: Way,
    /// Beside the field.
    pub(super) unit: &'static str,
    pub(super) about: &'static str,
    pub(super) example: &'static str,
}

const fn differs(
    setting: Setting,
    (name, unit, way): (&'static str, &'static str, Way),
    about: &'static str,
    example: &'static str,
) -> Differs {
    Differs { setting, name, way, unit, about, example }
}

const fn inches(setting: Setting, name: &'static str, about: &'static str, example: &'static str) -> Differs {
    differs(setting, (name, "in", Way::Measure(Conversion::INCHES_TO_MM, "mm")), about, example)
}

const fn feet(setting: Setting, name: &'static str, about: &'static str, example: &'static str) -> Differs {
    differs(setting, (name, "ft", Way::Measure(Conversion::FEET_TO_METRES, "m")), about, example)
}

const fn switch(setting: Setting, name: &'static str, about: &'static str) -> Differs {
    differs(setting, (name, "", Way::Words(&["yes", "no"])), about, "yes")
}

const fn day(setting: Setting, name: &'static str, about: &'static str, example: &'static str) -> Differs {
    differs(setting, (name, "month-day", Way::MonthDay), about, example)
}

const fn share_of_soil(setting: Setting, name: &'static str, about: &'static str, example: &'static str) -> Differs {
    differs(setting, (name, "in/in", Way::AsKept), about, example)
}

pub(super) const DIFFERS: &[Differs] = &[
    share_of_soil(
        Setting::FieldCapacity,
        "field_capacity",
        "Water held at field capacity, inches in an inch of soil.",
        "0.25",
    ),
    share_of_soil(
        Setting::WiltingPoint,
        "wilting_point",
        "Water left at wilting point, inches in an inch of soil.",
        "0.12",
    ),
    share_of_soil(
        Setting::InitialMoisture,
        "initial_moisture",
        "Water in the root zone on the first morning, inches in an inch of soil.",
        "0.22",
    ),
    inches(
        Setting::InitialDepletionMm,
        "initial_depletion_in",
        "Root-zone depletion on the first morning, inches; instead of initial_moisture.",
        "0.8",
    ),
    feet(Setting::RootDepthM, "root_depth_ft", "Root depth, feet.", "4"),
    feet(
        Setting::RootDepthMinM,
        "root_depth_min_ft",
        "Root depth at first, feet, where roots grow with Kcb up to root_depth_ft; left out, they do not grow.",
        "1.3",
    ),
    differs(
        Setting::DepletionFraction,
        ("depletion_fraction", "share", Way::AsKept),
        "Share of available water the trees take without stress, at a crop need of about 0.2 inches a day.",
        "0.5",
    ),
    switch(
        Setting::DepletionFractionFollowsEtc,
        "depletion_fraction_follows_etc",
        "Yes: that share follows the day's crop need; no: it stays.",
    ),
    feet(
        Setting::SurfaceDepthM,
        "surface_depth_ft",
        "Depth of the surface layer that dries by evaporation, feet.",
        "0.33",
    ),
    inches(Setting::RewMm, "rew_in", "Readily evaporable water, inches.", "0.35"),
    inches(Setting::TewMm, "tew_in", "Total evaporable water, inches.", "0.75"),
    inches(
        Setting::InitialSurfaceDepletionMm,
        "initial_surface_depletion_in",
        "Surface-layer depletion on the first morning, inches.",
        "0.4",
    ),
    switch(
        Setting::KillingFrost,
        "killing_frost",
        "Yes: killing frost in winter; no: none. Chooses the published crop coefficients.",
    ),
    switch(
        Setting::KcbClimateAdjustment,
        "kcb_climate_adjustment",
        "Yes: adjust kcb_mid and kcb_end to wind and humidity; no: as given.",
    ),
    differs(
        Setting::CurveFirstDay,
        ("curve_first_day", "", Way::Words(&["day 1", "day 0"])),
        "Whether the curve counts its first day as day 1 or as day 0.",
        "day 1",
    ),
    feet(Setting::HeightM, "height_ft", "Height of the trees, feet.", "10"),
    feet(
        Setting::HeightMinM,
        "height_min_ft",
        "Height at first, feet, where it grows with Kcb up to height_ft; left out, it does not grow.",
        "3",
    ),
    switch(Setting::GroundCover, "ground_cover", "Yes: living ground cover between the trees; no: bare or dead."),
    switch(
        Setting::WettedFractionShaded,
        "wetted_fraction_shaded",
        "Yes: cut that share by canopy shade (drip under the trees); no: as given.",
    ),
    inches(
        Setting::RainWetsAllMm,
        "rain_wets_all_in",
        "Rain of a day from which the whole surface counts as wetted, inches.",
        "0.12",
    ),
    switch(
        Setting::WettingFirst,
        "wetting_first",
        "Yes: rain and irrigation come before the day's evaporation; no: after it.",
    ),
    switch(
        Setting::RainWithIrrigationWetsAll,
        "rain_with_irrigation_wets_all",
        "Yes: on a day of irrigation and real rain the whole surface is wet; no: only the irrigated share.",
    ),
    differs(
        Setting::CapillaryRiseMm,
        ("capillary_rise_in", "in/day", Way::Measure(Conversion::INCHES_TO_MM, "mm/day")),
        "Water rising into the root zone each day, inches.",
        "0.02",
    ),
    day(
        Setting::RunFirstMonthDay,
        "run_first_month_day",
        "First day of the balance as month-day, such as 03-01; left out, the first day with weather.",
        "03-01",
    ),
    day(
        Setting::RunLastMonthDay,
        "run_last_month_day",
        "Last day of the balance as month-day, such as 10-31; left out, the last day with weather.",
        "10-31",
    ),
    switch(
        Setting::FillMissingWeather,
        "fill_missing_weather",
        "Yes: on days with temperatures alone, estimate radiation, humidity and wind for Penman-Monteith; no: take \
         Hargreaves.",
    ),
    differs(
        Setting::DewBelowLowC,
        ("dew_below_low_f", "°F", Way::Measure(Conversion::FAHRENHEIT_APART, "°C")),
        "Degrees Fahrenheit that the dew point is below the lowest temperature, where humidity is not measured; 3.6 is \
         usual in dry country.",
        "3.6",
    ),
    inches(
        Setting::RuleDepletionMm,
        "rule_depletion_in",
        "Depletion rule: irrigate when the evening's depletion is above this, inches.",
        "1.5",
    ),
    inches(
        Setting::RuleNetMm,
        "rule_net_in",
        "Depletion rule: net depth of a set, inches; without it a set refills the root zone.",
        "1",
    ),
    inches(
        Setting::RuleGrossMm,
        "rule_gross_in",
        "Depletion rule: gross depth of a set, inches, instead of rule_net_in.",
        "1.1",
    ),
    day(
        Setting::RuleFirstMonthDay,
        "rule_first_month_day",
        "Depletion rule: first day as month-day, such as 04-20.",
        "04-20",
    ),
    day(
        Setting::RuleLastMonthDay,
        "rule_last_month_day",
        "Depletion rule: last day as month-day, such as 09-30.",
        "09-30",
    ),
    switch(
        Setting::MulchOverWettedFirst,
        "mulch_over_wetted_first",
        "Yes: the mulch lies on the wetted strip first, and its share counts over that; no: over the whole surface, as \
         published.",
    ),
    differs(
        Setting::EvaporationUncertaintyPct,
        ("evaporation_uncertainty_pct", "%", Way::AsKept),
        "Uncertainty of rew_in and tew_in, percent, for the range.",
        "15",
    ),
];
