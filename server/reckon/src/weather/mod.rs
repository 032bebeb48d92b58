//! What a station's day says: reference evapotranspiration, wind at 2 m, lowest humidity.

pub mod doubt;
pub mod effective_rain;
pub mod equations;

use chrono::Datelike;

use crate::block::Farm;
use crate::records::WeatherDay;
use crate::season::EtoSource;
use crate::units::{Celsius, MegajoulesPerSquareMetre, MetresPerSecond, Millimetres};

use equations::{Air, Sun};

/// Where the station stands, as far as the farm says.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Site {
    /// Degrees north, negative to the south.
    pub latitude_deg: Option<f64>,
    /// Metres above the sea.
    pub elevation_m: Option<f64>,
}

impl Site {
    /// The farm's.
    pub const fn of(farm: &Farm) -> Self {
        Self { latitude_deg: farm.latitude_deg, elevation_m: farm.elevation_m }
    }
}

/// How what a station does not measure is estimated (chapter 3, p. 58-63).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Filling {
    /// Whether to estimate on days with temperatures alone, in place of Hargreaves.
    pub temperatures_alone: bool,
    /// Coefficient of radiation from the temperature range (eq. 50).
    pub radiation_from_range: f64,
    /// Degrees that the dew point is below the lowest temperature (eq. 48; 2 in dry country).
    pub dew_below_low_c: f64,
}

impl Default for Filling {
    fn default() -> Self {
        Self { temperatures_alone: false, radiation_from_range: equations::INLAND, dew_below_low_c: 0.0 }
    }
}

/// Reference evapotranspiration of a day and how it is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Eto {
    /// mm.
    pub mm: f64,
    /// How.
    pub source: EtoSource,
}

/// How the day's lowest relative humidity is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum HumiditySource {
    /// Measured.
    Measured,
    /// From the actual vapour pressure and the highest temperature.
    VapourPressure,
    /// From the dew point and the highest temperature (eq. 63).
    DewPoint,
    /// The lowest temperature stands for the dew point (eq. 64).
    LowestTemperature,
    /// Nothing measured: 45 %, the standard climate of the crop coefficients.
    Standard,
}

/// Lowest relative humidity of the climate the tabulated crop coefficients stand for, percent.
pub const STANDARD_HUMIDITY: f64 = 45.0;
/// Wind at 2 m of that climate, m/s.
pub const STANDARD_WIND: f64 = 2.0;

/// Reference evapotranspiration of a day: as the station gives it, else Penman-Monteith where
/// temperatures and radiation (or sunshine) exist, with humidity and wind estimated where they are
/// missing, else Hargreaves from temperatures, else `None`. The reckoned ones need the latitude,
/// Penman-Monteith also the elevation.
pub fn eto(day: &WeatherDay, site: &Site, filling: &Filling) -> Option<Eto> {
    if let Some(given) = day.eto {
        return Some(Eto { mm: given.get().max(0.0), source: EtoSource::Station });
    }
    let (t_max, t_min) = temperatures(day)?;
    let sun = Sun::over(site.latitude_deg?, day.date.ordinal());
    let by_energy = site.elevation_m.and_then(|elevation| penman_monteith(day, &sun, elevation, filling));
    Some(by_energy.unwrap_or_else(|| Eto {
        mm: equations::hargreaves(t_max, t_min, sun.extraterrestrial()).max(0.0),
        source: EtoSource::Hargreaves,
    }))
}

fn penman_monteith(day: &WeatherDay, sun: &Sun, elevation: f64, filling: &Filling) -> Option<Eto> {
    let (t_max, t_min) = temperatures(day)?;
    let above = sun.extraterrestrial();
    let clear = equations::clear_sky(elevation, above);
    let measured = day
        .solar
        .map(MegajoulesPerSquareMetre::get)
        .or_else(|| day.sunshine_hours.map(|hours| equations::solar_from_sunshine(hours, sun.daylight_hours(), above)));
    let (vapour, wind) = (vapour_pressure(day), wind(day));
    let source = match (measured, vapour, wind) {
        (Some(_), Some(_), Some(_)) => EtoSource::PenmanMonteith,
        (None, ..) if !filling.temperatures_alone => return None,
        _ => EtoSource::PenmanMonteithFilled,
    };
    let by_range = || equations::solar_from_temperatures(filling.radiation_from_range, t_max, t_min, above).min(clear);
    let solar = measured.unwrap_or_else(by_range);
    let vapour = vapour.unwrap_or_else(|| equations::saturation(t_min - filling.dew_below_low_c));
    let air = Air {
        t_mean: f64::midpoint(t_max, t_min),
        psychrometric: equations::psychrometric(equations::pressure(elevation)),
        net_radiation: equations::net_shortwave(solar) - equations::net_longwave(t_max, t_min, vapour, solar, clear),
        wind: wind.unwrap_or(STANDARD_WIND),
        saturation: equations::mean_saturation(t_max, t_min),
        vapour,
    };
    Some(Eto { mm: air.penman_monteith().max(0.0), source })
}

fn temperatures(day: &WeatherDay) -> Option<(f64, f64)> {
    Some((day.t_max.map(Celsius::get)?, day.t_min.map(Celsius::get)?))
}

/// Actual vapour pressure, kPa: given, from the dew point (eq. 14), or from humidity (eq. 17, 18).
pub fn vapour_pressure(day: &WeatherDay) -> Option<f64> {
    if let Some(given) = day.vapour_pressure_kpa {
        return Some(given);
    }
    if let Some(dew) = day.dew_point {
        return Some(equations::saturation(dew.get()));
    }
    let (t_max, t_min) = temperatures(day)?;
    let highest = day.rh_max_pct?;
    Some(day.rh_min_pct.map_or_else(
        || equations::vapour_from_rh_max(t_min, highest),
        |lowest| equations::vapour_from_humidity(t_max, t_min, highest, lowest),
    ))
}

/// Wind at 2 m. A station that names no height is taken to measure there.
pub fn wind(day: &WeatherDay) -> Option<f64> {
    let speed = day.wind.map(MetresPerSecond::get)?;
    // Below 10 cm the logarithmic profile of eq. 47 has no meaning.
    Some(day.wind_height_m.filter(|h| *h > 0.1).map_or(speed, |h| equations::wind_at_two_metres(speed, h)))
}

/// Lowest relative humidity of the day, percent, and how it is known.
pub fn lowest_humidity(day: &WeatherDay, filling: &Filling) -> (f64, HumiditySource) {
    if let Some(measured) = day.rh_min_pct {
        return (measured, HumiditySource::Measured);
    }
    let Some(t_max) = day.t_max.map(Celsius::get) else { return (STANDARD_HUMIDITY, HumiditySource::Standard) };
    let over_noon = |vapour: f64| (100.0 * vapour / equations::saturation(t_max)).min(100.0);
    if let Some(vapour) = day.vapour_pressure_kpa {
        return (over_noon(vapour), HumiditySource::VapourPressure);
    }
    let dew = |celsius: f64| over_noon(equations::saturation(celsius));
    match (day.dew_point.map(Celsius::get), day.t_min.map(Celsius::get)) {
        (Some(point), _) => (dew(point), HumiditySource::DewPoint),
        (None, Some(lowest)) => (dew(lowest - filling.dew_below_low_c), HumiditySource::LowestTemperature),
        (None, None) => (STANDARD_HUMIDITY, HumiditySource::Standard),
    }
}

/// Rain of the day that did not run off, and what ran off, mm.
pub fn rain(day: &WeatherDay) -> (f64, f64) {
    let rain = day.rain.map_or(0.0, Millimetres::get).max(0.0);
    let runoff = day.runoff.map_or(0.0, Millimetres::get).clamp(0.0, rain);
    (rain, runoff)
}

#[cfg(test)]
mod tests;
