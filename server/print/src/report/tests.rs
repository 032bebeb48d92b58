use std::collections::BTreeSet;

use reckon::season::BlockSeason;
use serde_json::Value;

use super::*;
use crate::sheet::{Align, Page, Role, Text};
use crate::{csv, figures, font, headline, json, samples};

fn issue(paper: Paper) -> Issue {
    Issue { paper, made_on: NaiveDate::from_ymd_opt(2026, 11, 3).unwrap(), revision: 2 }
}

fn every_sheet() -> Vec<(String, Sheet, BlockSeason)> {
    let mut all = Vec::new();
    for (name, season) in samples::all() {
        for paper in Paper::ALL {
            all.push((format!("{name} on {}", paper.word()), sheet(&season, &issue(paper)), season.clone()));
        }
    }
    all
}

/// Left and right end of a text.
fn span(text: &Text) -> (f64, f64) {
    let width = font::width(text.font, text.size, &text.text);
    match text.align {
        Align::Left => (text.x, text.x + width),
        Align::Middle => (text.x - width / 2.0, text.x + width / 2.0),
        Align::Right => (text.x - width, text.x),
    }
}

fn has(page: &Page, text: &str) -> bool {
    page.texts().any(|found| found.text == text)
}

/// Sentences as they read, whatever line they were wrapped to.
fn read(sheet: &Sheet) -> String {
    sheet.texts().map(|text| text.text.as_str()).collect::<Vec<_>>().join(" ")
}

#[test]
fn every_text_lies_inside_the_margins() {
    for (name, sheet, _) in every_sheet() {
        let (width, height) = sheet.paper.size();
        for text in sheet.texts() {
            let (left, right) = span(text);
            assert!(left >= 41.9 && right <= width - 41.9, "{name}: {left} to {right}: {text:?}");
            assert!(text.y >= 30.0 && text.y <= height - 20.0, "{name}: {text:?}");
            let foot = text.role == Role::Running;
            assert!(foot || text.y <= height - 43.9, "{name}: runs into the foot: {text:?}");
        }
    }
}

#[test]
fn no_two_texts_of_a_line_touch() {
    for (name, sheet, _) in every_sheet() {
        for page in &sheet.pages {
            let texts: Vec<&Text> = page.texts().collect();
            for (n, a) in texts.iter().enumerate() {
                for b in texts.iter().skip(n + 1).filter(|b| (b.y - a.y).abs() < 2.0) {
                    let ((a1, a2), (b1, b2)) = (span(a), span(b));
                    assert!(a2 <= b1 + 0.01 || b2 <= a1 + 0.01, "{name}: {a:?} and {b:?}");
                }
            }
        }
    }
}

#[test]
fn every_letter_is_in_its_face() {
    for (name, sheet, _) in every_sheet() {
        for text in sheet.texts() {
            assert!(text.text.chars().all(|letter| font::has(text.font, letter)), "{name}: {text:?}");
        }
    }
}

#[test]
fn a_usual_block_takes_two_or_three_pages() {
    for paper in Paper::ALL {
        assert_eq!(sheet(&samples::full(), &issue(paper)).pages.len(), 3, "{paper:?}");
        assert_eq!(sheet(&samples::sparse(), &issue(paper)).pages.len(), 1, "{paper:?}");
        assert!(sheet(&samples::extreme(), &issue(paper)).pages.len() > 3, "{paper:?}");
    }
}

#[test]
fn every_page_says_whose_it_is_and_which_of_how_many() {
    for (name, sheet, season) in every_sheet() {
        let of = sheet.pages.len();
        let foot = format!("Fingerprint {} · made on 3 Nov 2026", fingerprint(&season).grouped());
        for (n, page) in sheet.pages.iter().enumerate() {
            assert!(has(page, &format!("page {} of {of}", n + 1)), "{name}");
            assert!(has(page, "Season 2026 · revision 2"), "{name}");
            assert!(has(page, &foot), "{name}");
        }
    }
}

#[test]
fn no_heading_is_the_last_on_its_page() {
    for (name, sheet, _) in every_sheet() {
        for page in &sheet.pages {
            let last = page.texts().filter(|text| text.role != Role::Running).last().unwrap();
            assert_ne!(last.role, Role::Heading, "{name}: {last:?}");
        }
    }
}

#[test]
fn a_table_that_goes_on_repeats_its_heads() {
    let sheet = sheet(&samples::full(), &issue(Paper::Letter));
    let split: Vec<&Page> = sheet.pages.iter().filter(|page| has(page, "size class")).collect();
    assert_eq!(split.len(), 2);
    assert!(split.iter().all(|page| has(page, "price known")));
    assert!(has(split[1], "Packed"), "the last sum stands on the second of them");
}

#[test]
fn numbers_are_never_shortened() {
    let sheet = sheet(&samples::extreme(), &issue(Paper::Letter));
    let numbers: Vec<&Text> = sheet.texts().filter(|text| text.role == Role::Figure).collect();
    assert!(numbers.iter().all(|text| !text.text.contains('…')));
    for whole in ["−92,233,720,368,547,750.00", "9,223,372,036,854.775807", "10,000,000,000,000,000,000"] {
        assert!(numbers.iter().any(|text| text.text == whole), "{whole}");
    }
}

#[test]
fn the_double_rule_stands_under_the_last_sum_only() {
    let season = samples::full();
    let sheet = sheet(&season, &issue(Paper::Letter));
    let page = &sheet.pages[0];
    let rules: Vec<f64> = page
        .marks
        .iter()
        .filter_map(|mark| match mark {
            crate::sheet::Mark::Line { from, to, width, .. }
                if (width - 0.6).abs() < 1e-9 && (from.1 - to.1).abs() < 1e-9 =>
            {
                Some(from.1)
            }
            _ => None,
        })
        .collect();
    assert_eq!(rules.len(), 2, "{rules:?}");
    let total = page.texts().find(|text| text.text == "Return over all costs" && text.role == Role::Cell).unwrap();
    assert!(rules.iter().all(|y| *y > total.y && *y < total.y + 8.0), "{rules:?} {total:?}");
}

#[test]
fn every_gap_formula_and_caution_is_told() {
    for (name, sheet, season) in every_sheet() {
        let text = read(&sheet).replace(' ', "");
        let told = |sentence: &str| {
            let sentence = font::printable(crate::sheet::Font::Regular, sentence).replace(' ', "");
            assert!(text.contains(&sentence), "{name}: {sentence}");
        };
        for gap in &season.gaps {
            told(&gap.what);
            told(&gap.mend);
        }
        // A paragraph may go on in the next column, past other text only at a page's foot.
        season.how.iter().for_each(|how| told(how.title));
        told("clear of the trunks");
        told("not a payroll");
        told("Local codes come first");
    }
}

#[test]
fn what_is_missing_is_named_and_not_drawn() {
    let sheet = sheet(&samples::sparse(), &issue(Paper::Letter));
    let text = read(&sheet);
    for sentence in [
        "No water balance: it needs the days of a weather station.",
        "Nothing to state yet: no settlement, price or cost was recorded.",
        "Nothing was packed or picked.",
        "trees not counted",
        "records are missing",
    ] {
        assert!(text.contains(sentence), "{sentence}: {text}");
    }
    assert!(has(&sheet.pages[0], "bare"));
}

#[test]
fn the_title_names_block_variety_and_crop() {
    assert_eq!(title(&samples::full()), "RB-1, Ninebark nectarine");
    let mut season = samples::full();
    season.heading.block.variety.clear();
    season.heading.block.crop.clear();
    assert_eq!(title(&season), "RB-1");
}

#[test]
fn letters_of_other_alphabets_are_printed_or_marked() {
    let sheet = sheet(&samples::letters(), &issue(Paper::Letter));
    let texts: BTreeSet<&str> = sheet.texts().map(|text| text.text.as_str()).collect();
    assert!(texts.contains("Ñ-3, Žlutá Вишня durazno ◊"));
    assert!(texts.contains("Huerta Ñandú & Łąka Ōhara <\"◊◊◊\"> · Σκιά και Άνεμος"));
    assert!(!read(&sheet).contains('\u{FE0F}'));
}

/// Page, spreadsheet and JSON must not disagree: every line of the statement and every headline
/// figure, in all three.
#[test]
fn sheet_csv_and_json_agree() {
    for (name, sheet, season) in every_sheet() {
        let json = json::block_season(&season);
        let table = csv::figures(&season);
        let texts: BTreeSet<&str> = sheet.texts().map(|text| text.text.as_str()).collect();
        let mut compared = 0;
        for line in &season.statement.lines {
            let key = line.key.word();
            for (part, printed) in [
                ("amount", Some(figures::money(line.amount.value))),
                ("per_acre", line.per_acre.map(|price| figures::price(price, 0))),
                ("per_tree", line.per_tree.map(|price| figures::price(price, 2))),
                ("per_box", line.per_box.map(|price| figures::price(price, 2))),
            ] {
                let Some(printed) = printed else { continue };
                assert!(texts.contains(printed.as_str()), "{name}: {key} {part} {printed}");
                let places = if part == "per_acre" { 0 } else { 2 };
                let value = agreed(&json, &table, &format!("/statement/lines/{key}/{part}"), ("statement", key, part));
                assert_eq!(figures::decimal(value.parse().unwrap(), places), printed, "{name}: {key} {part}");
                compared += 1;
            }
        }
        assert_eq!(compared, season.statement.lines.len() * 4, "{name}");
        headlines_agree(&name, &season, &json, &table, &texts);
    }
}

fn headlines_agree(name: &str, season: &BlockSeason, json: &Value, table: &str, texts: &BTreeSet<&str>) {
    let keys = ["thinning_labor_per_tree", "kept_by_mulch_per_acre", "net_price_per_pound", "return_per_acre"];
    for (key, shown) in keys.into_iter().zip(headline::headlines(season)) {
        assert!(texts.contains(shown.number.as_str()), "{name}: {key}");
        if shown.evidence.is_none() {
            assert_eq!(json.pointer(&format!("/headline/{key}")), Some(&Value::Null), "{name}: {key}");
            continue;
        }
        let value = agreed(json, table, &format!("/headline/{key}"), ("headline", key, ""));
        let places = match key {
            "kept_by_mulch_per_acre" => 1,
            "return_per_acre" => 0,
            _ => 2,
        };
        let number = figures::decimal(value.parse().unwrap(), places);
        assert!(
            shown.number == number || shown.number == figures::dollars(&number),
            "{name}: {key} {number} {shown:?}"
        );
    }
}

/// The value of a figure, after checking that the table holds it with the same unit, evidence and n.
fn agreed(json: &Value, table: &str, pointer: &str, (section, key, part): (&str, &str, &str)) -> String {
    let figure = json.pointer(pointer).unwrap_or_else(|| panic!("{pointer}"));
    let text = |field: &str| figure[field].as_str().map_or_else(|| figure[field].to_string(), str::to_owned);
    let name = if part.is_empty() { key.to_owned() } else { format!("{key}.{part}") };
    let row = format!("{section},{name},{},{},{},{}", text("value"), text("unit"), text("evidence"), text("n"));
    assert!(table.lines().any(|line| line == row), "{row} is not in the table");
    text("value")
}
