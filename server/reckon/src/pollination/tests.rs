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
        rows: None,
        full_bloom: None,
    }
}

fn said(blocks: &[PollinationBlock]) -> Vec<String> {
    remarks(blocks, None).into_iter().map(|remark| remark.sentence).collect()
}

#[test]
fn records_are_read_as_growers_write_them() {
    let known = Known::of(&[block("NORTH", "Home", "Gamma", ""), block("4", "Home", "Moth Window", "")]);
    let read = |text: &str| read(text, &known);
    let named = |codes: &[&str], varieties: &[&str], rows, row_numbers: &[u32]| {
        let texts = |texts: &[&str]| texts.iter().map(|text| (*text).to_owned()).collect();
        let (codes, varieties, row_numbers) = (texts(codes), texts(varieties), row_numbers.to_vec());
        Pollinizer::Named(Named { codes, varieties, rows, row_numbers })
    };
    for none in
        [" Self-fruitful ", "sets without pollen", "no", "None", "autofértil", "Autofecunda", "no necesita", "Ninguno."]
    {
        assert_eq!(read(none), Pollinizer::NoneNeeded, "{none}");
    }
    for nothing in ["  ", "-", "…"] {
        assert_eq!(read(nothing), Pollinizer::NotGiven, "{nothing}");
    }
    for (text, expected) in [
        ("rows 4, 9 and 14", named(&[], &[], true, &[4, 9, 14])),
        ("filas 4, 9", named(&[], &[], true, &[4, 9])),
        ("row 4 tree 11", named(&[], &[], true, &[4])),
        ("rows 4-9, 30 ft off", named(&[], &[], true, &[4, 9])),
        ("every fourth row Moth Window", named(&[], &["Moth Window"], true, &[])),
        ("every 3rd row gamma", named(&[], &["gamma"], true, &[])),
        ("cada 3ª fila Gamma", named(&[], &["Gamma"], true, &[])),
        ("Gamma rows", named(&[], &["Gamma"], true, &[])),
        ("Gamma", named(&[], &["Gamma"], false, &[])),
        ("2 rows of K-6", named(&["K-6"], &[], true, &[])),
        ("a row of North", named(&["North"], &[], true, &[])),
        ("UD-3; UD-5 and NORTH", named(&["UD-3", "UD-5", "NORTH"], &[], false, &[])),
        ("UD-1 bouquets", named(&["UD-1"], &[], false, &[])),
        ("South", named(&["South"], &[], false, &[])),
        ("4", named(&["4"], &[], false, &[])),
        ("the neighbor has some", Pollinizer::Other("the neighbor has some".into())),
        ("some brown ones", Pollinizer::Other("some brown ones".into())),
    ] {
        assert_eq!(read(text), expected, "{text}");
    }
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
    let no = Block { pollinizer: "no".into(), ..alone };
    assert_eq!(heading(&no).as_deref(), Some("Pollinizer: none needed."));
}

#[test]
fn a_named_block_must_exist_and_stand_on_the_farm() {
    let near = block("B", "Home", "Amber", "self-fruitful");
    assert!(said(&[block("A", "Home", "Dusk", "b"), near.clone()]).is_empty());
    let gone = said(&[block("A", "Home", "Dusk", "B, C-9"), near.clone()]);
    assert_eq!(gone.len(), 1);
    assert!(
        gone[0].starts_with("A names \"C-9\" as its pollinizer, and there is no block of that code or variety."),
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
    assert_eq!(remarks(core::slice::from_ref(&plum), None)[0].source, doubts::HANDBOOK);
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

/// Blocks of a farm, and T-7 (a plum of eight rows that needs one) with this record.
fn farm(record: &str) -> Vec<PollinationBlock> {
    let of = |code: &str, crop: &str, variety: &str| PollinationBlock {
        crop: crop.into(),
        ..block(code, "Test Flat", variety, "self-fruitful")
    };
    let own = PollinationBlock {
        needs: Some(NeedsPollinizer::Yes),
        rows: Some(8),
        ..block("T-7", "Test Flat", "Beta", record)
    };
    vec![
        own,
        of("T-1", "peach", "Alpha"),
        of("T-2", "plum", "beta"),
        of("T-3", "plum", "Gamma"),
        of("T-6", "apricot", "Delta"),
        block("Far-1", "Far", "Epsilon", "self-fruitful"),
    ]
}

#[test]
fn a_pollinizer_that_cannot_serve_is_said() {
    for (record, expected) in [
        ("T-2", "T-2, the pollinizer of T-7, is Beta too."),
        ("every third row Beta", "T-7 names Beta as its pollinizer and is Beta itself."),
        ("Beta", "T-7 names Beta as its pollinizer and is Beta itself."),
        ("T-1", "T-1, the pollinizer of T-7, is a peach and T-7 a plum."),
        ("Alpha", "T-1, the pollinizer of T-7, is a peach and T-7 a plum."),
        ("every third row Alpha", "Alpha, the pollinizer of T-7, is a peach and T-7 a plum."),
        ("2 rows of T-6", "T-6, the pollinizer of T-7, is an apricot and T-7 a plum."),
        ("rows 400", "T-7 names row 400 as its pollinizer, and T-7 has 8 rows."),
        ("rows 4, 9 and 12 Gamma", "T-7 names rows 9 and 12 as its pollinizer, and T-7 has 8 rows."),
        ("Far-1", "T-7 needs a pollinizer and has none in reach: no block it names stands on Test Flat."),
        ("Epsilon", "T-7 needs a pollinizer and has none in reach: no block it names stands on Test Flat."),
    ] {
        let found = said(&farm(record));
        assert_eq!(found.len(), 1, "{record}: {found:?}");
        assert!(found[0].starts_with(expected), "{record}: {found:?}");
    }
    let mut rows = farm("rows 12 of T-3");
    assert!(said(&rows).is_empty(), "nobody counted the rows of T-3");
    rows[3].rows = Some(10);
    assert_eq!(said(&rows), ["T-7 names row 12 of T-3 as its pollinizer, and T-3 has 10 rows."]);
}

#[test]
fn a_pollinizer_that_serves_raises_no_alarm() {
    for record in
        ["every 3rd row Gamma", "Gamma", "Gamma rows", "gamma, T-3", "filas 4, 8", "rows 1-8", "T-3 and T-2 rows"]
    {
        assert!(said(&farm(record)).is_empty(), "{record}: {:?}", said(&farm(record)));
    }
    assert_eq!(readings(&farm("Gamma")), ["T-7 names Gamma: read as T-3."]);
    assert!(readings(&farm("every 3rd row Gamma")).is_empty() && readings(&farm("Beta")).is_empty());
}

/// A distance that is given goes before the name of the farm.
#[test]
fn a_block_of_another_farm_serves_where_its_distance_is_given() {
    let mut blocks = farm("Far-1");
    let codes = |blocks: &[PollinationBlock], reach| remarks(blocks, reach).len();
    blocks[0].trees_away = Some(2);
    assert_eq!((codes(&blocks, None), codes(&blocks, Some(2)), codes(&blocks, Some(1))), (0, 0, 1));
    blocks[0].pollinizer = "Epsilon".into();
    assert_eq!(codes(&blocks, None), 0);
    assert_eq!(readings(&blocks), ["T-7 names Epsilon: read as Far-1."]);
    blocks[0].pollinizer = "Z-9".into();
    assert_eq!(codes(&blocks, None), 1, "there is no such block");
}

#[test]
fn a_distance_that_is_not_given_is_said_where_there_is_a_limit() {
    let blocks = farm("T-3");
    assert_eq!(
        unchecked(&blocks, Some(4)).as_deref(),
        Some(
            "Distance not given for T-7: how far off the pollinizer stands is not held against the limit of 4 trees there."
        )
    );
    assert_eq!(unchecked(&farm(""), Some(4)), None, "that it names none is said already");
    let mut told = farm("T-3");
    told[0].trees_away = Some(3);
    assert_eq!(unchecked(&told, Some(4)), None);
}
