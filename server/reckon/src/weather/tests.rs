use super::*;
use crate::units::Millimetres;
use chrono::NaiveDate;

fn day() -> WeatherDay {
    WeatherDay {
        date: NaiveDate::from_ymd_opt(2022, 7, 6).unwrap(),
        t_max: Celsius::new(21.5),
        t_min: Celsius::new(12.3),
        rain: None,
        runoff: None,
        eto: None,
        solar: None,
        sunshine_hours: Some(9.25),
        wind: MetresPerSecond::new(10.0 / 3.6),
        wind_height_m: Some(10.0),
        rh_max_pct: Some(84.0),
        rh_min_pct: Some(63.0),
        vapour_pressure_kpa: None,
        dew_point: None,
        note: String::new(),
    }
}

const FILL: Filling =
    Filling { temperatures_alone: false, radiation_from_range: equations::INLAND, dew_below_low_c: 0.0 };
const SITE: Site = Site { latitude_deg: Some(50.8), elevation_m: Some(100.0) };

#[test]
fn the_best_source_there_is_comes_first() {
    let mut day = day();
    assert_eq!(eto(&day, &SITE, &FILL).unwrap().source, EtoSource::PenmanMonteith);
    assert_eq!(eto(&day, &Site { elevation_m: None, ..SITE }, &FILL).unwrap().source, EtoSource::Hargreaves);
    assert_eq!(eto(&day, &Site::default(), &FILL), None);
    day.wind = None;
    assert_eq!(eto(&day, &SITE, &FILL).unwrap().source, EtoSource::PenmanMonteithFilled);
    day.sunshine_hours = None;
    assert_eq!(eto(&day, &SITE, &FILL).unwrap().source, EtoSource::Hargreaves);
    let always = Filling { temperatures_alone: true, ..FILL };
    assert_eq!(eto(&day, &SITE, &always).unwrap().source, EtoSource::PenmanMonteithFilled);
    day.eto = Millimetres::new(4.2);
    let given = eto(&day, &Site::default(), &FILL).unwrap();
    assert_eq!(given.source, EtoSource::Station);
    assert!((given.mm - 4.2).abs() < 1e-12);
    assert_eq!(eto(&WeatherDay { eto: None, t_min: None, ..day }, &SITE, &FILL), None);
}

#[test]
fn any_form_of_humidity_serves() {
    let pair = vapour_pressure(&day()).unwrap();
    assert!((pair - 1.409).abs() < 0.002, "{pair}");
    let one = WeatherDay { rh_min_pct: None, ..day() };
    assert!((vapour_pressure(&one).unwrap() - 0.84 * equations::saturation(12.3)).abs() < 1e-12);
    let dew = WeatherDay { dew_point: Celsius::new(12.0), ..day() };
    assert!((vapour_pressure(&dew).unwrap() - equations::saturation(12.0)).abs() < 1e-12);
    let given = WeatherDay { vapour_pressure_kpa: Some(1.1), ..dew };
    assert!((vapour_pressure(&given).unwrap() - 1.1).abs() < 1e-12);
    assert_eq!(vapour_pressure(&WeatherDay { rh_max_pct: None, ..day() }), None);
}

#[test]
fn lowest_humidity_says_where_it_comes_from() {
    let mut day = day();
    assert_eq!(lowest_humidity(&day, &FILL), (63.0, HumiditySource::Measured));
    day.rh_min_pct = None;
    let (from_t_min, source) = lowest_humidity(&day, &FILL);
    assert_eq!(source, HumiditySource::LowestTemperature);
    assert!((from_t_min - 100.0 * equations::saturation(12.3) / equations::saturation(21.5)).abs() < 1e-12);
    day.dew_point = Celsius::new(10.0);
    assert_eq!(lowest_humidity(&day, &FILL).1, HumiditySource::DewPoint);
    day.vapour_pressure_kpa = Some(1.0);
    assert_eq!(lowest_humidity(&day, &FILL).1, HumiditySource::VapourPressure);
    day.t_max = None;
    assert_eq!(lowest_humidity(&day, &FILL), (STANDARD_HUMIDITY, HumiditySource::Standard));
}

#[test]
fn wind_without_a_height_is_wind_at_two_metres() {
    let mut day = day();
    assert!((wind(&day).unwrap() - 10.0 / 3.6 * 0.747_951).abs() < 1e-5);
    day.wind_height_m = None;
    assert!((wind(&day).unwrap() - 10.0 / 3.6).abs() < 1e-12);
}

#[test]
fn runoff_is_never_more_than_the_rain() {
    let wet = WeatherDay { rain: Millimetres::new(5.0), runoff: Millimetres::new(8.0), ..day() };
    assert_eq!(rain(&wet), (5.0, 5.0));
    assert_eq!(rain(&day()), (0.0, 0.0));
}

#[test]
fn a_polar_night_is_dark_and_a_polar_day_long() {
    let night = Sun::over(80.0, 355);
    assert!(night.extraterrestrial().abs() < 1e-9);
    assert!(night.daylight_hours().abs() < 1e-9);
    assert!((Sun::over(80.0, 172).daylight_hours() - 24.0).abs() < 1e-9);
}

/// P. 58-63: wind 2 m/s, the dew point at the lowest temperature or below it, radiation from the range.
#[test]
fn what_is_not_measured_is_estimated_by_rule() {
    let measured = WeatherDay { wind: MetresPerSecond::new(2.0), wind_height_m: None, ..day() };
    let mm = |day: &WeatherDay, filling: &Filling| eto(day, &SITE, filling).unwrap().mm;
    let no_wind = WeatherDay { wind: None, ..measured.clone() };
    assert!((mm(&no_wind, &FILL) - mm(&measured, &FILL)).abs() < 1e-12);
    let dry = Filling { dew_below_low_c: 2.0, ..FILL };
    let dew =
        WeatherDay { dew_point: Celsius::new(12.3 - 2.0), rh_max_pct: None, rh_min_pct: None, ..measured.clone() };
    let no_humidity = WeatherDay { dew_point: None, ..dew.clone() };
    assert!((mm(&no_humidity, &dry) - mm(&dew, &FILL)).abs() < 1e-12);
    assert!(mm(&no_humidity, &dry) > mm(&no_humidity, &FILL));
    let (low, source) = lowest_humidity(&no_humidity, &dry);
    assert_eq!(source, HumiditySource::LowestTemperature);
    assert!((low - lowest_humidity(&dew, &FILL).0).abs() < 1e-12);
}
