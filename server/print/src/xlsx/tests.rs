use std::io::Read;

use super::table::{Sheet, Value};
use super::*;
use crate::samples;

const OPEN: Standing = Standing::Open { last: None };

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
    let (first, all) = (block(&season, &costs, day()).unwrap(), operation(&whole, day(), &OPEN).unwrap());
    for _ in 0..6 {
        assert!(block(&season, &costs, day()).unwrap() == first);
        assert!(operation(&whole, day(), &OPEN).unwrap() == all);
    }
    let later = day().succ_opt().unwrap();
    assert!(block(&season, &costs, later).unwrap() != first);
    for bytes in [first, all] {
        let properties = parts(&bytes).into_iter().find(|(name, _)| name == "docProps/core.xml").unwrap().1;
        assert!(properties.contains("2026-11-03T00:00:00Z"), "{properties}");
    }
}

#[test]
fn an_operations_file_says_which_issue_it_is() {
    let season = samples::operation();
    let issue = |standing| {
        let sheets = super::operation::sheets(&season, day(), &standing);
        let about = named(&sheets, "About");
        let (_, cells) = about.rows.iter().find(|(_, cells)| cells[0] == Value::text("Issue")).unwrap();
        cells[1].clone()
    };
    assert_eq!(issue(OPEN), Value::text("Season still open; it was never closed."));
    let fingerprint = crate::fingerprint::operation_fingerprint(&season);
    let now = crate::report::Revision { number: 3, closed_on: day(), fingerprint, over_all: None };
    let closed = issue(Standing::Closed { now, replaces: None });
    assert_eq!(closed, Value::text("Revision 3, closed on 3 Nov 2026."));
}

#[test]
fn methods_stand_as_the_comparison_has_them() {
    let season = samples::operation();
    let sheets = super::operation::sheets(&season, day(), &OPEN);
    let sheet = named(&sheets, "Methods");
    let group = &season.thinning.groups[0];
    let (measure, table) = &group.measures[0];
    let mean = &table.methods[0];
    let (_, first) = &sheet.rows[0];
    assert_eq!(first[..3], [group.name.as_str(), &mean.method, measure.label()].map(Value::text));
    assert_eq!(first[4], Value::Float(mean.sample.mean, measure.places()));
    let means: usize =
        season.thinning.groups.iter().flat_map(|own| &own.measures).map(|(_, own)| own.methods.len()).sum();
    assert_eq!(sheet.rows.iter().filter(|(_, cells)| cells[1] != Value::Blank).count(), means);
    let remark = |said: &str| sheet.rows.iter().any(|(_, cells)| cells.last() == Some(&Value::text(said)));
    assert!(group.answers.sentences.iter().all(|said| remark(said)));
}

/// A shed whose list turns the usual order round: its own order holds, and what its words stand for has a
/// sheet of its own.
#[test]
fn sizes_stand_as_the_own_list_has_them() {
    let records = samples::with_own_sizes();
    let season = records.reckon();
    let sheets = super::operation::sheets(&season, day(), &OPEN);
    let column = |name: &str, at: usize| -> Vec<Value> {
        let rows = named(&sheets, name).rows.iter().filter(|(_, cells)| cells[0] == Value::text("nectarine"));
        rows.map(|(_, cells)| cells[at].clone()).collect()
    };
    let mut sizes = column("Packout", 1);
    sizes.retain(|size| *size != Value::text("All sizes"));
    sizes.dedup();
    let own = ["AA", "A", "B", "C"].map(Value::text);
    assert_eq!(sizes, [&own[..], &own].concat(), "the cells, then the sums");
    assert_eq!(column(parts::PUBLISHED, 1), ["A", "AA"].map(Value::text));
    let (first, costs) = (&records.blocks[0], reckon::operation_season::cost_lines(&records.blocks[0]));
    let of_block = super::block::sheets(&reckon::reckon(first), &costs, day());
    assert!(of_block.iter().any(|sheet| sheet.name == parts::PUBLISHED));
}

#[test]
fn what_a_person_typed_is_no_formula() {
    let whole = operation(&samples::operation(), day(), &OPEN).unwrap();
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
    let parts = parts(&operation(&season, day(), &OPEN).unwrap());
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
    let sheets = super::operation::sheets(&season, day(), &OPEN);
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
    season.statement.lines[0].amount.value = reckon::money::Money::from_cents(i64::MAX - 1);
    season.statement.lines[1].amount.value = reckon::money::Money::from_cents(i64::MAX);
    season.statement.lines[0].per_acre = Some(reckon::money::UnitPrice::from_micros(i64::MAX));
    let parts = parts(&block(&season, &[], day()).unwrap());
    let strings = &parts.iter().find(|(name, _)| name == "xl/sharedStrings.xml").unwrap().1;
    assert!(strings.contains("92233720368547758.06") && strings.contains("<t>too large</t>"), "{strings}");
    assert!(!strings.contains("92233720368547758.07"));
}
