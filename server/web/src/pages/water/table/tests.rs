use print::samples;
use reckon::season::BlockSeason;
use store::BlockId;

use super::WaterTable;
use crate::pages::html::{all, farms, held, row, shell, text};
use crate::routes::to;

/// Every sample: the first two on one farm, the others on two more.
fn blocks() -> Vec<(BlockId, BlockSeason)> {
    let farms = farms();
    let of_farm = |(n, (_, mut season)): (usize, (&str, BlockSeason))| {
        let farm = &farms[n.saturating_sub(1).min(2)];
        season.heading.farm = farm.farm.clone();
        (row(u32::try_from(n).unwrap(), farm, &season).id, season)
    };
    samples::all().into_iter().enumerate().map(of_farm).collect()
}

#[test]
fn every_block_has_its_row_below_its_farm() {
    let blocks = blocks();
    let html = held(&WaterTable::of(shell("/season/2026/water"), 2026, None, &blocks));
    let codes: Vec<String> = all(&html, "tbody th.code").into_iter().map(text).collect();
    let expected: Vec<String> = blocks.iter().map(|(_, season)| season.heading.block.code.clone()).collect();
    assert_eq!(codes, expected);
    let farms: Vec<String> = all(&html, "tr.group").into_iter().map(text).collect();
    assert_eq!(farms, ["Home Place", "River Bench", "Sand Draw"]);
    let total = text(all(&html, "tfoot tr.sum")[0]);
    assert!(total.starts_with("Operation"));
    let limited = crate::shell::Shell { sees_all: false, ..shell("/season/2026/water") };
    let limited = held(&WaterTable::of(limited, 2026, None, &blocks));
    assert!(text(all(&limited, "tfoot tr.sum")[0]).starts_with("Your farms"));
    let mulched =
        blocks.iter().filter(|(_, season)| season.water.saving.is_some()).map(|(_, season)| season.acres()).sum();
    let over = format!("modelledover {} mulched acres", print::figures::exact(mulched, 1));
    assert!(total.contains(&over), "{over} in {total}");
    let first = all(&html, "th.code a")[0].value().attr("href").unwrap();
    assert_eq!(first, to::water(2026, blocks[0].0));
}

#[test]
fn a_row_says_what_was_given_needed_kept_and_lost() {
    let full = blocks().remove(0);
    let html = held(&WaterTable::of(shell("/"), 2026, None, &[full]));
    let row = text(all(&html, "tbody tr:not(.group)")[0]);
    for figure in [
        "15.4",
        "23.88counted",
        "26.39modelled",
        "98%",
        "0.52",
        "1.10",
        "2.41modelled",
        "222.96",
        "1,749.44counted",
        "9 Oct, 0.8 in",
    ] {
        assert!(row.contains(figure), "{figure} in {row}");
    }
    assert_eq!(all(&html, "tbody svg .tick").len(), 1, "a tick marks the need");
    assert!(text(all(&html, "main")[0]).contains("check the soil first"));
}

#[test]
fn a_season_without_blocks_says_so() {
    let html = held(&WaterTable::of(shell("/"), 2026, None, &[]));
    assert!(all(&html, "table").is_empty());
    assert!(text(all(&html, ".lead")[0]).contains("no blocks"));
}

#[test]
fn what_is_not_known_is_a_dash_and_bare_is_bare() {
    let sparse = blocks().remove(1);
    let farm = &farms()[0];
    let own = Some(("Home Place".to_owned(), to::farm(2026, farm.id)));
    let html = held(&WaterTable::of(shell("/"), 2026, own.as_ref(), &[sparse]));
    assert!(all(&html, "tr.group").is_empty(), "one farm needs no heading");
    let cells: Vec<String> =
        all(&html, "tbody td[data-label^='Kept'], tbody td[data-label^='Need']").into_iter().map(text).collect();
    assert_eq!(cells, ["\u{2013}", "bare"]);
}
