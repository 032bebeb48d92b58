//! Windows, order and sentences of work due.

mod begun;
mod edges;

use super::*;
use crate::block::MonthDay;
use crate::language::Language;
use crate::records::{Observation, Task};
use crate::season::SeasonRecords;
use crate::testing::{date, kept, labor_entry, records};
use crate::units::{FruitPerTree, Inches};

fn block(code: &str, ripens: Option<(u32, u32)>) -> DueBlock {
    let ripening = ripens.map(|(month, day)| (MonthDay::new(month, day).unwrap(), MonthDay::new(month, 28).unwrap()));
    DueBlock { code: code.into(), ripening, ..DueBlock::default() }
}

fn year(year: i32) -> Season {
    Season::calendar_year(year).unwrap()
}

fn sentences(blocks: &[DueBlock], today: NaiveDate) -> Vec<String> {
    let found = due(blocks, &year(2026), today, Settings::default());
    found.due.iter().map(|due| due.sentence(today, Language::English)).collect()
}

#[test]
fn the_earliest_ripening_comes_first() {
    let blocks = [block("LATE", Some((8, 20))), block("EARLY", Some((5, 20))), block("MID", Some((7, 1)))];
    let codes = |blocks: &[DueBlock]| -> Vec<String> {
        due(blocks, &year(2026), date(4, 10), Settings::default()).due.into_iter().map(|due| due.block.code).collect()
    };
    assert_eq!(codes(&blocks), ["EARLY", "MID", "LATE"]);
    let turned: Vec<DueBlock> = blocks.iter().rev().cloned().collect();
    assert_eq!(codes(&turned), ["EARLY", "MID", "LATE"]);
}

#[test]
fn the_window_follows_bloom_and_else_the_calendar() {
    let bloomed = DueBlock { full_bloom: Some(date(3, 4)), ..block("A", Some((5, 22))) };
    assert_eq!(sentences(&[bloomed], date(4, 13)), ["A: first pass due until 3 May."]);
    assert_eq!(
        sentences(&[block("B", Some((5, 12)))], date(4, 20)),
        ["B: first pass late by 4 days, its window closed on 16 April."]
    );
    assert_eq!(
        sentences(&[block("C", Some((9, 30)))], date(4, 30)),
        ["C: first pass opens in 1 day, 1 May to 16 May."]
    );
}

#[test]
fn the_second_look_counts_from_the_last_day_of_the_pass() {
    let thinned = DueBlock { passes: vec![(1, date(4, 24))], ..block("UD-1", Some((6, 20))) };
    let once = |day| sentences(core::slice::from_ref(&thinned), day);
    assert_eq!(once(date(4, 24)), ["UD-1: second look opens in 7 days, 1 May to 8 May; last thinned today."]);
    assert_eq!(once(date(5, 5)), ["UD-1: second look due until 8 May; thinned 11 days ago."]);
    assert_eq!(once(date(5, 8)), ["UD-1: second look due, today (8 May) is the last day; thinned 14 days ago."]);
    assert_eq!(
        once(date(5, 12)),
        ["UD-1: second look late by 4 days, its window closed on 8 May; thinned 18 days ago."]
    );
    let looked = DueBlock { passes: vec![(1, date(4, 24)), (2, date(5, 3))], ..thinned };
    assert!(sentences(&[looked], date(5, 5)).is_empty());
}

#[test]
fn spanish_says_the_same() {
    let thinned = DueBlock { passes: vec![(1, date(4, 24))], ..block("UD-1", Some((6, 20))) };
    let found = due(&[thinned], &year(2026), date(5, 12), Settings::default());
    let said = found.due[0].sentence(date(5, 12), Language::Spanish);
    assert_eq!(said, "UD-1: segunda vuelta atrasada 4 días, el plazo cerró el 8 de mayo; raleado hace 18 días.");
}

#[test]
fn ripening_and_picking_end_it() {
    let ripe = block("A", Some((5, 20)));
    assert!(sentences(core::slice::from_ref(&ripe), date(5, 20)).is_empty());
    let picked = DueBlock { picked: Some(date(5, 1)), ..ripe };
    assert!(sentences(&[picked], date(5, 2)).is_empty());
}

#[test]
fn a_block_without_bloom_or_ripening_says_so() {
    let found = due(&[block("Z", None), block("Y", Some((1, 10)))], &year(2026), date(1, 2), Settings::default());
    assert!(found.due.is_empty());
    assert_eq!(found.without.iter().map(|without| without.code.as_str()).collect::<Vec<_>>(), ["Y", "Z"]);
    assert!(found.without[0].sentence(Language::English).contains("full bloom"));
}

#[test]
fn a_block_is_read_from_its_records() {
    let mut season = records();
    let seen = Observation { date: date(3, 6), what: "Full bloom ".into(), share_pct: None, note: String::new() };
    season.observations = kept([seen]);
    let day = |day, pass| crate::records::LaborEntry { date: date(4, day), pass, ..labor_entry(Task::Thin, "8", "15") };
    season.labor = kept([day(9, Some(1)), day(12, None), day(3, Some(1)), labor_entry(Task::Prune, "8", "15")]);
    let block = DueBlock::of(&season);
    assert_eq!(block.full_bloom, Some(date(3, 6)));
    assert_eq!(block.passes, [(1, date(4, 12))]);
}

/// A sheet made for a day that has passed must not know what came after it.
#[test]
fn a_day_knows_nothing_of_later_records() {
    let mut season = records();
    let bloom = |day| Observation { date: date(3, day), what: FULL_BLOOM.into(), share_pct: None, note: String::new() };
    season.observations = kept([bloom(6), bloom(9)]);
    season.labor = kept([crate::records::LaborEntry { date: date(4, 20), ..labor_entry(Task::Thin, "8", "15") }]);
    let at = |month, day| DueBlock::until(&season, date(month, day));
    assert_eq!((at(3, 7).full_bloom, at(3, 9).full_bloom), (Some(date(3, 6)), Some(date(3, 9))));
    assert_eq!((at(4, 19).passes, at(4, 20).passes), (Vec::new(), vec![(1, date(4, 20))]));
    assert_eq!(DueBlock::of(&season), at(4, 20));
}

/// After harvest the list is empty, and what opens next is next spring's.
#[test]
fn in_november_the_next_windows_are_those_of_spring() {
    let picked = DueBlock { picked: Some(date(7, 20)), ..block("MID", Some((7, 1))) };
    let blocks = [block("LATE", Some((9, 30))), picked, block("EARLY", Some((5, 10))), block("NONE", None)];
    let today = date(11, 25);
    assert!(due(&blocks, &year(2026), today, Settings::default()).due.is_empty());
    let found = next(&blocks, &year(2026), today, Settings::default());
    let said: Vec<(&str, String)> =
        found.iter().map(|due| (due.block.code.as_str(), due.window.0.to_string())).collect();
    assert_eq!(said, [("EARLY", "2027-04-01".into()), ("MID", "2027-04-16".into()), ("LATE", "2027-05-01".into())]);
    assert!(found.iter().all(|due| due.timing == Timing::Ahead && due.days > 100));
    let turned: Vec<DueBlock> = blocks.iter().rev().cloned().collect();
    assert_eq!(next(&turned, &year(2026), today, Settings::default()), found);
    // In March the same windows are this year's.
    assert_eq!(next(&blocks, &year(2025), date(3, 1), Settings::default())[0].window.0, date(4, 1));
}

/// Seen on a day of next spring the windows of that spring are open or late, and none is left out.
#[test]
fn next_spring_windows_stay_in_sight_while_they_are_open() {
    let blocks = [block("UD-3", Some((9, 30))), block("JS-4", Some((8, 20))), block("EARLY", Some((5, 10)))];
    let today = NaiveDate::from_ymd_opt(2027, 4, 20).unwrap();
    assert!(due(&blocks, &year(2026), today, Settings::default()).due.is_empty());
    let found = next(&blocks, &year(2026), today, Settings::default());
    let said: Vec<(&str, Timing)> = found.iter().map(|due| (due.block.code.as_str(), due.timing)).collect();
    assert_eq!(said, [("EARLY", Timing::Late), ("JS-4", Timing::Ahead), ("UD-3", Timing::Ahead)]);
    let later = NaiveDate::from_ymd_opt(2027, 5, 5).unwrap();
    let found = next(&blocks, &year(2026), later, Settings::default());
    assert!(found.iter().skip(1).all(|due| due.timing == Timing::Open && due.window.0 <= later));
}

/// Two that wait for the same window stand by ripening, not by code.
#[test]
fn the_same_window_is_ordered_by_ripening() {
    let blocks = [block("A-9", Some((9, 25))), block("B-1", Some((9, 10))), block("A-10", Some((9, 25)))];
    let codes = |found: &[Due]| found.iter().map(|due| due.block.code.clone()).collect::<Vec<_>>();
    let found = next(&blocks, &year(2026), date(11, 25), Settings::default());
    assert!(found.iter().all(|due| due.window == found[0].window));
    assert_eq!(codes(&found), ["B-1", "A-9", "A-10"]);
    assert_eq!(codes(&due(&blocks, &year(2026), date(4, 1), Settings::default()).due), ["B-1", "A-9", "A-10"]);
}

#[test]
fn an_operations_own_windows_go_before_the_defaults() {
    let own = Settings { before_ripening: Some((80, 60)), second_look: (5, 9), first_pass: (30, 60) };
    let found = due(&[block("A", Some((7, 20)))], &year(2026), date(5, 5), own);
    assert_eq!(found.due[0].window, (date(5, 1), date(5, 21)));
    assert_eq!(found.due[0].source(Language::English), "days before ripening begins: as the operation set them");
    let thinned = DueBlock { passes: vec![(1, date(5, 1))], ..block("A", Some((7, 20))) };
    let look = due(&[thinned], &year(2026), date(5, 12), own);
    assert_eq!((look.due[0].window, look.due[0].timing), ((date(5, 6), date(5, 10)), Timing::Late));
    assert_eq!(look.due[0].source(Language::Spanish), "días después de la última pasada: fijados por la empresa");
    // A ripening in autumn that no calendar holds has its window by the operation's days.
    let autumn = due(&[block("P", Some((11, 10)))], &year(2026), date(8, 1), own);
    assert!(autumn.without.is_empty());
    let bloomed = DueBlock { full_bloom: Some(date(3, 4)), ..block("B", Some((7, 20))) };
    let found = due(&[bloomed], &year(2026), date(4, 5), own);
    assert_eq!(found.due[0].source(Language::English), "days after full bloom: common practice, no source");
}

#[test]
fn what_to_leave_is_said_where_it_is_set() {
    let wanted = DueBlock {
        fruit: Some(FruitPerTree::of(420.0)),
        spacing: Some(Inches::of(5.5)),
        ..block("UD-1", Some((6, 20)))
    };
    let leave = |block: &DueBlock, language| {
        due(core::slice::from_ref(block), &year(2026), date(4, 20), Settings::default()).due[0].leave(language)
    };
    assert_eq!(leave(&wanted, Language::English).unwrap(), "420 fruit a tree, 5.5 in apart");
    assert_eq!(leave(&wanted, Language::Spanish).unwrap(), "420 frutas por árbol, separación 5.5 pulgadas");
    let apart = DueBlock { fruit: None, ..wanted };
    assert_eq!(leave(&apart, Language::English).unwrap(), "5.5 in apart");
    assert_eq!(leave(&DueBlock { spacing: None, ..apart }, Language::English), None);
    let mut season = records();
    season.block.target_fruit = Some(FruitPerTree::of(300.0));
    assert_eq!(DueBlock::of(&season).fruit, Some(FruitPerTree::of(300.0)));
}

#[test]
fn crews_of_the_last_pass_stand_once() {
    let mut season = records();
    let crew = |day, name: &str| crate::records::LaborEntry {
        date: date(4, day),
        crew: name.into(),
        ..labor_entry(Task::Thin, "8", "15")
    };
    let look = |name| crate::records::LaborEntry { pass: Some(2), ..crew(22, name) };
    season.labor = kept([crew(9, "Mesa crew"), look("ditch crew"), look("Ditch"), look("")]);
    assert_eq!(DueBlock::of(&season).crews, ["Ditch"]);
    assert_eq!(DueBlock::until(&season, date(4, 9)).crews, ["Mesa crew"]);
}

/// A season looked at from another year.
#[test]
fn what_opens_far_off_is_said_by_its_date() {
    let long_before = NaiveDate::from_ymd_opt(2025, 5, 1).unwrap();
    let found = due(&[block("A", Some((6, 2)))], &year(2026), long_before, Settings::default());
    assert_eq!(
        found.due[0].sentence(long_before, Language::English),
        "A: first pass opens on 7 April 2026 and closes on 22 April 2026."
    );
    assert_eq!(
        found.due[0].sentence(long_before, Language::Spanish),
        "A: primera pasada de raleo empieza el 7 de abril de 2026 y cierra el 22 de abril de 2026."
    );
}
