//! A whole season, day by day, against an independent program.
//!
//! Source: output of pyfao56 1.4.3 (USDA-ARS, public domain), an implementation of FAO Irrigation
//! and Drainage Paper 56, on measured weather of Greeley, Colorado, 2022; parameters beside it in
//! `fixtures/published/water/season_run_a`. The mulch factor was put in where that program assigns
//! Ke. The `wet_early` files are a variant by hand for the order of examples 35 and 38.

mod records;

use chrono::NaiveDate;
use reckon::records::{Rate, RateKind, WeatherDay};
use reckon::season::{EtoSource, SeasonRecords, WaterSeason};
use reckon::units::{Celsius, Inches, MM_PER_INCH, MegajoulesPerSquareMetre, MetresPerSecond};
use reckon::water::run::{WaterDay, WaterRuns};
use reckon::water::setup::Setting;
use reckon::weather::{self, Filling, Site};
use rust_decimal::Decimal;

use crate::fixture::{close, number, table, toml};
pub(crate) use records::{block, records};
use records::{date, file, kept, month_day, weather_day};

pub(crate) fn reckoned(records: &SeasonRecords) -> (WaterSeason, WaterRuns) {
    let (mut season, _) = reckon::water::season(records);
    let runs = season.runs.take().expect("a balance");
    (season, runs)
}

type Column = (&'static str, fn(&WaterDay) -> f64);

/// Every column of the daily files.
const COLUMNS: [Column; 23] = [
    ("ETo_mm", |day| day.eto_mm),
    ("Kcb", |day| day.kcb),
    ("Kc_max", |day| day.kc_max),
    ("fc", |day| day.fc),
    ("fw", |day| day.fw),
    ("few", |day| day.few),
    ("De_end_mm", |day| day.de_end_mm),
    ("Kr", |day| day.kr),
    ("Ke", |day| day.ke),
    ("E_mm", |day| day.e_mm),
    ("DPe_mm", |day| day.dpe_mm),
    ("ETc_mm", |day| day.etc_mm),
    ("TAW_mm", |day| day.taw_mm),
    ("p", |day| day.p),
    ("RAW_mm", |day| day.raw_mm),
    ("Ks", |day| day.ks),
    ("ETa_mm", |day| day.eta_mm),
    ("T_mm", |day| day.t_mm),
    ("DP_mm", |day| day.dp_mm),
    ("Dr_end_mm", |day| day.dr_end_mm),
    ("irrigation_gross_mm", |day| day.irrigation_gross_mm),
    ("rain_mm", |day| day.rain_mm),
    ("runoff", |day| day.runoff_mm),
];

/// Tolerance of a day's column. The files carry six decimals; the wind behind Kc max five.
const DAILY: f64 = 1e-3;

fn same_days(name: &str, ours: &[WaterDay]) {
    same_days_within(name, ours, DAILY);
}

fn same_days_within(name: &str, ours: &[WaterDay], tolerance: f64) {
    let rows = table(&file(name));
    assert_eq!(ours.len(), rows.len(), "{name}");
    let mut worst: f64 = 0.0;
    for (day, row) in ours.iter().zip(&rows) {
        assert_eq!(day.date, date(row));
        for (column, value) in COLUMNS {
            let theirs = if column == "runoff" { 0.0 } else { row.number(column) };
            close(&format!("{name}, {}, {column}", day.date), value(day), theirs, tolerance);
            worst = worst.max((value(day) - theirs).abs());
        }
        let net = day.irrigation_gross_mm - day.irrigation_loss_mm;
        let theirs = if name.contains("wet_early") {
            row.number("irrigation_net_mm")
        } else {
            row.number("irrigation_gross_mm") - row.number("irrigation_loss_mm")
        };
        close(&format!("{name}, {}, net", day.date), net, theirs, tolerance);
    }
    println!("{name}: largest difference of any column {worst:.2e}");
}

/// Sums of the season, within a hundredth of what is asked (0.5 mm).
fn same_sums(section: &str, ours: &[WaterDay]) {
    let summary = toml(&file("summary.toml"));
    let sum = |value: fn(&WaterDay) -> f64| ours.iter().map(value).sum::<f64>();
    for (name, value) in [
        ("ETc_mm", sum(|day| day.etc_mm)),
        ("ETa_mm", sum(|day| day.eta_mm)),
        ("E_mm", sum(|day| day.e_mm)),
        ("T_mm", sum(|day| day.t_mm)),
        ("DP_mm", sum(|day| day.dp_mm)),
        ("irrigation_gross_mm", sum(|day| day.irrigation_gross_mm)),
        ("irrigation_net_mm", sum(|day| day.irrigation_gross_mm - day.irrigation_loss_mm)),
        ("Dr_end_mm", ours.last().unwrap().dr_end_mm),
    ] {
        close(&format!("{section}, {name}"), value, number(&summary, &format!("{section}.{name}")), 5e-3);
    }
    let events = ours.iter().filter(|day| day.irrigation_gross_mm > 0.0).count();
    assert_eq!(events.to_string(), number(&summary, &format!("{section}.irrigation_events")).to_string());
    let lowest = ours.iter().map(|day| day.ks).fold(1.0, f64::min);
    close("lowest Ks", lowest, number(&summary, &format!("{section}.min_Ks")), 1e-4);
}

#[test]
fn by_the_rule_bare_and_mulched() {
    let (_, runs) = reckoned(&records(block(), None));
    same_days("daily_bare.csv", &runs.by_rule_bare);
    same_sums("bare", &runs.by_rule_bare);
    same_days("daily_mulched.csv", &runs.by_rule);
    same_sums("mulched", &runs.by_rule);
}

#[test]
fn the_same_irrigation_bare_and_mulched() {
    let (_, runs) = reckoned(&records(block(), Some("daily_bare.csv")));
    same_days("daily_bare.csv", &runs.as_irrigated_bare);
    same_days("daily_mulched_same_irrigation.csv", &runs.as_irrigated);
    same_sums("mulched_same_irrigation", &runs.as_irrigated);
}

#[test]
fn water_cut_off_in_july() {
    let mut block = block();
    let run = toml(&file("parameters.toml"));
    let last = run["scenario_cutoff"]["last_irrigation_allowed"].as_str().unwrap();
    block.water.set(Setting::RuleLastMonthDay, Some(month_day(last)));
    let (_, runs) = reckoned(&records(block, None));
    same_days("daily_bare_cutoff.csv", &runs.by_rule_bare);
    same_sums("bare_cutoff", &runs.by_rule_bare);
    same_days("daily_mulched_cutoff.csv", &runs.by_rule);
    same_sums("mulched_cutoff", &runs.by_rule);
}

#[test]
fn wetting_before_evaporation() {
    let mut block = block();
    block.water.set(Setting::WettingFirst, Some(1.0));
    block.water.set(Setting::RainWithIrrigationWetsAll, Some(1.0));
    let (_, runs) = reckoned(&records(block, None));
    same_days("daily_bare_wet_early.csv", &runs.by_rule_bare);
    same_sums("bare_wet_early", &runs.by_rule_bare);
    same_days("daily_mulched_wet_early.csv", &runs.by_rule);
    same_sums("mulched_wet_early", &runs.by_rule);
}

/// The three savings, from two pairs of runs.
#[test]
fn what_the_mulch_saved() {
    let mut records = records(block(), Some("daily_bare.csv"));
    // 120 dollars an acre-foot.
    let water = Rate { from: NaiveDate::MIN, kind: RateKind::Water, micros: 120_000_000, note: String::new() };
    records.rates = kept([water]);
    let (season, _) = reckoned(&records);
    let saving = season.saving.expect("a saving");
    let summary = toml(&file("summary.toml"));
    let same = |name: &str| number(&summary, &format!("saving.mulched_same_irrigation_vs_bare.{name}"));
    let by_rule = |name: &str| number(&summary, &format!("saving.mulched_vs_bare.{name}"));
    let mm = |inches: Inches| inches.get() * MM_PER_INCH;
    close("avoided", mm(saving.avoided.depth.value), same("E_reduction_mm"), 1e-3);
    close("extra drained", mm(saving.extra_drained.value), same("DP_increase_mm"), 1e-3);
    close("kept", mm(saving.kept.depth.value), same("E_reduction_mm") - same("DP_increase_mm"), 2e-3);
    close(
        "avoided, acre-in/acre",
        saving.avoided.acre_inches_per_acre.value.get(),
        same("E_reduction_acre_inch_per_acre"),
        1e-4,
    );
    let per_tree = saving.avoided.gallons_per_tree.as_ref().unwrap().value.get();
    close("avoided, gal/tree", per_tree, same("E_reduction_US_gallon_per_tree"), 1e-2);
    let per_acre = saving.avoided.gallons.value.get() / records.block.acres.as_f64();
    close("avoided, gal/acre", per_acre, same("E_reduction_US_gallon_per_acre"), 1.0);
    let left = by_rule("irrigation_net_difference_mm")
        + by_rule("Dr_end_difference_bare_minus_mulched_mm")
        + by_rule("DP_increase_mm");
    close("not needed", mm(saving.not_needed.depth.value), left / 0.9, 2e-3);
    let (low, high) = saving.kept_range;
    assert!(low <= saving.kept.depth.value && saving.kept.depth.value <= high && low < high);
    // Two decimals of an acre-inch times acres, at ten dollars an acre-inch.
    let acre_inches = saving.avoided.acre_inches.value.get();
    let worth = saving.avoided.worth.as_ref().unwrap().value.decimal();
    let expected = Decimal::new(format!("{:.0}", acre_inches * 1000.0).parse().unwrap(), 2);
    assert!((worth - expected).abs() <= Decimal::new(1, 2), "{worth} {expected}");
    close("covered", saving.covered.value.get(), 40.0, 1e-9);
}

/// Kcb and cover from their curves instead of by day: the program's own offset of one day is a
/// setting, and its default. The files carry cover with four decimals, so days agree less closely.
#[test]
fn the_curves_give_the_same_season() {
    let run = toml(&file("parameters.toml"));
    let mut block = block();
    block.water.set(Setting::KcbMid, Some(number(&run, "crop.Kcb_mid_used")));
    block.water.set(Setting::KcbEnd, Some(number(&run, "crop.Kcb_end_used")));
    block.water.set(Setting::KcbClimateAdjustment, Some(0.0));
    block.water.set(Setting::CoverIni, Some(number(&run, "canopy.fc_ini")));
    block.water.set(Setting::CoverMid, Some(number(&run, "canopy.fc_mid")));
    block.water.set(Setting::CoverEnd, Some(number(&run, "canopy.fc_end")));
    let mut records = records(block, None);
    records.canopy.clear();
    let (_, runs) = reckoned(&records);
    same_days_within("daily_bare.csv", &runs.by_rule_bare, 0.01);
    same_sums("bare", &runs.by_rule_bare);
}

/// Eq. 70 on the stage means; the program rounds its adjustment to three decimals before use.
#[test]
fn climate_adjustment_by_stage_means() {
    let run = toml(&file("parameters.toml"));
    let mut block = block();
    let (mid, end) = (number(&run, "crop.Kcb_mid_table17"), number(&run, "crop.Kcb_end_table17"));
    block.water.set(Setting::KcbMid, Some(mid));
    block.water.set(Setting::KcbEnd, Some(end));
    block.water.set(Setting::CurveFirstDay, Some(1.0));
    let mut records = records(block, None);
    records.canopy.clear();
    let (_, runs) = reckoned(&records);
    let kcb = |n: usize| runs.by_rule_bare[n].kcb;
    let adjusted = |stage: &str| number(&run, &format!("climate_adjustment_eq70.{stage}.adjust_unrounded"));
    close("mid", kcb(120) - mid, adjusted("mid"), 2e-6);
    close("last day", kcb(209) - end, adjusted("late"), 2e-6);
}

/// One day entered far from the others must not undo the season.
#[test]
fn a_stray_day_of_weather_is_left_out() {
    let mut records = records(block(), None);
    let last = records.weather.last().expect("weather").clone();
    let date = NaiveDate::from_ymd_opt(2022, 12, 30).unwrap();
    let stray = WeatherDay { date, ..last.record };
    records.weather.push(reckon::figure::Kept { id: reckon::figure::RecordId::Line(9_999), record: stray });
    let (season, gaps) = reckon::water::season(&records);
    let runs = season.runs.expect("a balance");
    same_days("daily_bare.csv", &runs.by_rule_bare);
    assert!(gaps.iter().any(|gap| gap.what.contains("30 December")), "{gaps:#?}");
}

/// Penman-Monteith from the station's own columns. The program takes the Stefan-Boltzmann constant
/// and the slope of the vapour curve from a later standard; the paper's own stay within 0.001 mm.
#[test]
fn reference_et_from_the_weather_columns() {
    let run = toml(&file("parameters.toml"));
    let site = Site {
        latitude_deg: Some(number(&run, "meta.latitude_decimal_degree")),
        elevation_m: Some(number(&run, "meta.station_elevation_m")),
    };
    let (mut worst, mut total) = (0.0_f64, 0.0);
    for row in table(&file("daily_inputs.csv")) {
        let day = WeatherDay {
            eto: None,
            t_max: Celsius::new(row.number("Tmax_degC")),
            t_min: Celsius::new(row.number("Tmin_degC")),
            solar: MegajoulesPerSquareMetre::new(row.number("solar_radiation_MJ_per_m2")),
            wind: MetresPerSecond::new(row.number("wind_m_per_s_at_2_m")),
            wind_height_m: Some(number(&run, "meta.wind_measurement_height_m")),
            vapour_pressure_kpa: Some(row.number("ea_kPa")),
            ..weather_day(&row)
        };
        let eto = weather::eto(&day, &site, &Filling::default()).unwrap();
        assert_eq!(eto.source, EtoSource::PenmanMonteith);
        worst = worst.max((eto.mm - row.number("ETo_mm")).abs());
        total += eto.mm;
        close("another library", eto.mm, row.number("ETo_pyet_pm_fao56_mm"), 1e-4);
        let warm = WeatherDay { wind: None, solar: None, vapour_pressure_kpa: None, rh_min_pct: None, ..day };
        let hargreaves = weather::eto(&warm, &site, &Filling::default()).unwrap();
        assert_eq!(hargreaves.source, EtoSource::Hargreaves);
        close("Hargreaves", hargreaves.mm, row.number("ETo_hargreaves_eq52_mm"), 6e-5);
    }
    println!("reference ET: largest difference {worst:.5} mm a day, {total:.3} mm the season");
    assert!(worst < 1.1e-3, "{worst}");
    close("season", total, number(&toml(&file("summary.toml")), "season.ETo_mm"), 0.15);
}
