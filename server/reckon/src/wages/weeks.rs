//! The labor entries of an operation as weeks of crews, whichever blocks they worked in.

use std::collections::BTreeMap;

use chrono::{Datelike, Days, NaiveDate};
use rust_decimal::Decimal;

use super::{Earning, InBlock, NoWage, Overtime, WeekPay, crew_of, most_people, references, week};
use crate::exact::Hours;
use crate::figure::RecordRef;
use crate::money::Money;
use crate::rates::Rates;
use crate::records::{LaborEntry, Pay};

/// A crew's week, by the weekly rule, beside what its entries come to one by one.
#[derive(Debug, Clone, PartialEq)]
pub struct CrewWeek {
    /// Name of the crew; may be empty.
    pub crew: String,
    /// The week's Monday.
    pub monday: NaiveDate,
    /// The blocks it worked in, in natural order.
    pub blocks: Vec<String>,
    /// Most people on a day of it; `None` where an entry does not say.
    pub people: Option<u32>,
    /// Hours of each person in the week; `None` for a crew without a name, or without a count of people
    /// or hours in every entry.
    pub hours_each: Option<Hours>,
    /// Hours of all people above the weekly threshold.
    pub over: Hours,
    /// Hours the entries call overtime.
    pub entered: Hours,
    /// Pay before payroll costs, by the weekly rule, with whichever overtime is more: entered or above
    /// the threshold.
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
        self.over > self.entered
    }
}

/// Weeks, Monday to Sunday, of each crew over all blocks; contract sums are the contractor's own affair
/// and are left out. The entries must be everything the crew did in the week: those of some farms give
/// the week only when the crew worked nowhere else. All people of the crew are taken to have worked
/// alike, and a crew without a name is another crew in each block. Hours of a person above `threshold`
/// are overtime, as 29 CFR 778.103 and 778.104 count it: by the workweek, each week by itself, whatever
/// the blocks. An estimate and not a payroll.
pub fn crew_weeks(entries: &[InBlock<'_>], rates: Rates<'_>, threshold: Hours) -> Vec<CrewWeek> {
    let mut weeks: BTreeMap<(NaiveDate, String), Vec<InBlock<'_>>> = BTreeMap::new();
    for entry in entries.iter().filter(|entry| !matches!(entry.kept.record.pay, Pay::Contract(_))) {
        weeks.entry((monday(entry.kept.record.date), entry.same_crew())).or_default().push(*entry);
    }
    weeks
        .into_iter()
        .map(|((monday, _), mut own)| {
            own.sort_by_key(|entry| (entry.kept.record.date, entry.kept.id));
            crew_week(monday, &own, rates, threshold)
        })
        .collect()
}

/// The Monday on or before a day.
pub fn monday(day: NaiveDate) -> NaiveDate {
    let back = u64::from(day.weekday().num_days_from_monday());
    day.checked_sub_days(Days::new(back)).unwrap_or(day)
}

fn crew_week(monday: NaiveDate, own: &[InBlock<'_>], rates: Rates<'_>, threshold: Hours) -> CrewWeek {
    let crew = crew_of(own).unwrap_or_default().to_owned();
    let people = most_people(own);
    let hours_each = hours_each(own).filter(|_| !crew.is_empty());
    let over = hours_each.zip(people).map_or(Hours::ZERO, |(each, people)| above(each, threshold, people));
    let entered: Hours = own.iter().map(|entry| entry.kept.record.overtime_hours).sum();
    CrewWeek {
        crew,
        monday,
        blocks: super::blocks_of(own),
        people,
        hours_each,
        over,
        entered,
        pay: pay(own, rates, over),
        by_entry: by_entry(own, rates),
        records: references(own),
    }
}

/// Hours of one person in all the entries; `None` where an entry does not tell them.
pub(super) fn hours_each(own: &[InBlock<'_>]) -> Option<Hours> {
    own.iter().map(|entry| each(&entry.kept.record)).sum()
}

/// Hours of one person of an entry.
fn each(entry: &LaborEntry) -> Option<Hours> {
    let shared = || {
        let people = Decimal::from(entry.people.filter(|people| *people > 0)?);
        Hours::round(entry.hours?.decimal().checked_div(people)?).ok()
    };
    entry.hours_each.or_else(shared)
}

fn above(each: Hours, threshold: Hours, people: u32) -> Hours {
    let over = each.micros().saturating_sub(threshold.micros()).max(0);
    Hours::from_micros(over.saturating_mul(i64::from(people)))
}

fn pay(own: &[InBlock<'_>], rates: Rates<'_>, over: Hours) -> Result<WeekPay, NoWage> {
    let earnings: Result<Vec<Earning>, NoWage> = own.iter().map(|entry| earning(&entry.kept.record, rates)).collect();
    let mut overtime: Vec<Overtime> = own.iter().map(|entry| overtime(&entry.kept.record)).collect();
    let entered: Hours = overtime.iter().map(|entry| entry.hours).sum();
    overtime.push(Overtime::over(entered, over));
    week(&earnings?, &overtime)
}

fn earning(entry: &LaborEntry, rates: Rates<'_>) -> Result<Earning, NoWage> {
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
