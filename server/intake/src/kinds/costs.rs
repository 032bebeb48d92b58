//! Invoices and other costs.

use std::collections::BTreeSet;

use reckon::block::folded;
use reckon::records::{Cost, CostGroup, Lasting, SharedBasis, Shares};

use crate::column::{Column, NOTE, choice, day, number, text, words};
use crate::kinds::Printed;
use crate::row::{Bounds, DateRule, EITHER_SIGN, PERCENT, Row, from};

pub(super) const COLUMNS: &[Column] = &[
    day("date", "Day", "Date of the invoice."),
    text("block", "Block", "Code of the block it is for. Blank = for a farm, or for the whole operation.", "RB-1"),
    text("farm", "Farm", "Farm it is for. Block and farm blank = for the whole operation.", "Home Ranch"),
    text("payee", "Paid to", "Who was paid. Blank = not said.", "co-op store"),
    text("category", "What for", "What it was for, in your own words.", "fuel").required(),
    choice("group", "Group", words!(CostGroup), "Where it stands in the statement.", "cultural").required(),
    number("amount_usd", "Amount", "$", "Whole amount in dollars; minus for a credit.", "1284.60").required(),
    choice(
        "shared_by",
        "Shared by",
        words!(SharedBasis),
        "How a cost of a farm or the operation goes out to its blocks: by their acres or trees, by the boxes or \
         weight packed, by hours of labor, or in fixed shares. Blank = acres.",
        "acres",
    ),
    text("shares", "Fixed shares", "Percent of each block, when it is shared in fixed shares.", "RB-1=40;RB-2=60"),
    number(
        "life_years",
        "Years it lasts",
        "years",
        "Seasons it is used, for equipment, buildings, trees and land: each bears the capital recovery and not the \
         price. Blank = all of it belongs to this season.",
        "15",
    ),
    number("salvage_usd", "Worth afterwards", "$", "Worth after these years; land keeps its price. Blank = 0.", "2500"),
    number("interest_pct", "Interest a year", "%", "Interest on what lasts, percent a year.", "5"),
    NOTE,
];

/// Years of life taken.
const LIFE: Bounds = from(1.0).up_to(100.0).in_whole();

pub(super) fn read(row: &mut Row<'_>) -> Option<Cost> {
    // What lasts may have been bought in an earlier season.
    let rule = if row.has("life_years") { DateRule::NotAfterSeason } else { DateRule::InSeason };
    let date = row.date("date", rule);
    let group = row.choice("group", &CostGroup::ALL, CostGroup::word);
    let amount = row.money("amount_usd", EITHER_SIGN);
    let basis = row.choice("shared_by", &SharedBasis::ALL, SharedBasis::word).unwrap_or(SharedBasis::Acres);
    let shares = shares(row, basis);
    let lasting = lasting(row, group);
    Some(Cost {
        date: date?,
        payee: row.text("payee"),
        category: row.maybe_text("category")?,
        group: group?,
        amount: amount?,
        basis,
        shares: shares?,
        lasting,
        note: row.text("note"),
    })
}

fn shares(row: &mut Row<'_>, basis: SharedBasis) -> Option<Shares> {
    if basis != SharedBasis::Fixed {
        row.refuse("shares", "the cost is not shared by fixed shares");
        return Some(Shares::default());
    }
    row.need("shares", "the percent of each block, as the cost is shared by fixed shares");
    let shares = Shares::parse(&row.text("shares")).filter(each_once);
    if shares.is_none() {
        row.problem("shares", "block codes, each once, with percentages that sum to 100, between semicolons");
    }
    shares
}

/// Codes that differ in capitals alone are one block.
fn each_once(shares: &Shares) -> bool {
    let mut codes = BTreeSet::new();
    shares.parts().iter().all(|(code, _)| codes.insert(folded(code)))
}

/// `None` also where something was wrong; the row's problems say so.
fn lasting(row: &mut Row<'_>, group: Option<CostGroup>) -> Option<Lasting> {
    if !row.has("life_years") {
        for name in ["salvage_usd", "interest_pct"] {
            row.refuse(name, "no life_years are given, so all of it belongs to this season");
        }
        return None;
    }
    if group.is_some_and(|group| group != CostGroup::NonCashOverhead) {
        row.problem_like("group", "non-cash overhead, as the cost lasts for years", "non-cash overhead");
    }
    row.need("interest_pct", "the interest on what lasts; 0 for none");
    let life_years = row.whole("life_years", LIFE);
    let salvage = row.money("salvage_usd", from(0.0)).unwrap_or_default();
    let rate = row.exact("interest_pct", PERCENT);
    Some(Lasting { life_years: life_years?, salvage, rate: rate? })
}

pub(super) fn print(cost: &Cost) -> Vec<(&'static str, String)> {
    Printed::default()
        .put("date", cost.date)
        .text("payee", &cost.payee)
        .text("category", &cost.category)
        .put("group", cost.group.word())
        .put("amount_usd", cost.amount)
        .put("shared_by", cost.basis.word())
        .maybe("shares", Some(&cost.shares).filter(|shares| !shares.is_empty()))
        .maybe("life_years", cost.lasting.map(|lasting| lasting.life_years))
        .maybe("salvage_usd", cost.lasting.map(|lasting| lasting.salvage))
        .maybe("interest_pct", cost.lasting.map(|lasting| lasting.rate))
        .text("note", &cost.note)
        .done()
}
