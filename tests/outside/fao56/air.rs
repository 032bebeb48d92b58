//! Radiation and reference evapotranspiration, chapters 3 and 4.

use chrono::NaiveDate;
use reckon::season::EtoSource;
use reckon::units::{Celsius, MetresPerSecond};
use reckon::weather::equations::{self as eq, Air, Sun};
use reckon::weather::{self, Filling, Site};

use super::{Example, day_number};
use crate::fixture::close;

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
    let ((sin_phi, cos_phi), (sin_delta, cos_delta)) = (sun.latitude.sin_cos(), sun.declination.sin_cos());
    example.check("sin(phi)sin(delta)", sin_phi * sin_delta);
    example.check("cos(phi)cos(delta)", cos_phi * cos_delta);
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
    let heat = eq::soil_heat_of_month(example.input("Tmean_this_month"), example.input("Tmean_previous_month"));
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
    let eto = weather::eto(&bangkok, &site, &Filling::default()).unwrap();
    assert_eq!(eto.source, EtoSource::PenmanMonteith);
    // A day has no soil heat flux: 0.14 MJ more than the month of the example, 0.039 mm.
    close("example 17 without soil heat", eto.mm, 5.716_12 + 0.14 * 3.965_31 / 14.1927, 1e-4);
    let lyon = reckon::records::WeatherDay { t_max: Celsius::new(26.6), t_min: Celsius::new(14.8), ..day(7, 15) };
    let site = Site { latitude_deg: Some(45.7167), elevation_m: Some(200.0) };
    let eto = weather::eto(&lyon, &site, &Filling::default()).unwrap();
    assert_eq!(eto.source, EtoSource::Hargreaves);
    close("example 20 by Hargreaves", eto.mm, 5.033_06, 1e-4);
    // The example's own way: everything but temperature estimated.
    let eto = weather::eto(&lyon, &site, &Filling { temperatures_alone: true, ..Filling::default() }).unwrap();
    assert_eq!(eto.source, EtoSource::PenmanMonteithFilled);
    close("example 20 by estimates", eto.mm, 4.560_44, 1e-4);
}

/// A day with nothing measured.
pub(crate) fn weather_day(date: NaiveDate) -> reckon::records::WeatherDay {
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
