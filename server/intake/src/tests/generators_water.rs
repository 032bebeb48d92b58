//! Any record and setting that the water balance reads.

use proptest::option::of;
use proptest::prelude::*;
use proptest::sample::select;
use reckon::records::{
    Applied, CanopyDay, IrrigationSet, MeterUnit, MulchApplication, MulchKind, MulchShape, Record, TensionReading,
    WeatherDay,
};
use reckon::units::{
    Celsius, Feet, GallonsPerHour, Inches, Kilopascals, MegajoulesPerSquareMetre, MetresPerSecond, Millimetres,
};
use reckon::water::setup::{SETTINGS, Setting, SettingInfo, Soil, WaterSetup};

use super::generators::{day, exact, float, maybe_empty, millionths, money, note, text};

const MILLION: i64 = 1_000_000;

pub(super) fn irrigation() -> impl Strategy<Value = Record> {
    let run = || 0_i64..=9_000 * MILLION;
    let unit = select(MeterUnit::ALL.to_vec());
    let meter =
        (run(), run(), unit, any::<bool>(), of((run(), run()))).prop_map(|(first, more, unit, rolls, replaced)| {
            let rolls_at = rolls.then_some(100_000.0);
            let start = millionths(first);
            match replaced {
                Some((old, new)) => {
                    let replaced = Some((millionths(first + old), millionths(new)));
                    Applied::Meter { start, end: millionths(new + more), unit, rolls_at, replaced }
                }
                // A register that passed zero ends below its start.
                None if rolls => {
                    Applied::Meter { start: 99_000.0, end: millionths(more), unit, rolls_at, replaced: None }
                }
                None => Applied::Meter { start, end: millionths(first + more), unit, rolls_at, replaced: None },
            }
        });
    let runtime = (exact(1, 9_999 * MILLION), of(float(1, 100_000 * MILLION)), of(1_u32..=100_000_000))
        .prop_map(|(hours, flow, emitters)| Applied::Runtime { hours, flow: flow.map(GallonsPerHour::of), emitters });
    let depth = float(0, 100 * MILLION).prop_map(|depth| Applied::Depth(Inches::of(depth)));
    (day(), prop_oneof![meter, runtime, depth], note())
        .prop_map(|(date, applied, note)| Record::Irrigation(IrrigationSet { date, applied, note }))
}

pub(super) fn tension() -> impl Strategy<Value = Record> {
    (day(), maybe_empty(), float(1, 400 * MILLION), float(0, 10_000 * MILLION), note()).prop_map(
        |(date, place, depth, tension, note)| {
            let (depth, tension) = (Inches::of(depth), Kilopascals::of(tension));
            Record::Tension(TensionReading { date, place, depth, tension, note })
        },
    )
}

/// Two values in order, each there or not.
fn pair(low: i64, high: i64) -> impl Strategy<Value = (Option<f64>, Option<f64>)> {
    (of(float(low, high)), of(float(low, high))).prop_map(|(a, b)| match (a, b) {
        (Some(a), Some(b)) => (Some(a.max(b)), Some(a.min(b))),
        other => other,
    })
}

pub(super) fn weather() -> impl Strategy<Value = Record> {
    let heat = (pair(-90 * MILLION, 60 * MILLION), pair(0, 100 * MILLION), of(float(-90 * MILLION, 60 * MILLION)));
    let water = (pair(0, 2_540 * MILLION), of(float(0, 50 * MILLION)), of(float(0, 20 * MILLION)));
    let sun = (float(0, 60 * MILLION), of(float(0, 24 * MILLION)));
    let wind = (of(float(0, 110 * MILLION)), of(float(MILLION / 10, 200 * MILLION)));
    (day(), heat, water, sun, wind, note())
        .prop_map(|(date, (heat, humidity, dew_point), (rain, eto, vapour_pressure_kpa), sun, wind, note)| WeatherDay {
            date,
            t_max: heat.0.map(Celsius::of),
            t_min: heat.1.map(Celsius::of),
            rain: rain.0.map(Millimetres::of),
            runoff: rain.1.map(Millimetres::of),
            eto: eto.map(Millimetres::of),
            solar: Some(MegajoulesPerSquareMetre::of(sun.0)),
            sunshine_hours: sun.1,
            wind: wind.0.map(MetresPerSecond::of),
            wind_height_m: wind.1,
            rh_max_pct: humidity.0,
            rh_min_pct: humidity.1,
            vapour_pressure_kpa,
            dew_point: dew_point.map(Celsius::of),
            note,
        })
        .prop_map(Record::Weather)
}

pub(super) fn canopy() -> impl Strategy<Value = Record> {
    let tree = (of(float(1, 20 * MILLION)), of(float(1, 5 * MILLION)));
    (day(), float(0, 1_500_000), of(float(0, MILLION)), tree, note()).prop_map(
        |(date, kcb, ground_cover, (height_m, root_depth_m), note)| {
            Record::Canopy(CanopyDay { date, kcb: Some(kcb), ground_cover, height_m, root_depth_m, note })
        },
    )
}

pub(super) fn mulch() -> impl Strategy<Value = Record> {
    // A ring reaches beyond the clear part, which is at most 120 in.
    let shape = prop_oneof![
        float(1, 100 * MILLION).prop_map(|width| MulchShape::Strip(Feet::of(width))),
        float(11 * MILLION, 100 * MILLION).prop_map(|radius| MulchShape::Ring(Feet::of(radius))),
        float(1, 100 * MILLION).prop_map(MulchShape::SharePct),
    ];
    let cost = || of(money(0));
    let costs = (cost(), cost(), cost());
    let size = (float(1, 60 * MILLION), float(0, 120 * MILLION), exact(1, 50 * MILLION));
    (day(), text(), select(MulchKind::ALL.to_vec()), size, shape, costs, note())
        .prop_map(|(date, material, kind, (depth, clear_radius, life), shape, costs, note)| MulchApplication {
            date,
            material,
            kind,
            depth: Inches::of(depth),
            shape,
            clear_radius: Inches::of(clear_radius),
            life,
            material_cost: costs.0,
            delivery_cost: costs.1,
            spreading_cost: costs.2,
            note,
        })
        .prop_map(Record::Mulch)
}

/// Any value of a setting: whole in tenths of its range, so that switches and days come out whole.
fn setting(info: &'static SettingInfo) -> impl Strategy<Value = (&'static SettingInfo, Option<f64>)> {
    let value = match info.setting {
        Setting::GrowthStartDay => Just(28.0).boxed(),
        Setting::RuleFirstMonthDay
        | Setting::RuleLastMonthDay
        | Setting::RunFirstMonthDay
        | Setting::RunLastMonthDay => {
            (1_u32..=12, 1_u32..=28).prop_map(|(month, day)| f64::from(month * 100 + day)).boxed()
        }
        _ if info.low.fract() == 0.0 && info.high.fract() == 0.0 && info.high - info.low >= 1.0 => {
            let spread = info.high - info.low;
            (0_u32..=10).prop_map(move |tenth| info.low + (spread * f64::from(tenth) / 10.0).floor()).boxed()
        }
        _ => prop_oneof![Just(info.low), Just(info.high)].boxed(),
    };
    of(value).prop_map(move |value| (info, value))
}

pub(super) fn setup() -> impl Strategy<Value = WaterSetup> {
    let values: Vec<_> = SETTINGS.iter().map(setting).collect();
    (of(select(Soil::ALL.to_vec())), values).prop_map(|(soil, values)| {
        let mut water = WaterSetup::default();
        water.soil = soil;
        for (info, value) in values {
            water.set(info.setting, value);
        }
        let clash =
            water.get(Setting::WiltingPoint).zip(water.get(Setting::FieldCapacity)).is_some_and(|(w, f)| w >= f);
        if clash {
            water.set(Setting::WiltingPoint, None);
        }
        if water.get(Setting::GrowthStartMonth).is_none() || water.get(Setting::GrowthStartDay).is_none() {
            water.set(Setting::GrowthStartMonth, None);
            water.set(Setting::GrowthStartDay, None);
        }
        water
    })
}
