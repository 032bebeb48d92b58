//! Prices expected before settlement.

use reckon::records::PriceLine;

use crate::column::{Column, NOTE, day, number, text};
use crate::kinds::Printed;
use crate::row::{DateRule, Row};

pub(super) const COLUMNS: &[Column] = &[
    day("from", "From", "First day the price holds; it may be before the season."),
    text("crop", "Crop", "Crop it is for. Blank = all.", "peach"),
    text("size_class", "Size class", "Size class it is for, in the words of your list. Blank = all.", "56"),
    text("grade", "Grade", "Grade it is for, in the words of your list. Blank = all.", "first"),
    number("net_usd_per_box", "Net price of a box", "$/box", "Dollars a box that reach the grower.", "12.40")
        .required(),
    NOTE,
];

pub(super) fn read(row: &mut Row<'_>) -> Option<PriceLine> {
    let from = row.date("from", DateRule::NotAfterSeason);
    let net_price = row.price("net_usd_per_box");
    Some(PriceLine {
        from: from?,
        crop: row.maybe_text("crop"),
        size_class: row.maybe_text("size_class"),
        grade: row.maybe_text("grade"),
        net_price: net_price?,
        note: row.text("note"),
    })
}

pub(super) fn print(line: &PriceLine) -> Vec<(&'static str, String)> {
    Printed::default()
        .put("from", line.from)
        .maybe("crop", line.crop.as_ref())
        .maybe("size_class", line.size_class.as_ref())
        .maybe("grade", line.grade.as_ref())
        .put("net_usd_per_box", line.net_price)
        .text("note", &line.note)
        .done()
}
