//! `fixtures/published/checks.csv`: the page that shows it must never be stale, so every row is recomputed.

use std::collections::BTreeSet;

use reckon::season::StatementKey;
use reckon::units::Measure;
use reckon::{size_classes, thinning as counts};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::fixture::{self, Row};
use crate::{economics, estimate, plum_2016, table_money, table_thinning, table_water, thinning};

fn float(exact: Decimal) -> f64 {
    exact.to_f64().unwrap()
}

/// What the code makes of a row, by its id.
fn ours(id: &str) -> Option<f64> {
    let (kind, rest) = id.split_once('-')?;
    match kind {
        "plum" => plum(rest),
        "loaded" => loaded(rest),
        "tree" => tree(rest),
        "overtime" => Some(float(economics::week(&rest.replace('-', "_")))),
        "seats" => seats(rest),
        "cents" => cents(rest),
        "size" => size_classes::by_code(rest).map(|class| f64::from(class.from_mm)),
        "counts" => counted(rest),
        "fao56" => table_water::example(rest),
        "rain" => table_water::rain(rest),
        "unit" => table_water::unit(rest),
        "season" => table_water::season(rest),
        "study" => table_money::study(rest),
        "recovery" => table_money::recovery(rest),
        "interest" => table_money::interest(rest),
        "breakeven" => table_money::break_even(rest),
        "over" => table_money::over(rest),
        "acre" => table_money::acre_of(rest),
        "all" => table_money::all(rest),
        "practice" => practice(rest),
        "guide" => table_thinning::guide(rest),
        "wage" => table_thinning::wage(rest),
        "method" => table_thinning::method(rest),
        "sample" => table_thinning::sample(rest),
        "trial" => Some(table_thinning::trial(rest)),
        "hectare" => Some(table_thinning::hectare(rest)),
        "look" => table_thinning::look(rest),
        "density" => Some(table_thinning::density(rest)),
        "safety" => table_thinning::safety(rest),
        "next" => estimate::row(rest),
        "fit" => estimate::fitted(rest).map(|fruit| fruit.mean_mm),
        _ => None,
    }
}

fn plum(rest: &str) -> Option<f64> {
    let line = |key| Some(float(plum_2016::line(key)));
    match rest {
        "labor-prune" => Some(float(plum_2016::operation("Prune: dormant, hand crew"))),
        "labor-thin" => Some(float(plum_2016::operation("Thin fruit: hand crew"))),
        "labor-pick" => Some(float(plum_2016::operation("Pick fruit: hand crew"))),
        "labor-irrigate" => Some(float(plum_2016::operation("Irrigation labor"))),
        "labor-mow" => Some(float(plum_2016::operation("Weeds: spray middles 4x"))),
        "labor" => Some(float(plum_2016::labor())),
        "gross" => line(StatementKey::Gross),
        "water" => line(StatementKey::Water).map(f64::abs),
        "operating" => line(StatementKey::OperatingCosts).map(f64::abs),
        "over-operating" => line(StatementKey::OverOperating),
        "cash-overhead" => line(StatementKey::CashOverhead).map(f64::abs),
        "over-cash" => line(StatementKey::OverCash),
        "over-all" => line(StatementKey::OverAll),
        _ => None,
    }
}

const PEACH: &str = "peach_nectarine_2000";
const APRICOT: &str = "apricot_dried_2003";
const CLING: &str = "cling_peach_late_2017";

fn loaded(rest: &str) -> Option<f64> {
    let (study, operation) = match rest {
        "peach-thin" => (PEACH, "Thinning: hand"),
        "peach-prune" => (PEACH, "Prune"),
        "peach-irrigate" => (PEACH, "Irrigate 12x"),
        "apricot-thin" => (APRICOT, "Thin fruit: hand"),
        "apricot-prune" => (APRICOT, "Prune"),
        "apricot-disk" => (APRICOT, "Weeds: disk middles 4x"),
        _ => return None,
    };
    Some(float(economics::loaded_labor(&economics::row("economics/labor_cost_checks.csv", study, operation))))
}

fn tree(rest: &str) -> Option<f64> {
    let (what, operation) = rest.split_once('-')?;
    let (study, operation) = match operation {
        "apricot-thin" => (APRICOT, "Thin fruit: hand"),
        "apricot-prune" => (APRICOT, "Prune"),
        "cling-thin" => (CLING, "Thin fruit"),
        "cling-pick" => (CLING, "Hand pick & field sort fruit"),
        _ => return None,
    };
    let labor = economics::labor_of_a_tree(&economics::row("economics/labor_per_tree.csv", study, operation));
    match what {
        "cost" => labor.cost_per_tree.map(|each| float(each.value.decimal())),
        "hours" => labor.hours_per_tree.map(|each| each.value.get()),
        _ => None,
    }
}

fn seats(party: &str) -> Option<f64> {
    let found = economics::seats().into_iter().find(|(name, _)| name.to_lowercase().replace(' ', "-") == party);
    found.and_then(|(_, seats)| seats.to_f64())
}

fn cents(rest: &str) -> Option<f64> {
    match rest {
        "building-10-of-700" => economics::shared(2_200_700, "10 690").first().and_then(ToPrimitive::to_f64),
        "acres-2.25-of-19.75" => economics::shared(100_000, "1000 750 225").last().and_then(ToPrimitive::to_f64),
        _ => None,
    }
}

fn counted(rest: &str) -> Option<f64> {
    match rest {
        "230-to-100" => thinning::season(230, 100).removed.map(|share| share.value.get()),
        "230-to-120" => thinning::season(230, 120).removed.map(|share| share.value.get()),
        "ratio" => Some(thinning::exercise().ratio),
        "ratio-error" => thinning::exercise().standard_error.map(|error| error * thinning::sample_correction()),
        _ => None,
    }
}

/// Ranges in which the reckoning asks no question.
fn practice(rest: &str) -> Option<f64> {
    match rest {
        "removed" => Some(counts::USUAL_REMOVED_PCT),
        "spacing-low" => Some(counts::USUAL_SPACING_IN.0),
        "spacing-high" => Some(counts::USUAL_SPACING_IN.1),
        "clear-ring" => clear_ring(),
        "saving" => Some(reckon::water::BEYOND_PRACTICE_PCT),
        _ => None,
    }
}

/// The clear ring a mulch record gets when it names none.
fn clear_ring() -> Option<f64> {
    let file = "date,block,material,depth_in,share_pct\n2016-03-01,P-1,wood chips,4,40\n";
    let kind = intake::FileKind::Records(reckon::figure::RecordKind::Mulch);
    let read = intake::read_file(kind, file.as_bytes(), &intake::Context::default()).unwrap();
    read.rows.into_iter().find_map(|row| match row.parsed {
        intake::Parsed::Record(reckon::records::Record::Mulch(mulch)) => Some(mulch.clear_radius.float()),
        _ => None,
    })
}

fn places(text: &str) -> usize {
    text.split_once('.').map_or(0, |(_, decimals)| decimals.len())
}

/// What is wrong with a row: stale, too far from the published value, or without a source.
fn wrong(row: &Row) -> Vec<String> {
    let id = row.text("id");
    let value = ours(id).unwrap_or_else(|| panic!("nothing recomputes {id}"));
    // Ours is written with the decimals of the published value.
    let written = format!("{value:.0$}", places(row.text("published")));
    let mut wrong = Vec::new();
    if row.text("ours") != written {
        wrong.push(format!("{id}: the table is stale, ours is {written}"));
    }
    let apart = (value - row.number("published")).abs();
    // A hair of room: a tolerance of half a dollar takes half a dollar.
    if apart > row.number("tolerance") + 1e-9 {
        wrong.push(format!("{id}: {value} is {apart} from the published value"));
    }
    let blank = ["what", "source", "where", "unit", "mark"].into_iter().filter(|column| row.text(column).is_empty());
    wrong.extend(blank.map(|column| format!("{id}: no {column}")));
    wrong
}

#[test]
fn every_row_of_the_table_is_recomputed() {
    let rows = fixture::table("checks.csv");
    assert!(rows.len() >= 60, "{} rows", rows.len());
    let ids: BTreeSet<&str> = rows.iter().map(|row| row.text("id")).collect();
    assert_eq!(ids.len(), rows.len(), "an id stands twice");
    let wrong: Vec<String> = rows.iter().flat_map(wrong).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
