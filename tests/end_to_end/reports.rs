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
    let of_operation = |path: &String| path.contains("-operation.");
    let whole: Vec<String> = reports.iter().filter(|path| of_operation(path)).cloned().collect();
    reports.retain(|path| !of_operation(path));
    assert_eq!(whole.len(), 4, "a report and a spreadsheet of each season: {whole:?}");
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
fn the_operation_has_a_report_and_a_spreadsheet_that_tie_out() {
    let folder = tempfile::tempdir().unwrap();
    run_well(folder.path(), &["demo", "--no-serve"]);
    let of = |name: &str| folder.path().join("season-reports").join(name).display().to_string();
    let report = of("2026-operation.pdf");
    tool("qpdf", &["--check", &report]);
    let text = tool("pdftotext", &["-layout", &report, "-"]);
    for told in [
        "Blocks by return an acre",
        "What has changed since the season of 2025",
        "Statement of the operation",
        "Who bears what of the shared costs",
        "Schedule F (Form 1040), lines as suggested",
        "Packout and price: peach",
        "Thinning methods: nectarine",
        "Water by block",
        "Break-even gross price and yield",
        "How it was reckoned",
    ] {
        assert!(text.contains(told), "{told} is not in\n{text}");
    }
    // The cents of the farms and of the blocks are those of the last line.
    let last = |line: &str| line.split_whitespace().last().map(cents).unwrap_or_default();
    let table: Vec<&str> = text
        .lines()
        .skip_while(|line| !line.contains("Block by block, $"))
        .take_while(|line| !line.contains("Costs on invoices"))
        .collect();
    let row =
        |line: &&&str| line.trim_start().split(' ').next().is_some_and(|word| word.contains('-') && word.len() == 4);
    let blocks: Vec<i64> = table.iter().filter(row).map(|line| last(line)).collect();
    let whole = table.iter().find(|line| line.trim_start().starts_with("Operation")).unwrap();
    assert_eq!((blocks.len(), blocks.iter().sum::<i64>()), (14, last(whole)), "{table:#?}");
    let book = fs::read(of("2026-operation.xlsx")).unwrap();
    assert!(book.starts_with(b"PK"));
}

/// Cents of an amount as it is printed.
fn cents(printed: &str) -> i64 {
    printed.replace('−', "-").replace([',', '.'], "").parse().unwrap_or_else(|_| panic!("{printed}"))
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
