//! `seasonbook reckon` and `seasonbook bring-in`, as an agronomist, an auditor and a bookkeeper use them.

use std::fs;
use std::path::Path;

use tests::program::{run, run_well, top};

fn plum_study() -> String {
    top().join("fixtures/published/plum_2016").display().to_string()
}

/// University of California, Sample Costs … Plums (2016), page 13-14: net above operating costs 3,034 an acre.
#[test]
fn a_published_study_is_reckoned_without_a_database() {
    let folder = tempfile::tempdir().unwrap();
    let out = run_well(folder.path(), &["reckon", &plum_study(), "--pdf", "study.pdf", "--figures", "study.csv"]);
    let season: serde_json::Value = serde_json::from_str(&out).unwrap();
    let over = &season["statement"]["lines"]["return_over_operating_costs"];
    let per_acre: f64 = over["per_acre"]["value"].as_str().unwrap().parse().unwrap();
    assert!((per_acre - 3034.0).abs() < 0.5, "{per_acre}");
    assert!(fs::read(folder.path().join("study.pdf")).unwrap().starts_with(b"%PDF-"));
    assert!(fs::read_to_string(folder.path().join("study.csv")).unwrap().contains("return_over_operating_costs"));
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2, "no database was made");
}

/// 29 CFR 778.110(b): 46 hours at 12.00 and a bonus of 46.00 in one week are 637.00.
#[test]
fn weeks_of_crews_are_printed_instead_of_the_season() {
    let folder = tempfile::tempdir().unwrap();
    let examples = top().join("fixtures/published/economics/crew_weeks").display().to_string();
    let weeks = |more: &[&str]| -> serde_json::Value {
        let line = [&["reckon", &examples, "--weeks"], more].concat();
        serde_json::from_str(&run_well(folder.path(), &line)).unwrap()
    };
    let printed = weeks(&[]);
    let of = |crew: &str| printed["weeks"].as_array().unwrap().iter().find(|week| week["crew"] == crew).unwrap();
    let bonus = of("bonus");
    for (key, expected) in [
        ("first_day", "2026-06-08"),
        ("last_day", "2026-06-14"),
        ("regular_rate_usd_per_hour", "13.00"),
        ("straight_usd", "598.00"),
        ("premium_usd", "39.00"),
        ("total_usd", "637.00"),
    ] {
        assert_eq!(bonus[key], expected, "{key}");
    }
    assert_eq!((bonus["hours_each"].as_f64(), bonus["hours_above"].as_f64()), (Some(46.0), Some(6.0)));
    assert_eq!(of("job")["total_usd"], "550.00");
    assert!(printed["estimate"].as_str().unwrap().contains("not a payroll"));
    assert_eq!(printed["left_out"].as_array().map(Vec::len), Some(0));
    // From Friday on the bonus and a day of six hours are another week, under the limit.
    let friday = weeks(&["--week-begins", "friday"]);
    assert!(friday["weeks"].as_array().unwrap().iter().all(|week| week["total_usd"] != "637.00"));
    let limit = weeks(&["--week-hours", "48"]);
    assert!(limit["weeks"].as_array().unwrap().iter().any(|week| week["total_usd"] == "598.00"));
    assert_eq!(run(folder.path(), &["reckon", &examples, "--week-hours", "48"]).status.code(), Some(2));
}

#[test]
fn the_same_folder_gives_the_same_bytes_in_any_process() {
    let folder = tempfile::tempdir().unwrap();
    let twice = ["one.pdf", "two.pdf"].map(|name| {
        let json = run_well(folder.path(), &["reckon", &plum_study(), "--pdf", name]);
        (json, fs::read(folder.path().join(name)).unwrap())
    });
    assert_eq!(twice[0], twice[1]);
}

#[test]
fn a_folder_with_problems_says_where_and_reckons_nothing() {
    let folder = tempfile::tempdir().unwrap();
    copy(Path::new(&plum_study()), folder.path());
    let labor = folder.path().join("labor.csv");
    let text = fs::read_to_string(&labor).unwrap();
    let (head, rest) = text.split_once('\n').unwrap();
    fs::write(&labor, format!("{head}\n{}\n", rest.lines().next().unwrap().replacen("20", "19", 1))).unwrap();
    let out = run(folder.path(), &["reckon", "."]);
    let error = String::from_utf8(out.stderr).unwrap();
    assert_eq!(out.status.code(), Some(1), "{error}");
    assert!(out.stdout.is_empty());
    assert!(error.contains("labor.csv") && error.contains("line 2") && error.contains("date"), "{error}");
}

#[test]
fn the_same_file_twice_adds_nothing_and_says_so() {
    let folder = tempfile::tempdir().unwrap();
    run_well(folder.path(), &["demo", "--no-serve"]);
    let database = ["--database", "sqlite://seasonbook-data/demo.sqlite?mode=rwc"];
    let file = folder.path().join("labor.csv");
    let blocks = fs::read_to_string(top().join("fixtures/demo/blocks.csv")).unwrap();
    let block = blocks.lines().nth(1).unwrap().split(',').next().unwrap().to_owned();
    let head = "date,block,task,people,hours_each,wage_usd_per_hour,note";
    fs::write(&file, format!("{head}\n2026-03-02,{block},other,2,8,18.00,mended wire\n")).unwrap();
    let name = file.display().to_string();
    let first = run_well(folder.path(), &["bring-in", "labor", &name, database[0], database[1]]);
    assert!(first.contains("Brought in 1 row"), "{first}");
    let second = run_well(folder.path(), &["bring-in", "labor", &name, database[0], database[1]]);
    assert!(second.contains("nothing was added"), "{second}");
    // The same row in another file, with a new one beside it: only the new one is added.
    fs::write(
        &file,
        format!("{head}\n2026-03-02,{block},other,2,8.0,18,mended wire\n2026-03-03,{block},other,1,8,18,\n"),
    )
    .unwrap();
    let third = run_well(folder.path(), &["bring-in", "labor", &name, database[0], database[1]]);
    assert!(third.contains("Brought in 1 row") && third.contains("1 row was already in the book"), "{third}");
}

#[test]
fn nothing_of_a_bad_file_is_kept_and_what_is_odd_is_asked_about() {
    let folder = tempfile::tempdir().unwrap();
    run_well(folder.path(), &["demo", "--no-serve"]);
    let blocks = fs::read_to_string(top().join("fixtures/demo/blocks.csv")).unwrap();
    let block = blocks.lines().nth(1).unwrap().split(',').next().unwrap().to_owned();
    let file = folder.path().join("labor.csv");
    let bring = |rows: &str, more: &[&str]| {
        fs::write(&file, format!("date,block,task,crew,people,hours_each,wage_usd_per_hour\n{rows}")).unwrap();
        let database = "sqlite://seasonbook-data/demo.sqlite?mode=rwc";
        let name = file.display().to_string();
        let all: Vec<&str> = ["bring-in", "labor", &name, "--database", database].iter().chain(more).copied().collect();
        run(folder.path(), &all)
    };
    let told = |out: &std::process::Output| String::from_utf8(out.stderr.clone()).unwrap();
    let bad = bring(&format!("2026-03-02,{block},other,Wire,2,x,18\n1999-03-02,NO-9,other,Wire,2,8,18\n"), &[]);
    assert_eq!(bad.status.code(), Some(1));
    for part in ["Nothing was kept.", "line 2, column hours_each", "line 3, column date", "line 3, column block"] {
        assert!(told(&bad).contains(part), "{part} in {}", told(&bad));
    }
    let dear = format!("2026-03-02,{block},other,Wire,2,8,1800\n");
    let asked = bring(&dear, &[]);
    assert_eq!(asked.status.code(), Some(1));
    assert!(told(&asked).contains("The wage is 1,800 dollars an hour. Is it so much?"), "{}", told(&asked));
    assert!(told(&asked).contains("--sure"), "{}", told(&asked));
    assert!(bring(&dear, &["--sure"]).status.success());
    let again = bring(&format!("2026-03-02,{},other,WIRE,2,8,18\n", block.to_lowercase()), &[]);
    assert_eq!(again.status.code(), Some(1));
    assert!(told(&again).contains("line 2 looks like the labor entry of 2 Mar 2026"), "{}", told(&again));
    let out = bring(&format!("2026-03-02,{block},other,WIRE,2,8,18\n"), &["--doubles", "leave-out"]);
    let said = String::from_utf8(out.stdout).unwrap();
    assert!(said.contains("1 row looks like records of the book or like another row and was left out."), "{said}");
}

/// The README's tables of columns are the program's own. `UPDATE_EXPECTED=1` writes them anew.
#[test]
fn the_readme_carries_the_formats() {
    let path = top().join("README.md");
    let readme = fs::read_to_string(&path).unwrap();
    let printed = run_well(&top(), &["formats"]);
    let mark = "a test compares -->\n";
    let (head, rest) = readme.split_once(mark).unwrap();
    let (text, tail) = rest.split_once("<!-- end -->").unwrap();
    if std::env::var_os("UPDATE_EXPECTED").is_some() {
        fs::write(&path, format!("{head}{mark}{printed}<!-- end -->{tail}")).unwrap();
    } else {
        assert!(text == printed, "run UPDATE_EXPECTED=1 cargo test -p tests --test end_to_end the_readme");
    }
}

#[test]
fn an_unknown_kind_lists_the_known_ones() {
    let folder = tempfile::tempdir().unwrap();
    let out = run(folder.path(), &["bring-in", "labour", "x.csv"]);
    assert_eq!(out.status.code(), Some(2));
    assert!(String::from_utf8(out.stderr).unwrap().contains("labor, "));
}

fn copy(from: &Path, to: &Path) {
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        fs::copy(&path, to.join(path.file_name().unwrap())).unwrap();
    }
}
