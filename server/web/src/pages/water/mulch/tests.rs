use print::samples;
use reckon::figure::{RecordId, RecordKind, RecordRef};
use reckon::season::BlockSeason;
use store::BlockId;

use super::MulchLedger;
use crate::pages::html::{all, farms, held, row, shell, text};

fn blocks() -> Vec<(BlockId, BlockSeason)> {
    let farm = &farms()[1];
    let of_farm = |(n, (_, season)): (u32, (&str, BlockSeason))| (row(n, farm, &season).id, season);
    (0..).zip(samples::all()).map(of_farm).collect()
}

#[test]
fn each_application_stands_below_its_block_with_what_it_comes_to() {
    let blocks = blocks();
    let html = held(&MulchLedger::of(shell("/season/2026/mulch"), 2026, &blocks));
    let first = text(all(&html, "tbody tr:not(.group)")[0]);
    for figure in [
        "12 Mar 2026",
        "wood chips",
        "4",
        "3.2 left",
        "214,600",
        "32",
        "2,649",
        "3,629.00invoiced",
        "1,814.50",
        "20.8modelled",
    ] {
        assert!(first.contains(figure), "{figure} in {first}");
    }
    let sum = text(all(&html, "tr.sub")[0]);
    for figure in ["All mulch of RB-1", "4,629.00invoiced", "2,314.50", "2.4modelled", "222.96", "10.4", "20.8"] {
        assert!(sum.contains(figure), "{figure} in {sum}");
    }
    let total = text(all(&html, "tfoot tr.sum")[0]);
    assert!(total.contains("water kept over") && total.contains("mulched acres"), "{total}");
    let bare: Vec<String> = all(&html, "ul.inline a").into_iter().map(text).collect();
    assert_eq!(bare, ["SD-4"], "a bare block may be given mulch");
}

#[test]
fn mulch_without_a_cost_says_so() {
    let mut full = blocks().remove(0);
    full.1.mulch.laid[0].cost = None;
    let html = held(&MulchLedger::of(shell("/season/2026/mulch"), 2026, &[full]));
    let first = text(all(&html, "tbody tr:not(.group)")[0]);
    assert!(first.contains("not given") && !first.contains("invoiced"), "{first}");
}

#[test]
fn an_application_leads_to_its_entry_for_whoever_may_correct_it() {
    let mut full = blocks().remove(0);
    let id = 0x0190_a5b6_c7d8_7e9f_8a1b_0000_0000_0007;
    full.1.mulch.laid[0].record = RecordRef { kind: RecordKind::Mulch, id: RecordId::Stored(id) };
    let blocks = [full];
    let html = held(&MulchLedger::of(shell("/"), 2026, &blocks));
    let link = all(&html, "tbody th.whole a")[0].value().attr("href").unwrap();
    assert!(link.ends_with("/mulch/0190a5b6-c7d8-7e9f-8a1b-000000000007/correct"), "{link}");
    let mut reader = shell("/");
    reader.role = Some(store::Role::Bookkeeper);
    assert!(all(&held(&MulchLedger::of(reader, 2026, &blocks)), "tbody th.whole a").is_empty());
}

#[test]
fn every_application_stands_once() {
    let blocks = blocks();
    let html = held(&MulchLedger::of(shell("/"), 2026, &blocks));
    let laid: usize = blocks.iter().map(|(_, season)| season.mulch.laid.len()).sum();
    assert_eq!(all(&html, "tbody tr:not(.group):not(.sub)").len(), laid);
}

#[test]
fn cautions_stand_with_and_without_mulch() {
    for blocks in [blocks(), Vec::new()] {
        let html = held(&MulchLedger::of(shell("/"), 2026, &blocks));
        let cautions = text(all(&html, ".caution")[0]);
        for words in ["clear of every trunk", "Dry mulch burns", "fire rules", "Look at the soil"] {
            assert!(cautions.contains(words), "{words}");
        }
    }
}

#[test]
fn who_may_not_keep_mulch_is_offered_none() {
    let mut reader = shell("/");
    reader.role = Some(store::Role::Bookkeeper);
    let html = held(&MulchLedger::of(reader, 2026, &blocks()));
    let offered = all(&html, "main a").into_iter().filter_map(|link| link.value().attr("href"));
    assert!(offered.into_iter().all(|link| !link.ends_with("/mulch/add")));
}
