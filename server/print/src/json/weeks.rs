//! Weeks of crews as JSON: the estimate of overtime that the page of crews shows.

use reckon::money::Money;
use reckon::wages::{self, CrewWeek, CrewWeeks, LeftOut, WeekPay, WeekRule};
use serde_json::{Value, json};

use super::figure::{Writer, number};
use crate::words;

/// What the figures are, and what they are not.
const ESTIMATE: &str = "An estimate over this block's entries only, and not a payroll: a crew that also works elsewhere \
                        has more hours, and whether overtime is due is a matter of local law. Pay is before payroll costs \
                        and commission.";

/// Weeks of one block's crews, what was left out of them, and what to look at.
pub fn crew_weeks(found: &CrewWeeks, rule: WeekRule) -> Value {
    let w = Writer { records: true };
    json!({
        "estimate": ESTIMATE,
        "week_begins": wages::name(rule.begins),
        "overtime_above_hours": number(rule.threshold.as_f64()),
        "weeks": found.weeks.iter().map(|one| week(one, rule)).collect::<Value>(),
        "left_out": found.left_out.iter().map(left_out).collect::<Value>(),
        "gaps": wages::week_doubts(&found.weeks).iter().map(|one| super::gap(w, one)).collect::<Value>(),
        "how": wages::how().iter().map(super::how).collect::<Value>(),
    })
}

fn week(week: &CrewWeek, rule: WeekRule) -> Value {
    let pay = week.pay.ok();
    let money = |of: fn(&WeekPay) -> Money| pay.as_ref().map(|pay| of(pay).to_string());
    json!({
        "crew": week.crew,
        "first_day": week.first_day.to_string(),
        "last_day": rule.end_of(week.first_day).to_string(),
        "blocks": week.blocks,
        "people": week.people,
        "hours": pay.map(|pay| number(pay.hours.as_f64())),
        "hours_each": week.hours_each.map(|each| number(each.as_f64())),
        "hours_above": number(week.over.as_f64()),
        "hours_entered_as_overtime": number(week.entered.as_f64()),
        "overtime_hours": pay.map(|pay| number(pay.overtime_hours.as_f64())),
        "regular_rate_usd_per_hour": pay.and_then(|pay| pay.regular_rate).map(|rate| rate.to_string()),
        "straight_usd": money(|pay| pay.straight_time),
        "premium_usd": money(|pay| pay.premium),
        "total_usd": money(|pay| pay.total),
        "total_by_entry_usd": week.by_entry.map(|pay| pay.to_string()),
        "lacks": week.pay.err().map(words::no_wage),
        "records": Writer::names(&week.records),
    })
}

fn left_out(entry: &LeftOut) -> Value {
    json!({
        "crew": entry.crew,
        "block": entry.block,
        "date": entry.date.to_string(),
        "pay_usd": entry.pay.map(|pay| pay.to_string()),
        "why": entry.why.words(),
        "record": Writer::names(&[entry.record]),
    })
}
