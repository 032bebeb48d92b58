//! The sheets of thinning methods held against each other.

use reckon::compare::{Comparison, Difference, Group, Measure, MethodMean};
use reckon::stats::Test;

use crate::differences::{self, Shown};

use super::table::{Sheet, Value};

/// A row for each method and measure, then what is to be known of the group.
pub(super) fn methods(comparison: &Comparison) -> Sheet {
    let columns = [
        ("Group", 22.0),
        ("Method", 24.0),
        ("Measure", 28.0),
        ("Unit", 14.0),
        ("Mean", 12.0),
        ("95% from", 12.0),
        ("95% to", 12.0),
        ("Blocks", 9.0),
        ("Block-seasons", 14.0),
        ("Which", 40.0),
        ("Remark", 70.0),
    ];
    let mut sheet = Sheet::new("Methods", &columns);
    for group in &comparison.groups {
        for (measure, table) in &group.measures {
            for mean in &table.methods {
                sheet.row(mean_cells(group, *measure, mean));
            }
        }
        for said in told(group) {
            let mut cells = vec![Value::text(&group.name)];
            cells.extend((1..columns.len() - 1).map(|_| Value::Blank));
            cells.push(Value::text(&said));
            sheet.row(cells);
        }
    }
    sheet
}

/// A row for each pair of methods and measure.
pub(super) fn pairs(comparison: &Comparison) -> Sheet {
    let columns = [
        ("Group", 22.0),
        ("Measure", 28.0),
        ("Unit", 14.0),
        ("First", 24.0),
        ("Second", 24.0),
        ("First less second", 16.0),
        ("95% from", 12.0),
        ("95% to", 12.0),
        ("p", 10.0),
        ("By", 40.0),
    ];
    let mut sheet = Sheet::new("Differences", &columns);
    for group in &comparison.groups {
        for (measure, table) in &group.measures {
            for pair in &table.differences {
                for shown in differences::shown(pair) {
                    sheet.row(pair_cells(group, *measure, pair, &shown));
                }
            }
        }
    }
    sheet
}

fn pair_cells(group: &Group, measure: Measure, pair: &Difference, shown: &Shown) -> Vec<Value> {
    let number = |value: f64| Value::Float(value, measure.places());
    let of_test = |of: fn(&Test) -> f64| shown.test.as_ref().map(of);
    vec![
        Value::text(&group.name),
        Value::text(measure.label()),
        Value::text(measure.unit()),
        Value::text(&pair.first),
        Value::text(&pair.second),
        number(shown.difference),
        of_test(|test| test.interval.low).map_or(Value::Blank, number),
        of_test(|test| test.interval.high).map_or(Value::Blank, number),
        of_test(|test| test.p).map_or(Value::Blank, |p| Value::Float(p, 4)),
        Value::text(&shown.by),
    ]
}

fn mean_cells(group: &Group, measure: Measure, mean: &MethodMean) -> Vec<Value> {
    let number = |value: f64| Value::Float(value, measure.places());
    // As they are reckoned, below nought too: a sheet is reckoned on with, a page is read.
    let ends = mean.interval.as_ref().ok();
    let end = |value: Option<f64>| value.map_or(Value::Blank, number);
    vec![
        Value::text(&group.name),
        Value::text(&mean.method),
        Value::text(measure.label()),
        Value::text(measure.unit()),
        number(mean.sample.mean),
        end(ends.map(|ends| ends.low)),
        end(ends.map(|ends| ends.high)),
        Value::count(mean.sample.n),
        Value::count(mean.units.len()),
        Value::text(&mean.units.join("; ")),
        Value::text(mean.remark().unwrap_or_default()),
    ]
}

/// In the order of the page: answers, what is left out, what else differs.
fn told(group: &Group) -> impl Iterator<Item = String> {
    let without = group.without_said(|_| true);
    let confounders = group.confounders.iter().map(|found| found.sentence.clone());
    let sentences = group.answers.sentences.iter().chain(&group.left_out).chain(&group.notes);
    sentences.cloned().chain(without).chain(confounders)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use reckon::compare::{Observation, Traits, compare};

    use super::*;

    fn seen(block: &str, method: &str, cost: f64) -> Observation {
        Observation {
            unit: format!("{block}, 2026"),
            method: method.to_owned(),
            traits: Traits { block: block.to_owned(), ..Traits::default() },
            measures: BTreeMap::from([(Measure::CostPerTree, cost)]),
            lacking: BTreeMap::new(),
            notes: Vec::new(),
            part: None,
        }
    }

    /// Mean 5 of 1 and 9: the interval is 5 ± 12.7 × 4.
    #[test]
    fn ends_below_nought_stand_as_they_are_reckoned() {
        let sheet = methods(&compare(&[seen("A", "by hand", 1.0), seen("B", "by hand", 9.0)], &[]));
        let (_, first) = &sheet.rows[0];
        let Value::Float(low, _) = first[5] else { panic!("{first:?}") };
        assert!((low + 45.824_8).abs() < 1e-3, "{low}");
    }

    /// Means 2 and 6 of one block each: a difference, and nothing to judge it by.
    #[test]
    fn a_difference_of_one_block_each_has_no_interval() {
        let sheet = pairs(&compare(&[seen("A", "by hand", 6.0), seen("B", "cuts", 2.0)], &[]));
        let [(_, row)] = sheet.rows.as_slice() else { panic!("{:?}", sheet.rows) };
        let Value::Float(difference, _) = row[5] else { panic!("{row:?}") };
        assert!((difference - 4.0).abs() < 1e-12);
        assert!(row[6..9].iter().all(|cell| matches!(cell, Value::Blank)), "{row:?}");
    }
}
