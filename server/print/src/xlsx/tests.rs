use std::io::Read;

use super::table::{Sheet, Value};
use super::*;
use crate::samples;

fn day() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 11, 3).unwrap()
}

/// Name and text of every part of the file.
fn parts(bytes: &[u8]) -> Vec<(String, String)> {
    let mut file = zip::ZipArchive::new(std::io::Cursor::new(bytes)).unwrap();
    (0..file.len())
        .map(|n| {
            let mut part = file.by_index(n).unwrap();
            let mut text = String::new();
            part.read_to_string(&mut text).unwrap();
            (part.name().unwrap().into_owned(), text)
        })
        .collect()
}

fn of_first_block() -> (BlockSeason, Vec<CostLine>) {
    let records = samples::operation_records();
    let block = &records.blocks[0];
    (reckon::reckon(block), reckon::operation_season::cost_lines(block))
}

fn named<'s>(sheets: &'s [Sheet], name: &str) -> &'s Sheet {
    sheets.iter().find(|sheet| sheet.name == name).unwrap_or_else(|| panic!("{name}"))
}

#[test]
fn the_same_season_and_day_give_the_same_bytes() {
    let (season, costs) = of_first_block();
    let whole = samples::operation();
    let (first, all) = (block(&season, &costs, day()).unwrap(), operation(&whole, day()).unwrap());
    for _ in 0..6 {
        assert!(block(&season, &costs, day()).unwrap() == first);
        assert!(operation(&whole, day()).unwrap() == all);
    }
    let later = day().succ_opt().unwrap();
    assert!(block(&season, &costs, later).unwrap() != first);
    for bytes in [first, all] {
        let properties = parts(&bytes).into_iter().find(|(name, _)| name == "docProps/core.xml").unwrap().1;
        assert!(properties.contains("2026-11-03T00:00:00Z"), "{properties}");
    }
}

#[test]
fn what_a_person_typed_is_no_formula() {
    let whole = operation(&samples::operation(), day()).unwrap();
    let (season, costs) = of_first_block();
    for bytes in [whole, block(&season, &costs, day()).unwrap()] {
        let parts = parts(&bytes);
        let text: String = parts.iter().map(|(_, text)| text.as_str()).collect();
        assert!(text.contains("=HYPERLINK(\"x\")") || text.contains("=HYPERLINK(&quot;x&quot;)"));
        for (name, text) in parts.iter().filter(|(name, _)| name.starts_with("xl/worksheets/")) {
            assert!(!text.contains("<f>") && !text.contains("<f ") && !text.contains("hyperlink"), "{name}");
        }
    }
}

/// Numbers and dates stand in the file as they are printed, digit for digit.
#[test]
fn amounts_are_numbers_to_the_cent_and_days_are_days() {
    let season = samples::operation();
    let parts = parts(&operation(&season, day()).unwrap());
    let sheet = |n: usize| &parts.iter().find(|(name, _)| *name == format!("xl/worksheets/sheet{n}.xml")).unwrap().1;
    for line in &season.statement.lines {
        let plain = line.amount.value.decimal().normalize().to_string();
        assert!(sheet(1).contains(&format!("<v>{plain}</v>")), "{plain}");
    }
    // The invoice of 15 January 2026 in the list of costs: days since the last of 1899.
    assert!(sheet(7).contains("<v>46037</v>"));
    let styles = &parts.iter().find(|(name, _)| name == "xl/styles.xml").unwrap().1;
    assert!(styles.contains("yyyy-mm-dd") && (styles.contains("#,##0.00") || styles.contains("numFmtId=\"4\"")));
}

#[test]
fn sums_are_the_books_own() {
    let season = samples::operation();
    let sheets = super::operation::sheets(&season, day());
    let last = |name: &str| named(&sheets, name).rows.last().unwrap().1.clone();
    assert!(last("Costs").contains(&Value::Money(season.ledger.total.all())));
    assert!(last("Costs by group").contains(&Value::Money(season.ledger.total.all())));
    let statement = named(&sheets, "Statement");
    assert!(statement.rows.iter().any(|(_, cells)| cells.contains(&Value::Money(season.after_unallocated))));
    let blocks = named(&sheets, "Blocks");
    assert_eq!(blocks.rows.len(), season.blocks.len() + 1);
    let shared: reckon::money::Money = named(&sheets, "Shared costs")
        .rows
        .iter()
        .map(|(_, cells)| if let Value::Money(part) = cells[8] { part } else { reckon::money::Money::ZERO })
        .sum();
    assert_eq!(shared, season.ledger.total.shared.plus(season.ledger.total.unallocated));
    for sheet in &sheets {
        assert!(sheet.rows.iter().all(|(_, cells)| cells.len() <= sheet.columns.len()), "{}", sheet.name);
    }
}

#[test]
fn every_sheet_of_a_block_is_there_and_says_how_it_is_known() {
    let (season, costs) = of_first_block();
    let sheets = super::block::sheets(&season, &costs, day());
    for name in ["Statement", "Labor", "Water", "Packout", "Costs", "Gaps"] {
        assert!(!named(&sheets, name).rows.is_empty(), "{name}");
    }
    for name in ["Statement", "Labor", "Water", "Packout", "Price by week"] {
        let sheet = named(&sheets, name);
        let at = sheet.columns.iter().position(|(head, _)| head == "How known").unwrap();
        assert!(sheet.rows.iter().any(|(_, cells)| matches!(cells.get(at), Some(Value::Text(_)))), "{name}");
    }
    for (_, season) in samples::all() {
        let bytes = block(&season, &[], day()).unwrap();
        assert!(parts(&bytes).len() > 10);
    }
}

#[test]
fn what_has_too_many_digits_for_a_number_stands_as_text() {
    let (mut season, _) = of_first_block();
    season.statement.lines[0].amount.value = reckon::money::Money::from_cents(9_223_372_036_854_775_807);
    let parts = parts(&block(&season, &[], day()).unwrap());
    let strings = &parts.iter().find(|(name, _)| name == "xl/sharedStrings.xml").unwrap().1;
    assert!(strings.contains("92233720368547758.07"));
}
