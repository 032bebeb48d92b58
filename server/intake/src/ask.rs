//! Values that can be read and can hardly be meant: a wage of 1,750 dollars an hour, a day of next
//! year. They are asked about and kept once a person says that they are right; nothing is refused here.
//!
//! Limits are common practice, no source: far outside what an orchard sees, so that a question means
//! a slip of the pen.

mod block;
mod count;
mod fruit;
mod rate;
mod water;
mod work;

use chrono::NaiveDate;
use reckon::block::Block;
use reckon::records::{Cost, Record};
use rust_decimal::Decimal;

use crate::kinds::Parsed;
use crate::problem::thousands;

/// Something to be confirmed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// Column, as named in the file and the form.
    pub column: &'static str,
    /// A whole sentence that ends in a question.
    pub sentence: String,
}

/// What is known beside a row.
#[derive(Debug, Clone, Copy)]
pub struct Beside<'a> {
    /// Today, where the farm is.
    pub today: NaiveDate,
    /// The block the row belongs to, if one.
    pub block: Option<&'a Block>,
}

/// Most dollars of one invoice before it is asked about.
const INVOICE_USD: u32 = 1_000_000;

/// What is to be asked about a row; nothing for almost every row.
pub fn questions(parsed: &Parsed, beside: &Beside<'_>) -> Vec<Question> {
    match parsed {
        Parsed::Farm(_) => Vec::new(),
        Parsed::Block { block, .. } => block::questions(block, beside.today),
        Parsed::Record(record) => of_record(record, beside),
    }
}

fn of_record(record: &Record, beside: &Beside<'_>) -> Vec<Question> {
    let mut asked = Vec::new();
    asked.extend(ahead(record, beside.today));
    asked.extend(match record {
        Record::Labor(entry) => work::labor(entry, beside.block),
        Record::FruitCount(count) => count::questions(count),
        Record::Irrigation(set) => water::irrigation(set, beside.block).into_iter().collect(),
        Record::Tension(reading) => water::tension(reading).into_iter().collect(),
        Record::Mulch(mulch) => water::strip(mulch, beside.block).into_iter().collect(),
        Record::Pick(pick) => fruit::pick(pick, beside.block),
        Record::Packout(line) => fruit::packout(line, beside.block),
        Record::Settlement(line) => fruit::settlement(line),
        Record::Price(line) => fruit::price(line).into_iter().collect(),
        Record::Cost(cost) => invoice(cost).into_iter().collect(),
        Record::Rate(rate) => rate::questions(rate).into_iter().collect(),
        _ => Vec::new(),
    });
    asked
}

/// What happened cannot lie ahead; what holds from a day on may.
fn ahead(record: &Record, today: NaiveDate) -> Option<Question> {
    let holds_from = matches!(record, Record::Price(_) | Record::Rate(_) | Record::Size(_) | Record::ThinningTarget(_));
    let day = record.date();
    (day > today && !holds_from)
        .then(|| question("date", format!("{day} lies after today, {today}. Has this happened already?")))
}

fn invoice(cost: &Cost) -> Option<Question> {
    let most = Decimal::from(INVOICE_USD);
    (cost.amount.decimal().abs() > most).then(|| {
        question("amount_usd", format!("The amount is {} dollars. Is it so much?", number(cost.amount.decimal())))
    })
}

/// The block's acres, where an amount is more on each than it should be.
fn too_many(amount: Decimal, block: Option<&Block>, per_acre: u32) -> Option<String> {
    let acres = block.map(|block| block.acres.decimal()).filter(|acres| *acres > Decimal::ZERO)?;
    let most = acres.checked_mul(per_acre.into())?;
    (amount > most).then(|| number(acres))
}

fn question(column: &'static str, sentence: String) -> Question {
    Question { column, sentence }
}

/// "1,750", "17.5".
fn number(value: Decimal) -> String {
    let text = value.normalize().to_string();
    let (whole, fraction) = text.split_once('.').map_or((text.as_str(), None), |(whole, rest)| (whole, Some(rest)));
    let grouped = whole.parse::<usize>().map_or_else(|_| whole.to_owned(), thousands);
    fraction.map_or(grouped.clone(), |rest| format!("{grouped}.{rest}"))
}

/// "17,424".
fn whole(value: f64) -> String {
    let text = format!("{value:.0}");
    text.parse().map_or(text, thousands)
}
