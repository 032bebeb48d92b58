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

/// Standard error of a run on a table that must be refused with code 1.
fn refused(table: &str) -> String {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("table.csv"), table).unwrap();
    let out = run(folder.path(), &["compare", "table.csv"]);
    let error = String::from_utf8(out.stderr).unwrap();
    assert_eq!(out.status.code(), Some(1), "{error}");
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

/// Source: Pearce (1953), Field Experiments with Fruit Trees, appendix IV, as kept in the agridat package;
/// paired and unpaired results computed by an independent program. Plots bear their own names here, and
/// the column `block` says where they stand.
#[test]
fn plots_in_named_blocks_are_paired_by_block() {
    let raw = fs::read_to_string(top().join("fixtures/published/thinning/apple_ground_cover_blocks.csv")).unwrap();
    let mut rows = raw.lines();
    let head: Vec<&str> = rows.next().unwrap().split(',').collect();
    let at = |name: &str| head.iter().position(|column| *column == name).unwrap();
    let (block, cover, pounds) = (at("block"), at("treatment"), at("yield_lb_per_plot"));
    let mut csv = "\u{feff}block;unit;method;value\r\n".to_owned();
    for (n, row) in rows.enumerate() {
        let cells: Vec<&str> = row.split(',').collect();
        write!(csv, "{};plot {n};{};{}\r\n", cells[block], cells[cover], cells[pounds].replace('.', ",")).unwrap();
    }
    let found = compared(&csv);
    let table = published("stats_blocks_pearce.toml");
    for cover in ["A", "B", "C", "D", "E"] {
        let pair = found["differences"].as_array().unwrap().iter();
        let pair = pair.into_iter().find(|pair| pair["first"] == cover && pair["second"] == "S").unwrap();
        let expected = &table[&format!("{cover}_minus_S")];
        assert_eq!(pair["paired"]["pairs"], 4);
        near(&pair["paired"]["t"], &expected["paired"]["t"], 1e-8);
        near(&pair["paired"]["interval"]["low"], &expected["paired"]["ci95_low"], 1e-6);
        near(&pair["welch"]["df"], &expected["welch"]["df"], 1e-8);
    }
    assert_eq!(found["blocks"]["units"], 4);
}

#[test]
fn what_is_no_plain_number_is_refused_in_a_clear_sentence() {
    for odd in ["NaN", "inf", "-inf", "1e308", "12 lb", "1,234"] {
        let error = refused(&format!("unit;method;value\nKW-2;by hand;{odd}\nKW-3;cuts;2\n"));
        assert!(error.contains("line 2, column value: read ") && error.contains("expected a number"), "{odd}: {error}");
    }
    for (table, said) in [
        ("", "expected"),
        ("unit,method,value\n", "at least one row"),
        ("unit,value\nKW-2,3\n", "column method"),
        ("unit,method,value,block\nKW-2,cuts,3,\n", "line 2, column block"),
    ] {
        assert!(refused(table).contains(said), "{table:?}: {}", refused(table));
    }
    let one = compared("unit,method,value\nKW-2,cuts,3.4\nKW-3,cuts,3.6\n");
    assert_eq!((one["methods"].as_array().unwrap().len(), one["differences"].as_array().unwrap().len()), (1, 0));
    let big = "999999999999999";
    let wide = compared(&format!("unit,method,value\nA,x,{big}\nB,x,-{big}\nC,y,{big}\nD,y,1\n"));
    assert!(wide["differences"][0]["welch"]["interval"]["low"].as_f64().unwrap().is_finite());
}

/// Long enough for any trial; the limit of a file's rows is for records.
#[test]
fn more_than_a_hundred_thousand_rows_are_compared() {
    let mut csv = "unit,method,value\n".to_owned();
    for n in 0..60_000_u32 {
        writeln!(csv, "tree {n},by hand,{}.{}\ntree {n},cuts,{}.{}", 9 + n % 3, n % 10, 3 + n % 2, n % 7).unwrap();
    }
    let found = compared(&csv);
    assert_eq!(
        (&found["methods"][0]["n"], &found["differences"][0]["paired"]["pairs"]),
        (&60_000.into(), &60_000.into())
    );
    assert!(found["differences"][0]["paired"]["p"].as_f64().unwrap() < 1e-12);
}
