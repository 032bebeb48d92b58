//! Manners of the command line: what it says when something is missing, exit codes, pipes, help.

use std::fs;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Output, Stdio};

use tests::program::{program, run, run_well, top};

const DEMO: [&str; 2] = ["--database", "seasonbook-data/demo.sqlite"];

fn error(out: &Output) -> String {
    String::from_utf8(out.stderr.clone()).unwrap()
}

fn plum_study(into: &Path) {
    for entry in fs::read_dir(top().join("fixtures/published/plum_2016")).unwrap() {
        let path = entry.unwrap().path();
        fs::copy(&path, into.join(path.file_name().unwrap())).unwrap();
    }
}

#[test]
fn a_book_that_is_not_there_says_how_to_begin() {
    let folder = tempfile::tempdir().unwrap();
    for arguments in [&["reports"][..], &["bring-in", "labor", "labor.csv"], &["back-up", "copy.sqlite"]] {
        fs::write(folder.path().join("labor.csv"), "date,block,task\n").unwrap();
        let out = run(folder.path(), arguments);
        assert_eq!(out.status.code(), Some(1), "{arguments:?}");
        let said = error(&out);
        assert!(said.contains("This book is empty") && said.contains("seasonbook bring-in farms"), "{said}");
        assert!(!folder.path().join("seasonbook-data/book.sqlite").exists(), "{arguments:?} made a book");
    }
}

/// The demo's book has another name than everybody's: both sides say so.
#[test]
fn the_demo_prints_the_next_commands_and_they_work() {
    let folder = tempfile::tempdir().unwrap();
    let printed = run_well(folder.path(), &["demo", "--no-serve"]);
    let next: Vec<&str> = printed.lines().filter_map(|line| line.strip_prefix("  seasonbook ")).collect();
    assert_eq!(next.len(), 4, "{printed}");
    for line in next.iter().filter(|line| line.starts_with("reports") || line.starts_with("back-up")) {
        run_well(folder.path(), &line.split_whitespace().collect::<Vec<_>>());
    }
    assert!(folder.path().join("copy.sqlite").exists());
    let said = error(&run(folder.path(), &["reports"]));
    assert!(said.contains("--database seasonbook-data/demo.sqlite"), "{said}");

    let out = run(folder.path(), &["reports", "--year", "1999", DEMO[0], DEMO[1]]);
    assert_eq!(out.status.code(), Some(1));
    assert_eq!(error(&out).trim(), "There is no season 1999 in this book; it has 2025 and 2026.");
    // No year: the newest that holds a record.
    let printed = run_well(folder.path(), &["reports", DEMO[0], DEMO[1]]);
    assert!(printed.contains("reports of 2026 are in season-reports"), "{printed}");
    let out = run(folder.path(), &["bring-in", "labor", "x.csv", "--as", "nobody@farm.example", DEMO[0], DEMO[1]]);
    assert_eq!(out.status.code(), Some(1), "{}", error(&out));
}

#[test]
fn a_file_with_bad_rows_says_that_nothing_was_kept() {
    let folder = tempfile::tempdir().unwrap();
    run_well(folder.path(), &["demo", "--no-serve"]);
    fs::write(folder.path().join("labor.csv"), "date,block,task\n2026-05-14,XX-9,thin\n5/14/2026,KW-2,thin\n").unwrap();
    let out = run(folder.path(), &["bring-in", "labor", "labor.csv", DEMO[0], DEMO[1]]);
    let said = error(&out);
    assert_eq!(out.status.code(), Some(1), "{said}");
    assert!(said.contains("Nothing was kept") && said.contains("line 3"), "{said}");
    assert!(out.stdout.is_empty(), "problems go to standard error");
}

/// A restored copy is the same book: the same reports, byte for byte.
#[test]
fn a_restored_copy_prints_the_same_reports() {
    let folder = tempfile::tempdir().unwrap();
    run_well(folder.path(), &["demo", "--no-serve"]);
    run_well(folder.path(), &["back-up", "copy.sqlite", DEMO[0], DEMO[1]]);
    let elsewhere = tempfile::tempdir().unwrap();
    fs::create_dir(elsewhere.path().join("seasonbook-data")).unwrap();
    // As the README says: in the place of the book, nothing beside it.
    fs::copy(folder.path().join("copy.sqlite"), elsewhere.path().join("seasonbook-data/book.sqlite")).unwrap();
    for year in ["2025", "2026"] {
        run_well(elsewhere.path(), &["reports", "--year", year]);
        run_well(folder.path(), &["reports", "--year", year, DEMO[0], DEMO[1]]);
    }
    let mut compared = 0;
    for entry in fs::read_dir(folder.path().join("season-reports")).unwrap() {
        let name = entry.unwrap().file_name();
        let [here, there] =
            [&folder, &elsewhere].map(|at| fs::read(at.path().join("season-reports").join(&name)).unwrap());
        assert!(here == there, "{}", name.display());
        compared += 1;
    }
    assert!(compared >= 28, "{compared} files of 14 blocks in two seasons");
    let again = run(folder.path(), &["back-up", "copy.sqlite", DEMO[0], DEMO[1]]);
    assert!(error(&again).contains("exists already"));
}

#[test]
fn figures_written_beside_the_records_do_not_disturb_the_next_run() {
    let folder = tempfile::tempdir().unwrap();
    plum_study(folder.path());
    let first = run_well(folder.path(), &["reckon", ".", "--figures", "fig.csv"]);
    let out = run(folder.path(), &["reckon", ".", "--figures", "fig.csv"]);
    assert_eq!(String::from_utf8(out.stdout.clone()).unwrap(), first, "{}", error(&out));
    assert!(error(&out).contains("fig.csv is passed over: this program wrote it."), "{}", error(&out));
    let costs = fs::read(folder.path().join("costs.csv")).unwrap();
    let out = run(folder.path(), &["reckon", ".", "--figures", "./costs.csv"]);
    assert_eq!(out.status.code(), Some(1));
    assert!(error(&out).contains("one of the records"), "{}", error(&out));
    assert_eq!(fs::read(folder.path().join("costs.csv")).unwrap(), costs);
}

#[test]
fn a_daily_balance_without_weather_is_said_and_the_rest_comes() {
    let folder = tempfile::tempdir().unwrap();
    plum_study(folder.path());
    let _ = fs::remove_file(folder.path().join("weather.csv"));
    let out = run(folder.path(), &["reckon", ".", "--daily", "days.csv"]);
    assert!(out.status.success(), "{}", error(&out));
    assert!(error(&out).contains("No daily file was written to days.csv"), "{}", error(&out));
    assert!(!folder.path().join("days.csv").exists());
    let season: serde_json::Value = serde_json::from_slice(&out.stdout).unwrap();
    let gaps = season["gaps"].as_array().unwrap();
    assert!(gaps.iter().any(|gap| gap["about"] == "water" && gap["weight"] == "missing"), "{gaps:?}");
}

#[test]
fn wrong_words_end_with_2_and_help_says_the_codes() {
    let folder = tempfile::tempdir().unwrap();
    for arguments in [&["reprots"][..], &["reports", "--yeer", "2026"], &["bring-in", "labour", "x.csv"], &["reckon"]] {
        assert_eq!(run(folder.path(), arguments).status.code(), Some(2), "{arguments:?}");
    }
    // A PostgreSQL address holds a password.
    let mut serve = Command::new(program());
    serve.args(["serve", "--help"]).env("SEASONBOOK_DATABASE", "postgres://a:secret@b/c");
    let out = String::from_utf8(serve.output().unwrap().stdout).unwrap();
    assert!(out.contains("SEASONBOOK_DATABASE") && !out.contains("secret"), "{out}");
    let help = run_well(folder.path(), &["--help"]);
    assert!(help.contains("Exit codes: 0 done; 1") && help.contains("back-up"), "{help}");
    for command in ["demo", "serve", "bring-in", "reckon", "formats", "compare", "reports", "add-person", "back-up"] {
        let help = run_well(folder.path(), &[command, "--help"]);
        assert!(help.contains("Usage: seasonbook") && help.lines().next().unwrap().len() > 20, "{help}");
        // What an option means stands beside it, or on the line below.
        let lines: Vec<&str> = help.lines().map(str::trim).collect();
        for pair in lines.windows(2).filter(|pair| pair[0].starts_with("--") || pair[0].starts_with('<')) {
            let beside = pair[0].split_whitespace().count() > 2;
            assert!(beside || pair[1].len() > 5, "{command}: nothing is said about {}", pair[0]);
        }
    }
}

#[test]
fn pipes_get_no_colour_and_may_be_closed() {
    let folder = tempfile::tempdir().unwrap();
    for arguments in [&["--help"][..], &["reports"], &["formats"]] {
        let out = run(folder.path(), arguments);
        assert!(![out.stdout, out.stderr].concat().contains(&0x1b), "{arguments:?}");
    }
    let study = top().join("fixtures/published/plum_2016").display().to_string();
    for arguments in [&["formats"][..], &["reckon", &study]] {
        let mut child = Command::new(program())
            .args(arguments)
            .current_dir(folder.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut first = String::new();
        BufReader::with_capacity(16, child.stdout.take().unwrap()).read_line(&mut first).unwrap();
        assert!(!first.is_empty());
        // The reader has gone; there is more to write than a pipe holds.
        let out = child.wait_with_output().unwrap();
        assert!(out.status.success() && out.stderr.is_empty(), "{arguments:?}: {}", error(&out));
    }
}
