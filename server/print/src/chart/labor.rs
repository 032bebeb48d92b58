//! Labor: thinning in dollars a tree by pass and method, or all labor by task.

use reckon::season::{LaborSeason, MethodPass, TaskLabor};
use rust_decimal::prelude::ToPrimitive;

use super::Drawing;
use super::bars::{Bar, bars};
use crate::figures;
use crate::sheet::Ink;
use crate::words;

/// Thinning in dollars a tree by pass and method; where no pass has its trees, labor by task.
/// `None` without labor.
pub fn labor(season: &LaborSeason, width: f64) -> Option<Drawing> {
    let passes: Vec<Bar> = season.passes.iter().filter_map(pass_bar).collect();
    if !passes.is_empty() {
        return bars("Thinning, $ a tree", width, Ink::Labor, &passes);
    }
    let by_acre: Vec<Bar> = season.tasks.iter().filter_map(acre_bar).collect();
    if by_acre.len() == season.tasks.len() {
        return bars("Labor, $ an acre", width, Ink::Labor, &by_acre);
    }
    let by_block: Vec<Bar> = season.tasks.iter().map(block_bar).collect();
    bars("Labor, $", width, Ink::Labor, &by_block)
}

fn pass_bar(pass: &MethodPass) -> Option<Bar> {
    let price = pass.measure.cost_per_tree.as_ref()?.value;
    let name = words::pass_and_method(pass.pass, pass.method);
    Some(Bar { name, value: float(price.decimal()), text: figures::dollars(&figures::price(price, 2)) })
}

fn acre_bar(task: &TaskLabor) -> Option<Bar> {
    let price = task.measure.cost_per_acre.as_ref()?.value;
    let text = figures::dollars(&figures::price(price, 0));
    Some(Bar { name: words::task(task.task).to_owned(), value: float(price.decimal()), text })
}

fn block_bar(task: &TaskLabor) -> Bar {
    let cost = task.measure.cost.value;
    let text = figures::dollars(&figures::whole_money(cost));
    Bar { name: words::task(task.task).to_owned(), value: float(cost.decimal()), text }
}

/// Only for the length of a bar.
fn float(value: rust_decimal::Decimal) -> f64 {
    value.to_f64().unwrap_or(0.0)
}
