//! Blocks, with the settings of their water balance.

use reckon::block::{Block, Emitter, MonthDay, NeedsPollinizer};
use reckon::units::{Feet, FruitPerTree, GallonsPerHour};
use reckon::water::setup::{SETTINGS, Setting, Soil, WaterSetup};

use crate::column::{Column, choice, month_day, number, text, words};
use crate::kinds::{Printed, settings};
use crate::row::{Conversion, Row, above, from};

const PLAIN: &[Column] = &[
    text("block", "Block", "Short code, the only one of its name in the operation.", "RB-1").required(),
    text("farm", "Farm", "Name of the farm it stands on.", "Home Ranch").required(),
    text("crop", "Crop", "What grows there.", "peach").required(),
    text("variety", "Variety", "Variety, as you call it.", "Early Amber").required(),
    number("planted_year", "Planted", "", "Year planted, four digits. Blank = not known.", "2014"),
    number(
        "first_season",
        "First season",
        "",
        "Year of the first season it is counted in. Blank = from the year planted on; added to a book whose earlier \
         seasons have shared costs, from the season it is added in, or an earlier one it has records of.",
        "2026",
    ),
    number(
        "last_season",
        "Last season",
        "",
        "Year of the last season it is counted in, once it is pulled out. Blank = it stands.",
        "2031",
    ),
    number("acres", "Acres", "acre", "Area in acres.", "15.4").required(),
    number(
        "trees",
        "Bearing trees",
        "",
        "Bearing trees. Blank = not counted, and then nothing is reckoned per tree.",
        "2387",
    ),
    number(
        "row_spacing_ft",
        "Between rows, feet",
        "ft",
        "Distance between rows. Give feet or metres. Blank = not known.",
        "18",
    ),
    number("row_spacing_m", "Between rows, metres", "m", "Distance between rows, instead of feet.", "5.5"),
    number(
        "tree_spacing_ft",
        "Between trees, feet",
        "ft",
        "Distance between trees in the row. Give feet or metres. Blank = not known.",
        "15.5",
    ),
    number(
        "tree_spacing_m",
        "Between trees, metres",
        "m",
        "Distance between trees in the row, instead of feet.",
        "4.7",
    ),
    number("rows", "Rows of trees", "", "Rows of trees, so that rows done tell trees done. Blank = not counted.", "62"),
    choice("emitter", "Irrigation", words!(Emitter), "How water reaches the trees. Blank = drip.", "micro-sprinkler"),
    number("emitters_per_tree", "Emitters at each tree", "", "Emitters at each tree. Blank = not known.", "2"),
    number(
        "emitter_flow_gph",
        "Flow of an emitter",
        "gal/h",
        "Gallons an hour from one emitter. Blank = not known.",
        "1",
    ),
    month_day(
        "ripening_from",
        "Ripens from",
        "First day of ripening in a usual year, month and day. Blank = not known.",
        "07-18",
    ),
    month_day(
        "ripening_to",
        "Ripens to",
        "Last day of ripening in a usual year, month and day. Blank = not known.",
        "08-02",
    ),
    choice(
        "needs_pollinizer",
        "Needs a pollinizer",
        words!(NeedsPollinizer),
        "Whether the variety needs another's pollen. Blank = not said.",
        "no",
    ),
    text(
        "pollinizer",
        "Pollinizer",
        "What pollinizes it: a block, some rows, or self-fruitful. Blank = not said.",
        "self-fruitful",
    ),
    number(
        "pollinizer_trees",
        "Distance to the pollinizer",
        "trees",
        "Trees from the tree that stands farthest off to the nearest that pollinizes it. Blank = not counted.",
        "3",
    ),
    number(
        "target_fruit_per_tree",
        "Fruit wanted on a tree",
        "fruit",
        "Fruit wanted on a tree after thinning, for this variety and its ripening. Blank = no target.",
        "420",
    ),
    choice("soil", "Soil", words!(Soil), "Texture of the soil. Blank = loam, marked assumed.", "sandy loam"),
];

pub(super) fn columns() -> Vec<Column> {
    PLAIN.iter().copied().chain(SETTINGS.iter().map(settings::column)).collect()
}

pub(crate) fn read(row: &mut Row<'_>) -> Option<(String, Block)> {
    let spacing = above(0.0).up_to(1_000.0);
    let planted_year = row.whole("planted_year", from(1_800.0).up_to(2_200.0));
    let (first_season, last_season) = seasons(row);
    let acres = row.exact("acres", above(0.0).up_to(999_999.0));
    let trees = row.whole("trees", from(1.0).up_to(10_000_000.0));
    let metres = |name| (name, above(0.0).up_to(300.0), Conversion::METRES_TO_FEET);
    let row_spacing = row.either(("row_spacing_ft", spacing), metres("row_spacing_m")).map(Feet::of);
    let tree_spacing = row.either(("tree_spacing_ft", spacing), metres("tree_spacing_m")).map(Feet::of);
    let rows = row.whole("rows", from(1.0).up_to(100_000.0));
    let emitter = row.choice("emitter", &Emitter::ALL, Emitter::word).unwrap_or_default();
    let emitters_per_tree = row.float("emitters_per_tree", above(0.0).up_to(1_000.0));
    let emitter_flow = row.float("emitter_flow_gph", above(0.0).up_to(100_000.0)).map(GallonsPerHour::of);
    let ripening = ripening(row);
    let needs_pollinizer = row.choice("needs_pollinizer", &NeedsPollinizer::ALL, NeedsPollinizer::word);
    let pollinizer_trees = row.whole("pollinizer_trees", from(0.0).up_to(100_000.0));
    let target_fruit = row.float("target_fruit_per_tree", above(0.0).up_to(100_000.0)).map(FruitPerTree::of);
    let water = water(row);
    let block = Block {
        code: row.maybe_text("block")?,
        crop: row.maybe_text("crop")?,
        variety: row.maybe_text("variety")?,
        planted_year: planted_year.and_then(|year| i32::try_from(year).ok()),
        first_season,
        last_season,
        acres: acres?,
        trees,
        row_spacing,
        tree_spacing,
        rows,
        emitter,
        emitters_per_tree,
        emitter_flow,
        ripening,
        pollinizer: row.text("pollinizer"),
        needs_pollinizer,
        pollinizer_trees,
        target_fruit,
        water,
    };
    Some((row.text("farm"), block))
}

/// First and last season.
fn seasons(row: &mut Row<'_>) -> (Option<i32>, Option<i32>) {
    let mut year = |name| {
        let year = row.whole(name, from(1_900.0).up_to(2_200.0));
        year.and_then(|year| i32::try_from(year).ok())
    };
    let (first, last) = (year("first_season"), year("last_season"));
    if let (Some(first), Some(last)) = (first, last)
        && last < first
    {
        row.problem("last_season", format!("{first}, its first season, or a later one"));
    }
    (first, last)
}

/// Two days of any year, of which none stands alone.
pub(super) fn ripening(row: &mut Row<'_>) -> Option<(MonthDay, MonthDay)> {
    if row.has("ripening_from") != row.has("ripening_to") {
        row.need("ripening_from", "a first day too, as ripening_to is filled");
        row.need("ripening_to", "a last day too, as ripening_from is filled");
    }
    let (first, last) = (row.month_day("ripening_from"), row.month_day("ripening_to"));
    first.zip(last)
}

fn water(row: &mut Row<'_>) -> WaterSetup {
    let mut water = WaterSetup::default();
    water.soil = row.choice("soil", &Soil::ALL, Soil::word);
    for info in SETTINGS {
        let value = settings::read(row, info);
        water.set(info.setting, value);
    }
    if let (Some(wilting), Some(capacity)) = (water.get(Setting::WiltingPoint), water.get(Setting::FieldCapacity))
        && wilting >= capacity
    {
        row.problem("wilting_point", format!("less than field_capacity ({capacity})"));
    }
    settings::check_growth_start(row, &water);
    water
}

pub(super) fn print(farm: &str, block: &Block) -> Vec<(&'static str, String)> {
    let mut printed = Printed::default()
        .text("block", &block.code)
        .text("farm", farm)
        .text("crop", &block.crop)
        .text("variety", &block.variety)
        .maybe("planted_year", block.planted_year)
        .maybe("first_season", block.first_season)
        .maybe("last_season", block.last_season)
        .put("acres", block.acres)
        .maybe("trees", block.trees)
        .maybe_float("row_spacing_ft", block.row_spacing.map(Feet::get))
        .maybe_float("tree_spacing_ft", block.tree_spacing.map(Feet::get))
        .maybe("rows", block.rows)
        .put("emitter", block.emitter.word())
        .maybe_float("emitters_per_tree", block.emitters_per_tree)
        .maybe_float("emitter_flow_gph", block.emitter_flow.map(GallonsPerHour::get))
        .maybe("ripening_from", block.ripening.map(|(first, _)| first))
        .maybe("ripening_to", block.ripening.map(|(_, last)| last))
        .maybe("needs_pollinizer", block.needs_pollinizer.map(NeedsPollinizer::word))
        .text("pollinizer", &block.pollinizer)
        .maybe("pollinizer_trees", block.pollinizer_trees)
        .maybe_float("target_fruit_per_tree", block.target_fruit.map(FruitPerTree::get))
        .maybe("soil", block.water.soil.map(Soil::word));
    for (info, value) in block.water.values() {
        printed = printed.float(info.name, value);
    }
    printed.done()
}
