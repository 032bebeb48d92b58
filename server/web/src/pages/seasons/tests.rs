use chrono::TimeDelta;
use reckon::exact::Boxes;
use store::{Closing, Reopening};

use super::*;
use crate::pages::html::{held, shell, text};

#[test]
fn a_year_has_four_digits() {
    assert_eq!(year_of(" 2026 "), Some(2026));
    for text in ["", "26", "20265", "1066", "2,026", "+202"] {
        assert_eq!(year_of(text), None, "{text}");
    }
}

#[test]
fn a_row_tells_the_closing_that_holds_and_those_that_ended() {
    let at = "2026-07-01T12:00:00Z".parse().unwrap();
    let end = Reopening { by: "Ben".into(), at: at + TimeDelta::days(2), reason: "a late settlement".into() };
    let closing = |number, reopened| Closing { year: 2026, number, by: "Ana".into(), at, reopened };
    let season = |state| Season { state, ..Season::calendar_year(2026).unwrap() };
    let row = |state, closings: &[Closing]| SeasonRow::of(&shell("/seasons"), &season(state), closings);
    let open = row(SeasonState::Open, &[closing(1, Some(end.clone()))]);
    assert_eq!((open.state.as_str(), open.closed), ("open", false));
    let said = "Closed by Ana on 1 Jul 2026, reopened by Ben on 3 Jul 2026: a late settlement";
    assert_eq!(open.earlier, [said]);
    let closed = row(SeasonState::Closed, &[closing(2, None), closing(1, Some(end))]);
    assert_eq!((closed.state.as_str(), closed.earlier.len()), ("closed by Ana on 1 Jul 2026", 1));
    assert_eq!(row(SeasonState::Closed, &[]).state, "closed", "before closings were kept");
}

fn words(page: &impl Template) -> String {
    text(held(page).root_element())
}

#[test]
fn what_stands_in_the_way_of_removing_a_season_is_said() {
    let free = store::Held { year: 2027, ..store::Held::default() };
    assert!(words(&remove::Remove::of(shell("/seasons"), &free)).contains("Remove season 2027?"));
    let records = vec![(reckon::figure::RecordKind::Labor, 3)];
    let page = store::Held { closed: true, records, joined: vec!["R-1".to_owned(), "R-2".to_owned()], ..free };
    let page = words(&remove::Remove::of(shell("/seasons"), &page));
    for text in ["Season 2027 stays", "was once", "Labor entries: 3", "R-1, R-2"] {
        assert!(page.contains(text), "{text}\n{page}");
    }
}

#[test]
fn what_is_still_open_is_listed_before_closing() {
    let block = "00000000-0000-7000-8000-000000000001".parse().unwrap();
    let mut season = print::samples::full();
    season.packout.boxes_unsettled = season.packout.boxes_unsettled.map(|boxes| boxes.map(Boxes::whole(620).unwrap()));
    let open = close::StillOpen::of(block, &season).unwrap();
    assert_eq!(open.boxes, "620");
    assert_eq!(open.missing + open.worth_a_look, season.gaps.len());
    let page = words(&close::Close { shell: shell("/seasons"), year: 2026, blocks: 3, open: vec![open] });
    for text in ["Close season 2026?", "RB-1", "620"] {
        assert!(page.contains(text), "{text}\n{page}");
    }
    season.gaps.clear();
    season.packout.boxes_unsettled = None;
    season.statement.unsettled = None;
    assert!(close::StillOpen::of(block, &season).is_none());
    let page = words(&close::Close { shell: shell("/seasons"), year: 2026, blocks: 3, open: Vec::new() });
    assert!(page.contains("Nothing is missing"), "{page}");
}
