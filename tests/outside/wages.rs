//! Weeks of pay against the examples of 29 CFR 778, and two published examples that round too early.

use reckon::exact::Hours;
use reckon::field_rules::FieldRules;
use reckon::money::{Money, UnitPrice, round_half_away};
use reckon::rates::Rates;
use reckon::wages::{Earning, InBlock, Overtime, WeekPay, crew_weeks, rest_pay, week};
use rust_decimal::Decimal;

use crate::fixture;
use crate::records::{dec, exact};

/// A number of an example, as it is printed.
fn at(example: &str, key: &str) -> Decimal {
    let table = fixture::toml("economics/wage_examples.toml");
    match &table[example][key] {
        toml::Value::Float(number) => dec(&number.to_string()),
        toml::Value::Integer(number) => Decimal::from(*number),
        other => panic!("{example}.{key} holds {other}"),
    }
}

fn money(exact: Decimal) -> Money {
    Money::round(exact).unwrap()
}

fn hours(exact: Decimal) -> Hours {
    Hours::new(exact).unwrap()
}

fn rate<U>(exact: Decimal) -> UnitPrice<U> {
    UnitPrice::round(exact).unwrap()
}

/// Time and a half over 40 hours: 29 CFR 778.101 and 778.110.
fn over_forty(all: Hours) -> [Overtime; 1] {
    [Overtime::over(exact("40"), all)]
}

/// A week at one rate, with or without a bonus.
fn hourly(example: &str, bonus: Option<&str>) -> WeekPay {
    let all = hours(at(example, "hours"));
    let mut earnings = vec![Earning::Hourly { hours: all, rate: rate(at(example, "hourly_rate")) }];
    earnings.extend(bonus.map(|key| Earning::Bonus(money(at(example, key)))));
    week(&earnings, &over_forty(all)).unwrap()
}

/// Piece work with waiting time at its own rate.
fn pieces() -> WeekPay {
    let example = "piecework_778_111_a";
    let productive =
        Earning::Sum { hours: hours(at(example, "productive_hours")), pay: money(at(example, "piece_earnings")) };
    let waiting =
        Earning::Hourly { hours: hours(at(example, "waiting_hours")), rate: rate(at(example, "waiting_rate")) };
    week(&[productive, waiting], &over_forty(hours(at(example, "hours_total")))).unwrap()
}

fn rest() -> Money {
    let example = "california_piece_rate_rest";
    let minutes = at(example, "rest_minutes") / Decimal::from(60);
    // 100 minutes are no whole number of millionths of an hour; the nearest is a third of a millionth off.
    let rest = Hours::round(minutes).unwrap();
    rest_pay(money(at(example, "piece_earnings")), hours(at(example, "hours_total")), rest, UnitPrice::ZERO).unwrap()
}

/// Dollars of an example by our rule, for the table of checks.
pub(crate) fn ours(example: &str) -> Option<Decimal> {
    let week = match example {
        "hourly" => hourly("hourly_overtime_778_110_a", None),
        "bonus" => hourly("hourly_plus_bonus_778_110_b", Some("production_bonus")),
        "pieces" => pieces(),
        "rounded-rate" => hourly("rounded_rate_trap", Some("bonus")),
        "day-rate" => day_rate(),
        "two-rates" => two_rates(),
        "rest" => return Some(rest().decimal()),
        entered => return entered.strip_prefix("entered-").and_then(|crew| entered_week(&crew.replace('-', " "))),
    };
    Some(week.total.decimal())
}

/// Dollars of the week of a crew, from entries of labor as a person would type them.
fn entered_week(crew: &str) -> Option<Decimal> {
    let files = ["block.toml", "labor.csv"].map(|name| {
        let path = fixture::path("economics/crew_weeks").join(name);
        (name.to_owned(), std::fs::read(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display())))
    });
    let records = intake::read_folder(&files.into()).unwrap_or_else(|problems| panic!("{problems:?}"));
    let block = &records.block.code;
    let entries: Vec<InBlock<'_>> = records.labor.iter().map(|kept| InBlock { block, kept }).collect();
    let found = crew_weeks(&entries, Rates::new(&records.rates), FieldRules::default().week());
    let week = found.weeks.iter().find(|week| week.crew == crew)?;
    Some(week.pay.unwrap_or_else(|why| panic!("{crew}: {why:?}")).total.decimal())
}

/// Source: 29 CFR 778.110(a) and (b) and 778.111(a), whose totals are printed; 778.112 and 778.115 are rules
/// without numbers: 500 + 10 x half of 10.00, 580 + 10 x half of 11.60, and the same at two rates.
#[test]
fn examples_entered_as_labor_come_to_the_same() {
    for (crew, total) in [
        ("hourly", "588.00"),
        ("bonus", "637.00"),
        ("pieces", "575.30"),
        ("job", "550.00"),
        ("day rate", "638.00"),
        ("two rates", "638.00"),
    ] {
        assert_eq!(entered_week(crew), Some(dec(total)), "{crew}");
    }
}

/// Source: 29 CFR 778.110(a), as amended 2011 (76 FR 18857).
#[test]
fn hourly_overtime() {
    let ours = hourly("hourly_overtime_778_110_a", None);
    let at = |key: &str| money(at("hourly_overtime_778_110_a", key));
    assert_eq!(ours.straight_time, at("straight_time"));
    assert_eq!(ours.premium, at("half_time_premium"));
    assert_eq!(ours.total, at("total"));
}

/// Source: 29 CFR 778.110(b), as amended 2011 (76 FR 18857).
#[test]
fn a_bonus_raises_the_regular_rate() {
    let ours = hourly("hourly_plus_bonus_778_110_b", Some("production_bonus"));
    let at = |key: &str| at("hourly_plus_bonus_778_110_b", key);
    assert_eq!(ours.straight_time, money(at("straight_time_plus_bonus")));
    assert_eq!(ours.regular_rate, Some(rate(at("regular_rate"))));
    assert_eq!(ours.total, money(at("total")));
}

/// Source: 29 CFR 778.111(a). The same as 40 hours at 10.46 and 10 at 15.69.
#[test]
fn piece_work_with_waiting_time() {
    let ours = pieces();
    let at = |key: &str| at("piecework_778_111_a", key);
    assert_eq!(ours.straight_time, money(at("straight_time")));
    assert_eq!(ours.regular_rate, Some(rate(at("regular_rate"))));
    assert_eq!(ours.overtime_hours, hours(at("overtime_hours")));
    assert_eq!(ours.premium, money(at("overtime_premium")));
    assert_eq!(ours.total, money(at("total")));
    assert_eq!(ours.total.decimal(), dec("10.46") * Decimal::from(40) + dec("15.69") * Decimal::from(10));
}

/// Five day rates in a week of 50 hours.
fn day_rate() -> WeekPay {
    let days = [("9", "110"), ("11", "110"), ("10", "125"), ("10", "110"), ("10", "125")];
    let earnings = days.map(|(worked, pay)| Earning::Sum { hours: exact(worked), pay: money(dec(pay)) });
    week(&earnings, &over_forty(exact("50"))).unwrap()
}

/// Source: 29 CFR 778.112, a rule without numbers: the sum of the day rates over all hours is the regular
/// rate, and half of it comes on top for each hour over 40. 580 / 50 = 11.60; 580 + 10 x 5.80.
#[test]
fn day_rates() {
    let ours = day_rate();
    assert_eq!(ours.regular_rate, Some(rate(dec("11.60"))));
    assert_eq!(ours.total, money(dec("638.00")));
}

/// 30 hours at 12 and 16 at 15.
fn two_rates() -> WeekPay {
    let earnings = [("30", "12"), ("16", "15")]
        .map(|(worked, each)| Earning::Hourly { hours: exact(worked), rate: rate(dec(each)) });
    week(&earnings, &over_forty(exact("46"))).unwrap()
}

/// Source: 29 CFR 778.115, a rule without numbers: the weighted average of the rates. 600 / 46 is
/// 13.0434..., and 600 + 6 x half of it is 639.13.
#[test]
fn two_rates_in_one_week() {
    let ours = two_rates();
    assert_eq!(ours.straight_time, money(dec("600")));
    assert_eq!(ours.total, money(dec("639.13")));
}

/// Source: a state municipal advisory service (Tennessee), page on hourly rate and bonus, after 29 CFR
/// 778.110(b). It rounds the rate to 7.67 and its half to 3.84 before it multiplies, and prints 375.86;
/// rounded once it is 375.70.
#[test]
fn the_example_that_rounds_its_rate_first() {
    let at = |key: &str| at("rounded_rate_trap", key);
    let ours = hourly("rounded_rate_trap", Some("bonus"));
    assert_eq!(ours.straight_time, money(at("straight_time_plus_bonus")));
    assert_eq!(ours.total, money(at("exact_total")));
    let rounded = round_half_away(ours.regular_rate.unwrap().decimal(), 2);
    let half = round_half_away(rounded / Decimal::TWO, 2);
    assert_eq!((rounded, half), (at("printed_regular_rate"), at("printed_half_time_rate")));
    let printed = rounded * ours.hours.decimal() + half * ours.overtime_hours.decimal();
    assert_eq!(printed, at("printed_total"), "how the page came to its total");
    assert_eq!(money(printed).minus(ours.total), money(dec("0.16")));
}

/// Source: California Labor Code 226.2(a)(3)(A) and the labor agency's example 1, read in a law firm's
/// reprint. It rounds 100 minutes to 1.67 hours and the rate to 13.04, and prints 21.78; rounded once
/// it is 21.74.
#[test]
fn the_rest_time_example_that_rounds_first() {
    let at = |key: &str| at("california_piece_rate_rest", key);
    assert_eq!(rest(), money(at("exact_rest_pay")));
    assert_eq!(rest().plus(money(at("piece_earnings"))), money(at("exact_total")));
    let printed_hours = round_half_away(at("rest_minutes") / Decimal::from(60), 2);
    assert_eq!(printed_hours, at("printed_rest_hours"));
    let worked = at("hours_total") - printed_hours;
    assert_eq!(worked, at("printed_working_hours"));
    let average = round_half_away(at("piece_earnings") / worked, 2);
    assert_eq!(average, at("printed_average_rate"));
    assert_eq!(money(average * printed_hours), money(at("printed_rest_pay")));
    assert_eq!(at("piece_earnings") + round_half_away(average * printed_hours, 2), at("printed_total"));
}
