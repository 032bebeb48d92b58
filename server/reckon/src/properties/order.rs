//! Records in any order of their rows: a file sorted otherwise gives the same figures and sentences,
//! also where several records stand on one day.

use chrono::{Datelike, Days, NaiveDate};
use proptest::prelude::*;

use super::generators::{numbered, season};
use super::turned;
use crate::exact::Pounds;
use crate::figure::Kept;
use crate::money::UnitPrice;
use crate::reckon;
use crate::records::{
    Applied, CanopyDay, IrrigationSet, MeterUnit, Observation, Pick, Rate, RateKind, TensionReading, ThinningMethod,
    WeatherDay,
};
use crate::season::{SeasonRecords, SharedCost};
use crate::testing::date;
use crate::units::{Celsius, Inches, Kilopascals};
use crate::water::setup::Soil;
use crate::water::testing::weather;

/// The 1st or the 15th, so that most days have several records.
fn coarse(day: &mut NaiveDate) {
    *day = day.with_day(if day.day() < 15 { 1 } else { 15 }).unwrap();
}

fn on_few_days(mut records: SeasonRecords) -> SeasonRecords {
    records.labor.iter_mut().for_each(|kept| coarse(&mut kept.record.date));
    records.fruit_counts.iter_mut().for_each(|kept| coarse(&mut kept.record.date));
    records.packout.iter_mut().for_each(|kept| coarse(&mut kept.record.date));
    records.settlements.iter_mut().for_each(|kept| coarse(&mut kept.record.date));
    records.prices.iter_mut().for_each(|kept| coarse(&mut kept.record.from));
    records.irrigation.iter_mut().for_each(|kept| coarse(&mut kept.record.date));
    records.mulch.iter_mut().for_each(|kept| coarse(&mut kept.record.date));
    for kept in &mut records.sizes {
        kept.record.from = date(1, 1);
    }
    for kept in &mut records.targets {
        kept.record.from = date(1, 1);
    }
    records
}

fn share() -> impl Strategy<Value = Option<f64>> {
    prop::option::of((1u32..10).prop_map(|tenths| f64::from(tenths) / 10.0))
}

fn canopy() -> impl Strategy<Value = CanopyDay> {
    (share(), share(), share(), 0u32..3).prop_map(|(kcb, ground_cover, height_m, day)| CanopyDay {
        date: date(5, 1 + day),
        kcb,
        ground_cover,
        height_m,
        root_depth_m: None,
        note: String::new(),
    })
}

fn day() -> impl Strategy<Value = WeatherDay> {
    (0u64..40, 30u32..80, 0u32..3, share()).prop_map(|(day, tenths, rain, warm)| WeatherDay {
        t_max: warm.and_then(|share| Celsius::new(20.0 + share)),
        ..weather(date(5, 1) + Days::new(day), Some(f64::from(tenths) / 10.0), f64::from(rain))
    })
}

fn reading() -> impl Strategy<Value = TensionReading> {
    (0u32..3, 1u32..4, 1u32..90).prop_map(|(day, feet, tension)| TensionReading {
        date: date(5, 1 + day),
        place: String::new(),
        depth: Inches::of(f64::from(feet) * 12.0),
        tension: Kilopascals::of(f64::from(tension)),
        note: String::new(),
    })
}

fn set() -> impl Strategy<Value = IrrigationSet> {
    (0u32..3, 0u32..4_000, 1u32..900).prop_map(|(day, start, ran)| IrrigationSet {
        date: date(5, 1 + day),
        applied: Applied::Meter {
            start: f64::from(start) / 10.0,
            end: f64::from(start + ran) / 10.0,
            unit: MeterUnit::Gallons,
            rolls_at: Some(400.0).filter(|_| ran % 2 == 0),
            replaced: None,
        },
        note: String::new(),
    })
}

fn pick() -> impl Strategy<Value = Pick> {
    (0u32..3, 1i64..900).prop_map(|(day, pounds)| Pick {
        date: date(7, 1 + day),
        pick: None,
        bins: None,
        lugs: None,
        weight: Some(Pounds::whole(pounds).unwrap()),
        note: String::new(),
    })
}

fn seen() -> impl Strategy<Value = Observation> {
    (0u32..2, prop::sample::select(vec!["hail", "frost"]), share()).prop_map(|(day, what, share_pct)| Observation {
        date: date(4, 1 + day),
        what: what.into(),
        share_pct,
        note: String::new(),
    })
}

fn rate() -> impl Strategy<Value = Rate> {
    let kinds = vec![RateKind::Wage(None), RateKind::Payroll, RateKind::Water, RateKind::Interest];
    (prop::sample::select(kinds), 1i64..30).prop_map(|(kind, whole)| Rate {
        from: date(1, 1),
        kind,
        micros: UnitPrice::<()>::from_micros(whole * 1_000_000).micros(),
        note: String::new(),
    })
}

prop_compose! {
    /// Every kind of record, many on one day.
    fn rich()(
        records in season(),
        canopy in prop::collection::vec(canopy(), 0..5),
        days in prop::collection::vec(day(), 0..6),
        readings in prop::collection::vec(reading(), 0..5),
        sets in prop::collection::vec(set(), 0..6),
        picks in prop::collection::vec(pick(), 0..5),
        seen in prop::collection::vec(seen(), 0..4),
        rates in prop::collection::vec(rate(), 0..6),
        shoots in prop::collection::vec((1u32..9_000, 1u32..30, 0usize..3), 10),
    ) -> SeasonRecords {
        let mut records = on_few_days(records);
        records.block.water.soil = Some(Soil::Loam);
        let every_day = (0..40).map(|day| weather(date(5, 1) + Days::new(day), Some(6.0), 0.0));
        records.weather = numbered(every_day.chain(days).collect());
        for (kept, (shoot, size, method)) in records.fruit_counts.iter_mut().zip(shoots) {
            kept.record.shoot = Some(Inches::of(f64::from(shoot) / 7.0));
            kept.record.fruit_diameter = Some(Inches::of(f64::from(size) / 9.0));
            kept.record.method = ThinningMethod::ALL.get(method).copied();
        }
        SeasonRecords {
            canopy: numbered(canopy),
            tension: numbered(readings),
            irrigation: numbered(bare(records.irrigation).into_iter().chain(sets).collect()),
            picks: numbered(picks),
            observations: numbered(seen),
            rates: numbered(bare(records.rates).into_iter().chain(rates).collect()),
            ..records
        }
    }
}

fn bare<R>(list: Vec<Kept<R>>) -> Vec<R> {
    list.into_iter().map(|kept| kept.record).collect()
}

/// The rows of a list in another order, each with the line it has now.
fn moved<R: Clone>(list: &[Kept<R>], by: usize) -> Vec<Kept<R>> {
    numbered(bare(turned(list, by)))
}

fn all_moved(records: &SeasonRecords, by: usize) -> SeasonRecords {
    let invoices: Vec<SharedCost> = turned(&records.shared_costs, by);
    let lines = records.shared_costs.iter().map(|shared| shared.cost.id);
    let shared_costs =
        invoices.into_iter().zip(lines).map(|(shared, id)| SharedCost { cost: Kept { id, ..shared.cost }, ..shared });
    SeasonRecords {
        labor: moved(&records.labor, by),
        fruit_counts: moved(&records.fruit_counts, by),
        irrigation: moved(&records.irrigation, by),
        tension: moved(&records.tension, by),
        weather: moved(&records.weather, by),
        canopy: moved(&records.canopy, by),
        mulch: moved(&records.mulch, by),
        picks: moved(&records.picks, by),
        packout: moved(&records.packout, by),
        settlements: moved(&records.settlements, by),
        costs: moved(&records.costs, by),
        prices: moved(&records.prices, by),
        rates: moved(&records.rates, by),
        sizes: moved(&records.sizes, by),
        targets: moved(&records.targets, by),
        observations: moved(&records.observations, by),
        shared_costs: shared_costs.collect(),
        ..records.clone()
    }
}

/// A reckoned season in full, to the last digit, without the numbers of lines.
fn in_full(records: &SeasonRecords) -> String {
    let text = format!("{:#?}", reckon(records));
    let lines = text.lines().scan(false, |after, line| {
        let number = core::mem::replace(after, line.trim_end().ends_with("Line("));
        Some(if number { "" } else { line })
    });
    lines.collect::<Vec<_>>().join("\n")
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 128, ..ProptestConfig::default() })]

    #[test]
    fn the_order_of_rows_changes_no_figure(records in rich(), by in 0usize..7) {
        let (one, other) = (in_full(&records), in_full(&all_moved(&records, by)));
        let differing = one.lines().zip(other.lines()).position(|(a, b)| a != b);
        let context = differing.map(|at| one.lines().skip(at.saturating_sub(30)).take(34).collect::<Vec<_>>().join("\n"));
        prop_assert!(one == other, "{context:?}");
    }
}
