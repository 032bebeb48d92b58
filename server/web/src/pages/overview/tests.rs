use std::collections::BTreeMap;

use print::samples;
use reckon::money::Money;
use reckon::season::{BlockSeason, StatementKey};
use store::BlockId;

use super::OverviewPage;
use crate::pages::html::{all, farms, held, row, shell, text};

/// The full block three times: as it is, with dear labor, and with water that cost nothing.
fn blocks() -> Vec<(BlockId, BlockSeason)> {
    let changed = |code: &str, key: StatementKey, dollars: i64| {
        let mut season = samples::full();
        season.heading.block.code = code.to_owned();
        for line in &mut season.statement.lines {
            if line.key == key || line.key == StatementKey::OverAll {
                let sum = line.per_acre.unwrap().micros() + dollars * 1_000_000;
                line.per_acre = Some(reckon::money::UnitPrice::from_micros(sum));
                line.amount.value = line.amount.value.plus(Money::from_cents(dollars * 100));
            }
        }
        season
    };
    let cases = [
        ("RB-1", StatementKey::ThinningLabor, 0),
        ("RB-2", StatementKey::ThinningLabor, -700),
        ("RB-3", StatementKey::Water, 90),
    ];
    let seasons = cases.into_iter().map(|(code, key, dollars)| changed(code, key, dollars));
    (1u32..).zip(seasons).map(|(n, season)| (row(n, &farms()[1], &season).id, season)).collect()
}

#[test]
fn the_best_stands_first_and_each_place_is_explained() {
    let html = held(&OverviewPage::of(shell("/season/2026/overview"), 2026, &blocks(), &BTreeMap::new()));
    let codes: Vec<String> = all(&html, "tbody th.code").into_iter().map(text).collect();
    assert_eq!(codes, ["RB-3place 1", "RB-1place 2", "RB-2place 3"]);
    let why: Vec<String> = all(&html, "tbody td.why").into_iter().map(text).collect();
    assert!(why[0] == "+90 against the median blockWater +90", "{why:?}");
    assert!(why[2] == "−700 against the median blockLabor −700", "{why:?}");
    assert_eq!(all(&html, "tfoot tr.sum").len(), 1);
    assert_eq!(text(all(&html, "[aria-current=page]")[0]), "Overview");
}

#[test]
fn a_last_season_stands_beside_the_median() {
    let blocks = blocks();
    let mut last = blocks[1].1.clone();
    last.heading.season = reckon::block::Season::calendar_year(2025).unwrap();
    let last = BTreeMap::from([(blocks[0].0, last)]);
    let html = held(&OverviewPage::of(shell("/"), 2026, &blocks, &last));
    let why: Vec<String> = all(&html, "tbody td.why").into_iter().map(text).collect();
    assert!(why[1].contains("+700 against its season of 2025Labor +700"), "{why:?}");
    assert!(!why[0].contains("2025"));
}

#[test]
fn blocks_without_a_return_are_named_and_none_is_said() {
    let mut blocks = blocks();
    blocks[2].1.statement.lines.clear();
    let html = held(&OverviewPage::of(shell("/"), 2026, &blocks, &BTreeMap::new()));
    assert!(text(all(&html, "main")[0]).contains("Without a return per acre yet: RB-3."));
    let empty = held(&OverviewPage::of(shell("/"), 2026, &[], &BTreeMap::new()));
    assert!(text(all(&empty, "main")[0]).contains("No block has a return per acre yet"));
}
