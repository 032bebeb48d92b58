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
    // Nine names stand under both. They are paired, and it is said that these are not all.
    assert_eq!((&pair["paired"]["pairs"], &pair["paired"]["units_left_out"]), (&9.into(), &2.into()));
    assert!(pair["paired"]["remark"].as_str().unwrap().starts_with("2 units stand in no pair"));
    assert_eq!(pair["difference"], pair["welch"]["difference"]);
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
    let blocks = &found["blocks"];
    assert_eq!((&blocks["blocks"], blocks["differences_by_pooled_error"].as_array().unwrap().len()), (&4.into(), 15));
    assert!(blocks["remark"].as_str().unwrap().starts_with("15 pairs of methods"));
    let squares = ["methods_sum_of_squares", "blocks_sum_of_squares", "error_sum_of_squares"];
    assert!(squares.iter().all(|part| blocks[part].as_f64().unwrap() > 0.0), "{blocks}");
    assert!(found["no_blocks"].is_null());
}

/// Means, differences and intervals are of one value for each block, however many units it has.
#[test]
fn a_block_counts_once_with_all_its_units() {
    let mut csv = "block,unit,method,value\n".to_owned();
    for unit in 0..8 {
        writeln!(csv, "A,{unit},cuts,2").unwrap();
    }
    csv += "B,1,Cuts,10.2\nC,1,by hand,4.9\nD,1,BY HAND,5.1\n c,2,by  hand,5.0\n";
    let found = compared(&csv);
    let (hand, cuts) = (&found["methods"][0], &found["methods"][1]);
    assert_eq!((&hand["method"], &cuts["method"]), (&"by hand".into(), &"cuts".into()));
    assert_eq!((&cuts["n"], &cuts["units"], &hand["n"], &hand["units"]), (&2.into(), &9.into(), &2.into(), &3.into()));
    assert!((cuts["mean"].as_f64().unwrap() - 6.1).abs() < 1e-12, "{cuts}");
    for method in [hand, cuts] {
        let [low, mean, high] =
            [&method["interval"]["low"], &method["mean"], &method["interval"]["high"]].map(|end| end.as_f64().unwrap());
        assert!(low <= mean && mean <= high, "{method}");
        let remark = method["remark"].as_str().unwrap();
        assert!(remark.contains("several units") && !remark.contains("season"), "{remark}");
    }
    let pair = &found["differences"][0];
    assert_eq!(pair["difference"], pair["welch"]["difference"]);
    assert_eq!(pair["no_paired"], "fewer than two values or pairs to judge the spread by");
    assert!(found["no_blocks"].as_str().unwrap().starts_with("fewer than three methods"));
    assert_eq!(cuts["needed"][0]["within_pct"].as_f64(), Some(10.0));
    assert!(cuts["needed"][0]["by_t"].as_u64().unwrap() > cuts["needed"][1]["by_t"].as_u64().unwrap());
}

#[test]
fn differences_far_from_zero_are_those_that_were_typed() {
    let far = "1000000000000";
    let csv = format!("unit,method,value\nA,x,{far}.1\nA,y,{far}.4\nB,x,{far}.3\nB,y,{far}.7\n");
    let found = compared(&csv);
    let pair = &found["differences"][0];
    assert!((pair["difference"].as_f64().unwrap() + 0.35).abs() < 1e-15, "{pair}");
    assert!((found["methods"][0]["sd"].as_f64().unwrap() - 0.02_f64.sqrt()).abs() < 1e-15, "{found}");
    assert!((found["methods"][0]["mean"].as_f64().unwrap() - 1_000_000_000_000.2).abs() < 1e-3);
    let alike = csv.replace(".7", ".6");
    assert_eq!(
        compared(&alike)["differences"][0]["no_paired"],
        "the differences are all alike, as far as their digits can be told apart, so there is no spread to judge by"
    );
}

#[test]
fn why_there_is_no_analysis_in_blocks_is_said() {
    let found = compared("unit,method,value\nA,x,1\nA,y,2\nA,z,4\nB,x,1\nB,y,3\n");
    assert!(found["blocks"].is_null());
    assert!(found["no_blocks"].as_str().unwrap().ends_with("B lacks z"), "{}", found["no_blocks"]);
}

/// What the README prints is what the program prints. `UPDATE_EXPECTED=1` writes it anew.
#[test]
fn readme_shows_a_comparison() {
    let path = top().join("README.md");
    let readme = fs::read_to_string(&path).unwrap();
    let after = |mark: &str, fence: &str| {
        let (head, rest) = readme.split_once(&format!("{mark} -->\n```{fence}\n")).unwrap();
        let (own, _) = rest.split_once("```\n").unwrap();
        (head.len() + mark.len() + fence.len() + " -->\n```\n".len(), own.to_owned())
    };
    let (_, table) = after("<!-- a table for `seasonbook compare`", "csv");
    let (at, shown) = after("<!-- printed by `seasonbook compare`, which a test holds", "json");
    let found = compared(&table);
    assert_eq!(found["differences"].as_array().unwrap().len(), 1);
    let printed = serde_json::to_string_pretty(&found["differences"][0]).unwrap() + "\n";
    if shown != printed && std::env::var_os("UPDATE_EXPECTED").is_some() {
        let (head, rest) = readme.split_at(at);
        fs::write(&path, format!("{head}{printed}{}", rest.strip_prefix(&shown).unwrap())).unwrap();
        return;
    }
    assert!(shown == printed, "run UPDATE_EXPECTED=1 cargo test -p tests --test end_to_end readme_shows");
    // Every key that the table of keys names is one that is printed.
    let (_, keys) = readme.split_once("| key | what it is |").unwrap();
    let (keys, _) = keys.split_once("\n\n").unwrap();
    let names =
        keys.lines().filter_map(|row| row.split('|').nth(1)).flat_map(|cell| cell.split('`').skip(1).step_by(2));
    let text = found.to_string();
    for name in names.map(|name| name.rsplit('.').next().unwrap()) {
        assert!(text.contains(&format!("\"{name}\":")), "{name}: {text}");
    }
}

#[test]
fn what_is_no_plain_number_is_refused_in_a_clear_sentence() {
    for odd in ["NaN", "inf", "-inf", "NA", "1e308", "12 lb", "1,234"] {
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

/// What R's `write.csv` makes of a data frame: numbers of rows before the columns, names in quotes, exponents.
#[test]
fn a_table_that_a_statistician_exported_is_compared() {
    let csv = "\"\",\"unit\",\"method\",\"value\"\n\"1\",\"A\",\"by hand\",1e+05\n\"2\",\"B\",\"by hand\",120000\n\
               \"3\",\"A\",\"cuts\",33333.3333333333\n\"4\",\"B\",\"cuts\",5e-05\n";
    let found = compared(csv);
    assert_eq!(found["methods"][0]["mean"].as_f64(), Some(110_000.0));
    assert!((found["methods"][1]["mean"].as_f64().unwrap() - 16_666.666_691_666_65).abs() < 1e-9, "{found}");
    let more = refused("unit,method,value,note\nA,cuts,3,wet\n");
    assert!(more.contains("take the column \"note\" out"), "{more}");
}

/// By hand: mean 10, standard deviation 2, so (1.95996 × 0.2 ÷ 0.1)² of them, 15.37 as printed.
#[test]
fn how_many_a_mean_needs_is_reckoned_with_z_unrounded() {
    let found = compared("unit,method,value\nA,by hand,8\nB,by hand,10\nC,by hand,12\n");
    let by_normal = found["methods"][0]["needed"][0]["by_normal"].as_f64().unwrap();
    assert!((by_normal - 15.36584).abs() < 1e-5, "{by_normal}");
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
