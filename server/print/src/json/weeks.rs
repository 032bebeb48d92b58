//! Weeks of crews as JSON: the estimate of overtime that the page of crews shows.

use reckon::money::Money;
use reckon::wages::{self, CrewWeek, CrewWeeks, LeftOut, NotLooked, WeekPay, WeekRule};
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
    let (pay, whole) = (week.pay.ok(), week.with_premium());
    let money = |pay: Option<WeekPay>, of: fn(&WeekPay) -> Money| pay.as_ref().map(|pay| of(pay).to_string());
    let lacks: Vec<&str> =
        week.pay.err().map(words::no_wage).into_iter().chain(week.over.err().map(NotLooked::words)).collect();
    json!({
        "crew": week.crew,
        "first_day": week.first_day.to_string(),
        "last_day": rule.end_of(week.first_day).to_string(),
        "blocks": week.blocks,
        "people": week.people,
        "hours": pay.map(|pay| number(pay.hours.as_f64())),
        "hours_each": week.hours_each.map(|each| number(each.as_f64())),
        "hours_above": week.over.ok().map(|over| number(over.as_f64())),
        "hours_entered_as_overtime": number(week.entered.as_f64()),
        "overtime_hours": whole.map(|pay| number(pay.overtime_hours.as_f64())),
        "regular_rate_usd_per_hour": pay.and_then(|pay| pay.regular_rate).map(|rate| rate.to_string()),
        "straight_usd": money(pay, |pay| pay.straight_time),
        "premium_usd": money(whole, |pay| pay.premium),
        "total_usd": money(whole, |pay| pay.total),
        "total_by_entry_usd": week.by_entry.map(|pay| pay.to_string()),
        "lacks": (!lacks.is_empty()).then(|| lacks.join("; ")),
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

#[cfg(test)]
mod tests {
    use chrono::{NaiveDate, Weekday};
    use reckon::exact::Hours;
    use reckon::figure::{Kept, RecordId};
    use reckon::money::UnitPrice;
    use reckon::rates::Rates;
    use reckon::records::{LaborEntry, Loading, Pay, Task};
    use reckon::wages::InBlock;

    use super::*;

    fn printed(people: Option<u32>, overtime: i64) -> Value {
        let record = LaborEntry {
            date: NaiveDate::from_ymd_opt(2026, 5, 11).unwrap(),
            task: Task::Thin,
            method: None,
            pass: None,
            crew: "Step".to_owned(),
            people,
            hours: Some(Hours::whole(100).unwrap()),
            hours_each: None,
            overtime_hours: Hours::whole(overtime).unwrap(),
            overtime_multiplier: None,
            pay: Pay::Hourly(Some(UnitPrice::from_micros(15_000_000))),
            loading: Loading::FromRates,
            trees_done: None,
            rows_done: None,
            note: String::new(),
        };
        let kept = Kept { id: RecordId::Line(2), record };
        let rule = WeekRule { begins: Weekday::Mon, threshold: Hours::whole(40).unwrap() };
        let found = wages::crew_weeks(&[InBlock { block: "RB-1", kept: &kept }], Rates::new(&[]), rule);
        crew_weeks(&found, rule)["weeks"][0].clone()
    }

    #[test]
    fn a_week_that_was_not_looked_at_has_no_premium_of_nought() {
        let unsaid = printed(None, 0);
        for key in ["hours_above", "overtime_hours", "premium_usd", "total_usd"] {
            assert!(unsaid[key].is_null(), "{key}: {unsaid}");
        }
        assert_eq!(
            (&unsaid["straight_usd"], &unsaid["lacks"]),
            (&"1500.00".into(), &"people not said, not looked for".into())
        );
        let entered = printed(None, 4);
        assert_eq!((&entered["premium_usd"], entered["hours_above"].is_null()), (&"30.00".into(), true));
        let said = printed(Some(2), 0);
        assert_eq!((said["hours_above"].as_f64(), said["lacks"].is_null()), (Some(20.0), true));
    }
}
