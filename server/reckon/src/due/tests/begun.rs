//! Work that has begun, and what the days of bloom leave open.

use super::*;

/// Ten trees of five hundred are a beginning, and no pass that a second look could come after.
#[test]
fn a_pass_that_has_only_begun_is_still_the_first_pass() {
    let mut season = records();
    season.block.trees = Some(500);
    season.block.ripening = block("T-1", Some((7, 1))).ripening;
    let entry = |day, pass, trees_done| crate::records::LaborEntry {
        date: date(5, day),
        pass,
        trees_done,
        ..labor_entry(Task::Thin, "8", "15")
    };
    let said = |labor: Vec<crate::records::LaborEntry>, day| {
        let season = SeasonRecords { labor: kept(labor), ..season.clone() };
        sentences(&[DueBlock::until(&season, date(5, day))], date(5, day)).join(" ")
    };
    let ten = || entry(1, Some(1), Some(10));
    assert_eq!(
        said(vec![ten()], 1),
        "T-1: first pass begun, due, today (1 May) is the last day; 10 of 500 trees done."
    );
    assert_eq!(
        said(vec![ten()], 20),
        "T-1: first pass late by 19 days, its window closed on 1 May; 10 of 500 trees done."
    );
    // Nearly all, an entry that leaves its trees out, and rows that come to all, are a pass.
    let look = "T-1: second look opens in 7 days, 10 May to 17 May; last thinned today.";
    assert_eq!(said(vec![ten(), entry(3, None, Some(465))], 3), look);
    assert!(said(vec![ten(), entry(3, None, Some(464))], 3).contains("474 of 500"));
    assert_eq!(said(vec![ten(), entry(3, Some(1), None)], 3), look);
    let unplaced =
        DueBlock { ripening: None, ..DueBlock::of(&SeasonRecords { labor: kept([ten()]), ..season.clone() }) };
    let told = due(&[unplaced], &year(2026), date(5, 3), Settings::default()).without.remove(0);
    let told = [told.sentence(Language::English), told.sentence(Language::Spanish)];
    assert!(told[0].contains("its first pass is due. 10 of 500 trees done. Note"), "{told:?}");
    assert!(told[1].contains("de raleo. 10 de 500 árboles hechos. Anote su plena floración"), "{told:?}");
    // A pass that was mistyped takes no block off the list; one that leaves its trees out stands for all.
    let late = "T-1: first pass late by 2 days, its window closed on 1 May; 20 of 500 trees done.";
    assert_eq!(said(vec![ten(), entry(3, Some(2), Some(10))], 3), late);
    assert!(
        due(
            &[DueBlock::of(&SeasonRecords { labor: kept([ten(), entry(3, Some(2), None)]), ..season.clone() })],
            &year(2026),
            date(5, 3),
            Settings::default()
        )
        .due
        .is_empty()
    );
}

fn passed(labor: &[(u32, Option<u8>, Option<u32>)], day: u32) -> DueBlock {
    let mut season = records();
    season.block.trees = Some(400);
    season.block.code = "T-1".into();
    season.block.ripening = block("T-1", Some((7, 1))).ripening;
    let entry = |&(day, pass, trees_done): &(u32, Option<u8>, Option<u32>)| crate::records::LaborEntry {
        date: date(5, day),
        pass,
        trees_done,
        ..labor_entry(Task::Thin, "8", "15")
    };
    season.labor = kept(labor.iter().map(entry));
    DueBlock::until(&season, date(5, day))
}

/// It goes where it is needed: a tenth of the trees does not end it, and its window does without a warning.
#[test]
fn a_second_look_that_has_begun_stands_while_its_window_is_open() {
    let said = |labor: &[(u32, Option<u8>, Option<u32>)], day| sentences(&[passed(labor, day)], date(5, day)).join(" ");
    let tenth = [(1, Some(1), Some(400)), (9, Some(2), Some(40))];
    assert_eq!(said(&tenth, 9), "T-1: second look begun, due until 15 May; 40 of 400 trees done.");
    assert_eq!(said(&tenth, 15), "T-1: second look begun, due, today (15 May) is the last day; 40 of 400 trees done.");
    assert_eq!(said(&tenth, 16), "", "no late warning once begun");
    // Begun before its window, it is open from that day.
    let early = [(1, Some(1), Some(400)), (5, Some(2), Some(40))];
    assert_eq!(said(&early, 5), "T-1: second look begun, due until 15 May; 40 of 400 trees done.");
    for ended in [(10, Some(2), Some(350)), (10, Some(2), None), (10, Some(3), Some(5))] {
        assert_eq!(said(&[tenth[0], tenth[1], ended], 10), "", "{ended:?}");
    }
    let late = "T-1: first pass late by 8 days, its window closed on 1 May; 40 of 400 trees done.";
    assert_eq!(said(&[tenth[1]], 9), late, "no first pass to count from");
    let begun = due(&[passed(&tenth, 9)], &year(2026), date(5, 9), Settings::default());
    assert_eq!(
        begun.due[0].sentence(date(5, 9), Language::Spanish),
        "T-1: segunda vuelta empezada, pendiente hasta el 15 de mayo; 40 de 400 árboles hechos."
    );
}

/// The foreman left the pass empty: days after a first pass that was done it is the second look.
#[test]
fn an_entry_without_a_pass_is_the_second_look_after_a_first_pass_that_was_done() {
    let passes = |labor: &[(u32, Option<u8>, Option<u32>)]| passed(labor, 30).passes;
    let (first, look) = ((1, date(5, 1)), (2, date(5, 9)));
    assert_eq!(passes(&[(1, Some(1), Some(385)), (9, None, Some(40))]), [first, look]);
    assert_eq!(passes(&[(9, None, None), (1, None, Some(400))]), [first, look], "whatever the order");
    assert_eq!(passes(&[(1, Some(1), Some(370)), (9, None, Some(30))]), [(1, date(5, 9))], "the rest of it");
    assert_eq!(passes(&[(1, Some(1), None), (9, None, None)]), [(1, date(5, 9))], "nobody counted");
    assert_eq!(passes(&[(1, None, Some(390)), (4, None, Some(10))]), [(1, date(5, 4))], "the rest after a Sunday");
    assert_eq!(passes(&[(1, None, Some(390)), (5, None, Some(10))]), [first, (2, date(5, 5))]);
    let said = sentences(&[passed(&[(1, Some(1), Some(400)), (9, None, Some(40))], 9)], date(5, 9));
    assert_eq!(said, ["T-1: second look begun, due until 15 May; 40 of 400 trees done."]);
}

#[test]
fn a_first_pass_begun_before_its_window_is_open() {
    let begun = DueBlock {
        passes: vec![(1, date(4, 9))],
        first_pass_trees: Some(1_294),
        trees: Some(1_570),
        full_bloom: Some(date(3, 14)),
        ..block("RB-2", Some((7, 1)))
    };
    assert_eq!(
        sentences(core::slice::from_ref(&begun), date(4, 10)),
        ["RB-2: first pass begun, due until 13 May; 1,294 of 1,570 trees done."]
    );
    let found = due(&[begun], &year(2026), date(4, 10), Settings::default()).due.remove(0);
    assert_eq!((found.timing, found.days, found.presses()), (Timing::Open, 33, true));
}

/// What is read on a later day counts no days.
#[test]
fn dates_alone_are_said_for_later_days() {
    let thinned = DueBlock { passes: vec![(1, date(4, 24))], ..block("UD-1", Some((6, 20))) };
    let said = |block: &DueBlock, today, language| {
        due(core::slice::from_ref(block), &year(2026), today, Settings::default()).due[0].dated(today, language)
    };
    let english = |block: &DueBlock, today| said(block, today, Language::English);
    let last = "; last thinned on 24 April.";
    assert_eq!(english(&thinned, date(4, 28)), format!("UD-1: second look opens on 1 May and closes on 8 May{last}"));
    assert_eq!(english(&thinned, date(5, 8)), format!("UD-1: second look due until 8 May{last}"));
    assert_eq!(english(&thinned, date(5, 20)), format!("UD-1: second look late, its window closed on 8 May{last}"));
    assert_eq!(
        said(&thinned, date(5, 20), Language::Spanish),
        "UD-1: segunda vuelta atrasada, el plazo cerró el 8 de mayo; último raleo el 24 de abril."
    );
    let begun = passed(&[(1, Some(1), Some(40))], 1);
    assert_eq!(english(&begun, date(5, 1)), "T-1: first pass begun, due until 1 May; 40 of 400 trees done by 1 May.");
    assert_eq!(
        said(&begun, date(5, 1), Language::Spanish),
        "T-1: primera pasada de raleo empezada, pendiente hasta el 1 de mayo; 40 de 400 árboles hechos al 1 de mayo."
    );
}

fn bloomed(code: &str, seen: &[(u32, &str)]) -> DueBlock {
    let mut season = records();
    season.block.code = code.into();
    season.block.ripening = block(code, Some((7, 1))).ripening;
    let seen = seen.iter().map(|&(day, what)| Observation {
        date: date(3, day),
        what: what.into(),
        share_pct: None,
        note: String::new(),
    });
    season.observations = kept(seen);
    DueBlock::of(&season)
}

#[test]
fn full_bloom_is_read_in_both_languages_and_bloom_alone_is_asked_about() {
    for what in
        ["Full bloom ", "full-bloom", "in full  bloom.", "Plena floración", "plena floracion", "EN PLENA FLORACIÓN"]
    {
        assert_eq!(bloomed("T-3", &[(6, what)]).full_bloom, Some(date(3, 6)), "{what}");
    }
    for what in ["bloom", "in bloom", "before full bloom", "floración", "20% bloom"] {
        let block = bloomed("T-3", &[(6, what)]);
        assert_eq!((block.full_bloom, block.some_bloom), (None, Some(date(3, 6))), "{what}");
    }
    let said = |blocks: &[DueBlock], today| due(blocks, &year(2026), today, Settings::default()).open;
    let early = bloomed("T-3", &[(10, "first bloom"), (14, "bloom"), (16, "hail")]);
    let once = "T-3 has bloom noted on 14 March; write \"full bloom\" to count its window from there.";
    assert_eq!(said(core::slice::from_ref(&early), date(4, 1)), [once]);
    let two = bloomed("T-12", &[(15, "floración")]);
    assert_eq!(
        said(&[two, early.clone(), bloomed("T-4", &[(9, "bloom"), (12, "full bloom")])], date(4, 1)),
        [
            "T-3 (14 March) and T-12 (15 March) have bloom noted; write \"full bloom\" to count their windows from there."
        ]
    );
    let thinned = DueBlock { passes: vec![(1, date(4, 20))], first_pass_trees: None, ..early };
    assert!(said(&[thinned], date(4, 22)).is_empty(), "its window no longer matters");
}

#[test]
fn two_days_of_full_bloom_say_which_one_counts() {
    let twice = bloomed("T-3", &[(9, "full bloom"), (6, "plena floración"), (9, "full bloom")]);
    assert_eq!(twice.full_bloom, Some(date(3, 9)));
    assert_eq!(
        due(&[twice], &year(2026), date(4, 1), Settings::default()).open,
        ["T-3 has full bloom noted on 6 March and 9 March; its window counts from the latest, 9 March."]
    );
}

#[test]
fn a_crews_sheet_holds_its_own_blocks_and_those_nobody_thinned() {
    let mut season = records();
    let crew = |day, name: &str| crate::records::LaborEntry {
        date: date(4, day),
        crew: name.into(),
        ..labor_entry(Task::Thin, "8", "15")
    };
    season.labor = kept([crew(9, "Mesa crew"), crew(12, "Ditch  crew")]);
    let at = |day| DueBlock::until(&season, date(4, day));
    assert!(at(8).is_for("Mesa crew") && at(8).is_for("Ditch crew"), "nobody has thinned it");
    assert!(at(9).is_for(" mesa CREW") && !at(9).is_for("Ditch crew"));
    assert!(at(12).is_for("Mesa crew") && at(12).is_for("crew ditch"), "both were there in that pass");
    season.labor.extend(kept([crate::records::LaborEntry { pass: Some(2), ..crew(22, "Ditch crew") }]));
    let at = |day| DueBlock::until(&season, date(4, day));
    assert!(!at(22).is_for("Mesa crew") && at(22).is_for("Ditch crew"), "the second look");
}
