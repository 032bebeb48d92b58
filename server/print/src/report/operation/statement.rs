//! The statement of the operation, with a column for each farm.

use reckon::operation_season::{FarmSeason, OperationSeason};
use reckon::season::{Statement, StatementKey, StatementLine};

use super::super::first::{self, weight};
use super::super::flow::{Flow, SOFT_NOTE};
use super::super::table::{Cell, Column, Table, Weight};
use super::whose;
use crate::{figures, words};

/// Farms beside the operation's own columns, at a size that is read without effort.
const BESIDE: usize = 3;
/// Farms in a table of farms alone.
const ALONE: usize = 6;

pub(super) fn draw(flow: &mut Flow, season: &OperationSeason) {
    let lines = &season.statement.lines;
    if lines.is_empty() {
        flow.heading("Statement", 14.0);
        flow.note(SOFT_NOTE, "Nothing to state yet: no settlement, price or cost was recorded.");
        return;
    }
    let farms: &[FarmSeason] = if season.farms.len() > 1 { &season.farms } else { &[] };
    let (before, beside) = if farms.len() > BESIDE { (farms, &[][..]) } else { (&[][..], farms) };
    for (n, some) in before.chunks(ALONE).enumerate() {
        let table = of_farms(lines, some);
        headed(flow, if n == 0 { "Statement by farm" } else { "Statement by farm, continued" }, &table);
    }
    let title = format!("Statement of {}", whose(season).to_lowercase().replace("operation", "the operation"));
    headed(flow, &title, &whole(season, beside));
    told(flow, season);
}

fn headed(flow: &mut Flow, title: &str, table: &Table) {
    // A statement is read down to its last line: it stands on one page where a page holds it.
    flow.heading(title, table.height(flow).min(flow.page_room() - 40.0));
    table.draw(flow);
}

fn of_farms(lines: &[StatementLine], farms: &[FarmSeason]) -> Table {
    let mut columns = vec![Column::words("", 90.0)];
    columns.extend(farms.iter().map(|farm| head(&farm.name)));
    let mut table = Table::new(columns);
    for line in lines {
        let mut cells = vec![Cell::words(line.key.label())];
        cells.extend(farms.iter().map(|farm| amount(&farm.statement, line.key)));
        table.row(weight(line.role), cells);
    }
    table
}

/// A farm's name over its dollars, on as many lines as it has words: a head is never cut.
fn head(name: &str) -> Column {
    let name = crate::font::printable(crate::sheet::Font::Semibold, name);
    let short: Vec<&str> = name.split_whitespace().collect();
    Column::number(&format!("{}\n$", short.join("\n")))
}

fn amount(statement: &Statement, key: StatementKey) -> Cell {
    Cell::or_dash(statement.line(key).map(|line| figures::money(line.amount.value)))
}

fn whole(season: &OperationSeason, farms: &[FarmSeason]) -> Table {
    let mut columns = vec![Column::words("", 90.0), Column::words("how known", 50.0)];
    columns.extend(farms.iter().map(|farm| head(&farm.name)));
    columns.extend([
        Column::number(&format!("{}\n$", whose(season).to_lowercase())),
        Column::number("an acre\n$"),
        Column::number("a tree\n$"),
        Column::number("a box\n$"),
    ]);
    let mut table = Table::new(columns);
    for line in &season.statement.lines {
        let mut cells = vec![Cell::words(line.key.label()), Cell::soft(&words::known_of(&line.amount))];
        cells.extend(farms.iter().map(|farm| amount(&farm.statement, line.key)));
        cells.extend([
            Cell::figure(figures::money(line.amount.value)),
            Cell::or_dash(line.per_acre.map(|price| figures::price(price, 0))),
            Cell::or_dash(line.per_tree.map(|price| figures::price(price, 2))),
            Cell::or_dash(line.per_box.map(|price| figures::price(price, 2))),
        ]);
        // The last sum is the operation's own where some cost is borne by no block.
        let last = season.unallocated.is_zero();
        let weight = if last || weight(line.role) != Weight::Last { weight(line.role) } else { Weight::Bold };
        table.row(weight, cells);
    }
    if !season.unallocated.is_zero() {
        unborne(&mut table, season, farms.len());
    }
    table
}

/// What no block bears, and what is left after it.
fn unborne(table: &mut Table, season: &OperationSeason, farms: usize) {
    let row = |name: &str, known: &str, amount| {
        let mut cells = vec![Cell::words(name), Cell::soft(known)];
        cells.extend((0..farms).map(|_| Cell::words("")));
        cells.push(Cell::figure(figures::money(amount)));
        cells
    };
    let costs = row("Shared costs that no block bears", "invoiced", season.unallocated.negated());
    table.row(Weight::Plain, costs);
    table.row(Weight::Last, row("Return over these too", "", season.after_unallocated));
}

fn told(flow: &mut Flow, season: &OperationSeason) {
    first::incomplete(flow, &season.statement);
    if let Some(unsettled) = &season.statement.unsettled {
        first::not_settled(flow, unsettled.value, &words::known_of(unsettled));
    }
}
