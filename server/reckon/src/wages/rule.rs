//! How an operation counts a week.

use chrono::{Datelike, Days, NaiveDate, Weekday};

use crate::exact::Hours;

/// The day a week of wages begins on, and the hours beyond which overtime is estimated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WeekRule {
    /// First day. The week is any seven days, as long as it stays the same (29 CFR 778.105).
    pub begins: Weekday,
    /// Hours of a person in a week above which overtime is estimated.
    pub threshold: Hours,
}

impl WeekRule {
    /// First day of the week a day lies in.
    pub fn week_of(self, day: NaiveDate) -> NaiveDate {
        let back = day.weekday().days_since(self.begins);
        day.checked_sub_days(Days::new(back.into())).unwrap_or(day)
    }

    /// Last day of the week a day lies in.
    pub fn end_of(self, day: NaiveDate) -> NaiveDate {
        let first = self.week_of(day);
        first.checked_add_days(Days::new(6)).unwrap_or(first)
    }

    /// "Monday to Sunday".
    pub fn words(self) -> String {
        format!("{} to {}", name(self.begins), name(self.begins.pred()))
    }
}

/// A day of the week in full.
pub const fn name(day: Weekday) -> &'static str {
    match day {
        Weekday::Mon => "Monday",
        Weekday::Tue => "Tuesday",
        Weekday::Wed => "Wednesday",
        Weekday::Thu => "Thursday",
        Weekday::Fri => "Friday",
        Weekday::Sat => "Saturday",
        Weekday::Sun => "Sunday",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::date;

    #[test]
    fn a_week_begins_on_the_day_that_was_set() {
        let rule = |begins| WeekRule { begins, threshold: Hours::ZERO };
        // 14 May 2026 is a Thursday.
        for (begins, first, last) in
            [(Weekday::Mon, 11, 17), (Weekday::Thu, 14, 20), (Weekday::Fri, 8, 14), (Weekday::Sun, 10, 16)]
        {
            assert_eq!(
                (rule(begins).week_of(date(5, 14)), rule(begins).end_of(date(5, 14))),
                (date(5, first), date(5, last))
            );
        }
        assert_eq!(rule(Weekday::Wed).words(), "Wednesday to Tuesday");
    }
}
