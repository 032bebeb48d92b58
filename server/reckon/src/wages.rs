//! Overtime of a working week, as an estimate and not a payroll: what is owed follows local wage law.
//!
//! The rule of 29 CFR 778.110 to 778.115: everything earned in the week as straight time, over all
//! hours of the week, is the regular rate; each overtime hour brings a part of it on top (a half at
//! time and a half). The rate is not rounded on the way; the total is, once. Pages and pay stubs
//! that round the rate first differ by a few cents, which adds up over a crew.

mod days;
mod left_out;
mod names;
mod rule;
mod weeks;

use rust_decimal::Decimal;

pub use days::day_doubts;
pub use left_out::{LeftOut, WhyLeftOut, week_doubts};
pub use rule::{WeekRule, name};
pub use weeks::{CrewWeek, CrewWeeks, NotLooked, crew_weeks};

use crate::crew;
use crate::exact::{Exact, Hours, OutOfRange, Pieces, unit};
use crate::figure::{Kept, RecordKind, RecordRef};
use crate::money::{Money, UnitPrice};
use crate::records::LaborEntry;
use crate::season::HowReckoned;

type Rate = UnitPrice<unit::Hour>;

/// What a week brought, before overtime.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Earning {
    /// Hours at a rate: plain hourly pay, one of two or more rates, waiting time (29 CFR 778.110, 778.115).
    Hourly {
        /// Hours at this rate.
        hours: Hours,
        /// Dollars an hour.
        rate: Rate,
    },
    /// Pieces at a piece rate, with the hours they took (29 CFR 778.111).
    Pieces {
        /// Hours they took.
        hours: Hours,
        /// Pieces done.
        pieces: Pieces,
        /// Dollars for each.
        rate: UnitPrice<unit::Piece>,
    },
    /// A sum for a day's or a job's work, whatever its hours (29 CFR 778.112).
    Sum {
        /// Hours it took.
        hours: Hours,
        /// The sum.
        pay: Money,
    },
    /// A production bonus: money without hours of its own (29 CFR 778.110(b)).
    Bonus(Money),
}

impl Earning {
    /// Its hours.
    pub const fn hours(self) -> Hours {
        match self {
            Self::Hourly { hours, .. } | Self::Pieces { hours, .. } | Self::Sum { hours, .. } => hours,
            Self::Bonus(_) => Hours::ZERO,
        }
    }

    /// Its straight-time pay, exactly.
    pub fn pay(self) -> Decimal {
        match self {
            Self::Hourly { hours, rate } => rate.times(hours),
            Self::Pieces { pieces, rate, .. } => rate.times(pieces),
            Self::Sum { pay, .. } | Self::Bonus(pay) => pay.decimal(),
        }
    }
}

/// Overtime hours, and pay for them as a multiple of the regular rate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Overtime {
    /// Hours.
    pub hours: Hours,
    /// Multiple: 1.5 is time and a half.
    pub multiple: Decimal,
}

impl Overtime {
    /// Time and a half for the hours over a week's threshold: 40 under 29 CFR 778.101; other laws set
    /// other numbers, some of them by the day.
    pub fn over(threshold: Hours, hours: Hours) -> Self {
        let over = hours.micros().saturating_sub(threshold.micros()).max(0);
        Self { hours: Exact::from_micros(over), multiple: Decimal::new(15, 1) }
    }
}

/// Why a week could not be reckoned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum NoWage {
    /// There is overtime, and no hours to spread the pay over.
    NoHours,
    /// More overtime than hours.
    TooMuchOvertime,
    /// An hourly entry has no wage and no rate holds on its day.
    NoRate,
    /// A product does not fit the range of money.
    TooLarge,
}

impl From<OutOfRange> for NoWage {
    fn from(_: OutOfRange) -> Self {
        Self::TooLarge
    }
}

/// Pay of a week. Straight time and premium sum to the total, to the cent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WeekPay {
    /// All hours.
    pub hours: Hours,
    /// Those over the threshold.
    pub overtime_hours: Hours,
    /// Pay without overtime.
    pub straight_time: Money,
    /// Straight time over all hours, to six places for showing; the total is not made from it. `None`
    /// without hours.
    pub regular_rate: Option<Rate>,
    /// What overtime adds.
    pub premium: Money,
    /// All of it, rounded once.
    pub total: Money,
}

/// A week of one worker, or of a crew whose people all worked the same hours.
///
/// # Errors
/// [`NoWage`] says what is lacking.
pub fn week(earnings: &[Earning], overtime: &[Overtime]) -> Result<WeekPay, NoWage> {
    let hours: Hours = earnings.iter().map(|earning| earning.hours()).sum();
    let overtime_hours: Hours = overtime.iter().map(|over| over.hours).sum();
    if overtime_hours > hours {
        return Err(if hours.is_zero() { NoWage::NoHours } else { NoWage::TooMuchOvertime });
    }
    let straight = total(earnings.iter().map(|earning| Some(earning.pay())))?;
    // One division, last, so that no third or seventh is cut off before it is multiplied.
    let extra = total(overtime.iter().map(|over| {
        let above = over.multiple.checked_sub(Decimal::ONE)?;
        above.checked_mul(over.hours.decimal())
    }))?;
    let exact = if extra.is_zero() { Some(straight) } else { with_premium(straight, extra, hours.decimal()) };
    let straight_time = Money::round(straight)?;
    let total = Money::round(exact.ok_or(NoWage::TooLarge)?)?;
    Ok(WeekPay {
        hours,
        overtime_hours,
        straight_time,
        regular_rate: Rate::spread(straight, hours.decimal()),
        premium: total.minus(straight_time),
        total,
    })
}

fn with_premium(straight: Decimal, extra: Decimal, hours: Decimal) -> Option<Decimal> {
    straight.checked_mul(hours.checked_add(extra)?)?.checked_div(hours)
}

fn total(mut parts: impl Iterator<Item = Option<Decimal>>) -> Result<Decimal, NoWage> {
    parts.try_fold(Decimal::ZERO, |sum, part| sum.checked_add(part?)).ok_or(NoWage::TooLarge)
}

/// Pay for rest time in a week of piece work: the higher of the minimum wage and the week's average
/// without rest time, for the hours of rest. `piece_pay` holds no overtime premium, `hours` holds the
/// rest time.
///
/// Source: California Labor Code 226.2(a)(3)(A). Elsewhere another rule or none may hold.
///
/// # Errors
/// [`NoWage::NoHours`] when nothing but rest is left.
pub fn rest_pay(piece_pay: Money, hours: Hours, rest: Hours, minimum: Rate) -> Result<Money, NoWage> {
    let worked = hours.decimal().checked_sub(rest.decimal()).filter(|worked| *worked > Decimal::ZERO);
    let worked = worked.ok_or(NoWage::NoHours)?;
    let product = piece_pay.decimal().checked_mul(rest.decimal()).ok_or(NoWage::TooLarge)?;
    let average = product.checked_div(worked).ok_or(NoWage::TooLarge)?;
    Ok(Money::round(average.max(minimum.times(rest)))?)
}

/// A labor entry and the block it was kept under.
#[derive(Debug, Clone, Copy)]
pub struct InBlock<'r> {
    /// The block's code.
    pub block: &'r str,
    /// The entry.
    pub kept: &'r Kept<LaborEntry>,
}

impl InBlock<'_> {
    /// What tells the crew again: its name, however spelt. A crew without a name is another in each block.
    fn same_crew(&self) -> String {
        let name = crew::key(&self.kept.record.crew);
        if name.is_empty() { format!("\u{0}{}", self.block) } else { name }
    }
}

fn people(entry: &LaborEntry) -> Option<u32> {
    entry.people.filter(|people| *people > 0)
}

/// Most people of one of the entries; `None` where an entry does not say.
fn most_people(entries: &[InBlock<'_>]) -> Option<u32> {
    let all: Option<Vec<u32>> = entries.iter().map(|entry| people(&entry.kept.record)).collect();
    all?.into_iter().max()
}

/// The blocks of some entries, each once, in natural order.
fn blocks_of(entries: &[InBlock<'_>]) -> Vec<String> {
    let mut blocks: Vec<String> = entries.iter().map(|entry| entry.block.to_owned()).collect();
    blocks.sort_by(|a, b| crate::size_classes::natural(a, b));
    blocks.dedup();
    blocks
}

fn references(entries: &[InBlock<'_>]) -> Vec<RecordRef> {
    let mut records: Vec<RecordRef> =
        entries.iter().map(|entry| RecordRef { kind: RecordKind::Labor, id: entry.kept.id }).collect();
    records.sort_unstable();
    records
}

/// How a crew's week is reckoned.
pub fn how() -> Vec<HowReckoned> {
    vec![HowReckoned {
        id: "crew-week",
        title: "A crew's week",
        formula: "Seven days from the one the operation's week begins on, over every block the crew worked in. All that \
                  was earned as straight time ÷ all hours of the week = regular rate, not rounded; each overtime hour \
                  brings (multiplier − 1) of it on top, and the total is rounded once. Overtime is what the entries call \
                  so, or the hours of each person above the operation's weekly limit × people, whichever is more. Pay \
                  without hours of its own (a bonus, a contract sum) is earned in the crew's hours of that week; where \
                  there are none, or a contract names no crew, the entry is left out and listed. All people of a crew are \
                  taken to have worked alike, the same of them on days when fewer came; a crew without a name, or \
                  without its number of people, is not looked at. An estimate beside the entries' own cost, which the statements go on using, \
                  and not a payroll: whether overtime is due for farm work is a matter of local law."
            .into(),
        source: "29 CFR 778.103, 778.104 (the workweek stands alone) and 778.110 to 778.115",
    }]
}

#[cfg(test)]
mod tests;
