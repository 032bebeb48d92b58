//! Weather that cannot be: named, and not used.
//!
//! Files and forms refuse most of it; what reaches the balance by another way is caught here. What
//! depends on the place (radiation under a clear sky) can only be seen here.

use std::borrow::Cow;

use chrono::Datelike;

use super::equations::{self, Sun};
use super::{Site, equations::saturation};
use crate::records::WeatherDay;
use crate::units::{Celsius, MegajoulesPerSquareMetre, Millimetres};

/// How far measured radiation may be above that of a clear sky before it is not used: errors of
/// calibration and level; common practice, no source.
const BRIGHT: f64 = 1.10;
/// Sunshine beyond the longest day that rounding to a tenth of an hour explains.
const SUNSHINE_SLACK: f64 = 0.1;

/// What is wrong with a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Doubt {
    /// The low is above the high; both are left out.
    LowAboveHigh,
    /// Humidity outside 0 to 100 %, its low above its high, or a dew point above the high
    /// temperature; humidity is left out.
    Humidity,
    /// Rain, runoff or reference ET below zero; they are left out.
    BelowZero,
    /// Radiation or sunshine well above what a clear sky can give; left out.
    TooBright,
    /// Radiation a little above a clear sky's; used as measured.
    Bright,
}

/// The day without what cannot be, and what that was.
pub fn checked<'d>(day: &'d WeatherDay, site: &Site) -> (Cow<'d, WeatherDay>, Vec<Doubt>) {
    let doubts: Vec<Doubt> = [
        low_above_high(day).then_some(Doubt::LowAboveHigh),
        impossible_humidity(day).then_some(Doubt::Humidity),
        below_zero(day).then_some(Doubt::BelowZero),
        brightness(day, site),
    ]
    .into_iter()
    .flatten()
    .collect();
    if doubts.is_empty() {
        return (Cow::Borrowed(day), doubts);
    }
    let mut clean = day.clone();
    for doubt in &doubts {
        leave_out(&mut clean, *doubt);
    }
    (Cow::Owned(clean), doubts)
}

fn leave_out(day: &mut WeatherDay, doubt: Doubt) {
    match doubt {
        Doubt::LowAboveHigh => (day.t_max, day.t_min) = (None, None),
        Doubt::Humidity => {
            (day.rh_max_pct, day.rh_min_pct) = (None, None);
            (day.vapour_pressure_kpa, day.dew_point) = (None, None);
        }
        Doubt::BelowZero => {
            let at_least_zero = |mm: &Millimetres| mm.get() >= 0.0;
            day.rain = day.rain.filter(at_least_zero);
            day.runoff = day.runoff.filter(at_least_zero);
            day.eto = day.eto.filter(at_least_zero);
        }
        Doubt::TooBright => (day.solar, day.sunshine_hours) = (None, None),
        Doubt::Bright => {}
    }
}

fn low_above_high(day: &WeatherDay) -> bool {
    day.t_min.zip(day.t_max).is_some_and(|(low, high)| low > high)
}

fn impossible_humidity(day: &WeatherDay) -> bool {
    let outside = |share: Option<f64>| share.is_some_and(|pct| !(0.0..=100.0).contains(&pct));
    let crossed = day.rh_min_pct.zip(day.rh_max_pct).is_some_and(|(low, high)| low > high);
    let high = day.t_max.map(Celsius::get);
    let dew = day.dew_point.zip(day.t_max).is_some_and(|(dew, high)| dew > high);
    let vapour =
        day.vapour_pressure_kpa.is_some_and(|kpa| kpa < 0.0 || high.is_some_and(|high| kpa > saturation(high)));
    outside(day.rh_max_pct) || outside(day.rh_min_pct) || crossed || dew || vapour
}

fn below_zero(day: &WeatherDay) -> bool {
    [day.rain, day.runoff, day.eto].into_iter().flatten().any(|mm| mm.get() < 0.0)
}

/// Radiation needs the place; nothing is said without it.
fn brightness(day: &WeatherDay, site: &Site) -> Option<Doubt> {
    let sun = Sun::over(site.latitude_deg?, day.date.ordinal());
    if day.sunshine_hours.is_some_and(|hours| hours > sun.daylight_hours() + SUNSHINE_SLACK) {
        return Some(Doubt::TooBright);
    }
    let solar = day.solar.map(MegajoulesPerSquareMetre::get)?;
    let clear = equations::clear_sky(site.elevation_m?, sun.extraterrestrial());
    if solar > BRIGHT * clear {
        return Some(Doubt::TooBright);
    }
    (solar > clear).then_some(Doubt::Bright)
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::NaiveDate;

    const SITE: Site = Site { latitude_deg: Some(38.0), elevation_m: Some(1000.0) };

    fn day() -> WeatherDay {
        WeatherDay {
            date: NaiveDate::from_ymd_opt(2026, 6, 21).unwrap(),
            t_max: Celsius::new(31.0),
            t_min: Celsius::new(12.0),
            rain: Millimetres::new(0.0),
            runoff: None,
            eto: None,
            solar: MegajoulesPerSquareMetre::new(28.0),
            sunshine_hours: None,
            wind: None,
            wind_height_m: None,
            rh_max_pct: Some(80.0),
            rh_min_pct: Some(20.0),
            vapour_pressure_kpa: None,
            dew_point: None,
            note: String::new(),
        }
    }

    fn doubts(day: &WeatherDay) -> Vec<Doubt> {
        checked(day, &SITE).1
    }

    #[test]
    fn an_ordinary_day_is_taken_as_it_is() {
        let day = day();
        let (clean, doubts) = checked(&day, &SITE);
        assert!(matches!(clean, Cow::Borrowed(_)));
        assert!(doubts.is_empty());
    }

    #[test]
    fn what_cannot_be_is_named_and_left_out() {
        let crossed = WeatherDay { t_min: Celsius::new(33.0), ..day() };
        assert_eq!(doubts(&crossed), [Doubt::LowAboveHigh]);
        assert_eq!(checked(&crossed, &SITE).0.t_max, None);
        for humid in [
            WeatherDay { rh_max_pct: Some(104.0), ..day() },
            WeatherDay { rh_min_pct: Some(85.0), ..day() },
            WeatherDay { rh_min_pct: Some(-1.0), ..day() },
            WeatherDay { dew_point: Celsius::new(31.5), ..day() },
            WeatherDay { vapour_pressure_kpa: Some(5.0), ..day() },
        ] {
            assert_eq!(doubts(&humid), [Doubt::Humidity], "{humid:?}");
            assert_eq!(checked(&humid, &SITE).0.rh_max_pct, None);
        }
        let negative = WeatherDay { rain: Millimetres::new(-2.0), eto: Millimetres::new(4.0), ..day() };
        assert_eq!(doubts(&negative), [Doubt::BelowZero]);
        let clean = checked(&negative, &SITE).0;
        assert_eq!((clean.rain, clean.eto), (None, Millimetres::new(4.0)));
    }

    #[test]
    fn radiation_is_held_against_a_clear_sky() {
        let clear = equations::clear_sky(1000.0, Sun::over(38.0, 172).extraterrestrial());
        let sunny = |times: f64| WeatherDay { solar: MegajoulesPerSquareMetre::new(times * clear), ..day() };
        assert_eq!(doubts(&sunny(0.999)), []);
        assert_eq!(doubts(&sunny(1.05)), [Doubt::Bright]);
        assert_eq!(doubts(&sunny(1.11)), [Doubt::TooBright]);
        assert!(checked(&sunny(1.05), &SITE).0.solar.is_some());
        assert_eq!(checked(&sunny(1.11), &SITE).0.solar, None);
        let long = WeatherDay { solar: None, sunshine_hours: Some(15.5), ..day() };
        assert_eq!(doubts(&long), [Doubt::TooBright]);
        assert_eq!(checked(&sunny(1.5), &Site::default()).1, [], "no place, no clear sky");
    }
}
