//! Entries that stand in no week of a crew, and weeks whose overtime was reckoned entry by entry.

use chrono::NaiveDate;

use super::weeks::earning;
use super::{CrewWeek, InBlock};
use crate::figure::{Gap, GapAbout, RecordKind, RecordRef};
use crate::money::Money;
use crate::rates::Rates;
use crate::say;

/// Why an entry stands in no week.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhyLeftOut {
    /// A contract sum that names no crew: nobody knows whose week it belongs to.
    NoCrew,
    /// Pay without hours, of a crew that has none in the week: no regular rate comes of it.
    NoHours,
}

impl WhyLeftOut {
    /// "a contract sum that names no crew".
    pub const fn words(self) -> &'static str {
        match self {
            Self::NoCrew => "a contract sum that names no crew",
            Self::NoHours => "pay without hours, in a week for which the crew has none",
        }
    }
}

/// An entry that stands in no week.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOut {
    /// Name of the crew; may be empty.
    pub crew: String,
    /// The block's code.
    pub block: String,
    /// Its day.
    pub date: NaiveDate,
    /// Its pay before payroll costs and commission; `None` where that cannot be reckoned.
    pub pay: Option<Money>,
    /// Why.
    pub why: WhyLeftOut,
    /// The entry.
    pub record: RecordRef,
}

impl LeftOut {
    pub(super) fn of(entry: &InBlock<'_>, why: WhyLeftOut, rates: Rates<'_>) -> Self {
        let record = &entry.kept.record;
        Self {
            crew: record.crew.trim().to_owned(),
            block: entry.block.to_owned(),
            date: record.date,
            pay: earning(record, rates).ok().and_then(|earning| Money::round(earning.pay()).ok()),
            why,
            record: RecordRef { kind: RecordKind::Labor, id: entry.kept.id },
        }
    }
}

/// Asks about weeks whose overtime was typed entry by entry and comes to something else by the week: at
/// two rates, or by pieces and by the hour, the regular rate is that of the whole week (29 CFR 778.111,
/// 778.115). Weeks with hours above the limit that nobody called overtime are told elsewhere
/// ([`CrewWeek::is_short`]).
pub fn week_doubts(weeks: &[CrewWeek]) -> Vec<Gap> {
    weeks.iter().filter(|week| !week.entered.is_zero() && !week.is_short()).filter_map(doubt).collect()
}

fn doubt(week: &CrewWeek) -> Option<Gap> {
    let (by_entry, by_week) = (week.by_entry?, week.pay.ok()?.total);
    // Each entry is rounded by itself: a cent for each is no other rule.
    let rounding = i64::try_from(week.records.len()).ok()?;
    (by_entry.minus(by_week).cents().abs() > rounding).then(|| {
        let crew =
            if week.crew.is_empty() { "A crew without a name".to_owned() } else { format!("The crew {}", week.crew) };
        let what = format!(
            "{crew}, week of {}: with the overtime of each entry at its own pay the week comes to {} dollars, by the \
             week's regular rate to {}. Which of the two is owed?",
            say::day(week.first_day),
            say::dollars(by_entry),
            say::dollars(by_week),
        );
        let mend = "Nothing here changes by it: the cost of the entries stays. Local law says how overtime is paid.";
        say::worth_a_look(GapAbout::Labor, what, mend, week.records.clone())
    })
}
