//! `seasonbook compare`, as a statistician checks it: published data in, published results out.

use std::fmt::Write as _;
use std::fs;

use serde_json::Value;
use tests::program::{run, run_well, top};

/// Runs the real program on a table.
fn compared(table: &str) -> Value {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("table.csv"), table).unwrap();
    let out = run_well(folder.path(), &["compare", "table.csv"]);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "no database was made");
    serde_json::from_str(&out).unwrap()
}

/// Standard error of a run on a table that must be refused with code 2.
fn refused(table: &str) -> String {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("table.csv"), table).unwrap();
    let out = run(folder.path(), &["compare", "table.csv"]);
    let error = String::from_utf8(out.stderr).unwrap();
    assert_eq!(out.status.code(), Some(2), "{error}");
    assert!(out.stdout.is_empty());
    error
}

fn published(name: &str) -> toml::Table {
    fs::read_to_string(top().join("fixtures/published/thinning").join(name)).unwrap().parse().unwrap()
}

fn rows(table: &toml::Table, key: &str, method: &str) -> String {
    let list = table["data"][key].as_array().unwrap();
    let mut rows = String::new();
    for (n, value) in list.iter().enumerate() {
        writeln!(rows, "{},{method},{value}", n + 1).unwrap();
    }
    rows
}

#[track_caller]
fn near(found: &Value, expected: &toml::Value, within: f64) {
    let (found, expected) = (found.as_f64().unwrap(), expected.as_float().unwrap());
    assert!((found - expected).abs() <= within, "{found} is not {expected}");
}

/// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 7.3.1.
#[test]
fn unequal_numbers_are_compared_without_pairs() {
    let table = published("stats_welch_nist_7_3_1.toml");
    let csv = format!("unit,method,value\n{}{}", rows(&table, "a_old_min", "old"), rows(&table, "b_new_min", "new"));
    let found = compared(&csv);
    let printed = &table["printed"];
    assert_eq!(found["methods"][1]["method"], "old");
    assert_eq!(found["methods"][1]["n"], 11);
    near(&found["methods"][1]["mean"], &printed["mean_a"], 0.00005);
    near(&found["methods"][1]["sd"], &printed["sd_a"], 0.00005);
    let pair = &found["differences"][0];
    // "new" comes before "old", so the difference is the other way round.
    assert_eq!((&pair["first"], &pair["second"]), (&Value::from("new"), &Value::from("old")));
    assert!((pair["welch"]["t"].as_f64().unwrap() + printed["t"].as_float().unwrap()).abs() < 0.00005);
    near(&pair["welch"]["df"], &printed["df"], 0.05);
    near(&pair["welch"]["p"], &table["computed"]["p_two_sided"], 1e-9);
    assert!(pair["paired"].is_null());
    assert_eq!(pair["no_paired"], "not every unit has both methods");
}

/// Source: Student (1908), Biometrika 6:1-25; printed results of R's help page of t.test.
#[test]
fn units_that_all_have_both_methods_are_paired() {
    let table = published("stats_paired_sleep.toml");
    let csv = format!("method,value,unit\n{}{}", turned(&table, "first_h"), turned(&table, "second_h"));
    let pair = compared(&csv)["differences"][0].clone();
    let (welch, paired) = (&table["printed_welch"], &table["printed_paired"]);
    near(&pair["welch"]["df"], &welch["df"], 0.0005);
    near(&pair["welch"]["interval"]["low"], &welch["ci95_low"], 5e-8);
    near(&pair["paired"]["t"], &paired["t"], 0.00005);
    near(&pair["paired"]["p"], &paired["p_two_sided"], 5e-7);
    near(&pair["paired"]["interval"]["high"], &paired["ci95_high"], 5e-8);
    assert_eq!(pair["paired"]["pairs"], 10);
}

/// The same rows with the columns in another order.
fn turned(table: &toml::Table, key: &str) -> String {
    let mut turned = String::new();
    for row in rows(table, key, key).lines() {
        let mut cells = row.split(',');
        let (unit, method, value) = (cells.next().unwrap(), cells.next().unwrap(), cells.next().unwrap());
        writeln!(turned, "{method},{value},{unit}").unwrap();
    }
    turned
}

#[test]
fn one_of_a_method_has_no_interval_and_the_order_of_rows_does_not_matter() {
    let rows = ["KW-2,by hand,9.85", "KW-3,cuts,3.40", "JS-1,by hand,9.10", "JS-2,pole,2.2"];
    let straight = compared(&format!("unit,method,value\n{}\n", rows.join("\n")));
    let mut back = rows;
    back.reverse();
    assert_eq!(straight, compared(&format!("unit,method,value\n{}\n", back.join("\n"))));
    let cuts = &straight["methods"][1];
    assert_eq!((&cuts["method"], &cuts["n"]), (&Value::from("cuts"), &Value::from(1)));
    assert!(cuts["interval"].is_null() && cuts["sd"].is_null());
    assert!(cuts["remark"].as_str().unwrap().contains("no interval"));
    assert!(straight["methods"][0]["interval"]["low"].as_f64().is_some(), "two have one, wide as it is");
    assert_eq!(straight["differences"].as_array().unwrap().len(), 3);
}

#[test]
fn problems_are_said_by_line_and_column() {
    let error = refused("unit,method,value\nKW-2,by hand,9.85\nKW-2,by hand,nine\nKW-3,,3.4\nKW-2,by hand,9.9\n");
    for part in ["3 to mend", "line 3, column value", "\"nine\"", "line 4, column method", "line 5, column unit"] {
        assert!(error.contains(part), "{part}: {error}");
    }
    assert!(refused("block,method,value\nKW-2,by hand,9.85\n").contains("column unit"));
    let folder = tempfile::tempdir().unwrap();
    let out = run(folder.path(), &["compare", "gone.csv"]);
    assert_eq!(out.status.code(), Some(1));
    assert!(String::from_utf8(out.stderr).unwrap().contains("gone.csv"));
}
