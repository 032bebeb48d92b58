//! Published mulch studies: the band in which the modelled saving must lie. Never calibration targets.
//!
//! Source: each row of `fixtures/published/water/mulch_measurements.csv` names its own.

use reckon::records::MulchShape;
use reckon::season::MulchSaving;
use reckon::units::MM_PER_INCH;

use crate::fixture::{Row, table};
use crate::season_run_a;

fn study(source: &str, quantity: &str) -> Row {
    let rows = table("water/mulch_measurements.csv");
    let found =
        rows.into_iter().find(|row| row.text("source_id") == source && row.text("quantity_reduced") == quantity);
    found.unwrap_or_else(|| panic!("no {quantity} of {source}"))
}

/// Percent of soil evaporation avoided and of irrigation not needed, with organic mulch over a share.
fn reductions(share: f64) -> [f64; 2] {
    let mut records = season_run_a::records(season_run_a::block(), Some("daily_bare.csv"));
    for kept in &mut records.mulch {
        kept.record.shape = MulchShape::SharePct(share);
    }
    let (season, runs) = season_run_a::reckoned(&records);
    let MulchSaving { avoided, not_needed, .. } = season.saving.unwrap();
    let evaporation: f64 = runs.as_irrigated_bare.iter().map(|day| day.e_mm).sum();
    let irrigation: f64 = runs.by_rule_bare.iter().map(|day| day.irrigation_gross_mm).sum();
    [
        avoided.depth.value.get() * MM_PER_INCH / evaporation * 100.0,
        not_needed.depth.value.get() * MM_PER_INCH / irrigation * 100.0,
    ]
}

#[test]
fn the_modelled_saving_lies_within_what_was_measured() {
    let rule = study("FAO56 p.197-198", "soil evaporation").number("high_pct");
    let best_day = table("water/mulch_measurements.csv")
        .iter()
        .filter(|row| row.text("source_id") == "ARS-UNGER")
        .map(|row| row.number("high_pct"))
        .fold(0.0, f64::max);
    let guidance = study("BCTF", "irrigation requirement").number("high_pct");
    let mut before = [0.0, 0.0];
    for share in [20.0, 40.0, 60.0, 80.0, 100.0] {
        let now @ [evaporation, irrigation] = reductions(share);
        println!("{share} % covered: {evaporation:.1} % less evaporation, {irrigation:.1} % less irrigation");
        assert!(evaporation > before[0] && evaporation < rule * share / 100.0, "{share}: {evaporation}");
        assert!(evaporation < best_day, "{share}: {evaporation}");
        assert!(irrigation > 0.0 && irrigation <= guidance, "{share}: {irrigation}");
        before = now;
    }
}

/// The best anchor for stone fruit: straw in the rows of a cherry trial, 5 to 16 % less water by season.
/// A full strip of the modelled block stays below its upper end.
#[test]
fn the_cherry_trial_is_not_outdone() {
    let seasons = study("YIN-2009-abstract", "irrigation water applied");
    let [_, irrigation] = reductions(40.0);
    assert!(irrigation <= seasons.number("high_pct"), "{irrigation}");
}
