//! Blocks in order of their return an acre, and what sets each apart.

use reckon::operation_season::OperationSeason;
use reckon::overview::{Difference, Factor, Facts, Ranked};
use reckon::season::BlockSeason;
use rust_decimal::prelude::ToPrimitive;

use super::super::flow::{Flow, SOFT_NOTE};
use super::super::table::{Cell, Column, Table, Weight};
use crate::figures;
use crate::sheet::Ink;

pub(super) fn draw(flow: &mut Flow, season: &OperationSeason) {
    let ranked = &season.overview.ranked;
    if ranked.is_empty() {
        flow.heading("Blocks by return an acre", 14.0);
        flow.note(SOFT_NOTE, "No block has a return an acre yet: that takes acres and a statement.");
        return;
    }
    let table = ranking(season);
    table.draw_under(flow, "Blocks by return an acre, and what it is made of");
    unranked(flow, season);
    let median: Vec<(&Ranked, &Difference)> =
        ranked.iter().filter_map(|one| Some((one, one.against_median.as_ref()?))).collect();
    why(flow, "What sets each block apart from the median block, $ an acre", &median);
    let last: Vec<(&Ranked, &Difference)> =
        ranked.iter().filter_map(|one| Some((one, one.against_last.as_ref()?))).collect();
    if let Some(year) = season.last_year {
        why(flow, &format!("What has changed since the season of {year}, $ an acre"), &last);
    }
}

fn ranking(season: &OperationSeason) -> Table {
    let mut table = Table::new(vec![
        Column::number(""),
        Column::words("block", 46.0),
        Column::words("farm", 46.0),
        Column::bar("return over\nall costs, $", Ink::Price),
        Column::number("yield\nlb"),
        Column::number("net price\n$ a lb"),
        Column::number("net to\ngrower, $"),
        Column::number("labor\n$"),
        Column::number("water\n$"),
        Column::number("other\ncosts, $"),
        Column::number("water\nin"),
    ]);
    let most = season.overview.ranked.first().map_or(0.0, |best| dollars(&best.facts));
    for one in &season.overview.ranked {
        let block = season.blocks.iter().find(|block| block.heading.block.code == one.facts.code);
        let mut cells =
            vec![Cell::figure(one.place.to_string()), Cell::words(&name(block, &one.facts)), Cell::soft(farm(block))];
        cells.extend(facts(&one.facts, most));
        table.row(Weight::Plain, cells);
    }
    if let Some(median) = &season.overview.median {
        let mut cells = vec![Cell::words(""), Cell::words("Median block"), Cell::words("")];
        cells.extend(facts(median, most));
        table.row(Weight::Bold, cells);
    }
    table
}

/// For the length of a bar only.
fn dollars(facts: &Facts) -> f64 {
    facts.over_all.decimal().to_f64().unwrap_or(0.0)
}

fn name(block: Option<&BlockSeason>, facts: &Facts) -> String {
    match block.map(|block| block.heading.block.variety.as_str()) {
        Some(variety) if !variety.is_empty() => format!("{}, {variety}", facts.code),
        _ => facts.code.clone(),
    }
}

fn farm(block: Option<&BlockSeason>) -> &str {
    block.map_or("", |block| block.heading.farm.name.as_str())
}

fn facts(facts: &Facts, most: f64) -> Vec<Cell> {
    let share = if most > 0.0 { dollars(facts) / most } else { 0.0 };
    vec![
        Cell::barred(figures::price(facts.over_all, 0), share),
        Cell::or_dash(facts.yield_lb.map(|pounds| figures::exact(pounds, 0))),
        Cell::or_dash(facts.price.map(|price| figures::price(price, 2))),
        Cell::figure(figures::price(facts.net, 0)),
        Cell::figure(figures::price(facts.labor, 0)),
        Cell::figure(figures::price(facts.water, 0)),
        Cell::figure(figures::price(facts.other, 0)),
        Cell::or_dash(facts.applied.map(figures::quantity)),
    ]
}

/// Blocks that have no place, so that nobody looks for them.
fn unranked(flow: &mut Flow, season: &OperationSeason) {
    let placed = |code: &str| season.overview.ranked.iter().any(|one| one.facts.code == code);
    let codes = season.blocks.iter().map(|block| block.heading.block.code.as_str()).filter(|code| !placed(code));
    let codes = codes.collect::<Vec<_>>().join(", ");
    if !codes.is_empty() {
        flow.y += 2.0;
        flow.note(SOFT_NOTE, &format!("Without a return an acre, and so without a place: {codes}."));
    }
}

/// The parts of a difference, one a column: they sum to it.
const PARTS: [(Factor, &str); 6] = [
    (Factor::Yield, "yield"),
    (Factor::Price, "price"),
    (Factor::Sales, "net to\ngrower"),
    (Factor::Labor, "labor"),
    (Factor::Water, "water"),
    (Factor::OtherCosts, "other"),
];

fn why(flow: &mut Flow, title: &str, found: &[(&Ranked, &Difference)]) {
    if found.is_empty() {
        return;
    }
    let occurs = |factor| found.iter().any(|(_, difference)| effect(difference, factor).is_some());
    let parts: Vec<(Factor, &str)> = PARTS.into_iter().filter(|(factor, _)| occurs(*factor)).collect();
    let mut columns = vec![Column::words("block", 40.0), Column::number("return\nmore or less")];
    columns.extend(parts.iter().map(|(_, head)| Column::number(&format!("by\n{head}").replace("by\nnet", "by net"))));
    columns.push(Column::words("mostly", 120.0));
    let mut table = Table::new(columns);
    for (one, difference) in found {
        let mut cells = vec![Cell::words(&one.facts.code), Cell::figure(figures::signed_price(difference.over_all, 0))];
        cells.extend(parts.iter().map(|(factor, _)| Cell::or_dash(effect(difference, *factor))));
        cells.push(Cell::soft(&mostly(difference)));
        table.row(Weight::Plain, cells);
    }
    table.draw_under(flow, title);
}

fn effect(difference: &Difference, factor: Factor) -> Option<String> {
    let cause = difference.causes.iter().find(|cause| cause.factor == factor)?;
    Some(figures::signed_price(cause.effect, 0))
}

/// The weightiest cause in its own unit: "yield, 31,200 against 24,000 lb/acre".
fn mostly(difference: &Difference) -> String {
    let Some(cause) = difference.causes.first() else { return String::new() };
    let places = if cause.factor == Factor::Price { 2 } else { 0 };
    let (own, other) = (figures::decimal(cause.own, places), figures::decimal(cause.other, places));
    format!("{}, {own} against {other} {}", cause.factor.label().to_lowercase(), cause.factor.unit())
}
