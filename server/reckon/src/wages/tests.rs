//! Weeks of pay.

use super::*;
use crate::figure::Kept;
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

fn in_block<'r>(block: &'r str, entries: &'r [Kept<LaborEntry>]) -> Vec<InBlock<'r>> {
    entries.iter().map(|kept| InBlock { block, kept }).collect()
}

fn weeks(entries: Vec<LaborEntry>) -> Vec<CrewWeek> {
    crew_weeks(&in_block("RB-1", &kept(entries)), Rates::new(&[]), hours("40"))
}

fn step(day: u32, people: u32, worked: &str) -> LaborEntry {
    LaborEntry {
        crew: "Step".into(),
        people: Some(people),
        date: date(5, day),
        ..labor_entry(Task::Thin, worked, "15")
    }
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
    let weeks = weeks(vec![next, piece, contract, hourly]);
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
    let weeks = weeks(vec![entry]);
    assert_eq!((weeks[0].pay, weeks[0].by_entry), (Err(NoWage::NoRate), None));
}

/// 29 CFR 778.103: the workweek is the unit, whichever blocks it was worked in. Two people, 30 hours
/// each in one block and 16 in another: 46 each, 12 of them above 40 together.
#[test]
fn overtime_is_seen_across_blocks_and_never_across_weeks() {
    let (first, second) = (kept([step(11, 2, "60")]), kept([step(14, 2, "32"), step(18, 2, "32")]));
    let entries = [in_block("RB-1", &first), in_block("UD-2", &second)].concat();
    let found = crew_weeks(&entries, Rates::new(&[]), hours("40"));
    assert_eq!(found.len(), 2);
    let week = &found[0];
    assert_eq!((week.blocks.join(" "), week.people, week.hours_each), ("RB-1 UD-2".into(), Some(2), Some(hours("46"))));
    assert_eq!((week.over, week.entered), (hours("12"), Hours::ZERO));
    // 92 h at 15, and half of 15 for each of 12.
    assert_eq!(week.pay.unwrap().total.cents(), 138_000 + 9_000);
    assert_eq!(week.by_entry.unwrap().cents(), 138_000, "no entry by itself has overtime");
    assert!(week.is_short());
    assert_eq!((found[1].over, found[1].is_short()), (Hours::ZERO, false));
    let apart = [in_block("RB-1", &first), in_block("UD-2", &second[1..])].concat();
    assert!(crew_weeks(&apart, Rates::new(&[]), hours("40")).iter().all(|week| week.over.is_zero()));
    let turned: Vec<InBlock<'_>> = entries.iter().rev().copied().collect();
    assert_eq!(crew_weeks(&turned, Rates::new(&[]), hours("40")).len(), 2);
}

#[test]
fn overtime_that_was_entered_is_not_counted_twice() {
    let all = LaborEntry { overtime_hours: hours("12"), ..step(11, 2, "92") };
    let week = weeks(vec![all.clone()]).remove(0);
    assert_eq!((week.over, week.pay.unwrap().overtime_hours), (hours("12"), hours("12")));
    assert!(!week.is_short());
    let more = LaborEntry { overtime_hours: hours("20"), ..all };
    assert_eq!(weeks(vec![more]).remove(0).pay.unwrap().overtime_hours, hours("20"));
}

#[test]
fn crews_without_a_name_or_a_count_of_people_are_not_judged() {
    let nameless = LaborEntry { crew: " ".into(), ..step(11, 2, "120") };
    assert_eq!((weeks(vec![nameless.clone()])[0].hours_each, weeks(vec![nameless])[0].over), (None, Hours::ZERO));
    let uncounted = LaborEntry { people: None, ..step(11, 2, "120") };
    assert!(weeks(vec![uncounted, step(12, 2, "16")])[0].over.is_zero());
    // The same crew in another spelling is the same crew.
    let spelt = LaborEntry { crew: "STEP ".into(), ..step(12, 2, "50") };
    assert_eq!(weeks(vec![step(11, 2, "50"), spelt])[0].hours_each, Some(hours("50")));
}

fn day_says(of: &[(&str, LaborEntry)]) -> Vec<String> {
    let kept: Vec<(&str, Kept<LaborEntry>)> = of
        .iter()
        .zip(kept(of.iter().map(|(_, entry)| entry.clone())))
        .map(|((block, _), kept)| (*block, kept))
        .collect();
    let entries: Vec<InBlock<'_>> = kept.iter().map(|(block, kept)| InBlock { block, kept }).collect();
    let found = day_doubts(&entries);
    assert_eq!(found, day_doubts(&entries.into_iter().rev().collect::<Vec<_>>()));
    found.into_iter().map(|gap| gap.what).collect()
}

#[test]
fn a_day_of_two_blocks_is_one_day_of_the_same_people() {
    assert_eq!(
        day_says(&[("RB-1", step(11, 2, "30")), ("UD-2", step(11, 2, "20"))]),
        ["The crew Step, 2 people, has 50 h on 11 May in RB-1 and UD-2: more than 24 h each. Is the number of people \
             wrong, or the hours?"]
    );
    assert!(day_says(&[("RB-1", step(11, 2, "30")), ("UD-2", step(12, 2, "20"))]).is_empty());
    let other = LaborEntry { crew: "Ditch".into(), ..step(11, 2, "20") };
    assert!(day_says(&[("RB-1", step(11, 2, "30")), ("UD-2", other)]).is_empty());
    assert!(day_says(&[("RB-1", LaborEntry { people: None, ..step(11, 2, "90") })]).is_empty());
}

#[test]
fn the_same_day_under_two_blocks_is_asked_about_only_when_it_is_too_long() {
    assert_eq!(
        day_says(&[("RB-1", step(11, 2, "16")), ("UD-2", step(11, 2, "16"))]),
        [
            "The crew Step has the same 16 h on 11 May in RB-1 and UD-2, 16 h each in all. Was one day sent twice, under two \
             blocks?"
        ]
    );
    // Half a day here and half a day there.
    assert!(day_says(&[("RB-1", step(11, 2, "8")), ("UD-2", step(11, 2, "8"))]).is_empty());
    assert!(day_says(&[("RB-1", step(11, 2, "18")), ("UD-2", step(11, 2, "16"))]).is_empty());
}
