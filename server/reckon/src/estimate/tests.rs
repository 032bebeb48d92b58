use super::*;

fn ground() -> Ground {
    let past =
        [(300.0, 160.0), (240.0, 175.0)].map(|(fruit_per_tree, mean_weight_g)| Past { fruit_per_tree, mean_weight_g });
    let names = ["small", "one", "two", "three"];
    let edges = [None, Some(56.0), Some(64.0), Some(72.0)];
    let prices = [0.0, 8.0, 14.0, 20.0];
    Ground {
        trees_per_acre: 160.0,
        set_per_tree: 1100.0,
        survival: 0.97,
        response: Response::of(&past, PRIOR).expect("two seasons"),
        k_g_per_mm3: PEACH_G_PER_MM3,
        cv: USUAL_CV,
        classes: names
            .into_iter()
            .zip(edges.into_iter().zip(prices))
            .map(|(name, (from_mm, price_per_box))| PricedClass { name: name.to_owned(), from_mm, price_per_box })
            .collect(),
        box_lb: 22.0,
        culls: 0.1,
        costs: Costs {
            hours_per_tree: 0.1,
            hours_per_1000: 0.4,
            wage_per_hour: 20.0,
            on_top: 0.12,
            machine_per_acre: 0.0,
            pick_per_lb: 0.08,
            pack_per_box: 4.0,
            other_per_acre: 4000.0,
        },
    }
}

#[test]
fn shares_sum_to_one_and_stay_within_nought_and_one() {
    for mean_mm in [20.0, 55.0, 70.0, 140.0] {
        for cv in [0.001, 0.06, 0.14, 0.3] {
            let parts = Diameters { mean_mm, sd_mm: cv * mean_mm }.parts(&[51.0, 56.0, 61.0, 67.0, 73.0, 80.0, 90.0]);
            for share in [|part: &Part| part.of_fruit, |part: &Part| part.of_weight] {
                let sum: f64 = parts.iter().map(share).sum();
                assert!((sum - 1.0).abs() < 1e-9, "{mean_mm} {cv}: {sum}");
                assert!(parts.iter().all(|part| (-1e-12..=1.0 + 1e-12).contains(&share(part))), "{mean_mm} {cv}");
            }
        }
    }
}

#[test]
fn even_fruit_fall_into_one_class() {
    let parts = Diameters { mean_mm: 70.0, sd_mm: 0.0007 }.parts(&[61.0, 67.0, 73.0]);
    assert!(parts.get(2).is_some_and(|part| (part.of_weight - 1.0).abs() < 1e-12), "{parts:?}");
}

#[test]
fn more_fruit_is_smaller_fruit_and_more_weight() {
    let response = ground().response;
    let mut before = (f64::INFINITY, 0.0);
    for load in 1..60 {
        let load = f64::from(load) * 25.0;
        let weight = response.weight_at(load);
        assert!(weight < before.0 && weight * load > before.1, "at {load}");
        before = (weight, weight * load);
    }
}

#[test]
fn the_reference_point_and_its_slope_are_given_back() {
    let response = ground().response;
    let at = response.fruit_per_tree;
    assert!((response.weight_at(at) - response.weight_g).abs() < 1e-9);
    let step = at * 1e-6;
    let slope = (response.weight_at(at + step) - response.weight_at(at - step)) / (2.0 * step);
    assert!((slope + response.elasticity * response.weight_g / at).abs() < 1e-6);
}

#[test]
fn the_ends_are_sane() {
    let ground = ground();
    let none = outcome(&ground, 0.0, LIKELY);
    assert_eq!((none.thinning, none.hours_per_tree), (0.0, 0.0));
    let all = outcome(&ground, 1.0, LIKELY);
    assert_eq!((all.boxes_per_acre(), all.gross, all.pick), (0.0, 0.0, 0.0));
    assert!(all.thinning > 0.0 && all.net.is_finite());
    let ranged = ranged(&ground, 1.0, SPREAD);
    assert!(ranged.low.is_finite() && ranged.high.is_finite());
}

#[test]
fn higher_prices_raise_gross_in_proportion() {
    let ground = ground();
    let dear = Shift { price: 1.25, ..LIKELY };
    let (plain, dear) = (outcome(&ground, 0.7, LIKELY), outcome(&ground, 0.7, dear));
    assert!((dear.gross - 1.25 * plain.gross).abs() < 1e-9);
}

#[test]
fn a_season_more_never_widens_the_slope_and_a_far_load_widens_the_range() {
    let one = Past { fruit_per_tree: 300.0, mean_weight_g: 160.0 };
    let two = Past { fruit_per_tree: 420.0, mean_weight_g: 140.0 };
    let alone = Response::of(&[one], PRIOR).expect("one");
    let both = Response::of(&[one, two], PRIOR).expect("two");
    assert!(both.elasticity_sd <= alone.elasticity_sd);
    assert!(both.spread_at(900.0) > both.spread_at(500.0) && both.spread_at(500.0) > both.spread_at(360.0));
}

#[test]
fn seasons_that_answer_the_wrong_way_are_held_and_said() {
    let past = [(100.0, 100.0), (900.0, 260.0), (400.0, 200.0)]
        .map(|(fruit_per_tree, mean_weight_g)| Past { fruit_per_tree, mean_weight_g });
    let response = Response::of(&past, PRIOR).expect("three");
    assert!(response.held && (response.elasticity - 0.05).abs() < f64::EPSILON);
    let nonsense = [Past { fruit_per_tree: 0.0, mean_weight_g: f64::NAN }];
    assert_eq!(Response::of(&nonsense, PRIOR), None);
}

#[test]
fn the_best_share_is_not_beaten_on_a_fine_grid() {
    let ground = ground();
    let best = best(&ground);
    let most =
        (0..=1000).map(|step| outcome(&ground, f64::from(step) / 1000.0, LIKELY).net).fold(f64::NEG_INFINITY, f64::max);
    assert!(best.net >= most - 1e-6, "{} against {most}", best.net);
    let mut free = ground;
    free.classes.iter_mut().for_each(|class| class.price_per_box = 0.0);
    assert!(
        (super::best(&free).removed).abs() < f64::EPSILON || super::best(&free).net >= outcome(&free, 0.0, LIKELY).net
    );
}

#[test]
fn a_fit_finds_the_diameters_it_was_made_from() {
    let edges = [57.0, 63.0, 70.0, 76.0, 82.0];
    let made = Diameters { mean_mm: 66.0, sd_mm: 6.3 };
    let weights: Vec<f64> = made.parts(&edges).iter().map(|part| part.of_weight * 1234.0).collect();
    let found = fit(&edges, &weights).expect("six classes");
    assert!((found.mean_mm - 66.0).abs() < 1e-5 && (found.sd_mm - 6.3).abs() < 1e-5, "{found:?}");
    assert_eq!(fit(&edges, &[0.0, 0.0, 3.0, 4.0, 0.0, 0.0]), None);
}
