//! Days: `2026-05-14` and nothing else, since 5/6/2026 is two different days to two people.

use chrono::{Datelike, NaiveDate};
use reckon::block::{MonthDay, Season};

/// First and last year taken.
const YEARS: core::ops::RangeInclusive<i32> = 1900..=2200;

/// How a day stands to the season.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum DateRule {
    /// It must fall in it.
    InSeason,
    /// It may come before: what holds from a day on, and mulch that lies for years.
    NotAfterSeason,
    /// Any day.
    Any,
}

/// Reads a day, or says what was expected.
pub(crate) fn read(text: &str, season: Option<&Season>, rule: DateRule) -> Result<NaiveDate, String> {
    let date = iso(text).ok_or_else(|| expected(text))?;
    let far = !YEARS.contains(&date.year());
    let Some(season) = season else {
        let (first, last) = (YEARS.start(), YEARS.end());
        let expected = || format!("a day as year-month-day, of a year from {first} to {last}");
        return if far { Err(expected()) } else { Ok(date) };
    };
    let held = match rule {
        DateRule::InSeason => season.holds(date),
        DateRule::NotAfterSeason => date <= season.last_day && !far,
        DateRule::Any => !far,
    };
    match rule {
        _ if held => Ok(date),
        DateRule::NotAfterSeason => Err(format!("a day up to {}, the last of season {}", season.last_day, season.year)),
        _ => Err(format!("a day of season {}, {} to {}", season.year, season.first_day, season.last_day)),
    }
}

fn iso(text: &str) -> Option<NaiveDate> {
    let shape = |text: &str| {
        text.len() == 10
            && text.bytes().enumerate().all(|(at, byte)| match at {
                4 | 7 => byte == b'-',
                _ => byte.is_ascii_digit(),
            })
    };
    if shape(text) { NaiveDate::parse_from_str(text, "%Y-%m-%d").ok() } else { None }
}

/// What to write instead, with the day that was probably meant where there is one.
fn expected(text: &str) -> String {
    let general = "a day of the calendar as year-month-day".to_owned();
    let parts: Vec<&str> = text.split(['/', '.', '-']).collect();
    let all_digits = parts.iter().all(|part| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit()));
    let [a, b, c] = parts.as_slice() else { return general };
    if !all_digits {
        return general;
    }
    match (a.len(), c.len()) {
        (4, _) => day(a, b, c)
            .map_or(general, |date| format!("a day as year-month-day, two digits each, with hyphens: write {date}")),
        (_, 4) => match (day(c, a, b), day(c, b, a)) {
            (Some(date), _) => format!("a day as year-month-day: write {date} if the month stands first"),
            (None, Some(date)) => format!("a day as year-month-day: write {date} if the day stands first"),
            (None, None) => general,
        },
        (2, _) if text.contains('-') => four_digits(a),
        (_, 2) => four_digits(c),
        _ => general,
    }
}

fn four_digits(year: &str) -> String {
    format!("a day as year-month-day with all four digits of the year: write 20{year}")
}

fn day(year: &str, month: &str, day: &str) -> Option<NaiveDate> {
    NaiveDate::from_ymd_opt(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?)
}

/// Reads a day of any year, `07-18`.
pub(crate) fn month_day(text: &str) -> Option<MonthDay> {
    let (month, day) = text.split_once('-')?;
    let two = |part: &str| part.len() == 2 && part.bytes().all(|byte| byte.is_ascii_digit());
    if !two(month) || !two(day) {
        return None;
    }
    MonthDay::new(month.parse().ok()?, day.parse().ok()?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_year_month_day() {
        assert_eq!(read("2026-05-14", None, DateRule::InSeason), Ok(NaiveDate::from_ymd_opt(2026, 5, 14).unwrap()));
        let cases = [
            ("5/14/2026", "write 2026-05-14 if the month stands first"),
            ("14.05.2026", "write 2026-05-14 if the day stands first"),
            ("2026-5-4", "write 2026-05-04"),
            ("2026/05/04", "write 2026-05-04"),
            ("26-05-14", "write 2026"),
            ("5/14/26", "write 2026"),
            ("2026-02-30", "a day of the calendar"),
            ("0026-05-14", "of a year from 1900 to 2200"),
            ("9999-12-31", "of a year from 1900 to 2200"),
            ("May 14", "year-month-day"),
            ("46156", "year-month-day"),
            ("", "year-month-day"),
        ];
        for (text, part) in cases {
            let expected = read(text, None, DateRule::InSeason).unwrap_err();
            assert!(expected.contains(part), "{text}: {expected}");
        }
    }

    #[test]
    fn names_the_days_of_the_season() {
        let season = Season::calendar_year(2026).unwrap();
        let outside = read("2025-12-31", Some(&season), DateRule::InSeason).unwrap_err();
        assert_eq!(outside, "a day of season 2026, 2026-01-01 to 2026-12-31");
        assert!(read("2025-12-31", Some(&season), DateRule::NotAfterSeason).is_ok());
        let after = read("2027-01-01", Some(&season), DateRule::NotAfterSeason).unwrap_err();
        assert_eq!(after, "a day up to 2026-12-31, the last of season 2026");
    }

    #[test]
    fn days_of_any_year() {
        assert_eq!(month_day("07-18"), MonthDay::new(7, 18));
        for text in ["7-18", "07/18", "13-01", "02-30", "2026-07-18", ""] {
            assert_eq!(month_day(text), None, "{text}");
        }
    }
}
