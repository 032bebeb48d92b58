//! Any own size, thinning target, set of irrigation and layer of mulch.

use proptest::prelude::*;

use super::generators::size;
use crate::block::MonthDay;
use crate::exact::Years;
use crate::money::Money;
use crate::records::{Applied, FruitWanted, IrrigationSet, MulchApplication, MulchShape, OwnSize, ThinningTarget};
use crate::testing::date;
use crate::units::{FruitPerAcre, FruitPerTree, Inches};
use crate::water::testing::mulch;

pub(super) fn own_size() -> impl Strategy<Value = OwnSize> {
    let means = prop::option::of(prop::sample::select(vec!["A", "AA", "73 mm", "54-56", "no such size"]));
    (size(), 1u32..5, means, 1u32..13).prop_map(|(size_class, place, means, month)| OwnSize {
        from: date(month, 1),
        crop: None,
        size_class,
        place,
        means: means.map(Into::into),
        note: String::new(),
    })
}

pub(super) fn target() -> impl Strategy<Value = ThinningTarget> {
    let fruit = prop_oneof![
        (1u32..4).prop_map(|fruit| FruitWanted::Tree(FruitPerTree::of(f64::from(fruit) * 100.0))),
        (1u32..4).prop_map(|fruit| FruitWanted::Acre(FruitPerAcre::of(f64::from(fruit) * 10_000.0))),
    ];
    let ripening = prop::option::of((1u32..13, 1u32..13)).prop_map(|months| {
        let (from, to) = months?;
        MonthDay::new(from, 1).zip(MonthDay::new(to, 20))
    });
    (1u32..7, any::<bool>(), ripening, prop::option::of(fruit), prop::option::of(3u32..7)).prop_map(
        |(month, named, ripening, fruit, spacing)| ThinningTarget {
            from: date(month, 1),
            crop: named.then(|| "peach".into()),
            ripening,
            fruit,
            spacing: spacing.map(|inches| Inches::of(f64::from(inches))),
            note: String::new(),
        },
    )
}

pub(super) fn set() -> impl Strategy<Value = IrrigationSet> {
    (1u32..28, 1u32..400).prop_map(|(day, hundredths)| IrrigationSet {
        date: date(6, day),
        applied: Applied::Depth(Inches::of(f64::from(hundredths) / 100.0)),
        note: String::new(),
    })
}

/// Paid for, free, and without a word on what it cost.
pub(super) fn mulched() -> impl Strategy<Value = MulchApplication> {
    let cost = || prop::option::of(prop_oneof![Just(0i64), 1i64..900_000]).prop_map(|cost| cost.map(Money::from_cents));
    (cost(), cost(), cost(), 1i64..6, 1u32..28).prop_map(|(material_cost, delivery_cost, spreading_cost, life, day)| {
        MulchApplication {
            date: date(3, day),
            life: Years::whole(life).unwrap(),
            material_cost,
            delivery_cost,
            spreading_cost,
            ..mulch(MulchShape::SharePct(40.0))
        }
    })
}
