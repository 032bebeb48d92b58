//! The depletion rule: when a set is due, and how much.

use chrono::{Datelike, NaiveDate};

use crate::block::MonthDay;

/// When the rule irrigates and with how much. Depths in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rule {
    /// Irrigate when the depletion of the evening before is above this.
    pub depletion_mm: Option<f64>,
    /// Or above this share of readily available water.
    pub of_raw: Option<f64>,
    /// Or above this share of total available water.
    pub of_taw: Option<f64>,
    /// Net depth of a set; `None` refills the root zone.
    pub net_mm: Option<f64>,
    /// First and last day it may irrigate, as month x 100 + day.
    pub window: (u32, u32),
}

/// The root zone of an evening.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Profile {
    /// Depletion.
    pub depletion: f64,
    /// Readily available water.
    pub raw: f64,
    /// Total available water.
    pub taw: f64,
}

impl Rule {
    /// Whether the rule may irrigate on a day. A window may run over the new year.
    pub fn allows(&self, date: NaiveDate) -> bool {
        let (first, last) = self.window;
        let day = date.month() * 100 + date.day();
        if first <= last { first <= day && day <= last } else { day >= first || day <= last }
    }

    /// The first day it may irrigate, where that is still to come in the year of a day.
    pub fn begins_after(&self, date: NaiveDate) -> Option<NaiveDate> {
        let (first, last) = self.window;
        let begins = MonthDay::new(first / 100, first % 100)?.in_year(date.year())?;
        (first <= last && date < begins).then_some(begins)
    }

    /// The least depletion that calls for a set on the day after; `None` where nothing is set.
    pub fn threshold(&self, evening: &Profile) -> Option<f64> {
        let of_readily = self.of_raw.map(|share| share * evening.raw);
        let of_all = self.of_taw.map(|share| share * evening.taw);
        [self.depletion_mm, of_readily, of_all].into_iter().flatten().reduce(f64::min)
    }

    /// Whether the evening before calls for a set.
    pub fn is_due(&self, evening: &Profile) -> bool {
        self.threshold(evening).is_some_and(|least| evening.depletion > least)
    }

    /// Net depth of the day's set, after the evening before; 0 where none is due or allowed.
    pub fn net(&self, date: NaiveDate, evening: &Profile) -> f64 {
        if self.is_due(evening) && self.allows(date) { self.net_mm.unwrap_or(evening.depletion) } else { 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const RULE: Rule =
        Rule { depletion_mm: Some(18.0), of_raw: None, of_taw: None, net_mm: Some(18.0), window: (420, 1012) };

    fn evening(depletion: f64) -> Profile {
        Profile { depletion, raw: 50.0, taw: 100.0 }
    }

    fn on(rule: &Rule, month: u32, day: u32, depletion: f64) -> f64 {
        rule.net(NaiveDate::from_ymd_opt(2026, month, day).unwrap(), &evening(depletion))
    }

    #[test]
    fn the_rule_keeps_to_its_days() {
        assert!(on(&RULE, 4, 19, 40.0).abs() < 1e-12);
        assert!((on(&RULE, 4, 20, 40.0) - 18.0).abs() < 1e-12);
        assert!(on(&RULE, 4, 20, 18.0).abs() < 1e-12, "above, not at");
        let day = |month, day| NaiveDate::from_ymd_opt(2026, month, day).unwrap();
        assert_eq!(RULE.begins_after(day(4, 19)), Some(day(4, 20)));
        assert_eq!((RULE.begins_after(day(4, 20)), RULE.begins_after(day(11, 1))), (None, None));
        let winter = Rule { net_mm: None, depletion_mm: None, of_raw: Some(0.5), window: (1101, 228), ..RULE };
        assert!((on(&winter, 12, 31, 30.0) - 30.0).abs() < 1e-12);
        assert!((on(&winter, 2, 28, 30.0) - 30.0).abs() < 1e-12);
        assert!(on(&winter, 3, 1, 30.0).abs() < 1e-12);
        assert_eq!(winter.begins_after(day(10, 1)), None, "it runs over the new year");
    }

    #[test]
    fn the_first_of_several_limits_calls() {
        let both = Rule { of_raw: Some(1.0), of_taw: Some(0.3), ..RULE };
        assert_eq!(both.threshold(&evening(0.0)), Some(18.0));
        assert_eq!(Rule { depletion_mm: None, ..both }.threshold(&evening(0.0)), Some(30.0));
        let none = Rule { depletion_mm: None, ..RULE };
        assert_eq!(none.threshold(&evening(0.0)), None);
        assert!(!none.is_due(&evening(99.0)));
    }
}
