use std::collections::BTreeSet;

use chrono::NaiveDate;
use reckon::money::Money;
use reckon::operation_season::OperationRecords;
use serde_json::Value;

use super::super::page_checks::{self, has, read};
use super::*;
use crate::report::Revision;
use crate::sheet::Paper;
use crate::{json, samples};

fn day(day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 11, day).unwrap()
}

fn issue(paper: Paper) -> Issue {
    Issue { paper, made_on: day(3), standing: Standing::Open { last: None } }
}

#[test]
fn a_closed_season_says_which_revision_it_is() {
    let mut season = samples::operation();
    let revision = |number, cents| Revision {
        number,
        closed_on: day(number),
        fingerprint: operation_fingerprint(&samples::operation()),
        over_all: Some(Money::from_cents(cents)),
    };
    let closed = Standing::Closed { now: revision(2, 1), replaces: Some(revision(1, -12_345)) };
    let told = |season: &OperationSeason, standing| read(&sheet(season, &Issue { standing, ..issue(Paper::Letter) }));
    let text = told(&season, closed);
    assert!(text.contains("Season 2026 · revision 2"), "{text}");
    assert!(
        text.contains("Revision 2, replaces revision 1 of 1 Nov 2026: return over all costs was −$123.45."),
        "{text}"
    );
    assert!(!text.contains("Figures have changed"), "{text}");
    season.unallocated = Money::from_cents(1);
    assert!(told(&season, closed).contains("Figures have changed since the closing"));
    assert!(told(&season, Standing::Unnumbered).contains("before the report of the operation was numbered"));
    season.whole = false;
    assert!(told(&season, Standing::Unnumbered).contains("this is of some farms"));
    assert!(told(&season, Standing::Open { last: None }).contains("Season 2026 · season still open"));
}

/// Long names, many farms, and all that nobody recorded.
fn variants() -> Vec<(&'static str, OperationSeason)> {
    let usual = samples::operation_records();
    let empty = OperationRecords { blocks: Vec::new(), last: Vec::new(), shared: Vec::new(), ..usual.clone() };
    let mut bare = usual.clone();
    for block in &mut bare.blocks {
        let (block, farm) = (block.block.clone(), block.farm.clone());
        let at = bare.season;
        bare.last.push(reckon::season::SeasonRecords::without_records(bare.operation.clone(), farm, block, at));
    }
    bare = OperationRecords { blocks: core::mem::take(&mut bare.last), shared: Vec::new(), ..bare };
    let mut many = usual.clone();
    many.operation = "The Upper and Lower Cottonwood Flat Irrigated Orchard Growing and Packing Partnership".to_owned();
    many.whole = false;
    for (n, block) in many.blocks.iter_mut().enumerate() {
        block.farm.name = format!("Home Place below the Old Diversion number {n}");
        block.block.variety = "Queen of the Late August Morning".to_owned();
        "Ñ◊ żółta".clone_into(&mut block.block.crop);
    }
    vec![("usual", usual.reckon()), ("empty", empty.reckon()), ("bare", bare.reckon()), ("many farms", many.reckon())]
}

#[test]
fn every_page_keeps_to_its_paper() {
    for (name, season) in variants() {
        for paper in Paper::ALL {
            let sheet = sheet(&season, &issue(paper));
            let name = format!("{name} on {}", paper.word());
            page_checks::inside_the_margins(&name, &sheet);
            page_checks::apart(&name, &sheet);
            page_checks::headings_stay(&name, &sheet);
            page_checks::letters_are_known(&name, &sheet);
            page_checks::readable(&name, &sheet);
            page_checks::filled(&name, &sheet);
            let of = sheet.pages.len();
            assert!(sheet.pages.iter().enumerate().all(|(n, page)| has(page, &format!("page {} of {of}", n + 1))));
        }
    }
}

/// The operation's own list says which size is larger, and prices by size follow it.
#[test]
fn sizes_stand_as_the_own_list_has_them() {
    let season = samples::with_own_sizes().reckon();
    let text = read(&sheet(&season, &issue(Paper::Letter)));
    let (_, prices) = text.split_once("size class or grade").unwrap();
    let words: Vec<&str> = prices.split_whitespace().filter(|word| ["AA", "A", "B", "C"].contains(word)).collect();
    assert_eq!(words[..4], ["AA", "A", "B", "C"], "{prices}");
    assert!(text.contains("as the operation's own list has them. By what your own sizes stand for: A "), "{text}");
}

#[test]
fn the_same_season_gives_the_same_bytes() {
    let season = samples::operation();
    let first = pdf(&season, &issue(Paper::Letter)).unwrap();
    assert!(first == pdf(&samples::operation(), &issue(Paper::Letter)).unwrap());
    assert!(first != pdf(&season, &issue(Paper::A4)).unwrap());
    let mut other = samples::operation_records();
    other.blocks[0].costs[0].record.amount = Money::from_cents(1);
    assert!(first != pdf(&other.reckon(), &issue(Paper::Letter)).unwrap());
}

/// Every string of plain digits in the JSON, rounded to cents and to whole dollars as it is printed.
fn numbers(value: &Value, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(map) => map.values().for_each(|inner| numbers(inner, found)),
        Value::Array(list) => list.iter().for_each(|inner| numbers(inner, found)),
        Value::String(text) => {
            if let Ok(number) = text.parse::<rust_decimal::Decimal>() {
                for places in [0, 2] {
                    let printed = figures::decimal(number, places);
                    found.insert(printed.clone());
                    // A cost stands as what it takes away, a difference with its sign.
                    found.insert(figures::decimal(-number, places));
                    found.insert(format!("+{printed}"));
                }
            }
        }
        Value::Number(number) => {
            let number = number.as_f64().unwrap();
            for places in 0..4 {
                found.insert(figures::float(number, places));
            }
        }
        _ => {}
    }
}

#[test]
fn every_amount_of_the_report_is_in_the_json() {
    for (name, season) in variants() {
        let mut found = BTreeSet::new();
        numbers(&json::operation(&season), &mut found);
        let sheet = sheet(&season, &issue(Paper::Letter));
        let mut checked = 0;
        for text in sheet.texts().filter(|text| text.role == crate::sheet::Role::Figure) {
            let plain = text.text.trim_start_matches('$').replace("−$", "−");
            // Amounts have their cents; places, counts and percent steps are no money.
            if plain.contains('.') && plain.chars().any(|c| c.is_ascii_digit()) {
                assert!(found.contains(&plain), "{name}: {plain}");
                checked += 1;
            }
        }
        assert!(name == "empty" || name == "bare" || checked > 300, "{name}: {checked}");
    }
}

#[test]
fn blocks_and_what_nobody_bears_add_up_on_paper() {
    let season = samples::operation();
    let sheet = sheet(&season, &issue(Paper::Letter));
    let page = sheet.pages.iter().find(|page| has(page, "Borne by no block")).unwrap();
    let over_all = |block: &reckon::season::BlockSeason| {
        block.statement.line(StatementKey::OverAll).map_or(Money::ZERO, |line| line.amount.value)
    };
    let blocks: Money = season.blocks.iter().map(over_all).sum();
    for block in &season.blocks {
        assert!(has(page, &figures::money(over_all(block))), "{}", block.heading.block.code);
    }
    assert_eq!(season.unallocated, Money::from_cents(90_000));
    assert_eq!(blocks.minus(season.unallocated), season.after_unallocated);
    assert!(has(page, &figures::money(season.after_unallocated)));
}

#[test]
fn a_statement_stands_on_one_page() {
    for paper in Paper::ALL {
        let sheet = sheet(&samples::operation(), &issue(paper));
        let page = sheet.pages.iter().find(|page| has(page, "Statement of the operation")).unwrap();
        assert!(has(page, "Return over these too"), "{}", paper.word());
    }
}

#[test]
fn it_answers_what_was_asked() {
    let season = samples::operation();
    let text = read(&sheet(&season, &issue(Paper::Letter)));
    for told in [
        "What sets each block apart from the median block, $ an acre",
        "What has changed since the season of 2025, $ an acre",
        "Who bears what of the shared costs, $",
        "Schedule F (Form 1040), lines as suggested",
        "Packout and price: nectarine",
        "Thinning methods: nectarine",
        "no interval",
        "One only: nothing tells how much such blocks differ",
        "Break-even gross price and yield",
        "RB-1: return over all costs, $ an acre, by yield and gross price a box",
        "What is missing",
        "the bookkeeper decides",
    ] {
        assert!(text.contains(told), "{told}");
    }
    for how in &season.how {
        assert!(text.contains(how.title), "{}", how.title);
    }
    let told = |name| read(&sheet(&variants().into_iter().find(|(own, _)| *own == name).unwrap().1, &issue(Paper::A4)));
    assert!(told("empty").contains("Nothing to state yet"));
    assert!(told("many farms").contains("Statement of your farms"));
    assert!(told("many farms").contains("not the whole operation"));
}
