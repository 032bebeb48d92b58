//! The labor entries of a block as weeks of crews.

use std::collections::BTreeMap;

use chrono::{Datelike, Days, NaiveDate};
use rust_decimal::Decimal;

use super::{Earning, NoWage, Overtime, WeekPay, week};
use crate::exact::Hours;
use crate::figure::{Kept, RecordKind, RecordRef};
use crate::money::Money;
use crate::rates::Rates;
use crate::records::{LaborEntry, Pay};

/// A crew's week in one block, by the weekly rule, beside what its entries come to one by one.
#[derive(Debug, Clone, PartialEq)]
pub struct CrewWeek {
    /// Name of the crew; may be empty.
    pub crew: String,
    /// The week's Monday.
    pub monday: NaiveDate,
    /// Pay before payroll costs, by the weekly rule.
    pub pay: Result<WeekPay, NoWage>,
    /// The same entries each reckoned by itself, before payroll costs, as the block's labor cost has
    /// them; `None` where one of them has no cost.
    pub by_entry: Option<Money>,
    /// The entries.
    pub records: Vec<RecordRef>,
}

/// Weeks, Monday to Sunday, of each crew's entries; contract sums are the contractor's own affair and
/// are left out. The entries must be everything the crew did in the week: those of one block give the
/// week only when the crew worked nowhere else. All people of the crew are taken to have worked alike.
/// An estimate and not a payroll.
pub fn crew_weeks(entries: &[Kept<LaborEntry>], rates: Rates<'_>) -> Vec<CrewWeek> {
    let mut weeks: BTreeMap<(NaiveDate, String), Vec<&Kept<LaborEntry>>> = BTreeMap::new();
    for kept in entries.iter().filter(|kept| !matches!(kept.record.pay, Pay::Contract(_))) {
        let crew = kept.record.crew.trim().to_owned();
        weeks.entry((monday(kept.record.date), crew)).or_default().push(kept);
    }
    weeks.into_iter().map(|((monday, crew), own)| crew_week(crew, monday, &own, rates)).collect()
}

fn monday(day: NaiveDate) -> NaiveDate {
    let back = u64::from(day.weekday().num_days_from_monday());
    day.checked_sub_days(Days::new(back)).unwrap_or(day)
}

fn crew_week(crew: String, monday: NaiveDate, own: &[&Kept<LaborEntry>], rates: Rates<'_>) -> CrewWeek {
    let mut records: Vec<RecordRef> =
        own.iter().map(|kept| RecordRef { kind: RecordKind::Labor, id: kept.id }).collect();
    records.sort_unstable();
    CrewWeek { crew, monday, pay: pay(own, rates), by_entry: by_entry(own, rates), records }
}

fn pay(own: &[&Kept<LaborEntry>], rates: Rates<'_>) -> Result<WeekPay, NoWage> {
    let earnings: Result<Vec<Earning>, NoWage> = own.iter().map(|kept| earning(&kept.record, rates)).collect();
    let overtime: Vec<Overtime> = own.iter().map(|kept| overtime(&kept.record)).collect();
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
fn by_entry(own: &[&Kept<LaborEntry>], rates: Rates<'_>) -> Option<Money> {
    own.iter().map(|kept| pay(&[kept], rates).ok().map(|pay| pay.total)).sum()
}
