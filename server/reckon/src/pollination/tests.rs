//! Records of pollinizers, and what does not fit among them.

use super::*;
use crate::testing::date;

fn block(code: &str, farm: &str, variety: &str, pollinizer: &str) -> PollinationBlock {
    PollinationBlock {
        code: code.into(),
        farm: farm.into(),
        crop: "plum".into(),
        variety: variety.into(),
        pollinizer: pollinizer.into(),
        needs: None,
        trees_away: None,
        full_bloom: None,
    }
}

fn said(blocks: &[PollinationBlock]) -> Vec<String> {
    remarks(blocks, None).into_iter().map(|remark| remark.sentence).collect()
}

#[test]
fn records_are_read_as_growers_write_them() {
    let read = |text: &str| read(text, |word| word == "NORTH");
    let blocks = |codes: &[&str]| Pollinizer::Blocks(codes.iter().map(|code| (*code).to_owned()).collect());
    assert_eq!(read(" Self-fruitful "), Pollinizer::NoneNeeded);
    assert_eq!(read("sets without pollen"), Pollinizer::NoneNeeded);
    assert_eq!(read("rows 4, 9 and 14"), Pollinizer::Within("rows 4, 9 and 14".into()));
    assert_eq!(read("every fourth row Moth Window"), Pollinizer::Within("every fourth row Moth Window".into()));
    assert_eq!(read("UD-3; UD-5 and NORTH"), blocks(&["UD-3", "UD-5", "NORTH"]));
    assert_eq!(read("UD-1 bouquets"), blocks(&["UD-1"]));
    assert_eq!(read("South"), blocks(&["South"]));
    assert_eq!(read("the neighbor has some"), Pollinizer::Other("the neighbor has some".into()));
    assert_eq!(read("  "), Pollinizer::NotGiven);
}

#[test]
fn a_block_says_when_it_ripens_and_what_serves_it() {
    use crate::block::MonthDay;
    let july = |day| MonthDay::new(7, day).unwrap();
    let own = Block {
        code: "A".into(),
        crop: "apricot".into(),
        ripening: Some((july(13), july(24))),
        pollinizer: "UD-1".into(),
        pollinizer_trees: Some(12),
        needs_pollinizer: Some(NeedsPollinizer::Yes),
        ..Block::default()
    };
    assert_eq!(heading(&own).as_deref(), Some("Ripens 13 July to 24 July. Pollinizer: UD-1, 12 trees away."));
    assert_eq!(own_gap(&own), None);
    let without = Block { pollinizer: String::new(), ripening: None, ..own.clone() };
    assert_eq!(heading(&without).as_deref(), Some("Pollinizer: needs one, none on record."));
    let gap = own_gap(&without).unwrap();
    assert!(gap.what.starts_with("A needs a pollinizer and has none on record."), "{}", gap.what);
    let alone = Block { pollinizer: "self-fruitful".into(), needs_pollinizer: None, ..without };
    assert_eq!(heading(&alone).as_deref(), Some("Pollinizer: self-fruitful."));
    assert_eq!((own_gap(&alone), heading(&Block::default())), (None, None));
}

#[test]
fn a_named_block_must_exist_and_stand_on_the_farm() {
    let near = block("B", "Home", "Amber", "self-fruitful");
    assert!(said(&[block("A", "Home", "Dusk", "b"), near.clone()]).is_empty());
    let gone = said(&[block("A", "Home", "Dusk", "B, C-9"), near.clone()]);
    assert_eq!(gone.len(), 1);
    assert!(
        gone[0].starts_with("A names \"C-9\" as its pollinizer, and there is no block of that code."),
        "{}",
        gone[0]
    );
    let far = said(&[block("A", "Away", "Dusk", "B"), near]);
    assert_eq!(far, ["B, the pollinizer of A, stands on Home and A on Away. Is it in reach of bees?"]);
}

#[test]
fn a_pollinizer_is_another_variety_of_the_same_crop() {
    let itself = said(&[block("A", "Home", "Dusk", "A")]);
    assert!(itself[0].contains("names itself"), "{itself:?}");
    let same = said(&[block("A", "Home", "Dusk", "B"), block("B", "Home", "dusk", "rows 3")]);
    assert!(same[0].contains("is Dusk too"), "{same:?}");
    let peach = PollinationBlock { crop: "peach".into(), ..block("B", "Home", "Tallow", "self-fruitful") };
    let other = said(&[block("A", "Home", "Dusk", "B"), peach]);
    assert!(other[0].contains("is a peach"), "{other:?}");
}

#[test]
fn rows_of_the_block_itself_or_of_another_serve() {
    assert!(said(&[block("P8", "Home", "Dusk", "P8 rows 4, 9")]).is_empty());
    assert!(said(&[block("P8", "Home", "Dusk", "p8, hileras 4 y 9")]).is_empty());
    let other = block("P9", "Home", "Dusk", "self-fruitful");
    assert!(said(&[block("P8", "Home", "Dusk", "P8 and P9, rows 4"), other]).is_empty());
    assert_eq!(said(&[block("P8", "Home", "Dusk", "P9 rows 4")]).len(), 1, "no such block");
}

#[test]
fn distances_nobody_limited_are_said_to_be_unchecked() {
    let far = PollinationBlock { trees_away: Some(9), ..block("A", "Home", "Dusk", "rows 4") };
    let plain = block("B", "Home", "Dusk", "rows 4");
    assert!(unchecked(&[plain.clone(), far.clone()], None).is_some());
    assert_eq!(unchecked(&[plain.clone(), far], Some(4)), None);
    assert_eq!(unchecked(&[plain], None), None);
}

#[test]
fn bloom_too_far_apart_is_asked_about() {
    let at = |code: &str, variety: &str, day, other: &str| PollinationBlock {
        full_bloom: Some(date(3, day)),
        ..block(code, "Home", variety, other)
    };
    assert!(said(&[at("A", "Dusk", 4, "B"), at("B", "Amber", 9, "A")]).is_empty());
    assert_eq!(said(&[at("A", "Dusk", 4, "B"), at("B", "Amber", 10, "A")]).len(), 2);
}

#[test]
fn a_plum_without_a_record_is_asked_about_and_a_peach_is_not() {
    let plum = block("A", "Home", "Dusk", "");
    assert_eq!(remarks(core::slice::from_ref(&plum), None)[0].source, HANDBOOK);
    assert!(said(&[PollinationBlock { crop: "peach".into(), ..plum }]).is_empty());
}

#[test]
fn a_block_that_needs_one_and_has_none_in_reach_is_said() {
    let needs = |pollinizer: &str| PollinationBlock {
        needs: Some(NeedsPollinizer::Yes),
        crop: "apricot".into(),
        ..block("A", "Home", "Dusk", pollinizer)
    };
    let other = |farm: &str| PollinationBlock { crop: "apricot".into(), ..block("B", farm, "Amber", "self-fruitful") };
    let said = |own: PollinationBlock, farm: &str, reach| -> Vec<String> {
        let found = remarks(&[own, other(farm)], reach);
        found.into_iter().map(|remark| remark.sentence).collect()
    };
    assert_eq!(
        said(needs(" "), "Home", None),
        ["A needs a pollinizer and has none on record. Name the block or the rows that serve it."]
    );
    assert_eq!(
        said(needs("self-fruitful"), "Home", None),
        ["A is kept as needing a pollinizer, and its record says \"self-fruitful\". One of the two is wrong."]
    );
    assert!(said(needs("B"), "Home", None).is_empty());
    let away = said(needs("B"), "Away", None);
    assert_eq!(away.len(), 1, "{away:?}");
    assert_eq!(away[0], "A needs a pollinizer and has none in reach: no block it names stands on Home.");
    let gone = said(needs("C-4"), "Home", None);
    assert_eq!(gone.len(), 1, "one fault, one remark: {gone:?}");
    assert!(
        gone[0]
            .starts_with("A needs a pollinizer and has none in reach: it names \"C-4\" as its pollinizer, and there"),
        "{gone:?}"
    );
    // Of a block that needs none, nothing is asked.
    let none = PollinationBlock { needs: Some(NeedsPollinizer::No), ..needs("C-4") };
    assert!(said(none, "Home", Some(1)).is_empty());
}

#[test]
fn a_distance_counts_only_where_the_operation_says_how_far_is_too_far() {
    let rows = |trees_away| PollinationBlock { trees_away, ..block("A", "Home", "Dusk", "rows 4, 9") };
    let said = |own, reach| remarks(&[own], reach).len();
    assert_eq!(said(rows(Some(9)), None), 0);
    assert_eq!(said(rows(Some(9)), Some(9)), 0);
    assert_eq!(said(rows(None), Some(3)), 0);
    let found = remarks(&[rows(Some(9))], Some(3));
    assert_eq!(
        found[0].sentence,
        "A has no pollinizer in reach for all its trees: the nearest stands up to 9 trees off, and the operation \
         takes 3 as the limit."
    );
}
