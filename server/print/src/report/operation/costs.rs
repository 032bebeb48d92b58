//! Costs by group, and who bears what of those that several blocks share.

use reckon::operation_season::{OperationSeason, SharedAmong};
use reckon::sharing::Sums;

use super::super::flow::{Flow, SOFT_NOTE};
use super::super::table::{Cell, Column, Table, Weight};
use crate::{figures, words};

/// Blocks beside each other in the table of shared costs.
const BLOCKS: usize = 7;

pub(super) fn draw(flow: &mut Flow, season: &OperationSeason) {
    if season.ledger.groups.is_empty() {
        return;
    }
    let table = groups(season);
    let told = "Labor, water by the meter and mulch over its life are reckoned from other records, not here.";
    table.draw_told(flow, "Costs on invoices, by group", told);
    if !season.shared.is_empty() {
        shared(flow, season);
    }
}

fn groups(season: &OperationSeason) -> Table {
    let mut table = Table::new(vec![
        Column::words("", 100.0),
        Column::number("of one block\n$"),
        Column::number("shared by blocks\n$"),
        Column::number("borne by no block\n$"),
        Column::number("all\n$"),
    ]);
    for (group, sums) in &season.ledger.groups {
        table.row(Weight::Plain, sums_cells(&words::capital(group.word()), sums));
    }
    table.row(Weight::Last, sums_cells("All invoices", &season.ledger.total));
    table
}

fn sums_cells(name: &str, sums: &Sums) -> Vec<Cell> {
    let amounts = [sums.own, sums.shared, sums.unallocated, sums.all()];
    let mut cells = vec![Cell::words(name)];
    cells.extend(amounts.into_iter().map(|amount| Cell::figure(figures::money(amount))));
    cells
}

/// One row a cost, one column a block; some blocks at a time where there are many.
fn shared(flow: &mut Flow, season: &OperationSeason) {
    let blocks: Vec<&str> = season.shared_by_block.iter().map(|(block, _)| block.as_str()).collect();
    let unborne = !season.unallocated.is_zero();
    let groups: Vec<&[&str]> = if blocks.is_empty() { vec![&[]] } else { blocks.chunks(BLOCKS).collect() };
    let last = groups.len();
    for (n, some) in groups.into_iter().enumerate() {
        let table = among(season, some, unborne && n + 1 == last);
        let beginning = table.beginning(flow);
        let title = if n == 0 { "Who bears what of the shared costs, $" } else { "Shared costs, further blocks, $" };
        flow.heading(title, beginning);
        table.draw(flow);
    }
    flow.y += 2.0;
    let mut told =
        "Each cost goes out to the cent by the basis named; cents left over go to the largest remainders, so \
                    the parts of a row are its amount."
            .to_owned();
    if season.shared.iter().any(|shared| shared.share_only) {
        told.push_str(" Of a cost of the whole operation only the share of these farms is told.");
    }
    flow.note(SOFT_NOTE, &told);
}

fn among(season: &OperationSeason, blocks: &[&str], unborne: bool) -> Table {
    let mut columns = vec![Column::words("cost", 110.0), Column::number("amount")];
    columns.extend(blocks.iter().map(|block| Column::number(&code(block))));
    if unborne {
        columns.push(Column::number("no\nblock"));
    }
    let mut table = Table::new(columns);
    // A cost of one farm stands with that farm's blocks only; one that nobody bears, with the last.
    let stands = |shared: &&SharedAmong| {
        shared.blocks.iter().any(|own| blocks.contains(&own.as_str())) || (unborne && !shared.out.unallocated.is_zero())
    };
    for shared in season.shared.iter().filter(stands) {
        let mut cells = vec![Cell::words(&said(shared)), Cell::figure(figures::money(shared.out.amount))];
        cells.extend(blocks.iter().map(|block| Cell::figure(part(shared, block))));
        if unborne {
            let none = shared.out.unallocated;
            cells.push(Cell::figure(if none.is_zero() { String::new() } else { figures::money(none) }));
        }
        table.row(Weight::Plain, cells);
    }
    let sum = |block: &str| season.shared_by_block.iter().find(|(own, _)| own == block).map(|(_, sum)| *sum);
    let mut cells = vec![Cell::words("All shared costs of these blocks"), Cell::words("")];
    cells.extend(blocks.iter().map(|block| Cell::or_dash(sum(block).map(figures::money))));
    if unborne {
        cells.push(Cell::figure(figures::money(season.unallocated)));
    }
    table.row(Weight::Last, cells);
    table
}

/// A code as a head: it is never cut, so one too long for its numbers stands on several lines.
fn code(block: &str) -> String {
    let block = crate::font::printable(crate::sheet::Font::Semibold, block);
    if block.chars().count() <= 8 {
        return block;
    }
    block.split_inclusive(['-', ' ']).map(str::trim).collect::<Vec<_>>().join("\n")
}

/// "15 Jan, office, by acres; River Bench".
fn said(shared: &SharedAmong) -> String {
    let cost = &shared.cost.record;
    let farm = shared.farm.as_deref().map(|farm| format!("; {farm}")).unwrap_or_default();
    let lasting = if cost.lasting.is_some() { ", capital recovery" } else { "" };
    format!("{}, {}{lasting}, by {}{farm}", words::day(cost.date), cost.category, cost.basis.word())
}

/// A block's part; blank for a block that the cost is not for.
fn part(shared: &SharedAmong, block: &str) -> String {
    let own = shared.blocks.iter().zip(&shared.out.parts).find(|(own, _)| *own == block);
    own.map(|(_, part)| figures::money(part.amount)).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::super::super::flow::HEADING_HEIGHT;
    use super::*;
    use crate::report::page_checks::has;
    use crate::samples;
    use crate::sheet::Paper;

    /// Room for the heading and the table, and not for what is told of it: all three go to the next page.
    #[test]
    fn what_is_told_of_a_table_is_not_left_over() {
        let season = samples::operation();
        let mut flow = Flow::new(Paper::Letter, "", "");
        let room = HEADING_HEIGHT + groups(&season).height(&flow) + 4.0;
        flow.y += flow.room() - room;
        draw(&mut flow, &season);
        let sheet = flow.finish("");
        let heading = "Costs on invoices, by group";
        assert!(!has(&sheet.pages[0], heading) && has(&sheet.pages[1], heading));
        let told =
            |page: &crate::sheet::Page| page.texts().any(|text| text.text.starts_with("Labor, water by the meter"));
        assert!(!told(&sheet.pages[0]) && told(&sheet.pages[1]));
    }
}
