//! Canopy values by day.

use reckon::records::CanopyDay;

use crate::column::{BLOCK, Column, NOTE, day, number};
use crate::kinds::Printed;
use crate::row::{DateRule, Row, above, from};

pub(super) const COLUMNS: &[Column] = &[
    day("date", "Day", "First day the values hold; they stay until the next entry."),
    BLOCK,
    number("kcb", "Basal crop coefficient", "", "Basal crop coefficient. Blank = as before.", "0.55"),
    number(
        "ground_cover",
        "Ground covered",
        "share",
        "Share of the ground the canopy covers, 0 to 1. Blank = as before.",
        "0.45",
    ),
    number("height_m", "Height of the trees", "m", "Height in metres. Blank = as before.", "3"),
    number("root_depth_m", "Root depth", "m", "Root depth in metres. Blank = as before.", "1.2"),
    NOTE,
];

pub(super) fn read(row: &mut Row<'_>) -> Option<CanopyDay> {
    let date = row.date("date", DateRule::InSeason);
    row.need_any(&["kcb", "ground_cover", "height_m", "root_depth_m"]);
    let kcb = row.float("kcb", from(0.0).up_to(1.5));
    let ground_cover = row.float("ground_cover", from(0.0).up_to(1.0));
    let height_m = row.float("height_m", above(0.0).up_to(20.0));
    let root_depth_m = row.float("root_depth_m", above(0.0).up_to(5.0));
    Some(CanopyDay { date: date?, kcb, ground_cover, height_m, root_depth_m, note: row.text("note") })
}

pub(super) fn print(day: &CanopyDay) -> Vec<(&'static str, String)> {
    Printed::default()
        .put("date", day.date)
        .maybe_float("kcb", day.kcb)
        .maybe_float("ground_cover", day.ground_cover)
        .maybe_float("height_m", day.height_m)
        .maybe_float("root_depth_m", day.root_depth_m)
        .text("note", &day.note)
        .done()
}
