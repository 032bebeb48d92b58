//! Equations of reference evapotranspiration.
//!
//! Source of all: Allen, Pereira, Raes, Smith (1998), FAO Irrigation and Drainage Paper 56,
//! chapters 3 and 4 and annex 3. Radiation in MJ m-2 day-1, pressures in kPa, temperatures in °C,
//! wind in m/s, depths in mm/day, lengths in m.

use core::f64::consts::PI;

/// Evaporation equivalent of radiation, mm for each MJ m-2 (eq. 20).
pub const MM_PER_MEGAJOULE: f64 = 0.408;
/// Solar constant, MJ m-2 min-1.
const SOLAR_CONSTANT: f64 = 0.0820;
/// Stefan-Boltzmann constant, MJ K-4 m-2 day-1.
const STEFAN_BOLTZMANN: f64 = 4.903e-9;
/// Reflection of the hypothetical grass.
const ALBEDO: f64 = 0.23;
/// Adjustment coefficient of eq. 50 for places away from a coast.
pub const INLAND: f64 = 0.16;
/// Wind speed below which eq. 6 is not used (p. 63).
const LOWEST_WIND: f64 = 0.5;

/// Saturation vapour pressure at a temperature (eq. 11).
pub fn saturation(celsius: f64) -> f64 {
    0.6108 * libm::exp(17.27 * celsius / (celsius + 237.3))
}

/// Mean saturation vapour pressure of a day (eq. 12): of the extremes, not of their mean.
pub fn mean_saturation(t_max: f64, t_min: f64) -> f64 {
    f64::midpoint(saturation(t_max), saturation(t_min))
}

/// Slope of the saturation curve, kPa/°C (eq. 13).
pub fn slope(celsius: f64) -> f64 {
    let above = celsius + 237.3;
    4098.0 * saturation(celsius) / (above * above)
}

/// Atmospheric pressure at an elevation (eq. 7).
pub fn pressure(elevation_m: f64) -> f64 {
    101.3 * libm::pow((293.0 - 0.0065 * elevation_m) / 293.0, 5.26)
}

/// Psychrometric constant, kPa/°C (eq. 8).
pub fn psychrometric(pressure: f64) -> f64 {
    0.665e-3 * pressure
}

/// Actual vapour pressure from the day's highest and lowest relative humidity, percent (eq. 17).
pub fn vapour_from_humidity(t_max: f64, t_min: f64, rh_max: f64, rh_min: f64) -> f64 {
    f64::midpoint(saturation(t_min) * rh_max / 100.0, saturation(t_max) * rh_min / 100.0)
}

/// Actual vapour pressure from the day's highest relative humidity alone, percent (eq. 18).
pub fn vapour_from_rh_max(t_min: f64, rh_max: f64) -> f64 {
    saturation(t_min) * rh_max / 100.0
}

/// Wind speed at 2 m from another height (eq. 47).
pub fn wind_at_two_metres(wind: f64, height_m: f64) -> f64 {
    wind * 4.87 / libm::log(67.8 * height_m - 5.42)
}

/// The sun over a place on a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sun {
    /// Latitude, radians, negative to the south.
    pub latitude: f64,
    /// Inverse relative distance Earth to sun (eq. 23).
    pub distance: f64,
    /// Solar declination, radians (eq. 24).
    pub declination: f64,
    /// Sunset hour angle, radians (eq. 25); 0 in polar night, pi on a polar day.
    pub sunset: f64,
}

impl Sun {
    /// At a latitude in degrees on a day of the year (1 = 1 January).
    pub fn over(latitude_deg: f64, day_of_year: u32) -> Self {
        let latitude = latitude_deg * PI / 180.0;
        let turn = 2.0 * PI * f64::from(day_of_year) / 365.0;
        let declination = 0.409 * libm::sin(turn - 1.39);
        let cosine = (-libm::tan(latitude) * libm::tan(declination)).clamp(-1.0, 1.0);
        Self { latitude, distance: 1.0 + 0.033 * libm::cos(turn), declination, sunset: libm::acos(cosine) }
    }

    /// Radiation above the atmosphere (eq. 21).
    pub fn extraterrestrial(&self) -> f64 {
        let up = libm::sin(self.latitude) * libm::sin(self.declination) * self.sunset;
        let across = libm::cos(self.latitude) * libm::cos(self.declination) * libm::sin(self.sunset);
        24.0 * 60.0 / PI * SOLAR_CONSTANT * self.distance * (up + across)
    }

    /// Longest possible sunshine, hours (eq. 34).
    pub fn daylight_hours(&self) -> f64 {
        24.0 / PI * self.sunset
    }

    /// Sine of the sun's height at noon (box 18, p. 188).
    pub fn noon_height_sine(&self) -> f64 {
        libm::sin(self.latitude) * libm::sin(self.declination) + libm::cos(self.latitude) * libm::cos(self.declination)
    }
}

/// Solar radiation from hours of bright sunshine (eq. 35, a = 0.25, b = 0.50).
pub fn solar_from_sunshine(hours: f64, daylight: f64, extraterrestrial: f64) -> f64 {
    let share = if daylight > 0.0 { hours / daylight } else { 0.0 };
    (0.25 + 0.50 * share) * extraterrestrial
}

/// Solar radiation from the temperature range (eq. 50); `k` is [`INLAND`] away from a coast.
pub fn solar_from_temperatures(k: f64, t_max: f64, t_min: f64, extraterrestrial: f64) -> f64 {
    k * (t_max - t_min).max(0.0).sqrt() * extraterrestrial
}

/// Radiation under a clear sky (eq. 37).
pub fn clear_sky(elevation_m: f64, extraterrestrial: f64) -> f64 {
    (0.75 + 2e-5 * elevation_m) * extraterrestrial
}

/// Soil heat flux of a month from the mean temperatures of this month and the one before, while the
/// next is not known (p. 68). A day takes none.
pub fn soil_heat_of_month(this_month: f64, month_before: f64) -> f64 {
    0.14 * (this_month - month_before)
}

/// Net shortwave radiation (eq. 38).
pub fn net_shortwave(solar: f64) -> f64 {
    (1.0 - ALBEDO) * solar
}

/// Net longwave radiation (eq. 39). The relative shortwave radiation counts as 1 at most and, under
/// dense cloud, as 0.3 at least (limits of the ASCE standardized reference equation, 2005; the paper
/// itself says "about 0.33").
pub fn net_longwave(t_max: f64, t_min: f64, vapour: f64, solar: f64, clear: f64) -> f64 {
    let fourth = |celsius: f64| {
        let square = (celsius + 273.16) * (celsius + 273.16);
        square * square
    };
    let relative = if clear > 0.0 { (solar / clear).clamp(0.3, 1.0) } else { 1.0 };
    let clouds = 1.35 * relative - 0.35;
    STEFAN_BOLTZMANN * f64::midpoint(fourth(t_max), fourth(t_min)) * (0.34 - 0.14 * vapour.max(0.0).sqrt()) * clouds
}

/// What the Penman-Monteith equation takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Mean temperature, of the extremes.
    pub t_mean: f64,
    /// Psychrometric constant.
    pub psychrometric: f64,
    /// Net radiation less soil heat flux.
    pub net_radiation: f64,
    /// Wind at 2 m.
    pub wind: f64,
    /// Mean saturation vapour pressure.
    pub saturation: f64,
    /// Actual vapour pressure.
    pub vapour: f64,
}

impl Air {
    fn wind(&self) -> f64 {
        self.wind.max(LOWEST_WIND)
    }

    fn divisor(&self) -> f64 {
        slope(self.t_mean) + self.psychrometric * (1.0 + 0.34 * self.wind())
    }

    /// Radiation term of eq. 6, mm/day.
    pub fn radiation_term(&self) -> f64 {
        MM_PER_MEGAJOULE * slope(self.t_mean) * self.net_radiation / self.divisor()
    }

    /// Aerodynamic term of eq. 6, mm/day.
    pub fn aerodynamic_term(&self) -> f64 {
        let deficit = self.saturation - self.vapour;
        self.psychrometric * 900.0 / (self.t_mean + 273.0) * self.wind() * deficit / self.divisor()
    }

    /// Reference evapotranspiration (eq. 6), mm/day.
    pub fn penman_monteith(&self) -> f64 {
        self.radiation_term() + self.aerodynamic_term()
    }
}

/// Reference evapotranspiration from temperatures alone (eq. 52), mm/day; radiation in MJ m-2.
pub fn hargreaves(t_max: f64, t_min: f64, extraterrestrial: f64) -> f64 {
    let range = (t_max - t_min).max(0.0).sqrt();
    0.0023 * (f64::midpoint(t_max, t_min) + 17.8) * range * MM_PER_MEGAJOULE * extraterrestrial
}
