//! The sheets of a block season.

use chrono::NaiveDate;
use reckon::figure::Figure;
use reckon::operation_season::{CostLine, all_of};
use reckon::season::{BlockSeason, PackoutSeason, ThinningSeason, WaterSeason, WaterWeek};
use reckon::thinning::target::Wanted;
use reckon::units::Measure;

use super::parts::{self, with_known};
use super::table::{Sheet, Value};
use crate::fingerprint::fingerprint;

pub(super) fn sheets(season: &BlockSeason, costs: &[CostLine], made_on: NaiveDate) -> Vec<Sheet> {
    let mut sheets = vec![
        statement(season),
        break_even(season),
        labor(season),
        thinning(&season.thinning),
        water(season),
        weeks_of_water(&season.water),
        packout(&season.packout),
    ];
    sheets.extend(published(&season.packout));
    sheets.extend([weeks_of_packing(&season.packout), of_costs(costs), gaps(season), about(season, made_on)]);
    sheets
}

fn statement(season: &BlockSeason) -> Sheet {
    let columns = [
        ("Line", 34.0),
        ("The block, $", 15.0),
        ("$ an acre", 13.0),
        ("$ a tree", 12.0),
        ("$ a box", 12.0),
        ("$ a lb", 12.0),
    ];
    let mut sheet = Sheet::new("Statement", &with_known(&columns));
    for line in &season.statement.lines {
        parts::statement_line(&mut sheet, line, Vec::new());
    }
    if let Some(unsettled) = &season.statement.unsettled {
        let mut cells = vec![Value::text("Of net to grower, not settled yet"), Value::Money(unsettled.value)];
        cells.extend((0..4).map(|_| Value::Blank));
        cells.extend(Value::known(Some(unsettled)));
        sheet.row(cells);
    }
    sheet
}

fn break_even(season: &BlockSeason) -> Sheet {
    let mut sheet = Sheet::new("Break-even", &with_known(&parts::BREAK_EVEN));
    for level in &season.statement.break_even {
        sheet.row(parts::break_even(level));
    }
    sheet
}

fn labor(season: &BlockSeason) -> Sheet {
    let mut sheet = Sheet::new("Labor", &with_known(&parts::LABOR));
    parts::labor(&mut sheet, &season.labor, &[]);
    sheet
}

/// Counts with their standard errors, what is wanted with where that stands, and guides beside it.
fn thinning(season: &ThinningSeason) -> Sheet {
    let columns = [("Figure", 34.0), ("Value", 15.0), ("Unit", 16.0)];
    let mut sheet = Sheet::new("Thinning", &[&with_known(&columns)[..], &[("Stands in", 60.0)]].concat());
    measure(&mut sheet, "Fruit taken off", season.removed.as_ref());
    measure(&mut sheet, "Fruit taken off, standard error", season.removed_standard_error.as_ref());
    measure(&mut sheet, "Fruit before", season.before_per_tree.as_ref());
    measure(&mut sheet, "Fruit before, standard error", season.before_standard_error.as_ref());
    measure(&mut sheet, "Fruit left", season.left_per_tree.as_ref());
    measure(&mut sheet, "Fruit left, standard error", season.left_standard_error.as_ref());
    wanted(&mut sheet, "Fruit wanted", season.target.as_ref());
    measure(&mut sheet, "Left of what is wanted", season.left_of_target.as_ref());
    measure(&mut sheet, "Fruit taken off the block", season.removed_in_block.as_ref());
    let error = season.removed_in_block_standard_error.as_ref();
    measure(&mut sheet, "Fruit taken off the block, standard error", error);
    measure(&mut sheet, "Trees to count for a mean within 10% (95%)", season.trees_to_count.as_ref());
    measure(&mut sheet, "Crop to expect, before drop", season.crop.as_ref());
    measure(&mut sheet, "Crop to expect, standard error", season.crop_standard_error.as_ref());
    measure(&mut sheet, "Shoot for each fruit left", season.spacing.as_ref());
    measure(&mut sheet, "Shoot for each fruit left, standard error", season.spacing_standard_error.as_ref());
    wanted(&mut sheet, "Shoot wanted for each fruit", season.target_spacing.as_ref());
    measure(&mut sheet, "Spacing of what is wanted", season.spacing_of_target.as_ref());
    measure(&mut sheet, "Fruit when counted", season.diameter.as_ref());
    for guide in &season.guides {
        let name = format!("Published guide, no target: {}", guide.words());
        let blank = (0..4).map(|_| Value::Blank);
        let source = Value::text(&guide.source.words());
        sheet.row([Value::text(&name)].into_iter().chain(blank).chain([source]).collect());
    }
    sheet
}

/// What is wanted, and where that stands.
fn wanted<M: Measure + Copy>(sheet: &mut Sheet, name: &str, wanted: Option<&Wanted<M>>) {
    if let Some(Wanted { figure, from }) = wanted {
        let mut cells = vec![Value::text(name), Value::measure(figure.value), Value::text(M::UNIT)];
        cells.extend(Value::known(Some(figure)));
        cells.push(Value::text(&from.source()));
        sheet.row(cells);
    }
}

/// Single figures: name, number, unit, how it is known.
fn water(season: &BlockSeason) -> Sheet {
    let columns = [("Figure", 34.0), ("Value", 15.0), ("Unit", 16.0)];
    let mut sheet = Sheet::new("Water", &with_known(&columns));
    let water = &season.water;
    measure(&mut sheet, "Irrigation applied", water.applied.as_ref());
    measure(&mut sheet, "Applied, depth", water.applied_depth.as_ref());
    measure(&mut sheet, "Applied, each tree", water.applied_per_tree.as_ref());
    if let Some(cost) = &water.cost {
        let mut cells = vec![Value::text("Cost of the water"), Value::Money(cost.value), Value::text("$")];
        cells.extend(Value::known(Some(cost)));
        sheet.row(cells);
    }
    measure(&mut sheet, "Reference evapotranspiration", water.eto.as_ref());
    measure(&mut sheet, "Crop need", water.need.as_ref());
    measure(&mut sheet, "Used by trees and soil", water.used.as_ref());
    measure(&mut sheet, "Rain", water.rain.as_ref());
    measure(&mut sheet, "Rain kept in the root zone", water.rain_kept.as_ref());
    measure(&mut sheet, "Drained below the roots", water.drained.as_ref());
    measure(&mut sheet, "Need met", water.met.as_ref());
    measure(&mut sheet, "Applied, of gross need", water.applied_of_need.as_ref());
    if let Some(saving) = &water.saving {
        for (name, saving) in [
            ("Evaporation avoided by mulch", &saving.avoided),
            ("Kept by mulch for the trees", &saving.kept),
            ("Irrigation not needed for mulch", &saving.not_needed),
        ] {
            measure(&mut sheet, name, Some(&saving.depth));
            measure(&mut sheet, &format!("{name}, volume"), Some(&saving.gallons));
        }
    }
    sheet
}

fn measure<M: Measure + Copy>(sheet: &mut Sheet, name: &str, figure: Option<&Figure<M>>) {
    if let Some(figure) = figure {
        let mut cells = vec![Value::text(name), Value::measure(figure.value), Value::text(M::UNIT)];
        cells.extend(Value::known(Some(figure)));
        sheet.row(cells);
    }
}

fn weeks_of_water(season: &WaterSeason) -> Sheet {
    let columns = [
        ("Week of", 12.0),
        ("Days", 7.0),
        ("Need, in", 11.0),
        ("Need on bare soil, in", 12.0),
        ("Applied, in", 11.0),
        ("Rain, in", 11.0),
        ("Rain kept, in", 11.0),
        ("Drained, in", 11.0),
        ("Depletion on the last evening, in", 16.0),
    ];
    let mut sheet = Sheet::new("Water by week", &columns);
    let row = |week: &WaterWeek| {
        let depths = [week.need, week.need_bare, week.applied, week.rain, week.rain_kept, week.drained, week.depletion];
        let mut cells = vec![Value::Day(week.starts), Value::Number(week.days.into(), 0)];
        cells.extend(depths.into_iter().map(Value::measure));
        cells
    };
    for week in &season.weeks {
        sheet.row(row(week));
    }
    sheet
}

fn packout(season: &PackoutSeason) -> Sheet {
    let mut sheet = Sheet::new("Packout", &with_known(&parts::FRUIT));
    for cell in &season.cells {
        sheet.row(parts::fruit(cell));
    }
    for cell in season.sizes.iter().chain(&season.grades) {
        sheet.sum(parts::fruit(cell));
    }
    sheet
}

/// Own sizes by the published size each stands for; `None` without an own list that says so.
fn published(season: &PackoutSeason) -> Option<Sheet> {
    let mut sheet = Sheet::new(parts::PUBLISHED, &with_known(&parts::FRUIT));
    for cell in &season.classes {
        sheet.row(parts::fruit(cell));
    }
    Some(sheet).filter(|sheet| !sheet.rows.is_empty())
}

fn weeks_of_packing(season: &PackoutSeason) -> Sheet {
    let mut sheet = Sheet::new("Price by week", &with_known(&parts::WEEKS));
    for week in &season.weeks {
        sheet.row(parts::week(week));
    }
    sheet
}

fn of_costs(costs: &[CostLine]) -> Sheet {
    let mut sheet = Sheet::new("Costs", &parts::COSTS);
    for line in costs {
        sheet.row(parts::cost(line));
    }
    let mut cells = vec![Value::Blank, Value::Blank, Value::text("All costs of the block"), Value::Blank, Value::Blank];
    cells.push(Value::Money(all_of(costs)));
    sheet.sum(cells);
    sheet
}

fn gaps(season: &BlockSeason) -> Sheet {
    let mut sheet = Sheet::new("Gaps", &parts::GAPS);
    for gap in &season.gaps {
        sheet.row(parts::gap(gap));
    }
    sheet
}

fn about(season: &BlockSeason, made_on: NaiveDate) -> Sheet {
    let heading = &season.heading;
    parts::about(vec![
        ("Operation", Value::text(&heading.operation)),
        ("Farm", Value::text(&heading.farm.name)),
        ("Block", Value::text(&crate::report::title(season))),
        ("Acres", Value::exact(Some(heading.block.acres))),
        ("Trees", heading.block.trees.map_or(Value::Blank, |trees| Value::Number(trees.into(), 0))),
        ("First day of the season", Value::Day(heading.season.first_day)),
        ("Last day of the season", Value::Day(heading.season.last_day)),
        ("Made on", Value::Day(made_on)),
        ("Fingerprint", Value::text(&fingerprint(season).grouped())),
    ])
}
