use super::*;
use crate::figure::Evidence;
use crate::records::FruitCount;
use crate::testing::{date, kept, records};
use crate::units::{Count, FruitPerTree, Inches};

fn count(sample: &str, day: u32, before: Option<u32>, after: Option<u32>) -> FruitCount {
    FruitCount {
        date: date(5, day),
        sample: sample.into(),
        branch: false,
        before,
        after,
        shoot: None,
        fruit_diameter: None,
        method: None,
        note: String::new(),
    }
}

fn season_of(counts: Vec<FruitCount>) -> (ThinningSeason, Vec<Gap>) {
    let mut season = records();
    season.fruit_counts = kept(counts);
    super::season(&season)
}

fn close(figure: Option<&Figure<Share>>, expected: f64) {
    let value = figure.unwrap().value.get();
    assert!((value - expected).abs() < 1e-9, "{value}");
}

#[test]
fn a_ratio_of_sums_and_not_a_mean_of_ratios() {
    let (season, gaps) = season_of(vec![count("1", 1, Some(1_000), Some(200)), count("2", 1, Some(100), Some(60))]);
    close(season.removed.as_ref(), 100.0 * (1.0 - 260.0 / 1_100.0));
    // r = 26/110; residuals 200 - 236.3636 and 60 - 23.6364 are -+36.3636; s2 = 2 x 36.3636^2 / 1 / 2; over 550.
    close(season.removed_standard_error.as_ref(), 100.0 * (400.0 / 11.0) / 550.0);
    assert_eq!(season.removed_in_block.unwrap().value, Count::of(420_000.0));
    assert!(gaps.is_empty());
}

#[test]
fn a_second_look_at_the_same_tree_is_one_sample() {
    let (season, _) = season_of(vec![
        count("7 N", 20, Some(300), Some(200)),
        count("7 N", 1, Some(1_000), Some(300)),
        count("8 N", 1, Some(900), None),
        count("8 N", 3, None, Some(180)),
    ]);
    assert_eq!(season.samples, 2);
    close(season.removed.as_ref(), 80.0);
    assert_eq!(season.removed.unwrap().n(), 4);
}

#[test]
fn a_name_used_twice_on_one_day_joins_nothing() {
    let (season, _) = season_of(vec![count("tree", 1, Some(1_000), Some(300)), count("tree", 1, Some(500), Some(100))]);
    assert_eq!(season.samples, 2);
    close(season.removed.as_ref(), 100.0 * (1.0 - 400.0 / 1_500.0));
}

#[test]
fn branches_give_share_and_spacing_but_no_fruit_per_tree() {
    let branch = |sample: &str, before, after, shoot| FruitCount {
        branch: true,
        shoot: Some(Inches::of(shoot)),
        ..count(sample, 1, Some(before), Some(after))
    };
    let (season, gaps) = season_of(vec![branch("a", 40, 10, 45.0), branch("b", 44, 10, 55.0)]);
    assert_eq!(season.before_per_tree, None);
    assert_eq!(season.removed_in_block, None);
    assert!((season.spacing.as_ref().unwrap().value.get() - 5.0).abs() < 1e-12);
    assert!(gaps.is_empty());
    assert_eq!(season.samples_say(), ["Fruit left on a tree is not known: only branches were counted, no whole tree."]);
}

#[test]
fn trees_counted_only_after_give_fruit_left_and_no_share() {
    let mut season = records();
    season.block.target_fruit = Some(FruitPerTree::of(320.0));
    let after = |name, left| count(name, 1, None, Some(left));
    season.fruit_counts = kept([after("1", 300), after("2", 340), FruitCount { branch: true, ..after("3", 9) }]);
    let (found, gaps) = super::season(&season);
    let left = found.left_per_tree.unwrap();
    assert_eq!((left.value, left.evidence, left.n()), (FruitPerTree::of(320.0), Evidence::Counted, 2));
    assert!((found.left_standard_error.unwrap().value.get() - 20.0).abs() < 1e-9);
    assert_eq!((found.samples, found.left_trees), (0, 2));
    assert_eq!((found.removed, found.removed_in_block, found.before_per_tree), (None, None, None));
    assert_eq!(found.crop.unwrap().value, Count::of(320_000.0));
    close(found.left_of_target.as_ref(), 100.0);
    let said: Vec<&str> = gaps.iter().map(|gap| gap.what.as_str()).collect();
    assert_eq!(
        said,
        [
            "2 trees were counted only after thinning: fruit left is of 2 trees, what came off is not known.",
            "1 sample has only one of the two counts.",
        ]
    );
    // One counted both times: the share is its own, fruit left is of three.
    season.fruit_counts[2].record = count("3", 1, Some(1_000), Some(200));
    let (found, gaps) = super::season(&season);
    close(found.removed.as_ref(), 80.0);
    assert_eq!(found.left_per_tree.unwrap().value, FruitPerTree::of(280.0));
    assert_eq!(
        gaps[0].what,
        "2 trees were counted only after thinning: fruit left is of 3 trees, the share taken off of 1 sample."
    );
}

#[test]
fn far_from_common_practice_is_worth_a_look() {
    let thin = FruitCount { shoot: Some(Inches::of(100.0)), ..count("1", 1, Some(100), Some(60)) };
    let (_, gaps) = season_of(vec![thin]);
    assert_eq!(gaps[0].what, "40% of the fruit came off; about 75% is common practice.");
    assert_eq!(gaps[1].what, "One fruit was left every 1.7 in of shoot; published guides go from 3 to 8 in.");
    let (_, gaps) = season_of(vec![count("1", 1, Some(100), Some(50))]);
    assert!(gaps.is_empty());
}

#[test]
fn half_a_count_is_said_and_one_tree_has_no_error() {
    let (season, gaps) = season_of(vec![count("1", 1, Some(100), Some(25)), count("2", 1, Some(100), None)]);
    assert_eq!(season.samples, 1);
    assert_eq!(season.removed_standard_error, None);
    assert_eq!(gaps[0].what, "1 sample has only one of the two counts.");
    let (season, _) = season_of(vec![count("1", 1, Some(0), Some(0))]);
    assert_eq!(season.removed, None);
}

#[test]
fn the_crop_to_expect_and_its_error() {
    let (season, _) = season_of(vec![count("1", 1, Some(1_000), Some(300)), count("2", 1, Some(900), Some(200))]);
    // Mean 250, standard deviation 70.71, over the root of 2: 50; a thousand trees.
    assert!((season.left_standard_error.unwrap().value.get() - 50.0).abs() < 1e-9);
    let crop = season.crop.unwrap();
    assert_eq!((crop.value, crop.evidence), (Count::of(250_000.0), Evidence::Modelled));
    assert!((season.crop_standard_error.unwrap().value.get() - 50_000.0).abs() < 1e-6);
    let (one, _) = season_of(vec![count("1", 1, Some(1_000), Some(300))]);
    assert_eq!((one.left_standard_error, one.crop_standard_error), (None, None), "one tree has no error");
    assert_eq!(one.crop.unwrap().value, Count::of(300_000.0));
}

#[test]
fn spacing_is_a_ratio_with_its_error_and_fruit_have_a_size() {
    let branch = |sample: &str, left, shoot, diameter| FruitCount {
        branch: true,
        shoot: Some(Inches::of(shoot)),
        fruit_diameter: Some(Inches::of(diameter)),
        ..count(sample, 1, Some(40), Some(left))
    };
    let (season, _) = season_of(vec![branch("a", 10, 45.0, 0.7), branch("b", 10, 55.0, 0.9)]);
    assert!((season.spacing.unwrap().value.get() - 5.0).abs() < 1e-12);
    // Residuals -5 and 5: s2 = 50 / 1 / 2 = 25, its root 5, over a mean of 10.
    assert!((season.spacing_standard_error.unwrap().value.get() - 0.5).abs() < 1e-12);
    assert!((season.diameter.unwrap().value.get() - 0.8).abs() < 1e-12);
}

#[test]
fn far_from_the_blocks_own_target_is_worth_a_look() {
    let mut season = records();
    season.block.variety = "Dusk".into();
    season.block.target_fruit = Some(FruitPerTree::of(400.0));
    season.block.ripening = crate::block::MonthDay::new(7, 18).zip(crate::block::MonthDay::new(8, 1));
    season.fruit_counts = kept([count("1", 1, Some(1_600), Some(480))]);
    let (found, gaps) = super::season(&season);
    close(found.left_of_target.as_ref(), 120.0);
    assert!(gaps.is_empty(), "{gaps:?}");
    season.fruit_counts = kept([count("1", 1, Some(1_600), Some(500))]);
    let (_, gaps) = super::season(&season);
    assert_eq!(
        gaps[0].what,
        "A tree keeps 500 fruit, 25% more than the 400 wanted of Dusk, which ripens from 18 July."
    );
    season.fruit_counts = kept([count("1", 1, Some(1_000), Some(300))]);
    let (_, gaps) = super::season(&season);
    assert!(gaps[0].what.starts_with("A tree keeps 300 fruit, 25% less than the 400"), "{gaps:?}");
}
