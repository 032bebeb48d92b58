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

/// What each method took from a tree; 548.5 of a tree of the block in all.
fn taken(methods: &[(ThinningMethod, f64)]) -> ThinningSeason {
    use crate::season::MethodTaken;
    use crate::units::{FruitPerTree, Share};
    let one = |(method, fruit): &(ThinningMethod, f64)| MethodTaken {
        method: *method,
        samples: 4,
        removed: Figure::new(Share::of(fruit / 10.0), Evidence::Counted, []),
        per_tree: Some(Figure::new(FruitPerTree::of(*fruit), Evidence::Counted, [])),
    };
    ThinningSeason {
        removed_in_block: Some(Figure::new(Count::of(548_500.0), Evidence::Modelled, [])),
        by_method: methods.iter().map(one).collect(),
        ..ThinningSeason::default()
    }
}

const BOTH: [(ThinningMethod, f64); 2] = [(ThinningMethod::ByHand, 798.5), (ThinningMethod::Machine, 298.5)];

fn sum(method: ThinningMethod, trees: u32, cents: i64) -> LaborEntry {
    LaborEntry { pay: Pay::Contract(Money::from_cents(cents)), ..thin(1, method, Some(trees), None) }
}

/// Millionths of a dollar for a thousand fruit of each row.
fn rows(entries: Vec<LaborEntry>, fruit: &ThinningSeason) -> Vec<Option<i64>> {
    let mut season = records();
    season.labor = kept(entries);
    let (labor, _) = super::season(&season, fruit, &PackoutSeason::default());
    let all = labor.thinning.unwrap();
    assert!(all.cost_per_thousand.is_some(), "all thinning has all that came off");
    let each = labor.passes.iter().map(|pass| &pass.measure.cost_per_thousand);
    each.map(|each| each.as_ref().map(|each| each.value.micros())).collect()
}

#[test]
fn a_thousand_fruit_of_a_method_are_those_it_took() {
    let two = vec![sum(ThinningMethod::ByHand, 500, 100_000), sum(ThinningMethod::Machine, 500, 10_000)];
    let found = rows(two.clone(), &taken(&BOTH));
    assert_eq!(found, [Some(2_504_696), Some(670_017)], "1,000.00 and 100.00 over 500 trees and their own fruit");
    // One method alone has all that came off, whoever counted it under which name: 548.5 of a tree.
    assert_eq!(rows(two[..1].to_vec(), &taken(&BOTH)), [Some(3_646_308)]);
}

/// A count before and after spans every pass: what one pass took of it nobody knows.
#[test]
fn a_pass_has_no_cost_of_a_thousand_fruit_that_all_passes_took() {
    let hand = || sum(ThinningMethod::ByHand, 500, 100_000);
    let second = LaborEntry { pass: Some(2), ..hand() };
    assert_eq!(rows(vec![hand(), second.clone()], &taken(&BOTH)), [None, None]);
    let machine = || sum(ThinningMethod::Machine, 500, 10_000);
    assert_eq!(rows(vec![hand(), machine(), second], &taken(&BOTH)), [None, None, None]);
    // One after the other on the same trees, without a pass.
    let passless = [hand(), machine()].map(|entry| LaborEntry { pass: None, trees_done: Some(1_000), ..entry });
    assert_eq!(rows(passless.to_vec(), &taken(&BOTH)), [None, None]);
    assert_eq!(
        rows(vec![hand(), machine()], &taken(&BOTH[..1])),
        [Some(2_504_696), None],
        "nobody counted the machine's"
    );
}

#[test]
fn hours_of_a_thousand_fruit_go_with_their_cost() {
    let mut season = records();
    season.labor = kept([
        thin(1, ThinningMethod::ByHand, Some(500), Some("100")),
        thin(1, ThinningMethod::Cuts, Some(500), None),
        thin(2, ThinningMethod::ByHand, Some(1_000), Some("40")),
    ]);
    let fruit = ThinningSeason {
        removed_in_block: Some(Figure::new(Count::of(1_000_000.0), Evidence::Modelled, [])),
        ..ThinningSeason::default()
    };
    let (labor, _) = super::season(&season, &fruit, &PackoutSeason::default());
    assert!(labor.passes.iter().all(|pass| pass.measure.hours_per_thousand.is_none()));
    // 1,900.00 and 140 h over a million fruit; the flat sum of 500 carries no hours.
    let all = labor.thinning.unwrap();
    let (cost, hours) = (all.cost_per_thousand.unwrap(), all.hours_per_thousand.unwrap());
    assert_eq!((cost.value.micros(), cost.evidence), (1_900_000, Evidence::Modelled));
    assert!((hours.value.get() - 0.14).abs() < 1e-12);
    assert_eq!((cost.lacks.len(), hours.lacks.len()), (0, 1));
    assert_eq!(labor.cost_per_thousand_removed, Some(cost));
}
