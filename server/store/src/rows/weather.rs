//! Rows of weather days. They belong to a station that several farms may share.

use reckon::records::WeatherDay;
use reckon::units::{Celsius, MegajoulesPerSquareMetre, MetresPerSecond, Millimetres};

use crate::read::{Bad, measure_or_none, number_or_none};

record_row! {
    Weather, WeatherDay, "weather",
    place { station: String, }
    fields {
        t_max_c: Option<f64>,
        t_min_c: Option<f64>,
        rain_mm: Option<f64>,
        runoff_mm: Option<f64>,
        eto_mm: Option<f64>,
        solar_mj_m2: Option<f64>,
        sunshine_hours: Option<f64>,
        wind_m_s: Option<f64>,
        wind_height_m: Option<f64>,
        rh_max_pct: Option<f64>,
        rh_min_pct: Option<f64>,
        vapour_pressure_kpa: Option<f64>,
        dew_point_c: Option<f64>,
    }
}

impl From<&WeatherDay> for Fields {
    fn from(day: &WeatherDay) -> Self {
        Self {
            day: day.date,
            note: day.note.clone(),
            t_max_c: day.t_max.map(Celsius::get),
            t_min_c: day.t_min.map(Celsius::get),
            rain_mm: day.rain.map(Millimetres::get),
            runoff_mm: day.runoff.map(Millimetres::get),
            eto_mm: day.eto.map(Millimetres::get),
            solar_mj_m2: day.solar.map(MegajoulesPerSquareMetre::get),
            sunshine_hours: day.sunshine_hours,
            wind_m_s: day.wind.map(MetresPerSecond::get),
            wind_height_m: day.wind_height_m,
            rh_max_pct: day.rh_max_pct,
            rh_min_pct: day.rh_min_pct,
            vapour_pressure_kpa: day.vapour_pressure_kpa,
            dew_point_c: day.dew_point.map(Celsius::get),
        }
    }
}

impl TryFrom<Fields> for WeatherDay {
    type Error = Bad;

    fn try_from(row: Fields) -> Result<Self, Bad> {
        Ok(Self {
            date: row.day,
            t_max: measure_or_none(row.t_max_c, Celsius::new, "t_max_c")?,
            t_min: measure_or_none(row.t_min_c, Celsius::new, "t_min_c")?,
            rain: measure_or_none(row.rain_mm, Millimetres::new, "rain_mm")?,
            runoff: measure_or_none(row.runoff_mm, Millimetres::new, "runoff_mm")?,
            eto: measure_or_none(row.eto_mm, Millimetres::new, "eto_mm")?,
            solar: measure_or_none(row.solar_mj_m2, MegajoulesPerSquareMetre::new, "solar_mj_m2")?,
            sunshine_hours: number_or_none(row.sunshine_hours, "sunshine_hours")?,
            wind: measure_or_none(row.wind_m_s, MetresPerSecond::new, "wind_m_s")?,
            wind_height_m: number_or_none(row.wind_height_m, "wind_height_m")?,
            rh_max_pct: number_or_none(row.rh_max_pct, "rh_max_pct")?,
            rh_min_pct: number_or_none(row.rh_min_pct, "rh_min_pct")?,
            vapour_pressure_kpa: number_or_none(row.vapour_pressure_kpa, "vapour_pressure_kpa")?,
            dew_point: measure_or_none(row.dew_point_c, Celsius::new, "dew_point_c")?,
            note: row.note,
        })
    }
}
