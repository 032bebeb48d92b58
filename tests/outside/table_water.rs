//! The rows of `fixtures/published/checks.csv` on water, recomputed.

use std::sync::LazyLock;

use chrono::NaiveDate;
use reckon::block::Emitter;
use reckon::records::WeatherDay;
use reckon::season::MulchSaving;
use reckon::units::{AcreInches, CUBIC_METRES_PER_ACRE_INCH, Celsius, Inches, MM_PER_INCH};
use reckon::water::canopy::{self, Stages};
use reckon::water::preset::{self, CropGroup, Floor as Ground};
use reckon::water::run::{WaterDay, WaterRuns};
use reckon::water::setup::Soil;
use reckon::water::{single, sparse};
use reckon::weather::effective_rain::storage_factor;
use reckon::weather::equations::{self as eq, Air, Sun};
use reckon::weather::{self, Filling, Site};

use crate::{effective_rain, fao56, season_run_a, transcription};

/// Worked examples of FAO Irrigation and Drainage Paper 56, by their number; inputs as printed there.
pub(crate) fn example(rest: &str) -> Option<f64> {
    let (may, bangkok) = (Sun::over(-22.9, 135), Sun::over(13.7333, 105));
    match rest {
        "8-radiation" => Some(Sun::over(-20.0, 246).extraterrestrial()),
        "9-daylight" => Some(Sun::over(-20.0, 246).daylight_hours()),
        "10-solar" => Some(eq::solar_from_sunshine(220.0 / 31.0, may.daylight_hours(), may.extraterrestrial())),
        "17-eto" => Some(april_in_bangkok(&bangkok).penman_monteith()),
        "20-hargreaves" => Some(eq::hargreaves(26.6, 14.8, Sun::over(45.7167, 196).extraterrestrial())),
        "27-taipei" => Some(canopy::adjusted(1.2, canopy::climate(1.3, 75.0, 2.0))),
        "27-mocha" => Some(canopy::adjusted(1.2, canopy::climate(4.6, 44.0, 2.0))),
        "28-day-40" => maize(40.0),
        "28-day-95" => maize(95.0),
        "41-sparse" => Some(sparse_stand()),
        "loam-capacity" => Some(preset::soil_water(Soil::Loam).field_capacity),
        "7-latitude" => Some(Sun::over(-(22.0 + 54.0 / 60.0), 1).latitude),
        "20-eto" => july_near_lyon(),
        "68-tall-reference" => Some(canopy::kc_max_climate(1.2, 2.2, 30.0, 0.5)),
        _ => balance(rest).or_else(|| coefficient(rest)),
    }
}

/// Example 17, page 70: April means; the month's soil heat is 0.14 x (30.2 - 29.2).
/// Examples through the daily run.
fn balance(rest: &str) -> Option<f64> {
    match rest {
        "31-day-4" => Some(fao56::drying_soil(4).e_mm),
        "32-ke" => Some(fao56::maize_in_wind(1.0).ke),
        "33-ke" => Some(fao56::maize_in_wind(0.3).ke),
        "35-day-2" => Some(fao56::after_a_set(2).etc_mm),
        "organic-half" => Some(fao56::reduction_under_organic(0.5)),
        _ => None,
    }
}

/// Tables, and coefficients under mulch.
fn coefficient(rest: &str) -> Option<f64> {
    let crop = |group, ground_cover| preset::crop_water(group, Ground { ground_cover, killing_frost: true });
    let cucumber = single::plastic([0.4, 1.0, 0.75], 0.15);
    let peach = crop(CropGroup::StoneFruit, false);
    match rest {
        "45-mid" => Some(cucumber[1]),
        "45-end" => Some(cucumber[2]),
        "organic-single" => Some(single::organic(peach.kc, peach.kcb, 0.5)[0]),
        "cherry-mid" => Some(crop(CropGroup::PomeAndCherry, false).kcb[1]),
        "peach-cover" => Some(crop(CropGroup::StoneFruit, true).kcb[1]),
        "almond-depletion" => Some(crop(CropGroup::Almond, false).depletion_fraction),
        "drip-wetted" => Some(preset::wetted_fraction(Emitter::Drip).0),
        _ => None,
    }
}

/// Example 20, page 77: temperatures alone, everything else estimated.
fn july_near_lyon() -> Option<f64> {
    let day = WeatherDay {
        t_max: Celsius::new(26.6),
        t_min: Celsius::new(14.8),
        ..fao56::empty_day(NaiveDate::from_ymd_opt(2023, 7, 15)?)
    };
    let site = Site { latitude_deg: Some(45.7167), elevation_m: Some(200.0) };
    let filling = Filling { temperatures_alone: true, ..Filling::default() };
    weather::eto(&day, &site, &filling).map(|eto| eto.mm)
}

/// Effective rain of a month.
pub(crate) fn rain(rest: &str) -> Option<f64> {
    match rest {
        "two-inches" => Some(effective_rain::two_inches()),
        "storage-factor" => Some(storage_factor(Inches::of(3.0))),
        _ => None,
    }
}

fn april_in_bangkok(sun: &Sun) -> Air {
    let (t_max, t_min, vapour) = (34.8, 25.6, 2.85);
    let solar = eq::solar_from_sunshine(8.5, sun.daylight_hours(), sun.extraterrestrial());
    let clear = eq::clear_sky(2.0, sun.extraterrestrial());
    let net = eq::net_shortwave(solar) - eq::net_longwave(t_max, t_min, vapour, solar, clear);
    Air {
        t_mean: f64::midpoint(t_max, t_min),
        psychrometric: eq::psychrometric(eq::pressure(2.0)),
        net_radiation: net - 0.14,
        wind: 2.0,
        saturation: eq::mean_saturation(t_max, t_min),
        vapour,
    }
}

/// Example 28, page 133.
fn maize(day: f64) -> Option<f64> {
    let stages = Stages { initial: 25.0, development: 25.0, mid: 30.0, late: 20.0 };
    stages.along(day, [0.15, 1.19, 0.35])
}

/// Example 41, page 190.
fn sparse_stand() -> f64 {
    let cover = sparse::effective_cover(0.3, 1.0, Sun::over(40.0, 200).noon_height_sine());
    sparse::kcb_mid(0.15, sparse::kcb_full(2.0, canopy::climate(1.5, 55.0, 2.0)), 0.3, cover, 2.0)
}

/// Conversions.
pub(crate) fn unit(rest: &str) -> Option<f64> {
    match rest {
        "acre-inch-gallons" => Some(AcreInches::of(1.0).to_gallons().get()),
        "acre-foot-gallons" => Some(AcreInches::of(12.0).to_gallons().get()),
        "acre-foot-litres" => Some(12.0 * CUBIC_METRES_PER_ACRE_INCH),
        "acre-inch-mm" => Some(Inches::of(1.0).to_mm().get()),
        _ => None,
    }
}

struct Runs {
    runs: WaterRuns,
    saving: MulchSaving,
}

/// The whole season under the irrigation that its bare soil called for.
static RUNS: LazyLock<Runs> = LazyLock::new(|| {
    let records = season_run_a::records(season_run_a::block(), Some("daily_bare.csv"));
    let (season, runs) = season_run_a::reckoned(&records);
    Runs { runs, saving: season.saving.unwrap() }
});

/// Season sums of the independent run, mm.
pub(crate) fn season(rest: &str) -> Option<f64> {
    let sum = |days: &[WaterDay], of: fn(&WaterDay) -> f64| Some(days.iter().map(of).sum());
    let mm = |depth: Inches| Some(depth.get() * MM_PER_INCH);
    let Runs { runs, saving } = &*RUNS;
    match rest {
        "need-bare" => sum(&runs.as_irrigated_bare, |day| day.etc_mm),
        "need-mulched" => sum(&runs.as_irrigated, |day| day.etc_mm),
        "evaporation-bare" => sum(&runs.as_irrigated_bare, |day| day.e_mm),
        "drained-bare" => sum(&runs.as_irrigated_bare, |day| day.dp_mm),
        "by-rule-irrigation" => sum(&runs.by_rule, |day| day.irrigation_gross_mm),
        "avoided" => mm(saving.avoided.depth.value),
        "extra-drained" => mm(saving.extra_drained.value),
        "equations" => Some(transcription::evaporation_of(7)),
        _ => None,
    }
}
