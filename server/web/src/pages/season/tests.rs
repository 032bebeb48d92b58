use print::figures;
use reckon::summary::Summary;

use crate::pages::html::{all, held, shell, summaries, text};
use crate::pages::season::{SeasonPage, after_code, sentences};

#[test]
fn every_block_has_its_row_and_the_operation_the_last() {
    let blocks = summaries();
    let html = held(&SeasonPage::of(shell("/season/2026"), 2026, &blocks));
    let codes: Vec<String> = all(&html, "tbody th.code").into_iter().map(text).collect();
    let expected: Vec<String> = blocks.iter().map(|(row, _)| row.block.code.clone()).collect();
    assert_eq!(codes, expected);
    assert_eq!(all(&html, "tbody tr.sub").len(), 2, "a sum under each farm of two blocks");
    let last = all(&html, "tfoot tr.sum");
    assert_eq!(last.len(), 1);
    assert!(text(last[0]).starts_with("Operation"));
    let limited = crate::shell::Shell { sees_all: false, ..shell("/season/2026") };
    let limited = held(&SeasonPage::of(limited, 2026, &blocks));
    assert!(text(all(&limited, "tfoot tr.sum")[0]).starts_with("Your farms"));
    assert_eq!(text(all(&html, "[aria-current=page]")[0]), "The season");
}

#[test]
fn figures_are_written_with_their_units_in_the_heads() {
    let full = summaries().remove(0);
    let html = held(&SeasonPage::of(shell("/season/2026"), 2026, &[full]));
    let row = text(all(&html, "tbody tr:not(.group)")[0]);
    for figure in ["15.4", "2,387", "8.42", "98%", "2.4", "1.08"] {
        assert!(row.contains(figure), "{figure} in {row}");
    }
    let heads = text(all(&html, "thead")[0]);
    for unit in ["$ a tree", "of crop need", "acre-in/ac", "$ a lb", "$ an acre"] {
        assert!(heads.contains(unit), "{unit} in {heads}");
    }
    assert!(all(&html, "tbody tr.sub").is_empty(), "one block is not summed twice");
}

#[test]
fn a_block_not_yet_reckoned_shows_dashes_and_no_bars() {
    let mut blocks = summaries();
    blocks.retain(|(_, summary)| summary.is_none());
    let html = held(&SeasonPage::of(shell("/season/2026"), 2026, &blocks));
    assert!(all(&html, "tbody svg").is_empty());
    assert_eq!(text(all(&html, "tbody td.n[data-label^=Return]")[0]), "–");
    assert!(text(all(&html, "p.under")[0]).contains("there is no return to show"));
}

#[test]
fn missing_things_lead_to_the_block() {
    let html = held(&SeasonPage::of(shell("/season/2026"), 2026, &summaries()));
    let links = all(&html, ".sentences.missing a");
    assert!(!links.is_empty());
    for link in links {
        assert!(link.value().attr("href").unwrap().ends_with("#missing"));
    }
}

#[test]
fn an_operation_without_blocks_is_told_how_to_begin() {
    let html = held(&SeasonPage::of(shell("/season/2026"), 2026, &[]));
    assert!(all(&html, "table").is_empty());
    assert!(text(all(&html, ".lead")[0]).contains("Bring in a file"));
}

#[test]
fn a_code_is_not_said_twice() {
    assert_eq!(after_code("RB-3", "RB-3 got its usual set."), " got its usual set.");
    assert_eq!(after_code("RB-3", "A crew day has no wage."), ": A crew day has no wage.");
    assert_eq!(after_code("RB-3", "RB-31 is another block."), ": RB-31 is another block.");
}

#[test]
fn a_sentence_that_is_the_same_for_several_blocks_stands_once() {
    let mut blocks = summaries();
    for (n, (_, summary)) in blocks.iter_mut().enumerate() {
        let mut said = summary.take().unwrap_or_default();
        said.missing = vec!["3 days have no reference ET.".to_owned()];
        said.missing.extend((n == 0).then(|| "A crew day has no wage.".to_owned()));
        *summary = Some(said);
    }
    let said = sentences(2026, &blocks, "missing", |summary| &summary.missing);
    let counts: Vec<(usize, &str)> = said.iter().map(|one| (one.blocks.len(), one.text.as_str())).collect();
    assert_eq!(counts, [(blocks.len(), ": 3 days have no reference ET."), (1, ": A crew day has no wage.")]);
}

/// A season opened ahead does not hide the one in use: it is offered from there.
#[test]
fn a_season_opened_ahead_is_offered_and_no_more() {
    let mut ahead = shell("/season/2026");
    ahead.seasons.insert(0, reckon::block::Season::calendar_year(2027).unwrap());
    let page = |in_use| held(&SeasonPage::of(ahead.clone(), 2026, &summaries()).with_ahead(in_use));
    let html = page(Some(2026));
    let offered: Vec<String> = all(&html, "p.under").into_iter().map(text).collect();
    assert_eq!(offered[1], "2027 is open, no records yet.");
    assert_eq!(all(&html, "p.under a")[0].value().attr("href"), Some("/season/2027"));
    assert_eq!(all(&page(Some(2027)), "p.under").len(), 1, "records were kept in it");
}

/// Whole dollars to read, and the cents behind them.
#[test]
fn returns_have_their_cents() {
    let blocks = summaries();
    let html = held(&SeasonPage::of(shell("/season/2026"), 2026, &blocks));
    let summary = blocks[0].1.as_ref().unwrap();
    let all_of_it = figures::dollars(&figures::money(summary.over_all.unwrap()));
    let cell = all(&html, "td.earned")[0];
    assert!(cell.value().attr("title").unwrap().starts_with(&all_of_it));
    assert!(text(cell).starts_with(&figures::whole_money(summary.over_all.unwrap())));
    let total = Summary::total(blocks.iter().filter_map(|(_, summary)| summary.as_ref())).over_all.unwrap();
    assert!(text(all(&html, "p.under strong")[0]).ends_with(&figures::money(total)));
    assert!(text(all(&html, ".notes")[0]).contains("kept by mulch over the mulched acres only"));
}
