//! Rates that hold from a day: wages, payroll costs, commission, water, interest.

use chrono::NaiveDate;

use crate::exact::{Percent, unit};
use crate::figure::Kept;
use crate::money::UnitPrice;
use crate::records::{Rate, RateKind, Task};

/// The rates of an operation.
#[derive(Debug, Clone, Copy)]
pub struct Rates<'r>(&'r [Kept<Rate>]);

impl<'r> Rates<'r> {
    /// Over a list in any order.
    pub const fn new(rates: &'r [Kept<Rate>]) -> Self {
        Self(rates)
    }

    /// The hourly wage for a task on a day: the task's own wage if one holds, else the general one.
    pub fn wage(self, task: Task, day: NaiveDate) -> Option<UnitPrice<unit::Hour>> {
        self.holding(RateKind::Wage(Some(task)), day)
            .or_else(|| self.holding(RateKind::Wage(None), day))
            .map(UnitPrice::from_micros)
    }

    /// Payroll taxes and insurance on a day, percent of pay.
    pub fn payroll(self, day: NaiveDate) -> Option<Percent> {
        self.holding(RateKind::Payroll, day).map(Percent::from_micros)
    }

    /// A labor contractor's commission on a day, percent of pay.
    pub fn commission(self, day: NaiveDate) -> Option<Percent> {
        self.holding(RateKind::Commission, day).map(Percent::from_micros)
    }

    /// Dollars for an acre-foot of water on a day.
    pub fn water(self, day: NaiveDate) -> Option<UnitPrice<unit::AcreFoot>> {
        self.holding(RateKind::Water, day).map(UnitPrice::from_micros)
    }

    /// Interest on operating capital on a day, percent a year.
    pub fn interest(self, day: NaiveDate) -> Option<Percent> {
        self.holding(RateKind::Interest, day).map(Percent::from_micros)
    }

    /// The first day of a kind of rate; `None` where none is kept.
    pub(crate) fn begins(self, kind: RateKind) -> Option<NaiveDate> {
        self.0.iter().filter(|kept| kept.record.kind == kind).map(|kept| kept.record.from).min()
    }

    /// The latest rate of a kind that began on or before the day. Of two that began on the same day
    /// the highest holds, so neither the order of the list nor of keeping can matter.
    fn holding(self, kind: RateKind, day: NaiveDate) -> Option<i64> {
        self.0
            .iter()
            .filter(|kept| kept.record.kind == kind && kept.record.from <= day)
            .map(|kept| (kept.record.from, kept.record.micros))
            .max()
            .map(|(_, micros)| micros)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figure::RecordId;

    fn date(month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, month, day).unwrap()
    }

    fn rate(line: u32, from: NaiveDate, kind: RateKind, micros: i64) -> Kept<Rate> {
        Kept { id: RecordId::Line(line), record: Rate { from, kind, micros, note: String::new() } }
    }

    #[test]
    fn the_latest_that_began_holds_and_a_task_goes_before_all() {
        let list = [
            rate(2, date(1, 1), RateKind::Wage(None), 16_500_000),
            rate(3, date(6, 1), RateKind::Wage(None), 17_000_000),
            rate(4, date(4, 1), RateKind::Wage(Some(Task::Prune)), 18_000_000),
            rate(5, date(6, 1), RateKind::Payroll, 21_500_000),
        ];
        let rates = Rates::new(&list);
        let wage = |task, day| rates.wage(task, day).map(UnitPrice::micros);
        assert_eq!(wage(Task::Thin, date(5, 31)), Some(16_500_000));
        assert_eq!(wage(Task::Thin, date(6, 1)), Some(17_000_000));
        assert_eq!(wage(Task::Prune, date(3, 31)), Some(16_500_000), "its own wage does not hold yet");
        assert_eq!(wage(Task::Prune, date(7, 1)), Some(18_000_000), "its own wage, though older");
        assert_eq!(rates.payroll(date(5, 31)), None);
        assert_eq!(rates.payroll(date(6, 1)).map(Percent::micros), Some(21_500_000));
        assert_eq!(rates.water(date(12, 31)), None);
        assert_eq!(Rates::new(&[]).wage(Task::Thin, date(6, 1)), None);
    }

    #[test]
    fn of_two_from_the_same_day_the_highest_holds_in_any_order() {
        let mut list = [
            rate(2, date(1, 1), RateKind::Commission, 30_000_000),
            rate(3, date(1, 1), RateKind::Commission, 38_000_000),
        ];
        assert_eq!(Rates::new(&list).commission(date(2, 1)).map(Percent::micros), Some(38_000_000));
        list.reverse();
        assert_eq!(Rates::new(&list).commission(date(2, 1)).map(Percent::micros), Some(38_000_000));
        let [one, other] = &mut list;
        core::mem::swap(&mut one.id, &mut other.id);
        assert_eq!(Rates::new(&list).commission(date(2, 1)).map(Percent::micros), Some(38_000_000));
    }

    #[test]
    fn the_latest_water_rate_that_began_holds() {
        let list = [
            rate(2, date(5, 1), RateKind::Water, 60_000_000),
            rate(3, date(5, 10), RateKind::Water, 75_000_000),
            rate(4, date(5, 11), RateKind::Payroll, 12_000_000),
        ];
        let rates = Rates::new(&list);
        assert_eq!(rates.water(date(5, 9)), Some(UnitPrice::from_micros(60_000_000)));
        assert_eq!(rates.water(date(5, 12)), Some(UnitPrice::from_micros(75_000_000)));
        assert_eq!(rates.water(date(4, 30)), None);
    }
}
