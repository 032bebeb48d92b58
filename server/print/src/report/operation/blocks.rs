//! Block by block, in columns that add up to the operation.

use reckon::money::Money;
use reckon::operation_season::OperationSeason;
use reckon::season::{Statement, StatementKey};

use super::super::flow::{Flow, SOFT_NOTE};
use super::super::table::{Cell, Column, Table, Weight};
use super::whose;
use crate::figures;

/// The sums of the statement that a block is known by.
const KEYS: [(StatementKey, &str); 9] = [
    (StatementKey::Gross, "gross"),
    (StatementKey::Charges, "charges"),
    (StatementKey::NetToGrower, "net to\ngrower"),
    (StatementKey::OperatingCosts, "operating\ncosts"),
    (StatementKey::OverOperating, "return over\noperating costs"),
    (StatementKey::CashOverhead, "cash\noverhead"),
    (StatementKey::MulchOverLife, "mulch over\nits life"),
    (StatementKey::NonCashOverhead, "non-cash\noverhead"),
    (StatementKey::OverAll, "return over\nall costs"),
];

pub(super) fn draw(flow: &mut Flow, season: &OperationSeason) {
    if season.farms.is_empty() {
        return;
    }
    let keys: Vec<(StatementKey, &str)> =
        KEYS.into_iter().filter(|(key, _)| season.statement.line(*key).is_some()).collect();
    let table = table(season, &keys);
    let told = "Each column adds up to the cent: blocks to their farm, farms to the last line.";
    let rest = if season.unallocated.is_zero() {
        " Every shared cost is borne by some block."
    } else {
        " The costs that no block bears come on top."
    };
    let beginning = table.beginning(flow);
    flow.heading("Block by block, $", beginning + 14.0);
    flow.note(SOFT_NOTE, &format!("{told}{rest}"));
    flow.y += 3.0;
    table.draw(flow);
}

fn table(season: &OperationSeason, keys: &[(StatementKey, &str)]) -> Table {
    let mut columns = vec![Column::words("block", 50.0)];
    columns.extend(keys.iter().map(|(_, head)| Column::number(head)));
    let mut table = Table::new(columns);
    for farm in &season.farms {
        let own = season.blocks.iter().filter(|block| block.heading.farm.name == farm.name);
        for block in own.filter(|block| !block.statement.lines.is_empty()) {
            table.row(Weight::Plain, cells(&block.heading.block.code, &block.statement, keys));
        }
        table.row(Weight::Bold, cells(&farm.name, &farm.statement, keys));
    }
    let borne = season.unallocated.is_zero();
    let weight = if borne { Weight::Last } else { Weight::Bold };
    table.row(weight, cells(whose(season), &season.statement, keys));
    if !borne {
        table.row(Weight::Plain, only_last("Borne by no block", season.unallocated.negated(), keys));
        table.row(Weight::Last, only_last("With these", season.after_unallocated, keys));
    }
    table
}

fn cells(name: &str, statement: &Statement, keys: &[(StatementKey, &str)]) -> Vec<Cell> {
    let mut cells = vec![Cell::words(name)];
    let amount = |key| statement.line(key).map(|line| figures::money(line.amount.value));
    cells.extend(keys.iter().map(|(key, _)| Cell::or_dash(amount(*key))));
    cells
}

fn only_last(name: &str, amount: Money, keys: &[(StatementKey, &str)]) -> Vec<Cell> {
    let mut cells = vec![Cell::words(name)];
    cells.extend(keys.iter().skip(1).map(|_| Cell::words("")));
    cells.push(Cell::figure(figures::money(amount)));
    cells
}
