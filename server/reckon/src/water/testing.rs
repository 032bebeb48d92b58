//! Dry weeks and mulch for the tests of the water rooms.

use chrono::{Days, NaiveDate};

use crate::exact::Years;
use crate::records::{MulchApplication, MulchKind, MulchShape, WeatherDay};
use crate::season::SeasonRecords;
use crate::testing::{date, records};
use crate::units::{Inches, Millimetres};
use crate::water::setup::Soil;

pub(crate) use crate::testing::kept;

/// A day with its reference ET and rain, mm.
pub(crate) fn weather(day: NaiveDate, eto: Option<f64>, rain: f64) -> WeatherDay {
    WeatherDay {
        date: day,
        t_max: None,
        t_min: None,
        rain: Millimetres::new(rain),
        runoff: None,
        eto: eto.and_then(Millimetres::new),
        solar: None,
        sunshine_hours: None,
        wind: None,
        wind_height_m: None,
        rh_max_pct: None,
        rh_min_pct: Some(40.0),
        vapour_pressure_kpa: None,
        dew_point: None,
        note: String::new(),
    }
}

/// So many days from a first one.
pub(crate) fn days(first: NaiveDate, n: u64) -> impl Iterator<Item = NaiveDate> {
    (0..n).map(move |k| first + Days::new(k))
}

/// A loam block under `n` dry days of 6 mm from 1 May.
pub(crate) fn dry(n: u64) -> SeasonRecords {
    let mut records = records();
    records.block.water.soil = Some(Soil::Loam);
    records.weather = kept(days(date(5, 1), n).map(|day| weather(day, Some(6.0), 0.0)));
    records
}

/// Four inches of wood chips, laid on 1 April.
pub(crate) fn mulch(shape: MulchShape) -> MulchApplication {
    MulchApplication {
        date: date(4, 1),
        material: "wood chips".into(),
        kind: MulchKind::Organic,
        depth: Inches::of(4.0),
        shape,
        clear_radius: Inches::of(12.0),
        life: Years::whole(2).unwrap(),
        material_cost: None,
        delivery_cost: None,
        spreading_cost: None,
        note: String::new(),
    }
}
