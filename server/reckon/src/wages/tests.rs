//! Weeks of pay.

use super::*;
use crate::rates::Rates;
use crate::records::{LaborEntry, Loading, Pay, Task};
use crate::testing::{date, dec, kept, labor_entry};

fn hours(text: &str) -> Hours {
    Hours::new(dec(text)).unwrap()
}

fn rate<U>(text: &str) -> UnitPrice<U> {
    UnitPrice::round(dec(text)).unwrap()
}

#[test]
fn straight_time_and_premium_sum_to_the_total() {
    let earnings = [Earning::Sum { hours: hours("47"), pay: Money::from_cents(35_271) }];
    let pay = week(&earnings, &[Overtime::over(hours("40"), hours("47"))]).unwrap();
    // 352.71 x (47 + 3.5) / 47 = 378.975..., rounded once.
    assert_eq!(pay.total.cents(), 37_898);
    assert_eq!(pay.straight_time.plus(pay.premium), pay.total);
    assert_eq!(pay.regular_rate.unwrap().to_string(), "7.504468");
}

#[test]
fn a_week_under_the_threshold_has_no_overtime() {
    assert_eq!(Overtime::over(hours("40"), hours("38.5")).hours, Hours::ZERO);
    let pay = week(&[Earning::Bonus(Money::from_cents(5_000))], &[]).unwrap();
    assert_eq!((pay.total.cents(), pay.regular_rate), (5_000, None));
}

#[test]
fn what_cannot_be_reckoned_says_why() {
    let over = [Overtime { hours: hours("2"), multiple: dec("1.5") }];
    assert_eq!(week(&[Earning::Bonus(Money::from_cents(100))], &over), Err(NoWage::NoHours));
    let short = [Earning::Hourly { hours: hours("1"), rate: rate("10") }];
    assert_eq!(week(&short, &over), Err(NoWage::TooMuchOvertime));
    let huge = [Earning::Hourly { hours: Hours::from_micros(i64::MAX), rate: UnitPrice::from_micros(i64::MAX) }];
    assert_eq!(week(&huge, &[]), Err(NoWage::TooLarge));
    let rest = rest_pay(Money::from_cents(100), hours("1"), hours("1"), rate("10"));
    assert_eq!(rest, Err(NoWage::NoHours));
}

#[test]
fn rest_is_paid_no_less_than_the_minimum_wage() {
    let pay = rest_pay(Money::from_cents(20_000), hours("41"), hours("1"), rate("16.50")).unwrap();
    assert_eq!(pay.cents(), 1_650);
}

#[test]
fn a_crews_entries_of_one_week_are_reckoned_together() {
    let hourly = LaborEntry { crew: "Step".into(), date: date(5, 11), ..labor_entry(Task::Thin, "30", "15") };
    let piece = LaborEntry {
        date: date(5, 15),
        overtime_hours: hours("6"),
        pay: Pay::Piece { pieces: Exact::whole(160).unwrap(), rate: rate("2") },
        loading: Loading::FromRates,
        hours: Some(hours("16")),
        ..hourly.clone()
    };
    let next = LaborEntry { date: date(5, 18), ..hourly.clone() };
    let contract = LaborEntry { pay: Pay::Contract(Money::from_cents(90_000)), ..hourly.clone() };
    let weeks = crew_weeks(&kept([next, piece, contract, hourly]), Rates::new(&[]));
    assert_eq!(weeks.len(), 2);
    // 450 + 320 over 46 hours; six hours of half that rate on top: 770 x 49 / 46.
    assert_eq!(weeks[0].monday, date(5, 11));
    assert_eq!(weeks[0].pay.unwrap().total.cents(), 82_022);
    // By itself the piece work takes its own 16 hours: 450 + 320 x 19 / 16.
    assert_eq!(weeks[0].by_entry.unwrap().cents(), 83_000);
    assert_eq!(weeks[0].records.len(), 2);
    assert_eq!(weeks[1].pay.unwrap().total.cents(), 45_000);
}

#[test]
fn a_week_without_a_wage_says_so() {
    let entry = LaborEntry { pay: Pay::Hourly(None), ..labor_entry(Task::Thin, "8", "1") };
    let weeks = crew_weeks(&kept([entry]), Rates::new(&[]));
    assert_eq!((weeks[0].pay, weeks[0].by_entry), (Err(NoWage::NoRate), None));
}
