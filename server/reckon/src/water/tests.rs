mod cost;
mod readings;
mod settings;

use chrono::{Datelike, Days, NaiveDate};

use super::*;
use crate::figure::{Evidence, Gap, GapWeight};
use crate::money::Money;
use crate::records::{
    Applied, CanopyDay, IrrigationSet, MeterUnit, MulchApplication, MulchShape, Rate, RateKind, WeatherDay,
};
use crate::season::EtoSource;
use crate::testing::{date, kept, records};
use crate::units::{Celsius, Inches, Millimetres};
use setup::Setting;
use testing::{days, dry, weather};

fn depth(day: NaiveDate, inches: f64) -> IrrigationSet {
    IrrigationSet { date: day, applied: Applied::Depth(Inches::of(inches)), note: String::new() }
}

fn meter(day: NaiveDate, start: f64, end: f64) -> IrrigationSet {
    let applied = Applied::Meter { start, end, unit: MeterUnit::Gallons, rolls_at: None, replaced: None };
    IrrigationSet { date: day, applied, note: String::new() }
}

fn mulch(share: f64) -> MulchApplication {
    testing::mulch(MulchShape::SharePct(share))
}

fn only_gap(records: &SeasonRecords) -> Gap {
    let (_, gaps) = season(records);
    assert_eq!(gaps.len(), 1, "{gaps:#?}");
    gaps.into_iter().next().unwrap()
}

#[test]
fn without_weather_there_is_water_applied_and_no_balance() {
    let mut records = records();
    records.irrigation = kept([depth(date(6, 1), 1.0)]);
    records.rates = kept([water_rate(date(1, 1), 100)]);
    let (season, gaps) = season(&records);
    assert!((season.applied_depth.unwrap().value.get() - 1.0).abs() < 1e-12);
    assert!(season.runs.is_none() && season.need.is_none() && season.saving.is_none());
    assert_eq!(gaps.len(), 1);
    assert_eq!(gaps[0].what, "T-1 has no weather this season, so crop need is not known.");
}

fn water_rate(from: NaiveDate, dollars: i64) -> Rate {
    Rate { from, kind: RateKind::Water, micros: dollars * 1_000_000, note: String::new() }
}

#[test]
fn a_few_missing_days_are_filled_and_said() {
    let mut records = dry(30);
    records.weather.retain(|kept| !(10..=12).contains(&kept.record.date.day()));
    for kept in &mut records.weather {
        if kept.record.date > date(5, 12) {
            kept.record.eto = Millimetres::new(8.0);
        }
    }
    let gap = only_gap(&records);
    assert!(gap.what.starts_with("3 days have no reference ET, the first on 10 May;"), "{}", gap.what);
    assert_eq!(gap.weight, GapWeight::Missing);
    let (season, _) = season(&records);
    let runs = season.runs.unwrap();
    assert_eq!(runs.as_irrigated.len(), 30);
    assert!((runs.as_irrigated[10].eto_mm - 7.0).abs() < 1e-12, "mean of 6 and 8");
    assert_eq!(season.eto_sources, vec![(EtoSource::Station, 27)]);
}

#[test]
fn too_many_missing_days_make_no_balance() {
    let mut records = dry(30);
    records.weather.retain(|kept| !(10..=13).contains(&kept.record.date.day()));
    let gap = only_gap(&records);
    assert!(gap.what.starts_with("Reference ET is missing on 4 of 30 days"), "{}", gap.what);
    assert!(season(&records).0.runs.is_none());
}

#[test]
fn temperatures_without_a_latitude_ask_for_it() {
    let mut records = dry(10);
    for kept in &mut records.weather {
        kept.record =
            WeatherDay { eto: None, t_max: Celsius::new(30.0), t_min: Celsius::new(12.0), ..kept.record.clone() };
    }
    assert_eq!(only_gap(&records).mend, "Add the farm's latitude, so that temperatures can be used.");
    records.farm.latitude_deg = Some(37.0);
    assert_eq!(season(&records).0.eto_sources, vec![(EtoSource::Hargreaves, 10)]);
}

#[test]
fn of_two_records_of_one_day_the_fuller_holds_and_of_equals_the_drier() {
    let mut records = dry(10);
    records.weather.push(crate::figure::Kept {
        id: crate::figure::RecordId::Line(99),
        record: weather(date(5, 3), Some(1.0), 50.0),
    });
    assert_eq!(only_gap(&records).what, "3 May has two weather records; the fuller one is used, of equals the drier.");
    let rain = |records: &SeasonRecords| season(records).0.rain.unwrap().value.get();
    assert!(rain(&records) < 1e-12);
    let later = &mut records.weather[10].record;
    later.t_max = Celsius::new(30.0);
    assert!(rain(&records) > 1.0, "it says more");
    for (kept, id) in records.weather.iter_mut().zip([11, 10, 9, 8, 7, 6, 5, 4, 3, 2, 1]) {
        kept.id = crate::figure::RecordId::Line(id);
    }
    assert!(rain(&records) > 1.0, "whichever was kept last");
}

#[test]
fn water_costs_what_it_cost_on_its_day() {
    let mut records = dry(60);
    // 10 acres: 1.2 in is an acre-foot.
    records.irrigation = kept([depth(date(5, 10), 1.2), depth(date(5, 20), 1.2), depth(date(6, 12), 0.6)]);
    records.rates = kept([water_rate(date(5, 15), 200), water_rate(date(6, 1), 300)]);
    let (season, gaps) = season(&records);
    let cost = season.cost.unwrap();
    assert_eq!(cost.value, Money::from_cents(35_000));
    assert_eq!(cost.n(), 2);
    assert_eq!(Some(cost.evidence), season.applied.map(|water| water.evidence), "a rate is no invoice");
    assert_eq!(gaps.len(), 1);
    assert!(gaps[0].what.starts_with("1 set of irrigation has no water rate on its day"), "{}", gaps[0].what);
}

#[test]
fn evidence_is_kept_apart_and_the_sum_carries_the_weakest() {
    let mut records = dry(60);
    records.irrigation = kept([meter(date(5, 10), 0.0, 1_000.0), depth(date(5, 20), 0.5)]);
    let (season, _) = season(&records);
    let parts: Vec<_> = season.parts.iter().map(|part| (part.volume.evidence, part.sets)).collect();
    assert_eq!(parts, vec![(Evidence::Metered, 1), (Evidence::Counted, 1)]);
    let applied = season.applied.unwrap();
    assert_eq!(applied.evidence, Evidence::Counted);
    let sum: f64 = season.parts.iter().map(|part| part.volume.value.get()).sum();
    assert!((applied.value.get() - sum).abs() < 1e-9);
    assert!((season.applied_per_tree.unwrap().value.get() - sum / 1_000.0).abs() < 1e-9);
}

#[test]
fn readings_that_do_not_meet_are_named() {
    let mut records = dry(60);
    records.rates = kept([water_rate(date(1, 1), 100)]);
    records.irrigation = kept([meter(date(5, 4), 0.0, 50_000.0), meter(date(5, 20), 62_000.0, 110_000.0)]);
    assert_eq!(
        only_gap(&records).what,
        "The meter of T-1 ended the set of 4 May at 50,000 and began that of 20 May at 62,000 (in gal)."
    );
    records.irrigation = kept([meter(date(5, 4), 0.0, 50_000.0), meter(date(5, 20), 50_100.0, 110_000.0)]);
    assert!(season(&records).1.is_empty(), "within a hundredth of a set");
    records.irrigation = kept([meter(date(5, 4), 50_000.0, 20_000.0)]);
    let gap = only_gap(&records);
    assert!(gap.what.contains("ran its meter backwards, from 50,000 to 20,000"), "{}", gap.what);
    assert!(season(&records).0.applied.is_none());
}

#[test]
fn several_sets_of_a_day_add_up_and_sets_outside_the_weather_still_count() {
    let mut records = dry(60);
    records.rates = kept([water_rate(date(1, 1), 100)]);
    records.irrigation = kept([depth(date(4, 1), 2.0), depth(date(5, 10), 0.5), depth(date(5, 10), 0.25)]);
    let (season, gaps) = season(&records);
    assert!((season.applied_depth.unwrap().value.get() - 2.75).abs() < 1e-9);
    let runs = season.runs.unwrap();
    assert!((runs.as_irrigated[9].irrigation_gross_mm - 0.75 * 25.4).abs() < 1e-9);
    assert_eq!(gaps.len(), 1);
    assert_eq!(
        gaps[0].what,
        "1 set of T-1 is outside the days of weather, 1 May to 29 June; its water counts as applied but is not in the balance."
    );
}

#[test]
fn weeks_add_up_to_the_season() {
    let mut records = dry(45);
    records.irrigation = kept(days(date(5, 3), 40).step_by(9).map(|day| depth(day, 1.5)));
    records.mulch = kept([mulch(40.0)]);
    records.weather[20].record.rain = Millimetres::new(14.0);
    let (season, _) = season(&records);
    let sum = |value: fn(&crate::season::WaterWeek) -> Inches| season.weeks.iter().map(value).sum::<Inches>().get();
    let same =
        |a: f64, b: &Option<crate::figure::Figure<Inches>>| assert!((a - b.as_ref().unwrap().value.get()).abs() < 1e-9);
    same(sum(|week| week.need), &season.need);
    same(sum(|week| week.rain), &season.rain);
    same(sum(|week| week.rain_kept), &season.rain_kept);
    same(sum(|week| week.drained), &season.drained);
    same(sum(|week| week.applied), &season.applied_depth);
    assert!(sum(|week| week.need_bare) > sum(|week| week.need));
    assert_eq!(season.weeks.iter().map(|week| week.days).sum::<u32>(), 45);
    // 1 May 2026 is a Friday.
    assert_eq!(season.weeks[0].days, 3);
    assert_eq!(season.weeks[1].starts, date(5, 4));
}

#[test]
fn a_set_right_after_rain_is_pointed_out() {
    let mut records = dry(60);
    records.rates = kept([water_rate(date(1, 1), 100)]);
    records.weather[40].record.rain = Millimetres::new(400.0);
    records.irrigation = kept([depth(date(5, 20), 1.0), depth(date(6, 11), 1.0)]);
    let gap = only_gap(&records);
    assert_eq!(gap.what, "T-1 got its usual set of 1.0 in on 11 June, a day after 15.7 in of rain refilled the roots.");
    assert_eq!(gap.weight, GapWeight::WorthALook);
}

/// Each further set by its day and amount, whatever their number.
#[test]
fn other_sets_right_after_rain_are_named() {
    let mut records = dry(60);
    records.rates = kept([water_rate(date(1, 1), 100)]);
    for n in [10, 25, 40] {
        records.weather[n].record.rain = Millimetres::new(400.0);
    }
    records.irrigation = kept([depth(date(5, 12), 1.0), depth(date(5, 28), 0.6)]);
    let first = "T-1 got its usual set of 1.0 in on 12 May, a day after 15.7 in of rain refilled the roots.";
    let second = "28 May (0.6 in, 2 days after 15.7 in of rain)";
    assert_eq!(only_gap(&records).what, format!("{first} So did the set of {second}."));
    records.irrigation = kept([depth(date(5, 12), 1.0), depth(date(5, 28), 0.6), depth(date(6, 11), 0.75)]);
    let third = "11 June (0.8 in, a day after 15.7 in of rain)";
    assert_eq!(only_gap(&records).what, format!("{first} So did 2 other sets: {second}, {third}."));
}

#[test]
fn a_fixed_interval_that_ignores_need_is_pointed_out() {
    let mut records = dry(100);
    records.rates = kept([water_rate(date(1, 1), 100)]);
    for (kept, n) in records.weather.iter_mut().zip(0_u32..) {
        kept.record.eto = Millimetres::new(3.0 + 0.05 * f64::from(n));
    }
    records.irrigation = kept(days(date(5, 3), 90).step_by(7).map(|day| depth(day, 1.0)));
    let gap = only_gap(&records);
    assert!(gap.what.starts_with("T-1 was irrigated every 7 days with about the same amount"), "{}", gap.what);
    records.irrigation = kept([1, 8, 20, 26, 40, 44, 60].map(|n| depth(date(5, 3) + Days::new(n), 1.0)));
    assert!(season(&records).1.is_empty());
}

#[test]
fn a_saving_that_drains_is_said() {
    let mut records = dry(90);
    records.rates = kept([water_rate(date(1, 1), 100)]);
    records.mulch = kept([mulch(90.0)]);
    records.irrigation = kept(
        [0, 3, 7, 10, 15, 17, 22, 30, 33, 38, 41, 50, 55, 57, 66, 70, 81]
            .map(|n| depth(date(5, 2) + Days::new(n), 1.6)),
    );
    let (season, gaps) = season(&records);
    let saving = season.saving.unwrap();
    assert!(saving.extra_drained.value.get() > 0.5 * saving.avoided.depth.value.get(), "{saving:#?}");
    assert!(gaps.iter().any(|gap| gap.what.contains("more drained below the roots than from bare soil")), "{gaps:#?}");
    assert!(
        (saving.avoided.depth.value.get() - saving.kept.depth.value.get() - saving.extra_drained.value.get()).abs()
            < 1e-9
    );
}

#[test]
fn bare_soil_saves_nothing_and_its_runs_are_the_same() {
    let mut records = dry(30);
    records.mulch = kept([MulchApplication { date: date(9, 1), ..mulch(40.0) }]);
    let (season, _) = season(&records);
    assert!(season.saving.is_none(), "laid after the last day of weather");
    let runs = season.runs.unwrap();
    assert_eq!(runs.as_irrigated, runs.as_irrigated_bare);
    assert_eq!(runs.by_rule, runs.by_rule_bare);
}

#[test]
fn mulch_works_from_the_day_it_was_laid() {
    let mut records = dry(30);
    records.irrigation = kept([depth(date(5, 2), 1.0), depth(date(5, 21), 1.0)]);
    records.mulch = kept([MulchApplication { date: date(5, 20), ..mulch(40.0) }]);
    let runs = season(&records).0.runs.unwrap();
    for (mulched, bare) in runs.as_irrigated.iter().zip(&runs.as_irrigated_bare) {
        let factor = if mulched.date < date(5, 20) { 1.0 } else { 0.8 };
        assert!((mulched.mulch_factor - factor).abs() < 1e-12, "{}", mulched.date);
        assert!((bare.mulch_factor - 1.0).abs() < 1e-12);
    }
}

#[test]
fn canopy_entries_hold_until_the_next() {
    let mut records = dry(20);
    let entry = |day, kcb, ground_cover, root_depth_m| CanopyDay {
        date: date(5, day),
        kcb,
        ground_cover,
        height_m: None,
        root_depth_m,
        note: String::new(),
    };
    records.canopy = kept([entry(5, Some(0.6), None, None), entry(8, None, Some(0.3), Some(0.8))]);
    let runs = season(&records).0.runs.unwrap();
    let kcb = |n: usize| runs.as_irrigated[n].kcb;
    assert!((kcb(3) - 0.6).abs() > 1e-3, "the curve before the first entry");
    assert!((kcb(4) - 0.6).abs() < 1e-12);
    assert!((kcb(19) - 0.6).abs() < 1e-12);
    assert!((runs.as_irrigated[19].fc - 0.3).abs() < 1e-12);
    assert!((runs.as_irrigated[6].taw_mm - 130.0).abs() < 1e-9);
    assert!((runs.as_irrigated[7].taw_mm - 104.0).abs() < 1e-9);
}

#[test]
fn what_is_assumed_is_said() {
    let mut records = dry(20);
    records.block.water.soil = None;
    records.block.crop = "persimmon".into();
    for kept in &mut records.weather {
        kept.record.rain = None;
    }
    let (_, gaps) = season(&records);
    let said = |part: &str| gaps.iter().any(|gap| gap.what.contains(part));
    assert!(said("has no soil texture; its water balance takes loam"));
    assert!(said("No published crop coefficient was found for persimmon"));
    assert!(said("No day of weather says how much rain fell"));
    let known = |records: &SeasonRecords| {
        let water = season(records).0;
        (water.need.unwrap().evidence, water.eto.unwrap().evidence)
    };
    assert_eq!(known(&records), (Evidence::Assumed, Evidence::Modelled), "the reference needs neither soil nor crop");
    records.block.water.set(Setting::FieldCapacity, Some(0.25));
    records.block.water.set(Setting::WiltingPoint, Some(0.12));
    let (_, gaps) = season(&records);
    assert!(!gaps.iter().any(|gap| gap.what.contains("soil texture")));
    assert_eq!(known(&records).0, Evidence::Assumed, "the crop is still assumed");
    records.block.crop = "peach".into();
    assert_eq!(known(&records).0, Evidence::Modelled);
}

/// A digit too many in one reading of a register.
#[test]
fn a_set_many_times_the_usual_is_said() {
    let mut records = dry(60);
    records.rates = kept([water_rate(date(1, 1), 100)]);
    let sets = |sizes: &[f64]| kept((0..).zip(sizes).map(|(n, inches)| depth(date(5, 3) + Days::new(9 * n), *inches)));
    records.irrigation = sets(&[0.5, 0.6, 6.0, 0.6, 0.4, 0.6]);
    let found: Vec<_> = season(&records).1.into_iter().filter(|gap| gap.what.contains("times the usual")).collect();
    assert_eq!(
        found[0].what,
        "The set of 21 May (1,629,257 gal) in T-1 is more than 5 times the usual 162,926 gal; counted as written down."
    );
    assert_eq!((found.len(), found[0].records.len(), found[0].weight), (1, 1, GapWeight::WorthALook));
    for usual in [&[0.5, 0.6, 2.9, 0.6, 0.4, 0.6][..], &[0.5, 6.0]] {
        records.irrigation = sets(usual);
        assert!(!season(&records).1.iter().any(|gap| gap.what.contains("times the usual")), "{usual:?}");
    }
}

#[test]
fn a_station_far_from_the_farm_is_said() {
    let mut records = dry(30);
    records.farm.station = "Mesa".into();
    let said = |records: &SeasonRecords| season(records).1.into_iter().map(|gap| gap.what).collect::<Vec<_>>();
    for near in [None, Some(0.0), Some(15.0)] {
        records.farm.station_miles = near;
        assert!(said(&records).is_empty(), "{near:?}");
    }
    records.farm.station_miles = Some(22.0);
    let far = "The weather station Mesa stands 22 miles from Home; beyond 15 its rain may not be the farm's.";
    assert_eq!(said(&records), [far]);
}

#[test]
fn need_and_supply_agree_with_the_run() {
    let mut records = dry(60);
    records.irrigation = kept(days(date(5, 5), 50).step_by(10).map(|day| depth(day, 2.0)));
    let (season, _) = season(&records);
    let runs = season.runs.unwrap();
    let need: f64 = runs.as_irrigated.iter().map(|day| day.etc_mm).sum();
    let net = 0.9 * 5.0 * 2.0 * 25.4;
    assert!((season.met.unwrap().value.get() - net / need * 100.0).abs() < 1e-6);
    let gross_need = need / 0.9;
    assert!((season.applied_of_need.unwrap().value.get() - 5.0 * 2.0 * 25.4 / gross_need * 100.0).abs() < 1e-6);
}
