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
    found(entries).weeks
}

fn found(entries: Vec<LaborEntry>) -> CrewWeeks {
    crew_weeks(&in_block("RB-1", &kept(entries)), Rates::new(&[]), forty())
}

/// From Monday, above 40 hours.
fn forty() -> WeekRule {
    WeekRule { begins: chrono::Weekday::Mon, threshold: hours("40") }
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
    let contract = LaborEntry { crew: String::new(), pay: Pay::Contract(Money::from_cents(90_000)), ..hourly.clone() };
    let weeks = weeks(vec![next, piece, contract, hourly]);
    assert_eq!(weeks.len(), 2);
    // 450 + 320 over 46 hours; six hours of half that rate on top: 770 x 49 / 46.
    assert_eq!(weeks[0].first_day, date(5, 11));
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
    let found = crew_weeks(&entries, Rates::new(&[]), forty()).weeks;
    assert_eq!(found.len(), 2);
    let week = &found[0];
    assert_eq!((week.blocks.join(" "), week.people, week.hours_each), ("RB-1 UD-2".into(), Some(2), Some(hours("46"))));
    assert_eq!((week.over, week.entered), (Ok(hours("12")), Hours::ZERO));
    // 92 h at 15, and half of 15 for each of 12.
    assert_eq!(week.pay.unwrap().total.cents(), 138_000 + 9_000);
    assert_eq!(week.by_entry.unwrap().cents(), 138_000, "no entry by itself has overtime");
    assert!(week.is_short());
    assert_eq!((found[1].over, found[1].is_short()), (Ok(Hours::ZERO), false));
    let apart = [in_block("RB-1", &first), in_block("UD-2", &second[1..])].concat();
    assert!(crew_weeks(&apart, Rates::new(&[]), forty()).weeks.iter().all(|week| week.over == Ok(Hours::ZERO)));
    let turned: Vec<InBlock<'_>> = entries.iter().rev().copied().collect();
    assert_eq!(crew_weeks(&turned, Rates::new(&[]), forty()).weeks, found);
}

#[test]
fn overtime_that_was_entered_is_not_counted_twice() {
    let all = LaborEntry { overtime_hours: hours("12"), ..step(11, 2, "92") };
    let week = weeks(vec![all.clone()]).remove(0);
    assert_eq!((week.over, week.pay.unwrap().overtime_hours), (Ok(hours("12")), hours("12")));
    assert!(!week.is_short());
    let more = LaborEntry { overtime_hours: hours("20"), ..all };
    assert_eq!(weeks(vec![more]).remove(0).pay.unwrap().overtime_hours, hours("20"));
}

#[test]
fn crews_without_a_name_or_a_count_of_people_are_not_judged() {
    let nameless = LaborEntry { crew: " ".into(), ..step(11, 2, "120") };
    let week = weeks(vec![nameless]).remove(0);
    assert_eq!((week.hours_each, week.over, week.with_premium()), (None, Err(NotLooked::NoCrew), None));
    let uncounted = LaborEntry { people: None, ..step(11, 2, "120") };
    let week = weeks(vec![uncounted.clone(), step(12, 2, "16")]).remove(0);
    assert_eq!((week.over, week.with_premium(), week.is_short()), (Err(NotLooked::NoPeople), None, false));
    assert!(week.pay.is_ok(), "straight pay is known all the same");
    // What was entered as overtime has its premium; hours each that are few need no people.
    let entered = LaborEntry { overtime_hours: hours("4"), ..uncounted.clone() };
    assert_eq!(weeks(vec![entered]).remove(0).with_premium().unwrap().overtime_hours, hours("4"));
    let few = LaborEntry { hours_each: Some(hours("40")), ..uncounted.clone() };
    assert_eq!(weeks(vec![few]).remove(0).over, Ok(Hours::ZERO));
    let many = LaborEntry { hours_each: Some(hours("60")), ..uncounted };
    assert_eq!(weeks(vec![many]).remove(0).over, Err(NotLooked::NoPeople));
    let untimed = LaborEntry { hours: None, ..step(11, 2, "1") };
    assert_eq!(weeks(vec![untimed]).remove(0).over, Err(NotLooked::NoHours));
    // The same crew in another spelling is the same crew.
    let spelt = LaborEntry { crew: "Cuadrilla STEP ".into(), ..step(12, 2, "50") };
    assert_eq!(weeks(vec![step(11, 2, "50"), spelt])[0].hours_each, Some(hours("50")));
}

/// Pay of one person's hours on days of one week; the week's dollars.
fn paid(worked: &[(u32, &str)]) -> Vec<LaborEntry> {
    let day = |(day, worked): &(u32, &str)| LaborEntry { pay: Pay::Hourly(Some(rate("12"))), ..step(*day, 1, worked) };
    worked.iter().map(day).collect()
}

fn cents(week: &CrewWeek) -> (i64, i64, i64) {
    let pay = week.pay.unwrap();
    (pay.straight_time.cents(), pay.premium.cents(), pay.total.cents())
}

/// 29 CFR 778.110(b): 46 hours at 12.00 and a bonus of 46.00 are 637.00, however the bonus was typed.
#[test]
fn pay_without_hours_belongs_to_the_weeks_hours() {
    let days = paid(&[(11, "10"), (12, "10"), (13, "10"), (14, "10"), (15, "6")]);
    let bare = LaborEntry { hours: None, people: None, ..step(13, 1, "1") };
    let sum = LaborEntry { pay: Pay::Contract(Money::from_cents(4_600)), ..bare.clone() };
    let pieces = LaborEntry { pay: Pay::Piece { pieces: Exact::whole(46).unwrap(), rate: rate("1") }, ..bare };
    for bonus in [sum.clone(), pieces] {
        let found = found([days.clone(), vec![bonus]].concat());
        assert_eq!((found.weeks.len(), found.left_out.len()), (1, 0));
        assert_eq!(cents(&found.weeks[0]), (59_800, 3_900, 63_700));
        assert_eq!((found.weeks[0].people, found.weeks[0].over), (Some(1), Ok(hours("6"))));
        assert_eq!(found.weeks[0].pay.unwrap().regular_rate, Some(rate("13")));
    }
    // Alone in its week, or without a crew, it is told and stands nowhere.
    let later = LaborEntry { date: date(5, 20), ..sum.clone() };
    let unnamed = LaborEntry { crew: " ".into(), ..sum };
    let found = found([days, vec![later, unnamed]].concat());
    assert_eq!(cents(&found.weeks[0]), (55_200, 3_600, 58_800));
    let said: Vec<_> = found.left_out.iter().map(|entry| (entry.date, entry.why, entry.pay)).collect();
    let pay = Some(Money::from_cents(4_600));
    assert_eq!(said, [(date(5, 13), WhyLeftOut::NoCrew, pay), (date(5, 20), WhyLeftOut::NoHours, pay)]);
}

#[test]
fn a_week_runs_from_the_day_that_was_set() {
    // 15 May 2026 is a Friday.
    let entries = kept(paid(&[(12, "16"), (13, "16"), (15, "16"), (16, "16")]));
    let over = |begins| {
        let rule = WeekRule { begins, threshold: hours("40") };
        let weeks = crew_weeks(&in_block("RB-1", &entries), Rates::new(&[]), rule).weeks;
        weeks.iter().map(|week| (week.first_day, week.over)).collect::<Vec<_>>()
    };
    assert_eq!(over(chrono::Weekday::Mon), [(date(5, 11), Ok(hours("24")))]);
    assert_eq!(over(chrono::Weekday::Fri), [(date(5, 8), Ok(Hours::ZERO)), (date(5, 15), Ok(Hours::ZERO))]);
}

/// 29 CFR 778.115: at two rates the overtime is half of the average, not of the rate it was typed at.
#[test]
fn overtime_typed_entry_by_entry_is_held_against_the_week() {
    let low = LaborEntry { pay: Pay::Hourly(Some(rate("12"))), ..step(11, 2, "30") };
    let high = |overtime: &str| LaborEntry { overtime_hours: hours(overtime), ..step(14, 2, "16") };
    let said = |entries| week_doubts(&weeks(entries)).into_iter().map(|gap| gap.what).collect::<Vec<_>>();
    // 360 + 240 over 46 hours: 6 x half of it is 39.13, and half of 15 is 45.00.
    assert_eq!(
        said(vec![low.clone(), high("6")]),
        [
            "The crew Step, week of 11 May: with the overtime of each entry at its own pay the week comes to 645.00 dollars, \
             by the week's regular rate to 639.13. Which of the two is owed?"
        ]
    );
    assert!(said(vec![low, high("0")]).is_empty(), "no overtime was typed");
    let same = LaborEntry { overtime_hours: hours("3.333333"), ..step(11, 2, "33.333333") };
    assert!(said(vec![same, high("6")]).is_empty(), "one rate: only rounding is between them");
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

#[test]
fn days_on_which_fewer_came_make_no_overtime_for_those_who_did_not() {
    let mut days: Vec<LaborEntry> = (11..15).map(|day| step(day, 12, "120")).collect();
    days.push(step(15, 2, "20"));
    let week = weeks(days).remove(0);
    // Two people have 50 hours, ten have 40.
    assert_eq!((week.over, week.hours_each, week.people), (Ok(hours("20")), Some(hours("50")), Some(12)));
    // 500 h at 15.00, and half of it for 20 h.
    assert_eq!(week.pay.unwrap().total.cents(), 765_000);
}

/// 26 hours of three people are 8.666... each: five such days are ten hours above 40 and not ten and a few
/// millionths.
#[test]
fn hours_of_each_are_not_rounded_day_by_day() {
    let week = weeks((11..16).map(|day| step(day, 3, "26")).collect()).remove(0);
    assert_eq!((week.over, week.hours_each), (Ok(hours("10")), Some(hours("43.333333"))));
    // 130 h at 15.00, and half of it for ten.
    assert_eq!(cents(&week), (195_000, 7_500, 202_500));
}

/// Over all weeks, and by the alphabet where two are used alike.
#[test]
fn a_crew_bears_the_name_it_is_given_most_often() {
    let spelt = |day, crew: &str| LaborEntry { crew: crew.into(), ..step(day, 2, "8") };
    let names = |entries: Vec<LaborEntry>| weeks(entries).into_iter().map(|week| week.crew).collect::<Vec<_>>();
    let often = vec![spelt(11, "STEP"), spelt(18, " Step"), spelt(19, "Step "), spelt(20, "step")];
    assert_eq!(names(often), ["Step", "Step"]);
    assert_eq!(names(vec![spelt(11, "Step"), spelt(12, "STEP")]), ["STEP"]);
    let said = day_says(&[
        ("RB-1", spelt(11, "STEP")),
        ("RB-1", spelt(12, "Step")),
        ("UD-2", LaborEntry { hours: Some(hours("60")), ..spelt(13, "Step") }),
    ]);
    assert!(said[0].starts_with("The crew Step, "), "{said:?}");
}
