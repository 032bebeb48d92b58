//! Fruit counted before and after thinning.

use reckon::records::{FruitCount, ThinningMethod};
use reckon::units::Inches;

use crate::column::{BLOCK, Column, NOTE, choice, day, number, text, words};
use crate::kinds::Printed;
use crate::row::{Conversion, DateRule, Row, above, from};

pub(super) const COLUMNS: &[Column] = &[
    day("date", "Day", "Day of the count, of the later one where there are two."),
    BLOCK,
    text("sample", "Tree or branch", "Name of the counted tree or branch.", "row 4 tree 11").required(),
    choice("what", "Counted on", WHAT, "A whole tree or a tagged branch. Blank = tree.", "tree"),
    number("fruit_before", "Fruit before", "", "Fruit before thinning. Blank = not counted.", "1450"),
    number("fruit_after", "Fruit after", "", "Fruit left after thinning. Blank = not counted.", "380"),
    number(
        "shoot_in",
        "Length of shoot in inches",
        "in",
        "Shoot the fruit hang on, for the spacing. Give inches or centimetres. Blank = not measured.",
        "1900",
    ),
    number("shoot_cm", "Length of shoot in centimetres", "cm", "Shoot the fruit hang on, instead of inches.", "4826"),
    number(
        "fruit_diameter_in",
        "Fruit diameter in inches",
        "in",
        "Mean diameter of the fruit. Give inches or millimetres. Blank = not measured.",
        "0.8",
    ),
    number("fruit_diameter_mm", "Fruit diameter in millimetres", "mm", "The same, instead of inches.", "20"),
    choice("method", "Method", words!(ThinningMethod), "How this sample was thinned. Blank = not said.", "by hand"),
    NOTE,
];

const WHAT: &[&str] = &["tree", "branch"];

const fn what(branch: bool) -> &'static str {
    if branch { "branch" } else { "tree" }
}

pub(super) fn read(row: &mut Row<'_>) -> Option<FruitCount> {
    let fruit = from(0.0).up_to(1_000_000.0);
    let date = row.date("date", DateRule::InSeason);
    let branch = row.choice("what", &[false, true], what).unwrap_or_default();
    row.need_any(&["fruit_before", "fruit_after"]);
    let before = row.whole("fruit_before", fruit);
    let after = row.whole("fruit_after", fruit);
    if let (Some(before), Some(after)) = (before, after)
        && after > before
    {
        row.problem_like("fruit_after", format!("no more than fruit_before ({before})"), "");
    }
    let cm = ("shoot_cm", above(0.0).up_to(2_540_000.0), Conversion::CM_TO_INCHES);
    let shoot = row.either(("shoot_in", above(0.0).up_to(1_000_000.0)), cm).map(Inches::of);
    let mm = ("fruit_diameter_mm", above(0.0).up_to(508.0), Conversion::MM_TO_INCHES);
    let fruit_diameter = row.either(("fruit_diameter_in", above(0.0).up_to(20.0)), mm).map(Inches::of);
    let method = row.choice("method", &ThinningMethod::ALL, ThinningMethod::word);
    Some(FruitCount {
        date: date?,
        sample: row.maybe_text("sample")?,
        branch,
        before,
        after,
        shoot,
        fruit_diameter,
        method,
        note: row.text("note"),
    })
}

pub(super) fn print(count: &FruitCount) -> Vec<(&'static str, String)> {
    Printed::default()
        .put("date", count.date)
        .text("sample", &count.sample)
        .put("what", what(count.branch))
        .maybe("fruit_before", count.before)
        .maybe("fruit_after", count.after)
        .maybe_float("shoot_in", count.shoot.map(Inches::get))
        .maybe_float("fruit_diameter_in", count.fruit_diameter.map(Inches::get))
        .maybe("method", count.method.map(ThinningMethod::word))
        .text("note", &count.note)
        .done()
}
