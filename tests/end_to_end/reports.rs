//! The PDF season reports as a reader's tools see them.

use std::fs;
use std::process::Command;

use tests::program::run_well;

fn tool(name: &str, arguments: &[&str]) -> String {
    let out = Command::new(name).args(arguments).output().unwrap_or_else(|error| panic!("{name}: {error}"));
    assert!(out.status.success(), "{name} {arguments:?}: {}", String::from_utf8_lossy(&out.stderr));
    String::from_utf8_lossy(&out.stdout).into_owned()
}

#[test]
fn every_block_has_a_sound_report_of_two_to_three_pages() {
    let folder = tempfile::tempdir().unwrap();
    let table = run_well(folder.path(), &["demo", "--no-serve", "--paper", "a4"]);
    assert!(table.contains("KW-2") && table.contains("All"), "{table}");
    let mut reports: Vec<_> = fs::read_dir(folder.path().join("season-reports"))
        .unwrap()
        .map(|entry| entry.unwrap().path().display().to_string())
        .collect();
    reports.sort();
    assert_eq!(reports.len(), 28);
    for report in &reports {
        tool("qpdf", &["--check", report]);
        let about = tool("pdfinfo", &[report]);
        let pages: u32 = about.lines().find_map(|l| l.strip_prefix("Pages:")).unwrap().trim().parse().unwrap();
        assert!((2..=3).contains(&pages), "{report}: {pages} pages");
        assert!(about.contains("A4"), "{about}");
    }
    let text = tool("pdftotext", &["-layout", &reports[0], "-"]);
    for word in ["Season 2025", "Return over all costs", "How it was reckoned", "page 1 of", "Fingerprint"] {
        assert!(text.contains(word), "{word} is not in\n{text}");
    }
    let fonts = tool("pdffonts", &[&reports[0]]);
    for line in fonts.lines().skip(2) {
        let yes = line.split_whitespace().filter(|word| *word == "yes").count();
        assert!(yes >= 3, "not embedded, subset and readable: {line}");
    }
}

#[test]
fn the_demo_made_twice_prints_the_same_bytes() {
    let folders = [tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap()];
    for folder in &folders {
        run_well(folder.path(), &["demo", "--no-serve"]);
    }
    for entry in fs::read_dir(folders[0].path().join("season-reports")).unwrap() {
        let name = entry.unwrap().file_name();
        let [one, two] = [0, 1].map(|n| fs::read(folders[n].path().join("season-reports").join(&name)).unwrap());
        assert!(one == two, "{}", name.display());
    }
}
