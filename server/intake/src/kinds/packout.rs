//! Lines of a packing-line report.

use reckon::exact::{Boxes, Pounds};
use reckon::money::round_half_away;
use reckon::records::{LineOutcome, PackoutLine};

use crate::column::{BLOCK, Column, NOTE, day, number, text};
use crate::kinds::Printed;
use crate::row::{BOXES, DateRule, POUNDS, Row, above};

pub(super) const COLUMNS: &[Column] = &[
    day("date", "Day", "Day packed."),
    BLOCK,
    text("size_class", "Size class", "Size class, in the words of your list. Blank = culled fruit.", "56"),
    text("grade", "Grade", "Grade, in the words of your list. Blank = culled fruit.", "first"),
    number("boxes", "Boxes", "boxes", "Boxes packed. Blank = culled fruit.", "412"),
    number(
        "lb_per_box",
        "Weight of a box",
        "lb",
        "Net pounds in a box; times boxes gives the weight. Blank = weight is given, or not known.",
        "25",
    ),
    number(
        "weight_lb",
        "Net weight",
        "lb",
        "Net pounds of this fruit. Blank = boxes times the weight of a box.",
        "10300",
    ),
    text("cull_cause", "Culled for", "Why it was thrown out. Blank = packed fruit.", "split"),
    NOTE,
];

const PACKED: &[&str] = &["size_class", "grade", "boxes", "lb_per_box"];

pub(super) fn read(row: &mut Row<'_>) -> Option<PackoutLine> {
    let date = row.date("date", DateRule::InSeason);
    let boxes: Option<Boxes> = row.exact("boxes", BOXES);
    let weight = weight(row, boxes);
    let outcome = match row.maybe_text("cull_cause") {
        Some(cause) => {
            for name in PACKED {
                row.refuse(name, "cull_cause is filled; a line is packed or culled");
            }
            row.need("weight_lb", "the pounds culled");
            Some(LineOutcome::Culled { cause })
        }
        None => packed(row, boxes),
    };
    Some(PackoutLine { date: date?, outcome: outcome?, weight, note: row.text("note") })
}

fn packed(row: &mut Row<'_>, boxes: Option<Boxes>) -> Option<LineOutcome> {
    if row.has("cull_cause") {
        return None;
    }
    if !PACKED.iter().any(|name| row.has(name)) {
        row.problem("size_class", "size_class, grade and boxes of packed fruit, or cull_cause and weight_lb");
        return None;
    }
    row.need("size_class", "the size class of packed fruit, or cull_cause and nothing here");
    row.need("grade", "the grade of packed fruit");
    row.need("boxes", "the boxes packed");
    Some(LineOutcome::Packed {
        size_class: row.maybe_text("size_class")?,
        grade: row.maybe_text("grade")?,
        boxes: boxes?,
    })
}

/// The weight as given, or boxes times the weight of one; where both are given they must agree.
fn weight(row: &mut Row<'_>, boxes: Option<Boxes>) -> Option<Pounds> {
    let given = row.exact("weight_lb", POUNDS);
    let each = row.decimal("lb_per_box", above(0.0).up_to(9_999.0));
    let Some((boxes, each)) = boxes.zip(each) else { return given };
    let product = boxes.decimal().checked_mul(each).and_then(|pounds| Pounds::new(round_half_away(pounds, 6)).ok());
    let Some(product) = product.filter(|pounds| POUNDS.hold(pounds.decimal())) else {
        row.problem("lb_per_box", "a box whose weight times boxes is below 1,000,000,000 lb");
        return None;
    };
    if given.is_some_and(|given| given != product) {
        row.problem_like("weight_lb", format!("boxes x lb_per_box, which is {product}"), &product.to_string());
    }
    Some(product)
}

pub(super) fn print(line: &PackoutLine) -> Vec<(&'static str, String)> {
    let printed = Printed::default().put("date", line.date);
    let printed = match &line.outcome {
        LineOutcome::Packed { size_class, grade, boxes } => printed
            .text("size_class", size_class)
            .text("grade", grade)
            .put("boxes", boxes)
            .maybe("weight_lb", line.weight),
        LineOutcome::Culled { cause } => printed.maybe("weight_lb", line.weight).text("cull_cause", cause),
    };
    printed.text("note", &line.note).done()
}
