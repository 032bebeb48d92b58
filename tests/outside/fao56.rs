//! Worked examples of the paper on crop evapotranspiration.
//!
//! Source: Allen, Pereira, Raes, Smith (1998), Crop Evapotranspiration, FAO Irrigation and Drainage
//! Paper 56; example and page stand in each row of `fixtures/published/water`. Recomputed columns
//! are the same arithmetic without the intermediate rounding of the print.

use std::collections::BTreeSet;
use std::f64::consts::PI;

use chrono::NaiveDate;
use reckon::block::Emitter;
use reckon::season::EtoSource;
use reckon::units::{Celsius, MetresPerSecond};
use reckon::water::canopy::{self, Stages};
use reckon::water::daily::{self, DayInput, DayMulch, Floor, Order, Params, Rule, Supply};
use reckon::water::preset::{self, CropGroup};
use reckon::water::run::WaterDay;
use reckon::water::setup::Soil;
use reckon::water::sparse;
use reckon::weather::equations::{self as eq, Air, Sun};
use reckon::weather::{self, Site};

use crate::fixture::{Row, close, table};

/// The rows of one scalar example; a row nobody checked fails the test.
struct Example {
    name: &'static str,
    rows: Vec<Row>,
    checked: BTreeSet<String>,
}

impl Example {
    fn load(name: &'static str) -> Self {
        let rows: Vec<Row> =
            table("water/fao56_examples.csv").into_iter().filter(|row| row.text("example") == name).collect();
        assert!(!rows.is_empty(), "example {name}");
        Self { name, rows, checked: BTreeSet::new() }
    }

    fn row(&self, quantity: &str) -> &Row {
        let found = self.rows.iter().find(|row| row.text("quantity") == quantity);
        found.unwrap_or_else(|| panic!("example {} has no {quantity}", self.name))
    }

    fn input(&self, quantity: &str) -> f64 {
        let row = self.row(quantity);
        assert_eq!(row.text("role"), "input", "{quantity}");
        row.number("published_value")
    }

    /// Against the recomputed value tightly, against the print to its last digit.
    #[track_caller]
    fn check(&mut self, quantity: &str, ours: f64) {
        let row = self.row(quantity);
        let what = format!("example {}, {quantity}", self.name);
        if let Some(exact) = row.maybe("recomputed_value") {
            close(&what, ours, exact, 1e-4 * exact.abs().max(1e-3));
        }
        let print = row.text("published_value");
        let decimals = print.split_once('.').map_or(0, |(_, fraction)| fraction.len());
        let last_digit = 0.1_f64.powi(i32::try_from(decimals).unwrap());
        close(&what, ours, print.parse().unwrap(), last_digit * 1.000_001);
        self.checked.insert(quantity.to_owned());
    }

    /// A row whose method is not ours, with the reason.
    fn leave(&mut self, quantity: &str, reason: &str) {
        assert!(!reason.is_empty());
        self.row(quantity);
        self.checked.insert(quantity.to_owned());
    }

    fn done(self) {
        for row in self.rows.iter().filter(|row| row.text("role") != "input") {
            assert!(self.checked.contains(row.text("quantity")), "example {}: {}", self.name, row.text("quantity"));
        }
    }
}

fn day_number(value: f64) -> u32 {
    format!("{value}").parse().unwrap()
}

#[test]
fn example_7_latitudes() {
    let mut example = Example::load("7");
    let (bangkok, rio) = (13.0 + 44.0 / 60.0, -(22.0 + 54.0 / 60.0));
    for (quantity, degrees) in
        [("latitude Bangkok 13 deg 44 min N", bangkok), ("latitude Rio de Janeiro 22 deg 54 min S", rio)]
    {
        example.check(quantity, degrees);
    }
    example.check("latitude Bangkok", Sun::over(bangkok, 1).latitude);
    example.check("latitude Rio de Janeiro", Sun::over(rio, 1).latitude);
    example.done();
}

#[test]
fn examples_8_and_9_radiation_and_daylight() {
    let mut example = Example::load("8");
    let sun = Sun::over(
        example.rows.iter().find(|row| row.text("role") == "input").unwrap().number("published_value"),
        day_number(example.input("day_of_year")),
    );
    // The latitude stands twice, as an input in degrees and in radians.
    close("latitude", sun.latitude, -0.349_066, 1e-6);
    example.leave("latitude", "checked above: the name is that of the input too");
    example.check("dr", sun.distance);
    example.check("solar_declination", sun.declination);
    example.check("sunset_hour_angle", sun.sunset);
    example.check("sin(phi)sin(delta)", sun.latitude.sin() * sun.declination.sin());
    example.check("cos(phi)cos(delta)", sun.latitude.cos() * sun.declination.cos());
    example.check("Ra", sun.extraterrestrial());
    example.check("Ra_equivalent_evaporation", sun.extraterrestrial() * eq::MM_PER_MEGAJOULE);
    example.done();
    let mut nine = Example::load("9");
    nine.check("N", sun.daylight_hours());
    nine.done();
}

#[test]
fn example_10_radiation_from_sunshine() {
    let mut example = Example::load("10");
    let sun = Sun::over(example.input("latitude"), day_number(example.input("day_of_year")));
    let hours = example.input("sunshine_in_month_of_May") / 31.0;
    let solar = eq::solar_from_sunshine(hours, sun.daylight_hours(), sun.extraterrestrial());
    example.check("Ra", sun.extraterrestrial());
    example.check("N", sun.daylight_hours());
    example.check("n", hours);
    example.check("Rs", solar);
    example.check("Rs_equivalent_evaporation", solar * eq::MM_PER_MEGAJOULE);
    example.done();
}

/// What examples 17 and 20 have in common: everything from temperatures and radiation on.
fn check_energy(example: &mut Example, sun: &Sun, solar: f64, vapour: f64, heat_flux: f64, wind: f64) {
    let (t_max, t_min) = (example.input("Tmax"), example.input("Tmin"));
    let altitude = example.input("altitude");
    let clear = eq::clear_sky(altitude, sun.extraterrestrial());
    let short = eq::net_shortwave(solar);
    let long = eq::net_longwave(t_max, t_min, vapour, solar, clear);
    let air = Air {
        t_mean: f64::midpoint(t_max, t_min),
        psychrometric: eq::psychrometric(eq::pressure(altitude)),
        net_radiation: short - long - heat_flux,
        wind,
        saturation: eq::mean_saturation(t_max, t_min),
        vapour,
    };
    for (quantity, ours) in [
        ("Tmean", air.t_mean),
        ("delta", eq::slope(air.t_mean)),
        ("gamma", air.psychrometric),
        ("e_Tmax", eq::saturation(t_max)),
        ("e_Tmin", eq::saturation(t_min)),
        ("es", air.saturation),
        ("vpd", air.saturation - air.vapour),
        ("Ra", sun.extraterrestrial()),
        ("Rs", solar),
        ("Rso", clear),
        ("Rs_over_Rso", solar / clear),
        ("Rns", short),
        ("Rnl", long),
        ("Rn", short - long),
        ("G", heat_flux),
        ("Rn_minus_G_mm", air.net_radiation * eq::MM_PER_MEGAJOULE),
        ("radiation_term", air.radiation_term()),
        ("aerodynamic_term", air.aerodynamic_term()),
        ("ETo", air.penman_monteith()),
    ] {
        example.check(quantity, ours);
    }
}

#[test]
fn example_17_penman_monteith() {
    let mut example = Example::load("17");
    let sun = Sun::over(example.input("latitude"), day_number(example.input("day_of_year")));
    let solar = eq::solar_from_sunshine(example.input("n"), sun.daylight_hours(), sun.extraterrestrial());
    let (vapour, wind) = (example.input("ea"), example.input("u2"));
    // Soil heat of a month (p. 68): our days take none.
    let heat = 0.14 * (example.input("Tmean_this_month") - example.input("Tmean_previous_month"));
    check_energy(&mut example, &sun, solar, vapour, heat, wind);
    example.check("P", eq::pressure(2.0));
    example.check("N", sun.daylight_hours());
    example.done();
}

#[test]
fn example_20_temperatures_alone() {
    let mut example = Example::load("20");
    let sun = Sun::over(example.input("latitude"), day_number(example.input("day_of_year")));
    let (t_max, t_min) = (example.input("Tmax"), example.input("Tmin"));
    close("kRs", eq::INLAND, example.input("Rs_from_temperature_range_eq50_kRs"), 0.0);
    let solar = eq::solar_from_temperatures(eq::INLAND, t_max, t_min, sun.extraterrestrial());
    let vapour = eq::saturation(t_min);
    let wind = example.input("u2_assumed");
    example.check("ea", vapour);
    check_energy(&mut example, &sun, solar, vapour, 0.0, wind);
    let with_wind = |wind| {
        let clear = eq::clear_sky(200.0, sun.extraterrestrial());
        Air {
            t_mean: f64::midpoint(t_max, t_min),
            psychrometric: eq::psychrometric(eq::pressure(200.0)),
            net_radiation: eq::net_shortwave(solar) - eq::net_longwave(t_max, t_min, vapour, solar, clear),
            wind,
            saturation: eq::mean_saturation(t_max, t_min),
            vapour,
        }
        .penman_monteith()
    };
    example.check("ETo_if_u2_is_1", with_wind(1.0));
    example.check("ETo_if_u2_is_3", with_wind(3.0));
    example.check("ETo_Hargreaves_eq52", eq::hargreaves(t_max, t_min, sun.extraterrestrial()));
    example.done();
}

/// The same days as a station would bring them in.
#[test]
fn examples_17_and_20_through_a_station_day() {
    let day = |month, day| weather_day(NaiveDate::from_ymd_opt(2023, month, day).unwrap());
    let bangkok = reckon::records::WeatherDay {
        t_max: Celsius::new(34.8),
        t_min: Celsius::new(25.6),
        vapour_pressure_kpa: Some(2.85),
        wind: MetresPerSecond::new(2.0),
        sunshine_hours: Some(8.5),
        ..day(4, 15)
    };
    let site = Site { latitude_deg: Some(13.7333), elevation_m: Some(2.0) };
    let eto = weather::eto(&bangkok, &site).unwrap();
    assert_eq!(eto.source, EtoSource::PenmanMonteith);
    // A day has no soil heat flux: 0.14 MJ more than the month of the example, 0.039 mm.
    close("example 17 without soil heat", eto.mm, 5.716_12 + 0.14 * 3.965_31 / 14.1927, 1e-4);
    let lyon = reckon::records::WeatherDay { t_max: Celsius::new(26.6), t_min: Celsius::new(14.8), ..day(7, 15) };
    let site = Site { latitude_deg: Some(45.7167), elevation_m: Some(200.0) };
    let eto = weather::eto(&lyon, &site).unwrap();
    assert_eq!(eto.source, EtoSource::Hargreaves);
    close("example 20 by Hargreaves", eto.mm, 5.033_06, 1e-4);
}

fn weather_day(date: NaiveDate) -> reckon::records::WeatherDay {
    reckon::records::WeatherDay {
        date,
        t_max: None,
        t_min: None,
        rain: None,
        runoff: None,
        eto: None,
        solar: None,
        sunshine_hours: None,
        wind: None,
        wind_height_m: None,
        rh_max_pct: None,
        rh_min_pct: None,
        vapour_pressure_kpa: None,
        dew_point: None,
        note: String::new(),
    }
}

#[test]
fn example_27_climate_adjustment() {
    let mut example = Example::load("27");
    let (table, height) = (example.input("Kc_mid_table_maize"), example.input("height"));
    for place in ["Taipei", "Mocha"] {
        let climate =
            canopy::climate(example.input(&format!("{place}_u2")), example.input(&format!("{place}_RHmin")), height);
        example.check(&format!("Kc_mid_{place}"), canopy::adjusted(table, climate));
    }
    example.done();
}

#[test]
fn example_28_curve() {
    let mut example = Example::load("28");
    let stages = Stages {
        initial: example.input("Lini"),
        development: example.input("Ldev"),
        mid: example.input("Lmid"),
        late: example.input("Llate"),
    };
    let values = [example.input("Kc_ini"), example.input("Kc_mid"), example.input("Kc_end")];
    for day in [20_u32, 40, 70, 95] {
        example.check(&format!("Kc_day_{day}"), stages.along(f64::from(day), values).unwrap());
    }
    example.done();
}

/// Soil and conventions shared by the runs of the examples.
fn params() -> Params {
    Params {
        available_mm_per_m: 130.0,
        p: 0.6,
        p_follows_etc: false,
        tew_mm: 18.0,
        rew_mm: 8.0,
        initial_depletion_mm: 0.0,
        initial_surface_depletion_mm: 0.0,
        initial_fw: 1.0,
        fw: 1.0,
        fw_shaded: false,
        efficiency: 1.0,
        rain_wets_all_mm: 3.0,
        rain_with_irrigation_wets_all: true,
        capillary_rise_mm: 0.0,
        order: Order::WettingFirst,
        rule: Rule { depletion_mm: None, of_raw: Some(1.0), net_mm: None, window: (101, 1231) },
    }
}

fn input(day: u32) -> DayInput {
    DayInput {
        date: NaiveDate::from_ymd_opt(2023, 6, day).unwrap(),
        eto_mm: 5.0,
        rain_mm: 0.0,
        runoff_mm: 0.0,
        kcb: 0.3,
        kc_max_climate: 1.2,
        fc: 0.0,
        root_depth_m: 3.0,
        irrigation_gross_mm: 0.0,
        mulch: DayMulch::default(),
    }
}

fn run_one(day: DayInput, params: &Params, floor: Floor) -> WaterDay {
    daily::run(&[day], params, floor, Supply::Recorded)[0]
}

#[test]
fn examples_32_and_33_evaporation_coefficient() {
    let mut example = Example::load("32");
    let (kcb, height) = (example.input("Kcb"), example.input("height"));
    let kc_max = canopy::kc_max_climate(example.input("u2"), example.input("RHmin"), height);
    let fc = canopy::cover_from_kcb(kcb, example.input("Kc_min"), kc_max, height);
    let day = DayInput { kcb, kc_max_climate: kc_max, fc, ..input(1) };
    let sprinkler = run_one(day, &Params { initial_fw: example.input("fw"), ..params() }, Floor::Bare);
    example.check("Kc_max", sprinkler.kc_max);
    example.check("fc", sprinkler.fc);
    example.check("few", sprinkler.few);
    example.check("upper_limit_few_Kcmax", sprinkler.few * sprinkler.kc_max);
    example.check("Ke", sprinkler.ke);
    example.check("Kc", sprinkler.kcb + sprinkler.ke);
    example.done();
    let mut furrow = Example::load("33");
    let row = run_one(day, &Params { initial_fw: furrow.input("fw"), ..params() }, Floor::Bare);
    furrow.check("few", row.few);
    furrow.check("upper_limit_few_Kcmax", row.few * row.kc_max);
    furrow.check("Ke", row.ke);
    furrow.check("Kc", row.kcb + row.ke);
    furrow.done();
}

#[test]
fn example_31_a_bare_soil_dries() {
    let rows = table("water/fao56_example31_bare_soil_drying.csv");
    let days: Vec<DayInput> = (1..)
        .zip(&rows)
        .map(|(n, row)| DayInput {
            eto_mm: row.number("ETo_mm_per_day"),
            kcb: row.number("Kcb"),
            kc_max_climate: row.number("Kc_max"),
            ..input(n)
        })
        .collect();
    let first = &rows[0];
    let soil = Params { tew_mm: first.number("TEW_mm"), rew_mm: first.number("REW_mm"), ..params() };
    for order in [Order::WettingFirst, Order::EvaporationFirst] {
        let run = daily::run(&days, &Params { order, ..soil }, Floor::Bare, Supply::Recorded);
        assert_eq!(run.len(), 10);
        for (ours, row) in run.iter().zip(&rows) {
            for (column, value) in [
                ("exact_Kr", ours.kr),
                ("exact_Ke", ours.ke),
                ("exact_E_mm_per_day", ours.e_mm),
                ("exact_De_end_mm", ours.de_end_mm),
                ("exact_ETc_mm_per_day", ours.etc_mm),
            ] {
                close(&format!("day {}, {column}", row.text("day")), value, row.number(column), 6e-5);
            }
            close("printed Kr", ours.kr, row.number("published_Kr"), 0.011);
            close("printed E", ours.e_mm, row.number("published_E_mm_per_day"), 0.011);
        }
    }
}

/// Ten days of examples 35 and 38. On the first the surface layer is dry: 50 mm in the wetted part
/// leave 32 mm below it.
fn ten_days() -> (Vec<Row>, Vec<Row>, Vec<DayInput>, Params) {
    let surface = table("water/fao56_example35_dual_daily.csv");
    let roots = table("water/fao56_example38_schedule_daily.csv");
    let days = (1..)
        .zip(surface.iter().zip(&roots))
        .map(|(n, (top, below))| DayInput {
            eto_mm: top.number("ETo_mm"),
            rain_mm: top.number("P_minus_RO_mm"),
            irrigation_gross_mm: top.number("I_mm_over_whole_field"),
            kcb: top.number("exact_Kcb"),
            // Kr is 1 on the first day: Kc max is Kcb and Ke together.
            kc_max_climate: surface[0].number("exact_Kc"),
            fc: 1.0 - top.number("exact_one_minus_fc"),
            root_depth_m: root_depth(n, below.number("exact_Zr_m")),
            ..input(n)
        })
        .collect();
    let soil = Params {
        fw: surface[0].number("fw"),
        initial_surface_depletion_mm: 18.0,
        initial_depletion_mm: roots[0].number("exact_Dr_prev_end_mm"),
        ..params()
    };
    (surface, roots, days, soil)
}

/// Roots grow evenly from 0.30 to 0.35 m; the table carries four decimals of it.
fn root_depth(day: u32, table: f64) -> f64 {
    let depth = 0.3 + 0.05 * f64::from(day - 1) / 9.0;
    close("Zr", depth, table, 5.1e-5);
    depth
}

#[test]
fn example_35_ten_days_of_the_surface() {
    let (rows, _, days, soil) = ten_days();
    let run = daily::run(&days, &soil, Floor::Bare, Supply::Recorded);
    assert_eq!(run.len(), 10);
    for (ours, row) in run.iter().zip(&rows) {
        for (column, value) in [
            ("exact_few", ours.few),
            ("exact_Kr", ours.kr),
            ("exact_Ke", ours.ke),
            ("exact_E_over_few_mm", ours.e_mm / ours.few),
            ("exact_DPe_mm", ours.dpe_mm),
            ("exact_De_end_mm", ours.de_end_mm),
            ("exact_E_mm", ours.e_mm),
            ("exact_Kc", ours.kcb + ours.ke),
            ("exact_ETc_mm", ours.etc_mm),
        ] {
            close(&format!("day {}, {column}", row.text("day")), value, row.number(column), 5e-4);
        }
    }
    // The print is right on days 1 and 2; day 3 is a known erratum that later days inherit.
    for (ours, row) in run.iter().zip(&rows).take(2) {
        close("printed Kr", ours.kr, row.number("pub_Kr"), 0.01);
        close("printed Ke", ours.ke, row.number("pub_Ke"), 0.01);
        close("printed De", ours.de_end_mm, row.number("pub_De_end_mm"), 0.5);
        close("printed E", ours.e_mm, row.number("pub_E_mm"), 0.1);
        close("printed ETc", ours.etc_mm, row.number("pub_ETc_mm"), 0.1);
    }
}

#[test]
fn example_38_ten_days_of_the_roots() {
    let (_, rows, mut days, soil) = ten_days();
    days[9].irrigation_gross_mm = rows[9].number("exact_I_mm");
    let run = daily::run(&days, &soil, Floor::Bare, Supply::Recorded);
    for (ours, row) in run.iter().zip(&rows) {
        for (column, value) in [
            ("exact_TAW_mm", ours.taw_mm),
            ("exact_RAW_mm", ours.raw_mm),
            ("exact_Ke", ours.ke),
            ("exact_ETc_mm", ours.etc_mm),
            ("exact_DP_drain_before_ET_mm", ours.dp_mm),
            ("exact_Dr_end_drain_before_ET_mm", ours.dr_end_mm),
            ("pub_Ks", ours.ks),
        ] {
            close(&format!("day {}, {column}", row.text("day")), value, row.number(column), 5e-4);
        }
    }
    for (ours, row) in run.iter().zip(&rows).take(2) {
        close("printed Dr", ours.dr_end_mm, row.number("pub_Dr_end_mm"), 0.5);
        close("printed DP", ours.dp_mm, row.number("pub_DP_mm"), 0.5);
    }
}

/// The rule irrigates on day 10 alone, judged by the evening of day 9, and refills the roots.
#[test]
fn example_38_the_rule_decides() {
    let (surface, rows, days, soil) = ten_days();
    let from_day_two = Params {
        initial_depletion_mm: rows[1].number("exact_Dr_prev_end_mm"),
        initial_surface_depletion_mm: surface[1].number("exact_De_start_mm"),
        initial_fw: surface[0].number("fw"),
        ..soil
    };
    let dry: Vec<DayInput> = days.iter().skip(1).copied().collect();
    let run = daily::run(&dry, &from_day_two, Floor::Bare, Supply::Rule);
    let sets: Vec<(usize, f64)> = run
        .iter()
        .enumerate()
        .filter(|(_, day)| day.irrigation_gross_mm > 0.0)
        .map(|(n, d)| (n, d.irrigation_gross_mm))
        .collect();
    assert_eq!(sets.len(), 1);
    assert_eq!(sets[0].0, 8, "the tenth day");
    close("depth of the set", sets[0].1, rows[9].number("exact_I_mm"), 1.5e-3);
    close("Dr after it", run[8].dr_end_mm, rows[9].number("exact_Dr_end_drain_before_ET_mm"), 1.5e-3);
}

#[test]
fn example_41_a_sparse_stand() {
    let mut example = Example::load("41");
    let (height, fc) = (example.input("height"), example.input("fc"));
    let sun = Sun::over(example.input("latitude"), day_number(example.input("day_of_year")));
    let sine = sun.noon_height_sine();
    let cover = sparse::effective_cover(fc, example.input("height_to_width_ratio"), sine);
    let climate = canopy::climate(example.input("u2"), example.input("RHmin"), height);
    let full = sparse::kcb_full(height, climate);
    let mid = sparse::kcb_mid(example.input("Kc_min"), full, fc, cover, height);
    example.check("solar_declination", sun.declination);
    example.check("sin_eta_noon", sine);
    example.check("eta", sine.asin());
    example.check("fc_eff", cover);
    example.check("Kcb_h_eq101", sparse::kcb_full(height, 0.0));
    example.check("Kcb_full_eq100", full);
    example.check("Kcb_mid_eq98", mid);
    for quantity in ["Kc_mid_low", "Kc_mid_high"] {
        example.leave(quantity, "single coefficient, a range by wetting frequency");
    }
    example.done();
    assert!((0.0..PI).contains(&sine.asin()));
}

/// Plastic over the whole surface.
#[test]
fn example_45_plastic_mulch() {
    let mut example = Example::load("45");
    let plastic = DayMulch { organic: 0.0, plastic: 1.0, covered: 1.0 };
    let kcb = |kcb| run_one(DayInput { kcb, mulch: plastic, ..input(1) }, &params(), Floor::Mulched(1.0)).kcb;
    example.check("Kcb_mid_mulched", kcb(example.input("Kcb_mid_table")));
    example.check("Kcb_end_mulched", kcb(example.input("Kcb_end_table")));
    for quantity in ["Kc_ini_mulched", "Kc_mid_mulched", "Kc_end_mulched"] {
        example.leave(quantity, "single coefficient: ours are dual");
    }
    example.leave("Kcb_ini_mulched", "set by judgement in the example, not by the rule");
    example.done();
}

#[test]
fn the_organic_rule() {
    let mut example = Example::load("organic_mulch_rule");
    let covered = example.input("surface_covered_by_organic_mulch") / 100.0;
    let mulch = DayMulch { organic: covered, plastic: 0.0, covered };
    let day = DayInput { mulch, ..input(1) };
    let (bare, mulched) = (run_one(day, &params(), Floor::Bare), run_one(day, &params(), Floor::Mulched(1.0)));
    assert!(bare.e_mm > 1.0);
    close("Kcb stays", mulched.kcb, bare.kcb, 0.0);
    example.check("reduction_of_soil_evaporation", 100.0 * (1.0 - mulched.e_mm / bare.e_mm));
    example.done();
}

/// Table 19 (p. 144): the presets are the middles of its ranges.
#[test]
fn table_19_soils() {
    let rows = table("water/fao56_table19_soil.csv");
    assert_eq!(rows.len(), Soil::ALL.len());
    for (soil, row) in Soil::ALL.into_iter().zip(&rows) {
        let middle = |low: &str, high: &str| f64::midpoint(row.number(low), row.number(high));
        let preset = preset::soil_water(soil);
        let name = row.text("soil_type");
        close(name, preset.field_capacity, middle("theta_FC_low_m3_per_m3", "theta_FC_high_m3_per_m3"), 1e-9);
        close(name, preset.wilting_point, middle("theta_WP_low_m3_per_m3", "theta_WP_high_m3_per_m3"), 1e-9);
        close(name, preset.rew_mm, middle("REW_low_mm", "REW_high_mm"), 1e-9);
        close(name, preset.tew_mm, middle("TEW_low_mm_at_Ze_0p10_m", "TEW_high_mm_at_Ze_0p10_m"), 1e-9);
    }
}

/// Tables 12 and 17 (p. 113 and 140), rows with killing frost; table 22 (p. 165) for p and roots.
#[test]
fn tables_12_17_and_22_crops() {
    let coefficients = table("water/fao56_crop_coefficients_stone_fruit.csv");
    let rooting = table("water/fao56_stage_lengths_rooting.csv");
    for (crop, cover, group) in [
        ("apricots_peaches_stone_fruit", "no_ground_cover", CropGroup::StoneFruit),
        ("apricots_peaches_stone_fruit", "active_ground_cover", CropGroup::StoneFruit),
        ("apples_cherries_pears", "no_ground_cover", CropGroup::PomeAndCherry),
        ("apples_cherries_pears", "active_ground_cover", CropGroup::PomeAndCherry),
        ("almonds", "no_ground_cover", CropGroup::Almond),
    ] {
        let is_it = |row: &&Row| {
            row.text("crop_group") == crop && row.text("ground_cover") == cover && row.text("frost") != "no_frost"
        };
        let row = coefficients.iter().find(is_it).unwrap_or_else(|| panic!("{crop} {cover}"));
        let preset = preset::crop_water(group, cover == "active_ground_cover");
        let printed = ["Kcb_ini", "Kcb_mid", "Kcb_end_before_leaf_drop"].map(|column| row.number(column));
        for (ours, theirs) in preset.kcb.into_iter().zip(printed) {
            close(crop, ours, theirs, 1e-9);
        }
        close(crop, preset.height_m, row.number("max_height_m"), 1e-9);
        let roots = rooting.iter().find(|row| row.text("table") == "22" && row.text("crop") == crop).unwrap();
        close(crop, preset.depletion_fraction, roots.number("p_at_ETc_5_mm_per_day"), 1e-9);
    }
}

/// Table 11 (p. 107), deciduous orchard, California; table 22, shallow end of rooting.
#[test]
fn tables_11_and_22_stage_lengths_and_roots() {
    use reckon::water::resolve::Resolved;
    use reckon::water::setup::Setting;
    let rows = table("water/fao56_stage_lengths_rooting.csv");
    let row = rows.iter().find(|row| row.text("region_or_note") == "California_USA").unwrap();
    let resolved = Resolved::of(&reckon::block::Block { crop: "peach".into(), ..Default::default() });
    for (setting, column) in [
        (Setting::InitialDays, "Lini_day"),
        (Setting::DevelopmentDays, "Ldev_day"),
        (Setting::MidDays, "Lmid_day"),
        (Setting::LateDays, "Llate_day"),
    ] {
        close(column, resolved.number(setting), row.number(column), 0.0);
    }
    assert_eq!(row.text("start_month"), "March");
    close("start", resolved.number(Setting::GrowthStartMonth), 3.0, 0.0);
    let roots = rows.iter().find(|row| row.text("crop") == "apricots_peaches_stone_fruit").unwrap();
    close("roots", resolved.number(Setting::RootDepthM), roots.number("Zr_max_low_m"), 0.0);
}

/// Table 20 (p. 149). The row for micro-sprinklers is from memory and no test.
#[test]
fn table_20_wetted_share() {
    let rows = table("water/fao56_table20_fw.csv");
    for (emitter, event) in [
        (Emitter::Drip, "trickle"),
        (Emitter::DoubleDrip, "trickle"),
        (Emitter::Sprinkler, "sprinkler"),
        (Emitter::Flood, "basin"),
        (Emitter::Furrow, "furrow_every_furrow_wide_bed"),
    ] {
        let row = rows.iter().find(|row| row.text("wetting_event") == event).unwrap();
        let (share, _) = preset::wetted_fraction(emitter);
        assert!((row.number("fw_low")..=row.number("fw_high")).contains(&share), "{event}");
    }
}

/// Source: FAO Irrigation Water Management Training Manual 4, annex I (quoted), and the look-up table
/// of a published water-demand model; see `fixtures/published/water/README.md`.
#[test]
fn application_efficiencies() {
    let rows = table("water/application_efficiency.csv");
    for (emitter, method) in [(Emitter::Drip, "drip"), (Emitter::Sprinkler, "sprinkler"), (Emitter::Furrow, "surface")]
    {
        let row = rows.iter().find(|row| row.text("method") == method).unwrap();
        close(method, preset::application_efficiency(emitter).0, row.number("field_application_efficiency_pct"), 0.0);
    }
}
