//! Packout and statement as JSON.

use reckon::break_even::{BreakEven, CostLevel};
use reckon::ranging::{Ranging, RangingRow};
use reckon::season::{CullLine, LineRole, PackoutCell, PackoutSeason, PackoutWeek, Statement, StatementLine};
use serde_json::{Map, Value, json};

use super::figure::Writer;

pub(super) fn packout(w: Writer, season: &PackoutSeason) -> Value {
    json!({
        "boxes": w.maybe(season.boxes.as_ref(), Writer::exact),
        "weight": w.maybe(season.weight.as_ref(), Writer::exact),
        "boxes_per_acre": w.maybe(season.boxes_per_acre.as_ref(), Writer::measure),
        "weight_per_tree": w.maybe(season.weight_per_tree.as_ref(), Writer::measure),
        "picked": w.maybe(season.picked.as_ref(), Writer::exact),
        "packed_share": w.maybe(season.packed_share.as_ref(), Writer::measure),
        "net_per_pound": w.maybe(season.net_per_pound.as_ref(), Writer::price),
        "net_per_box": w.maybe(season.net_per_box.as_ref(), Writer::price),
        "cells": season.cells.iter().map(|one| cell(w, one)).collect::<Value>(),
        "sizes": season.sizes.iter().map(|one| cell(w, one)).collect::<Value>(),
        "classes": season.classes.iter().map(|one| cell(w, one)).collect::<Value>(),
        "grades": season.grades.iter().map(|one| cell(w, one)).collect::<Value>(),
        "weeks": season.weeks.iter().map(|one| week(w, one)).collect::<Value>(),
        "culls": season.culls.iter().map(|one| cull(w, one)).collect::<Value>(),
        "priced_weight": w.maybe(season.priced_weight.as_ref(), Writer::exact),
        "boxes_unsettled": w.maybe(season.boxes_unsettled.as_ref(), Writer::exact),
        "boxes_without_price": w.maybe(season.boxes_without_price.as_ref(), Writer::exact),
    })
}

fn cell(w: Writer, cell: &PackoutCell) -> Value {
    let name: Vec<&str> = cell.size_class.iter().chain(&cell.grade).map(String::as_str).collect();
    json!({
        "name": name.join(", "),
        "size_class": cell.size_class,
        "grade": cell.grade,
        "boxes": w.exact(&cell.boxes),
        "weight": w.maybe(cell.weight.as_ref(), Writer::exact),
        "share": w.measure(&cell.share),
        "net": w.maybe(cell.net.as_ref(), Writer::money),
        "net_per_box": w.maybe(cell.net_per_box.as_ref(), Writer::price),
        "net_per_pound": w.maybe(cell.net_per_pound.as_ref(), Writer::price),
        "premium_per_box": w.maybe(cell.premium_per_box.as_ref(), Writer::price),
        "premium_per_pound": w.maybe(cell.premium_per_pound.as_ref(), Writer::price),
    })
}

fn week(w: Writer, week: &PackoutWeek) -> Value {
    json!({
        "name": week.starts.to_string(),
        "boxes": w.exact(&week.boxes),
        "weight": w.maybe(week.weight.as_ref(), Writer::exact),
        "net": w.maybe(week.net.as_ref(), Writer::money),
        "net_per_box": w.maybe(week.net_per_box.as_ref(), Writer::price),
        "net_per_pound": w.maybe(week.net_per_pound.as_ref(), Writer::price),
    })
}

fn cull(w: Writer, line: &CullLine) -> Value {
    json!({ "name": line.cause, "weight": w.maybe(line.weight.as_ref(), Writer::exact) })
}

/// The lines stand under their key; `order` lists the keys as printed.
pub(super) fn statement(w: Writer, statement: &Statement) -> Value {
    let lines: Map<String, Value> =
        statement.lines.iter().map(|line| (line.key.word().to_owned(), statement_line(w, line))).collect();
    json!({
        "order": statement.lines.iter().map(|line| Value::from(line.key.word())).collect::<Value>(),
        "lines": lines,
        "unsettled": w.maybe(statement.unsettled.as_ref(), Writer::money),
        "break_even": statement.break_even.iter().map(|one| break_even(w, one)).collect::<Value>(),
        "ranging": statement.ranging.as_ref().map(ranging),
    })
}

fn break_even(w: Writer, line: &BreakEven) -> Value {
    json!({
        "name": line.level.word(),
        "label": line.level.label(),
        "per": line.unit.word(),
        "cost": w.money(&line.cost),
        "price": w.maybe(line.price.as_ref(), Writer::price),
        "quantity": w.maybe(line.quantity.as_ref(), Writer::exact),
        "quantity_per_acre": w.maybe(line.quantity_per_acre.as_ref(), Writer::exact),
    })
}

/// Dollars of the block over each level of cost; a row a yield, a column a price.
fn ranging(table: &Ranging) -> Value {
    let row = |row: &RangingRow| {
        let over = |level| row.cells.iter().map(|cell| cell.over.get(level).to_string()).collect::<Vec<_>>();
        json!({
            "percent": row.step,
            "quantity": row.quantity.to_string(),
            "quantity_per_acre": row.quantity_per_acre.map(|each| each.to_string()),
            "over_operating": over(CostLevel::Operating),
            "over_cash": over(CostLevel::Cash),
            "over_all": over(CostLevel::All),
        })
    };
    json!({
        "per": table.unit.word(),
        "prices": table.prices.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "rows": table.rows.iter().map(row).collect::<Value>(),
    })
}

fn statement_line(w: Writer, line: &StatementLine) -> Value {
    let role = match line.role {
        LineRole::Item => "item",
        LineRole::Subtotal => "subtotal",
        LineRole::Total => "total",
    };
    json!({
        "label": line.key.label(),
        "role": role,
        "amount": w.money(&line.amount),
        "per_acre": line.per_acre.map(|each| w.price(&line.amount.map(each))),
        "per_tree": line.per_tree.map(|each| w.price(&line.amount.map(each))),
        "per_box": line.per_box.map(|each| w.price(&line.amount.map(each))),
        "per_pound": line.per_pound.map(|each| w.price(&line.amount.map(each))),
    })
}
