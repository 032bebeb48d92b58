//! Weather of a span without holes.

use core::cmp::Ordering;

use chrono::{Datelike, NaiveDate};

use crate::block::MonthDay;
use crate::figure::{Gap, Kept, RecordKind, RecordRef};
use crate::records::WeatherDay;
use crate::season::{EtoSource, SeasonRecords};
use crate::units::{Celsius, MegajoulesPerSquareMetre, MetresPerSecond, Millimetres};
use crate::weather::{self, Filling, HumiditySource, STANDARD_HUMIDITY, STANDARD_WIND, Site};
use crate::{say, ties};

use super::resolve::Resolved;
use super::setup::Setting;
use super::{doubts, params, sentence};

/// Days without weather in a hundred beyond which no balance is made.
const MISSING_LIMIT_PCT: usize = 10;

/// A day's weather, every value known or filled.
#[derive(Debug, Clone, Copy)]
pub(super) struct Air {
    pub(super) date: NaiveDate,
    /// Reference ET, mm.
    pub(super) eto: f64,
    /// Wind at 2 m, m/s.
    pub(super) wind: f64,
    /// Lowest relative humidity, percent.
    pub(super) humidity: f64,
    /// Rain, mm.
    pub(super) rain: f64,
    /// The part of it that ran off, mm.
    pub(super) runoff: f64,
}

/// The weather of a season, from its first to its last day.
pub(super) struct Weather {
    pub(super) days: Vec<Air>,
    /// Days with their own reference ET, by source.
    pub(super) eto_sources: Vec<(EtoSource, usize)>,
    /// The same days by how their lowest humidity is known.
    pub(super) humidity_sources: Vec<(HumiditySource, usize)>,
    /// The records used.
    pub(super) records: Vec<RecordRef>,
}

/// The season's weather; `None` when there is too little of it, and a gap says why.
pub(super) fn weather(records: &SeasonRecords, resolved: &Resolved, gaps: &mut Vec<Gap>) -> Option<Weather> {
    let known = one_of_each_day(records, run_days(records, resolved), gaps);
    let read = every_day(&known, records, &filling(resolved), gaps)?;
    let own = || read.iter().filter_map(|day| day.eto.map(|eto| (eto.source, day.humidity.1)));
    Some(Weather {
        days: filled(&read),
        eto_sources: count(own().map(|(source, _)| source)),
        humidity_sources: count(own().map(|(_, source)| source)),
        records: known.iter().map(|kept| weather_ref(kept)).collect(),
    })
}

/// Days without weather after which what follows is no longer the same run.
const STRAY_DAYS: i64 = 30;

/// A day as read, holes and all.
#[derive(Debug, Clone, Copy)]
struct Read {
    date: NaiveDate,
    eto: Option<weather::Eto>,
    wind: f64,
    humidity: (f64, HumiditySource),
    rain: f64,
    runoff: f64,
}

/// First and last day the balance may run: the season's, or those set within it.
fn run_days(records: &SeasonRecords, resolved: &Resolved) -> (NaiveDate, NaiveDate) {
    let season = &records.season;
    let day = |setting| {
        let number = params::whole(resolved.value(setting))?;
        let day = MonthDay::new(number / 100, number % 100)?;
        // A season may run over the new year: the day is where the season holds it.
        (season.first_day.year()..=season.last_day.year())
            .filter_map(|year| day.in_year(year))
            .find(|day| season.holds(*day))
    };
    (
        day(Setting::RunFirstMonthDay).unwrap_or(season.first_day),
        day(Setting::RunLastMonthDay).unwrap_or(season.last_day),
    )
}

fn filling(resolved: &Resolved) -> Filling {
    Filling {
        temperatures_alone: resolved.is_on(Setting::FillMissingWeather),
        radiation_from_range: resolved.number(Setting::RadiationFromRange),
        dew_below_low_c: resolved.number(Setting::DewBelowLowC),
    }
}

/// The weather days from the first to the last in order; of several records of one date the fullest, of
/// equals the driest.
fn one_of_each_day<'r>(
    records: &'r SeasonRecords,
    (first, last): (NaiveDate, NaiveDate),
    gaps: &mut Vec<Gap>,
) -> Vec<&'r Kept<WeatherDay>> {
    let mut days: Vec<&Kept<WeatherDay>> =
        records.weather.iter().filter(|kept| first <= kept.record.date && kept.record.date <= last).collect();
    days.sort_by(|a, b| in_order(&a.record, &b.record).then(a.id.cmp(&b.id)));
    let (mut used, mut extra) = (Vec::with_capacity(days.len()), Vec::new());
    for day in days.chunk_by(|one, next| one.record.date == next.record.date) {
        if let Some((last, earlier)) = day.split_last() {
            used.push(*last);
            extra.extend_from_slice(earlier);
        }
    }
    if let Some(first) = extra.first() {
        let day = say::day(first.record.date);
        let what = match extra.len() {
            1 => format!("{day} has two weather records; the fuller one is used, of equals the drier."),
            n => format!(
                "{n} weather records repeat a day, the first on {day}; of each day the fullest is used, of equals the driest."
            ),
        };
        let refs = extra.iter().map(|kept| weather_ref(kept)).collect();
        gaps.push(sentence::missing(what, "Remove the record that is wrong.", refs));
    }
    used
}

/// By date, then the fuller and the drier day last: less rain, then more evapotranspiration.
fn in_order(a: &WeatherDay, b: &WeatherDay) -> Ordering {
    let said = |day: &WeatherDay| {
        [
            day.rain.map(|rain| -rain.get()),
            day.eto.map(Millimetres::get),
            day.t_max.map(Celsius::get),
            day.t_min.map(Celsius::get),
            day.solar.map(MegajoulesPerSquareMetre::get),
            day.wind.map(MetresPerSecond::get),
            day.sunshine_hours,
            day.runoff.map(Millimetres::get),
            day.rh_max_pct,
            day.rh_min_pct,
            day.vapour_pressure_kpa,
            day.dew_point.map(Celsius::get),
            day.wind_height_m,
        ]
    };
    let (one, other) = (said(a), said(b));
    let full = |values: &[Option<f64>]| values.iter().flatten().count();
    a.date.cmp(&b.date).then(full(&one).cmp(&full(&other))).then_with(|| ties::values(one, other))
}

/// The longest run of weather in which no two days lie further apart than [`STRAY_DAYS`]; what stands
/// alone outside it is left out and said, so that one stray day cannot undo a season.
fn together<'k, 'r>(known: &'k [&'r Kept<WeatherDay>], gaps: &mut Vec<Gap>) -> &'k [&'r Kept<WeatherDay>] {
    let near = |one: &&Kept<WeatherDay>, next: &&Kept<WeatherDay>| {
        (next.record.date - one.record.date).num_days() <= STRAY_DAYS
    };
    // Of two runs of one length the later would win; the earlier one does when they are turned round.
    let longest = known.chunk_by(near).rev().max_by_key(|run| run.len()).unwrap_or_default();
    let ends = longest.first().zip(longest.last()).map(|(first, last)| (first.record.date, last.record.date));
    let outside = |day: NaiveDate| ends.is_some_and(|(first, last)| day < first || last < day);
    let strays: Vec<&&Kept<WeatherDay>> = known.iter().filter(|kept| outside(kept.record.date)).collect();
    if let Some(first) = strays.first() {
        let days = sentence::counted(strays.len(), "day of weather stands", "days of weather stand");
        let what = format!(
            "{days} more than {STRAY_DAYS} days apart from the others, the first on {}, and left out.",
            say::day(first.record.date)
        );
        let refs = strays.iter().map(|kept| weather_ref(kept)).collect();
        gaps.push(sentence::missing(what, "Bring in the days between, or remove the record that is wrong.", refs));
    }
    longest
}

/// Every day from the first to the last; holes are filled by the days around them and said.
fn every_day(
    known: &[&Kept<WeatherDay>],
    records: &SeasonRecords,
    filling: &Filling,
    gaps: &mut Vec<Gap>,
) -> Option<Vec<Read>> {
    let site = Site::of(&records.farm);
    let known = together(known, gaps);
    let (Some(first), Some(last)) = (known.first(), known.last()) else {
        gaps.push(no_weather(records));
        return None;
    };
    let mut read: Vec<Read> = Vec::with_capacity(known.len());
    let mut rest = known.iter().peekable();
    let mut doubtful = doubts::Doubtful::default();
    for date in first.record.date.iter_days().take_while(|day| *day <= last.record.date) {
        let Some(kept) = rest.next_if(|kept| kept.record.date == date) else {
            read.push(nothing_known(date));
            continue;
        };
        let (day, doubts) = weather::doubt::checked(&kept.record, &site);
        doubtful.add(date, &doubts, weather_ref(kept));
        read.push(known_air(&day, &site, filling));
    }
    gaps.extend(doubtful.gaps());
    let holes: Vec<NaiveDate> = read.iter().filter(|day| day.eto.is_none()).map(|day| day.date).collect();
    let without_rain = known.iter().all(|kept| kept.record.rain.is_none());
    if holes.len() * 100 > read.len() * MISSING_LIMIT_PCT {
        gaps.push(too_few(&holes, read.len(), known, &site));
        return None;
    }
    if let Some(first_hole) = holes.first() {
        gaps.push(some_missing(&holes, *first_hole));
    }
    if without_rain {
        let what = "No day of weather says how much rain fell; it is taken as none.".to_owned();
        gaps.push(sentence::missing(what, "Bring in the station's rain.", Vec::new()));
    }
    Some(read)
}

fn known_air(day: &WeatherDay, site: &Site, filling: &Filling) -> Read {
    let (rain, runoff) = weather::rain(day);
    Read {
        date: day.date,
        eto: weather::eto(day, site, filling),
        wind: weather::wind(day).unwrap_or(STANDARD_WIND),
        humidity: weather::lowest_humidity(day, filling),
        rain,
        runoff,
    }
}

const fn nothing_known(date: NaiveDate) -> Read {
    let humidity = (STANDARD_HUMIDITY, HumiditySource::Standard);
    Read { date, eto: None, wind: STANDARD_WIND, humidity, rain: 0.0, runoff: 0.0 }
}

fn no_weather(records: &SeasonRecords) -> Gap {
    let what = format!("{} has no weather this season, so crop need is not known.", records.block.code);
    sentence::missing(what, "Bring in the days of the farm's weather station.", Vec::new())
}

fn too_few(holes: &[NaiveDate], days: usize, known: &[&Kept<WeatherDay>], site: &Site) -> Gap {
    let what = format!(
        "Reference ET is missing on {} of {days} days, more than one in ten, so no water balance is made.",
        holes.len()
    );
    let has_temperatures = known.iter().any(|kept| kept.record.t_max.is_some() && kept.record.t_min.is_some());
    let mend = if has_temperatures && site.latitude_deg.is_none() {
        "Add the farm's latitude, so that temperatures can be used."
    } else {
        "Bring in the station's ETo, or at least its highest and lowest temperatures, for these days."
    };
    sentence::missing(what, mend, Vec::new())
}

fn some_missing(holes: &[NaiveDate], first: NaiveDate) -> Gap {
    let days = sentence::counted(holes.len(), "day has", "days have");
    let what = format!(
        "{days} no reference ET, the first on {}; the mean of the nearest days before and after stands in, without rain where none was written down.",
        say::day(first)
    );
    sentence::missing(what, "Bring in the missing days.", Vec::new())
}

/// Holes filled by the mean of the nearest known days before and after; rain stays as written down.
fn filled(read: &[Read]) -> Vec<Air> {
    let known = |day: &Read| day.eto.map(|eto| [eto.mm, day.wind, day.humidity.0]);
    let mut after: Vec<Option<[f64; 3]>> = Vec::with_capacity(read.len());
    let mut next = None;
    for day in read.iter().rev() {
        next = known(day).or(next);
        after.push(next);
    }
    let mut before = None;
    let fill = |(day, after): (&Read, Option<[f64; 3]>)| {
        before = known(day).or(before);
        let [eto, wind, humidity] = match (before, after) {
            (Some(one), Some(other)) => between(one, other),
            (Some(one), None) | (None, Some(one)) => one,
            (None, None) => [0.0, STANDARD_WIND, STANDARD_HUMIDITY],
        };
        Air { date: day.date, eto, wind, humidity, rain: day.rain, runoff: day.runoff }
    };
    read.iter().zip(after.into_iter().rev()).map(fill).collect()
}

fn between([eto, wind, humidity]: [f64; 3], other: [f64; 3]) -> [f64; 3] {
    let [eto_2, wind_2, humidity_2] = other;
    [f64::midpoint(eto, eto_2), f64::midpoint(wind, wind_2), f64::midpoint(humidity, humidity_2)]
}

fn weather_ref(kept: &Kept<WeatherDay>) -> RecordRef {
    RecordRef { kind: RecordKind::Weather, id: kept.id }
}

/// How often each value occurs, in order of value.
fn count<T: Ord + Copy>(values: impl Iterator<Item = T>) -> Vec<(T, usize)> {
    let mut counts: Vec<(T, usize)> = Vec::new();
    for value in values {
        match counts.iter_mut().find(|(known, _)| *known == value) {
            Some((_, n)) => *n += 1,
            None => counts.push((value, 1)),
        }
    }
    counts.sort_unstable();
    counts
}
