//! Statistics against printed results: Welch, paired, blocks, a line, a ratio, how many trees.

use std::collections::BTreeMap;

use reckon::compare::{Difference, MethodTable, Pairing, Value, methods};
use reckon::stats::{self, Line, RatioOfWhole, Sample, Test, student};

use crate::fixture::{self, close, number};

/// A list of numbers at `data.KEY`.
fn list(table: &toml::Table, key: &str) -> Vec<f64> {
    let list = table["data"][key].as_array().unwrap_or_else(|| panic!("{key} is no list"));
    list.iter().map(|value| value.as_float().unwrap()).collect()
}

fn values(method: &str, list: &[f64]) -> Vec<Value> {
    let unit = |n: usize| format!("unit {}", n + 1);
    list.iter()
        .enumerate()
        .map(|(n, value)| Value { unit: unit(n), block: None, method: method.to_owned(), value: *value })
        .collect()
}

/// Two lists as the methods a and b.
fn compared(a: &[f64], b: &[f64]) -> MethodTable {
    methods(&[values("a", a), values("b", b)].concat(), Pairing::SharedUnits)
}

fn only(table: &MethodTable) -> Difference {
    assert_eq!(table.differences.len(), 1);
    table.differences[0].clone()
}

/// Half a unit of the last printed digit.
fn printed(text_digits: i32) -> f64 {
    0.5 * 10f64.powi(-text_digits) + 1e-12
}

/// Agrees with every number of a table that was computed by an independent program to ten digits.
#[track_caller]
fn computed(what: &str, test: &Test, table: &toml::Table, place: &str) {
    let at = |key: &str| number(table, &format!("{place}.{key}"));
    let near = |key: &str, ours: f64| close(&format!("{what} {key}"), ours, at(key), 1e-9 * at(key).abs().max(0.1));
    near("t", test.t);
    near("df", test.df);
    near("p_two_sided", test.p);
    near("ci95_low", test.interval.low);
    near("ci95_high", test.interval.high);
}

pub(crate) fn nist() -> MethodTable {
    let table = fixture::toml("thinning/stats_welch_nist_7_3_1.toml");
    compared(&list(&table, "a_old_min"), &list(&table, "b_new_min"))
}

/// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 7.3.1, example of unequal numbers of data
/// points (assembly times of an old and a new procedure). The handbook rounds the degrees of freedom to
/// 16 before it looks up t; we keep the fraction.
#[test]
fn welch_of_the_handbook() {
    let table = fixture::toml("thinning/stats_welch_nist_7_3_1.toml");
    let ours = nist();
    let at = |key: &str| number(&table, &format!("printed.{key}"));
    let [a, b] = [ours.methods[0].sample, ours.methods[1].sample];
    close("mean a", a.mean, at("mean_a"), printed(4));
    close("mean b", b.mean, at("mean_b"), printed(4));
    close("sd a", a.sd.unwrap(), at("sd_a"), printed(4));
    close("sd b", b.sd.unwrap(), at("sd_b"), printed(4));
    let difference = only(&ours);
    let welch = difference.welch.unwrap();
    close("t", welch.t, at("t"), printed(4));
    close("df", welch.df, at("df"), printed(1));
    computed("handbook", &welch, &table, "computed");
    close("difference", difference.difference, number(&table, "computed.difference"), 1e-8);
    // A one-sided 5 % point is the two-sided 10 % point.
    close("16 df", student::within(0.90, 16.0), at("one_sided_5_percent_point_at_16_df"), printed(3));
    let fraction = number(&table, "computed.one_sided_5_percent_point_at_fractional_df");
    close("fractional df", student::within(0.90, welch.df), fraction, 1e-8);
}

/// Source: tables of Student's t, 97.5 % points of 1, 2, 3 and 4 degrees of freedom.
#[test]
fn t_of_few_degrees_of_freedom() {
    let table = fixture::toml("thinning/stats_welch_nist_7_3_1.toml");
    for df in 1..=4 {
        let theirs = number(&table, &format!("few.t_975_df_{df}"));
        close("t", student::within(0.95, f64::from(df)), theirs, 1e-8 * theirs);
    }
}

pub(crate) fn sleep() -> Difference {
    let table = fixture::toml("thinning/stats_paired_sleep.toml");
    only(&compared(&list(&table, "first_h"), &list(&table, "second_h")))
}

/// Source: Student (1908), Biometrika 6:1-25; printed results of R's help page of t.test.
#[test]
fn the_same_difference_unpaired_and_paired() {
    let table = fixture::toml("thinning/stats_paired_sleep.toml");
    let at = |place: &str| number(&table, place);
    let ours = sleep();
    let (welch, paired) = (ours.welch.unwrap(), ours.paired.unwrap());
    close("t", welch.t, at("printed_welch.t"), printed(4));
    close("df", welch.df, at("printed_welch.df"), printed(3));
    close("p", welch.p, at("printed_welch.p_two_sided"), printed(5));
    close("low", welch.interval.low, at("printed_welch.ci95_low"), printed(7));
    close("high", welch.interval.high, at("printed_welch.ci95_high"), printed(7));
    assert_eq!(paired.pairs, 10);
    let test = paired.test;
    close("t", test.t, at("printed_paired.t"), printed(4));
    close("df", test.df, at("printed_paired.df"), 0.0);
    close("p", test.p, at("printed_paired.p_two_sided"), printed(6));
    close("low", test.interval.low, at("printed_paired.ci95_low"), printed(7));
    close("high", test.interval.high, at("printed_paired.ci95_high"), printed(7));
    close("mean", test.difference, at("printed_paired.mean_difference"), printed(2));
    computed("welch", &welch, &table, "computed_welch");
    computed("paired", &test, &table, "computed_paired");
}

/// Yields of the ground covers, one value for each block and cover.
pub(crate) fn covers() -> MethodTable {
    let rows = fixture::table("thinning/apple_ground_cover_blocks.csv");
    let values: Vec<Value> = rows
        .iter()
        .map(|row| Value {
            unit: row.text("block").to_owned(),
            block: None,
            method: row.text("treatment").to_owned(),
            value: row.number("yield_lb_per_plot"),
        })
        .collect();
    methods(&values, Pairing::SharedUnits)
}

/// Source: Pearce (1953), Field Experiments with Fruit Trees, appendix IV, as kept in the agridat
/// package; paired and unpaired results computed by an independent program.
#[test]
fn six_ground_covers_in_four_blocks() {
    let table = fixture::toml("thinning/stats_blocks_pearce.toml");
    let ours = covers();
    for cover in ["A", "B", "C", "D", "E"] {
        let (difference, turned) = ours.difference(cover, "S").unwrap();
        assert!(!turned);
        let place = |kind: &str, key: &str| number(&table, &format!("{cover}_minus_S.{kind}.{key}"));
        let paired = difference.paired.unwrap();
        assert_eq!(paired.pairs, 4);
        computed(cover, &paired.test, &table, &format!("{cover}_minus_S.paired"));
        computed(cover, &difference.welch.unwrap(), &table, &format!("{cover}_minus_S.welch"));
        close(cover, paired.test.difference, place("paired", "mean_difference"), 1e-9);
        // The standard deviation of the differences is their standard error times the root of their number.
        close(cover, paired.test.standard_error * 2.0, place("paired", "sd_difference"), 1e-7);
        close(cover, difference.difference, place("welch", "difference"), 1e-9);
        let sample = |name: &str| ours.methods.iter().find(|method| method.method == name).unwrap().sample;
        close(cover, sample(cover).mean, place("welch", "mean_a"), 1e-9);
        close(cover, sample(cover).sd.unwrap(), place("welch", "sd_a"), 1e-7);
        close("S", sample("S").sd.unwrap(), place("welch", "sd_b"), 1e-7);
    }
}

/// The same table in blocks. The degrees of freedom follow from the design; the parts must sum to the
/// whole, which is reckoned here another way.
#[test]
fn the_covers_as_complete_blocks() {
    let blocks = covers().blocks.unwrap();
    let rows = fixture::table("thinning/apple_ground_cover_blocks.csv");
    let yields: Vec<f64> = rows.iter().map(|row| row.number("yield_lb_per_plot")).collect();
    let correction = yields.iter().sum::<f64>().powi(2) / 24.0;
    let whole = yields.iter().map(|value| value * value).sum::<f64>() - correction;
    let totals = |column: &str, each: f64| -> f64 {
        let mut sums: BTreeMap<&str, f64> = BTreeMap::new();
        for row in &rows {
            *sums.entry(row.text(column)).or_default() += row.number("yield_lb_per_plot");
        }
        sums.values().map(|sum| sum * sum).sum::<f64>() / each - correction
    };
    close("blocks", blocks.blocks_squares, totals("block", 6.0), 1e-6);
    close("covers", blocks.methods_squares, totals("treatment", 4.0), 1e-6);
    close("whole", blocks.blocks_squares + blocks.methods_squares + blocks.error_squares, whole, 1e-6);
    close("df", blocks.methods_df, 5.0, 0.0);
    close("df", blocks.error_df, 15.0, 0.0);
    // Every pair is judged by the pooled error: the same standard error, 15 degrees of freedom.
    let pair = blocks.difference("B", "S", 0.95).unwrap();
    let error = (2.0 * blocks.error_squares / 15.0 / 4.0).sqrt();
    close("error", pair.standard_error, error, 1e-9);
    close("half", pair.interval.high - pair.difference, student::within(0.95, 15.0) * error, 1e-9);
    close("difference", pair.difference, covers().difference("B", "S").unwrap().0.difference, 1e-9);
    assert!(blocks.p > 0.5, "no cover stands out: {}", blocks.p);
}

/// Mean and spread of a table of large numbers that differ in their last digit, by the door of the command line.
pub(crate) fn large_numbers(name: &str) -> Sample {
    let table = fixture::toml("thinning/stats_nist_numacc.toml");
    let own = &table[name];
    let text = |value: &toml::Value| value.as_str().unwrap().to_owned();
    let rest: Vec<String> = own["rest"].as_array().unwrap().iter().map(text).collect();
    let times = usize::try_from(own["times"].as_integer().unwrap()).unwrap();
    let all = core::iter::once(text(&own["first"])).chain(rest.iter().cycle().take(times * rest.len()).cloned());
    let csv =
        all.enumerate().fold("unit,method,value\n".to_owned(), |csv, (n, value)| csv + &format!("{n},x,{value}\n"));
    let read = intake::read_method_values(csv.as_bytes()).unwrap();
    read.put_back(methods(&read.values, Pairing::SharedUnits)).methods[0].sample
}

/// Source: NIST Statistical Reference Datasets, univariate summary statistics, `NumAcc1` to `NumAcc4`.
#[test]
fn large_numbers_keep_their_last_digits() {
    let table = fixture::toml("thinning/stats_nist_numacc.toml");
    for (name, n) in [("numacc1", 3), ("numacc2", 1_001), ("numacc3", 1_001), ("numacc4", 1_001)] {
        let (ours, mean) = (large_numbers(name), number(&table, &format!("{name}.mean")));
        assert_eq!(ours.n, n);
        close(name, ours.mean, mean, 1e-15 * mean);
        close(name, ours.sd.unwrap(), number(&table, &format!("{name}.sd")), 1e-14);
    }
}

/// Number of fruit against percent of it wormy, 12 trees.
pub(crate) fn crop_size() -> Line {
    let table = fixture::toml("thinning/stats_crop_size_regression.toml");
    let pairs: Vec<(f64, f64)> =
        list(&table, "x_hundreds_of_fruit").into_iter().zip(list(&table, "y_percent_wormy")).collect();
    stats::line(&pairs).unwrap()
}

/// Source: Snedecor and Cochran, Statistical Methods, 6th ed. (1967), table 6.9.1; results computed by an
/// independent program (the printed line, 64.247 - 1.013 x, is from memory and agrees).
#[test]
fn a_line_through_twelve_trees() {
    let table = fixture::toml("thinning/stats_crop_size_regression.toml");
    let ours = crop_size();
    let near = |key: &str, value: f64| {
        let theirs = number(&table, &format!("computed.{key}"));
        close(key, value, theirs, 1e-9 * theirs.abs());
    };
    near("slope", ours.slope);
    near("intercept", ours.intercept);
    near("r", ours.r.unwrap());
    near("r_squared", ours.r.unwrap().powi(2));
    near("se_slope", ours.slope_error().unwrap());
    near("se_intercept", ours.intercept_error().unwrap());
    near("residual_sd", ours.residual_sd.unwrap());
    near("p_two_sided", ours.p().unwrap());
    let slope = ours.slope_interval(0.95).unwrap();
    near("slope_ci95_low", slope.low);
    near("slope_ci95_high", slope.high);
    let at = ours.at(30.0, 0.95).unwrap();
    near("fit_at_30", at.y);
    near("fit_at_30_ci95_low", at.of_mean.low);
    near("fit_at_30_ci95_high", at.of_mean.high);
    near("new_tree_at_30_pi95_low", at.of_new.low);
    near("new_tree_at_30_pi95_high", at.of_new.high);
}

/// Yields of 144 peach trees, pounds.
pub(crate) fn orchard() -> Sample {
    let rows = fixture::table("thinning/peach_tree_yields.csv");
    let yields: Vec<f64> = rows.iter().map(|row| row.number("yield_lb_per_tree")).collect();
    Sample::of(&yields).unwrap()
}

/// Standard deviation over mean of single trees.
pub(crate) fn tree_spread() -> f64 {
    orchard().sd.unwrap() / orchard().mean
}

/// Source: Strickland (1935), J. Agriculture, Victoria 33:408-416, as kept in the agridat package, whose
/// help page prints mean and coefficient of variation; the rest computed.
#[test]
fn how_many_trees_to_count() {
    let table = fixture::toml("thinning/stats_sample_trees.toml");
    let near = |key: &str, value: f64| {
        let theirs = number(&table, &format!("computed.{key}"));
        close(key, value, theirs, 1e-8 * theirs);
    };
    let (trees, spread) = (orchard(), tree_spread());
    close("mean", trees.mean, number(&table, "printed.mean_lb_per_tree"), printed(1));
    close("cv", spread * 100.0, number(&table, "printed.cv_percent"), printed(1));
    assert_eq!(trees.n, 144);
    near("mean_lb_per_tree", trees.mean);
    near("sd_lb_per_tree", trees.sd.unwrap());
    near("cv", spread);
    near("se_of_mean_5_trees_share", stats::standard_error_share(spread, 5, None).unwrap());
    near("se_of_mean_10_trees_share", stats::standard_error_share(spread, 10, None).unwrap());
    near("se_of_mean_10_of_144_trees_share", stats::standard_error_share(spread, 10, Some(144)).unwrap());
    near("trees_for_plus_minus_20_percent_95", stats::samples_needed(spread, 0.2, 0.95));
    near("trees_for_plus_minus_10_percent_95", stats::samples_needed(spread, 0.1, 0.95));
    let needed = stats::needed(trees, 0.2, 0.95).unwrap();
    near("trees_for_plus_minus_20_percent_95", needed.normal);
    assert!(needed.count.is_some_and(|count| (10..=13).contains(&count)), "{needed:?}");
}

/// Volume of a stand from 12 of 250 trees.
pub(crate) fn stand() -> RatioOfWhole {
    let table = fixture::toml("thinning/ratio_estimate.toml");
    let pairs: Vec<(f64, f64)> = list(&table, "x_ft2").into_iter().zip(list(&table, "y_ft3")).collect();
    stats::ratio_of_whole(&pairs, 250.0, number(&table, "data.population_total_x_ft2")).unwrap()
}

/// Source: Scheaffer, Mendenhall, Ott: Elementary Survey Sampling, exercise 6.1; results computed. With
/// the sample's mean in place of the whole's the error is smaller by 1.86, which is not the book's.
#[test]
fn a_ratio_with_the_whole_known() {
    let table = fixture::toml("thinning/ratio_estimate.toml");
    let near = |key: &str, value: f64| {
        let theirs = number(&table, &format!("computed.{key}"));
        close(key, value, theirs, 1e-9 * theirs);
    };
    let ours = stand();
    near("ratio", ours.ratio.ratio);
    near("se_ratio_known_mean_x", ours.ratio.standard_error.unwrap());
    near("se_ratio_sample_mean_x", ours.standard_error_by_sample.unwrap());
    near("total_ft3", ours.total);
    near("se_total_ft3", ours.total_error.unwrap());
    near("bound_2_se_ft3", 2.0 * ours.total_error.unwrap());
}
