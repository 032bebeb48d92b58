//! What the reckoning of the block's season says about single records: questions, and of labor
//! entries the rate and the cost.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use print::figures::{self, dollars};
use reckon::figure::{GapAbout, RecordId, RecordKind, RecordRef};
use reckon::labor::{EntryCost, NoCost, Paid, entry_costs};
use reckon::season::SeasonRecords;
use rust_decimal::Decimal;
use store::Desk;
use uuid::Uuid;

use super::List;
use crate::display;
use crate::error::PageError;
use crate::routes::to;

/// Fewest decimals of a wage and a piece rate.
const RATE_PLACES: u32 = 2;

/// What an entry is paid by and what it costs, in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Pay {
    /// "17.50 $/h"; empty where nothing is known.
    pub(super) rate: String,
    /// Where the rate stands, if not in the entry; or that overtime at it is an estimate.
    pub(super) from: &'static str,
    /// "$480.00", or why there is none.
    pub(super) cost: String,
    pub(super) known: bool,
}

/// What is said about records, by their identifier.
#[derive(Debug, Default)]
pub(super) struct Behind {
    pub(super) asked: BTreeMap<Uuid, Vec<String>>,
    /// What the counts together say of the block: said once above the list, and not at every count.
    pub(super) of_all: Vec<String>,
    pub(super) pay: BTreeMap<Uuid, Pay>,
    /// Entries of other seasons that are counted in this one: where each is, and what it is.
    pub(super) earlier: Vec<(String, String)>,
}

impl Behind {
    /// Of a block's list; nothing of a list of the whole operation.
    pub(super) async fn of(desk: &Desk<'_>, list: &List) -> Result<Self, PageError> {
        let Some(block) = list.at.block else { return Ok(Self::default()) };
        let records = desk.season_records(block, list.at.year).await?;
        let pay = if list.money { pay(list, &records) } else { BTreeMap::new() };
        let Asked { by_record, of_all } = asked(list, &records);
        Ok(Self { asked: by_record, of_all, pay, earlier: earlier(list, &records) })
    }
}

/// Mulch and costs that reach into the season from another.
fn earlier(list: &List, records: &SeasonRecords) -> Vec<(String, String)> {
    let mulch = records.mulch.iter().map(|kept| (kept.id, kept.record.date, kept.record.material.as_str()));
    let costs = records.costs.iter().map(|kept| (kept.id, kept.record.date, kept.record.category.as_str()));
    let all: Vec<(RecordId, NaiveDate, &str)> = match list.at.kind {
        RecordKind::Mulch => mulch.collect(),
        RecordKind::Cost => costs.collect(),
        _ => Vec::new(),
    };
    let outside = all.into_iter().filter(|(_, day, _)| !list.season.holds(*day));
    outside.filter_map(|(id, day, what)| Some((link(list, id, day)?, said(what, day)))).collect()
}

fn said(what: &str, day: NaiveDate) -> String {
    format!("{what}, {}", display::full_day(day))
}

/// To its row in the list of its own season; to its form where no season holds its day.
fn link(list: &List, id: RecordId, day: NaiveDate) -> Option<String> {
    let RecordId::Stored(id) = id else { return None };
    let (id, block, kind) = (Uuid::from_u128(id), list.at.block, list.at.kind);
    let held = list.seasons.iter().find(|season| season.holds(day));
    Some(match held {
        Some(season) => format!("{}#r-{id}", to::records(season.year, block, kind)),
        None => to::correct(list.at.year, block, kind, id),
    })
}

/// Questions of a list, by record and of all together.
#[derive(Debug, Default)]
struct Asked {
    by_record: BTreeMap<Uuid, Vec<String>>,
    of_all: Vec<String>,
}

fn asked(list: &List, records: &SeasonRecords) -> Asked {
    let mut asked = Asked::default();
    for gap in reckon::reckon(records).gaps {
        let sentence = format!("{} {}", gap.what, gap.mend);
        let of_money = matches!(gap.about, GapAbout::Price | GapAbout::Costs) || speaks_of_money(&sentence);
        let of_list = |record: &&RecordRef| record.kind == list.at.kind && (list.money || !of_money);
        let stored = gap.records.iter().filter(of_list).filter_map(|record| match record.id {
            RecordId::Stored(id) => Some(Uuid::from_u128(id)),
            RecordId::Line(_) => None,
        });
        let ids: Vec<Uuid> = stored.collect();
        if list.at.kind == RecordKind::FruitCount && gap.about == GapAbout::Thinning && ids.len() > 1 {
            asked.of_all.push(sentence);
            continue;
        }
        for id in ids {
            asked.by_record.entry(id).or_default().push(sentence.clone());
        }
    }
    asked
}

fn speaks_of_money(sentence: &str) -> bool {
    ["$", "wage", "payroll", "commission", "cost", "price"].iter().any(|word| sentence.contains(word))
}

fn pay(list: &List, records: &SeasonRecords) -> BTreeMap<Uuid, Pay> {
    if list.at.kind != RecordKind::Labor {
        return BTreeMap::new();
    }
    let stored = |entry: EntryCost| match entry.id {
        RecordId::Stored(id) => Some((Uuid::from_u128(id), in_words(&entry))),
        RecordId::Line(_) => None,
    };
    entry_costs(records).into_iter().filter_map(stored).collect()
}

/// A rate as it was agreed, with every decimal it has: "17.50", "2.345".
fn exact(rate: Decimal) -> String {
    let rate = rate.normalize();
    figures::decimal(rate, rate.scale().max(RATE_PLACES))
}

fn in_words(entry: &EntryCost) -> Pay {
    let (rate, from) = match entry.paid {
        Some(Paid::Hour { wage, own }) => {
            (format!("{} $/h", exact(wage.decimal())), if own { "" } else { "from the rates" })
        }
        Some(Paid::Piece(rate)) => (format!("{} $ a piece", exact(rate.decimal())), ""),
        Some(Paid::Contract(_)) => ("flat sum".to_owned(), ""),
        None => (String::new(), ""),
    };
    let from = if entry.overtime_estimated { "overtime estimated" } else { from };
    let (cost, known) = match entry.cost {
        Ok(cost) => (dollars(&figures::money(cost)), true),
        Err(NoCost::NoWage) => ("no wage on this entry, and no rate holds on its day".to_owned(), false),
        Err(NoCost::NoHours) => ("no hours on this entry".to_owned(), false),
        Err(NoCost::TooLarge) => ("too large to reckon".to_owned(), false),
    };
    Pay { rate, from, cost, known }
}
