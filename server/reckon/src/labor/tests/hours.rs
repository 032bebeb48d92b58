//! Hours where some entries carry none: contracts, and days nobody timed.

use super::*;
use crate::figure::{Lack, lacking};

/// What hours, hours of an acre and hours of a tree lack, in words; and hours of a tree.
fn lacks(measure: &LaborMeasure) -> ([Option<String>; 3], f64) {
    let words = |lacks: Option<&Vec<Lack>>| lacks.and_then(|lacks| lacking(lacks));
    let each = measure.hours_per_tree.as_ref().unwrap();
    let hours = [
        words(measure.hours.as_ref().map(|hours| &hours.lacks)),
        words(measure.hours_per_acre.as_ref().map(|hours| &hours.lacks)),
        words(Some(&each.lacks)),
    ];
    (hours, each.value.get())
}

fn hand(trees: Option<u32>, worked: Option<&str>) -> LaborEntry {
    thin(1, ThinningMethod::ByHand, trees, worked)
}

#[test]
fn entries_without_hours_are_said_and_are_not_nothing() {
    let (labor, gaps) = labor_of(vec![hand(Some(400), Some("100")), hand(Some(300), None), hand(Some(200), None)]);
    let all = labor.thinning.unwrap();
    let two = || Some("2 entries lack hours".to_owned());
    // 100 h on the 400 trees of the one entry; the acres of the block are those of all three.
    assert_eq!(lacks(&all), ([two(), two(), None], 0.25));
    assert_eq!(lacks(&labor.passes[0].measure), lacks(&all));
    assert_eq!(lacks(&labor.tasks[0].measure), lacks(&all));
    assert_eq!(lacks(&labor.all), ([two(), two(), two()], 0.1), "all labor lies on the block's trees");
    assert!(all.cost.lacks.is_empty() && all.cost_per_tree.unwrap().lacks.is_empty(), "a contract has its cost");
    assert!(gaps.is_empty(), "{gaps:?}");
}

#[test]
fn hours_of_a_tree_stand_whole_only_over_trees_that_were_counted_and_worked_once() {
    let one = || Some("1 entry lacks hours".to_owned());
    let of_tree = |entries: Vec<LaborEntry>| {
        let ([_, _, tree], each) = lacks(&labor_of(entries).0.thinning.unwrap());
        (tree, each)
    };
    assert_eq!(of_tree(vec![hand(Some(400), Some("100")), hand(Some(600), None)]), (None, 0.25));
    assert_eq!(
        of_tree(vec![hand(Some(400), Some("100")), hand(None, None)]),
        (None, 0.25),
        "its own trees are counted"
    );
    assert_eq!(of_tree(vec![hand(None, Some("100")), hand(Some(600), None)]), (one(), 0.1), "nobody counted them");
    let second = LaborEntry { pass: Some(2), ..hand(Some(600), None) };
    assert_eq!(of_tree(vec![hand(Some(400), Some("100")), second]), (one(), 0.25), "the second look was on them too");
    assert_eq!(of_tree(vec![hand(Some(800), Some("100")), hand(Some(800), None)]), (one(), 0.125), "some met both");
}
