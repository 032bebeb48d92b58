//! Any records of a block season, for what must hold of all of them.

use proptest::prelude::*;

use super::lists::{mulched, own_size, set, target};
use crate::block::{Block, MonthDay};
use crate::exact::{Boxes, Hours, Percent, Pieces, Pounds};
use crate::figure::{Kept, RecordId};
use crate::money::{Money, UnitPrice};
use crate::records::{
    Charges, Cost, CostGroup, FruitCount, LaborEntry, LineOutcome, Loading, PackoutLine, Pay, PriceLine, Rate,
    RateKind, SettlementLine, Sold, Task, ThinningMethod,
};
use crate::season::{SeasonRecords, SharedCost};
use crate::testing::{date, labor_entry, records};

const SIZES: [&str; 5] = ["A", "AA", "B", "56", "108"];
const GRADES: [&str; 2] = ["Fancy", "Choice"];

fn micros(low: i64, high: i64) -> impl Strategy<Value = i64> {
    (low * 1_000..high * 1_000).prop_map(|thousandths| thousandths * 1_000)
}

fn pay() -> impl Strategy<Value = Pay> {
    prop_oneof![
        micros(8, 40).prop_map(|wage| Pay::Hourly(Some(UnitPrice::from_micros(wage)))),
        Just(Pay::Hourly(None)),
        (micros(1, 900), micros(0, 5)).prop_map(|(pieces, rate)| Pay::Piece {
            pieces: Pieces::from_micros(pieces),
            rate: UnitPrice::from_micros(rate),
        }),
        (0i64..1_000_000).prop_map(|cents| Pay::Contract(Money::from_cents(cents))),
    ]
}

pub(super) fn labor() -> impl Strategy<Value = LaborEntry> {
    let task = prop::sample::select(Task::ALL.to_vec());
    let method = prop::option::of(prop::sample::select(ThinningMethod::ALL.to_vec()));
    let loading = prop_oneof![
        Just(Loading::FromRates),
        micros(0, 60).prop_map(|percent| Loading::Payroll(Percent::from_micros(percent))),
    ];
    // Nought, of a sum without hours, is a bonus.
    let trees = prop::option::of(prop_oneof![1 => Just(0), 9 => 1u32..1_500]);
    (task, method, prop::option::of(1u8..4), prop::option::of(micros(1, 90)), pay(), loading, trees, 1u32..28).prop_map(
        |(task, method, pass, hours, pay, loading, trees_done, day)| LaborEntry {
            trees_done: trees_done.map(|trees| {
                let alone = matches!(pay, Pay::Contract(_)) && hours.is_none();
                if alone { trees } else { trees.max(1) }
            }),
            date: date(5, day),
            method,
            pass,
            hours: hours.map(Hours::from_micros),
            overtime_hours: hours.map_or(Hours::ZERO, |hours| Hours::from_micros(hours / 4)),
            pay,
            loading,
            ..labor_entry(task, "1", "1")
        },
    )
}

pub(super) fn size() -> impl Strategy<Value = String> {
    prop::sample::select(SIZES.to_vec()).prop_map(Into::into)
}

fn grade() -> impl Strategy<Value = String> {
    prop::sample::select(GRADES.to_vec()).prop_map(Into::into)
}

pub(super) fn packout() -> impl Strategy<Value = PackoutLine> {
    (size(), grade(), micros(1, 900), prop::option::weighted(0.9, 18i64..28), 1u32..28).prop_map(
        |(size_class, grade, boxes, each, day)| PackoutLine {
            date: date(7, day),
            outcome: LineOutcome::Packed { size_class, grade, boxes: Boxes::from_micros(boxes) },
            weight: each.map(|each| Pounds::from_micros(boxes * each)),
            note: String::new(),
        },
    )
}

fn sold() -> impl Strategy<Value = Sold> {
    prop_oneof![
        (micros(1, 900), micros(0, 40)).prop_map(|(boxes, price)| Sold::Boxes {
            boxes: Boxes::from_micros(boxes),
            price: UnitPrice::from_micros(price),
        }),
        (micros(1, 20_000), micros(0, 3)).prop_map(|(weight, price)| Sold::Weight {
            weight: Pounds::from_micros(weight),
            price: UnitPrice::from_micros(price),
        }),
        (-100_000i64..100_000).prop_map(|cents| Sold::Adjustment(Money::from_cents(cents))),
    ]
}

pub(super) fn settlement() -> impl Strategy<Value = SettlementLine> {
    (prop::option::of(size()), prop::option::of(grade()), sold(), micros(0, 8), micros(0, 12), 1u32..28).prop_map(
        |(size_class, grade, sold, packing, commission, day)| SettlementLine {
            date: date(8, day),
            buyer: String::new(),
            size_class,
            grade,
            sold,
            charges: Charges {
                packing: UnitPrice::from_micros(packing),
                commission: Percent::from_micros(commission),
                lump: Money::from_cents(packing / 1_000 - 2_000),
                ..Charges::default()
            },
            note: String::new(),
        },
    )
}

pub(super) fn cost() -> impl Strategy<Value = Cost> {
    (prop::sample::select(CostGroup::ALL.to_vec()), -10_000i64..1_000_000)
        .prop_map(|(group, cents)| Cost { category: "materials".into(), ..crate::testing::cost(group, cents) })
}

fn price() -> impl Strategy<Value = PriceLine> {
    (prop::option::of(size()), prop::option::of(grade()), micros(0, 30), 1u32..28).prop_map(
        |(size_class, grade, each, day)| PriceLine {
            from: date(7, day),
            crop: None,
            size_class,
            grade,
            net_price: UnitPrice::from_micros(each),
            note: String::new(),
        },
    )
}

fn count() -> impl Strategy<Value = FruitCount> {
    (0u32..5, 1u32..28, prop::option::of(1u32..2_000), 1u32..100).prop_map(|(name, day, before, left)| FruitCount {
        date: date(5, day),
        sample: format!("tree {name}"),
        branch: name == 0,
        before,
        after: before.map(|before| before * left / 100),
        shoot: None,
        fruit_diameter: None,
        method: None,
        note: String::new(),
    })
}

pub(super) fn numbered<R>(records: Vec<R>) -> Vec<Kept<R>> {
    crate::testing::kept(records)
}

prop_compose! {
    pub(super) fn season()(
        labor in prop::collection::vec(labor(), 0..25),
        counts in prop::collection::vec(count(), 0..10),
        packout in prop::collection::vec(packout(), 0..20),
        settlements in prop::collection::vec(settlement(), 0..8),
        prices in prop::collection::vec(price(), 0..4),
        costs in prop::collection::vec(cost(), 0..8),
        shared in prop::collection::vec((cost(), 0usize..3), 0..4),
        payroll in prop::option::of(micros(0, 50)),
        sizes in prop::collection::vec(own_size(), 0..4),
        targets in prop::collection::vec(target(), 0..6),
        water in prop::option::of((micros(1, 90), prop::collection::vec(set(), 0..6))),
        mulch in prop::collection::vec(mulched(), 0..3),
    ) -> SeasonRecords {
        let shared = (100u32..).zip(shared).map(|(line, (record, own))| SharedCost {
            cost: Kept { id: RecordId::Line(line), record },
            weights: vec![10.into(), 7.into(), 3.into()],
            own,
        });
        let rate = |kind, micros| Rate { from: date(1, 1), kind, micros, note: String::new() };
        let payroll = payroll.map(|micros| rate(RateKind::Payroll, micros));
        let price = water.as_ref().map(|(micros, _)| rate(RateKind::Water, *micros));
        SeasonRecords {
            labor: numbered(labor),
            fruit_counts: numbered(counts),
            packout: numbered(packout),
            settlements: numbered(settlements),
            prices: numbered(prices),
            costs: numbered(costs),
            shared_costs: shared.collect(),
            rates: numbered(payroll.into_iter().chain(price).collect()),
            irrigation: numbered(water.map(|(_, sets)| sets).unwrap_or_default()),
            mulch: numbered(mulch),
            sizes: numbered(sizes),
            targets: numbered(targets),
            block: Block { ripening: MonthDay::new(6, 5).zip(MonthDay::new(6, 18)), ..records().block },
            ..records()
        }
    }
}
