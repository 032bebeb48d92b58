use crate::pages::farm::FarmPage;
use crate::pages::html::{all, farms, held, shell, summaries, text};

#[test]
fn a_farm_shows_its_own_blocks_and_where_it_lies() {
    let mut row = farms().remove(0);
    row.farm.place = "two miles below the diversion".to_owned();
    row.farm.elevation_m = Some(1402.0);
    row.farm.latitude_deg = Some(38.9);
    row.farm.station_miles = Some(4.5);
    let mut blocks = summaries();
    blocks.retain(|(block, _)| block.farm_id == row.id);
    let path = crate::routes::to::farm(2026, row.id);
    let html = held(&FarmPage::of(shell(&path), 2026, &row, &blocks));
    let facts = text(all(&html, "p.under")[0]);
    assert_eq!(
        facts,
        "two miles below the diversion, weather station Bench Station, 4.5 miles away, 4,600 ft above the sea, latitude 38.90°."
    );
    assert_eq!(all(&html, "tbody th.code").len(), 2);
    assert!(text(all(&html, "tr.sum")[0]).starts_with("Home Place"));
    assert_eq!(text(all(&html, "[aria-current=page]")[0]), "Home Place");
}

#[test]
fn a_farm_without_blocks_says_so() {
    let row = farms().remove(2);
    let html = held(&FarmPage::of(shell("/"), 2026, &row, &[]));
    assert!(text(all(&html, ".lead")[0]).starts_with("No blocks on this farm yet."));
}
