use reckon::exact::Acres;

use crate::Beside;
use crate::{Context, FileKind, questions, read_form};
use reckon::block::Block;

/// Column and sentence of what is asked about a labor entry of 14 May 2026.
fn asked(fields: &str, today: &str) -> Vec<(&'static str, String)> {
    let day = "date=2026-05-14, block=RB-1, task=thin, ".to_owned() + fields;
    let typed: Vec<(String, String)> = day
        .split(", ")
        .filter_map(|field| field.split_once('='))
        .map(|(name, text)| (name.to_owned(), text.to_owned()))
        .collect();
    let kind = FileKind::from_word("labor").unwrap();
    let (_, parsed) = read_form(kind, &typed, &Context::default()).unwrap();
    let block = Block { trees: Some(400), rows: Some(20), acres: Acres::whole(4).unwrap(), ..Block::default() };
    let beside = Beside { today: today.parse().unwrap(), block: Some(&block) };
    questions(&parsed, &beside).into_iter().map(|question| (question.column, question.sentence)).collect()
}

#[test]
fn an_ordinary_day_is_not_asked_about() {
    assert!(asked("hours=48, overtime_hours=8, overtime_multiplier_pct=200", "2026-05-14").is_empty());
    assert!(asked("people=6, hours=48, wage_usd_per_hour=19.40, trees_done=400", "2026-05-14").is_empty());
}

/// What lies at a limit, and work that is not done tree by tree with the hands.
#[test]
fn what_lies_within_the_limits_is_not() {
    for fields in [
        "hours=8, wage_usd_per_hour=5",
        "hours=8, pass=5",
        "pieces=40000, piece_usd=2",
        "pieces=100, piece_usd=2, hours=40",
        "contract_usd=1600, hours=8",
        "people=120, hours=960",
        "hours=8, overtime_hours=2, overtime_multiplier_pct=300",
        "hours=40, rows_done=20",
        "hours=8, trees_done=200, rows_done=8",
        "hours=8, trees_done=400, rows_done=20",
        "hours=5, trees_done=300",
        "hours=1, trees_done=400, method=machine",
        "hours=1, trees_done=400, method=chemical",
    ] {
        assert_eq!(asked(fields, "2026-05-14"), [], "{fields}");
    }
}

#[test]
fn a_slip_of_the_pen_is() {
    for (fields, column, sentence) in [
        ("hours=8, wage_usd_per_hour=1750", "wage_usd_per_hour", "The wage is 1,750 dollars an hour. Is it so much?"),
        ("pieces=8, piece_usd=1850", "piece_usd", "One piece is paid 1,850 dollars. Is it so much?"),
        (
            "contract_usd=480000",
            "contract_usd",
            "The contract is 480,000 dollars for a block of 4 acres. Is it so much?",
        ),
        ("hours=4000", "hours", "4,000 hours in one day. Are they so many?"),
        ("hours=400, trees_done=20", "hours", "400 hours for 20 trees are 20 hours for each. Are both right?"),
        ("people=5000, hours=40000", "people", "The crew has 5,000 people. Is it so many?"),
        (
            "pieces=9, piece_usd=1.85, hours=48",
            "pieces",
            "16.65 dollars for 48 hours are 0.35 dollars for an hour. Is it so little?",
        ),
        (
            "contract_usd=4800, hours=1",
            "contract_usd",
            "4,800 dollars for 1 hour are 4,800 dollars for an hour. Is it so much?",
        ),
        (
            "people=2, hours=40",
            "hours",
            "40 hours for 2 people are more than 16 hours for each in one day. Are both right?",
        ),
        (
            "people=1, hours=23.5",
            "hours",
            "23.5 hours for 1 person are more than 16 hours for each in one day. Are both right?",
        ),
        (
            "hours=80, trees_done=4000",
            "trees_done",
            "4,000 trees done are more than the 400 bearing trees of the block. Is the number right?",
        ),
        (
            "hours=8, overtime_multiplier_pct=200",
            "overtime_multiplier_pct",
            "Overtime pay is 200 percent and there are no overtime hours, so nothing is paid by it. Are they missing?",
        ),
        ("hours=8, wage_usd_per_hour=1.75", "wage_usd_per_hour", "The wage is 1.75 dollars an hour. Is it so little?"),
        (
            "pieces=50000, piece_usd=1.85",
            "piece_usd",
            "50,000 pieces at 1.85 dollars are 92,500 dollars for a block of 4 acres. Is it so much?",
        ),
        (
            "hours=8, overtime_hours=2, overtime_multiplier_pct=350",
            "overtime_multiplier_pct",
            "Overtime is paid 350 percent of the wage. Is it so much?",
        ),
        ("hours=8, pass=6", "pass", "This is pass 6 through the block. Were there so many?"),
        (
            "hours=40, rows_done=24",
            "rows_done",
            "24 rows done are more than the 20 rows of the block. Is the number right?",
        ),
        (
            "hours=40, trees_done=300, rows_done=1",
            "trees_done",
            "300 trees and 1 row do not agree: so many rows of the block are 20 trees. Are both right?",
        ),
        (
            "hours=6, trees_done=390",
            "trees_done",
            "390 trees in 6 hours are 65 trees for each person in an hour. Are both right?",
        ),
        (
            "hours=6, rows_done=20",
            "rows_done",
            "400 trees in 6 hours are 67 trees for each person in an hour. Are both right?",
        ),
        ("hours=8, payroll_pct=95", "payroll_pct", "95 percent come on top of the pay. Is it so much?"),
    ] {
        assert_eq!(asked(fields, "2026-05-14"), [(column, sentence.to_owned())], "{fields}");
    }
}

#[test]
fn a_day_that_has_not_come() {
    let ahead = asked("hours=8", "2026-05-13");
    assert_eq!(ahead, [("date", "2026-05-14 lies after today, 2026-05-13. Has this happened already?".to_owned())]);
}
