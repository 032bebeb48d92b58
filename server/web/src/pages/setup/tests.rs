use std::collections::BTreeSet;

use intake::{FileKind, Parsed, columns};
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
    let missing: Vec<&str> = columns(FileKind::Blocks).iter().map(|column| column.name).collect();
    let missing: Vec<&str> = missing.into_iter().filter(|name| !of_both.contains(*name)).collect();
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
    for info in SETTINGS {
        let field = all(&html, &format!("input[name={}]", info.name))[0];
        assert_eq!(field.value().attr("value").unwrap().parse(), Ok(info.low), "{}", info.name);
    }
    let mut farm = farms().remove(0);
    farm.farm.elevation_m = Some(304.8);
    let html = page(Subject::Farm(farm));
    assert_eq!(all(&html, "input[name=elevation_ft]")[0].value().attr("value"), Some("1000"));
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
    assert_eq!(holds("rule_net_mm"), "Holds now: left out");
    assert_eq!(holds("rain_wets_all_mm"), "Holds now: 3 (0.12 in) preset");
    assert_eq!(holds("surface_depth_m"), "Holds now: 0.1 (0.33 ft) preset");
    let typed = |name: &str| {
        let field = all(&html, &format!("input[name={name}]"))[0];
        field.value().attr("value").unwrap().to_owned()
    };
    assert_eq!((typed("application_efficiency_pct").as_str(), typed("kcb_mid").as_str()), ("90", ""));
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
    assert!(rows.iter().any(|row| row.starts_with("Field capacity, m³/m³ 0.23 preset")), "{rows:?}");
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
