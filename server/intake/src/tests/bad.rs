//! `fixtures/bad`: one file an error, and what is said about each. The same files make the help page.
//!
//! A file is named `<kind>--<what is wrong>.<csv|toml>`. To renew `expected.txt` after a sentence
//! was changed on purpose: `RENEW_EXPECTED=1 cargo test -p intake bad_files`, then read the difference.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use reckon::block::Season;

use super::kind;
use crate::{Context, FileRead, print, read_file, read_folder};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/bad")
}

#[test]
fn bad_files() {
    let names = std::fs::read_dir(folder()).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let mut names: Vec<String> = names.filter(|name| name.contains("--")).collect();
    names.sort_unstable();
    assert!(names.len() >= 30, "fixtures/bad has only {} files", names.len());
    let mut said = String::new();
    for name in names {
        let bytes = std::fs::read(folder().join(&name)).unwrap();
        writeln!(said, "# {name}").unwrap();
        for line in sentences(&name, bytes) {
            writeln!(said, "{line}").unwrap();
        }
        said.push('\n');
    }
    let path = folder().join("expected.txt");
    if std::env::var_os("RENEW_EXPECTED").is_some() {
        std::fs::write(&path, &said).unwrap();
    }
    let expected = std::fs::read_to_string(&path).unwrap();
    for (said, expected) in said.split("\n\n").zip(expected.split("\n\n")) {
        assert_eq!(said, expected);
    }
    assert_eq!(said.len(), expected.len(), "expected.txt has a file more or less than fixtures/bad");
}

fn sentences(name: &str, bytes: Vec<u8>) -> Vec<String> {
    let (word, _) = name.split_once("--").unwrap();
    if word == "block" {
        let files = BTreeMap::from([("block.toml".to_owned(), bytes)]);
        let read = read_folder(&files).map(|records| vec![format!("good: block {}", records.block.code)]);
        return read.unwrap_or_else(|problems| problems.iter().map(ToString::to_string).collect());
    }
    let season = Season::calendar_year(2026).unwrap();
    let context = Context { season: Some(&season), block: None };
    match read_file(kind(word), &bytes, &context) {
        Ok(read) => good(&read),
        Err(problems) => problems.iter().map(ToString::to_string).collect(),
    }
}

/// A file that looks odd and is read all the same: what was understood.
fn good(read: &FileRead) -> Vec<String> {
    let remarks = read.remarks.iter().map(|remark| format!("remark: {remark}"));
    let rows = read.rows.iter().map(|row| {
        let fields: Vec<String> =
            print(&row.parsed).into_iter().map(|(name, value)| format!("{name} {value}")).collect();
        format!("good: line {}: {}", row.line, fields.join(" | "))
    });
    remarks.chain(rows).collect()
}
