//! Sums by group, and the costs that belong to one block alone.

use print::{figures, words};
use reckon::block::Season;
use reckon::costs::in_season;
use reckon::season::SeasonRecords;
use reckon::sharing::{Ledger, Sums};
use store::BlockId;

use super::correct;
use crate::display::shown;
use crate::pages::capital;
use crate::routes::to;

/// One group of costs, in dollars and cents.
pub(super) struct GroupRow {
    pub(super) name: String,
    pub(super) own: String,
    pub(super) shared: String,
    pub(super) unallocated: String,
    pub(super) all: String,
}

impl GroupRow {
    pub(super) fn of(name: String, sums: &Sums) -> Self {
        Self {
            name,
            own: figures::money(sums.own),
            shared: figures::money(sums.shared),
            unallocated: figures::money(sums.unallocated),
            all: figures::money(sums.all()),
        }
    }
}

pub(super) fn groups(ledger: &Ledger) -> Vec<GroupRow> {
    ledger.groups.iter().map(|(group, sums)| GroupRow::of(capital(group.word()), sums)).collect()
}

/// A cost of one block.
pub(super) struct OwnRow {
    pub(super) day: String,
    pub(super) link: Option<String>,
    pub(super) what: String,
    pub(super) payee: String,
    pub(super) block: (String, String),
    pub(super) group: String,
    /// The purchase price of what lasts; `None` where the season bears the whole amount.
    pub(super) bought: Option<String>,
    /// It came back: a credit.
    pub(super) credit: bool,
    pub(super) amount: String,
}

/// By day, then block.
pub(super) fn own(seasons: &[Season], season: &Season, blocks: &[(BlockId, SeasonRecords)]) -> Vec<OwnRow> {
    let of_block = |(id, records): &'_ (BlockId, SeasonRecords)| {
        let (id, code) = (*id, records.block.code.clone());
        records.costs.iter().map(move |kept| (id, code.clone(), kept.clone())).collect::<Vec<_>>()
    };
    let mut all: Vec<_> = blocks.iter().flat_map(of_block).collect();
    all.sort_by(|a, b| (a.2.record.date, &a.1, a.2.id).cmp(&(b.2.record.date, &b.1, b.2.id)));
    let row = |(id, code, kept): (BlockId, String, reckon::figure::Kept<reckon::records::Cost>)| {
        let link = correct((seasons, season.year), Some(id), &kept);
        let cost = kept.record;
        OwnRow {
            day: words::full_day(cost.date),
            link,
            block: (to::block_statement(season.year, id), code),
            group: capital(cost.group.word()),
            credit: cost.amount < reckon::money::Money::ZERO,
            bought: cost.lasting.map(|_| figures::money(cost.amount)),
            amount: shown(in_season(&cost, season).map(figures::money)),
            what: cost.category,
            payee: cost.payee,
        }
    };
    all.into_iter().map(row).collect()
}
