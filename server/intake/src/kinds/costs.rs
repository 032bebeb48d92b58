//! Invoices and other costs.

use reckon::records::{Cost, CostGroup, SharedBasis};

use crate::column::{Column, NOTE, choice, day, number, text, words};
use crate::kinds::Printed;
use crate::row::{DateRule, EITHER_SIGN, Row};

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
        "How a cost of a farm or the operation goes out to its blocks. Blank = acres.",
        "acres",
    ),
    NOTE,
];

pub(super) fn read(row: &mut Row<'_>) -> Option<Cost> {
    let date = row.date("date", DateRule::InSeason);
    let group = row.choice("group", &CostGroup::ALL, CostGroup::word);
    let amount = row.money("amount_usd", EITHER_SIGN);
    let basis = row.choice("shared_by", &SharedBasis::ALL, SharedBasis::word).unwrap_or(SharedBasis::Acres);
    Some(Cost {
        date: date?,
        payee: row.text("payee"),
        category: row.maybe_text("category")?,
        group: group?,
        amount: amount?,
        basis,
        note: row.text("note"),
    })
}

pub(super) fn print(cost: &Cost) -> Vec<(&'static str, String)> {
    Printed::default()
        .put("date", cost.date)
        .text("payee", &cost.payee)
        .text("category", &cost.category)
        .put("group", cost.group.word())
        .put("amount_usd", cost.amount)
        .put("shared_by", cost.basis.word())
        .text("note", &cost.note)
        .done()
}
