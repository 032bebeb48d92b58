//! Trees of a method: too few to stand for a block, spread over later passes, and told by rows.

use super::*;
use crate::records::{FruitCount, Pay};
use crate::season::PayBasis;

/// T-1 with 500 trees in 25 rows.
fn block_of(labor: impl IntoIterator<Item = LaborEntry>) -> SeasonRecords {
    let mut season = records();
    season.block.trees = Some(500);
    season.block.rows = Some(25);
    season.labor = kept(labor);
    season
}

fn lacked(group: &Group) -> Vec<String> {
    group.without_said(|_| true)
}

const NAMED: [ThinningMethod; 2] = [ThinningMethod::ByHand, ThinningMethod::Cuts];

fn methods_of(found: &[Observation]) -> Vec<&str> {
    found.iter().map(|seen| seen.method.as_str()).collect()
}

#[test]
fn a_scrap_of_a_block_stands_for_nothing() {
    let scrap = of(&block_of([thin(ThinningMethod::ByHand, 1, 3, "79.735", Some(10))]));
    assert!(scrap[0].measures.is_empty(), "{:?}", scrap[0].measures);
    let group = compare(&scrap, &[]).groups.remove(0);
    assert_eq!(
        group.left_out,
        ["T-1 2026 is left out of cost per tree and hours per tree: 10 of its 500 trees were thinned."]
    );
    let part = of(&block_of([thin(ThinningMethod::ByHand, 1, 3, "60", Some(300))]));
    assert!((part[0].measures[&Measure::CostPerTree] - 2.0).abs() < 1e-12);
    let group = compare(&part, &[]).groups.remove(0);
    assert_eq!(group.notes, ["300 of the 500 trees of T-1 2026 were thinned (60%); what it sold is of all of them."]);
    for whole in [480, 500] {
        let all = of(&block_of([thin(ThinningMethod::ByHand, 1, 3, "60", Some(whole))]));
        assert!(all[0].notes.is_empty() && all[0].lacking.is_empty());
    }
}

#[test]
fn a_few_trees_are_no_part() {
    let found = of(&block_of([
        thin(ThinningMethod::ByHand, 1, 3, "100", Some(490)),
        thin(ThinningMethod::Cuts, 1, 4, "6", Some(10)),
    ]));
    assert_eq!(methods_of(&found), ["by hand"]);
    assert_eq!(
        found[0].notes,
        ["T-1 2026: 10 of its 500 trees (cuts) are too few for a method or a part of their own."]
    );
}

#[test]
fn a_later_pass_is_spread_over_its_own_trees() {
    let pass = |method, pass, trees| LaborEntry {
        hours: None,
        pay: Pay::Contract(crate::money::Money::from_cents(79_735)),
        loading: crate::records::Loading::Payroll(crate::exact::Percent::ZERO),
        ..thin(method, pass, 3, "1", Some(trees))
    };
    let [hand, cuts] = NAMED;
    let cost = |second| {
        let found = of(&block_of([pass(hand, 1, 200), pass(cuts, 1, 200), pass(hand, 2, second)]));
        assert_eq!(methods_of(&found), ["by hand", "cuts then by hand"]);
        assert_eq!(found[0].traits.pay, [PayBasis::Contract].into());
        found[1].measures[&Measure::CostPerTree]
    };
    assert!((cost(500) - (797.35 / 200.0 + 797.35 / 500.0)).abs() < 1e-9);
    // Fewer trees than the first: nobody kept in which part they stand.
    assert!((cost(100) - (797.35 / 200.0 + 797.35 / 400.0)).abs() < 1e-9);
}

#[test]
fn parts_may_be_told_by_rows() {
    let rows = LaborEntry { rows_done: Some(10), ..thin(ThinningMethod::Cuts, 1, 4, "50", None) };
    let found = of(&block_of([thin(ThinningMethod::ByHand, 1, 3, "100", Some(300)), rows.clone()]));
    assert_eq!(methods_of(&found), ["by hand", "cuts"]);
    assert!((found[1].measures[&Measure::HoursPerTree] - 0.25).abs() < 1e-12);
    // More trees than the block has are no parts; they were still side by side.
    let found = of(&block_of([
        thin(ThinningMethod::Cuts, 1, 3, "100", Some(500)),
        LaborEntry { method: Some(ThinningMethod::ByHand), ..rows },
    ]));
    assert_eq!(methods_of(&found), ["by hand and cuts"]);
}

#[test]
fn a_part_has_the_cost_of_its_own_thousand_fruit() {
    let [hand, cuts] = NAMED;
    let mut season = block_of([thin(hand, 1, 3, "100", Some(250)), thin(cuts, 1, 4, "50", Some(250))]);
    let count = |method, after: u32| FruitCount {
        date: date(5, 5),
        sample: after.to_string(),
        branch: false,
        before: Some(1_000),
        after: Some(after),
        shoot: None,
        fruit_diameter: None,
        method: Some(method),
        note: String::new(),
    };
    season.fruit_counts = kept([count(hand, 500), count(cuts, 600)]);
    let found = of(&season);
    // $4.00 for 500 fruit, $2.00 for 400.
    assert!((found[0].measures[&Measure::CostPerThousand] - 8.0).abs() < 1e-9);
    assert!((found[1].measures[&Measure::CostPerThousand] - 5.0).abs() < 1e-9);
    season.fruit_counts = kept([count(hand, 500)]);
    let group = compare(&of(&season), &[]).groups.remove(0);
    assert_eq!(
        lacked(&group),
        [
            "No cost of 1,000 fruit removed for T-1 2026 (cuts).",
            "A part of a block has no sales of its own, so it has no large-fruit share, net price or return per acre.",
        ]
    );
}

#[test]
fn ripening_pay_and_fruit_left_are_said_where_they_differ() {
    let mut hand = seen("A, 2026", "by hand", "Dusk", 10.0, 5_000.0);
    let mut cuts = seen("B, 2026", "cuts", "Dusk", 3.0, 2_500.0);
    (hand.traits.ripens, cuts.traits.ripens) = (Some(160), Some(175));
    (hand.traits.left_per_tree, cuts.traits.left_per_tree) = (Some(400.0), Some(510.0));
    hand.traits.pay = [PayBasis::Piece, PayBasis::Hour].into();
    cuts.traits.pay = [PayBasis::Contract].into();
    let said = |all: &[Observation]| -> Vec<String> {
        compare(all, &[]).groups.remove(0).confounders.into_iter().map(|found| found.sentence).collect()
    };
    assert_eq!(
        said(&[hand.clone(), cuts.clone()]),
        [
            "The methods differ in first day of ripening too (by hand: 9 June; cuts: 24 June).",
            "The methods differ in basis of pay too (by hand: the hour and the piece; cuts: contract).",
            "The methods differ in fruit left on a tree too (by hand: 400; cuts: 510).",
        ]
    );
    (cuts.traits.ripens, cuts.traits.left_per_tree) = (Some(174), Some(500.0));
    cuts.traits.pay.clone_from(&hand.traits.pay);
    assert!(said(&[hand, cuts]).is_empty());
}

#[test]
fn the_last_sentence_is_no_surer_than_the_intervals() {
    let mut all = [
        seen("A, 2026", "by hand", "Dusk", 5.0, 2_000.0),
        seen("B, 2026", "by hand", "Dusk", 9.0, 3_000.0),
        seen("C, 2026", "cuts", "Dusk", 4.0, 2_900.0),
        seen("D, 2026", "cuts", "Dusk", 8.0, 2_400.0),
    ];
    let last = |all: &[Observation]| compare(all, &[]).groups.remove(0).answers.sentences.split_off(4);
    let chance =
        "By these blocks the cheapest method was also the one that returned most; the difference may be chance.";
    assert_eq!(last(&all), [chance]);
    all[1].measures.remove(&Measure::ReturnPerAcre);
    assert_eq!(last(&all), [chance, "Cost and return are not of the same block-seasons."]);
}

#[test]
fn a_cost_is_shown_at_zero_and_above() {
    let wide = crate::stats::Interval { low: -4.5, high: 11.0 };
    for measure in Measure::ALL {
        let low = if measure.better() == Better::Lower || measure == Measure::LargeShare { 0.0 } else { -4.5 };
        assert_eq!(measure.shown(wide), crate::stats::Interval { low, high: 11.0 }, "{measure:?}");
    }
}
