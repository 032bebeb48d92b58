//! Questions about hours, pay and trees.

use reckon::block::Block;
use reckon::exact::{Hours, Percent};
use reckon::money::round_half_away;
use reckon::records::{LaborEntry, Loading, Pay, Task, ThinningMethod};
use rust_decimal::Decimal;

use super::{Question, number, question, too_many};

/// Dollars an hour, least and most: common practice, no source.
const WAGE_USD: (u32, u32) = (5, 200);
/// Dollars for one piece.
const PIECE_USD: u32 = 200;
/// Dollars an acre for one contract, or for all pieces of one entry.
const CONTRACT_USD_PER_ACRE: u32 = 20_000;
/// Hours of one person in a day; more than 24 are refused.
const HOURS_EACH: u32 = 16;
/// People of one crew on one day: common practice, no source.
const PEOPLE: u32 = 120;
/// Percent on top of pay.
const ON_TOP_PCT: u32 = 60;
/// Overtime pay in percent of the wage: common practice, no source.
const OVERTIME_PCT: u32 = 300;
/// Trees a person works by hand in an hour: common practice, no source.
const TREES_AN_HOUR: u32 = 60;
/// Hours of work for one tree: common practice, no source.
const HOURS_A_TREE: u32 = 8;
/// Times a crew goes through a block for one task: common practice, no source.
const PASSES: u8 = 5;

pub(super) fn labor(entry: &LaborEntry, block: Option<&Block>) -> Vec<Question> {
    let of_pay = [pay(entry, block).or_else(|| average(entry)), hours(entry), overtime(entry), on_top(entry.loading)];
    let of_work = [
        people(entry),
        pass(entry),
        trees(entry, block),
        rows(entry, block),
        apart(entry, block),
        fast(entry, block),
        slow(entry, block),
    ];
    of_pay.into_iter().chain(of_work).flatten().collect()
}

fn pay(entry: &LaborEntry, block: Option<&Block>) -> Option<Question> {
    match entry.pay {
        Pay::Hourly(wage) => wage.and_then(|wage| hourly("wage_usd_per_hour", wage.decimal())),
        Pay::Piece { rate, .. } if rate.decimal() > PIECE_USD.into() => {
            Some(question("piece_usd", format!("One piece is paid {} dollars. Is it so much?", number(rate.decimal()))))
        }
        Pay::Piece { pieces, rate } => {
            let sum = pieces.decimal().checked_mul(rate.decimal())?;
            too_many(sum, block, CONTRACT_USD_PER_ACRE).map(|acres| {
                let said = format!(
                    "{} pieces at {} dollars are {} dollars for a block of {acres} acres. Is it so much?",
                    number(pieces.decimal()),
                    number(rate.decimal()),
                    number(round_half_away(sum, 2))
                );
                question("piece_usd", said)
            })
        }
        Pay::Contract(sum) => too_many(sum.decimal(), block, CONTRACT_USD_PER_ACRE).map(|acres| {
            let said = format!(
                "The contract is {} dollars for a block of {acres} acres. Is it so much?",
                number(sum.decimal())
            );
            question("contract_usd", said)
        }),
    }
}

/// A wage, by an entry or by a rate.
pub(super) fn hourly(column: &'static str, wage: Decimal) -> Option<Question> {
    let how = odd_wage(wage)?;
    Some(question(column, format!("The wage is {} dollars an hour. Is it so {how}?", number(wage))))
}

/// "much" or "little", of dollars an hour that hardly anybody is paid.
fn odd_wage(wage: Decimal) -> Option<&'static str> {
    let (least, most) = (Decimal::from(WAGE_USD.0), Decimal::from(WAGE_USD.1));
    (wage < least || wage > most).then_some(if wage > most { "much" } else { "little" })
}

/// What pieces or a sum come to for an hour, where their hours are known.
fn average(entry: &LaborEntry) -> Option<Question> {
    let hours = entry.hours.map(Hours::decimal).filter(|hours| *hours > Decimal::ZERO)?;
    let (column, sum) = match entry.pay {
        Pay::Hourly(_) => return None,
        Pay::Piece { pieces, rate } => ("pieces", rate.times(pieces)),
        Pay::Contract(sum) => ("contract_usd", sum.decimal()),
    };
    let each = round_half_away(sum.checked_div(hours)?, 2);
    let how = odd_wage(each)?;
    let said = format!(
        "{} dollars for {} are {} dollars for an hour. Is it so {how}?",
        number(sum),
        told_hours(hours),
        if each.is_integer() { number(each) } else { format!("{each:.2}") },
    );
    Some(question(column, said))
}

fn people(entry: &LaborEntry) -> Option<Question> {
    let people = entry.people.filter(|people| *people > PEOPLE)?;
    Some(question("people", format!("The crew has {} people. Is it so many?", number(people.into()))))
}

fn hours(entry: &LaborEntry) -> Option<Question> {
    let hours = entry.hours?.decimal();
    let Some(people) = entry.people.filter(|people| *people > 0) else { return many_hours(hours) };
    let most = Decimal::from(people).checked_mul(HOURS_EACH.into())?;
    (hours > most).then(|| {
        let said = format!(
            "{} hours for {} are more than {HOURS_EACH} hours for each in one day. Are both right?",
            number(hours),
            counted(people, "person", "people")
        );
        question("hours", said)
    })
}

/// Hours of nobody knows how many: more than the most people work in a day.
fn many_hours(hours: Decimal) -> Option<Question> {
    let most = Decimal::from(PEOPLE).checked_mul(HOURS_EACH.into())?;
    (hours > most).then(|| question("hours", format!("{} hours in one day. Are they so many?", number(hours))))
}

fn overtime(entry: &LaborEntry) -> Option<Question> {
    let percent = number(entry.overtime_multiplier?.decimal());
    if entry.overtime_hours.is_zero() {
        let said = format!(
            "Overtime pay is {percent} percent and there are no overtime hours, so nothing is paid by it. Are they \
             missing?"
        );
        return Some(question("overtime_multiplier_pct", said));
    }
    (entry.overtime_multiplier?.decimal() > OVERTIME_PCT.into()).then(|| {
        question("overtime_multiplier_pct", format!("Overtime is paid {percent} percent of the wage. Is it so much?"))
    })
}

fn pass(entry: &LaborEntry) -> Option<Question> {
    let pass = entry.pass.filter(|pass| *pass > PASSES)?;
    Some(question("pass", format!("This is pass {pass} through the block. Were there so many?")))
}

/// One entry is one pass at most: every tree once.
fn trees(entry: &LaborEntry, block: Option<&Block>) -> Option<Question> {
    let (done, has) = (entry.trees_done?, block?.trees?);
    (done > has).then(|| {
        let said = format!(
            "{} trees done are more than the {} bearing trees of the block. Is the number right?",
            number(done.into()),
            number(has.into())
        );
        question("trees_done", said)
    })
}

fn rows(entry: &LaborEntry, block: Option<&Block>) -> Option<Question> {
    let (done, has) = (entry.rows_done?, block?.rows?);
    (done > has).then(|| {
        let said = format!(
            "{} done are more than the {} of the block. Is the number right?",
            counted(done, "row", "rows"),
            counted(has, "row", "rows")
        );
        question("rows_done", said)
    })
}

/// Trees and rows of one entry that tell two different things.
fn apart(entry: &LaborEntry, block: Option<&Block>) -> Option<Question> {
    let (trees, rows, of_rows) = (entry.trees_done?, entry.rows_done?, entry.rows_apart(block?)?);
    let said = format!(
        "{} and {} do not agree: so many rows of the block are {} trees. Are both right?",
        counted(trees, "tree", "trees"),
        counted(rows, "row", "rows"),
        number(of_rows.into())
    );
    Some(question("trees_done", said))
}

/// Work done tree by tree with the hands; a sprayer or a machine does hundreds in an hour.
fn fast(entry: &LaborEntry, block: Option<&Block>) -> Option<Question> {
    let by_machine = entry.method.is_some_and(ThinningMethod::is_by_machine);
    let by_hand = matches!(entry.task, Task::Thin | Task::Prune | Task::Prop | Task::Pick) && !by_machine;
    let trees = worked(entry, block).filter(|_| by_hand)?;
    let hours = entry.hours?.decimal();
    let each = Decimal::from(trees).checked_div(hours)?;
    (each > TREES_AN_HOUR.into()).then(|| {
        let column = if entry.trees_done.is_some() { "trees_done" } else { "rows_done" };
        let said = format!(
            "{} trees in {} are {} trees for each person in an hour. Are both right?",
            number(trees.into()),
            told_hours(hours),
            number(round_half_away(each, 0))
        );
        question(column, said)
    })
}

/// More hours than the hands need for a tree.
fn slow(entry: &LaborEntry, block: Option<&Block>) -> Option<Question> {
    let trees = worked(entry, block).filter(|trees| *trees > 0)?;
    let hours = entry.hours?.decimal();
    let each = hours.checked_div(trees.into())?;
    (each > HOURS_A_TREE.into()).then(|| {
        let said = format!(
            "{} hours for {} are {} hours for each. Are both right?",
            number(hours),
            if trees == 1 { "1 tree".to_owned() } else { format!("{} trees", number(trees.into())) },
            number(round_half_away(each, 1))
        );
        question("hours", said)
    })
}

/// Trees done, as counted or by the rows.
fn worked(entry: &LaborEntry, block: Option<&Block>) -> Option<u64> {
    entry.trees_done.map(u64::from).or_else(|| entry.trees_by_rows(block?))
}

/// "1 hour", "7.5 hours".
fn told_hours(hours: Decimal) -> String {
    format!("{} {}", number(hours), if hours == Decimal::ONE { "hour" } else { "hours" })
}

/// "1 row", "24 rows".
fn counted(count: u32, one: &str, many: &str) -> String {
    format!("{} {}", number(count.into()), if count == 1 { one } else { many })
}

fn on_top(loading: Loading) -> Option<Question> {
    let (column, percent): (_, Percent) = match loading {
        Loading::FromRates => return None,
        Loading::Payroll(percent) => ("payroll_pct", percent),
        Loading::Commission(percent) => ("commission_pct", percent),
    };
    percent_on_top(column, percent.decimal())
}

/// Percent on top of pay, by an entry or by a rate; below one it is likely a share, 0.1285 for 12.85.
pub(super) fn percent_on_top(column: &'static str, percent: Decimal) -> Option<Question> {
    let how = match percent {
        _ if percent > ON_TOP_PCT.into() => "much",
        _ if percent > Decimal::ZERO && percent < Decimal::ONE => "little, or a share and not percent",
        _ => return None,
    };
    Some(question(column, format!("{} percent come on top of the pay. Is it so {how}?", number(percent))))
}

#[cfg(test)]
mod tests;
