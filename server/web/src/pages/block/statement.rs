//! The statement, line by line.

use print::figures;
use reckon::season::{LineRole, Statement, StatementLine};

use super::At;
use super::behind::{Lacking, lacking};
use crate::display::{evidence, shown};

/// One line as shown.
pub(super) struct StatementRow {
    pub(super) label: &'static str,
    pub(super) class: &'static str,
    /// `metered, 41 labor entries`; of a sum, what its weakest part is known by.
    pub(super) evidence: String,
    /// What the amount leaves out.
    pub(super) lacking: Option<Lacking>,
    /// To the cent.
    pub(super) block: String,
    pub(super) acre: String,
    pub(super) tree: String,
}

pub(super) fn rows(at: At, statement: &Statement) -> Vec<StatementRow> {
    statement.lines.iter().map(|line| row(at, line)).collect()
}

fn row(at: At, line: &StatementLine) -> StatementRow {
    StatementRow {
        label: line.key.label(),
        class: class(line.role),
        evidence: evidence(&line.amount),
        lacking: lacking(at, &line.amount),
        block: figures::money(line.amount.value),
        acre: shown(line.per_acre.map(|each| figures::price(each, 2))),
        tree: shown(line.per_tree.map(|each| figures::price(each, 2))),
    }
}

/// How the row of a line looks.
pub(crate) const fn class(role: LineRole) -> &'static str {
    match role {
        LineRole::Item => "",
        LineRole::Subtotal => "sub",
        LineRole::Total => "sum",
    }
}

/// What of net to grower rests on the price list, in dollars and cents.
pub(crate) fn unsettled(statement: &Statement) -> Option<String> {
    let part = statement.unsettled.as_ref().filter(|part| !part.value.is_zero())?;
    Some(figures::dollars(&figures::money(part.value)))
}
