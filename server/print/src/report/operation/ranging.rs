//! Break-even price and yield of each block, and its return over a range of yields and prices.

use reckon::break_even::{BreakEven, CostLevel};
use reckon::operation_season::OperationSeason;
use reckon::ranging::Ranging;
use reckon::season::BlockSeason;

use super::super::flow::Flow;
use super::super::table::{Cell, Column, Table, Weight};
use crate::{figures, words};

pub(super) fn draw(flow: &mut Flow, season: &OperationSeason) {
    let known = |block: &&BlockSeason| !block.statement.break_even.is_empty();
    let blocks: Vec<&BlockSeason> = season.blocks.iter().filter(known).collect();
    if blocks.is_empty() {
        return;
    }
    break_evens(flow, &blocks);
    for block in blocks {
        if let Some(ranging) = &block.statement.ranging {
            let table = table(ranging);
            table.draw_under(flow, &format!("{}: {}", block.heading.block.code, title(ranging)));
        }
    }
}

fn break_evens(flow: &mut Flow, blocks: &[&BlockSeason]) {
    let mut table = Table::new(vec![
        Column::words("block", 50.0),
        Column::words("sold by", 30.0),
        Column::number("price over\noperating, $"),
        Column::number("over cash\ncosts, $"),
        Column::number("over all\ncosts, $"),
        Column::number("yield an acre\nover operating"),
        Column::number("over cash\ncosts"),
        Column::number("over all\ncosts"),
        Column::words("how known", 50.0),
    ]);
    for block in blocks {
        let levels = &block.statement.break_even;
        let at = |level| levels.iter().find(|one| one.level == level);
        let mut cells =
            vec![Cell::words(&block.heading.block.code), Cell::soft(levels.first().map_or("", |one| one.unit.word()))];
        cells.extend(CostLevel::ALL.map(|level| Cell::or_dash(at(level).and_then(price))));
        cells.extend(CostLevel::ALL.map(|level| Cell::or_dash(at(level).and_then(each_acre))));
        cells.push(Cell::soft(&levels.last().map(|one| words::known_of(&one.cost)).unwrap_or_default()));
        table.row(Weight::Plain, cells);
    }
    let told = "What a box or a pound must bring at least for the block's own yield to pay these costs, and what an acre must \
         yield at least at its own price.";
    table.draw_told(flow, "Break-even gross price and yield", told);
}

pub(in crate::report) fn price(level: &BreakEven) -> Option<String> {
    level.price.as_ref().map(|price| figures::price(price.value, 2))
}

pub(in crate::report) fn each_acre(level: &BreakEven) -> Option<String> {
    level.quantity_per_acre.as_ref().map(|each| figures::exact(each.value, 0))
}

/// "return over all costs, $ an acre, by yield and gross price a box".
pub(in crate::report) fn title(ranging: &Ranging) -> String {
    format!("return over all costs, $ an acre, by yield and gross price a {}", ranging.unit.word())
}

/// A row a yield, a column a price; the block's own stands in the middle.
pub(in crate::report) fn table(ranging: &Ranging) -> Table {
    let mut columns = vec![Column::number("yield\n%"), Column::number(&format!("{}\nan acre", ranging.unit.many()))];
    columns.extend(ranging.prices.iter().map(|price| {
        let price = figures::dollars(&figures::price(*price, 2));
        Column::number(&format!("at\n{price}"))
    }));
    let mut table = Table::new(columns);
    for row in &ranging.rows {
        let mut cells = vec![
            Cell::figure(row.step.to_string()),
            Cell::or_dash(row.quantity_per_acre.map(|each| figures::exact(each, 0))),
        ];
        let each = |cell: &reckon::ranging::RangingCell| {
            Cell::or_dash(cell.per_acre.map(|levels| figures::price(*levels.get(CostLevel::All), 0)))
        };
        cells.extend(row.cells.iter().map(each));
        let own = row.quantity == ranging.quantity.value;
        table.row(if own { Weight::Bold } else { Weight::Plain }, cells);
    }
    table
}
