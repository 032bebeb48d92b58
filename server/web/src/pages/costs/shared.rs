//! A cost that several blocks share: its basis, and each block's part with the reason for it.

use print::{figures, words};
use reckon::allocate::Part;
use reckon::block::Season;
use reckon::records::{Cost, CostGroup, SharedBasis};
use rust_decimal::Decimal;
use store::{BlockId, FarmRow};

use super::{Books, correct};
use crate::routes::to;

/// One shared cost.
pub(super) struct SharedRow {
    pub(super) title: String,
    pub(super) link: Option<String>,
    /// `office, of River Bench, shared by acres among 6 blocks`.
    pub(super) said: String,
    /// What the season bears of something that lasts.
    pub(super) lasting: Option<String>,
    pub(super) weight_head: &'static str,
    pub(super) parts: Vec<PartRow>,
    pub(super) amount: String,
    /// Only the share of the person's farms is told.
    pub(super) share_only: bool,
    /// It came back: a credit.
    pub(super) credit: bool,
    /// What is said below its parts: who bears nothing, whom it names in vain, the cents left over.
    pub(super) below: Vec<String>,
    /// Why no block bears it.
    pub(super) unallocated: Option<&'static str>,
}

/// One block's part.
pub(super) struct PartRow {
    /// Statement and code; `None` for a block without a season.
    pub(super) block: Option<(String, String)>,
    pub(super) weight: String,
    pub(super) exact: String,
    pub(super) amount: String,
    pub(super) odd_cent: bool,
}

impl SharedRow {
    pub(super) fn of(
        (seasons, year): (&[Season], i32),
        books: &Books,
        farms: &[FarmRow],
        shared: &store::SharedOut,
    ) -> Self {
        let (cost, out) = (&shared.cost.record, &shared.out);
        let bears = |(_, part): &(&BlockId, &Part)| part.weight > Decimal::ZERO;
        let parts: Vec<PartRow> = shared
            .blocks
            .iter()
            .zip(&out.parts)
            .filter(bears)
            .map(|(block, part)| part_row(year, books, *block, part))
            .collect();
        let whole = figures::dollars(&figures::money(out.amount));
        let farm = farm(shared, farms).map(|row| format!(", {}", row.farm.name)).unwrap_or_default();
        let title = format!("{}, {}{farm}: {whole}", words::full_day(cost.date), cost.category);
        Self {
            // The invoice itself is for people of the whole operation.
            link: if shared.share_only { None } else { correct((seasons, year), None, &shared.cost) },
            said: said(shared, farms),
            lasting: cost.lasting.map(|lasting| {
                let price = figures::dollars(&figures::money(cost.amount));
                let years = figures::counted(lasting.life_years as usize, "season", "seasons");
                format!(
                    "Bought for {price}, lasts {years} at {}%; this season bears its capital recovery.",
                    lasting.rate
                )
            }),
            weight_head: weight_head(cost.basis),
            amount: figures::money(out.amount),
            credit: out.amount < reckon::money::Money::ZERO,
            below: below(cost, out.parts.len(), &parts),
            unallocated: parts.is_empty().then(|| lacks(cost.basis)),
            share_only: shared.share_only,
            title,
            parts,
        }
    }
}

/// The farm it is a cost of; `None` for the whole operation.
fn farm<'f>(shared: &store::SharedOut, farms: &'f [FarmRow]) -> Option<&'f FarmRow> {
    shared.farm.and_then(|id| farms.iter().find(|row| row.id == id))
}

fn said(shared: &store::SharedOut, farms: &[FarmRow]) -> String {
    let cost = &shared.cost.record;
    let of = farm(shared, farms).map_or("the operation", |row| row.farm.name.as_str());
    let payee = if cost.payee.trim().is_empty() { String::new() } else { format!("{}, ", cost.payee) };
    let among = if shared.share_only {
        String::new()
    } else {
        format!(" among {}", figures::counted(shared.blocks.len(), "block", "blocks"))
    };
    let what =
        if shared.share_only { "share of an operation-wide invoice".to_owned() } else { format!("a cost of {of}") };
    format!("{payee}{}; {what}, shared by {}{among}.", group(cost.group), cost.basis.word())
}

fn below(cost: &Cost, blocks: usize, parts: &[PartRow]) -> Vec<String> {
    let without = blocks.saturating_sub(parts.len());
    let named = cost.shares.parts().iter().filter(|(_, share)| !share.is_zero()).count();
    let strangers = cost.basis == SharedBasis::Fixed && !parts.is_empty() && named > parts.len();
    let said = [
        (without > 0).then(|| spared(without, cost.basis)),
        strangers.then(|| STRANGERS.to_owned()),
        parts.iter().any(|part| part.odd_cent).then(|| ODD_CENT.to_owned()),
    ];
    said.into_iter().flatten().collect()
}

const STRANGERS: &str = "It names blocks that do not exist or do not share it; those that exist bear all of it. Correct \
                         the codes in its shares.";
const ODD_CENT: &str = "“A cent left over”: the block's remainder was among the largest.";

fn spared(n: usize, basis: SharedBasis) -> String {
    let (verb, has) = if n == 1 { ("bears", "has") } else { ("bear", "have") };
    let lack = match basis {
        SharedBasis::Acres => "no acres",
        SharedBasis::Trees => "no count of trees",
        SharedBasis::Boxes => "no boxes packed this season",
        SharedBasis::Weight => "no weight packed this season",
        SharedBasis::Hours => "no hours of labor this season",
        SharedBasis::Fixed => "no percent in its list",
    };
    format!("{} {has} {lack} and {verb} none of it.", figures::counted(n, "other block", "other blocks"))
}

const fn group(group: CostGroup) -> &'static str {
    match group {
        CostGroup::Cultural => "a growing cost",
        CostGroup::Harvest => "a harvest cost",
        CostGroup::Assessment => "an assessment",
        CostGroup::Interest => "interest",
        CostGroup::CashOverhead => "cash overhead",
        CostGroup::NonCashOverhead => "non-cash overhead",
    }
}

fn part_row(year: i32, books: &Books, block: BlockId, part: &Part) -> PartRow {
    let found = books.blocks.iter().find(|(own, _)| *own == block);
    PartRow {
        block: found.map(|(id, records)| (to::block_statement(year, *id), records.block.code.clone())),
        weight: plain(part.weight),
        exact: figures::decimal(part.exact, 4),
        amount: figures::money(part.amount),
        odd_cent: part.odd_cent,
    }
}

/// With the places it has and no more.
fn plain(weight: Decimal) -> String {
    figures::decimal(weight, weight.normalize().scale())
}

const fn weight_head(basis: SharedBasis) -> &'static str {
    match basis {
        SharedBasis::Acres => "Acres",
        SharedBasis::Trees => "Trees",
        SharedBasis::Boxes => "Boxes packed",
        SharedBasis::Weight => "Pounds packed",
        SharedBasis::Hours => "Hours of labor",
        SharedBasis::Fixed => "Percent",
    }
}

const fn lacks(basis: SharedBasis) -> &'static str {
    match basis {
        SharedBasis::Acres => "No block it is for has acres, so none bears it.",
        SharedBasis::Trees => "No block it is for has a count of trees, so none bears it.",
        SharedBasis::Boxes => "No block it is for has packed boxes this season, so none bears it.",
        SharedBasis::Weight => "No block it is for has packed weight this season, so none bears it.",
        SharedBasis::Hours => "No block it is for has hours of labor this season, so none bears it.",
        SharedBasis::Fixed => "No block it names exists, so none bears it.",
    }
}
