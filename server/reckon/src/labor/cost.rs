//! What one entry of labor costs.

use rust_decimal::Decimal;

use crate::exact::{Hours, Percent};
use crate::money::Money;
use crate::rates::Rates;
use crate::records::{LaborEntry, Loading, Pay};

/// Why an entry has no cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum NoCost {
    /// Hourly, and neither the entry nor the rates give a wage.
    NoWage,
    /// Hourly without hours, or piece or contract work with overtime and without hours.
    NoHours,
    /// The product does not fit the range of money.
    TooLarge,
}

/// Cost of an entry in full, rounded once, half away from zero, to the cent.
///
/// Hourly: wage x (hours + overtime hours x (multiplier - 1)). Piece work: pieces x rate, and for
/// overtime the regular rate (piece earnings / all hours) x (multiplier - 1) for each overtime
/// hour, which at 1.5 is the half of 29 CFR 778.111; neither rate is rounded. Contract: the sum, and
/// where hours and overtime hours are given the same premium on it (29 CFR 778.112, job rates).
/// Then x (1 + payroll %) or x (1 + commission %). This is a cost reckoning and not a payroll: what
/// is owed follows local wage law.
///
/// # Errors
/// [`NoCost`] says what the entry lacks.
pub fn entry_cost(entry: &LaborEntry, rates: Rates<'_>) -> Result<Money, NoCost> {
    let pay = pay(entry, rates)?;
    let percent = loading(entry, rates).decimal().checked_add(Decimal::ONE_HUNDRED);
    // One division, last, so that no third or seventh is cut off before it is multiplied.
    let over = pay.over.checked_mul(Decimal::ONE_HUNDRED);
    percent
        .and_then(|percent| pay.amount.checked_mul(percent))
        .zip(over)
        .and_then(|(amount, over)| amount.checked_div(over))
        .and_then(|cost| Money::round(cost).ok())
        .ok_or(NoCost::TooLarge)
}

/// Pay of an entry before payroll costs and commission, which a bonus and a wage bear differently.
pub(super) fn bare_pay(entry: &LaborEntry, rates: Rates<'_>) -> Option<Decimal> {
    let pay = pay(entry, rates).ok()?;
    pay.amount.checked_div(pay.over)
}

/// Pay before loading, as an exact fraction.
struct PayFraction {
    amount: Decimal,
    over: Decimal,
}

fn pay(entry: &LaborEntry, rates: Rates<'_>) -> Result<PayFraction, NoCost> {
    match entry.pay {
        Pay::Hourly(own) => {
            let hours = entry.hours.ok_or(NoCost::NoHours)?;
            let wage = own.or_else(|| rates.wage(entry.task, entry.date)).ok_or(NoCost::NoWage)?;
            let amount = paid_hours(entry, hours)?.checked_mul(wage.decimal()).ok_or(NoCost::TooLarge)?;
            Ok(PayFraction { amount, over: Decimal::ONE })
        }
        Pay::Piece { pieces, rate } => with_premium(entry, rate.times(pieces)),
        Pay::Contract(sum) => with_premium(entry, sum.decimal()),
    }
}

/// Earnings that are not by the hour, with the premium that overtime hours bring on their average.
fn with_premium(entry: &LaborEntry, earned: Decimal) -> Result<PayFraction, NoCost> {
    if entry.overtime_hours.is_zero() {
        return Ok(PayFraction { amount: earned, over: Decimal::ONE });
    }
    let hours = entry.hours.filter(|hours| !hours.is_zero()).ok_or(NoCost::NoHours)?;
    let amount = paid_hours(entry, hours)?.checked_mul(earned).ok_or(NoCost::TooLarge)?;
    Ok(PayFraction { amount, over: hours.decimal() })
}

/// Hours, and overtime hours again for the part of the multiplier above one.
fn paid_hours(entry: &LaborEntry, hours: Hours) -> Result<Decimal, NoCost> {
    let multiplier = entry.overtime_multiplier.map_or(Decimal::new(15, 1), of_one);
    multiplier
        .checked_sub(Decimal::ONE)
        .and_then(|above| above.checked_mul(entry.overtime_hours.decimal()))
        .and_then(|extra| extra.checked_add(hours.decimal()))
        .ok_or(NoCost::TooLarge)
}

fn of_one(percent: Percent) -> Decimal {
    percent.decimal().checked_div(Decimal::ONE_HUNDRED).unwrap_or(Decimal::ONE)
}

/// Percent on top of pay. Without a word in the entry, own people take the payroll rate that holds
/// and a contract sum takes the commission rate that holds; none recorded is none.
fn loading(entry: &LaborEntry, rates: Rates<'_>) -> Percent {
    match (entry.loading, entry.pay) {
        (Loading::Payroll(percent) | Loading::Commission(percent), _) => percent,
        (Loading::FromRates, Pay::Contract(_)) => rates.commission(entry.date).unwrap_or_default(),
        (Loading::FromRates, Pay::Hourly(_) | Pay::Piece { .. }) => rates.payroll(entry.date).unwrap_or_default(),
    }
}
