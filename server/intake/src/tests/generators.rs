//! Any record of any kind, as intake may let it through.

use chrono::NaiveDate;
use proptest::option::of;
use proptest::prelude::*;
use proptest::sample::select;
use reckon::block::{Block, Emitter, Farm, MonthDay, NeedsPollinizer};
use reckon::exact::Exact;
use reckon::figure::RecordKind;
use reckon::money::{Money, UnitPrice};
use reckon::records::{
    Charges, Cost, CostGroup, FruitCount, FruitWanted, LaborEntry, Lasting, LineOutcome, Loading, Observation, OwnSize,
    PackoutLine, Pay, Pick, PriceLine, Rate, RateKind, Record, SettlementLine, SharedBasis, Shares, Sold, Task,
    ThinningMethod, ThinningTarget,
};
use reckon::units::{Feet, FruitPerAcre, FruitPerTree, GallonsPerHour, Inches};

use super::generators_water as water;

pub(super) fn day() -> impl Strategy<Value = NaiveDate> {
    (1_u32..=365).prop_map(|day| NaiveDate::from_yo_opt(2026, day).unwrap())
}

/// A short text as it stands after trimming.
pub(super) fn text() -> impl Strategy<Value = String> {
    "[A-Za-z0-9ñŁé][A-Za-z0-9ñ ,;'\"=.-]{0,18}[A-Za-z0-9ñ)]"
}

pub(super) fn maybe_empty() -> impl Strategy<Value = String> {
    prop_oneof![Just(String::new()), text()]
}

pub(super) fn note() -> impl Strategy<Value = String> {
    prop_oneof![Just(String::new()), text(), "[a-z]{1,8}\n\t[a-z ,;\"]{0,8}\n[a-z]{1,8}"]
}

/// Millionths from one number to another, both in whole units.
pub(super) fn exact<U>(low: i64, high: i64) -> impl Strategy<Value = Exact<U>> {
    prop_oneof![low..=high, (low..=high).prop_map(|micros| micros / 500_000 * 500_000)]
        .prop_filter("zero where it is refused", move |micros| low == 0 || *micros != 0)
        .prop_map(Exact::from_micros)
}

#[expect(clippy::cast_precision_loss, reason = "millionths below 2^53 are exact")]
pub(super) fn millionths(micros: i64) -> f64 {
    micros as f64 / 1e6
}

/// A float of at most six decimals, given in millionths.
pub(super) fn float(low: i64, high: i64) -> impl Strategy<Value = f64> {
    (low..=high).prop_map(millionths)
}

fn price<U>() -> impl Strategy<Value = UnitPrice<U>> {
    prop_oneof![0_i64..=1_000_000_000_000, (0_i64..=5_000).prop_map(|cents| cents * 10_000)]
        .prop_map(UnitPrice::from_micros)
}

pub(super) fn money(low: i64) -> impl Strategy<Value = Money> {
    (low..=99_999_999_999_i64).prop_map(Money::from_cents)
}

const MILLION: i64 = 1_000_000;

fn method() -> impl Strategy<Value = Option<ThinningMethod>> {
    of(select(ThinningMethod::ALL.to_vec()))
}

fn labor() -> impl Strategy<Value = Record> {
    let work = (day(), select(Task::ALL.to_vec()), method(), of(1_u8..=20), maybe_empty(), of(1_u32..=10_000));
    let hours = (of(1_i64..=24 * MILLION), 0_i64..=100, of(exact(100 * MILLION, 1_000 * MILLION)));
    let pay = prop_oneof![
        of(price()).prop_map(Pay::Hourly),
        (exact(0, 99_999_999 * MILLION), price()).prop_map(|(pieces, rate)| Pay::Piece { pieces, rate }),
        money(0).prop_map(Pay::Contract),
    ];
    let loading = prop_oneof![
        Just(Loading::FromRates),
        exact(0, 100 * MILLION).prop_map(Loading::Payroll),
        exact(0, 100 * MILLION).prop_map(Loading::Commission),
    ];
    let done = (of(1_u32..=10_000_000), of(1_u32..=100_000));
    (work, hours, pay, loading, done, note())
        .prop_map(|(work, hours, pay, loading, (trees_done, rows_done), note)| {
            let (date, task, method, pass, crew, people) = work;
            let (each, overtime_pct, overtime_multiplier) = hours;
            let needed = matches!(pay, Pay::Hourly(_));
            let all = each.or(needed.then_some(8 * MILLION)).map(|each| each * i64::from(people.unwrap_or(1)));
            LaborEntry {
                date,
                task,
                method: method.filter(|_| task == Task::Thin),
                pass,
                crew,
                people,
                hours: all.map(Exact::from_micros),
                hours_each: each.filter(|_| people.is_some()).map(Exact::from_micros),
                overtime_hours: Exact::from_micros(all.unwrap_or(0) / 100 * overtime_pct),
                overtime_multiplier,
                pay,
                loading,
                trees_done,
                rows_done,
                note,
            }
        })
        .prop_map(Record::Labor)
}

fn fruit_count() -> impl Strategy<Value = Record> {
    let fruit = (0_u32..=1_000_000, 0_u32..=100, 0_u8..=2);
    (day(), text(), any::<bool>(), fruit, of(float(1, 9_999 * MILLION)), of(float(1, 20 * MILLION)), method(), note())
        .prop_map(|(date, sample, branch, (before, share, given), shoot, diameter, method, note)| FruitCount {
            date,
            sample,
            branch,
            before: (given != 1).then_some(before),
            after: (given != 2).then_some(before / 100 * share),
            shoot: shoot.map(Inches::of),
            fruit_diameter: diameter.map(Inches::of),
            method,
            note,
        })
        .prop_map(Record::FruitCount)
}

fn pick() -> impl Strategy<Value = Record> {
    let amounts = (of(exact(0, 999_999 * MILLION)), of(exact(0, 9_999_999 * MILLION)), exact(0, 999_999_999 * MILLION));
    (day(), of(1_u8..=50), amounts, any::<bool>(), note())
        .prop_map(|(date, pick, (bins, lugs, weight), weighed, note)| {
            let weight = (weighed || bins.is_none() && lugs.is_none()).then_some(weight);
            Pick { date, pick, bins, lugs, weight, note }
        })
        .prop_map(Record::Pick)
}

fn packout() -> impl Strategy<Value = Record> {
    let weight = || exact(0, 999_999_999 * MILLION);
    let packed = (text(), text(), exact(0, 99_999_999 * MILLION), of(weight()))
        .prop_map(|(size_class, grade, boxes, weight)| (LineOutcome::Packed { size_class, grade, boxes }, weight));
    let culled = (text(), weight()).prop_map(|(cause, weight)| (LineOutcome::Culled { cause }, Some(weight)));
    (day(), prop_oneof![packed, culled], note())
        .prop_map(|(date, (outcome, weight), note)| PackoutLine { date, outcome, weight, note })
        .prop_map(Record::Packout)
}

fn settlement() -> impl Strategy<Value = Record> {
    let sold = prop_oneof![
        (exact(0, 99_999_999 * MILLION), price()).prop_map(|(boxes, price)| Sold::Boxes { boxes, price }),
        (exact(0, 999_999_999 * MILLION), price()).prop_map(|(weight, price)| Sold::Weight { weight, price }),
        money(-99_999_999_999).prop_map(Sold::Adjustment),
    ];
    let charges = (price(), price(), price(), exact(0, 100 * MILLION), money(-99_999_999_999));
    (day(), maybe_empty(), of(text()), of(text()), sold, charges, note())
        .prop_map(|(date, buyer, size_class, grade, sold, (packing, cooling, freight, commission, lump), note)| {
            let by_box = matches!(sold, Sold::Boxes { .. });
            let charges = if by_box {
                Charges { packing, cooling, freight, commission, lump }
            } else {
                Charges { commission, lump, ..Charges::default() }
            };
            SettlementLine { date, buyer, size_class, grade, sold, charges, note }
        })
        .prop_map(Record::Settlement)
}

fn cost() -> impl Strategy<Value = Record> {
    let words = (select(CostGroup::ALL.to_vec()), select(SharedBasis::ALL.to_vec()));
    let lasting = of((1_u32..=100, money(0), 0_i64..=100 * MILLION));
    (day(), maybe_empty(), text(), words, money(-99_999_999_999), lasting, note())
        .prop_map(|(date, payee, category, (group, basis), amount, lasting, note)| Cost {
            date,
            payee,
            category,
            group: if lasting.is_some() { CostGroup::NonCashOverhead } else { group },
            amount,
            basis,
            shares: if basis == SharedBasis::Fixed { halves() } else { Shares::default() },
            lasting: lasting.map(|(life_years, salvage, rate)| Lasting {
                life_years,
                salvage,
                rate: Exact::from_micros(rate),
            }),
            note,
        })
        .prop_map(Record::Cost)
}

fn halves() -> Shares {
    Shares::parse("RB-1=33.25;RB-2=66.75").unwrap()
}

fn price_line() -> impl Strategy<Value = Record> {
    (day(), of(text()), of(text()), of(text()), price(), note())
        .prop_map(|(from, crop, size_class, grade, net_price, note)| PriceLine {
            from,
            crop,
            size_class,
            grade,
            net_price,
            note,
        })
        .prop_map(Record::Price)
}

fn rate() -> impl Strategy<Value = Record> {
    let dollars = || 0_i64..=1_000_000 * MILLION;
    let percent = || 0_i64..=100 * MILLION;
    let kind = prop_oneof![
        (of(select(Task::ALL.to_vec())), dollars()).prop_map(|(task, micros)| (RateKind::Wage(task), micros)),
        percent().prop_map(|micros| (RateKind::Payroll, micros)),
        percent().prop_map(|micros| (RateKind::Commission, micros)),
        percent().prop_map(|micros| (RateKind::Interest, micros)),
        dollars().prop_map(|micros| (RateKind::Water, micros)),
    ];
    (day(), kind, note()).prop_map(|(from, (kind, micros), note)| Record::Rate(Rate { from, kind, micros, note }))
}

fn own_size() -> impl Strategy<Value = Record> {
    let means = select(vec![
        (None, None),
        (None, Some("AA")),
        (None, Some("40")),
        (Some("peach"), Some("2 3/4 in")),
        (Some("plum hybrid"), Some("20-25")),
        (Some("Apricot"), Some("jumbo")),
        (Some("persimmon"), None),
    ]);
    (day(), text(), 1_u32..=999, means, note()).prop_map(|(from, size_class, place, (crop, means), note)| {
        let (crop, means) = (crop.map(str::to_owned), means.map(str::to_owned));
        Record::Size(OwnSize { from, crop, size_class, place, means, note })
    })
}

fn thinning_target() -> impl Strategy<Value = Record> {
    let fruit = prop_oneof![
        float(1, 100_000 * MILLION).prop_map(|fruit| FruitWanted::Tree(FruitPerTree::of(fruit))),
        float(1, 100_000_000 * MILLION).prop_map(|fruit| FruitWanted::Acre(FruitPerAcre::of(fruit))),
    ];
    let spacing = || float(1, 120 * MILLION).prop_map(Inches::of);
    let wanted = prop_oneof![
        (fruit, of(spacing())).prop_map(|(fruit, spacing)| (Some(fruit), spacing)),
        spacing().prop_map(|spacing| (None, Some(spacing))),
    ];
    (day(), of(text()), of((month_day(), month_day())), wanted, note()).prop_map(
        |(from, crop, ripening, (fruit, spacing), note)| {
            Record::ThinningTarget(ThinningTarget { from, crop, ripening, fruit, spacing, note })
        },
    )
}

fn observation() -> impl Strategy<Value = Record> {
    (day(), text(), of(float(0, 100 * MILLION)), note())
        .prop_map(|(date, what, share_pct, note)| Record::Observation(Observation { date, what, share_pct, note }))
}

/// Any record of this kind.
pub(super) fn record(kind: RecordKind) -> BoxedStrategy<Record> {
    match kind {
        RecordKind::Labor => labor().boxed(),
        RecordKind::FruitCount => fruit_count().boxed(),
        RecordKind::Irrigation => water::irrigation().boxed(),
        RecordKind::Tension => water::tension().boxed(),
        RecordKind::Weather => water::weather().boxed(),
        RecordKind::Canopy => water::canopy().boxed(),
        RecordKind::Mulch => water::mulch().boxed(),
        RecordKind::Pick => pick().boxed(),
        RecordKind::Packout => packout().boxed(),
        RecordKind::Settlement => settlement().boxed(),
        RecordKind::Cost => cost().boxed(),
        RecordKind::Price => price_line().boxed(),
        RecordKind::Rate => rate().boxed(),
        RecordKind::Size => own_size().boxed(),
        RecordKind::ThinningTarget => thinning_target().boxed(),
        RecordKind::Observation => observation().boxed(),
    }
}

/// Any farm.
pub(super) fn farm() -> impl Strategy<Value = Farm> {
    let place = (
        of(float(0, 500 * MILLION)),
        of(float(-90 * MILLION, 90 * MILLION)),
        of(float(-500 * MILLION, 9_000 * MILLION)),
    );
    (text(), maybe_empty(), text(), place, maybe_empty()).prop_map(
        |(name, place, station, (station_miles, latitude_deg, elevation_m), time_zone)| Farm {
            name,
            place,
            station,
            station_miles,
            latitude_deg,
            elevation_m,
            time_zone,
        },
    )
}

fn month_day() -> impl Strategy<Value = MonthDay> {
    (1_u32..=12, 1_u32..=29).prop_map(|(month, day)| MonthDay::new(month, day).unwrap())
}

/// Any block.
pub(super) fn block() -> impl Strategy<Value = Block> {
    let names = (text(), text(), text(), maybe_empty());
    let trees = (
        (of(1_800_i32..=2_200), of(1_900_i32..=2_100), of(2_101_i32..=2_200)),
        exact(1, 999_999 * MILLION),
        of(1_u32..=10_000_000),
    );
    let spacing = || of(float(1, 1_000 * MILLION));
    let emitters = (select(Emitter::ALL.to_vec()), of(float(1, 1_000 * MILLION)), of(float(1, 100_000 * MILLION)));
    let ripening = of((month_day(), month_day()));
    let crew = (
        of(1_u32..=100_000),
        of(select(NeedsPollinizer::ALL.to_vec())),
        of(0_u32..=100_000),
        of(float(1, 100_000 * MILLION)),
    );
    (names, trees, (spacing(), spacing()), emitters, ripening, crew, water::setup()).prop_map(
        |(names, trees, (row_spacing, tree_spacing), emitters, ripening, crew, water)| Block {
            code: names.0,
            crop: names.1,
            variety: names.2,
            planted_year: trees.0.0,
            first_season: trees.0.1,
            last_season: trees.0.2,
            acres: trees.1,
            trees: trees.2,
            row_spacing: row_spacing.map(Feet::of),
            tree_spacing: tree_spacing.map(Feet::of),
            rows: crew.0,
            emitter: emitters.0,
            emitters_per_tree: emitters.1,
            emitter_flow: emitters.2.map(GallonsPerHour::of),
            ripening,
            pollinizer: names.3,
            needs_pollinizer: crew.1,
            pollinizer_trees: crew.2,
            target_fruit: crew.3.map(FruitPerTree::of),
            water,
        },
    )
}
