//! Five ways of thinning in one orchard, entered as records: the ranking as printed, and no interval.

use std::collections::BTreeMap;

use reckon::block::MonthDay;
use reckon::cautions::{self, Caution};
use reckon::compare::{Comparison, Measure, NAMED_BY, Observation, compare};
use reckon::due::{DueBlock, Settings, due};
use reckon::money::Money;
use reckon::pollination::{PollinationBlock, remarks};
use reckon::records::{Charges, LaborEntry, Observation as Seen, Pay, SettlementLine, Sold, Task, ThinningMethod};
use reckon::season::SeasonRecords;
use reckon::stats::NoTest;
use reckon::units::Feet;
use rust_decimal::Decimal;

use crate::fixture::{self, Row};
use crate::records::{block, date, dec, entry, exact, kept, price};

/// Acres of a method's plot, as printed.
const ACRES: &str = "1.5";
/// Trees of 1.5 acres at 16 by 8 ft.
const TREES: u32 = 510;

fn of_acres(per_acre: &str) -> Decimal {
    dec(per_acre) * dec(ACRES)
}

/// A plot: its thinning as a contract sum, its canning tons as a settlement. Juice has no printed price
/// and is left out.
fn plot(row: &Row) -> SeasonRecords {
    let mut records = block(ACRES, Some(TREES));
    records.block.code = row.text("id").to_owned();
    records.block.crop = "cling peach".to_owned();
    records.block.row_spacing = Some(Feet::of(16.0));
    records.block.tree_spacing = Some(Feet::of(8.0));
    let by_machine = row.text("method").starts_with("string thinning");
    records.labor = kept([LaborEntry {
        method: Some(if by_machine { ThinningMethod::Machine } else { ThinningMethod::ByHand }),
        pass: Some(1),
        hours: None,
        pay: Pay::Contract(Money::round(of_acres(row.text("cost_usd_per_acre"))).unwrap()),
        trees_done: Some(TREES),
        ..entry(Task::Thin)
    }]);
    let pounds = of_acres(row.text("canning_tons_per_acre")) * Decimal::from(2_000);
    let per_pound = dec(row.text("canning_price_usd_per_ton")) / Decimal::from(2_000);
    records.settlements = kept([SettlementLine {
        date: date(9, 1),
        buyer: String::new(),
        size_class: None,
        grade: None,
        sold: Sold::Weight { weight: exact(&pounds.to_string()), price: price(&per_pound.to_string()) },
        charges: Charges::default(),
        note: String::new(),
    }]);
    records.observations = kept([Seen {
        date: date(5, 1),
        what: NAMED_BY.to_owned(),
        share_pct: None,
        note: row.text("method").to_owned(),
    }]);
    records
}

/// The five plots compared.
pub(crate) fn compared() -> Comparison {
    let rows = fixture::table("thinning/trial_cling_2015.csv");
    let plots: Vec<Observation> =
        rows.iter().map(plot).flat_map(|records| Observation::of(&reckon::reckon(&records))).collect();
    assert_eq!(plots.len(), 5);
    compare(&plots, &[])
}

/// Mean of a measure of the plot with this id.
pub(crate) fn mean(id: &str, measure: Measure) -> f64 {
    let found = compared();
    let unit = format!("{id}, 2016");
    let table = found.groups[0].table(measure).unwrap();
    table.methods.iter().find(|method| method.units == [unit.clone()]).unwrap().sample.mean
}

/// Methods from the lowest mean to the highest.
fn ranked(found: &Comparison, measure: Measure) -> Vec<String> {
    let mut methods = found.groups[0].table(measure).unwrap().methods.clone();
    methods.sort_by(|a, b| a.sample.mean.total_cmp(&b.sample.mean));
    methods.into_iter().map(|method| method.method).collect()
}

/// Rows from the lowest number in a column to the highest.
fn printed(column: &str) -> Vec<String> {
    let rows = fixture::table("thinning/trial_cling_2015.csv");
    let mut rows: Vec<(f64, String)> =
        rows.iter().map(|row| (row.number(column), row.text("method").to_owned())).collect();
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    rows.into_iter().map(|(_, method)| method).collect()
}

/// Source: Good Fruit Grower, July 2016, page 11, sidebar on a grower's trial of 2015: one plot of 1.5
/// acres for each of five methods.
#[test]
fn the_published_ranking_with_one_plot_each_and_no_interval() {
    let found = compared();
    assert_eq!(found.groups.len(), 1);
    assert_eq!(ranked(&found, Measure::CostPerTree), printed("cost_usd_per_acre"));
    let by_return = ranked(&found, Measure::ReturnPerAcre);
    assert_eq!(by_return, printed("canning_value_less_thinning_usd_per_acre_computed"));
    for (_, table) in &found.groups[0].measures {
        assert_eq!(table.methods.len(), 5);
        assert_eq!(table.differences.len(), 10);
        for method in &table.methods {
            assert_eq!((method.sample.n, method.interval), (1, Err(NoTest::TooFew)));
            assert!(method.remark().unwrap().contains("no interval"));
        }
        assert!(table.differences.iter().all(|pair| pair.welch.is_err() && pair.paired.is_err()));
    }
    let answers = &found.groups[0].answers;
    assert_eq!(answers.same, Some(true));
    assert_eq!(answers.cheapest.as_ref().unwrap().methods, ["string thinning sides and tops, no hand thinning"]);
    assert!(answers.sentences.iter().any(|sentence| sentence.contains("a ranking and no more")), "{answers:?}");
}

/// Source: the same; dollars an acre are the printed cost, tons x price less cost.
#[test]
fn dollars_of_each_plot() {
    for row in fixture::table("thinning/trial_cling_2015.csv") {
        let id = row.text("id");
        let per_tree = row.number("cost_usd_per_acre") * 1.5 / f64::from(TREES);
        fixture::close(id, mean(id, Measure::CostPerTree), per_tree, 1e-6);
        let theirs = row.number("canning_value_less_thinning_usd_per_acre_computed");
        fixture::close(id, mean(id, Measure::ReturnPerAcre), theirs, 0.5);
    }
}

/// Published hours of a hectare as hours of an acre, 1 ha = 2.4710538 acres. Source: Scientia Horticulturae
/// 2012, canning peaches thinned by hand, with a shaker then by hand, and with a shaker only (abstract);
/// hours an acre computed.
pub(crate) fn hours_per_acre(id: &str) -> f64 {
    let rows = fixture::table("thinning/labor_hours_and_cost.csv");
    let row = rows.iter().find(|row| row.text("id") == id).unwrap();
    let mut records = block("2.471054", Some(300));
    records.labor = kept([LaborEntry { hours: Some(exact(row.text("hours_per_ha"))), ..entry(Task::Thin) }]);
    reckon::reckon(&records).labor.thinning.unwrap().hours_per_acre.unwrap().value.get()
}

/// A block of one hectare with the published hours.
#[test]
fn hours_of_a_hectare_are_hours_of_an_acre() {
    let rows = fixture::table("thinning/labor_hours_and_cost.csv");
    let converted: BTreeMap<&str, f64> = rows
        .iter()
        .filter(|row| !row.text("hours_per_ha").is_empty())
        .map(|row| (row.text("id"), row.number("hours_per_acre")))
        .collect();
    assert_eq!(converted.len(), 3);
    for (id, theirs) in converted {
        fixture::close(id, hours_per_acre(id), theirs, 0.005);
    }
}

/// Trees of an acre of a block whose trees nobody counted, by its spacing.
pub(crate) fn trees_of_an_acre(id: &str) -> f64 {
    let row = published("thinning/density.csv", id);
    let mut records = block("1", None);
    records.block.row_spacing = Some(Feet::of(row.number("row_spacing_ft")));
    records.block.tree_spacing = Some(Feet::of(row.number("tree_spacing_ft")));
    records.labor = kept([entry(Task::Thin)]);
    Observation::of(&reckon::reckon(&records))[0].traits.trees_per_acre.unwrap()
}

/// Source: each row of `density.csv` names it; whole trees are printed.
#[test]
fn trees_of_an_acre_by_the_spacing() {
    let rows = fixture::table("thinning/density.csv");
    assert_eq!(rows.len(), 4);
    for row in rows {
        let id = row.text("id");
        fixture::close(id, trees_of_an_acre(id), row.number("trees_per_acre_printed"), 0.5);
    }
}

/// The number of a row of `safety.csv`, if the cautions behind it hold it in both languages.
pub(crate) fn in_cautions(id: &str) -> Option<f64> {
    let rows = fixture::table("thinning/safety.csv");
    let row = rows.iter().find(|row| row.text("id") == id)?;
    let number = row.text("number");
    let own: Vec<&Caution> = cautions::ALL.iter().filter(|caution| caution.rows.contains(&id)).collect();
    let held = own.iter().all(|caution| [caution.english, caution.spanish].iter().all(|text| holds(text, number)));
    (!own.is_empty() && held).then(|| number.parse().ok())?
}

/// The top cap and the step below it are two steps, said in words.
fn holds(text: &str, number: &str) -> bool {
    let said = number == "2" && (text.contains("top cap") || text.contains("tapa"));
    said || text.split(|sign: char| !sign.is_ascii_digit()).any(|found| found == number)
}

/// Source: each row of `safety.csv` names it. What was recalled and not read stands behind no number.
#[test]
fn cautions_carry_the_published_numbers() {
    let rows = fixture::table("thinning/safety.csv");
    let mut numbers = 0;
    for id in cautions::ALL.iter().flat_map(|caution| caution.rows) {
        let row = rows.iter().find(|row| row.text("id") == *id).unwrap_or_else(|| panic!("no row {id}"));
        if let Ok(number) = row.text("number").parse::<f64>() {
            assert_eq!(row.text("mark"), "read", "{id}");
            assert_eq!(in_cautions(id), Some(number), "{id}");
            numbers += 1;
        }
    }
    assert!(numbers >= 8, "{numbers}");
}

/// The row of a table with this id.
fn published(file: &str, id: &str) -> Row {
    let rows = fixture::table(file);
    rows.into_iter().find(|row| row.text("id") == id).unwrap_or_else(|| panic!("{file}: no row {id}"))
}

/// Source: `guidelines.csv`, G50 (common practice, no source) and G23 (University of California ANR, helpline
/// FAQ on thinning fruit: early April to mid May, early ripening first).
#[test]
fn windows_of_work_due_are_those_of_the_guidelines() {
    let second = published("thinning/guidelines.csv", "G50");
    let settings = Settings::default();
    fixture::close("from", f64::from(settings.second_look.0), second.number("low"), 0.0);
    fixture::close("to", f64::from(settings.second_look.1), second.number("high"), 0.0);
    let calendar = published("thinning/guidelines.csv", "G23");
    assert_eq!((calendar.text("low"), calendar.text("high")), ("early April", "mid May"));
    let ripens = |month, day| Some((MonthDay::new(month, day).unwrap(), MonthDay::new(month, 28).unwrap()));
    let block = |code: &str, ripening| DueBlock { code: code.to_owned(), ripening, ..DueBlock::default() };
    let blocks = [block("late", ripens(9, 20)), block("early", ripens(5, 10))];
    let season = reckon::block::Season::calendar_year(2016).unwrap();
    let found = due(&blocks, &season, date(3, 1), settings).due;
    assert_eq!(found.iter().map(|one| one.block.code.as_str()).collect::<Vec<_>>(), ["early", "late"]);
    assert_eq!(found[0].window, (date(4, 1), date(4, 16)));
    assert_eq!(found[1].window, (date(5, 1), date(5, 16)));
}

/// Source: `pollination.csv`, N4 (University of California, plum orchard management): 1 to 3 % set without a
/// pollinizer; N1: commercial peaches and nectarines are self-fruitful, so none is asked for.
#[test]
fn a_plum_without_a_pollinizer_is_told_what_it_sets() {
    let row = published("thinning/pollination.csv", "N4");
    assert_eq!(row.text("mark"), "read");
    let block = |crop: &str| PollinationBlock { code: "P-1".into(), crop: crop.into(), ..PollinationBlock::default() };
    let asked = remarks(&[block("plum")], None);
    let range = format!("{} to {}%", row.text("value_low"), row.text("value_high"));
    assert!(asked[0].sentence.contains(&range), "{asked:?}");
    assert!(remarks(&[block("peach"), PollinationBlock { code: "P-2".into(), ..block("nectarine") }], None).is_empty());
}
