//! Comparisons of methods.

mod in_parts;
mod repeats;
mod scraps;
mod told;

use std::collections::BTreeMap;

use proptest::prelude::*;

use super::*;
use crate::exact::Pounds;
use crate::figure::Kept;
use crate::records::{FruitCount, LaborEntry, LineOutcome, Observation as Seen, PackoutLine, Task, ThinningMethod};
use crate::season::SeasonRecords;
use crate::stats::NoTest;
use crate::testing::{date, dec, kept, labor_entry, records};

fn seen(unit: &str, method: &str, variety: &str, cost: f64, back: f64) -> Observation {
    Observation {
        unit: unit.into(),
        method: method.into(),
        traits: Traits { crop: "peach".into(), variety: variety.into(), season: Some(2026), ..Traits::default() },
        measures: BTreeMap::from([(Measure::CostPerTree, cost), (Measure::ReturnPerAcre, back)]),
        lacking: BTreeMap::new(),
        notes: Vec::new(),
        part: None,
    }
}

fn thin(method: ThinningMethod, pass: u8, day: u32, hours: &str, trees: Option<u32>) -> LaborEntry {
    LaborEntry {
        date: date(5, day),
        method: Some(method),
        pass: Some(pass),
        trees_done: trees,
        ..labor_entry(Task::Thin, hours, "10")
    }
}

fn observed(labor: Vec<LaborEntry>) -> Vec<Observation> {
    let mut season = records();
    season.labor = kept(labor);
    of(&season)
}

fn of(season: &SeasonRecords) -> Vec<Observation> {
    Observation::of(&crate::reckon(season))
}

#[test]
fn the_cheapest_need_not_return_most() {
    let found = compare(
        &[
            seen("A, 2026", "by hand", "Dusk", 10.0, 5_000.0),
            seen("B, 2026", "by hand", "Dusk", 9.0, 5_200.0),
            seen("C, 2026", "cuts", "Dusk", 3.0, 2_500.0),
            seen("D, 2026", "cuts", "Dusk", 4.0, 2_300.0),
        ],
        &[],
    );
    let answers = &found.groups[0].answers;
    assert_eq!(answers.same, Some(false));
    assert_eq!(
        answers.sentences,
        [
            "Lowest cost per tree: cuts, $3.50 a tree (2 block-seasons).",
            "The next, by hand, costs $6.00 a tree more; the 95% interval of that is 2.96 to 9.04.",
            "Best return per acre: by hand, $5,100 an acre (2 block-seasons).",
            "The next, cuts, returns $2,700 an acre less; the 95% interval of that is 2,092 to 3,308.",
            "By these blocks the cheapest method was not the one that returned most.",
        ]
    );
    assert!(found.groups[0].confounders.is_empty());
}

#[test]
fn what_else_differs_is_said() {
    let mut old = seen("A, 2026", "by hand", "Dusk", 10.0, 5_000.0);
    old.traits.age = Some(14);
    old.traits.trees_per_acre = Some(172.0);
    let mut young = seen("C, 2026", "cuts", "Amber", 3.0, 2_500.0);
    young.traits.age = Some(5);
    young.traits.trees_per_acre = Some(168.0);
    let found = compare(&[young, old], &[]);
    let said: Vec<&str> = found.groups[0].confounders.iter().map(|found| found.sentence.as_str()).collect();
    assert_eq!(
        said,
        [
            "The methods differ in variety too (by hand: Dusk; cuts: Amber).",
            "The methods differ in age of the trees, years too (by hand: 14; cuts: 5).",
        ]
    );
    let answers = &found.groups[0].answers;
    assert!(answers.cheapest.as_ref().unwrap().certainty.ends_with("that is a ranking and no more."));
    assert_eq!(found.groups[0].measures[0].1.methods[0].interval, Err(NoTest::TooFew));
}

#[test]
fn crops_are_never_pooled_and_groups_follow_the_facets() {
    let plum = Observation {
        traits: Traits { crop: "Plum".into(), variety: "Ink".into(), ..Traits::default() },
        ..seen("P, 2026", "pole", "", 2.0, 900.0)
    };
    let peaches = [seen("A, 2026", "by hand", "Dusk", 10.0, 1.0), seen("B, 2026", "cuts", "Amber", 3.0, 1.0)];
    let all = [plum, peaches[0].clone(), peaches[1].clone()];
    let names = |found: Comparison| found.groups.into_iter().map(|group| group.name).collect::<Vec<_>>();
    assert_eq!(names(compare(&all, &[])), ["peach", "plum"]);
    assert_eq!(names(compare(&all, &[Facet::Variety, Facet::Crop])), ["peach, Amber", "peach, Dusk", "plum, Ink"]);
    let only = compare(&all, &[Facet::Season]).groups[1].answers.clone();
    assert_eq!(only.sentences, ["Only one method was used here, pole, so there is nothing to compare it with."]);
}

#[test]
fn a_block_has_the_methods_of_its_passes_in_order() {
    let found = observed(vec![
        thin(ThinningMethod::ByHand, 2, 20, "40", None),
        thin(ThinningMethod::Cuts, 1, 3, "100", None),
        thin(ThinningMethod::ByHand, 3, 28, "10", None),
    ]);
    assert_eq!(found.len(), 1);
    assert_eq!((found[0].unit.as_str(), found[0].method.as_str()), ("T-1, 2026", "cuts then by hand"));
    // 150 h at 10 dollars over 1,000 trees.
    assert!((found[0].measures[&Measure::CostPerTree] - 1.5).abs() < 1e-12);
    assert!((found[0].measures[&Measure::HoursPerTree] - 0.15).abs() < 1e-12);
    assert!(!found[0].measures.contains_key(&Measure::ReturnPerAcre), "nothing was sold");
    assert!(observed(vec![labor_entry(Task::Prune, "8", "10")]).is_empty());
}

#[test]
fn parts_of_a_block_are_observations_of_one_unit() {
    let found = observed(vec![
        thin(ThinningMethod::ByHand, 1, 3, "100", Some(400)),
        thin(ThinningMethod::Pole, 1, 4, "60", Some(600)),
        thin(ThinningMethod::ByHand, 2, 15, "20", None),
    ]);
    let said: Vec<(&str, &str)> = found.iter().map(|seen| (seen.unit.as_str(), seen.method.as_str())).collect();
    assert_eq!(said, [("T-1, 2026", "by hand"), ("T-1, 2026", "pole then by hand")]);
    // 1,000 dollars over 400 trees, and 200 over all 1,000.
    assert!((found[0].measures[&Measure::CostPerTree] - 2.7).abs() < 1e-12);
    assert!((found[1].measures[&Measure::CostPerTree] - 1.2).abs() < 1e-12);
    assert_eq!(found[0].measures.len(), 2);
    // The same trees worked over with two methods are one way of thinning.
    let both = observed(vec![
        thin(ThinningMethod::Cuts, 1, 3, "100", Some(1_000)),
        thin(ThinningMethod::ByHand, 1, 9, "60", Some(900)),
    ]);
    assert_eq!(both.len(), 1);
    assert_eq!(both[0].method, "by hand and cuts");
}

#[test]
fn a_name_in_the_books_own_words_goes_first() {
    let mut season = records();
    season.labor = kept([thin(ThinningMethod::ByHand, 1, 3, "100", None)]);
    let note = |day, text: &str| Seen {
        date: date(5, day),
        what: " Thinning method ".into(),
        share_pct: None,
        note: text.into(),
    };
    season.observations = kept([note(2, "by hand, no ladders"), note(1, "by hand"), note(4, " ")]);
    assert_eq!(of(&season)[0].method, "by hand, no ladders");
}

#[test]
fn large_fruit_are_class_a_and_up_and_only_letters_count() {
    let line = |size: &str, pounds: &str| PackoutLine {
        date: date(7, 1),
        outcome: LineOutcome::Packed {
            size_class: size.into(),
            grade: "first".into(),
            boxes: crate::exact::Boxes::whole(10).unwrap(),
        },
        weight: Some(Pounds::new(dec(pounds)).unwrap()),
        note: String::new(),
    };
    let share = |lines: Vec<PackoutLine>| {
        let mut season = records();
        season.labor = kept([thin(ThinningMethod::ByHand, 1, 3, "100", None)]);
        season.packout = kept(lines);
        of(&season)[0].measures.get(&Measure::LargeShare).copied()
    };
    let found = share(vec![line("B", "250"), line("a", "250"), line("AAA", "500")]);
    assert!((found.unwrap() - 75.0).abs() < 1e-9);
    assert_eq!(share(vec![line("B", "250"), line("56", "250")]), None);
    assert_eq!(share(vec![]), None);
}

#[test]
fn a_thousand_fruit_taken_off_needs_counts() {
    let mut season = records();
    season.labor = kept([thin(ThinningMethod::ByHand, 1, 3, "100", None)]);
    season.fruit_counts = kept([FruitCount {
        date: date(5, 1),
        sample: "1".into(),
        branch: false,
        before: Some(1_000),
        after: Some(500),
        shoot: None,
        fruit_diameter: None,
        method: None,
        note: String::new(),
    }]);
    // 1,000 dollars for 500 fruit off each of 1,000 trees.
    assert!((of(&season)[0].measures[&Measure::CostPerThousand] - 2.0).abs() < 1e-12);
}

fn value(unit: &str, method: &str, value: f64) -> Value {
    Value { unit: unit.into(), block: None, method: method.into(), value }
}

/// Whether a block is named or every unit is its own makes no difference to what is a pair.
#[test]
fn units_that_have_both_are_pairs_and_the_rest_is_counted() {
    let values =
        [value("1", "a", 4.0), value("1", "b", 7.0), value("2", "a", 6.0), value("2", "b", 8.0), value("3", "b", 9.0)];
    let table = methods(&values, Pairing::SharedUnits);
    let pair = &table.differences[0];
    assert_eq!((pair.paired.unwrap().pairs, pair.shared_units, pair.left_out), (2, 2, 1));
    // The paired difference is not one of the two means, so it does not stand for theirs.
    assert!((pair.paired.unwrap().test.difference + 2.5).abs() < 1e-12);
    assert_eq!(pair.test(), pair.welch.ok());
    assert!((pair.difference + 3.0).abs() < 1e-12);
    let in_blocks = values.clone().map(|own| Value { block: Some(own.unit.clone()), ..own });
    assert_eq!(methods(&in_blocks, Pairing::SharedUnits), table);
    let whole = methods(&values[..4], Pairing::SharedUnits).differences[0].clone();
    assert_eq!(whole.test(), whole.paired.ok().map(|paired| paired.test));
    // A value that is no number is left out; two of one unit are one.
    let odd = [value("1", "a", f64::NAN), value("2", "a", 1.0), value("2", "a", 3.0)];
    let table = methods(&odd, Pairing::SharedUnits);
    assert_eq!(table.methods[0].sample.n, 1);
    assert!((table.methods[0].sample.mean - 2.0).abs() < 1e-15);
}

#[test]
fn what_is_taken_off_all_values_is_put_back_to_means_and_ends() {
    let values = |off: f64| {
        let rows =
            [("1", "a", 4.0), ("1", "b", 7.0), ("1", "c", 5.0), ("2", "a", 6.5), ("2", "b", 8.0), ("2", "c", 2.0)];
        rows.map(|(unit, method, number)| value(unit, method, number - off))
    };
    let plain = methods(&values(0.0), Pairing::SharedUnits);
    let back = methods(&values(2.0), Pairing::SharedUnits).shifted(|mean| mean + 2.0);
    assert_eq!((&back.methods, &back.differences), (&plain.methods, &plain.differences));
    assert_eq!(back.blocks.unwrap().means, plain.blocks.unwrap().means);
}

/// Four plots a method in each of three blocks: pairs are made between the means of a block's plots.
#[test]
fn units_within_blocks_are_paired_by_their_means() {
    let value = |block: &str, unit: &str, method: &str, value: f64| Value {
        unit: unit.into(),
        block: Some(block.into()),
        method: method.into(),
        value,
    };
    let values = [
        value("north", "1", "a", 4.0),
        value("north", "2", "a", 6.0),
        value("north", "1", "b", 8.0),
        value("south", "1", "a", 5.0),
        value("south", "1", "b", 9.0),
        value("south", "2", "b", 12.0),
        value("east", "1", "b", 7.0),
    ];
    let table = methods(&values, Pairing::SharedUnits);
    assert_eq!(table.methods[0].units, ["north, 1", "north, 2", "south, 1"]);
    // North 5 and south 5; north 8, south 10.5, east 7.
    assert_eq!((table.methods[0].sample.n, table.methods[1].sample.n), (2, 3));
    assert_eq!((table.methods[0].sample.mean, table.methods[1].sample.mean), (5.0, 8.5));
    assert_eq!(table.methods[1].counted(), "3 blocks, 4 units");
    assert!(table.methods[1].remark().unwrap().contains("mean of its units"));
    let pair = &table.differences[0];
    // North 5 against 8, south 5 against 10.5: mean -4.25.
    assert_eq!((pair.shared_units, pair.paired.unwrap().pairs), (2, 2));
    assert!((pair.paired.unwrap().test.difference + 4.25).abs() < 1e-12);
    assert!((pair.difference + 3.5).abs() < 1e-12);
    assert_eq!((pair.welch.unwrap().difference, pair.left_out), (pair.difference, 1));
    let mut turned = values.to_vec();
    turned.reverse();
    assert_eq!(table, methods(&turned, Pairing::SharedUnits));
}

fn any_observation() -> impl Strategy<Value = Observation> {
    let names =
        (0..6u32, prop::sample::select(vec!["by hand", "cuts", "pole"]), prop::sample::select(vec!["Dusk", "Amber"]));
    (names, 0.1..20.0f64, -2_000.0..9_000.0f64, prop::option::of(1..30i32)).prop_map(
        |((unit, method, variety), cost, back, age)| {
            let mut found = seen(&format!("B-{unit}, 2026"), method, variety, cost, back);
            found.traits.age = age;
            found
        },
    )
}

fn shuffled<T: Clone>(items: &[T], seed: usize) -> Vec<T> {
    let mut rest = items.to_vec();
    let mut out = Vec::new();
    let mut place = seed;
    while !rest.is_empty() {
        place = place.wrapping_mul(31).wrapping_add(7);
        out.push(rest.remove(place % rest.len()));
    }
    out
}

proptest! {
    #[test]
    fn the_order_of_observations_never_matters(
        observations in prop::collection::vec(any_observation(), 0..14),
        seed in any::<usize>(),
        facets in prop::sample::subsequence(Facet::ALL.to_vec(), 0..5),
    ) {
        let straight = compare(&observations, &facets);
        prop_assert_eq!(&straight, &compare(&shuffled(&observations, seed), &shuffled(&facets, seed)));
        let tables = straight.groups.iter().filter_map(|group| group.table(Measure::CostPerTree));
        let units: usize = tables.flat_map(|table| &table.methods).map(|method| method.sample.n).sum();
        let mut cells: Vec<_> = observations.iter().map(|seen| {
            let key: Vec<String> = facets.iter().map(|facet| seen.traits.facet(*facet)).collect();
            (key, seen.unit.clone(), seen.method.clone())
        }).collect();
        cells.sort();
        cells.dedup();
        prop_assert_eq!(units, cells.len(), "each block-season counts once");
    }

    /// Every interval holds its mean, and the difference the other way round is the same difference.
    #[test]
    fn intervals_hold_their_means(observations in prop::collection::vec(any_observation(), 2..14)) {
        for group in compare(&observations, &[]).groups {
            for (_, table) in &group.measures {
                for method in &table.methods {
                    prop_assert_eq!(method.interval.is_ok(), method.sample.n > 1);
                    if let Ok(interval) = method.interval {
                        prop_assert!(interval.low <= method.sample.mean && method.sample.mean <= interval.high);
                    }
                }
                for pair in &table.differences {
                    if let Ok(test) = pair.welch {
                        prop_assert!((0.0..=1.0).contains(&test.p));
                        prop_assert_eq!(test.interval.holds_zero(), test.p >= 0.05, "{:?}", test);
                        prop_assert!(table.difference(&pair.second, &pair.first).unwrap().1);
                    }
                }
            }
        }
    }

    /// The order of entry of a block's labor changes neither its method nor its measures.
    #[test]
    fn the_order_of_entry_never_matters(
        entries in prop::collection::vec((prop::sample::select(ThinningMethod::ALL.to_vec()), 1..4u8, 1..28u32, 1..90u32, prop::option::of(1..900u32)), 1..9),
        seed in any::<usize>(),
    ) {
        let labor: Vec<Kept<LaborEntry>> = kept(entries.into_iter().map(|(method, pass, day, hours, trees)| thin(method, pass, day, &hours.to_string(), trees)));
        let mut season = records();
        season.labor.clone_from(&labor);
        let straight = of(&season);
        season.labor = shuffled(&labor, seed);
        prop_assert_eq!(straight, of(&season));
    }

    /// Another unit of measure and another zero change means and intervals with them, and no verdict.
    #[test]
    fn scale_and_zero_of_the_values_change_no_verdict(
        rows in prop::collection::vec((0..5u32, 0..3u32, -50.0..50.0f64), 4..24),
        scale in 0.01..900.0f64,
        shift in -40.0..40.0f64,
    ) {
        let of = |change: &dyn Fn(f64) -> f64| {
            let values: Vec<Value> = rows.iter().map(|(unit, method, value)| Value {
                unit: unit.to_string(), block: None, method: method.to_string(), value: change(*value),
            }).collect();
            methods(&values, Pairing::SharedUnits)
        };
        let (plain, other) = (of(&|value| value), of(&|value| scale * value + shift));
        let near = |a: f64, b: f64| (a - b).abs() <= 1e-7 * (1.0 + a.abs() + scale * 100.0 + shift.abs());
        for (a, b) in plain.methods.iter().zip(&other.methods) {
            prop_assert_eq!((&a.method, a.sample.n, a.interval.is_ok()), (&b.method, b.sample.n, b.interval.is_ok()));
            prop_assert!(near(scale * a.sample.mean + shift, b.sample.mean));
        }
        for (a, b) in plain.differences.iter().zip(&other.differences) {
            prop_assert!(near(scale * a.difference, b.difference));
            if let (Ok(a), Ok(b)) = (a.welch, b.welch) {
                prop_assert!((a.df - b.df).abs() <= 1e-6 * a.df);
                prop_assert!((a.p - b.p).abs() <= 1e-6);
            }
            if let (Ok(a), Ok(b)) = (a.paired, b.paired) {
                prop_assert_eq!(a.pairs, b.pairs);
                prop_assert!((a.test.t - b.test.t).abs() <= 1e-6 * (1.0 + a.test.t.abs()));
            }
        }
    }
}
