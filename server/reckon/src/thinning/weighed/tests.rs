use crate::figure::{Gap, GapWeight};
use crate::records::{FruitCount, LaborEntry, Pay, Task, ThinningMethod};
use crate::season::{PackoutSeason, SeasonRecords, ThinningSeason};
use crate::testing::{date, kept, labor_entry, records};
use crate::units::Inches;

const HAND: ThinningMethod = ThinningMethod::ByHand;
const CUTS: ThinningMethod = ThinningMethod::Cuts;
const MACHINE: ThinningMethod = ThinningMethod::Machine;
const POLE: ThinningMethod = ThinningMethod::Pole;

fn count(sample: &str, method: ThinningMethod, before: u32, after: u32) -> FruitCount {
    FruitCount {
        date: date(5, 15),
        sample: sample.into(),
        branch: false,
        before: Some(before),
        after: Some(after),
        shoot: None,
        fruit_diameter: None,
        method: Some(method),
        note: String::new(),
    }
}

fn work(method: ThinningMethod, trees: u32, cents: i64) -> LaborEntry {
    LaborEntry {
        method: Some(method),
        pass: Some(1),
        trees_done: Some(trees),
        pay: Pay::Contract(crate::money::Money::from_cents(cents)),
        ..labor_entry(Task::Thin, "1", "1")
    }
}

/// 800 of 1,000 trees by hand, 200 with a machine; two sample trees each.
fn both() -> SeasonRecords {
    let mut season = records();
    season.block.trees = Some(1_000);
    season.labor = kept([work(HAND, 800, 400_000), work(MACHINE, 200, 20_000)]);
    season.fruit_counts = kept([
        count("h1", HAND, 1_000, 200),
        count("h2", HAND, 1_200, 300),
        count("m1", MACHINE, 1_000, 700),
        count("m2", MACHINE, 900, 600),
    ]);
    season
}

/// The same with this beside it.
fn with(labor: impl IntoIterator<Item = LaborEntry>, counts: impl IntoIterator<Item = FruitCount>) -> SeasonRecords {
    let mut season = both();
    let labor: Vec<LaborEntry> = season.labor.into_iter().map(|kept| kept.record).chain(labor).collect();
    let counts: Vec<FruitCount> = season.fruit_counts.into_iter().map(|kept| kept.record).chain(counts).collect();
    (season.labor, season.fruit_counts) = (kept(labor), kept(counts));
    season
}

fn close(value: f64, expected: f64) {
    assert!((value - expected).abs() < 1e-9, "{value}, not {expected}");
}

fn left(season: &ThinningSeason) -> f64 {
    season.left_per_tree.as_ref().unwrap().value.get()
}

fn said(gaps: &[Gap]) -> Vec<&str> {
    gaps.iter().map(|gap| gap.what.as_str()).collect()
}

/// Fruit left on a tree, and what is said.
fn reckoned(season: &SeasonRecords) -> (f64, Vec<Gap>) {
    let (found, gaps) = crate::thinning::season(season);
    assert_eq!(found.trees_to_count, None, "methods have trees of their own");
    (left(&found), gaps)
}

#[test]
fn each_method_counts_by_its_trees() {
    let (season, gaps) = crate::thinning::season(&both());
    assert!(gaps.is_empty(), "{gaps:?}");
    // 0.8 x 1,100 + 0.2 x 950; 0.8 x 250 + 0.2 x 650.
    close(season.before_per_tree.as_ref().unwrap().value.get(), 1_070.0);
    close(left(&season), 330.0);
    close(season.removed.as_ref().unwrap().value.get(), 100.0 * (1.0 - 330.0 / 1_070.0));
    close(season.removed_in_block.as_ref().unwrap().value.get(), 740_000.0);
    // Both methods' two trees are 100 apart: their mean is off by 50.
    close(season.left_standard_error.as_ref().unwrap().value.get(), libm::sqrt(40.0 * 40.0 + 10.0 * 10.0));
    // Left less share left of before: 200 - r 1,000 and 300 - r 1,200; 700 - r 1,000 and 600 - r 900.
    let ratio = 330.0 / 1_070.0;
    let (hand, machine) = ((100.0 - ratio * 200.0) / 2.0, (100.0 - ratio * 100.0) / 2.0);
    let error = libm::sqrt((0.8 * hand) * (0.8 * hand) + (0.2 * machine) * (0.2 * machine)) / 1_070.0;
    close(season.removed_standard_error.as_ref().unwrap().value.get(), 100.0 * error);
}

#[test]
fn rows_of_methods_tie_to_all_thinning() {
    let season = both();
    let (fruit, _) = crate::thinning::season(&season);
    let (labor, _) = crate::labor::season(&season, &fruit, &PackoutSeason::default());
    let micros = |measure: &crate::season::LaborMeasure| measure.cost_per_thousand.as_ref().unwrap().value.micros();
    let rows: Vec<i64> = labor.passes.iter().map(|pass| micros(&pass.measure)).collect();
    // 4,000.00 over 800 x 850 fruit, 200.00 over 200 x 300; all 4,200.00 over 740,000.
    assert_eq!(rows, [5_882_353, 3_333_333]);
    assert_eq!(micros(labor.thinning.as_ref().unwrap()), 5_675_676);
}

#[test]
fn a_branch_and_a_later_pass_change_no_mean_of_trees() {
    let branch = FruitCount { branch: true, method: None, ..count("b", HAND, 40, 10) };
    let (season, gaps) = crate::thinning::season(&with([], [branch]));
    close(left(&season), 330.0);
    close(season.removed.as_ref().unwrap().value.get(), 100.0 * (1.0 - 330.0 / 1_070.0));
    assert_eq!((season.samples, season.whole_trees), (4, 4), "trees alone are behind the share taken off");
    assert!(gaps.is_empty(), "{gaps:?}");
    for method in [HAND, POLE] {
        let later = LaborEntry { pass: Some(2), ..work(method, 1_000, 50_000) };
        // A tree of the machine that was counted again after the second look still stands for the machine's.
        let again = FruitCount { date: date(5, 20), before: None, ..count("m1", method, 0, 650) };
        let (found, gaps) = reckoned(&with([later], [again]));
        close(found, 0.8 * 250.0 + 0.2 * 625.0);
        assert!(gaps.is_empty(), "{gaps:?}");
    }
}

#[test]
fn a_count_without_a_method_is_left_out_and_named() {
    let unsaid = FruitCount { method: None, ..count("x", HAND, 1_000, 999) };
    let (found, gaps) = reckoned(&with([], [unsaid.clone()]));
    close(found, 330.0);
    let words = "1 sample does not name one method of the first pass and is left out: by hand and machine weigh by their \
                 trees.";
    assert_eq!((said(&gaps), gaps[0].records.len()), (vec![words], 1));
    let (_, gaps) = reckoned(&with([], [unsaid, count("y", POLE, 1_000, 2)]));
    assert!(gaps[0].what.starts_with("2 samples do not name one method of the first pass and are left out"));
    let mut none = both();
    none.fruit_counts.iter_mut().for_each(|kept| kept.record.method = None);
    let (found, gaps) = reckoned(&none);
    close(found, 450.0);
    let words = "Trees were thinned by hand and by machine, each on its own, and no count names its method: for fruit left \
                 on a tree every sample weighs the same.";
    assert_eq!((said(&gaps), gaps[0].weight), (vec![words], GapWeight::WorthALook));
}

#[test]
fn a_method_that_was_not_counted_is_named_with_its_trees() {
    let mut season = with([work(POLE, 60, 9_000)], []);
    season.block.trees = Some(1_060);
    let (found, gaps) = reckoned(&season);
    close(found, 330.0);
    let words = "60 of 1,060 trees were thinned by pole and none was counted; the mean is of the others.";
    assert_eq!((said(&gaps), gaps[0].weight), (vec![words], GapWeight::Missing));
    season.labor[2].record.method = None;
    assert!(reckoned(&season).1[0].what.contains("trees were thinned by a method that is not given and none"));
    // Counted only after: the mean has it, the share taken off has not.
    season.labor[2].record.method = Some(POLE);
    season.fruit_counts.extend(kept([FruitCount { before: None, ..count("p", POLE, 0, 860) }]));
    let (found, gaps) = crate::thinning::season(&season);
    close(left(&found), (800.0 * 250.0 + 200.0 * 650.0 + 60.0 * 860.0) / 1_060.0);
    close(found.removed.as_ref().unwrap().value.get(), 100.0 * (1.0 - 330.0 / 1_070.0));
    assert_eq!((found.left_trees, found.samples, found.left_standard_error.is_none()), (5, 4, true));
    assert_eq!(found.samples_say(), ["One method has one tree: no standard error."]);
    assert_eq!(
        said(&gaps),
        [
            "1 tree was counted only after thinning: fruit left is of 5 trees, the share taken off of 4 samples.",
            "60 of 1,060 trees were thinned by pole and none was counted before and after; the share taken off is of the \
             others.",
        ]
    );
}

#[test]
fn the_plain_means_serve_where_the_parts_are_not_known_and_it_is_said() {
    let plain = |season: &SeasonRecords, words: &str| {
        let (found, gaps) = reckoned(season);
        close(found, 450.0);
        assert_eq!(said(&gaps), [words]);
        assert_eq!(gaps[0].weight, GapWeight::WorthALook);
    };
    let mut after = both();
    after.labor = kept([work(MACHINE, 1_000, 20_000), work(HAND, 800, 400_000)]);
    plain(
        &after,
        "Trees were thinned by hand and by machine, and their trees are 1,800 together, of 1,000: every sample weighs the \
         same.",
    );
    let mut uncounted = both();
    uncounted.labor[1].record.trees_done = None;
    plain(
        &uncounted,
        "Trees were thinned by hand and by machine, and how many trees each of them thinned is not known: every sample \
         weighs the same.",
    );
    let mut unsaid = both();
    unsaid.labor.clear();
    plain(
        &unsaid,
        "Counts name by hand and machine, and the entries do not say which trees each of them thinned: every sample weighs \
         the same.",
    );
    // Every tree met both: nothing to weigh, and nothing to say.
    let (_, gaps) = crate::thinning::season(&SeasonRecords {
        labor: kept([work(MACHINE, 1_000, 20_000), LaborEntry { pass: Some(2), ..work(HAND, 1_000, 400_000) }]),
        ..both()
    });
    assert!(gaps.is_empty(), "{gaps:?}");
}

/// Shoots of 2,500 and 2,750 in on a tree, fruit left 340 and 450; 940 and 60 trees.
#[test]
fn spacing_weighs_each_method_by_its_trees() {
    let tree = |name: &str, method, after, shoot| FruitCount {
        shoot: Some(Inches::of(shoot)),
        ..count(name, method, 1_500, after)
    };
    let mut season = both();
    season.labor = kept([work(HAND, 940, 1), work(CUTS, 60, 1)]);
    season.fruit_counts = kept([
        tree("h1", HAND, 330, 2_400.0),
        tree("h2", HAND, 350, 2_600.0),
        tree("h3", HAND, 340, 2_500.0),
        tree("c1", CUTS, 440, 2_700.0),
        tree("c2", CUTS, 460, 2_800.0),
        tree("c3", CUTS, 450, 2_750.0),
    ]);
    let spacing = |season: &SeasonRecords| crate::thinning::season(season).0.spacing.unwrap().value.get();
    close(spacing(&season), (0.94 * 2_500.0 + 0.06 * 2_750.0) / 346.6);
    let found = crate::thinning::season(&season).0;
    close(left(&found), 346.6);
    // What is left of a shoot after its ratio is the spread of each part.
    let each = (0.94 * 2_500.0 + 0.06 * 2_750.0) / 346.6;
    let (hand, cuts) = (100.0 - each * 10.0, 50.0 - each * 10.0);
    let error = libm::sqrt((0.94 * hand) * (0.94 * hand) / 3.0 + (0.06 * cuts) * (0.06 * cuts) / 3.0) / 346.6;
    close(found.spacing_standard_error.unwrap().value.get(), error);
    // Measured on tagged branches alone, those weigh alike: 5 and 6 in on 10 fruit of each branch.
    let branch = |name: &str, method, shoot| FruitCount { branch: true, ..tree(name, method, 10, shoot) };
    season.fruit_counts.iter_mut().for_each(|kept| kept.record.shoot = None);
    let trees = season.fruit_counts.into_iter().map(|kept| kept.record);
    season.fruit_counts = kept(trees.chain([branch("a", HAND, 50.0), branch("b", CUTS, 60.0)]));
    close(spacing(&season), 0.94 * 5.0 + 0.06 * 6.0);
    season.fruit_counts.pop();
    let (found, gaps) = crate::thinning::season(&season);
    close(found.spacing.unwrap().value.get(), 5.0);
    let words = "60 of 1,000 trees were thinned by cuts and no shoot was measured there; the spacing is of the others.";
    assert!(said(&gaps).contains(&words), "{gaps:?}");
}
