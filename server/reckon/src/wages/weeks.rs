//! The labor entries of an operation as weeks of crews, whichever blocks they worked in.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::names::Names;
use super::{Earning, InBlock, LeftOut, NoWage, Overtime, WeekPay, WeekRule, WhyLeftOut, most_people};
use super::{people, references, total, week};
use crate::exact::Hours;
use crate::figure::RecordRef;
use crate::money::Money;
use crate::rates::Rates;
use crate::records::{LaborEntry, Pay};

/// Why a week's hours were not held against the limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotLooked {
    /// Entries that name no crew: nobody knows whether they are of the same people.
    NoCrew,
    /// An entry with hours that does not say how many people worked them.
    NoPeople,
    /// An entry by the hour without its hours.
    NoHours,
}

impl NotLooked {
    /// "people not said, not looked for".
    pub const fn words(self) -> &'static str {
        match self {
            Self::NoCrew => "no crew named, not looked for",
            Self::NoPeople => "people not said, not looked for",
            Self::NoHours => "hours not said, not looked for",
        }
    }
}

/// A crew's week, by the weekly rule, beside what its entries come to one by one.
#[derive(Debug, Clone, PartialEq)]
pub struct CrewWeek {
    /// Name of the crew; may be empty.
    pub crew: String,
    /// The week's first day.
    pub first_day: NaiveDate,
    /// The blocks it worked in, in natural order.
    pub blocks: Vec<String>,
    /// Most people on a day of it; `None` where an entry with hours does not say.
    pub people: Option<u32>,
    /// Hours of a person who came every day of it; `None` for a crew without a name, or without a count of people
    /// in every entry with hours.
    pub hours_each: Option<Hours>,
    /// Hours of all people above the weekly threshold, or why they were not looked for.
    pub over: Result<Hours, NotLooked>,
    /// Hours the entries call overtime.
    pub entered: Hours,
    /// Pay before payroll costs, by the weekly rule, with whichever overtime is more: entered or above
    /// the threshold. Where that was not looked at, with the overtime that was entered.
    pub pay: Result<WeekPay, NoWage>,
    /// The same entries each reckoned by itself, before payroll costs, as the blocks' labor costs have
    /// them; `None` where one of them has no cost.
    pub by_entry: Option<Money>,
    /// The entries.
    pub records: Vec<RecordRef>,
}

impl CrewWeek {
    /// Whether a week has more hours above the threshold than its entries call overtime.
    pub fn is_short(&self) -> bool {
        self.over.is_ok_and(|over| over > self.entered)
    }

    /// Its pay, where the hours above the threshold were looked at or overtime was entered: without either
    /// nobody knows whether there is a premium.
    pub fn with_premium(&self) -> Option<WeekPay> {
        self.pay.ok().filter(|_| self.over.is_ok() || !self.entered.is_zero())
    }
}

/// Weeks of crews, and the entries that stand in none of them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CrewWeeks {
    /// By first day, then crew.
    pub weeks: Vec<CrewWeek>,
    /// By day, then record.
    pub left_out: Vec<LeftOut>,
}

/// Weeks of each crew over all blocks. The entries must be everything the crew did in the week: those
/// of some farms give the week only when the crew worked nowhere else. All people of the crew are taken
/// to have worked alike, the same of them on days when fewer came, and a crew without a name is another crew in each block. Hours of a person
/// above the threshold are overtime, as 29 CFR 778.103 and 778.104 count it: by the workweek, each week
/// by itself, whatever the blocks. Pay without hours of its own (a bonus, a sum for a job) is earned in
/// the hours of the crew's week; without any, and for a contract that names no crew, the entry is left
/// out and listed. An estimate and not a payroll.
pub fn crew_weeks(entries: &[InBlock<'_>], rates: Rates<'_>, rule: WeekRule) -> CrewWeeks {
    let mut weeks: BTreeMap<(NaiveDate, String), Vec<InBlock<'_>>> = BTreeMap::new();
    let mut found = CrewWeeks::default();
    let names = Names::of(entries);
    for entry in entries {
        if matches!(entry.kept.record.pay, Pay::Contract(_)) && entry.kept.record.crew.trim().is_empty() {
            found.left_out.push(LeftOut::of(entry, WhyLeftOut::NoCrew, rates));
        } else {
            weeks.entry((rule.week_of(entry.kept.record.date), entry.same_crew())).or_default().push(*entry);
        }
    }
    for ((first_day, crew), mut own) in weeks {
        own.sort_by_key(|entry| (entry.kept.record.date, entry.kept.id));
        if own.iter().any(is_worked) {
            found.weeks.push(crew_week((first_day, names.name(&crew)), &own, rates, rule.threshold));
        } else {
            found.left_out.extend(own.iter().map(|entry| LeftOut::of(entry, WhyLeftOut::NoHours, rates)));
        }
    }
    found.left_out.sort_by_key(|entry| (entry.date, entry.record));
    found
}

/// Whether an entry is work with hours: an hour's wage always is, pieces and sums are where they say them.
fn is_worked(entry: &InBlock<'_>) -> bool {
    matches!(entry.kept.record.pay, Pay::Hourly(_)) || entry.kept.record.hours.is_some()
}

fn crew_week(
    (first_day, crew): (NaiveDate, &str),
    own: &[InBlock<'_>],
    rates: Rates<'_>,
    threshold: Hours,
) -> CrewWeek {
    let worked: Vec<InBlock<'_>> = own.iter().filter(|entry| is_worked(entry)).copied().collect();
    let people = most_people(&worked);
    let hours_each = hours_each(&worked).filter(|_| !crew.is_empty());
    let over = if crew.is_empty() { Err(NotLooked::NoCrew) } else { above(&worked, threshold) };
    let entered: Hours = own.iter().map(|entry| entry.kept.record.overtime_hours).sum();
    CrewWeek {
        crew: crew.to_owned(),
        first_day,
        blocks: super::blocks_of(own),
        people,
        hours_each,
        over,
        entered,
        pay: pay(own, rates, over.unwrap_or(Hours::ZERO)),
        by_entry: by_entry(own, rates),
        records: references(own),
    }
}

/// Hours of one person in all the entries; `None` where an entry does not tell them.
pub(super) fn hours_each(own: &[InBlock<'_>]) -> Option<Hours> {
    rounded(own.iter().map(|entry| each(&entry.kept.record)))
}

/// The sum of some hours, rounded once; `None` where one is not known.
fn rounded(hours: impl Iterator<Item = Option<Decimal>>) -> Option<Hours> {
    Hours::round(total(hours).ok()?).ok()
}

/// Hours of one person of an entry, not rounded: five days of 26 hours of three people are 130 hours.
fn each(entry: &LaborEntry) -> Option<Decimal> {
    // Hours of each are typed rounded: those of all people tell them better.
    let shared = || entry.hours?.decimal().checked_div(Decimal::from(people(entry)?));
    shared().or_else(|| entry.hours_each.map(Hours::decimal))
}

/// Hours above the threshold of each person, all added up. Where fewer came on some days they are taken
/// to be people of the other days: who they were no entry says. Nobody is above it where one who came
/// every day is not, however many they were.
fn above(worked: &[InBlock<'_>], threshold: Hours) -> Result<Hours, NotLooked> {
    let sizes: Option<BTreeSet<u32>> = worked.iter().map(|entry| people(&entry.kept.record)).collect();
    match (hours_each(worked), sizes) {
        (Some(each), _) if each <= threshold => Ok(Hours::ZERO),
        (_, None) => Err(NotLooked::NoPeople),
        (_, Some(sizes)) => of_sizes(worked, sizes, threshold).ok_or(NotLooked::NoHours),
    }
}

/// The same, from the smallest number of people that came on a day to the largest.
fn of_sizes(worked: &[InBlock<'_>], sizes: BTreeSet<u32>, threshold: Hours) -> Option<Hours> {
    let mut counted = 0;
    let over = sizes.into_iter().map(|size| {
        let with = worked.iter().filter(|entry| people(&entry.kept.record).is_some_and(|there| there >= size));
        let each = total(with.map(|entry| each(&entry.kept.record))).ok()?;
        let over = each.checked_sub(threshold.decimal())?.max(Decimal::ZERO);
        let more = size.saturating_sub(core::mem::replace(&mut counted, size));
        over.checked_mul(Decimal::from(more))
    });
    rounded(over)
}

fn pay(own: &[InBlock<'_>], rates: Rates<'_>, over: Hours) -> Result<WeekPay, NoWage> {
    let earnings: Result<Vec<Earning>, NoWage> = own.iter().map(|entry| earning(&entry.kept.record, rates)).collect();
    let mut overtime: Vec<Overtime> = own.iter().map(|entry| overtime(&entry.kept.record)).collect();
    let entered: Hours = overtime.iter().map(|entry| entry.hours).sum();
    overtime.push(Overtime::over(entered, over));
    week(&earnings?, &overtime)
}

pub(super) fn earning(entry: &LaborEntry, rates: Rates<'_>) -> Result<Earning, NoWage> {
    match entry.pay {
        Pay::Hourly(own) => {
            let rate = own.or_else(|| rates.wage(entry.task, entry.date)).ok_or(NoWage::NoRate)?;
            Ok(Earning::Hourly { hours: entry.hours.ok_or(NoWage::NoHours)?, rate })
        }
        Pay::Piece { pieces, rate } => Ok(Earning::Pieces { hours: entry.hours.unwrap_or(Hours::ZERO), pieces, rate }),
        Pay::Contract(pay) => Ok(Earning::Sum { hours: entry.hours.unwrap_or(Hours::ZERO), pay }),
    }
}

fn overtime(entry: &LaborEntry) -> Overtime {
    let multiple = entry.overtime_multiplier.and_then(|percent| percent.decimal().checked_div(Decimal::ONE_HUNDRED));
    Overtime { hours: entry.overtime_hours, multiple: multiple.unwrap_or_else(|| Decimal::new(15, 1)) }
}

/// Each entry as a week of its own.
fn by_entry(own: &[InBlock<'_>], rates: Rates<'_>) -> Option<Money> {
    own.iter().map(|entry| pay(&[*entry], rates, Hours::ZERO).ok().map(|pay| pay.total)).sum()
}
