//! Picks.

use reckon::records::Pick;

use crate::column::{BLOCK, Column, NOTE, day, number};
use crate::kinds::Printed;
use crate::row::{DateRule, POUNDS, Row, from};

pub(super) const COLUMNS: &[Column] = &[
    day("date", "Day", "Day of the picking."),
    BLOCK,
    number("pick", "Pick", "", "1 = first pick, 2 = second. Blank = not said.", "1"),
    number("bins", "Bins", "bins", "Bins filled. Blank = not counted.", "42"),
    number("lugs", "Lugs", "lugs", "Field lugs filled. Blank = none.", "12"),
    number("weight_lb", "Net weight", "lb", "Pounds of fruit without bins. Blank = not weighed.", "37800"),
    NOTE,
];

pub(super) fn read(row: &mut Row<'_>) -> Option<Pick> {
    let date = row.date("date", DateRule::InSeason);
    row.need_any(&["bins", "lugs", "weight_lb"]);
    let pick = row.small("pick", from(1.0).up_to(50.0));
    let bins = row.exact("bins", from(0.0).up_to(999_999.0));
    let lugs = row.exact("lugs", from(0.0).up_to(9_999_999.0));
    let weight = row.exact("weight_lb", POUNDS);
    Some(Pick { date: date?, pick, bins, lugs, weight, note: row.text("note") })
}

pub(super) fn print(pick: &Pick) -> Vec<(&'static str, String)> {
    Printed::default()
        .put("date", pick.date)
        .maybe("pick", pick.pick)
        .maybe("bins", pick.bins)
        .maybe("lugs", pick.lugs)
        .maybe("weight_lb", pick.weight)
        .text("note", &pick.note)
        .done()
}
