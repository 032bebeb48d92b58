//! Blocks that stand in parts: with which trees, what they share, and what a part cannot have.

use super::*;

/// 200 trees by hand and 600 by cuts, of 1,000, and perhaps a second look.
fn block(code: &str, second: bool) -> Vec<Observation> {
    let mut season = records();
    season.block.code = code.into();
    let look = second.then(|| thin(ThinningMethod::ByHand, 2, 20, "40", None));
    let first =
        [thin(ThinningMethod::ByHand, 1, 3, "100", Some(200)), thin(ThinningMethod::Cuts, 1, 4, "60", Some(600))];
    season.labor = kept(first.into_iter().chain(look));
    of(&season)
}

fn group_of(observations: &[Observation]) -> Group {
    compare(observations, &[]).groups.remove(0)
}

fn lacked(group: &Group) -> Vec<String> {
    group.without_said(|_| true)
}

#[test]
fn a_second_look_is_said_to_be_shared_alike() {
    assert_eq!(
        group_of(&block("T-1", true)).notes,
        [
            "T-1 2026 stands in parts: by hand with 200 and cuts then by hand with 600 of its 1,000 trees.",
            "The second look of T-1 2026 is shared alike by its parts: nobody kept which trees it met.",
        ]
    );
    assert_eq!(
        group_of(&block("T-1", false)).notes,
        ["T-1 2026 stands in parts: by hand with 200 and cuts with 600 of its 1,000 trees."]
    );
}

#[test]
fn what_blocks_in_parts_share_is_said_once() {
    let all: Vec<Observation> = [("T-10", true), ("T-2", true), ("T-3", false)]
        .into_iter()
        .flat_map(|(code, second)| block(code, second))
        .collect();
    let group = group_of(&all);
    let parts = "by hand with 200 and cuts then by hand with 600 of its 1,000 trees";
    assert_eq!(
        group.notes,
        [
            format!(
                "Some blocks stand in parts: T-2 2026 ({parts}); T-3 2026 (by hand with 200 and cuts with 600 of its 1,000 \
                 trees); T-10 2026 ({parts})."
            ),
            "The second looks of T-2 2026 and T-10 2026 are shared alike by their parts: nobody kept which trees they met."
                .to_owned(),
        ]
    );
}

#[test]
fn later_passes_of_several_numbers_are_shared_alike_too() {
    let mut season = records();
    season.labor = kept([
        thin(ThinningMethod::ByHand, 1, 3, "100", Some(200)),
        thin(ThinningMethod::Cuts, 1, 4, "60", Some(600)),
        thin(ThinningMethod::ByHand, 2, 20, "40", None),
        thin(ThinningMethod::ByHand, 3, 27, "10", None),
    ]);
    let shared = "The later passes of T-1 2026 are shared alike by its parts: nobody kept which trees they met.";
    assert!(group_of(&of(&season)).notes.iter().any(|note| note == shared));
}

#[test]
fn a_group_of_parts_says_why_it_has_no_return() {
    let group = group_of(&block("T-1", true));
    assert!(group.table(Measure::ReturnPerAcre).is_none());
    let last = group.answers.sentences.last().unwrap();
    assert_eq!(last, "No method has a return here: a part of a block has no sales of its own.");
    assert_eq!(
        lacked(&group),
        [
            "A part of a block has no sales of its own, so it has no large-fruit share, net price or return per acre.",
            "A part has a cost of 1,000 fruit removed only where its own fruit were counted and no pass followed.",
        ]
    );
    let shown = |measure| matches!(measure, Measure::CostPerTree | Measure::ReturnPerAcre);
    assert_eq!(group.without_said(shown), ["A part of a block has no sales of its own, so it has no return per acre."]);
}

#[test]
fn blocks_that_lack_the_same_are_named_once() {
    let mut all = block("T-1", false);
    let whole = |unit: &str, measures: &[(Measure, f64)]| {
        let mut one = seen(unit, "by hand", "Dusk", 10.0, 5_000.0);
        one.traits = all[0].traits.clone();
        one.measures = measures.iter().copied().collect();
        one
    };
    let cost = (Measure::CostPerTree, 3.0);
    let sold = [cost, (Measure::HoursPerTree, 0.2), (Measure::NetPerPound, 0.9), (Measure::ReturnPerAcre, 900.0)];
    let more = [whole("A, 2026", &sold), whole("B, 2026", &[cost]), whole("C, 2026", &[cost])];
    all.extend(more);
    assert_eq!(
        lacked(&group_of(&all))[..2],
        [
            "No hours per tree, net price or return per acre for B 2026 and C 2026.",
            "A part of a block has no sales of its own, so it has no large-fruit share, net price or return per acre.",
        ]
    );
}

#[test]
fn where_nothing_is_sold_no_method_has_a_return_yet() {
    let mut all = [seen("A, 2026", "by hand", "Dusk", 10.0, 0.0), seen("B, 2026", "cuts", "Dusk", 4.0, 0.0)];
    let said = |all: &[Observation]| group_of(all).answers.sentences;
    let unsold = "No method has a return yet, because nothing of these blocks is sold.".to_owned();
    assert!(!said(&all).contains(&unsold));
    all[0].measures.remove(&Measure::ReturnPerAcre);
    assert!(!said(&all).contains(&unsold), "cuts have one");
    all[1].measures.remove(&Measure::ReturnPerAcre);
    assert_eq!(said(&all).last(), Some(&unsold));
    // What lacks a wage has been sold.
    all[1].lacking.insert(Measure::ReturnPerAcre, "1 entry lacks a wage".into());
    assert!(!said(&all).contains(&unsold));
}

#[test]
fn ends_that_are_shown_as_nothing_are_said_to_be() {
    let mut all = [
        seen("A, 2026", "by hand", "Dusk", 1.0, -10.0),
        seen("B, 2026", "by hand", "Dusk", 9.0, 10.0),
        seen("C, 2026", "cuts", "Dusk", 4.0, 10.0),
    ];
    let said = |all: &[Observation], measure| group_of(all).ends_cut(|own| own == measure);
    assert_eq!(said(&all, Measure::CostPerTree), Some("Ends below 0 are shown as 0."));
    assert_eq!(said(&all, Measure::ReturnPerAcre), None, "a return may be below zero, and is shown so");
    for (one, share) in all.iter_mut().zip([90.0, 99.0, 50.0]) {
        one.measures.insert(Measure::LargeShare, share);
    }
    assert_eq!(said(&all, Measure::LargeShare), Some("Ends above 100% are shown as 100%."));
    all[0].measures.insert(Measure::LargeShare, 30.0);
    let both = "Ends below 0 are shown as 0, and those above 100% as 100%.";
    assert_eq!(said(&all, Measure::LargeShare), Some(both));
    all[0].measures.insert(Measure::CostPerTree, 8.9);
    assert_eq!(said(&all, Measure::CostPerTree), None);
}
