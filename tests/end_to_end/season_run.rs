//! A measured season entered as files and run by `seasonbook reckon FOLDER --daily`, as an agronomist would.
//!
//! Source: output of pyfao56 1.4.3 (USDA-ARS, public domain) on measured weather of Greeley, Colorado, 2022;
//! parameters in `fixtures/published/water/season_run_a/parameters.toml`.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::path::Path;

use tests::program::{run_well, top};

type Rows = Vec<BTreeMap<String, String>>;

const BLOCK: &str = r#"
operation = "Test Orchards"

[farm]
name = "Station"
latitude_deg = 40.391537
elevation_m = 1425.0

[block]
block = "A"
crop = "peach"
variety = "none"
acres = 2.471054
trees = 500

[season]
year = 2022

[water]
field_capacity = 0.23
wilting_point = 0.1
initial_moisture = 0.21
root_depth_m = 1.0
depletion_fraction = 0.5
surface_depth_m = 0.1
rew_mm = 8.0
tew_mm = 18.0
initial_surface_depletion_mm = 18.0
initial_wetted_fraction = 1.0
height_m = 3.0
growth_start_month = 4
growth_start_day = 1
initial_days = 20
development_days = 70
mid_days = 90
late_days = 30
wetted_fraction = 0.35
application_efficiency_pct = 90.0
rule_depletion_mm = 18.0
rule_net_mm = 18.0
rule_first_month_day = 420
rule_last_month_day = 1012
"#;

fn published(name: &str) -> Rows {
    let path = top().join("fixtures/published/water/season_run_a").join(name);
    read(&fs::read_to_string(path).unwrap())
}

fn read(text: &str) -> Rows {
    csv::Reader::from_reader(text.as_bytes()).deserialize().map(Result::unwrap).collect()
}

/// Copies columns of the published inputs under our names.
fn copy_columns(rows: &Rows, columns: &[(&str, &str)]) -> String {
    let mut out = columns.iter().map(|(ours, _)| *ours).collect::<Vec<_>>().join(",");
    for row in rows {
        let cells: Vec<&str> = columns.iter().map(|(_, theirs)| row[*theirs].as_str()).collect();
        let _ = write!(out, "\n{}", cells.join(","));
    }
    out
}

fn enter(folder: &Path, weather: &[(&str, &str)], sets: &str) {
    let inputs = published("daily_inputs.csv");
    fs::write(folder.join("block.toml"), BLOCK).unwrap();
    fs::write(folder.join("weather.csv"), copy_columns(&inputs, weather)).unwrap();
    let canopy = [("date", "date"), ("kcb", "Kcb"), ("ground_cover", "fc")];
    fs::write(folder.join("canopy.csv"), copy_columns(&inputs, &canopy)).unwrap();
    fs::write(folder.join("mulch.csv"), "date,material,depth_in,share_pct\n2022-04-01,wood chips,4,40\n").unwrap();
    let mut irrigation = "date,depth_mm".to_owned();
    for row in published(sets).iter().filter(|row| row["irrigation_gross_mm"] != "0") {
        let _ = write!(irrigation, "\n{},{}", row["date"], row["irrigation_gross_mm"]);
    }
    fs::write(folder.join("irrigation.csv"), irrigation).unwrap();
}

fn daily(folder: &Path) -> Rows {
    run_well(folder, &["reckon", ".", "--daily", "daily.csv"]);
    read(&fs::read_to_string(folder.join("daily.csv")).unwrap())
}

/// Our column beside theirs, for every day of one run; gives back the largest difference of the running sums of E.
fn compare(ours: &Rows, run: &str, theirs: &str, tolerance: f64) {
    let columns = [
        ("eto_mm", "ETo_mm"),
        ("kcb", "Kcb"),
        ("kc_max", "Kc_max"),
        ("fw", "fw"),
        ("few", "few"),
        ("de_end_mm", "De_end_mm"),
        ("kr", "Kr"),
        ("ke", "Ke"),
        ("e_mm", "E_mm"),
        ("etc_mm", "ETc_mm"),
        ("taw_mm", "TAW_mm"),
        ("raw_mm", "RAW_mm"),
        ("ks", "Ks"),
        ("eta_mm", "ETa_mm"),
        ("t_mm", "T_mm"),
        ("dp_mm", "DP_mm"),
        ("dr_end_mm", "Dr_end_mm"),
        ("irrigation_gross_mm", "irrigation_gross_mm"),
        ("rain_mm", "rain_mm"),
    ];
    let theirs = published(theirs);
    let ours: Vec<_> = ours.iter().filter(|row| row["run"] == run).collect();
    assert_eq!(ours.len(), theirs.len(), "{run}: days");
    for (ours, theirs) in ours.iter().zip(&theirs) {
        assert_eq!(ours["date"], theirs["date"]);
        for (our, their) in columns {
            let difference = number(ours, our) - number(theirs, their);
            assert!(difference.abs() <= tolerance, "{run} {} {our}: {} and {}", ours["date"], ours[our], theirs[their]);
        }
    }
}

fn number(row: &BTreeMap<String, String>, column: &str) -> f64 {
    row[column].parse().unwrap()
}

#[test]
fn bare_and_mulched_agree_day_by_day() {
    let folder = tempfile::tempdir().unwrap();
    let weather = [
        ("date", "date"),
        ("eto_mm", "ETo_mm"),
        ("rain_mm", "rain_mm"),
        ("wind_m_s", "u2_m_per_s"),
        ("rh_min_pct", "RHmin_pct"),
    ];
    enter(folder.path(), &weather, "daily_bare.csv");
    let days = daily(folder.path());
    compare(&days, "by_rule_bare", "daily_bare.csv", 0.001);
    compare(&days, "by_rule", "daily_mulched.csv", 0.001);
    compare(&days, "as_irrigated_bare", "daily_bare.csv", 0.001);
    compare(&days, "as_irrigated", "daily_mulched_same_irrigation.csv", 0.001);
}

/// ETo from the station's own radiation, temperature, vapour pressure and wind: cumulative within 0.5 mm.
#[test]
fn weather_alone_gives_the_same_season() {
    let folder = tempfile::tempdir().unwrap();
    let weather = [
        ("date", "date"),
        ("tmax_c", "Tmax_degC"),
        ("tmin_c", "Tmin_degC"),
        ("solar_mj_m2", "solar_radiation_MJ_per_m2"),
        ("vapour_pressure_kpa", "ea_kPa"),
        ("rh_min_pct", "RHmin_pct"),
        ("wind_m_s", "wind_m_per_s_at_2_m"),
        ("rain_mm", "rain_mm"),
    ];
    enter(folder.path(), &weather, "daily_bare.csv");
    let days = daily(folder.path());
    for (run, file) in [("as_irrigated_bare", "daily_bare.csv"), ("as_irrigated", "daily_mulched_same_irrigation.csv")]
    {
        let theirs = published(file);
        for (our, their) in [("eto_mm", "ETo_mm"), ("e_mm", "E_mm"), ("eta_mm", "ETa_mm"), ("dp_mm", "DP_mm")] {
            let (mut ahead, mut worst) = (0.0_f64, 0.0_f64);
            for (ours, theirs) in days.iter().filter(|row| row["run"] == run).zip(&theirs) {
                ahead += number(ours, our) - number(theirs, their);
                worst = worst.max(ahead.abs());
            }
            assert!(worst < 0.5, "{run} {our}: {worst} mm");
        }
    }
}
