use std::collections::BTreeMap;

use reckon::compare::{Facet, Measure, Observation, Traits, compare};

use super::{Asked, Compared, ThinningPage};
use crate::pages::html::{all, held, row, shell, text};
use crate::routes::to;

fn seen(block: &str, method: &str, variety: &str, cost: f64, back: f64) -> Observation {
    Observation {
        unit: format!("{block}, 2026"),
        method: method.to_owned(),
        traits: Traits {
            block: block.to_owned(),
            farm: "River Bench".to_owned(),
            crop: "peach".to_owned(),
            variety: variety.to_owned(),
            season: Some(2026),
            ..Traits::default()
        },
        measures: BTreeMap::from([(Measure::CostPerTree, cost), (Measure::ReturnPerAcre, back)]),
    }
}

/// By hand on three blocks, cuts on one that cost less and returned less.
fn observations() -> Vec<Observation> {
    vec![
        seen("RB-1", "by hand", "Tallow Gate", 5.0, 2000.0),
        seen("RB-2", "by hand", "Tallow Gate", 6.0, 2400.0),
        seen("RB-3", "by hand", "Tallow Gate", 7.0, 2200.0),
        seen("RB-4", "cuts", "Slate Lark", 3.4, 1500.0),
    ]
}

fn compared(observations: &[Observation], by: &[Facet]) -> Compared {
    let (_, season) = print::samples::all().remove(0);
    let block = row(1, &crate::pages::html::farms()[0], &season).id;
    let places = observations.iter().map(|seen| (seen.unit.clone(), to::block(2026, block))).collect();
    Compared { comparison: compare(observations, by), places }
}

fn page(asked: Asked, compared: &Compared) -> scraper::Html {
    held(&ThinningPage::of(shell("/season/2026/thinning"), 2026, asked, compared))
}

#[test]
fn the_two_answers_may_differ_and_are_said() {
    let html = page(Asked::default(), &compared(&observations(), &[]));
    let said = text(all(&html, "section")[0]);
    for words in [
        "Lowest cost per tree: cuts, $3.40 a tree (1 block-season).",
        "Best return per acre: by hand, $2,200 an acre (3 block-seasons).",
        "The cheapest method was not the one that returned most.",
        "The methods differ in variety too",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
}

#[test]
fn one_block_season_has_no_interval_and_says_why() {
    let html = page(Asked::default(), &compared(&observations(), &[]));
    let rows: Vec<String> = all(&html, "table.methods tbody tr").into_iter().map(text).collect();
    // Student's t for 2 degrees of freedom is 4.303: 6 ± 4.303 × 1 ÷ √3.
    assert!(rows[0].starts_with("By hand 6.00 3.52 to 8.48 n 3"), "{}", rows[0]);
    assert!(rows[1].starts_with("Cuts 3.40 one block, no interval"), "{}", rows[1]);
    assert!(text(all(&html, "section")[0]).contains("One only: nothing tells how much such blocks differ"));
    assert!(text(all(&html, "details tbody tr")[0]).contains("by hand less cuts 2.60 no interval"));
}

#[test]
fn seasons_of_one_block_are_no_two_blocks() {
    let year = |year: i32, cost: f64| {
        let mut one = seen("RB-4", "cuts", "Slate Lark", cost, 1500.0);
        one.unit = format!("RB-4, {year}");
        one.traits.season = Some(year);
        one
    };
    let mut both = observations().split_off(1);
    both[2] = year(2025, 3.8);
    both.push(year(2026, 3.9));
    let html = page(Asked { by: Vec::new(), all_seasons: true }, &compared(&both, &[]));
    let rows: Vec<String> = all(&html, "table.methods tbody tr").into_iter().map(text).collect();
    assert!(rows[1].starts_with("Cuts 3.85 one block, no interval n 1 block, 2 seasons"), "{}", rows[1]);
    let said = text(all(&html, "section")[0]);
    assert!(said.contains("One block in several seasons: they do not tell"), "{said}");
    assert!(said.contains("cuts, $3.85 a tree (1 block, 2 seasons)."), "{said}");
}

#[test]
fn a_share_has_no_interval_beyond_the_whole() {
    let mut few = observations().split_off(1);
    for (one, share) in few.iter_mut().zip([30.0, 92.0, 40.0]) {
        one.measures.insert(Measure::LargeShare, share);
    }
    let html = page(Asked::default(), &compared(&few, &[]));
    let row = text(all(&html, "table.methods tbody tr")[0]);
    assert!(row.contains("61.0 0.0 to 100.0"), "{row}");
}

#[test]
fn every_measure_has_its_chart_and_its_explanation() {
    let html = page(Asked::default(), &compared(&observations(), &[]));
    assert_eq!(all(&html, ".charts svg").len(), 2);
    let single = observations().split_off(2);
    assert!(all(&page(Asked::default(), &compared(&single, &[])), ".charts").is_empty(), "no interval, no chart");
    assert_eq!(all(&html, "#how details").len(), reckon::compare::how().len());
    assert_eq!(all(&html, "details a[href*='/block/']").len(), 4);
    assert_eq!(text(all(&html, "[aria-current=page]")[0]), "Thinning");
}

#[test]
fn groups_keep_unlike_blocks_apart() {
    let asked = Asked { by: vec![Facet::Variety], all_seasons: false };
    let html = page(asked.clone(), &compared(&observations(), &asked.by));
    let heads: Vec<String> = all(&html, "section[id^=group] h2").into_iter().map(text).collect();
    assert_eq!(heads, ["Peach, Slate Lark", "Peach, Tallow Gate"]);
    assert!(text(all(&html, "section")[0]).contains("Only one method was used here"));
    assert!(all(&html, ".charts").is_empty());
    assert!(all(&html, "#by-variety[checked]").len() == 1 && all(&html, "#by-farm[checked]").is_empty());
}

#[test]
fn a_season_without_thinning_says_so() {
    let html = page(Asked::default(), &compared(&[], &[]));
    assert!(text(all(&html, ".lead")[0]).starts_with("No thinning is recorded"));
}

#[test]
fn an_address_is_read_or_not_found() {
    let asked = |pairs: &[(&str, &str)]| {
        let pairs: Vec<(String, String)> = pairs.iter().map(|(k, v)| ((*k).to_owned(), (*v).to_owned())).collect();
        Asked::of(&pairs)
    };
    let both = asked(&[("by", "farm"), ("by", "age,season"), ("seasons", "all")]).unwrap();
    assert_eq!((both.by, both.all_seasons), (vec![Facet::Farm, Facet::Age, Facet::Season], true));
    assert!(asked(&[("by", "colour")]).is_none() && asked(&[("seasons", "wet")]).is_none());
    assert!(asked(&[]).unwrap().by.is_empty());
}
