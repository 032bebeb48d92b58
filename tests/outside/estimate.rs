//! The estimate of a planned thinning.
//!
//! Sources: `estimate_plan.toml`, `estimate_seasons.toml` and `normal_size_shares.csv` were
//! reckoned by an independent program (numpy, scipy), its closed-form shares held inside it
//! against numerical integration. `size_class_fit.toml`: kilograms by class of Cline (2017),
//! Table 2, fitted by that program. Class limits: Commission Regulation (EC) No 1580/2007.

use reckon::estimate::{
    Costs, Diameters, Ground, LIKELY, PEACH_G_PER_MM3, PRIOR, Past, PricedClass, Response, SPREAD, best, fit, outcome,
    ranged,
};

use crate::fixture::{table, toml};

/// Within this share of the published value: five significant digits and better.
const CLOSE: f64 = 2e-6;

fn number(of: &toml::Table, key: &str) -> f64 {
    let value = of.get(key).unwrap_or_else(|| panic!("no {key}"));
    value
        .as_float()
        .or_else(|| value.as_integer().map(|n| f64::from(i32::try_from(n).expect("small"))))
        .expect("a number")
}

fn numbers(of: &toml::Table, key: &str) -> Vec<f64> {
    let list = of.get(key).and_then(toml::Value::as_array).unwrap_or_else(|| panic!("no list {key}"));
    list.iter().map(|value| value.as_float().expect("a float")).collect()
}

fn at<'t>(of: &'t toml::Table, key: &str) -> &'t toml::Table {
    of.get(key).and_then(toml::Value::as_table).unwrap_or_else(|| panic!("no table {key}"))
}

fn tables(of: &toml::Table, key: &str) -> Vec<toml::Table> {
    let list = of.get(key).and_then(toml::Value::as_array).unwrap_or_else(|| panic!("no tables {key}"));
    list.iter().map(|value| value.as_table().expect("a table").clone()).collect()
}

fn near(what: &str, ours: f64, theirs: f64) {
    assert!((ours - theirs).abs() <= CLOSE * theirs.abs().max(1e-3), "{what}: {ours}, published {theirs}");
}

/// The scenario of the plan.
pub(crate) fn ground() -> Ground {
    let plan = toml("thinning/estimate_plan.toml");
    let input = at(&plan, "input");
    let (block, size, labor, harvest) =
        (at(input, "block"), at(input, "size"), at(input, "labor"), at(input, "harvest"));
    let past: Vec<Past> = tables(input, "season")
        .iter()
        .map(|season| Past {
            fruit_per_tree: number(season, "fruit_per_tree"),
            mean_weight_g: number(season, "mean_weight_g"),
        })
        .collect();
    let edges = std::iter::once(None).chain(numbers(size, "class_lower_mm").into_iter().map(Some));
    let names = size.get("class_name").and_then(toml::Value::as_array).expect("names");
    Ground {
        trees_per_acre: number(block, "trees_per_acre"),
        set_per_tree: number(block, "set_fruit_per_tree"),
        survival: number(block, "survival_to_harvest"),
        response: Response::of(&past, PRIOR).expect("two seasons"),
        k_g_per_mm3: number(size, "k_g_per_mm3"),
        cv: number(size, "cv_diameter"),
        classes: names
            .iter()
            .zip(edges.zip(numbers(size, "price_usd_per_box")))
            .map(|(name, (from_mm, price_per_box))| PricedClass {
                name: name.as_str().expect("a name").to_owned(),
                from_mm,
                price_per_box,
            })
            .collect(),
        box_lb: number(size, "box_net_weight_lb"),
        culls: number(size, "cull_share"),
        costs: Costs {
            hours_per_tree: number(labor, "thinning_hours_per_tree_fixed"),
            hours_per_1000: number(labor, "thinning_hours_per_1000_removed"),
            wage_per_hour: number(labor, "wage_usd_per_hour"),
            on_top: number(labor, "burden_share"),
            machine_per_acre: number(labor, "machine_usd_per_acre"),
            pick_per_lb: number(harvest, "pick_usd_per_lb"),
            pack_per_box: number(harvest, "pack_usd_per_box"),
            other_per_acre: number(harvest, "other_cost_usd_per_acre"),
        },
    }
}

/// A figure of the plan, by its row in the table of checks.
pub(crate) fn row(what: &str) -> Option<f64> {
    let ground = ground();
    let plan = || outcome(&ground, 0.75, LIKELY);
    Some(match what {
        "elasticity" => ground.response.elasticity,
        "weight" => plan().weight_g,
        "diameter" => plan().diameters.mean_mm,
        "boxes" => plan().boxes_per_acre(),
        "net" => plan().net,
        "low" => ranged(&ground, 0.75, SPREAD).low,
        "high" => ranged(&ground, 0.75, SPREAD).high,
        "best" => best(&ground).net,
        _ => return None,
    })
}

/// Diameters fitted to the kilograms of a treatment.
pub(crate) fn fitted(treatment: &str) -> Option<Diameters> {
    let shares = toml("thinning/size_class_fit.toml");
    let weights = numbers(at(&shares, &format!("{treatment}_shares")), "observed_weight_share");
    fit(&[57.0, 63.0, 70.0, 76.0, 82.0], &weights)
}

#[test]
fn own_seasons_move_the_response() {
    let plan = toml("thinning/estimate_plan.toml");
    let (printed, ours) = (at(at(&plan, "output"), "calibration").clone(), ground().response);
    let harvested = number(at(at(&plan, "output"), "plan"), "fruit_harvested_per_tree");
    let (alpha, beta) = ours.alpha_beta();
    for (key, ours) in [
        ("reference_fruit_per_tree", ours.fruit_per_tree),
        ("reference_weight_g", ours.weight_g),
        ("elasticity_least_squares", ours.least_squares.expect("two loads")),
        ("elasticity", ours.elasticity),
        ("elasticity_sd", ours.elasticity_sd),
        ("season_sd_log", ours.season_sd_log),
        ("df", ours.df),
        ("alpha_per_g", alpha),
        ("beta_per_g_per_fruit", beta),
        ("predictive_sd_log_weight", ours.spread_at(harvested)),
        ("t_90", ours.t()),
    ] {
        near(key, ours, number(&printed, key));
    }
}

#[test]
fn every_case_of_own_seasons() {
    for case in tables(&toml("thinning/estimate_seasons.toml"), "case") {
        let past: Vec<Past> = numbers(&case, "fruit_per_tree")
            .into_iter()
            .zip(numbers(&case, "mean_weight_g"))
            .map(|(fruit_per_tree, mean_weight_g)| Past { fruit_per_tree, mean_weight_g })
            .collect();
        let ours = Response::of(&past, PRIOR).expect("a season");
        let name = case.get("name").and_then(toml::Value::as_str).expect("a name");
        match case.get("elasticity_least_squares").and_then(toml::Value::as_float) {
            Some(printed) => near(name, ours.least_squares.expect("a slope"), printed),
            None => assert_eq!(ours.least_squares, None, "{name}"),
        }
        near(name, ours.elasticity, number(&case, "elasticity"));
        near(name, ours.elasticity_sd, number(&case, "elasticity_sd"));
        near(name, ours.season_sd_log, number(&case, "season_sd_log"));
        near(name, ours.df, number(&case, "df"));
        near(name, ours.fruit_per_tree, number(&case, "reference_fruit_per_tree"));
        near(name, ours.weight_g, number(&case, "reference_weight_g"));
        assert_eq!(Some(ours.held), case.get("elasticity_clamped").and_then(toml::Value::as_bool), "{name}");
        let lists =
            ["ask_fruit_per_tree", "weight_likely_g", "weight_low_g", "weight_high_g"].map(|key| numbers(&case, key));
        for (n, load) in lists[0].iter().enumerate() {
            let (likely, range) = (ours.weight_at(*load), ours.range_at(*load));
            near(name, likely, lists[1][n]);
            near(name, likely * range.0, lists[2][n]);
            near(name, likely * range.1, lists[3][n]);
        }
    }
}

#[test]
fn the_plan_and_every_share_taken_off() {
    let ground = ground();
    let plan = toml("thinning/estimate_plan.toml");
    let output = at(&plan, "output");
    let (printed, ours) = (at(output, "plan"), outcome(&ground, 0.75, LIKELY));
    for (key, ours) in [
        ("fruit_left_per_tree", ours.left_per_tree),
        ("fruit_removed_per_tree", ours.removed_per_tree),
        ("fruit_harvested_per_tree", ours.harvested_per_tree),
        ("thinning_hours_per_tree", ours.hours_per_tree),
        ("thinning_cost_usd_per_acre", ours.thinning),
        ("mean_weight_g", ours.weight_g),
        ("mean_diameter_mm", ours.diameters.mean_mm),
        ("sd_diameter_mm", ours.diameters.sd_mm),
        ("yield_lb_per_acre", ours.lb_per_acre),
        ("boxes_per_acre", ours.boxes_per_acre()),
        ("gross_usd_per_acre", ours.gross),
        ("pick_cost_usd_per_acre", ours.pick),
        ("pack_cost_usd_per_acre", ours.pack),
        ("net_usd_per_acre", ours.net),
    ] {
        near(key, ours, number(printed, key));
    }
    for (n, printed) in numbers(printed, "boxes_per_acre_by_class").into_iter().enumerate() {
        near("boxes of a class", ours.boxes[n], printed);
    }
    for row in tables(output, "grid") {
        let ours = outcome(&ground, number(&row, "removed_share"), LIKELY);
        near("mean weight", ours.weight_g, number(&row, "mean_weight_g"));
        near("yield", ours.lb_per_acre, number(&row, "yield_lb_per_acre"));
        near("gross", ours.gross, number(&row, "gross_usd_per_acre"));
        near("net", ours.net, number(&row, "net_usd_per_acre"));
    }
}

#[test]
fn the_range_and_the_best_share() {
    let ground = ground();
    let plan = toml("thinning/estimate_plan.toml");
    let output = at(&plan, "output");
    let (printed, ours) = (at(output, "range"), ranged(&ground, 0.75, SPREAD));
    near("low", ours.low, number(printed, "net_low_usd_per_acre"));
    near("high", ours.high, number(printed, "net_high_usd_per_acre"));
    let keys = ["mean_weight", "cv_diameter", "price", "thinning_hours", "set_fruit"];
    for (key, swing) in keys.into_iter().zip(&ours.swings) {
        let printed = numbers(printed, &format!("{key}_net_usd_per_acre"));
        near(key, swing.low, printed[0]);
        near(key, swing.high, printed[1]);
    }
    let (best, printed) = (best(&ground), at(output, "optimum"));
    near("best net", best.net, number(printed, "net_usd_per_acre"));
    assert!((best.removed - number(printed, "removed_share")).abs() < 1e-4, "{}", best.removed);
}

#[test]
fn shares_of_the_normal_table() {
    let edges = [51.0, 56.0, 61.0, 67.0, 73.0, 80.0, 90.0];
    let columns = ["under_51", "D_51", "C_56", "B_61", "A_67", "AA_73", "AAA_80", "AAAA_90"];
    let rows = table("thinning/normal_size_shares.csv");
    assert!(rows.len() >= 20);
    for row in rows {
        let mean_mm = row.number("mean_diameter_mm");
        let parts = Diameters { mean_mm, sd_mm: row.number("cv_diameter") * mean_mm }.parts(&edges);
        for (part, column) in parts.iter().zip(columns) {
            let ours = if row.text("basis") == "count" { part.of_fruit } else { part.of_weight };
            let printed = row.number(&format!("share_{column}"));
            assert!((ours - printed).abs() < 6e-9, "{column} at {mean_mm}: {ours}, printed {printed}");
        }
    }
}

#[test]
fn diameters_fitted_to_kilograms_by_class() {
    let published = toml("thinning/size_class_fit.toml");
    let treatments: Vec<&String> = published.keys().filter(|key| !key.ends_with("_shares")).collect();
    assert_eq!(treatments.len(), 2);
    for treatment in treatments {
        let printed = at(&published, treatment);
        let ours = fitted(treatment).expect("six classes");
        // The shares are printed to six digits, so the fit is good to four.
        let four = |ours: f64, key: &str| {
            let printed = number(printed, key);
            assert!((ours - printed).abs() < 1e-4 * printed, "{treatment} {key}: {ours}, printed {printed}");
        };
        four(ours.mean_mm, "mean_diameter_mm");
        four(ours.sd_mm, "sd_diameter_mm");
        four(ours.mean_weight_g(PEACH_G_PER_MM3), "mean_weight_g");
    }
}
