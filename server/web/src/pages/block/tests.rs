use print::{headline, samples};
use reckon::figure::{RecordId, RecordKind, RecordRef};
use reckon::season::BlockSeason;
use scraper::Html;

use crate::pages::block::BlockPage;
use crate::pages::html::{all, farms, held, row, shell, text};

fn page(season: &BlockSeason) -> Html {
    let farm = &farms()[1];
    held(&BlockPage::of(shell("/season/2026/block/x"), &row(1, farm, season), season))
}

#[test]
fn every_sample_is_a_sound_page() {
    for (name, season) in samples::all() {
        let html = page(&season);
        assert!(text(all(&html, "h1")[0]).contains(&season.heading.block.code), "{name}");
    }
}

/// The page and the printed report show the same four figures.
#[test]
fn headline_figures_are_those_of_the_report() {
    let season = samples::full();
    let html = page(&season);
    let shown: Vec<String> = all(&html, ".figures .value").into_iter().map(text).collect();
    let report: Vec<String> =
        headline::headlines(&season).iter().map(|line| format!("{} {}", line.number, line.unit)).collect();
    assert_eq!(shown, report);
    for figure in all(&html, ".figures dd") {
        let said = text(figure);
        assert!(said.contains("How reckoned"), "{said}");
        assert!(["metered", "counted", "invoiced", "modelled"].iter().any(|word| said.contains(word)), "{said}");
    }
}

#[test]
fn the_statement_has_every_line_with_a_real_minus() {
    let season = samples::full();
    let html = page(&season);
    let rows: Vec<String> = all(&html, "table.statement tbody tr").into_iter().map(text).collect();
    assert_eq!(rows.len(), season.statement.lines.len());
    assert!(rows.iter().any(|row| row.contains('−')));
    assert!(rows.iter().all(|row| !row.contains(" -")), "{rows:?}");
    assert_eq!(all(&html, "table.statement tr.sum").len(), 1, "one double rule, under the last line");
}

#[test]
fn each_size_class_tells_what_it_brings_over_the_one_below() {
    let html = page(&samples::full());
    let premiums: Vec<String> = all(&html, "table tbody tr:has(svg) td:last-child").into_iter().map(text).collect();
    assert_eq!(premiums.first().map(String::as_str), Some(""), "nothing lies below the smallest");
    assert!(premiums[1..].iter().all(|text| text.starts_with('+')), "{premiums:?}");
}

#[test]
fn the_chart_is_there_twice_and_as_a_table() {
    let season = samples::full();
    let html = page(&season);
    assert_eq!(all(&html, "#water-chart-title, #water-chart-narrow-title").len(), 2);
    let weeks = all(&html, "details.on-screen tbody tr");
    assert_eq!(weeks.len(), season.water.weeks.len());
}

#[test]
fn a_gap_leads_to_the_entry_that_would_mend_it() {
    let mut season = samples::full();
    let id = 0x0190_a5b6_c7d8_7e9f_8a1b_0000_0000_0007;
    season.gaps.truncate(1);
    season.gaps[0].records = vec![RecordRef { kind: RecordKind::Labor, id: RecordId::Stored(id) }];
    let html = page(&season);
    let link = all(&html, ".sentences a")[0];
    assert_eq!(text(link), "The entry");
    assert!(link.value().attr("href").unwrap().ends_with("/labor/0190a5b6-c7d8-7e9f-8a1b-000000000007/correct"));
    assert_eq!(text(all(&html, ".sentences li")[0]).matches(&season.gaps[0].mend).count(), 1);
}

#[test]
fn an_explanation_stands_behind_each_how_reckoned() {
    let mut season = samples::full();
    season.how = reckon::how::how();
    season.how.push(reckon::water::how::metered_saving());
    let html = page(&season);
    for link in all(&html, "a[href^='#how']") {
        assert_ne!(link.value().attr("href"), Some("#how"), "{} has an explanation of its own", text(link));
    }
}

#[test]
fn a_bare_block_with_hardly_a_record_says_what_is_not_known() {
    let html = page(&samples::sparse());
    let values: Vec<String> = all(&html, ".figures .value").into_iter().map(text).collect();
    assert_eq!(values, ["–", "bare", "–", "–"]);
    assert!(all(&html, "figure svg").is_empty());
    assert!(text(all(&html, "main")[0]).contains("Nothing is packed yet."));
}

#[test]
fn cautions_stand_on_every_block() {
    for (name, season) in samples::all() {
        let cautions = text(all(&page(&season), ".caution")[0]);
        for words in ["clear of every trunk", "not a payroll", "look at the soil", "label is the law"] {
            assert!(cautions.contains(words), "{name}: {words}");
        }
    }
}

#[test]
fn a_reader_gets_no_menu_of_records() {
    let season = samples::full();
    let farm = &farms()[1];
    let mut shell = shell("/season/2026/block/x");
    shell.role = Some(store::Role::Bookkeeper);
    let html = held(&BlockPage::of(shell, &row(1, farm, &season), &season));
    let kinds: Vec<String> = all(&html, ".menu li").into_iter().map(text).collect();
    assert_eq!(kinds, ["Packout line", "Settlement line", "Cost"]);
}
