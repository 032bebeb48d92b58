//! Water block by block: need, applied, and what the mulch kept.

use reckon::figure::Figure;
use reckon::operation_season::OperationSeason;
use reckon::season::BlockSeason;
use reckon::units::Measure;

use super::super::flow::{Flow, SOFT_NOTE};
use super::super::table::{Cell, Column, Table, Weight};
use crate::{figures, words};

pub(super) fn draw(flow: &mut Flow, season: &OperationSeason) {
    let known = |block: &&BlockSeason| block.water.applied.is_some() || block.water.need.is_some();
    let blocks: Vec<&BlockSeason> = season.blocks.iter().filter(known).collect();
    if blocks.is_empty() {
        flow.heading("Water by block", 14.0);
        flow.note(SOFT_NOTE, "No irrigation and no weather were recorded.");
        return;
    }
    let mut table = Table::new(vec![
        Column::words("block", 44.0),
        Column::words("mulch", 44.0),
        Column::number("need\nin"),
        Column::number("rain kept\nin"),
        Column::number("applied\nin"),
        Column::number("applied of\ngross need, %"),
        Column::number("drained\nin"),
        Column::number("kept by\nmulch, in"),
        Column::number("from\nin"),
        Column::number("to\nin"),
        Column::number("irrigation not\nneeded, in"),
        Column::number("cost of\nwater, $"),
        Column::words("applied known", 44.0),
    ]);
    for block in blocks {
        table.row(Weight::Plain, cells(block));
    }
    let told = "Depths over the block's whole area. Need is the modelled need of the trees with the mulch as it lay; kept by \
         mulch is evaporation avoided less what drained for it, with the range that the mulch rule leaves open.";
    table.draw_told(flow, "Water by block", told);
}

fn cells(block: &BlockSeason) -> Vec<Cell> {
    let water = &block.water;
    let saving = water.saving.as_ref();
    let mulch = words::materials(&block.mulch).unwrap_or_else(|| "bare".to_owned());
    vec![
        Cell::words(&block.heading.block.code),
        Cell::soft(&mulch),
        measure(water.need.as_ref()),
        measure(water.rain_kept.as_ref()),
        measure(water.applied_depth.as_ref()),
        measure(water.applied_of_need.as_ref()),
        measure(water.drained.as_ref()),
        measure(saving.map(|saving| &saving.kept.depth)),
        Cell::or_dash(saving.map(|saving| figures::quantity(saving.kept_range.0))),
        Cell::or_dash(saving.map(|saving| figures::quantity(saving.kept_range.1))),
        measure(saving.map(|saving| &saving.not_needed.depth)),
        Cell::or_dash(water.cost.as_ref().map(|cost| figures::money(cost.value))),
        Cell::soft(&water.applied.as_ref().map_or_else(|| "nothing recorded".to_owned(), words::known_of)),
    ]
}

fn measure<M: Measure + Copy>(figure: Option<&Figure<M>>) -> Cell {
    Cell::or_dash(figure.map(|figure| figures::quantity(figure.value)))
}
