use std::collections::BTreeMap;

use super::*;
use crate::samples;

/// Every figure of the tree with its path.
fn figures(path: &str, value: &Value, found: &mut BTreeMap<String, Value>) {
    match value {
        Value::Object(map) if map.contains_key("value") => {
            found.insert(path.to_owned(), value.clone());
        }
        Value::Object(map) => map.iter().for_each(|(key, inner)| figures(&format!("{path}/{key}"), inner, found)),
        Value::Array(list) => {
            list.iter().enumerate().for_each(|(n, inner)| figures(&format!("{path}/{n}"), inner, found));
        }
        _ => {}
    }
}

#[test]
fn every_figure_has_unit_evidence_and_its_records() {
    for (name, season) in samples::all() {
        let mut found = BTreeMap::new();
        figures("", &block_season(&season), &mut found);
        assert!(found.len() >= if name == "sparse" { 3 } else { 200 }, "{name}: {}", found.len());
        for (path, figure) in found {
            let keys: Vec<&String> = figure.as_object().unwrap().keys().collect();
            assert_eq!(keys, ["evidence", "n", "records", "unit", "value"], "{name} {path}");
            let records = figure["records"].as_array().unwrap();
            assert_eq!(figure["n"].as_u64(), u64::try_from(records.len()).ok(), "{name} {path}");
            let money = figure["unit"].as_str().unwrap().starts_with("USD");
            assert_eq!(figure["value"].is_string(), money, "{name} {path}: {figure}");
            assert!(money || figure["value"].is_number(), "{name} {path}: {figure}");
        }
    }
}

#[test]
fn figures_are_written_exactly() {
    let json = block_season(&samples::full());
    let at = |path: &str| json.pointer(path).unwrap_or_else(|| panic!("{path}")).clone();
    assert_eq!(at("/headline/thinning_labor_per_tree/value"), "8.42");
    assert_eq!(at("/headline/thinning_labor_per_tree/unit"), "USD/tree");
    assert_eq!(at("/headline/thinning_labor_per_tree/n"), 41);
    assert_eq!(at("/headline/thinning_labor_per_tree/records/0"), "labor line 21");
    assert_eq!(at("/labor/tasks/1/name"), "thin");
    assert_eq!(at("/labor/passes/2/name"), "Second look, by hand");
    assert_eq!(at("/labor/passes/2/hours/value"), 125.0);
    assert_eq!(at("/statement/lines/thinning_labor/amount/value"), "-20098.54");
    assert_eq!(at("/statement/order/0"), "gross");
    assert_eq!(at("/statement/lines/return_over_all_costs/role"), "total");
    assert_eq!(at("/water/mulch_saving/kept/depth/value"), 2.41);
    assert_eq!(at("/water/weeks/0/starts"), "2026-04-06");
    assert_eq!(at("/packout/cells/0/name"), "D, First");
    assert_eq!(at("/gaps/0/weight"), "missing");
    assert_eq!(at("/block/water_settings/application_efficiency_pct"), 90.0);
}

#[test]
fn what_could_not_be_made_is_null() {
    let json = block_season(&samples::sparse());
    assert_eq!(json["water"]["need"], Value::Null);
    assert_eq!(json["labor"]["thinning"], Value::Null);
    assert_eq!(json["headline"]["return_per_acre"], Value::Null);
    assert_eq!(json["statement"]["lines"], json!({}));
}

#[test]
fn the_same_season_gives_the_same_text() {
    for (name, season) in samples::all() {
        assert_eq!(block_season(&season).to_string(), block_season(&season.clone()).to_string(), "{name}");
    }
}
