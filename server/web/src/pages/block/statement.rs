//! The statement, line by line.

use print::figures;
use reckon::season::{LineRole, Statement, StatementLine};

use crate::display::shown;

/// One line as shown.
pub(super) struct StatementRow {
    pub(super) label: &'static str,
    pub(super) class: &'static str,
    /// `metered`; empty on a sum.
    pub(super) evidence: &'static str,
    pub(super) block: String,
    pub(super) acre: String,
    pub(super) tree: String,
}

pub(super) fn rows(statement: &Statement) -> Vec<StatementRow> {
    statement.lines.iter().map(row).collect()
}

fn row(line: &StatementLine) -> StatementRow {
    let class = match line.role {
        LineRole::Item => "",
        LineRole::Subtotal => "sub",
        LineRole::Total => "sum",
    };
    StatementRow {
        label: line.key.label(),
        class,
        evidence: if line.role == LineRole::Item { line.amount.evidence.word() } else { "" },
        block: figures::whole_money(line.amount.value),
        acre: shown(line.per_acre.map(|each| figures::price(each, 0))),
        tree: shown(line.per_tree.map(|each| figures::price(each, 2))),
    }
}

/// What of net to grower rests on the price list, in dollars.
pub(super) fn unsettled(statement: &Statement) -> Option<String> {
    let part = statement.unsettled.as_ref().filter(|part| !part.value.is_zero())?;
    Some(figures::dollars(&figures::whole_money(part.value)))
}
