//! A farm's or the operation's statement: the blocks' statements added up.

use rust_decimal::Decimal;

use crate::exact::Acres;
use crate::figure::Figure;
use crate::money::{Money, UnitPrice};
use crate::returns;
use crate::season::{BlockSeason, Statement, StatementKey, StatementLine};

/// Denominators of several blocks; `None` where one of them does not know its own.
struct Ground {
    acres: Acres,
    trees: Option<u64>,
    boxes: Option<Decimal>,
}

/// The statements of several blocks as one. Each line is the sum of the blocks' lines, to the cent;
/// per acre, tree and box over the blocks that have a statement. Break-even and ranging stay with
/// the blocks: a price across crops says nothing.
pub fn together(seasons: &[&BlockSeason]) -> Statement {
    let stated: Vec<&BlockSeason> =
        seasons.iter().copied().filter(|season| !season.statement.lines.is_empty()).collect();
    let ground = Ground::of(&stated);
    let unsettled: Vec<&Figure<Money>> =
        stated.iter().filter_map(|season| season.statement.unsettled.as_ref()).collect();
    Statement {
        lines: returns::ORDER.iter().filter_map(|key| line(*key, &stated, &ground)).collect(),
        unsettled: (!unsettled.is_empty()).then(|| returns::sum(&unsettled)),
        ..Statement::default()
    }
}

impl Ground {
    fn of(seasons: &[&BlockSeason]) -> Self {
        let boxes = |season: &&BlockSeason| season.packout.boxes.as_ref().map(|boxes| boxes.value.decimal());
        Self {
            acres: seasons.iter().map(|season| season.acres()).sum(),
            trees: seasons.iter().map(|season| season.heading.block.trees.map(u64::from)).sum(),
            boxes: seasons.iter().map(boxes).sum(),
        }
    }
}

fn line(key: StatementKey, seasons: &[&BlockSeason], ground: &Ground) -> Option<StatementLine> {
    let lines = seasons.iter().filter_map(|season| season.statement.line(key));
    let amounts: Vec<&Figure<Money>> = lines.map(|line| &line.amount).collect();
    if amounts.is_empty() {
        return None;
    }
    let amount = returns::sum(&amounts);
    let exact = amount.value.decimal();
    Some(StatementLine {
        key,
        role: returns::role(key),
        per_acre: UnitPrice::spread(exact, ground.acres.decimal()),
        per_tree: ground.trees.and_then(|trees| UnitPrice::spread(exact, Decimal::from(trees))),
        per_box: ground.boxes.and_then(|boxes| UnitPrice::spread(exact, boxes)),
        amount,
    })
}
