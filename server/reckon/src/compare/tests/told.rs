//! What the answers say: equals, methods nobody gave, and what else may be the cause.

use super::*;
use crate::records::{Charges, SettlementLine, Sold};

fn answers(all: &[Observation]) -> Answers {
    compare(all, &[]).groups.remove(0).answers
}

#[test]
fn equals_are_a_tie_and_no_method_of_their_own() {
    let found = answers(&[seen("A", "by hand", "x", 5.0, 1_500.0), seen("B", "cuts", "x", 3.0, 1_500.0)]);
    assert_eq!(found.same, Some(true), "no method returned more than cuts");
    assert_eq!(
        found.sentences[2..],
        [
            "Best return per acre: a tie of by hand (1 block-season) and cuts (1 block-season), $1,500 an acre.",
            "By these blocks the cheapest method was also one of those that returned most; the difference may be chance.",
        ]
    );
    let found = answers(&[
        seen("A", "by hand", "x", 3.0, 900.0),
        seen("B", "cuts", "x", 3.0, 1_000.0),
        seen("C", "pole", "x", 4.0, 1_500.0),
    ]);
    assert_eq!(found.same, Some(false));
    assert!(found.sentences.last().unwrap().contains("a cheapest method was not the one that returned most"));
}

#[test]
fn a_method_that_nobody_gave_is_no_answer() {
    let unsaid = seen("C", "method not given", "x", 1.0, 9_000.0);
    let found =
        answers(&[seen("A", "by hand", "x", 5.0, 2_000.0), seen("B", "cuts", "x", 3.0, 1_500.0), unsaid.clone()]);
    assert_eq!(
        (found.cheapest.unwrap().methods, found.best.unwrap().methods),
        (vec!["cuts".to_owned()], vec!["by hand".to_owned()])
    );
    assert_eq!(found.sentences.last().unwrap(), "A method that is not given takes no part in these answers.");
    let group = compare(&[seen("A", "by hand", "x", 5.0, 2_000.0), unsaid.clone()], &[]).groups.remove(0);
    assert_eq!(group.table(Measure::CostPerTree).unwrap().methods.len(), 2, "it is in the table");
    assert!(group.answers.sentences[0].starts_with("Only one method was used here, by hand"));
    assert!(answers(&[unsaid]).sentences[0].starts_with("No method is given here"));
}

/// The surer the answer, the more it matters what else differed.
#[test]
fn an_answer_that_is_no_chance_may_have_another_cause() {
    let sure = |mulch: &str| {
        let bare = |mut one: Observation| {
            one.traits.mulch = mulch.into();
            one
        };
        [
            seen("A", "by hand", "x", 10.0, 5_000.0),
            seen("B", "by hand", "x", 9.0, 5_200.0),
            bare(seen("C", "cuts", "x", 3.0, 2_500.0)),
            bare(seen("D", "cuts", "x", 4.0, 2_300.0)),
        ]
    };
    let said = |mulch| answers(&sure(mulch)).sentences.pop().unwrap();
    assert_eq!(said(""), "By these blocks the cheapest method was not the one that returned most.");
    assert!(said("bare").ends_with("; what else differs between the methods may be why."));
}

#[test]
fn ground_water_and_work_are_told_where_they_differ() {
    let with = |mut one: Observation, own: Traits, hours: f64| {
        let Traits { mulch, emitter, soil, water_pct, thinned_from, .. } = own;
        one.traits = Traits { mulch, emitter, soil, water_pct, thinned_from, ..one.traits };
        one.measures.insert(Measure::HoursPerTree, hours);
        one
    };
    let hand = Traits {
        mulch: "wood chips".into(),
        emitter: "drip".into(),
        soil: "sand".into(),
        water_pct: Some(99.0),
        thinned_from: Some(95),
        ..Traits::default()
    };
    let cuts = Traits {
        mulch: "bare".into(),
        emitter: "flood".into(),
        soil: "clay".into(),
        water_pct: Some(60.0),
        thinned_from: Some(176),
        ..Traits::default()
    };
    let said = |cuts: Traits| -> Vec<String> {
        let all = [
            with(seen("A", "by hand", "x", 15.0, 1.0), hand.clone(), 1.0),
            with(seen("B", "cuts", "x", 30.0, 1.0), cuts, 1.0),
        ];
        compare(&all, &[]).groups[0].confounders.iter().map(|other| other.sentence.clone()).collect()
    };
    assert_eq!(
        said(cuts),
        [
            "The methods differ in soil too (by hand: sand; cuts: clay).",
            "The methods differ in irrigation too (by hand: drip; cuts: flood).",
            "The methods differ in water, % of crop need too (by hand: 99; cuts: 60).",
            "The methods differ in mulch too (by hand: wood chips; cuts: bare).",
            "The methods differ in first day of thinning too (by hand: 5 April; cuts: 25 June).",
            "The methods differ in cost of an hour, $ too (by hand: 15.00; cuts: 30.00).",
        ]
    );
    let unknown = said(Traits { water_pct: None, ..hand.clone() });
    assert_eq!(
        unknown,
        [
            "Whether the methods differ in water, % of crop need is not known (by hand: 99; cuts: not known).",
            "The methods differ in cost of an hour, $ too (by hand: 15.00; cuts: 30.00).",
        ]
    );
}

/// Boxes that nobody paid for yet bore their costs: such a block would lose to one that is settled.
#[test]
fn a_block_with_unpriced_boxes_has_no_return_to_rank_by() {
    let of_sold = |boxes: i64| {
        let mut season = records();
        season.labor = kept([thin(ThinningMethod::ByHand, 1, 3, "100", None)]);
        let packed = crate::exact::Boxes::whole(boxes).unwrap();
        season.packout = kept([PackoutLine {
            date: date(7, 1),
            outcome: LineOutcome::Packed { size_class: "A".into(), grade: "first".into(), boxes: packed },
            weight: None,
            note: String::new(),
        }]);
        let sold = Sold::Boxes {
            boxes: crate::exact::Boxes::whole(100).unwrap(),
            price: crate::money::UnitPrice::round(dec("20")).unwrap(),
        };
        season.settlements = kept([SettlementLine {
            date: date(8, 3),
            buyer: String::new(),
            size_class: None,
            grade: None,
            sold,
            charges: Charges::default(),
            note: String::new(),
        }]);
        of(&season).remove(0)
    };
    assert!(of_sold(100).measures.contains_key(&Measure::ReturnPerAcre));
    let left = of_sold(512);
    assert_eq!(left.lacking[&Measure::ReturnPerAcre], "412 boxes have no price");
    assert!(!left.measures.contains_key(&Measure::ReturnPerAcre) && left.measures.contains_key(&Measure::CostPerTree));
}
