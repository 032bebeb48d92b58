//! The sheets of an operation's season.

use chrono::NaiveDate;
use reckon::operation_season::{OperationSeason, SharedAmong, all_of};
use reckon::schedule::SALES;
use reckon::season::{BlockSeason, StatementKey};
use reckon::sharing::Sums;

use super::operation_methods::{methods, pairs};
use super::parts::{self, with_known};
use super::table::{Sheet, Value};
use crate::fingerprint::operation_fingerprint;
use crate::report::{self, Standing};

pub(super) fn sheets(season: &OperationSeason, made_on: NaiveDate, standing: &Standing) -> Vec<Sheet> {
    let mut sheets = vec![statement(season), blocks(season), labor(season), water(season), packout(season)];
    sheets.extend(published(season));
    sheets.extend([
        weeks(season),
        costs(season),
        by_group(season),
        shared(season),
        form(season),
        methods(&season.thinning),
        pairs(&season.thinning),
        gaps(season),
        about(season, made_on, standing),
    ]);
    sheets
}

/// A column for each farm, then the operation.
fn statement(season: &OperationSeason) -> Sheet {
    let mut columns = vec![("Line", 34.0)];
    columns.extend(season.farms.iter().map(|farm| (farm.name.as_str(), 16.0)));
    columns.extend([
        (if season.whole { "Operation, $" } else { "Your farms, $" }, 16.0),
        ("$ an acre", 13.0),
        ("$ a tree", 12.0),
        ("$ a box", 12.0),
        ("$ a lb", 12.0),
    ]);
    let mut sheet = Sheet::new("Statement", &with_known(&columns));
    for line in &season.statement.lines {
        let farm = |key: StatementKey| {
            season.farms.iter().map(move |farm| Value::money(farm.statement.line(key).map(|line| &line.amount)))
        };
        parts::statement_line(&mut sheet, line, farm(line.key).collect());
    }
    let whole = |name: &str, amount| {
        let mut cells = vec![Value::text(name)];
        cells.extend(season.farms.iter().map(|_| Value::Blank));
        cells.push(Value::Money(amount));
        cells
    };
    sheet.row(whole("Shared costs that no block bears", season.unallocated.negated()));
    sheet.sum(whole("Return over all costs and these", season.after_unallocated));
    if let Some(unsettled) = &season.statement.unsettled {
        sheet.row(whole("Of net to grower, not settled yet", unsettled.value));
    }
    sheet
}

/// Every line of every block, a row a block: what the operation's statement adds up.
fn blocks(season: &OperationSeason) -> Sheet {
    let keys: Vec<StatementKey> = season.statement.lines.iter().map(|line| line.key).collect();
    let mut columns =
        vec![("Farm", 20.0), ("Block", 12.0), ("Crop", 12.0), ("Variety", 18.0), ("Acres", 10.0), ("Trees", 10.0)];
    columns.extend(keys.iter().map(|key| (key.label(), 15.0)));
    let mut sheet = Sheet::new("Blocks", &columns);
    for block in &season.blocks {
        let own = &block.heading.block;
        let mut cells = vec![
            Value::text(&block.heading.farm.name),
            Value::text(&own.code),
            Value::text(&own.crop),
            Value::text(&own.variety),
            Value::exact(Some(own.acres)),
            own.trees.map_or(Value::Blank, |trees| Value::Number(trees.into(), 0)),
        ];
        cells.extend(keys.iter().map(|key| Value::money(block.statement.line(*key).map(|line| &line.amount))));
        sheet.row(cells);
    }
    let mut cells = vec![Value::text("All blocks"), Value::Blank, Value::Blank, Value::Blank];
    cells.extend([Value::exact(Some(season.acres)), Value::Blank]);
    cells.extend(season.statement.lines.iter().map(|line| Value::Money(line.amount.value)));
    sheet.sum(cells);
    sheet
}

fn labor(season: &OperationSeason) -> Sheet {
    let mut columns = vec![("Block", 12.0)];
    columns.extend(parts::LABOR);
    let mut sheet = Sheet::new("Labor", &with_known(&columns));
    for block in &season.blocks {
        parts::labor(&mut sheet, &block.labor, &[Value::text(&block.heading.block.code)]);
    }
    sheet
}

fn water(season: &OperationSeason) -> Sheet {
    let columns = [
        ("Block", 12.0),
        ("Need, in", 11.0),
        ("Rain kept, in", 11.0),
        ("Applied, in", 11.0),
        ("Applied, gal", 14.0),
        ("Applied of gross need, %", 13.0),
        ("Drained, in", 11.0),
        ("Kept by mulch, in", 12.0),
        ("Irrigation not needed, in", 13.0),
        ("Cost of water, $", 13.0),
    ];
    let mut sheet = Sheet::new("Water", &with_known(&columns));
    for block in &season.blocks {
        sheet.row(water_cells(block));
    }
    sheet
}

fn water_cells(block: &BlockSeason) -> Vec<Value> {
    let water = &block.water;
    let saving = water.saving.as_ref();
    let mut cells = vec![
        Value::text(&block.heading.block.code),
        Value::measure_of(water.need.as_ref()),
        Value::measure_of(water.rain_kept.as_ref()),
        Value::measure_of(water.applied_depth.as_ref()),
        Value::measure_of(water.applied.as_ref()),
        Value::measure_of(water.applied_of_need.as_ref()),
        Value::measure_of(water.drained.as_ref()),
        Value::measure_of(saving.map(|saving| &saving.kept.depth)),
        Value::measure_of(saving.map(|saving| &saving.not_needed.depth)),
        Value::money(water.cost.as_ref()),
    ];
    cells.extend(Value::known(water.applied.as_ref()));
    cells
}

fn packout(season: &OperationSeason) -> Sheet {
    let mut columns = vec![("Crop", 14.0)];
    columns.extend(parts::FRUIT);
    let mut sheet = Sheet::new("Packout", &with_known(&columns));
    for crop in &season.crops {
        let named = |cells: Vec<Value>| [vec![Value::text(&crop.name)], cells].concat();
        for cell in &crop.packout.cells {
            sheet.row(named(parts::fruit(cell)));
        }
        for cell in crop.packout.sizes.iter().chain(&crop.packout.grades) {
            sheet.sum(named(parts::fruit(cell)));
        }
    }
    sheet
}

/// Own sizes by the published size each stands for; `None` without an own list that says so.
fn published(season: &OperationSeason) -> Option<Sheet> {
    let mut columns = vec![("Crop", 14.0)];
    columns.extend(parts::FRUIT);
    let mut sheet = Sheet::new(parts::PUBLISHED, &with_known(&columns));
    for crop in &season.crops {
        for cell in &crop.packout.classes {
            sheet.row([vec![Value::text(&crop.name)], parts::fruit(cell)].concat());
        }
    }
    Some(sheet).filter(|sheet| !sheet.rows.is_empty())
}

fn weeks(season: &OperationSeason) -> Sheet {
    let mut columns = vec![("Crop", 14.0)];
    columns.extend(parts::WEEKS);
    let mut sheet = Sheet::new("Price by week", &with_known(&columns));
    for crop in &season.crops {
        for week in &crop.packout.weeks {
            sheet.row([vec![Value::text(&crop.name)], parts::week(week)].concat());
        }
    }
    sheet
}

/// Each block's part of each cost, then what no block bears.
fn costs(season: &OperationSeason) -> Sheet {
    let mut columns = vec![("Block", 14.0)];
    columns.extend(parts::COSTS);
    let mut sheet = Sheet::new("Costs", &columns);
    for line in &season.costs {
        sheet.row([vec![Value::text(&line.block)], parts::cost(line)].concat());
    }
    let last = |name: &str, amount| {
        let mut cells: Vec<Value> = (0..3).map(|_| Value::Blank).collect();
        cells.extend([Value::text(name), Value::Blank, Value::Blank, Value::Money(amount)]);
        cells
    };
    sheet.sum(last("Borne by blocks", all_of(&season.costs)));
    sheet.row(last("Borne by no block", season.unallocated));
    sheet.sum(last("All costs", season.ledger.total.all()));
    sheet
}

fn by_group(season: &OperationSeason) -> Sheet {
    let columns = [
        ("Group", 24.0),
        ("Of one block, $", 16.0),
        ("Shared by blocks, $", 16.0),
        ("Borne by no block, $", 16.0),
        ("All, $", 16.0),
    ];
    let mut sheet = Sheet::new("Costs by group", &columns);
    let cells = |name: &str, sums: &Sums| {
        let amounts = [sums.own, sums.shared, sums.unallocated, sums.all()];
        [vec![Value::text(name)], amounts.map(Value::Money).to_vec()].concat()
    };
    for (group, sums) in &season.ledger.groups {
        sheet.row(cells(group.word(), sums));
    }
    sheet.sum(cells("All costs", &season.ledger.total));
    sheet
}

/// Who bears which cent of each shared cost, and why.
fn shared(season: &OperationSeason) -> Sheet {
    let columns = [
        ("Day", 12.0),
        ("For", 26.0),
        ("Farm", 18.0),
        ("Shared by", 11.0),
        ("Amount, $", 14.0),
        ("Block", 12.0),
        ("Weight", 12.0),
        ("Exact part, $", 16.0),
        ("Part, $", 14.0),
        ("A cent left over", 10.0),
    ];
    let mut sheet = Sheet::new("Shared costs", &columns);
    for shared in &season.shared {
        parts_of(&mut sheet, shared);
    }
    sheet
}

fn parts_of(sheet: &mut Sheet, shared: &SharedAmong) {
    let cost = &shared.cost.record;
    let head = [
        Value::Day(cost.date),
        Value::text(&cost.category),
        Value::text(shared.farm.as_deref().unwrap_or("whole operation")),
        Value::text(cost.basis.word()),
        Value::Money(shared.out.amount),
    ];
    for (block, part) in shared.blocks.iter().zip(&shared.out.parts) {
        let mut cells = head.to_vec();
        cells.extend([
            Value::text(block),
            Value::Number(part.weight, part.weight.normalize().scale()),
            Value::Number(part.exact, 6),
            Value::Money(part.amount),
            if part.odd_cent { Value::text("yes") } else { Value::Blank },
        ]);
        sheet.row(cells);
    }
    if !shared.out.unallocated.is_zero() {
        let mut cells = head.to_vec();
        cells.extend([Value::text("no block"), Value::Blank, Value::Blank, Value::Money(shared.out.unallocated)]);
        sheet.row(cells);
    }
}

fn form(season: &OperationSeason) -> Sheet {
    let columns = [("Line", 9.0), ("Name", 44.0), ("What", 30.0), ("Amount, $", 15.0), ("Look at", 60.0)];
    let mut sheet = Sheet::new("Schedule F", &columns);
    let row = |line: &str, name: &str, what: &str, amount, comment: &str| {
        let [line, name, what] = [line, name, what].map(Value::text);
        vec![line, name, what, Value::Money(amount), Value::text(comment)]
    };
    let form = &season.schedule;
    let gross = "Gross of settlements, before what packers kept back.";
    sheet.sum(row(SALES.number, SALES.name, "", form.sales, gross));
    for line in &form.lines {
        sheet.sum(row(line.line.number, line.line.name, "", line.amount, ""));
        for (what, amount, comment) in &line.parts {
            sheet.row(row(line.line.number, "", what, *amount, comment));
        }
    }
    for (what, amount) in &form.to_choose {
        sheet.row(row("?", "choose a line", what, *amount, "Its words do not say which line."));
    }
    for (what, amount, why) in &form.left_out {
        sheet.row(row("none", "not on the form", what, *amount, why));
    }
    sheet.row(vec![Value::Blank, Value::text("Suggested only, after the form of 2021. The bookkeeper decides.")]);
    sheet
}

fn gaps(season: &OperationSeason) -> Sheet {
    let mut columns = vec![("Block", 12.0)];
    columns.extend(parts::GAPS);
    let mut sheet = Sheet::new("Gaps", &columns);
    for block in &season.blocks {
        for gap in &block.gaps {
            sheet.row([vec![Value::text(&block.heading.block.code)], parts::gap(gap)].concat());
        }
    }
    sheet
}

fn about(season: &OperationSeason, made_on: NaiveDate, standing: &Standing) -> Sheet {
    let fingerprint = operation_fingerprint(season);
    let issue = report::operation::standing(season, standing, fingerprint);
    let told = if season.whole { "all farms" } else { "the farms of the person who asked" };
    parts::about(vec![
        ("Operation", Value::text(&season.operation)),
        ("Farms", Value::text(told)),
        ("Acres", Value::exact(Some(season.acres))),
        ("First day of the season", Value::Day(season.season.first_day)),
        ("Last day of the season", Value::Day(season.season.last_day)),
        ("Made on", Value::Day(made_on)),
        ("Issue", Value::text(issue.as_deref().unwrap_or("Season still open; it was never closed."))),
        ("Fingerprint", Value::text(&fingerprint.grouped())),
    ])
}
