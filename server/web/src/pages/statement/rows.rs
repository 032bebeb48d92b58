//! Lines of a statement as a page shows them.

use print::figures;
use reckon::season::{LineRole, Statement, StatementKey, StatementLine};

use crate::display::shown;

/// What every table of a statement shows of a line.
pub(super) struct Row {
    pub(super) label: &'static str,
    pub(super) class: &'static str,
    /// `invoiced`; empty on a sum.
    pub(super) evidence: &'static str,
    /// The amount to the cent.
    pub(super) amount: String,
    pub(super) acre: String,
    pub(super) tree: String,
    pub(super) per_box: String,
}

impl Row {
    pub(super) fn of(line: &StatementLine) -> Self {
        Self {
            label: line.key.label(),
            class: match line.role {
                LineRole::Item => "",
                LineRole::Subtotal => "sub",
                LineRole::Total => "sum",
            },
            evidence: if line.role == LineRole::Item { line.amount.evidence.word() } else { "" },
            amount: figures::money(line.amount.value),
            acre: shown(line.per_acre.map(|each| figures::price(each, 2))),
            tree: shown(line.per_tree.map(|each| figures::price(each, 2))),
            per_box: shown(line.per_box.map(|each| figures::price(each, 2))),
        }
    }
}

/// The amount of a line to the cent; a dash where the statement has no such line.
pub(super) fn amount(statement: &Statement, key: StatementKey) -> String {
    shown(statement.line(key).map(|line| figures::money(line.amount.value)))
}

/// Dollars an acre of a line; a dash where it is not known.
pub(super) fn per_acre(statement: Option<&Statement>, key: StatementKey) -> String {
    let each = statement.and_then(|statement| statement.line(key)).and_then(|line| line.per_acre);
    shown(each.map(|each| figures::price(each, 2)))
}

/// What of net to grower rests on the price list: `$1,305.17`.
pub(super) fn unsettled(statement: &Statement) -> Option<String> {
    let part = statement.unsettled.as_ref().filter(|part| !part.value.is_zero())?;
    Some(figures::dollars(&figures::money(part.value)))
}
