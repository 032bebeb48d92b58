//! The house's rules, held by reading the house: which room may use which, and what must not be in it.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

pub(crate) fn top() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().to_path_buf()
}

fn manifest(folder: &str) -> toml::Table {
    fs::read_to_string(top().join(folder).join("Cargo.toml")).unwrap().parse().unwrap()
}

fn dependencies(folder: &str) -> BTreeSet<String> {
    manifest(folder).get("dependencies").and_then(toml::Value::as_table).unwrap().keys().cloned().collect()
}

pub(crate) fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if path.is_dir() && name != "target" && !name.starts_with('.') {
            found.extend(files(&path, ending));
        } else if name.ends_with(ending) {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// `web -> print, store, intake, reckon`; `print -> reckon`; `store -> reckon`; `intake -> reckon`.
#[test]
fn rooms_use_only_the_rooms_they_may() {
    let rooms = BTreeSet::from(["reckon", "intake", "store", "print", "web", "migrations", "seasonbook", "tests"]);
    let arrows: BTreeMap<&str, &[&str]> = BTreeMap::from([
        ("server/reckon", &[][..]),
        ("server/intake", &["reckon"][..]),
        ("server/store", &["migrations", "reckon"][..]),
        ("server/print", &["reckon"][..]),
        ("server/web", &["intake", "print", "reckon", "store"][..]),
        ("server", &["intake", "print", "reckon", "store", "web"][..]),
        ("migrations", &[][..]),
    ]);
    for (folder, allowed) in arrows {
        let used: Vec<String> = dependencies(folder).into_iter().filter(|name| rooms.contains(name.as_str())).collect();
        for name in &used {
            assert!(allowed.contains(&name.as_str()), "{folder} may not use {name}; it may use {allowed:?}");
        }
    }
}

/// The reckoning stands on the standard library and very little else.
#[test]
fn reckon_needs_nothing_but_numbers_and_dates() {
    let allowed = BTreeSet::from(["chrono", "libm", "rust_decimal"]);
    for name in dependencies("server/reckon") {
        assert!(allowed.contains(name.as_str()), "reckon may not use {name}");
    }
}

/// No waiting, no clock, no chance, no environment, no unordered maps where figures are made or printed.
#[test]
fn pure_rooms_stay_pure() {
    let banned =
        ["async fn", ".await", "::now()", "std::env", "std::fs", "std::net", "HashMap", "HashSet", "SystemTime"];
    for room in ["server/reckon/src", "server/intake/src", "server/print/src"] {
        let is_test =
            |path: &PathBuf| path.components().any(|part| part.as_os_str() == "tests") || path.ends_with("tests.rs");
        for path in files(&top().join(room), ".rs").into_iter().filter(|path| !is_test(path)) {
            let text = fs::read_to_string(&path).unwrap();
            for word in banned {
                let found = text.lines().any(|line| !line.trim_start().starts_with("//") && line.contains(word));
                assert!(!found, "{}: `{word}` has no place in a pure room", path.display());
            }
        }
    }
}

/// A file that no longer fits a screenful of screens wants to be a folder.
#[test]
fn files_stay_short() {
    let mut long = Vec::new();
    for room in ["server", "migrations", "tests"] {
        for path in files(&top().join(room), ".rs") {
            let lines = fs::read_to_string(&path).unwrap().lines().count();
            // The record kinds and the block season are one list each; splitting a list helps nobody.
            let is_list = ["records.rs", "season.rs"].iter().any(|name| path.ends_with(format!("reckon/src/{name}")));
            if lines > 420 && !is_list {
                long.push(format!("{}: {lines} lines", path.display()));
            }
        }
    }
    assert!(long.is_empty(), "{long:#?}");
}

/// The top level holds what the customer fixed, and nothing else.
#[test]
fn the_top_level_is_as_agreed() {
    let allowed = BTreeSet::from([
        "Cargo.toml",
        "Cargo.lock",
        "LICENSE",
        "README.md",
        "DEVELOPERS.md",
        "server",
        "templates",
        "migrations",
        "tests",
        "fixtures",
        "static",
        // Made by running the program, not tracked.
        "target",
        "season-reports",
        "seasonbook-data",
    ]);
    for entry in fs::read_dir(top()).unwrap() {
        let name = entry.unwrap().file_name().to_string_lossy().into_owned();
        assert!(name.starts_with('.') || allowed.contains(name.as_str()), "{name} does not belong at the top level");
    }
}

/// Every crate takes part in the lints.
#[test]
fn every_room_takes_the_house_lints() {
    for folder in [
        "server",
        "server/reckon",
        "server/intake",
        "server/store",
        "server/print",
        "server/web",
        "migrations",
        "tests",
    ] {
        let lints = manifest(folder).get("lints").and_then(|l| l.get("workspace")).and_then(toml::Value::as_bool);
        assert_eq!(lints, Some(true), "{folder}/Cargo.toml must say `[lints] workspace = true`");
    }
}

/// The pages bring nothing from elsewhere and carry no inline style or script (the content security policy forbids it).
#[test]
fn templates_are_self_contained() {
    for path in files(&top().join("templates"), ".html") {
        let text = fs::read_to_string(&path).unwrap();
        for word in ["http://", "https://", "style=\"", "onclick", "onload", "javascript:"] {
            assert!(!text.contains(word), "{}: `{word}`", path.display());
        }
        assert!(!text.contains("<script>"), "{}: inline script", path.display());
    }
}

/// Licences of everything we build on. `cargo deny` says more where it is installed.
#[test]
fn dependencies_are_permissive() {
    let rustc = std::process::Command::new("rustc").arg("-vV").output().unwrap();
    let rustc = String::from_utf8(rustc.stdout).unwrap();
    let host = rustc.lines().find_map(|line| line.strip_prefix("host: ")).unwrap();
    let out = std::process::Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1", "--locked", "--offline", "--filter-platform", host])
        .current_dir(top())
        .output()
        .unwrap();
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    let metadata: serde_json::Value = serde_json::from_slice(&out.stdout).unwrap();
    let permissive = [
        "MIT",
        "MIT-0",
        "Apache-2.0",
        "BSD-2-Clause",
        "BSD-3-Clause",
        "ISC",
        "Zlib",
        "Unicode-3.0",
        "CC0-1.0",
        "0BSD",
        "BSL-1.0",
        "Unlicense",
        "CDLA-Permissive-2.0",
        "MPL-2.0",
    ];
    for package in metadata["packages"].as_array().unwrap() {
        let name = package["name"].as_str().unwrap();
        let licence = package["license"].as_str().unwrap_or("none").replace('/', " OR ");
        let fits = |part: &str| {
            let part = part.trim().trim_matches(['(', ')']).trim_end_matches(" WITH LLVM-exception");
            permissive.contains(&part)
        };
        let fine = licence
            .split(" AND ")
            .all(|all| all.trim_matches(['(', ')']).split(" OR ").any(|one| one.split(" AND ").all(fits)));
        assert!(fine, "{name}: licence {licence}");
    }
}
