use std::collections::BTreeMap;

use chrono::NaiveDate;
use reckon::block::MonthDay;
use reckon::compare::{Facet, Measure, Observation, Traits, compare};
use reckon::figure::{Kept, RecordId};
use reckon::records::{FruitCount, FruitWanted, ThinningTarget};
use reckon::season::SeasonRecords;
use reckon::units::{FruitPerTree, Inches};

use super::wanted::WantedView;
use super::{Asked, Compared, ThinningPage};
use crate::pages::html::{all, held, records, row, shell, text};
use crate::routes::to;

fn kept<R>(line: u32, record: R) -> Kept<R> {
    Kept { id: RecordId::Line(line), record }
}

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
        lacking: BTreeMap::new(),
        notes: Vec::new(),
        part: None,
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
    held(&ThinningPage::of(shell("/season/2026/thinning"), 2026, asked, (compared, WantedView::default())))
}

#[test]
fn the_two_answers_may_differ_and_are_said() {
    let html = page(Asked::default(), &compared(&observations(), &[]));
    let said = text(all(&html, "section")[0]);
    for words in [
        "Lowest cost per tree: cuts, $3.40 a tree (1 block-season).",
        "Best return per acre: by hand, $2,200 an acre (3 block-seasons).",
        "By these blocks the cheapest method was not the one that returned most; the difference may be chance.",
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
fn what_lacks_a_wage_is_left_out_and_named() {
    let mut some = observations();
    some[3].measures.remove(&Measure::CostPerTree);
    some[3].lacking.insert(Measure::CostPerTree, "1 entry lacks a wage".to_owned());
    let html = page(Asked::default(), &compared(&some, &[]));
    let said = text(all(&html, "section")[0]);
    assert!(said.contains("RB-4 2026 is left out of cost per tree: 1 entry lacks a wage."), "{said}");
    assert!(said.contains("Lowest cost per tree: by hand, $6.00 a tree (3 block-seasons)."), "{said}");
    assert!(said.contains("by hand: RB-1, 2026 and RB-2, 2026 and RB-3, 2026; cuts: RB-4, 2026"), "{said}");
}

/// Two blocks thinned both ways and one by hand only: the pairs are a part of the means.
#[test]
fn pairs_that_are_not_all_stand_beside_the_difference_of_the_means() {
    let mut some = observations().split_off(1);
    some[2] = seen("RB-2", "cuts", "Tallow Gate", 3.0, 1500.0);
    some.push(seen("RB-3", "cuts", "Tallow Gate", 3.5, 1400.0));
    some.push(seen("RB-1", "by hand", "Tallow Gate", 5.0, 2000.0));
    let html = page(Asked::default(), &compared(&some, &[]));
    let rows: Vec<String> = all(&html, "details tbody tr").into_iter().map(text).collect();
    // Means 6 and 3.25; pairs 6 less 3 and 7 less 3.5.
    assert!(rows[0].contains("by hand less cuts 2.75") && rows[0].contains("Welch"), "{rows:?}");
    assert!(rows[1].contains("by hand less cuts 3.25") && rows[1].contains("within 2 blocks that have both only"));
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
    let note = text(all(&html, "p.notes")[0]);
    assert!(note.contains("Ends below 0 are shown as 0, and those above 100% as 100%."), "{note}");
    let whole = page(Asked::default(), &compared(&observations(), &[]));
    assert!(!text(all(&whole, "p.notes")[0]).contains("shown as"), "no end was cut");
}

#[test]
fn many_pairs_are_said_to_be_many_beside_them() {
    let note = |observations: &[Observation]| {
        text(all(&page(Asked::default(), &compared(observations, &[])), "details p.notes")[0])
    };
    let mut three = observations();
    assert!(!note(&three).contains("pairs"), "one pair needs no remark");
    three.push(seen("RB-5", "pole", "Slate Lark", 2.0, 900.0));
    assert!(!note(&three).contains("pairs"), "no pair has an interval");
    three.push(seen("RB-6", "pole", "Slate Lark", 2.2, 950.0));
    three.push(seen("RB-7", "cuts", "Slate Lark", 3.6, 1450.0));
    assert!(note(&three).starts_with("3 pairs of methods, each compared at 95% by itself"), "{}", note(&three));
}

/// Nothing is sold yet.
#[test]
fn a_season_without_sales_says_why_no_method_has_a_return() {
    let mut unsold = observations();
    for one in &mut unsold {
        one.measures.remove(&Measure::ReturnPerAcre);
    }
    let said = text(all(&page(Asked::default(), &compared(&unsold, &[])), "section")[0]);
    assert!(said.contains("No method has a return yet, because nothing of these blocks is sold."), "{said}");
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
    assert!(text(all(&html, "section[id^=group]")[0]).contains("Only one method was used here"));
    assert!(all(&html, ".charts").is_empty());
    let glance: Vec<String> = all(&html, "#at-a-glance tbody tr").into_iter().map(text).collect();
    assert!(glance.len() == 2 && glance.iter().all(|row| row.contains("one method only")), "{glance:?}");
    assert!(all(&html, "#by-variety[checked]").len() == 1 && all(&html, "#by-farm[checked]").is_empty());
}

#[test]
fn a_season_without_thinning_says_so() {
    let html = page(Asked::default(), &compared(&[], &[]));
    assert!(text(all(&html, ".lead")[0]).starts_with("No thinning is recorded"));
}

/// A block that ripens late and says itself what it wants, an early one that goes by the list, and one nobody counted.
fn three_blocks() -> Vec<(store::BlockId, SeasonRecords)> {
    let day = |month, day| NaiveDate::from_ymd_opt(2026, month, day).unwrap();
    let target = ThinningTarget {
        from: day(1, 1),
        crop: Some("plum".into()),
        ripening: MonthDay::new(6, 15).zip(MonthDay::new(7, 10)),
        fruit: Some(FruitWanted::Tree(FruitPerTree::of(600.0))),
        spacing: None,
        note: String::new(),
    };
    let count = |sample: &str, after: u32| FruitCount {
        date: day(5, 14),
        sample: sample.into(),
        branch: false,
        before: Some(2_000),
        after: Some(after),
        shoot: Some(Inches::of(3_000.0)),
        fruit_diameter: None,
        method: None,
        note: String::new(),
    };
    let block = |n: u32, code: &str, ripens: (u32, u32)| {
        let (id, mut records) = records(n, code);
        records.block.trees = Some(1_000);
        records.block.ripening = MonthDay::new(ripens.0, ripens.1).zip(MonthDay::new(ripens.0, 28));
        records.targets = vec![kept(1, target.clone())];
        records.fruit_counts = vec![kept(1, count("1", 1_000)), kept(2, count("2", 1_100))];
        (id, records)
    };
    let (mut late, early, mut bare) = (block(1, "A-1", (8, 2)), block(2, "B-1", (6, 20)), block(3, "C-1", (9, 1)));
    late.1.block.target_fruit = FruitPerTree::new(1_000.0);
    bare.1.fruit_counts.clear();
    vec![late, early, bare]
}

#[test]
fn fruit_left_stands_beside_what_is_wanted_in_the_order_of_ripening() {
    let wanted = WantedView::of(2026, &three_blocks());
    let compared = compared(&observations(), &[]);
    let page = ThinningPage::of(shell("/season/2026/thinning"), 2026, Asked::default(), (&compared, wanted));
    let html = held(&page);
    let rows: Vec<String> = all(&html, "table.wanted tbody tr").into_iter().map(text).collect();
    assert_eq!(rows.len(), 2, "nothing was counted in C-1, and nothing is wanted of it: {rows:?}");
    let early = "20 Jun to 28 Jun 48 ± 3 1,050 ± 50 600 175 2.86";
    assert!(rows[0].starts_with("B-1") && rows[0].contains(early), "{}", rows[0]);
    assert!(rows[0].ends_with("Fruit: of plums that ripen from 15 June to 10 July"), "{}", rows[0]);
    assert!(rows[1].starts_with("A-1") && rows[1].contains("1,050 ± 50 1,000 105 2.86"), "{}", rows[1]);
    assert!(rows[1].ends_with("Fruit: the block's own"), "{}", rows[1]);
    let guides = text(all(&html, "#wanted details")[0]);
    assert!(guides.contains("Japanese plum: 3 to 4 in (Growing Organic Orchard Fruits"), "{guides}");
    assert!(text(all(&html, "#wanted")[0]).contains("Plum. Published guides of spacing: 2 to 4, 4 to 6, 3 to 4 in."));
}

/// Its fruit is wanted, and it ripens first; nobody counted it yet.
#[test]
fn blocks_that_were_counted_stand_first() {
    let mut blocks = three_blocks();
    blocks[2].1.block.ripening = MonthDay::new(6, 16).zip(MonthDay::new(6, 28));
    let wanted = WantedView::of(2026, &blocks);
    assert_eq!(wanted.rows.iter().map(|row| row.code.as_str()).collect::<Vec<_>>(), ["B-1", "A-1", "C-1"]);
}

/// 1,000 and 1,001 left of 2,000.
#[test]
fn a_small_error_is_not_rounded_to_nothing() {
    let mut blocks = three_blocks();
    for (kept, after) in blocks[0].1.fruit_counts.iter_mut().zip([1_000, 1_001]) {
        kept.record.after = Some(after);
    }
    let wanted = WantedView::of(2026, &blocks);
    let cells = &wanted.rows[1].cells;
    let said = |at: usize| (cells[at].1.number.as_str(), cells[at].1.error.as_str());
    assert_eq!((said(0), said(1)), (("50", "± 0.03"), ("1,001", "± 0.5")));
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
