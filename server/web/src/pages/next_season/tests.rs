use print::samples;
use reckon::season::BlockSeason;

use super::NextSeasonPage;
use super::asked::Fields;
use crate::pages::html::{all, farms, held, row, shell, text};

fn fields(pairs: &[(&str, &str)]) -> Fields {
    let pairs: Vec<(String, String)> =
        pairs.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect();
    Fields::of(&pairs)
}

fn page(season: BlockSeason, pairs: &[(&str, &str)]) -> NextSeasonPage {
    let row = row(1, &farms()[0], &season);
    NextSeasonPage::of(shell("/season/2026"), 2026, &row, &[season], fields(pairs))
}

/// A sample whose fruit was counted, packed by size and sold.
fn full() -> BlockSeason {
    let seasons = samples::all().into_iter().map(|(_, season)| season);
    let whole =
        |season: &BlockSeason| reckon::estimate::next_season(&[season], &reckon::estimate::Asked::default()).is_ok();
    seasons.into_iter().find(whole).expect("a sample that can be planned")
}

#[test]
fn a_plan_stands_with_its_range_and_every_share() {
    let html = held(&page(full(), &[]));
    assert_eq!(all(&html, "dl.figures > div").len(), 4);
    assert!(text(all(&html, "dl.figures .value")[0]).starts_with(['$', '−']));
    assert_eq!(all(&html, "table tbody tr th").iter().filter(|cell| text(**cell).ends_with('%')).count(), 22);
    assert_eq!(all(&html, "#how details").len(), 4);
}

#[test]
fn a_field_that_cannot_be_read_stands_as_typed_and_is_said() {
    let page = page(full(), &[("removed", "most of it"), ("set", "1,200")]);
    assert_eq!(page.status(), 422);
    let html = held(&page);
    assert_eq!(all(&html, "input[name=removed]")[0].attr("value"), Some("most of it"));
    assert_eq!(all(&html, "input[aria-invalid=true]").len(), 1);
    for wrong in ["101", "-1", "NaN", "inf", "1e308"] {
        assert!(fields(&[("removed", wrong)]).wrong(), "{wrong}");
    }
    assert!(!fields(&[("price", "−10"), ("removed", "0")]).wrong());
}

#[test]
fn the_plan_stands_in_a_row_of_its_own() {
    let planned = |removed: &str| -> Vec<String> {
        let html = held(&page(full(), &[("removed", removed)]));
        let rows = all(&html, "tr.sub").into_iter().map(text);
        rows.filter(|row| row.ends_with("the plan")).map(|row| row.split('%').next().unwrap().to_owned()).collect()
    };
    assert_eq!(planned("73"), ["73"]);
    assert_eq!(planned("75"), ["75"]);
    assert_eq!(planned("74.7"), ["75"]);
}

#[test]
fn an_empty_field_is_hinted_by_the_records_and_not_by_what_was_typed() {
    let hint = |pairs: &[(&str, &str)]| text(all(&held(&page(full(), pairs)), "form.filters")[0]);
    let own = hint(&[]);
    assert!(own.contains("left empty: "), "{own}");
    assert_eq!(hint(&[("set", "4321"), ("removed", "12")]), own);
}

#[test]
fn a_set_below_the_last_harvest_is_said() {
    let said = |set: &str| text(all(&held(&page(full(), &[("set", set)])), "main")[0]);
    assert!(said("2").contains("The set you gave, 2 fruit on a tree, is smaller than the "));
    assert!(!said("90000").contains("The set you gave"));
}

#[test]
fn what_is_missing_is_said_and_nothing_is_made_up() {
    let mut season = full();
    season.packout = reckon::season::PackoutSeason::default();
    let html = held(&page(season, &[]));
    assert_eq!(all(&html, "dl.figures").len(), 0);
    assert!(text(all(&html, "main")[0]).contains("has boxes with a weight"));
}

#[test]
fn dearer_fruit_leaves_more() {
    let net = |pairs: &[(&str, &str)]| -> f64 {
        let html = held(&page(full(), pairs));
        let total = text(all(&html, "tr.sum td")[0]);
        total.replace(',', "").replace('−', "-").parse().expect("a number")
    };
    assert!(net(&[("price", "10")]) > net(&[]));
}
