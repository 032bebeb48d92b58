//! Canopy values by day.

use reckon::records::CanopyDay;

use crate::column::{BLOCK, Column, NOTE, day, number};
use crate::kinds::Printed;
use crate::row::{Conversion, DateRule, Row, above, from};

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
    number("height_ft", "Height of the trees in feet", "ft", "Height. Give feet or metres. Blank = as before.", "10"),
    number("height_m", "Height of the trees in metres", "m", "The same in metres. Blank = as before.", "3"),
    number("root_depth_ft", "Root depth in feet", "ft", "Root depth. Give feet or metres. Blank = as before.", "4"),
    number("root_depth_m", "Root depth in metres", "m", "The same in metres. Blank = as before.", "1.2"),
    NOTE,
];

pub(super) fn read(row: &mut Row<'_>) -> Option<CanopyDay> {
    let date = row.date("date", DateRule::InSeason);
    row.need_any(&["kcb", "ground_cover", "height_m", "height_ft", "root_depth_m", "root_depth_ft"]);
    let kcb = row.float("kcb", from(0.0).up_to(1.5));
    let ground_cover = row.float("ground_cover", from(0.0).up_to(1.0));
    let height_ft = ("height_ft", above(0.0).up_to(65.0), Conversion::FEET_TO_METRES);
    let height_m = row.either(("height_m", above(0.0).up_to(20.0)), height_ft);
    let root_depth_ft = ("root_depth_ft", above(0.0).up_to(16.0), Conversion::FEET_TO_METRES);
    let root_depth_m = row.either(("root_depth_m", above(0.0).up_to(5.0)), root_depth_ft);
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
