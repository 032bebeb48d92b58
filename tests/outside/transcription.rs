//! Seasons made up at random, entered as files, against the equations written down a second time.
//!
//! Every convention and parameter that can be declared is declared at random. The files go through the
//! same door as anybody's; every column of every day of the four runs must agree to 1e-9.

mod made_up;
#[expect(clippy::disallowed_methods, reason = "an independent implementation takes the standard library's functions")]
mod paper;

use std::collections::BTreeMap;

use chrono::NaiveDate;
use reckon::season::EtoSource;

use made_up::MadeUp;

const TOLERANCE: f64 = 1e-9;

type Daily = BTreeMap<String, Vec<(NaiveDate, BTreeMap<String, f64>)>>;

/// The daily file of a folder, by run.
fn daily(made_up: &MadeUp) -> Daily {
    let records = intake::read_folder(&made_up.files()).unwrap_or_else(|problems| {
        panic!("{}", problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))
    });
    let season = reckon::reckon(&records);
    let source = if made_up.by_energy { EtoSource::PenmanMonteith } else { EtoSource::Station };
    assert_eq!(season.water.eto_sources, [(source, made_up.days.len())]);
    let text = print::csv::daily(season.water.runs.as_ref().expect("a balance"));
    let mut runs = Daily::new();
    for row in csv::Reader::from_reader(text.as_bytes()).deserialize::<BTreeMap<String, String>>() {
        let mut row = row.unwrap();
        let run = row.remove("run").unwrap();
        let date = row.remove("date").unwrap().parse().unwrap();
        let numbers = row.into_iter().map(|(name, cell)| (name, cell.parse().unwrap())).collect();
        runs.entry(run).or_default().push((date, numbers));
    }
    runs
}

/// The largest difference of any column of any day.
fn compare(made_up: &MadeUp, seed: u64) -> f64 {
    let ours = daily(made_up);
    let mut worst: f64 = 0.0;
    for (run, mulched, by_rule) in [
        ("as_irrigated", true, false),
        ("as_irrigated_bare", false, false),
        ("by_rule", true, true),
        ("by_rule_bare", false, true),
    ] {
        let theirs = paper::run(&made_up.given, &made_up.days, mulched, by_rule);
        let ours = &ours[run];
        assert_eq!(ours.len(), theirs.len(), "seed {seed}, {run}");
        for ((our_date, ours), (date, theirs)) in ours.iter().zip(&theirs) {
            assert_eq!(our_date, date);
            assert_eq!(ours.len(), theirs.len(), "columns");
            for (column, value) in theirs {
                let apart = (ours[*column] - value).abs();
                assert!(
                    apart <= TOLERANCE,
                    "seed {seed}, {run}, {date}, {column}: {} is not {value}\n{:#?}",
                    ours[*column],
                    made_up.given
                );
                worst = worst.max(apart);
            }
        }
    }
    worst
}

/// Evaporation of a made-up season's own irrigation, mulched, by the book.
pub(crate) fn evaporation_of(seed: u64) -> f64 {
    daily(&MadeUp::of(seed))["as_irrigated"].iter().map(|(_, row)| row["e_mm"]).sum()
}

#[test]
fn seasons_of_any_parameters_agree_with_the_equations() {
    let mut worst: f64 = 0.0;
    let mut seen = made_up::Seen::default();
    for seed in 1..=120 {
        let made_up = MadeUp::of(seed);
        worst = worst.max(compare(&made_up, seed));
        seen.add(&made_up);
    }
    let theirs = MadeUp::of(7);
    let sum: f64 = paper::run(&theirs.given, &theirs.days, true, false)
        .iter()
        .map(|(_, row)| row.iter().find(|(name, _)| *name == "e_mm").unwrap().1)
        .sum();
    println!("season 7 evaporates {sum:.2} mm by the equations");
    println!("120 seasons, four runs each: largest difference of any column {worst:.1e}");
    seen.check();
}
