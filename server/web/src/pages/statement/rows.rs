//! Lines of a statement as a page shows them.

use print::figures;
use reckon::operation::median_per_acre;
use reckon::season::{BlockSeason, Statement, StatementKey, StatementLine};

use crate::display::shown;
use crate::pages::block::statement::class;
use crate::routes::to;

/// What every table of a statement shows of a line.
pub(super) struct Row {
    pub(super) label: &'static str,
    /// To the line's formula and its source.
    pub(super) how: String,
    pub(super) class: &'static str,
    /// More came back than was spent.
    pub(super) credit: bool,
    /// `invoiced`; on a sum the weakest of its lines.
    pub(super) evidence: &'static str,
    /// The amount to the cent.
    pub(super) amount: String,
    pub(super) acre: String,
    pub(super) tree: String,
    pub(super) per_box: String,
    pub(super) pound: String,
    /// Dollars an acre in the season before.
    pub(super) last: String,
    /// Dollars an acre in the middle of the blocks.
    pub(super) median: String,
}

/// What the lines stand beside.
pub(super) struct Beside<'s> {
    /// The statement of the season before; `None` where there is none.
    pub(super) last: Option<&'s Statement>,
    /// The blocks the median is of.
    pub(super) blocks: &'s [&'s BlockSeason],
}

impl Beside<'_> {
    /// How many blocks the median is of; nothing where there is no middle of several.
    pub(super) fn median_of(&self) -> Option<usize> {
        let stated = self.blocks.iter().filter(|season| !season.statement.lines.is_empty()).count();
        (stated > 1).then_some(stated)
    }
}

impl Row {
    pub(super) fn of(line: &StatementLine, beside: &Beside<'_>) -> Self {
        let last = beside.last.and_then(|last| last.line(line.key)).and_then(|line| line.per_acre);
        Self {
            label: line.key.label(),
            how: to::explained(line.key.explained_by()),
            class: class(line.role),
            credit: line.is_credit(),
            evidence: line.amount.evidence.word(),
            amount: figures::money(line.amount.value),
            acre: each(line.per_acre),
            tree: each(line.per_tree),
            per_box: each(line.per_box),
            pound: shown(line.per_pound.map(|each| figures::price(each, 3))),
            last: each(last),
            median: each(median_per_acre(beside.blocks, line.key)),
        }
    }
}

fn each<U>(price: Option<reckon::money::UnitPrice<U>>) -> String {
    shown(price.map(|price| figures::price(price, 2)))
}

/// The amount of a line to the cent; a dash where the statement has no such line.
pub(super) fn amount(statement: &Statement, key: StatementKey) -> String {
    shown(statement.line(key).map(|line| figures::money(line.amount.value)))
}
