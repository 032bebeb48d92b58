//! Blocks that stand in a comparison with several seasons, and what else differs between them.

use super::*;
use crate::records::Pay;

fn in_season(block: &str, year: i32, method: &str, cost: f64) -> Observation {
    let mut one = seen(&format!("{block}, {year}"), method, "Dusk", cost, cost * 100.0);
    one.traits.block = block.into();
    one.traits.season = Some(year);
    one
}

#[test]
fn seasons_of_one_block_are_not_independent() {
    let one = [in_season("A", 2025, "cuts", 3.8), in_season("A", 2026, "cuts", 3.9)];
    let found = compare(&one, &[]);
    let cuts = &found.groups[0].table(Measure::CostPerTree).unwrap().methods[0];
    assert_eq!((cuts.units.len(), cuts.sample.n, cuts.interval), (2, 1, Err(NoTest::TooFew)));
    assert_eq!(cuts.counted(), "1 block, 2 seasons");
    assert_eq!(cuts.units, ["A, 2025", "A, 2026"]);
    assert!((cuts.sample.mean - 3.85).abs() < 1e-12);
    assert!(cuts.remark().unwrap().starts_with("One block in several seasons"));
    // By season the block stands once in each group.
    for group in compare(&one, &[Facet::Season]).groups {
        assert_eq!(group.table(Measure::CostPerTree).unwrap().methods[0].sample.n, 1);
    }
}

#[test]
fn an_interval_takes_one_value_of_each_block() {
    let found = compare(
        &[
            in_season("A", 2025, "cuts", 2.0),
            in_season("A", 2026, "cuts", 4.0),
            in_season("B", 2026, "cuts", 5.0),
            in_season("C", 2026, "by hand", 9.0),
            in_season("D", 2026, "by hand", 8.0),
        ],
        &[],
    );
    let table = found.groups[0].table(Measure::CostPerTree).unwrap();
    let cuts = &table.methods[1];
    assert_eq!(cuts.counted(), "2 blocks, 3 block-seasons");
    // A 3 and B 5: mean 4, standard error 1, t of one degree of freedom 12.706.
    let interval = cuts.interval.unwrap();
    assert!((interval.low - 4.0 + 12.706_204_736).abs() < 1e-8, "{interval:?}");
    assert!((table.differences[0].welch.unwrap().difference - 4.5).abs() < 1e-12);
    assert!(table.differences[0].paired.is_err(), "no block-season holds both");
}

#[test]
fn a_method_is_never_paired_with_another_season() {
    let apart = [in_season("A", 2025, "cuts", 2.0), in_season("A", 2026, "by hand", 4.0)];
    let table = |seen: &[Observation]| compare(seen, &[]).groups[0].table(Measure::CostPerTree).unwrap().clone();
    assert_eq!(table(&apart).differences[0].shared_units, 0);
    let mut both = apart.to_vec();
    both.extend([in_season("A", 2025, "by hand", 3.0), in_season("A", 2026, "cuts", 2.5)]);
    assert_eq!(table(&both).differences[0].shared_units, 1, "two seasons of one block are one pair");
}

#[test]
fn a_headline_is_of_the_means_whose_difference_is_tested() {
    // Eight seasons of one cheap block and one of a dear one, against three blocks in between.
    let mut all: Vec<Observation> = (2018..2026).map(|year| in_season("A", year, "cuts", 2.0)).collect();
    all.push(in_season("B", 2026, "cuts", 10.2));
    all.extend(
        ["C", "D", "E"].iter().zip([4.9, 5.0, 5.1]).map(|(block, cost)| in_season(block, 2026, "by hand", cost)),
    );
    let group = compare(&all, &[]).groups.remove(0);
    let table = group.table(Measure::CostPerTree).unwrap();
    let cheapest = group.answers.cheapest.as_ref().unwrap();
    // The mean of nine block-seasons would be 2.91 and first; that of the two blocks is 6.10.
    assert_eq!(cheapest.sentence, "Lowest cost per tree: by hand, $5.00 a tree (3 block-seasons).");
    assert!((table.methods[1].sample.mean - 6.1).abs() < 1e-12);
    assert!(cheapest.certainty.starts_with("The next, cuts, costs $1.10 a tree more"), "{}", cheapest.certainty);
    assert_eq!((cheapest.n, cheapest.units), (3, 3));
    assert_eq!(group.members[1].1.len(), 9);
    assert_eq!(table.methods[1].counted(), "2 blocks, 9 block-seasons");
}

#[test]
fn a_method_whose_records_lack_a_wage_is_not_the_cheapest() {
    let mut free = records();
    free.labor = kept([LaborEntry { pay: Pay::Hourly(None), ..thin(ThinningMethod::Cuts, 1, 3, "100", None) }]);
    let mut all = of(&free);
    assert_eq!(all[0].measures.keys().copied().collect::<Vec<_>>(), [Measure::HoursPerTree]);
    all.extend([seen("B, 2026", "by hand", "Dusk", 3.0, 2_500.0), seen("C, 2026", "pole", "Dusk", 4.0, 2_000.0)]);
    for seen in &mut all {
        seen.traits.crop = "peach".into();
    }
    let group = compare(&all, &[]).groups.remove(0);
    assert_eq!(group.left_out, ["T-1 2026 is left out of cost per tree: 1 entry lacks a wage."]);
    assert_eq!(group.table(Measure::CostPerTree).unwrap().methods.len(), 2);
    assert_eq!(group.answers.cheapest.as_ref().unwrap().methods, ["by hand"]);
    // A figure that is known in part, or not at all, is left out alike.
    free.labor.extend(kept([thin(ThinningMethod::Cuts, 1, 4, "10", None)]));
    assert_eq!(of(&free)[0].lacking, all[0].lacking);
    let two = compare(&all[..2], &[]).groups.remove(0);
    let alone = two.answers.cheapest.as_ref().unwrap();
    assert_eq!(alone.certainty, "No other method here has that figure.");
    assert_eq!(two.answers.same, None);
}

#[test]
fn a_part_that_lacks_a_wage_is_left_out_of_its_cost() {
    let mut season = records();
    let unpaid = |entry: LaborEntry| LaborEntry { pay: Pay::Hourly(None), ..entry };
    season.labor = kept([
        thin(ThinningMethod::ByHand, 1, 3, "100", Some(400)),
        unpaid(thin(ThinningMethod::Pole, 1, 4, "60", Some(600))),
    ]);
    let found = of(&season);
    assert!(found[0].measures.contains_key(&Measure::CostPerTree) && found[0].lacking.is_empty());
    assert!(!found[1].measures.contains_key(&Measure::CostPerTree));
    assert_eq!(found[1].lacking[&Measure::CostPerTree], "1 entry lacks a wage");
}

#[test]
fn one_name_however_it_was_typed_is_one_method() {
    let all = [
        seen("B, 2026", "no  Ladders", "Dusk", 3.0, 1.0),
        seen("A, 2025", "No ladders", "Dusk", 4.0, 1.0),
        seen("C, 2026", "NO LADDERS ", "Dusk", 5.0, 1.0),
    ];
    let group = compare(&all, &[]).groups.remove(0);
    let [(name, units)] = &group.members[..] else { panic!("{:?}", group.members) };
    assert_eq!((name.as_str(), units.len()), ("No ladders", 3));
}

#[test]
fn hail_is_listed_with_what_else_differs() {
    let mut season = records();
    season.labor = kept([thin(ThinningMethod::ByHand, 1, 3, "100", None)]);
    let note = |what: &str, share_pct| Seen { date: date(7, 3), what: what.into(), share_pct, note: String::new() };
    season.observations = kept([note("Hail", Some(35.0)), note("full bloom", None), note("frost", None)]);
    let mut all = of(&season);
    all.push(seen("B, 2026", "cuts", "Dusk", 3.0, 2_500.0));
    let found = compare(&all, &[]);
    let said: Vec<&str> =
        found.groups.iter().flat_map(|group| &group.confounders).map(|f| f.sentence.as_str()).collect();
    let hurt: Vec<&&str> = said.iter().filter(|said| said.contains(" had ")).collect();
    assert_eq!(
        hurt,
        [
            &"T-1 2026 had frost on 3 July; thinned: by hand.",
            &"T-1 2026 had hail on 3 July (35% of the crop); thinned: by hand.",
        ]
    );
}

#[test]
fn groups_of_ages_stand_by_age() {
    let aged = |unit: &str, age| {
        let mut one = seen(unit, "cuts", "Dusk", 3.0, 1.0);
        one.traits.age = age;
        one
    };
    let all = [aged("A", Some(20)), aged("B", Some(12)), aged("C", None), aged("D", Some(3)), aged("E", Some(6))];
    let names: Vec<String> = compare(&all, &[Facet::Age]).groups.into_iter().map(|group| group.name).collect();
    let bands = ["to 4 years", "5 to 8 years", "9 to 15 years", "16 years and older", "age not known"];
    assert_eq!(names, bands.map(|band| format!("peach, {band}")));
}

#[test]
fn equal_values_have_no_wide_interval() {
    let found = compare(&[seen("A", "cuts", "Dusk", 5.0, 1.0), seen("B", "cuts", "Dusk", 5.0, 2.0)], &[]);
    let remark = |measure| found.groups[0].table(measure).unwrap().methods[0].remark().unwrap();
    assert!(remark(Measure::CostPerTree).starts_with("All alike"));
    assert!(remark(Measure::ReturnPerAcre).contains("very wide"));
}
