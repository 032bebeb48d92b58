use chrono::NaiveDate;
use reckon::exact::{Boxes, Pounds};
use reckon::figure::{Kept, RecordId};
use reckon::money::UnitPrice;
use reckon::records::{Charges, LineOutcome, OwnSize, PackoutLine, PriceLine, SettlementLine, Sold};
use reckon::season::SeasonRecords;
use scraper::Html;
use store::BlockId;

use super::{PackoutPage, crops};
use crate::pages::html::{all, held, records, shell, text};

fn day(month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, month, day).unwrap()
}

fn kept<R>(line: u32, record: R) -> Kept<R> {
    Kept { id: RecordId::Line(line), record }
}

fn packed(line: u32, date: NaiveDate, size: &str, boxes: i64) -> Kept<PackoutLine> {
    let (size_class, grade) = (size.to_owned(), "Extra".to_owned());
    let outcome = LineOutcome::Packed { size_class, grade, boxes: Boxes::whole(boxes).unwrap() };
    kept(line, PackoutLine { date, outcome, weight: Pounds::whole(boxes * 20).ok(), note: String::new() })
}

fn settled(line: u32, size: &str, boxes: i64, dollars: i64) -> Kept<SettlementLine> {
    let sold = Sold::Boxes { boxes: Boxes::whole(boxes).unwrap(), price: UnitPrice::from_micros(dollars * 1_000_000) };
    let (size_class, charges) = (Some(size.to_owned()), Charges::default());
    let (buyer, note) = (String::new(), String::new());
    kept(line, SettlementLine { date: day(8, 20), buyer, size_class, grade: None, sold, charges, note })
}

/// A plum block settled in full, another of which the larger class waits at the price list.
fn seasons() -> Vec<(BlockId, SeasonRecords)> {
    let (mut paid, mut waiting) = (records(1, "RB-1"), records(2, "RB-2"));
    paid.1.packout = vec![packed(1, day(7, 6), "A", 100), packed(2, day(7, 14), "AA", 100)];
    paid.1.settlements = vec![settled(1, "A", 100, 10), settled(2, "AA", 100, 16)];
    waiting.1.packout = vec![packed(3, day(7, 15), "AA", 300)];
    let price = PriceLine {
        from: day(1, 1),
        crop: None,
        size_class: None,
        grade: None,
        net_price: UnitPrice::from_micros(12_000_000),
        note: String::new(),
    };
    waiting.1.prices = vec![kept(1, price)];
    vec![paid, waiting, records(3, "RB-3")]
}

fn page(seasons: &[(BlockId, SeasonRecords)]) -> Html {
    held(&PackoutPage::of(shell("/season/2026/packout"), 2026, &crops(seasons)))
}

fn rows(html: &Html, table: usize) -> Vec<String> {
    let table = all(html, "table.prices")[table];
    table.select(&scraper::Selector::parse("tbody tr, tfoot tr").unwrap()).map(text).collect()
}

#[test]
fn prices_are_weighted_over_the_blocks_and_the_assumed_are_marked() {
    let html = page(&seasons());
    assert_eq!(
        rows(&html, 0),
        [
            // 100 boxes at 10.
            "A 20.0 100 2,000 1,000.00 10.00 0.50 invoiced",
            // 100 at 16 and 300 at the list's 12: 13 a box, 3 over the class below.
            "AA 80.0 400 8,000 5,200.00 13.00 0.65 +3.00 +0.15 assumed",
            "Packed 100.0 500 10,000 6,200.00 12.40 0.62 assumed"
        ]
    );
    assert!(text(all(&html, "section")[0]).contains("$3,600.00 of it is not settled yet: assumed at the price list"));
}

#[test]
fn weeks_and_grades_have_their_prices_and_only_packed_blocks_are_named() {
    let html = page(&seasons());
    assert_eq!(rows(&html, 1), ["Extra 100.0 500 10,000 6,200.00 12.40 0.62 assumed"]);
    assert_eq!(
        rows(&html, 2),
        ["6 Jul 100 2,000 1,000.00 10.00 0.50 invoiced", "13 Jul 400 8,000 5,200.00 13.00 0.65 assumed"]
    );
    // On a phone each figure stands with its own label.
    assert!(all(&html, "table.rows.prices tbody td.n").iter().all(|cell| cell.attr("data-label").is_some()));
    let blocks: Vec<String> = all(&html, "section ul.inline a").into_iter().map(text).collect();
    assert_eq!(blocks, ["RB-1", "RB-2"]);
    let charts: Vec<String> = all(&html, "figure figcaption").into_iter().map(text).collect();
    let expected = ["Net price, $ a lb", "A larger size brings more, $ a lb", "Net price by week of packing, $ a lb"];
    assert_eq!(charts, expected);
    assert!(text(all(&html, "figure")[1]).contains("AA over A: +0.15."));
    assert_eq!(text(all(&html, "[aria-current=page]")[0]), "Packout and prices");
}

#[test]
fn crops_are_never_put_together_and_none_is_said() {
    let mut seasons = seasons();
    seasons[1].1.block.crop = "peach".to_owned();
    let heads: Vec<String> = all(&page(&seasons), "section[id^=crop] h2").into_iter().map(text).collect();
    assert_eq!(heads, ["Peach", "Plum"]);
    assert!(text(all(&page(&[]), "main")[0]).contains("Nothing is packed or sold in this season yet."));
}

#[test]
fn what_was_sold_and_never_packed_and_what_has_no_weight_is_said_with_its_block() {
    let mut seasons = seasons();
    seasons[0].1.settlements.push(settled(9, "AAAA", 40, 20));
    seasons[1].1.packout[0].record.weight = None;
    let said: Vec<String> = all(&page(&seasons), "section[id^=crop] ul.missing li").into_iter().map(text).collect();
    assert_eq!(said.len(), 2, "{said:?}");
    assert!(said[0].starts_with("RB-1: The settlement of 20 August is for AAAA, and no such boxes were packed."));
    assert!(said[1].starts_with("RB-2: 300 boxes have no weight."), "{said:?}");
}

#[test]
fn own_sizes_are_compared_by_what_they_stand_for() {
    let mut seasons = seasons();
    for (_, records) in &mut seasons {
        records.block.crop = "peach".to_owned();
        let own = OwnSize {
            from: day(1, 1),
            crop: Some("peach".to_owned()),
            size_class: "Grand".to_owned(),
            place: 2,
            means: Some("AA".to_owned()),
            note: String::new(),
        };
        records.sizes = vec![kept(1, own)];
    }
    let LineOutcome::Packed { size_class, .. } = &mut seasons[1].1.packout[0].record.outcome else { panic!() };
    *size_class = "Grand".to_owned();
    let html = page(&seasons);
    let heads: Vec<String> = all(&html, "section[id^=crop] h3").into_iter().map(text).collect();
    assert!(heads.contains(&"By published class".to_owned()), "{heads:?}");
    let rows = rows(&html, 1);
    assert_eq!(rows.len(), 2, "{rows:?}");
    assert!(rows[1].starts_with("AA 80.0 400 8,000"), "two sheds' words, one class: {rows:?}");
}
