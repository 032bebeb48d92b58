//! Seasons over the new year, farms in the south, machines that thin first, and days that cannot be.

use super::*;
use crate::records::{LaborEntry, ThinningMethod};

fn on(year: i32, month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(year, month, day).unwrap()
}

/// July to June, named after the year of its harvest.
fn over_the_new_year() -> Season {
    Season { first_day: on(2025, 7, 1), last_day: on(2026, 6, 30), ..year(2026) }
}

#[test]
fn ripening_stands_in_the_season_that_holds_it() {
    let days = |first: (u32, u32), last: (u32, u32)| {
        let of = |(month, day)| MonthDay::new(month, day).unwrap();
        over_the_new_year().ripening((of(first), of(last))).unwrap()
    };
    assert_eq!(days((1, 10), (1, 28)), (on(2026, 1, 10), on(2026, 1, 28)));
    assert_eq!(days((11, 20), (12, 5)), (on(2025, 11, 20), on(2025, 12, 5)), "of the year before its name");
    assert_eq!(days((12, 20), (1, 6)), (on(2025, 12, 20), on(2026, 1, 6)), "over the new year");
    // A short season that does not hold it keeps to its year.
    let short = Season { last_day: on(2025, 9, 30), ..over_the_new_year() };
    assert_eq!(
        short.ripening((MonthDay::new(1, 10).unwrap(), MonthDay::new(1, 28).unwrap())).unwrap().0,
        on(2026, 1, 10)
    );
}

/// Ripe on 10 January: full bloom of 20 September, thinned in November, and the next one a year on.
#[test]
fn a_southern_block_is_thinned_in_its_own_spring() {
    let southern = DueBlock { south: true, ..block("S-1", Some((1, 10))) };
    let season = over_the_new_year();
    let seen = |block: &DueBlock, today| due(core::slice::from_ref(block), &season, today, Settings::default());
    let told = seen(&southern, on(2025, 10, 1)).without.remove(0);
    let said = told.sentence(Language::English);
    assert!(said.starts_with("S-1 ripens from 10 January 2026, for which there is no calendar"), "{said}");
    assert!(said.contains("days before ripening"), "{said}");
    let bloomed = DueBlock { full_bloom: Some(on(2025, 9, 20)), ..southern.clone() };
    let open = &seen(&bloomed, on(2025, 11, 1)).due[0];
    assert_eq!((open.window, open.timing), ((on(2025, 10, 20), on(2025, 11, 19)), Timing::Open));
    assert!(seen(&bloomed, on(2026, 1, 10)).due.is_empty(), "it is ripe");
    let own = Settings { before_ripening: Some((80, 60)), ..Settings::default() };
    let ahead = next(&[southern], &season, on(2026, 3, 1), own);
    assert_eq!(ahead[0].ripens, Some(on(2027, 1, 10)));
    // A block of June, wrongly placed in the south, is not given California's days.
    let june = DueBlock { south: true, ..block("S-2", Some((6, 1))) };
    assert_eq!(due(&[june], &year(2026), date(4, 1), Settings::default()).without.len(), 1);
}

/// A mechanical thinner or a spray goes first; the hands come after it.
#[test]
fn machines_and_sprays_leave_the_first_pass_to_the_hands() {
    let mut season = records();
    season.block.ripening = block("T-1", Some((7, 1))).ripening;
    let entry = |(month, day), pass, method| LaborEntry {
        date: date(month, day),
        pass,
        method: Some(method),
        trees_done: Some(1_000),
        ..labor_entry(Task::Thin, "8", "15")
    };
    let said = |labor: Vec<LaborEntry>, today| {
        let season = SeasonRecords { labor: kept(labor), ..season.clone() };
        sentences(&[DueBlock::until(&season, today)], today).join(" ")
    };
    let machine = |pass| entry((3, 28), pass, ThinningMethod::Machine);
    for pass in [None, Some(1)] {
        assert_eq!(
            said(vec![machine(pass)], date(4, 20)),
            "T-1: first pass due until 1 May; thinned by machine on 28 March."
        );
    }
    let spray = entry((3, 28), None, ThinningMethod::Chemical);
    assert!(said(vec![spray], date(5, 3)).ends_with("closed on 1 May; sprayed to thin on 28 March."));
    // Numbered through or not, the first of the hands is the first pass.
    for pass in [Some(1), Some(2), None] {
        let hand = entry((4, 20), pass, ThinningMethod::ByHand);
        assert!(
            said(vec![machine(Some(1)), hand], date(4, 29)).starts_with("T-1: second look due until 4 May"),
            "{pass:?}"
        );
    }
    let looked = [2, 3].map(|pass| entry((4, 10 + u32::from(pass)), Some(pass), ThinningMethod::ByHand));
    assert_eq!(said([vec![machine(Some(1))], looked.to_vec()].concat(), date(4, 29)), "");
}

#[test]
fn no_window_reaches_into_ripening() {
    let early = DueBlock { full_bloom: Some(date(3, 20)), ..block("E-1", Some((5, 10))) };
    let found = due(core::slice::from_ref(&early), &year(2026), date(4, 20), Settings::default());
    assert_eq!(found.due[0].window, (date(4, 19), date(5, 9)), "60 days after bloom is 19 May");
    assert_eq!(found.open, Vec::<String>::new());
    let thinned = DueBlock { passes: vec![(1, date(4, 28))], ..early.clone() };
    assert_eq!(due(&[thinned], &year(2026), date(5, 6), Settings::default()).due[0].window, (date(5, 5), date(5, 9)));
    let last = DueBlock { passes: vec![(1, date(5, 4))], ..early.clone() };
    assert!(due(&[last], &year(2026), date(5, 6), Settings::default()).due.is_empty(), "it would open when it is ripe");
    // Bloom after ripening begins is a slip, and the calendar holds.
    let slip = DueBlock { full_bloom: Some(date(6, 20)), ..early };
    let seen = due(core::slice::from_ref(&slip), &year(2026), date(6, 20), Settings::default());
    assert!(seen.due.is_empty() && seen.open.len() == 1, "said of a block that is past thinning, as it is noted");
    let found = due(&[slip], &year(2026), date(4, 2), Settings::default());
    assert_eq!((found.due[0].basis, found.due[0].window.0), (Basis::Calendar, date(4, 1)));
    assert_eq!(
        found.open,
        [
            "E-1 has full bloom noted on 20 June 2026, and ripens from 10 May 2026. One of the two days is wrong; nothing is \
          counted from the bloom."
        ]
    );
}

#[test]
fn a_block_without_a_tree_count_says_what_that_means() {
    let begun = |code: &str| DueBlock { passes: vec![(1, date(4, 20))], ..block(code, Some((7, 1))) };
    let open = |blocks: &[DueBlock]| due(blocks, &year(2026), date(4, 25), Settings::default()).open;
    assert_eq!(
        open(&[begun("B"), begun("A")]),
        ["A and B have no count of bearing trees, so their first pass counts as done once it has begun."]
    );
    assert!(open(&[DueBlock { trees: Some(100), ..begun("A") }, block("B", Some((7, 1)))]).is_empty());
}
