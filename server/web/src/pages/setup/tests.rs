use std::collections::BTreeSet;

use intake::{FileKind, Parsed, columns, setting_fields};
use reckon::water::setup::{SETTINGS, Setting};
use scraper::Html;
use store::{BlockRow, FarmRow};
use uuid::Uuid;

use super::form::SetupForm;
use super::soil::SoilPage;
use super::subject::Subject;
use crate::pages::html::{all, farms, held, row, shell, text};

fn farm() -> FarmRow {
    farms().remove(1)
}

fn block() -> BlockRow {
    row(1, &farm(), &print::samples::full())
}

fn subjects() -> [Subject; 5] {
    [
        Subject::NewFarm,
        Subject::Farm(farm()),
        Subject::NewBlock(farm()),
        Subject::Block(block()),
        Subject::Soil(block()),
    ]
}

fn page(subject: Subject) -> Html {
    held(&SetupForm::blank(shell("/season/2026/farms/add"), subject, 2026, Uuid::nil()))
}

fn names(html: &Html) -> BTreeSet<String> {
    let fields = all(html, "main form input:not([type=hidden]), main form select, main form textarea");
    fields.iter().map(|field| field.value().attr("name").unwrap().to_owned()).collect()
}

/// Every column of a farm and of a block can be set on a page, each in one place but the soil.
#[test]
fn forms_hold_every_column_there_is() {
    for subject in subjects() {
        let shown: BTreeSet<String> = subject.columns().iter().map(|column| column.name.to_owned()).collect();
        assert_eq!(names(&page(subject)), shown);
    }
    let [_, _, _, block, soil] = subjects().map(page);
    let of_both: BTreeSet<String> = names(&block).union(&names(&soil)).cloned().collect();
    let shown = |name: &str| {
        let field = setting_fields().find(|field| field.info.name == name);
        of_both.contains(field.map_or(name, |field| field.column.name))
    };
    let columns = columns(FileKind::Blocks);
    let missing: Vec<&str> = columns.iter().map(|column| column.name).filter(|name| !shown(name)).collect();
    assert_eq!(missing, ["farm"], "a block stays on its farm");
    let shared: Vec<String> = names(&block).intersection(&names(&soil)).cloned().collect();
    assert_eq!(shared, ["soil"]);
}

/// What is set stands in its field: a form that shows it blank would take it back when it is kept.
#[test]
fn every_value_that_is_set_stands_in_the_form() {
    let mut row = block();
    for info in SETTINGS {
        row.block.water.set(info.setting, Some(info.low));
    }
    let html = page(Subject::Soil(row));
    for field in setting_fields() {
        assert_eq!(value_in(&html, field.column.name), field.shown(field.info.low), "{}", field.info.name);
    }
    assert_eq!(value_in(&html, "killing_frost"), "no");
    assert_eq!(value_in(&html, "curve_first_day"), "day 0");
    assert_eq!(value_in(&html, "run_first_month_day"), "01-01");
    assert_eq!(value_in(&html, "root_depth_ft"), "0.164");
    let pad = |name: &str| all(&html, &format!("input[name={name}]"))[0].value().attr("inputmode").unwrap();
    assert_eq!((pad("root_depth_ft"), pad("run_first_month_day")), ("decimal", "text"), "number pads have no hyphen");
    let mut farm = farms().remove(0);
    farm.farm.elevation_m = Some(304.8);
    let html = page(Subject::Farm(farm));
    assert_eq!(all(&html, "input[name=elevation_ft]")[0].value().attr("value"), Some("1000"));
}

/// What stands in a line or is chosen in a list.
fn value_in(html: &Html, name: &str) -> String {
    let line = all(html, &format!("input[name={name}]"));
    let chosen = all(html, &format!("select[name={name}] option[selected]"));
    line.first().or(chosen.first()).unwrap().value().attr("value").unwrap().to_owned()
}

#[test]
fn beside_each_setting_stands_what_holds_and_how_it_is_known() {
    let html = page(Subject::Soil(block()));
    assert_eq!(all(&html, ".setting").len(), SETTINGS.len() + 1);
    let holds = |name: &str| text(all(&html, &format!("#{name}-holds"))[0]);
    assert_eq!(holds("soil"), "Holds now: sandy loam set");
    assert_eq!(holds("application_efficiency_pct"), "Holds now: 90 set");
    assert_eq!(holds("field_capacity"), "Holds now: 0.23 preset");
    assert_eq!(holds("kcb_mid"), "Holds now: 0.85 preset");
    assert_eq!(holds("wetted_fraction"), "Holds now: 0.4 assumed");
    assert_eq!(holds("rule_net_in"), "Holds now: left out");
    assert_eq!(holds("rain_wets_all_in"), "Holds now: 0.1181 (3 mm) preset");
    assert_eq!(holds("surface_depth_ft"), "Holds now: 0.3281 (0.1 m) preset");
    assert_eq!(holds("dew_below_low_f"), "Holds now: 0 assumed");
    assert_eq!(holds("wetting_first"), "Holds now: no assumed");
    assert_eq!(holds("curve_first_day"), "Holds now: day 0 assumed");
    assert_eq!(value_in(&html, "application_efficiency_pct"), "90");
    assert_eq!(value_in(&html, "kcb_mid"), "");
    for group in ["Soil", "Surface layer", "Roots", "Canopy", "Growth stages", "Irrigation", "Depletion rule", "Mulch"]
    {
        assert!(all(&html, "form h2").iter().any(|heading| text(*heading) == group), "{group}");
    }
}

#[test]
fn whoever_may_not_set_up_reads_the_same_values() {
    let mut reader = shell("/season/2026/block/x/soil");
    reader.role = Some(store::Role::CrewLead);
    let html = held(&SoilPage::of(reader, 2026, block()));
    assert!(all(&html, "main form").is_empty());
    assert_eq!(all(&html, "main tbody tr").len(), SETTINGS.len() + 1);
    let rows: Vec<String> = all(&html, "main tbody tr").into_iter().map(text).collect();
    assert!(rows.iter().any(|row| row.starts_with("Surface layer, ft 0.32810.1 m preset")), "{rows:?}");
    assert!(rows.iter().any(|row| row.starts_with("Field capacity, in/in 0.23 preset")), "{rows:?}");
}

/// A grower types inches, feet, words and days; the book keeps what the published tables have, and a
/// field left as it stood keeps the value of a file to its last decimal.
#[test]
fn soil_and_canopy_are_typed_in_us_measures() {
    let mut row = block();
    row.block.water.set(Setting::HeightM, Some(1.2));
    let read = |fields: &[(&str, &str)]| {
        let fields = fields.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect();
        Subject::Soil(row.clone()).read(&crate::body::Form::of(fields))
    };
    let typed = [
        ("root_depth_ft", "4"),
        ("height_ft", "3.937"),
        ("rew_in", "0.35"),
        ("killing_frost", "yes"),
        ("application_efficiency_pct", ""),
        ("rule_first_month_day", "04-20"),
    ];
    let Ok(Parsed::Block { block, .. }) = read(&typed) else { panic!("a block") };
    let kept: Vec<_> = block.water.values().map(|(info, value)| (info.name, value)).collect();
    let expected = [("root_depth_m", 1.2192), ("rew_mm", 8.89), ("killing_frost", 1.0), ("height_m", 1.2)];
    assert_eq!(kept, [&expected[..], &[("rule_first_month_day", 420.0)]].concat());

    let wrong = read(&[("root_depth_ft", "20"), ("growth_start_month", "x"), ("growth_start_day", "3")]).unwrap_err();
    let said: Vec<_> =
        wrong.iter().map(|problem| (problem.column.as_deref().unwrap(), problem.read.as_str())).collect();
    assert_eq!(said, [("root_depth_ft", "20"), ("growth_start_month", "x")], "each said once");
}

/// What a form does not show is not lost when it is kept.
#[test]
fn a_form_keeps_what_it_does_not_show() {
    let row = block();
    let form = |fields: &[(&str, &str)]| {
        crate::body::Form::of(fields.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect())
    };
    let soil = form(&[("soil", "loam"), ("kcb_mid", "0.9"), ("code", "X"), ("acres", "1")]);
    let Ok(Parsed::Block { block, .. }) = Subject::Soil(row.clone()).read(&soil) else { panic!("a block") };
    assert_eq!((block.code.as_str(), block.acres, block.trees), ("RB-1", row.block.acres, row.block.trees));
    assert_eq!(block.water.values().map(|(info, _)| info.setting).collect::<Vec<_>>(), [Setting::KcbMid]);

    let plain = [("block", "RB-9"), ("crop", "peach"), ("variety", "Ninebark"), ("acres", "15"), ("kcb_mid", "1.4")];
    let Ok(Parsed::Block { block, farm }) = Subject::Block(row.clone()).read(&form(&plain)) else { panic!("a block") };
    assert_eq!((block.code.as_str(), farm.as_str()), ("RB-9", "River Bench"));
    assert_eq!(block.trees, None, "a field emptied is taken away");
    assert_eq!(block.water.values().count(), row.block.water.values().count(), "soil and canopy stay");
}
