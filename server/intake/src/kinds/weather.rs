//! Days of a weather station.

use reckon::records::WeatherDay;
use reckon::units::{Celsius, MegajoulesPerSquareMetre, MetresPerSecond, Millimetres};
use rust_decimal::Decimal;

use crate::column::{Column, NOTE, day, number, text};
use crate::kinds::Printed;
use crate::row::{Bounds, Conversion, DateRule, PERCENT, Row, from, plain};

pub(super) const COLUMNS: &[Column] = &[
    day("date", "Day", "The day."),
    text("station", "Station", "Name of the weather station.", "River Bend").required(),
    number(
        "tmax_f",
        "High, Fahrenheit",
        "°F",
        "Highest air temperature. Give Fahrenheit or Celsius. Blank = not measured.",
        "88",
    ),
    number(
        "tmax_c",
        "High, Celsius",
        "°C",
        "Highest air temperature, instead of Fahrenheit. Blank = not measured.",
        "31.1",
    ),
    number(
        "tmin_f",
        "Low, Fahrenheit",
        "°F",
        "Lowest air temperature. Give Fahrenheit or Celsius. Blank = not measured.",
        "55",
    ),
    number(
        "tmin_c",
        "Low, Celsius",
        "°C",
        "Lowest air temperature, instead of Fahrenheit. Blank = not measured.",
        "12.8",
    ),
    number(
        "rain_in",
        "Rain in inches",
        "in",
        "Rain in inches. Give inches or millimetres. Blank = not measured.",
        "0.25",
    ),
    number(
        "rain_mm",
        "Rain in millimetres",
        "mm",
        "Rain in millimetres, instead of inches. Blank = not measured.",
        "6.4",
    ),
    number("runoff_in", "Runoff in inches", "in", "Rain that ran off, in inches. Blank = none measured.", "0.05"),
    number(
        "runoff_mm",
        "Runoff in millimetres",
        "mm",
        "Rain that ran off, in millimetres, instead of inches. Blank = none measured.",
        "1.2",
    ),
    number(
        "eto_in",
        "Station's ETo in inches",
        "in",
        "Grass-reference evapotranspiration as the station gives it. Blank = reckoned from the other columns.",
        "0.24",
    ),
    number("eto_mm", "Station's ETo in millimetres", "mm", "The same in millimetres, instead of inches.", "6.1"),
    number("solar_mj_m2", "Solar radiation", "MJ/m²", "Solar radiation of the day. Blank = not measured.", "27"),
    number("sunshine_hours", "Sunshine", "h", "Hours of bright sunshine. Blank = not measured.", "11.5"),
    number(
        "wind_mph",
        "Wind in miles an hour",
        "mph",
        "Mean wind of the day. Give miles an hour or metres a second. Blank = not measured.",
        "4.5",
    ),
    number(
        "wind_m_s",
        "Wind in metres a second",
        "m/s",
        "Mean wind of the day, instead of miles an hour. Blank = not measured.",
        "2",
    ),
    number("wind_height_m", "Height of the wind instrument", "m", "Metres above the ground. Blank = 2.", "2"),
    number("rh_max_pct", "Highest humidity", "%", "Highest relative humidity. Blank = not measured.", "81"),
    number("rh_min_pct", "Lowest humidity", "%", "Lowest relative humidity. Blank = not measured.", "24"),
    number(
        "vapour_pressure_kpa",
        "Vapour pressure",
        "kPa",
        "Actual vapour pressure in kilopascals. Blank = not measured.",
        "1.2",
    ),
    number(
        "dew_point_f",
        "Dew point, Fahrenheit",
        "°F",
        "Dew point. Give Fahrenheit or Celsius. Blank = not measured.",
        "48",
    ),
    number("dew_point_c", "Dew point, Celsius", "°C", "Dew point, instead of Fahrenheit. Blank = not measured.", "8.9"),
    NOTE,
];

const MEASURED: &[&str] = &[
    "tmax_f",
    "tmax_c",
    "tmin_f",
    "tmin_c",
    "rain_in",
    "rain_mm",
    "runoff_in",
    "runoff_mm",
    "eto_in",
    "eto_mm",
    "solar_mj_m2",
    "sunshine_hours",
    "wind_mph",
    "wind_m_s",
    "rh_max_pct",
    "rh_min_pct",
    "vapour_pressure_kpa",
    "dew_point_f",
    "dew_point_c",
];

/// Beyond the coldest and hottest air ever measured.
const CELSIUS: Bounds = from(-90.0).up_to(60.0);
const FAHRENHEIT: Bounds = from(-130.0).up_to(140.0);

pub(super) fn read(row: &mut Row<'_>) -> Option<WeatherDay> {
    let date = row.date("date", DateRule::InSeason);
    row.need_any(MEASURED);
    let t_max = celsius(row, "tmax_c", "tmax_f");
    let t_min = celsius(row, "tmin_c", "tmin_f");
    in_order(row, ["tmin_c", "tmin_f"], t_min, "the highest temperature of the day", t_max);
    let rain = millimetres(row, "rain_mm", "rain_in", 2_540.0);
    let runoff = millimetres(row, "runoff_mm", "runoff_in", 2_540.0);
    in_order(row, ["runoff_mm", "runoff_in"], runoff, "the rain of the day", rain);
    let eto = millimetres(row, "eto_mm", "eto_in", 50.8);
    let solar = row.float("solar_mj_m2", from(0.0).up_to(60.0));
    let sunshine_hours = row.float("sunshine_hours", from(0.0).up_to(24.0));
    let mph = ("wind_mph", from(0.0).up_to(250.0), Conversion::MPH_TO_METRES_PER_SECOND);
    let wind = row.either(("wind_m_s", from(0.0).up_to(110.0)), mph);
    let wind_height_m = row.float("wind_height_m", from(0.1).up_to(200.0));
    let rh_max_pct = row.float("rh_max_pct", PERCENT);
    let rh_min_pct = row.float("rh_min_pct", PERCENT);
    in_order(row, ["rh_min_pct", "rh_min_pct"], rh_min_pct, "rh_max_pct", rh_max_pct);
    let vapour_pressure_kpa = row.float("vapour_pressure_kpa", from(0.0).up_to(20.0));
    let dew_point = celsius(row, "dew_point_c", "dew_point_f");
    Some(WeatherDay {
        date: date?,
        t_max: t_max.map(Celsius::of),
        t_min: t_min.map(Celsius::of),
        rain: rain.map(Millimetres::of),
        runoff: runoff.map(Millimetres::of),
        eto: eto.map(Millimetres::of),
        solar: solar.map(MegajoulesPerSquareMetre::of),
        sunshine_hours,
        wind: wind.map(MetresPerSecond::of),
        wind_height_m,
        rh_max_pct,
        rh_min_pct,
        vapour_pressure_kpa,
        dew_point: dew_point.map(Celsius::of),
        note: row.text("note"),
    })
}

fn celsius(row: &mut Row<'_>, celsius: &'static str, fahrenheit: &'static str) -> Option<f64> {
    row.either((celsius, CELSIUS), (fahrenheit, FAHRENHEIT, Conversion::FAHRENHEIT_TO_CELSIUS))
}

fn millimetres(row: &mut Row<'_>, mm: &'static str, inches: &'static str, most_mm: f64) -> Option<f64> {
    let other = (inches, from(0.0).up_to(most_mm / 25.4), Conversion::INCHES_TO_MM);
    row.either((mm, from(0.0).up_to(most_mm)), other)
}

/// The lesser value, in whichever of its columns it stands, must not be above the greater.
fn in_order(row: &mut Row<'_>, columns: [&'static str; 2], lesser: Option<f64>, than: &str, greater: Option<f64>) {
    if let (Some(lesser), Some(greater)) = (lesser, greater)
        && lesser > greater
    {
        let name = columns.into_iter().find(|name| row.has(name)).unwrap_or_default();
        row.problem_like(name, format!("no more than {than} ({})", as_typed(name, greater)), "");
    }
}

/// A value as it is kept, in the unit of a column.
fn as_typed(column: &str, kept: f64) -> String {
    let turned = |way: Conversion| {
        let value = Decimal::try_from(kept).ok().and_then(|value| way.back(value));
        value.map_or_else(|| plain(kept), |value| value.to_string())
    };
    match column {
        "tmin_f" => format!("{} °F", turned(Conversion::FAHRENHEIT_TO_CELSIUS)),
        "tmin_c" => format!("{} °C", plain(kept)),
        "runoff_in" => format!("{} in", turned(Conversion::INCHES_TO_MM)),
        "runoff_mm" => format!("{} mm", plain(kept)),
        _ => plain(kept),
    }
}

pub(super) fn print(day: &WeatherDay) -> Vec<(&'static str, String)> {
    Printed::default()
        .put("date", day.date)
        .maybe_float("tmax_c", day.t_max.map(Celsius::get))
        .maybe_float("tmin_c", day.t_min.map(Celsius::get))
        .maybe_float("rain_mm", day.rain.map(Millimetres::get))
        .maybe_float("runoff_mm", day.runoff.map(Millimetres::get))
        .maybe_float("eto_mm", day.eto.map(Millimetres::get))
        .maybe_float("solar_mj_m2", day.solar.map(MegajoulesPerSquareMetre::get))
        .maybe_float("sunshine_hours", day.sunshine_hours)
        .maybe_float("wind_m_s", day.wind.map(MetresPerSecond::get))
        .maybe_float("wind_height_m", day.wind_height_m)
        .maybe_float("rh_max_pct", day.rh_max_pct)
        .maybe_float("rh_min_pct", day.rh_min_pct)
        .maybe_float("vapour_pressure_kpa", day.vapour_pressure_kpa)
        .maybe_float("dew_point_c", day.dew_point.map(Celsius::get))
        .text("note", &day.note)
        .done()
}
