//! How many fruit to leave, and how far apart, by crop and by the days on which ripening begins.

use reckon::records::{FruitWanted, ThinningTarget};
use reckon::units::{FruitPerAcre, FruitPerTree, Inches};

use crate::column::{Column, NOTE, day, month_day, number, text};
use crate::kinds::Printed;
use crate::kinds::blocks::ripening;
use crate::row::{DateRule, Row, above};

pub(super) const COLUMNS: &[Column] = &[
    day("from", "From", "First day the target holds; it may be before the season."),
    text("crop", "Crop", "Crop it is for. Blank = all.", "peach"),
    month_day(
        "ripening_from",
        "Ripening begins from",
        "First day of the span, month and day: it is for blocks whose ripening begins in the span, both ends \
         included. Blank = whatever their days.",
        "06-01",
    ),
    month_day(
        "ripening_to",
        "Ripening begins by",
        "Last day of the span, month and day; one before ripening_from runs over the new year. Blank = whatever their \
         days.",
        "06-20",
    ),
    number(
        "fruit_per_tree",
        "Fruit wanted on a tree",
        "fruit",
        "Fruit wanted on a tree after thinning. The block's own number goes before it. Blank = none.",
        "300",
    ),
    number(
        "fruit_per_acre",
        "Fruit wanted on an acre",
        "fruit",
        "Instead, fruit wanted on an acre: spread over the block's bearing trees. Blank = none.",
        "60000",
    ),
    number(
        "spacing_in",
        "Shoot wanted for each fruit",
        "in",
        "Inches of shoot wanted for each fruit. Blank = none, and published guides are shown instead.",
        "6",
    ),
    NOTE,
];

pub(super) fn read(row: &mut Row<'_>) -> Option<ThinningTarget> {
    let day = row.date("from", DateRule::NotAfterSeason);
    let ripening = ripening(row);
    row.need_any(&["fruit_per_tree", "fruit_per_acre", "spacing_in"]);
    row.only_one(&["fruit_per_tree", "fruit_per_acre"]);
    let tree = row.float("fruit_per_tree", above(0.0).up_to(100_000.0)).map(FruitPerTree::of);
    let acre = row.float("fruit_per_acre", above(0.0).up_to(100_000_000.0)).map(FruitPerAcre::of);
    let fruit = tree.map(FruitWanted::Tree).or(acre.map(FruitWanted::Acre));
    let spacing = row.float("spacing_in", above(0.0).up_to(120.0)).map(Inches::of);
    let (crop, note) = (row.maybe_text("crop"), row.text("note"));
    Some(ThinningTarget { from: day?, crop, ripening, fruit, spacing, note })
}

pub(super) fn print(target: &ThinningTarget) -> Vec<(&'static str, String)> {
    let (tree, acre) = match target.fruit {
        Some(FruitWanted::Tree(fruit)) => (Some(fruit.get()), None),
        Some(FruitWanted::Acre(fruit)) => (None, Some(fruit.get())),
        None => (None, None),
    };
    Printed::default()
        .put("from", target.from)
        .maybe("crop", target.crop.as_ref())
        .maybe("ripening_from", target.ripening.map(|(first, _)| first))
        .maybe("ripening_to", target.ripening.map(|(_, last)| last))
        .maybe_float("fruit_per_tree", tree)
        .maybe_float("fruit_per_acre", acre)
        .maybe_float("spacing_in", target.spacing.map(Inches::get))
        .text("note", &target.note)
        .done()
}
