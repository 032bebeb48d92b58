//! Sums of what the studies print, against the totals they print, and the errors of the prints by name.
//!
//! Sources as in `studies.rs`; the list of sums is `fixtures/published/economics/study_tieouts.csv`.

use crate::fixture::{self, Row};

type Rows = Vec<Row>;

fn of(file: &str, study: &str) -> Rows {
    fixture::table(&format!("economics/{file}.csv")).into_iter().filter(|row| row.text("study") == study).collect()
}

fn sum(rows: &[Row], column: &str) -> f64 {
    rows.iter().filter_map(|row| row.maybe(column)).sum()
}

fn total(study: &str, what: &str) -> f64 {
    let rows = of("study_totals", study);
    rows.iter().find(|row| row.text("what") == what).map_or(0.0, |row| row.number("printed_usd_per_acre"))
}

/// A line of the establishment table.
fn built(study: &str, line: &str, year: u32) -> f64 {
    let rows = of("study_establishment", study);
    let found = rows.iter().find(|row| row.text("line") == line && row.text("year") == year.to_string());
    found.map_or(0.0, |row| row.number("value"))
}

fn harvest_lines(study: &str, year: u32) -> f64 {
    let rows = of("study_establishment", study);
    let parts =
        rows.iter().filter(|row| row.text("line").starts_with("harvest_") && row.text("line") != "harvest_total");
    parts.filter(|row| row.text("year") == year.to_string()).map(|row| row.number("value")).sum()
}

/// A check of one year of establishment, by the words after its colon.
fn establishment(study: &str, year: u32, check: &str) -> f64 {
    let at = |line: &str| built(study, line, year);
    match check {
        "parts of operating total" => {
            let parts = ["preplant", "planting", "cultural", "harvest", "assessment"];
            parts.iter().map(|part| at(&format!("{part}_total"))).sum::<f64>() + at("interest_operating")
        }
        "harvest lines" => harvest_lines(study, year),
        "operating + cash overhead" => at("operating_total") + at("cash_overhead_total"),
        "cash + non-cash" => at("cash_cost_total") + at("noncash_total"),
        "running sum of cash cost - income" => {
            (1..=year).map(|year| built(study, "cash_cost_total", year) - built(study, "income", year)).sum()
        }
        other => panic!("no check {other}"),
    }
}

fn computed(study: &str, check: &str) -> f64 {
    let operations = || of("study_operations", study);
    let column = |name: &str| match name {
        "lube" => "lube_repairs_usd_per_acre".to_owned(),
        "mat" => "materials_usd_per_acre".to_owned(),
        "custom" => "custom_rent_usd_per_acre".to_owned(),
        name => format!("{name}_usd_per_acre"),
    };
    if let Some(name) = check.strip_prefix("sum of operation rows, column ") {
        return sum(&operations(), &column(name));
    }
    if let Some(name) = check.strip_prefix("row parts vs row total: ") {
        let rows = operations();
        let row = rows.iter().find(|row| row.text("operation") == name).unwrap();
        let parts = ["labor", "fuel", "lube", "mat", "custom"];
        return parts.iter().filter_map(|part| row.maybe(&column(part))).sum();
    }
    if let Some((year, check)) = check.strip_prefix("establishment year ").and_then(|rest| rest.split_once(": ")) {
        return establishment(study, year.parse().unwrap(), check);
    }
    let gross = || total(study, "gross_return");
    match check {
        "sum of operation rows, hours" => sum(&operations(), "hours_per_acre"),
        "sum of cash overhead items" => sum(&of("study_cash_overhead", study), "usd_per_acre"),
        "operating + cash overhead + non-cash overhead" => {
            ["operating_total", "cash_overhead_total", "noncash_overhead_total"]
                .map(|what| total(study, what))
                .iter()
                .sum()
        }
        "sum of printed returns" => sum(&of("study_returns", study), "printed_value_usd_per_acre"),
        "gross - operating (printed integers)" => gross() - total(study, "operating_total"),
        "gross - total cost (printed integers)" => gross() - total(study, "total_cost"),
        "sum of 12 monthly operating columns" => sum(&of("study_monthly", study), "printed_operating_usd_per_acre"),
        "sum of 12 monthly cash columns" => sum(&of("study_monthly", study), "printed_total_cash_usd_per_acre"),
        other => panic!("no check {other}"),
    }
}

/// What in the prints is more than rounding, and stays as it is printed.
const NAMED: [(&str, &str, f64); 4] = [
    // Haul prints 244 where the production table and the total have 224.
    ("plum_2016", "establishment year 5: harvest lines", -20.0),
    // Operating prints 1,170; the next line, 1,521, has 1,173 in it.
    ("apricot_dried_2003", "establishment year 1: parts of operating total", -3.0),
    ("apricot_dried_2003", "establishment year 1: operating + cash overhead", 3.0),
    // One overhead column seems to be missing in what was read.
    ("cling_peach_late_2017", "sum of 12 monthly cash columns", 63.0),
];

/// The operating total holds interest on operating capital, whose line was not read.
fn holds_interest(check: &str) -> bool {
    check == "sum of operation rows, column total"
}

#[test]
fn sums_of_the_print_miss_its_totals_by_rounding_or_by_name() {
    let rows = fixture::table("economics/study_tieouts.csv");
    assert_eq!(rows.len(), 126);
    let mut named = Vec::new();
    for row in &rows {
        let (study, check) = (row.text("study"), row.text("check"));
        let ours = computed(study, check);
        fixture::close(&format!("{study}: {check}"), ours, row.number("computed"), 0.001);
        let missed = row.number("printed") - ours;
        if missed.abs() > 3.0 && !holds_interest(check) || NAMED.iter().any(|(s, c, _)| (*s, *c) == (study, check)) {
            named.push((study, check, missed));
        }
    }
    assert_eq!(named.len(), NAMED.len(), "{named:?}");
    for (found, (study, check, missed)) in named.iter().zip(NAMED) {
        assert_eq!((found.0, found.1), (study, check));
        fixture::close(check, found.2, missed, 0.001);
    }
}
