//! What a person should look at: assumptions, sets after rain, fixed intervals, water that drained;
//! and what the balance says is left, with the next set.

mod ahead;

use chrono::NaiveDate;

use crate::block::Block;
use crate::figure::{Evidence, Gap, RecordRef};
use crate::say;
use crate::season::{MulchSaving, Saving, SeasonRecords};
use crate::units::MM_PER_INCH;
use crate::weather::HumiditySource;

use super::prepare::Prepared;
use super::preset::{CropGroup, Origin};
use super::resolve::Resolved;
use super::run::{WaterDay, WaterRuns};
use super::sentence::{self, missing, worth_a_look};
use super::sets::KnownSet;
use super::setup::Setting;

pub(crate) use ahead::Ground;
pub use ahead::{CHECK_THE_SOIL, NextSet, WaterAdvice};

/// Days after rain within which a set is pointed out.
const DAYS_AFTER_RAIN: i64 = 2;
/// Rain of a day that can be said to refill the roots: a quarter inch, mm.
const REAL_RAIN_MM: f64 = 0.25 * MM_PER_INCH;
/// Depletion left after such rain, as a share of readily available water.
const REFILLED: f64 = 0.1;
/// Sets from which a pattern can be seen.
const PATTERN_SETS: usize = 6;
/// Share of intervals that must be alike, of sets that must be near their mean.
const PATTERN_SHARE: f64 = 0.9;
/// How near its mean a set must be to count as the same amount.
const SAME_AMOUNT: f64 = 0.1;
/// Ratio of the largest to the smallest interval's need from which need is said to have changed.
const NEED_CHANGED: f64 = 1.3;
/// Share of crop need above which a modelled saving is beyond common practice (no source).
pub const BEYOND_PRACTICE_PCT: f64 = 50.0;
/// Miles within which a station's weather is taken for the farm's: common practice, no source.
const NEAR_MILES: f64 = 15.0;
/// Days of irrigation that drained from which it is said, and the share of the water.
const OVERFILLED_SETS: usize = 3;
const OVERFILLED_SHARE: f64 = 0.1;
/// Share of the avoided evaporation that may drain before it is said.
const MOSTLY_DRAINED: f64 = 0.5;

/// How what the balance gives is known: assumed where it took a soil or a crop nobody named.
pub(super) fn known(records: &SeasonRecords, resolved: &Resolved) -> Evidence {
    if assumes_soil(resolved) || assumes_crop(records, resolved) { Evidence::Assumed } else { Evidence::Modelled }
}

fn assumes_soil(resolved: &Resolved) -> bool {
    let mut values = [Setting::FieldCapacity, Setting::WiltingPoint].into_iter();
    let own = values.all(|setting| resolved.origin(setting) == Some(Origin::Set));
    resolved.soil_origin == Origin::Assumed && !own
}

fn assumes_crop(records: &SeasonRecords, resolved: &Resolved) -> bool {
    let own = resolved.origin(Setting::KcbMid) == Some(Origin::Set)
        || records.canopy.iter().any(|kept| kept.record.kcb.is_some());
    resolved.crop == CropGroup::Other && !own
}

/// What the balance had to assume for want of a record.
pub(super) fn assumptions(records: &SeasonRecords, resolved: &Resolved, prepared: &Prepared) -> Vec<Gap> {
    let code = &records.block.code;
    let mut gaps = Vec::new();
    if assumes_soil(resolved) {
        let what = format!("{code} has no soil texture; its water balance takes loam.");
        gaps.push(missing(what, "Name the block's soil.", Vec::new()));
    }
    if assumes_crop(records, resolved) {
        let crop = if records.block.crop.is_empty() { "its crop" } else { &records.block.crop };
        let what = format!("No published crop coefficient was found for {crop}; {code} takes those of stone fruit.");
        gaps.push(missing(what, "Set kcb_ini, kcb_mid and kcb_end from a local source.", Vec::new()));
    }
    gaps.extend(far_station(records));
    let days_of = |source| prepared.humidity_sources.iter().find(|(s, _)| *s == source).map_or(0, |(_, n)| *n);
    let by_temperature = days_of(HumiditySource::LowestTemperature);
    let unknown = days_of(HumiditySource::Standard);
    if by_temperature > 0 {
        let days = sentence::counted(by_temperature, "day", "days");
        let what = format!("Humidity was not measured on {days}; the lowest temperature stands for the dew point.");
        gaps.push(worth_a_look(
            what,
            "Bring in the station's humidity; in dry country this reads too humid.",
            Vec::new(),
        ));
    }
    if unknown > 0 {
        let days = sentence::counted(unknown, "day", "days");
        let what = format!("Neither humidity nor temperature is known on {days}; 45% lowest humidity is taken.");
        gaps.push(worth_a_look(what, "Bring in the station's humidity or temperatures.", Vec::new()));
    }
    gaps
}

/// A station so far off that its rain and its air may not be the farm's.
fn far_station(records: &SeasonRecords) -> Option<Gap> {
    let farm = &records.farm;
    let miles = farm.station_miles.filter(|miles| *miles > NEAR_MILES)?;
    let what = format!(
        "The weather station {} stands {miles:.0} miles from {}; beyond {NEAR_MILES:.0} its rain may not be the farm's.",
        farm.station, farm.name
    );
    let mend = "Use a nearer station, or hold its rain against a gauge on the farm.";
    Some(worth_a_look(what, mend, Vec::new()))
}

/// Sets before the first or after the last day of weather: applied, but not in the balance.
pub(crate) fn outside_span(
    records: &SeasonRecords,
    sets: &[KnownSet],
    (first, last): (NaiveDate, NaiveDate),
) -> Option<Gap> {
    let outside: Vec<RecordRef> =
        sets.iter().filter(|set| set.date < first || set.date > last).map(|set| set.record).collect();
    if outside.is_empty() {
        return None;
    }
    let code = &records.block.code;
    let (sets, whose) = match outside.len() {
        1 => (format!("1 set of {code} is"), "its"),
        n => (format!("{n} sets of {code} are"), "their"),
    };
    let what = format!(
        "{sets} outside the days of weather, {} to {}; {whose} water counts as applied but is not in the balance.",
        say::day(first),
        say::day(last)
    );
    Some(missing(what, "Bring in weather for the whole season.", outside))
}

/// Sets soon after rain that refilled the roots, sets by the calendar, sets larger than the room.
pub(crate) fn sets(records: &SeasonRecords, sets: &[KnownSet], runs: &WaterRuns) -> Vec<Gap> {
    let code = &records.block.code;
    let days = &runs.as_irrigated;
    [after_rain(&records.block, sets, days), by_calendar(code, sets, days), over_filled(code, sets, days)]
        .into_iter()
        .flatten()
        .collect()
}

/// Sets that drained below the roots, when they are more than a few and more than a little.
fn over_filled(code: &str, sets: &[KnownSet], days: &[WaterDay]) -> Option<Gap> {
    let drained: Vec<&WaterDay> = days.iter().filter(|day| day.irrigation_gross_mm > 0.0 && day.dp_mm > 0.0).collect();
    let lost: f64 = drained.iter().map(|day| day.dp_mm).sum();
    let net: f64 = days.iter().map(|day| day.irrigation_gross_mm - day.irrigation_loss_mm).sum();
    if drained.len() < OVERFILLED_SETS || lost <= OVERFILLED_SHARE * net {
        return None;
    }
    let what = format!(
        "On {} days of irrigation in {code} the roots had no room for all of it: {:.1} in of {:.1} in drained below them.",
        drained.len(),
        lost / MM_PER_INCH,
        net / MM_PER_INCH
    );
    let on_such_a_day = |set: &&KnownSet| drained.iter().any(|day| day.date == set.date);
    let records = sets.iter().filter(on_such_a_day).map(|set| set.record).collect();
    Some(worth_a_look(what, "Sets can be shorter, or later.", records))
}

fn after_rain(block: &Block, sets: &[KnownSet], days: &[WaterDay]) -> Option<Gap> {
    let refilled: Vec<&WaterDay> = days
        .iter()
        .filter(|day| day.rain_mm - day.runoff_mm >= REAL_RAIN_MM && day.irrigation_gross_mm <= 0.0)
        .filter(|day| day.dp_mm > 0.0 || day.dr_end_mm <= REFILLED * day.raw_mm)
        .collect();
    let rain_before = |set: &KnownSet| {
        let since = |day: &WaterDay| set.date.signed_duration_since(day.date).num_days();
        refilled
            .iter()
            .rev()
            .find(|day| (1..=DAYS_AFTER_RAIN).contains(&since(day)))
            .map(|day| (since(day), day.rain_mm))
    };
    let found: Vec<(&KnownSet, i64, f64)> =
        sets.iter().filter_map(|set| rain_before(set).map(|(days, rain)| (set, days, rain))).collect();
    let (first, rest) = found.split_first()?;
    let others: Vec<String> = rest.iter().map(|found| other_set(block, found)).collect();
    let others = match others.len() {
        0 => String::new(),
        1 => format!(" So did the set of {}.", sentence::listed(&others)),
        n => format!(" So did {n} other sets: {}.", sentence::listed(&others)),
    };
    let (set, days, rain) = *first;
    let what = format!(
        "{} got its usual set of {} on {}, {} after {:.1} in of rain refilled the roots.{others}",
        block.code,
        amount(set, block),
        say::day(set.date),
        waited(days),
        rain / MM_PER_INCH
    );
    let records = found.iter().map(|(set, ..)| set.record).collect();
    Some(worth_a_look(what, "Could the next set have waited?", records))
}

/// "14 July (0.6 in, 2 days after 0.4 in of rain)".
fn other_set(block: &Block, (set, days, rain): &(&KnownSet, i64, f64)) -> String {
    let (amount, rain) = (amount(set, block), rain / MM_PER_INCH);
    format!("{} ({amount}, {} after {rain:.1} in of rain)", say::day(set.date), waited(*days))
}

/// Depth at the emitters, over the block.
fn amount(set: &KnownSet, block: &Block) -> String {
    format!("{:.1} in", set.depth_mm(block) / MM_PER_INCH)
}

fn waited(days: i64) -> String {
    if days == 1 { "a day".to_owned() } else { format!("{days} days") }
}

/// A fixed interval and amount while the crop's need changed.
fn by_calendar(code: &str, sets: &[KnownSet], days: &[WaterDay]) -> Option<Gap> {
    let first = days.first()?.date;
    let last = days.last()?.date;
    let within: Vec<&KnownSet> = sets.iter().filter(|set| first <= set.date && set.date <= last).collect();
    if within.len() < PATTERN_SETS {
        return None;
    }
    let pairs = || within.iter().zip(within.iter().skip(1));
    let gaps: Vec<i64> = pairs().map(|(a, b)| b.date.signed_duration_since(a.date).num_days()).collect();
    let usual = most_common(&gaps)?;
    let mean = within.iter().map(|set| set.volume.gallons.get()).sum::<f64>() / count(within.len());
    let even = |set: &&&KnownSet| (set.volume.gallons.get() - mean).abs() <= SAME_AMOUNT * mean;
    let alike = count(gaps.iter().filter(|gap| **gap == usual).count()) >= PATTERN_SHARE * count(gaps.len());
    let same = count(within.iter().filter(even).count()) >= PATTERN_SHARE * count(within.len());
    let need = |from: NaiveDate, to: NaiveDate| -> f64 {
        days.iter().filter(|day| from <= day.date && day.date < to).map(|day| day.etc_mm).sum()
    };
    let needs: Vec<f64> = pairs().map(|(a, b)| need(a.date, b.date)).filter(|mm| *mm > 0.0).collect();
    let low = needs.iter().copied().fold(f64::INFINITY, f64::min);
    let high = needs.iter().copied().fold(0.0, f64::max);
    if usual < 1 || !alike || !same || high < NEED_CHANGED * low {
        return None;
    }
    let every = if usual == 1 { "every day".to_owned() } else { format!("every {usual} days") };
    let what = format!(
        "{code} was irrigated {every} with about the same amount, while the crop's need between sets ran from {:.1} to {:.1} in.",
        low / MM_PER_INCH,
        high / MM_PER_INCH
    );
    let records = within.iter().map(|set| set.record).collect();
    Some(worth_a_look(what, "Set the interval or the hours by the crop's need.", records))
}

fn most_common(values: &[i64]) -> Option<i64> {
    let times = |value: i64| values.iter().filter(|other| **other == value).count();
    values.iter().copied().max_by_key(|value| (times(*value), -value))
}

#[expect(clippy::cast_precision_loss, reason = "a number of sets")]
const fn count(n: usize) -> f64 {
    n as f64
}

/// A saving that drained, or one too good to be true.
pub(crate) fn mulch(records: &SeasonRecords, saving: Option<&MulchSaving>) -> Vec<Gap> {
    let Some(saving) = saving else { return Vec::new() };
    [drained(&records.block.code, saving), beyond_practice(&records.block.code, saving)].into_iter().flatten().collect()
}

fn drained(code: &str, saving: &MulchSaving) -> Option<Gap> {
    let avoided = saving.avoided.depth.value.get();
    let lost = saving.extra_drained.value.get();
    // A tenth of an inch is the last place printed.
    if lost < 0.1 || lost <= MOSTLY_DRAINED * avoided {
        return None;
    }
    let what = format!(
        "Mulch in {code} kept {avoided:.1} in from evaporating, but {lost:.1} in more drained below the roots than from bare soil."
    );
    Some(worth_a_look(what, "Sets can be shorter or fewer under mulch.", saving.extra_drained.records.clone()))
}

fn beyond_practice(code: &str, saving: &MulchSaving) -> Option<Gap> {
    let share = |one: &Saving| one.share_of_need.as_ref().map_or(0.0, |figure| figure.value.get());
    let most = share(&saving.avoided).max(share(&saving.kept)).max(share(&saving.not_needed));
    if most <= BEYOND_PRACTICE_PCT {
        return None;
    }
    let what = format!(
        "The saving modelled for the mulch in {code} is {most:.0}% of crop need, beyond what common practice sees."
    );
    Some(worth_a_look(
        what,
        "Look at the covered share, the depth and the soil settings.",
        saving.avoided.depth.records.clone(),
    ))
}
