//! Weeks, months and readings as numbers.

use chrono::Days;
use print::{figures, words};
use reckon::season::{TensionPoint, WaterSeason, WaterWeek};
use reckon::units::Inches;
use reckon::water::months::WaterMonth;

use crate::display::shown;

/// One week: inches over the block, tension in kPa.
pub(super) struct Week {
    pub(super) starts: String,
    pub(super) need: String,
    pub(super) need_bare: String,
    pub(super) applied: String,
    pub(super) rain: String,
    pub(super) rain_kept: String,
    pub(super) drained: String,
    pub(super) depletion: String,
    /// `24`, or `18 to 31`; empty without a reading.
    pub(super) tension: String,
}

pub(super) fn weeks(water: &WaterSeason) -> Vec<Week> {
    water.weeks.iter().map(|week| of_week(week, &water.tension)).collect()
}

fn of_week(week: &WaterWeek, tension: &[TensionPoint]) -> Week {
    let depth = |depth: Inches| figures::quantity(depth);
    Week {
        starts: words::day(week.starts),
        need: depth(week.need),
        need_bare: depth(week.need_bare),
        applied: depth(week.applied),
        rain: depth(week.rain),
        rain_kept: depth(week.rain_kept),
        drained: depth(week.drained),
        depletion: depth(week.depletion),
        tension: read_in(week, tension),
    }
}

fn read_in(week: &WaterWeek, tension: &[TensionPoint]) -> String {
    let end = week.starts.checked_add_days(Days::new(u64::from(week.days)));
    let within = |point: &&TensionPoint| week.starts <= point.date && end.is_some_and(|end| point.date < end);
    let mut read: Vec<f64> = tension.iter().filter(within).map(|point| point.tension.get()).collect();
    read.sort_by(f64::total_cmp);
    let kpa = |reading: &f64| figures::float(*reading, 0);
    match (read.first().map(kpa), read.last().map(kpa)) {
        (Some(low), Some(high)) if low == high => low,
        (Some(low), Some(high)) => format!("{low} to {high}"),
        _ => String::new(),
    }
}

/// One month of the cross-check.
pub(super) struct Month {
    pub(super) name: String,
    pub(super) need: String,
    pub(super) rain: String,
    pub(super) kept: String,
    pub(super) formula: String,
}

pub(super) fn months(months: &[WaterMonth]) -> Vec<Month> {
    let of = |month: &WaterMonth| Month {
        name: format!("{}, {}", words::day(month.starts), figures::counted(month.days as usize, "day", "days")),
        need: figures::quantity(month.need),
        rain: figures::quantity(month.rain),
        kept: figures::quantity(month.rain_kept),
        formula: shown(month.effective_rain.map(figures::quantity)),
    };
    months.iter().map(of).collect()
}

/// One tension reading.
pub(super) struct Reading {
    pub(super) day: String,
    pub(super) depth: String,
    pub(super) tension: String,
    pub(super) band: &'static str,
    pub(super) depletion: String,
}

pub(super) fn readings(tension: &[TensionPoint]) -> Vec<Reading> {
    let of = |point: &TensionPoint| Reading {
        day: words::day(point.date),
        depth: figures::shortest(point.depth.get()),
        tension: figures::quantity(point.tension),
        band: point.band.word(),
        depletion: shown(point.depletion.map(figures::quantity)),
    };
    tension.iter().map(of).collect()
}
