//! What falls on a tree and on a thousand fruit where wages are missing, or methods were counted apart.

use super::*;

#[test]
fn work_without_a_wage_does_not_make_trees_look_cheap() {
    let day = |wage: Pay, trees| LaborEntry {
        hours: Some(hours("50")),
        pay: wage,
        trees_done: Some(trees),
        ..entry(Task::Thin)
    };
    let paid = Pay::Hourly(Some(UnitPrice::round(dec("20")).unwrap()));
    let mut season = records();
    season.labor = kept([day(paid, 400), day(Pay::Hourly(None), 600)]);
    let fruit = ThinningSeason {
        removed_in_block: Some(Figure::new(
            Count::of(500.0 * f64::from(season.block.trees.unwrap())),
            Evidence::Modelled,
            [],
        )),
        ..ThinningSeason::default()
    };
    let all = |season: &SeasonRecords| super::season(season, &fruit, &PackoutSeason::default()).0.thinning.unwrap();
    let some = all(&season);
    assert_eq!(some.cost_per_tree.as_ref().unwrap().value, UnitPrice::from_micros(2_500_000), "1,000.00 over 400");
    assert_eq!(some.cost_per_thousand.as_ref().unwrap().value, UnitPrice::from_micros(5_000_000));
    assert_eq!(some.cost_per_tree.as_ref().unwrap().lacks.len(), 1);
    assert_eq!(some.trees.as_ref().unwrap().value, Count::of(1_000.0), "all were thinned");
    season.labor = kept([day(Pay::Hourly(None), 600)]);
    let none = all(&season);
    assert_eq!((none.cost_per_tree, none.cost_per_acre, none.cost_per_thousand), (None, None, None));
    assert!(none.hours_per_tree.is_some());
}

#[test]
fn a_thousand_fruit_of_a_method_are_those_it_took() {
    use crate::season::MethodTaken;
    use crate::units::{FruitPerTree, Share};
    let sum =
        |method, cents| LaborEntry { pay: Pay::Contract(Money::from_cents(cents)), ..thin(1, method, Some(500), None) };
    let taken = |method, fruit: f64| MethodTaken {
        method,
        samples: 4,
        removed: Figure::new(Share::of(fruit / 10.0), Evidence::Counted, []),
        per_tree: Some(Figure::new(FruitPerTree::of(fruit), Evidence::Counted, [])),
    };
    let mut season = records();
    season.labor = kept([sum(ThinningMethod::ByHand, 100_000), sum(ThinningMethod::Machine, 10_000)]);
    let fruit = ThinningSeason {
        removed_in_block: Some(Figure::new(Count::of(548_500.0), Evidence::Modelled, [])),
        by_method: vec![taken(ThinningMethod::ByHand, 798.5), taken(ThinningMethod::Machine, 298.5)],
        ..ThinningSeason::default()
    };
    let thousand = |season: &SeasonRecords| -> Vec<i64> {
        let (labor, _) = super::season(season, &fruit, &PackoutSeason::default());
        labor.passes.iter().map(|pass| pass.measure.cost_per_thousand.as_ref().unwrap().value.micros()).collect()
    };
    assert_eq!(thousand(&season), [2_504_696, 670_017], "1,000.00 and 100.00 over 500 trees and their own fruit");
    // One method alone has all that came off, whoever counted it under which name: 548.5 of a tree.
    season.labor.pop();
    season.block.trees = Some(1_000);
    assert_eq!(thousand(&season), [3_646_308]);
}
