mod said;

use std::collections::BTreeSet;

use reckon::season::{BlockSeason, ThinningSeason};
use serde_json::Value;

use super::page_checks::{self, has, read};
use super::*;
use crate::sheet::{Page, Role, Text};
use crate::{csv, figures, font, headline, json, samples};

fn issue(paper: Paper) -> Issue {
    Issue { paper, made_on: NaiveDate::from_ymd_opt(2026, 11, 3).unwrap(), standing: second() }
}

/// A second revision whose figures have moved since: the longest sentence there is.
fn second() -> Standing {
    let closed_on = NaiveDate::from_ymd_opt(2026, 11, 2).unwrap();
    let now = Revision {
        number: 2,
        closed_on,
        fingerprint: Fingerprint([7; 8]),
        over_all: Some(reckon::money::Money::from_cents(9_223_372_036_854_775_807)),
    };
    Standing::Closed { now, replaces: Some(Revision { number: 1, ..now }) }
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

#[test]
fn every_text_lies_inside_the_margins() {
    for (name, sheet, _) in every_sheet() {
        page_checks::inside_the_margins(&name, &sheet);
    }
}

#[test]
fn no_two_texts_of_a_line_touch() {
    for (name, sheet, _) in every_sheet() {
        page_checks::apart(&name, &sheet);
    }
}

#[test]
fn every_letter_is_in_its_face() {
    for (name, sheet, _) in every_sheet() {
        page_checks::letters_are_known(&name, &sheet);
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
fn what_is_beyond_money_is_called_too_large() {
    let mut season = samples::full();
    for line in &mut season.statement.lines {
        line.per_acre = Some(reckon::money::UnitPrice::from_micros(i64::MAX));
        line.per_tree = None;
    }
    let text = read(&sheet(&season, &issue(Paper::Letter)));
    let lines = season.statement.lines.len();
    assert_eq!(text.matches("too large –").count(), lines, "in each line, and what is missing beside it: {text}");
    assert_eq!(crate::headline::headlines(&season)[3].known(), "too large to add up");
    season.statement.lines.clear();
    assert_eq!(crate::headline::headlines(&season)[3].known(), "records are missing");
}

#[test]
fn what_takes_a_fourth_page_is_left_to_the_pages_and_the_operations_report() {
    let full = sheet(&samples::full(), &issue(Paper::Letter));
    let text = read(&full);
    assert!(text.contains("cut to their first sentence") && text.contains("operation's season report"));
    assert!(!text.contains("Price by week of packing"));
    let place =
        "Prices by week, break-even and returns over a range of yields and prices: on the block's statement page";
    let at = |words: &str| text.find(words).unwrap();
    assert!(at(place) < at("What is missing"), "said where the tables would stand");
    let records = samples::operation_records();
    for block in &records.blocks {
        let season = reckon::reckon(block);
        let sheet = sheet(&season, &issue(Paper::Letter));
        let text = read(&sheet);
        assert!(sheet.pages.len() <= 3 && !text.contains("cut to their first sentence"), "{}", block.block.code);
        let sold = !season.packout.weeks.is_empty();
        for heading in ["Price by week of packing, and break-even", "Return over all costs, $ an acre, by yield"] {
            assert_eq!(text.contains(heading), sold, "{}: {heading}", block.block.code);
        }
        assert!(text.contains("it stands among the block-seasons of"), "{}", block.block.code);
        page_checks::inside_the_margins(&block.block.code, &sheet);
        page_checks::apart(&block.block.code, &sheet);
        page_checks::readable(&block.block.code, &sheet);
    }
}

/// The bytes of a folder's report may not hang on the day it was printed, and must not name another as that.
#[test]
fn a_folders_report_says_made_on_only_of_a_day_that_was_said() {
    let season = samples::full();
    let text = |made_on| read(&sheet(&season, &Issue { made_on, standing: Standing::Files, ..issue(Paper::Letter) }));
    let last = season.heading.season.last_day;
    let undated = text(last);
    assert!(undated.contains(&format!("season to {}", words::full_day(last))) && !undated.contains("· made on"));
    assert!(text(last.pred_opt().unwrap()).contains("· made on"));
}

/// What pieces are paid for overtime is on no invoice.
#[test]
fn overtime_that_was_not_paid_by_the_hour_is_an_estimate() {
    let mut season = samples::full();
    let all = &mut season.labor.all;
    all.overtime = all.hours.clone();
    all.cost = all.cost.clone().weakened(reckon::figure::Evidence::Modelled);
    assert!(words::labor_known(all).contains("cost modelled; overtime estimated"), "{}", words::labor_known(all));
    all.overtime = None;
    assert!(!words::labor_known(all).contains("overtime"));
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
        page_checks::headings_stay(&name, &sheet);
    }
}

#[test]
fn a_table_that_goes_on_repeats_its_heads() {
    let mut season = samples::full();
    let cells = season.packout.cells.clone();
    season.packout.cells.extend(cells.iter().cycle().take(60).cloned());
    let sheet = sheet(&season, &issue(Paper::Letter));
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
        season.how.iter().filter(|how| super::closing::shown(how)).for_each(|how| told(how.title));
        told("clear of the trunks");
        told("not a payroll");
        told("Local codes come first");
    }
}

/// What is wanted, with where it stands, and guides where nothing is wanted of the spacing.
#[test]
fn what_is_wanted_stands_beside_what_was_counted() {
    let season = samples::full();
    let words = |season: &BlockSeason| {
        let text = read(&sheet(season, &issue(Paper::Letter)));
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let text = words(&season);
    assert!(text.contains("% of 420 assumed"), "{text}");
    assert!(text.contains("Published guides of spacing: 3 to 5") && text.contains("none is a target"), "{text}");
    let uncounted =
        BlockSeason { thinning: ThinningSeason { left_of_target: None, ..season.thinning.clone() }, ..season };
    assert!(words(&uncounted).contains("420 fruit/tree assumed"));
}

#[test]
fn the_metered_saving_is_known_as_on_the_page() {
    let text = read(&sheet(&samples::full(), &issue(Paper::Letter)));
    let words: Vec<&str> = text.split_whitespace().collect();
    assert!(words.join(" ").contains("(modelled, the water itself counted)"), "{text}");
}

#[test]
fn a_layer_of_mulch_without_a_cost_says_so() {
    let mut season = samples::full();
    season.mulch.laid[0].cost = None;
    let text = read(&sheet(&season, &issue(Paper::Letter)));
    assert!(text.contains("not given"), "{text}");
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

#[test]
fn letters_that_cannot_be_printed_are_counted_and_said() {
    for (name, sheet, _) in every_sheet() {
        let marks: usize = read(&sheet).matches(font::REPLACEMENT).count();
        let said = read(&sheet).contains("cannot be printed in this font");
        assert_eq!(said, name.starts_with("letters"), "{name}");
        assert_eq!(marks > 0, said, "{name}: a sign that is not explained, or explained without need");
    }
    let sheet = sheet(&samples::letters(), &issue(Paper::Letter));
    // One in the title, three in the running head of each page, the note's, and the one that explains.
    let marks = read(&sheet).matches(font::REPLACEMENT).count();
    let of_later_heads = 3 * (sheet.pages.len() - 1);
    let text = read(&sheet);
    let counted = marks - 1 - of_later_heads;
    assert!(counted > 4 && text.contains(&format!("{counted} characters")), "{counted}");
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
                ("per_pound", line.per_pound.map(|price| figures::price(price, 3))),
            ] {
                let Some(printed) = printed else { continue };
                assert!(texts.contains(printed.as_str()), "{name}: {key} {part} {printed}");
                let places = match part {
                    "per_acre" => 0,
                    "per_pound" => 3,
                    _ => 2,
                };
                let value = agreed(&json, &table, &format!("/statement/lines/{key}/{part}"), ("statement", key, part));
                assert_eq!(figures::decimal(value.parse().unwrap(), places), printed, "{name}: {key} {part}");
                compared += 1;
            }
        }
        assert_eq!(compared, season.statement.lines.len() * 5, "{name}");
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
    let lacks = figure["incomplete"].as_str().unwrap_or_default();
    let row = format!("{section},{name},{},{},{},{},{lacks}", text("value"), text("unit"), text("evidence"), text("n"));
    assert!(table.lines().any(|line| line == row), "{row} is not in the table");
    text("value")
}

/// Overtime hours and the cost of 1,000 fruit have a column where a row has them, and none else.
#[test]
fn columns_of_labor_stand_where_a_row_has_them() {
    let heads = |season: &BlockSeason| {
        let text = read(&sheet(season, &issue(Paper::Letter)));
        [text.contains("of it overtime"), text.contains("1,000 fruit $")]
    };
    let mut season = samples::full();
    assert_eq!(heads(&season), [false, true]);
    let work = &mut season.labor.tasks[0].measure;
    let overtime = reckon::exact::Hours::from_micros(21_500_000);
    work.overtime = work.hours.as_ref().map(|hours| hours.map(overtime));
    assert_eq!(heads(&season), [true, true]);
    assert!(read(&sheet(&season, &issue(Paper::Letter))).contains("21.5"));
    assert_eq!(sheet(&season, &issue(Paper::Letter)).pages.len(), 3);
    for pass in &mut season.labor.passes {
        pass.measure.cost_per_thousand = None;
    }
    for measure in season.labor.thinning.iter_mut().chain(season.labor.tasks.iter_mut().map(|task| &mut task.measure)) {
        measure.cost_per_thousand = None;
    }
    assert_eq!(heads(&season), [true, false]);
}
