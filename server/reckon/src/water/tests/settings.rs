//! What settings and doubtful records do to a whole season.

use chrono::Datelike;

use super::*;
use crate::records::TensionReading;
use crate::units::{Kilopascals, MegajoulesPerSquareMetre};
use crate::water::tension::TensionBand;

fn set(records: &mut SeasonRecords, setting: Setting, value: f64) {
    records.block.water.set(setting, Some(value));
}

#[test]
fn a_run_keeps_to_its_own_days() {
    let mut records = dry(60);
    set(&mut records, Setting::RunFirstMonthDay, 510.0);
    set(&mut records, Setting::RunLastMonthDay, 608.0);
    let (season, _) = season(&records);
    assert_eq!(season.span, Some((date(5, 10), date(6, 8))));
    assert_eq!(season.runs.unwrap().as_irrigated.len(), 30);
}

#[test]
fn roots_and_height_grow_and_never_shrink() {
    let mut records = dry(240);
    for (setting, value) in [
        (Setting::GrowthStartMonth, 5.0),
        (Setting::GrowthStartDay, 1.0),
        (Setting::RootDepthMinM, 0.4),
        (Setting::RootDepthM, 1.0),
    ] {
        set(&mut records, setting, value);
    }
    let days = season(&records).0.runs.unwrap().as_irrigated;
    let taw = |n: usize| days[n].taw_mm;
    assert!((taw(0) - 52.0).abs() < 1e-9);
    assert!(taw(50) > 53.0 && taw(50) < 129.0);
    assert!((taw(120) - 130.0).abs() < 1e-9);
    assert!((taw(239) - 130.0).abs() < 1e-9, "Kcb falls, roots stay");
}

#[test]
fn doubtful_weather_is_named_with_its_days_and_not_used() {
    let mut records = dry(30);
    records.farm.latitude_deg = Some(38.0);
    records.farm.elevation_m = Some(1_000.0);
    records.weather[3].record.t_max = crate::units::Celsius::new(10.0);
    records.weather[3].record.t_min = crate::units::Celsius::new(14.0);
    records.weather[5].record.rh_min_pct = Some(120.0);
    records.weather[7].record.solar = MegajoulesPerSquareMetre::new(55.0);
    records.weather[9].record.rain = Millimetres::new(-4.0);
    let (season, gaps) = season(&records);
    for part in [
        "On 1 day, the first 4 May, the low temperature is above the high",
        "On 1 day, the first 6 May, humidity or dew point is not possible",
        "On 1 day, the first 8 May, radiation or sunshine is well above",
        "On 1 day, the first 10 May, rain, runoff or reference ET is below zero",
    ] {
        let gap = gaps.iter().find(|gap| gap.what.contains(part)).unwrap_or_else(|| panic!("{part}: {gaps:#?}"));
        assert_eq!(gap.records.len(), 1);
        assert_eq!(gap.weight, GapWeight::Missing);
    }
    assert!(season.rain.unwrap().value.get().abs() < 1e-12);
}

#[test]
fn sets_without_room_are_said() {
    let mut records = dry(60);
    records.irrigation = kept(days(date(5, 5), 50).step_by(5).map(|day| depth(day, 2.5)));
    let (_, gaps) = season(&records);
    let said = gaps.iter().find(|gap| gap.what.contains("had no room for all of it")).unwrap();
    assert!(said.what.starts_with("On 10 days of irrigation in T-1 the roots had no room"), "{}", said.what);
    assert_eq!(said.records.len(), 10);
    records.irrigation = kept(days(date(5, 5), 50).step_by(5).map(|day| depth(day, 0.5)));
    assert!(!season(&records).1.iter().any(|gap| gap.what.contains("no room")));
}

fn reading(day: NaiveDate, kpa: f64) -> TensionReading {
    let (depth, tension) = (Inches::of(18.0), Kilopascals::of(kpa));
    TensionReading { date: day, place: String::new(), depth, tension, note: String::new() }
}

#[test]
fn readings_stand_beside_the_balance_and_never_change_it() {
    let mut records = dry(30);
    let without = season(&records).0.runs;
    records.tension = kept([reading(date(5, 3), 95.0), reading(date(5, 20), 40.0), reading(date(7, 1), 40.0)]);
    let (season, gaps) = season(&records);
    assert_eq!(season.runs, without);
    let bands: Vec<TensionBand> = season.tension.iter().map(|point| point.band).collect();
    assert_eq!(bands, [TensionBand::Dry, TensionBand::Irrigate, TensionBand::Irrigate]);
    assert!(season.tension[1].depletion.unwrap() > season.tension[0].depletion.unwrap());
    assert_eq!(season.tension[2].depletion, None, "after the last day of the balance");
    let said =
        gaps.iter().find(|gap| gap.what.contains("The reading of 3 May at 18 in in T-1 is 95 kPa, dry")).unwrap();
    assert_eq!(said.records.len(), 1);
}

#[test]
fn months_add_up_and_whole_ones_are_checked() {
    let mut records = dry(75);
    records.weather[10].record.rain = Millimetres::new(30.0);
    records.weather[40].record.rain = Millimetres::new(18.0);
    let (season, _) = season(&records);
    let starts: Vec<u32> = season.months.iter().map(|month| month.starts.month()).collect();
    assert_eq!(starts, [5, 6, 7]);
    assert_eq!(season.months.iter().map(|month| month.days).sum::<u32>(), 75);
    let sum: Inches = season.months.iter().map(|month| month.rain_kept).sum();
    assert!((sum.get() - season.rain_kept.unwrap().value.get()).abs() < 1e-9);
    assert!(season.months[0].effective_rain.is_some() && season.months[2].effective_rain.is_none());
    let check = season.rain_check.unwrap();
    assert_eq!(check.months, 2);
    assert!(check.by_formula.value.get() > 0.0 && check.by_formula.value < check.kept.value);
}

#[test]
fn a_meter_replaced_between_two_sets_can_be_said() {
    let mut records = dry(60);
    records.rates = kept([water_rate(date(1, 1), 100)]);
    let new_meter = |start, old_end, new_start, end| {
        let applied = Applied::Meter {
            start,
            end,
            unit: MeterUnit::Gallons,
            rolls_at: None,
            replaced: Some((old_end, new_start)),
        };
        IrrigationSet { date: date(5, 20), applied, note: String::new() }
    };
    records.irrigation =
        kept([meter(date(5, 4), 940_000.0, 990_000.0), new_meter(990_000.0, 990_000.0, 120.0, 48_120.0)]);
    let (season, gaps) = season(&records);
    assert!(gaps.is_empty(), "{gaps:#?}");
    assert!((season.applied.unwrap().value.get() - 98_000.0).abs() < 1e-6);
}

#[test]
fn a_register_that_rolls_over_between_two_sets_is_no_jump() {
    let mut records = dry(60);
    records.rates = kept([water_rate(date(1, 1), 100)]);
    let rolling = |day, start, end| {
        let applied =
            Applied::Meter { start, end, unit: MeterUnit::Gallons, rolls_at: Some(1_000_000.0), replaced: None };
        IrrigationSet { date: day, applied, note: String::new() }
    };
    records.irrigation = kept([rolling(date(5, 4), 930_000.0, 999_900.0), rolling(date(5, 20), 100.0, 60_000.0)]);
    assert!(season(&records).1.is_empty(), "200 gallons of 59,900 are within a hundredth");
    records.irrigation = kept([rolling(date(5, 4), 930_000.0, 999_900.0), rolling(date(5, 20), 5_000.0, 60_000.0)]);
    let gap = only_gap(&records);
    assert_eq!(gap.mend, "Add the set that is missing between them, or correct a reading.");
    assert_eq!(gap.records.len(), 2);
}

#[test]
fn the_range_widens_with_either_doubt() {
    let mut records = dry(90);
    records.mulch = kept([mulch(60.0)]);
    records.irrigation = kept(days(date(5, 3), 80).step_by(4).map(|day| depth(day, 0.7)));
    let width = |records: &SeasonRecords| {
        let saving = season(records).0.saving.unwrap();
        let (low, high) = saving.kept_range;
        assert!(low <= saving.kept.depth.value && saving.kept.depth.value <= high);
        high.get() - low.get()
    };
    set(&mut records, Setting::MulchUncertaintyPct, 0.0);
    set(&mut records, Setting::EvaporationUncertaintyPct, 0.0);
    assert!(width(&records).abs() < 1e-12);
    set(&mut records, Setting::EvaporationUncertaintyPct, 15.0);
    let soil = width(&records);
    set(&mut records, Setting::MulchUncertaintyPct, 25.0);
    assert!(0.0 < soil && soil < width(&records));
}
