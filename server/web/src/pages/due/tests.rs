use chrono::NaiveDate;
use reckon::block::{MonthDay, Season};
use reckon::field_rules::{FieldRule, FieldRules};
use reckon::figure::{Kept, RecordId};
use reckon::records::{LaborEntry, Loading, Observation, Pay, Task, ThinningMethod};
use reckon::season::SeasonRecords;
use store::BlockId;

use super::{Asked, DuePage, RulesPage, due_now};
use crate::pages::html::{all, held, row, shell, text};
use crate::pages::season::SeasonPage;
use crate::shell::Shell;

fn season() -> Season {
    Season::calendar_year(2026).unwrap()
}

fn day(month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, month, day).unwrap()
}

fn kept<R>(line: u32, record: R) -> Kept<R> {
    Kept { id: RecordId::Line(line), record }
}

fn thinned(date: NaiveDate) -> LaborEntry {
    LaborEntry {
        date,
        task: Task::Thin,
        method: Some(ThinningMethod::ByHand),
        pass: Some(1),
        crew: "Crew Arroyo".to_owned(),
        people: Some(8),
        hours: None,
        hours_each: None,
        overtime_hours: reckon::exact::Hours::from_micros(0),
        overtime_multiplier: None,
        pay: Pay::Hourly(None),
        loading: Loading::FromRates,
        trees_done: None,
        rows_done: None,
        note: String::new(),
    }
}

fn seen(date: NaiveDate, what: &str) -> Observation {
    Observation { date, what: what.to_owned(), share_pct: Some(12.0), note: "east rows".to_owned() }
}

/// A block ripening from a day of the month, thinned or not, of a crop that needs a pollinizer.
fn block(n: u32, code: &str, ripens: (u32, u32), passes: &[NaiveDate]) -> (BlockId, SeasonRecords) {
    let (_, season) = print::samples::all().remove(0);
    let mut own = season.heading.block.clone();
    own.code = code.to_owned();
    own.crop = "plum".to_owned();
    (own.pollinizer, own.needs_pollinizer) = (String::new(), None);
    own.ripening = Some((MonthDay::new(ripens.0, ripens.1).unwrap(), MonthDay::new(ripens.0, 28).unwrap()));
    let records = SeasonRecords {
        labor: passes.iter().map(|date| kept(1, thinned(*date))).collect(),
        observations: vec![kept(2, seen(day(4, 2), "hail"))],
        ..SeasonRecords::without_records(
            "Cottonwood Flat Orchards".to_owned(),
            season.heading.farm.clone(),
            own,
            Season::calendar_year(2026).unwrap(),
        )
    };
    (row(n, &crate::pages::html::farms()[0], &season).id, records)
}

fn work() -> Vec<(BlockId, SeasonRecords)> {
    vec![block(1, "LATE-8", (8, 20), &[]), block(2, "UD-1", (6, 20), &[day(4, 24)])]
}

fn at(month: u32, date: u32) -> Shell {
    Shell { today: day(month, date), ..shell("/season/2026/due") }
}

fn page(shell: Shell, asked: Asked, work: &[(BlockId, SeasonRecords)]) -> scraper::Html {
    held(&DuePage::of(shell, &season(), asked, work, &FieldRules::default(), true))
}

#[test]
fn the_earliest_ripening_stands_first_and_late_work_in_the_margin() {
    let html = page(at(5, 12), Asked::default(), &work());
    let codes: Vec<String> = all(&html, ".beside tbody th").into_iter().map(text).collect();
    assert_eq!(codes, ["UD-1", "LATE-8"]);
    assert_eq!(
        text(all(&html, "aside .missing li")[0]),
        "UD-1: second look late by 4 days, its window closed on 8 May; thinned 18 days ago."
    );
    assert!(text(all(&html, "tbody tr strong")[0]).starts_with("Late by 4 days"));
    assert_eq!(text(all(&html, "[aria-current=page]")[0]), "Due");
}

/// Ten of five hundred trees: no second look counts from that.
#[test]
fn a_pass_that_has_only_begun_stays_due() {
    let mut work = vec![block(2, "UD-1", (6, 20), &[day(5, 3)])];
    work[0].1.block.trees = Some(500);
    work[0].1.labor[0].record.trees_done = Some(10);
    let html = page(at(5, 3), Asked::default(), &work);
    let said = text(all(&html, ".beside tbody tr")[0]);
    assert!(said.contains("First pass") && said.ends_with("; 10 of 500 trees done."), "{said}");
    work[0].1.labor[0].record.trees_done = None;
    let html = page(at(5, 3), Asked::default(), &work);
    assert!(text(all(&html, ".beside tbody tr")[0]).contains("Second look"));
}

#[test]
fn a_season_far_off_is_said_by_its_dates() {
    let html = page(at(5, 12), Asked::of("2025-05-01".to_owned()), &work());
    let said = text(all(&html, ".beside tbody tr")[0]);
    assert!(said.contains("Opens on 13 April 2026") && !said.contains("days"), "{said}");
}

#[test]
fn distances_nobody_limited_are_said_once_with_a_link() {
    let mut work = work();
    work[0].1.block.needs_pollinizer = Some(reckon::block::NeedsPollinizer::Yes);
    let html = page(at(5, 12), Asked::default(), &work);
    let said = all(&html, "#pollinizers .notes");
    assert_eq!(said.len(), 1);
    assert!(text(said[0]).starts_with("How far off a pollinizer stands is not checked"));
    assert_eq!(all(&html, "#pollinizers .notes a[href='/season/2026/due/windows#pollinizer_reach']").len(), 1);
    let mut rules = FieldRules::default();
    rules.set(FieldRule::PollinizerReach, Some(4));
    let season = Season::calendar_year(2026).unwrap();
    let html = held(&DuePage::of(at(5, 12), &season, Asked::default(), &work, &rules, true));
    assert!(all(&html, "#pollinizers .notes").is_empty());
}

#[test]
fn another_day_is_seen_as_it_stood_then() {
    let html = page(at(5, 12), Asked::of("2026-05-05".to_owned()), &work());
    assert!(all(&html, "aside .missing").is_empty());
    assert!(text(all(&html, ".beside tbody tr")[0]).contains("Due until 8 May; thinned 11 days ago."));
    let before = page(at(5, 12), Asked::of("2026-04-01".to_owned()), &work());
    assert!(text(all(&before, ".beside tbody tr")[0]).contains("First pass"), "the pass of 24 April was not yet done");
    let links = all(&html, ".menu a[href*='season/']");
    assert!(links.iter().all(|link| link.value().attr("href").unwrap().ends_with("&on=2026-05-05")));
}

#[test]
fn a_day_that_does_not_read_is_said_at_its_field() {
    let html = page(at(5, 12), Asked::of("5/5".to_owned()), &work());
    let said = text(all(&html, "#on-problem")[0]);
    assert_eq!(said, "Read \"5/5\"; expected a day as year-month-day, such as 2026-04-20.");
    assert_eq!(all(&html, "input#on")[0].value().attr("value"), Some("5/5"));
}

#[test]
fn every_farm_has_its_sheet_in_both_languages() {
    let html = page(at(5, 12), Asked::default(), &work());
    let sheets: Vec<String> = all(&html, ".menu a[href*='due/crew-sheet']").into_iter().map(text).collect();
    assert_eq!(sheets.len(), 8, "three farms and all of them, in two languages");
    assert!(sheets.contains(&"River Bench, español".to_owned()), "{sheets:?}");
}

/// A crew of the season's entries, however it was spelt, can be chosen for a sheet of its own.
#[test]
fn a_sheet_can_be_asked_for_each_crew_of_the_season() {
    let mut work = work();
    let crew = |n, name: &str| kept(n, LaborEntry { crew: name.to_owned(), ..thinned(day(4, 20)) });
    work[0].1.labor = vec![crew(5, "crew  arroyo"), crew(6, " Mesa crew "), crew(7, "")];
    let html = page(at(5, 12), Asked::of("2026-05-05".to_owned()), &work);
    let names: Vec<String> = all(&html, "#crew-sheet #crew option").into_iter().map(text).collect();
    assert_eq!(names, ["any crew", "Crew Arroyo", "Mesa crew"]);
    let form = all(&html, "form#crew-sheet")[0];
    assert_eq!(form.value().attr("action"), Some("/season/2026/due/crew-sheet"));
    assert_eq!(all(&html, "#crew-sheet [name=on]")[0].value().attr("value"), Some("2026-05-05"));
    assert_eq!(all(&html, "#crew-sheet [name=farm] option").len(), 4, "three farms and every farm");
    assert!(all(&page(at(5, 12), Asked::default(), &work), "#crew-sheet [name=on]").is_empty());
    for (_, records) in &mut work {
        records.labor.clear();
    }
    assert!(all(&page(at(5, 12), Asked::default(), &work), "#crew-sheet").is_empty(), "nobody is named");
}

#[test]
fn bloom_that_is_not_said_to_be_full_is_said_once() {
    let mut work = vec![block(1, "T-3", (7, 1), &[])];
    work[0].1.observations = vec![kept(2, seen(day(3, 14), "bloom"))];
    let said = |work: &[(BlockId, SeasonRecords)], month| {
        let html = page(at(month, 1), Asked::default(), work);
        all(&html, "#left-open li").into_iter().map(text).collect::<Vec<_>>()
    };
    let once = "T-3 has bloom noted on 14 March; write \"full bloom\" to count its window from there.";
    assert_eq!(said(&work, 4), [once]);
    work[0].1.observations.push(kept(3, seen(day(3, 16), "Plena floración")));
    assert!(said(&work, 4).is_empty());
    assert!(text(all(&page(at(4, 1), Asked::default(), &work), ".beside tbody tr")[0]).contains("15 Apr to 15 May"));
}

/// What is no doubt stands below in soft words: how a variety was read, and a distance nobody gave.
#[test]
fn how_a_pollinizer_was_read_stands_below_the_doubts() {
    let mut work = work();
    work[1].1.block.variety = "Gamma".to_owned();
    work[1].1.block.needs_pollinizer = Some(reckon::block::NeedsPollinizer::No);
    let own = &mut work[0].1.block;
    (own.pollinizer, own.needs_pollinizer) = ("Gamma".to_owned(), Some(reckon::block::NeedsPollinizer::Yes));
    let mut rules = FieldRules::default();
    rules.set(FieldRule::PollinizerReach, Some(4));
    let season = Season::calendar_year(2026).unwrap();
    let html = held(&DuePage::of(at(5, 12), &season, Asked::default(), &work, &rules, true));
    let said: Vec<String> = all(&html, "#pollinizers .notes").into_iter().map(text).collect();
    assert_eq!(said[0], "LATE-8 names Gamma: read as UD-1.");
    assert!(said[1].starts_with("Distance not given for LATE-8:") && said[1].ends_with("there."), "{said:?}");
    assert!(all(&html, "#pollinizers li").is_empty());
}

#[test]
fn pollinizers_and_what_was_seen_stand_below() {
    let html = page(at(5, 12), Asked::default(), &work());
    let doubts = all(&html, "#pollinizers li");
    assert_eq!(doubts.len(), 2);
    assert!(text(doubts[0]).contains("University of California"));
    let seen = text(all(&html, "#noted tbody tr")[0]);
    assert_eq!(seen, "2 Apr 2026 LATE-8 hail 12% of the crop east rows");
    let season = Season::calendar_year(2026).unwrap();
    let limited = held(&DuePage::of(at(5, 12), &season, Asked::default(), &work(), &FieldRules::default(), false));
    assert!(all(&limited, "#pollinizers").is_empty(), "a block of another farm would seem not to exist");
    let many = vec![work()[0].clone(); 8];
    let folded = page(at(5, 12), Asked::default(), &many);
    assert_eq!(all(&folded, "#noted > table tbody tr").len(), super::NEWEST);
    assert!(text(all(&folded, "#noted summary")[0]).ends_with("seen before"));
    assert_eq!(all(&folded, ".caution ~ #noted").len(), 1, "cautions stand before what can wait");
    let before = page(at(4, 1), Asked::default(), &work());
    assert!(all(&before, "#noted tbody").is_empty(), "nothing is seen before its day");
}

#[test]
fn cautions_begin_with_local_rules_and_name_their_sources() {
    let html = page(at(5, 12), Asked::default(), &[]);
    let heads: Vec<String> = all(&html, ".caution h3").into_iter().map(text).collect();
    assert_eq!(heads[0], "Local rules first");
    assert_eq!(heads.len(), 5);
    assert_eq!(all(&html, ".caution p").len(), reckon::cautions::ALL.len());
    assert!(text(all(&html, ".caution")[0]).contains("8 CCR 3395"));
    assert_eq!(text(all(&html, ".lead")[0]), "Nothing is due on 12 May 2026.");
}

#[test]
fn the_season_says_what_is_due_now() {
    let due = due_now(&season(), day(5, 5), &work(), &FieldRules::default());
    let html = held(&SeasonPage::of(shell("/season/2026"), 2026, &crate::pages::html::summaries()).with_due(due));
    let first = all(&html, "aside section")[0];
    assert!(text(first).starts_with("Due "), "{}", text(first));
    assert!(text(first).contains("UD-1: second look due until 8 May; thinned 11 days ago."));
    let nothing = due_now(&season(), day(1, 5), &work(), &FieldRules::default());
    assert!(nothing.is_empty(), "what opens later is not due");
}

/// After harvest the list is empty; the page says so with the day, and what opens next spring.
#[test]
fn in_november_the_page_says_what_opens_next() {
    let html = page(at(11, 25), Asked::default(), &work());
    assert_eq!(
        text(all(&html, ".lead")[0]),
        "Nothing is due on 25 Nov 2026. Next is the first pass of UD-1, from 13 Apr 2027."
    );
    let rows: Vec<String> = all(&html, ".beside tbody tr").into_iter().map(text).collect();
    assert_eq!(rows.len(), 2);
    assert!(rows[0].starts_with("UD-1 ") && rows[0].contains("13 Apr 2027 28 Apr 2027 20 Jun 2027"), "{}", rows[0]);
    assert_eq!(all(&html, "label[for=on]").len(), 1, "another day can be chosen");
}

#[test]
fn the_calendar_file_is_of_the_day_that_was_asked_for() {
    let link = |asked: Asked| {
        let html = page(at(5, 12), asked, &work());
        let links = all(&html, "a[href*='due.ics']");
        links[0].value().attr("href").unwrap().to_owned()
    };
    assert_eq!(link(Asked::of("2026-05-05".to_owned())), "/season/2026/due.ics?language=en&on=2026-05-05");
    assert_eq!(link(Asked::default()), "/season/2026/due.ics?language=en");
}

#[test]
fn the_operations_own_windows_and_limits_hold() {
    let mut rules = FieldRules::default();
    rules.set(FieldRule::LookCloses, Some(30));
    rules.set(FieldRule::PollinizerReach, Some(3));
    let mut work = work();
    let block = &mut work[0].1.block;
    (block.pollinizer, block.pollinizer_trees) = ("rows 4, 9".to_owned(), Some(8));
    let season = Season::calendar_year(2026).unwrap();
    let html = held(&DuePage::of(at(5, 12), &season, Asked::default(), &work, &rules, true));
    assert!(text(all(&html, ".beside tbody tr")[0]).contains("Due until 24 May"));
    assert!(text(all(&html, ".beside .notes")[0]).contains("days after the last pass: as the operation set them"));
    let doubts: Vec<String> = all(&html, "#pollinizers li").into_iter().map(text).collect();
    assert!(doubts[0].contains("the nearest stands up to 8 trees off, and the operation takes 3"), "{doubts:?}");
    let usual = held(&DuePage::of(at(5, 12), &season, Asked::default(), &work, &FieldRules::default(), true));
    assert!(!text(all(&usual, "#pollinizers")[0]).contains("trees off"));
}

#[test]
fn a_crews_day_in_two_blocks_is_one_day() {
    let mut work = work();
    for (n, (_, records)) in (10..).zip(&mut work) {
        let hours = reckon::exact::Hours::whole(150).unwrap();
        let entry = LaborEntry { hours: Some(hours), ..thinned(day(4, 24)) };
        records.labor = vec![Kept { id: RecordId::Stored(n), record: entry }];
    }
    let html = page(at(5, 12), Asked::default(), &work);
    let said = text(all(&html, "#crews li")[0]);
    assert!(said.starts_with("The crew Crew Arroyo, 8 people, has 300 h on 24 Apr"), "{said}");
    assert_eq!(all(&html, "#crews a[href$='/correct']").len(), 2);
    assert!(all(&page(at(4, 1), Asked::default(), &work), "#crews").is_empty(), "nothing is seen before its day");
}

#[test]
fn every_window_and_limit_has_a_field_with_its_default_and_source() {
    let mut rules = FieldRules::default();
    rules.set(FieldRule::LookCloses, Some(21));
    let key = "0190a5b6-c7d8-7e9f-8a1b-000000000001".parse().unwrap();
    let html = held(&RulesPage::blank(shell("/season/2026/due/windows"), 2026, key, &rules));
    assert_eq!(all(&html, "main form .field").len(), reckon::field_rules::RULES.len());
    assert_eq!(all(&html, "input#second_look_closes")[0].value().attr("value"), Some("21"));
    assert_eq!(all(&html, "input#week_hours")[0].value().attr("value"), Some(""));
    let said = text(all(&html, "main form")[0]);
    for words in [
        "Empty: 7 days (common practice, no source).",
        "common practice, no source",
        "29 CFR 778.101",
        "no number was found in a bulletin",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    assert_eq!(all(&html, "[name=seen]")[0].value().attr("value"), Some("second_look_closes 21"));
}
