//! Interest on operating capital: from the month in which money is spent to the month of harvest.
//!
//! Convention: what is spent in a month bears a twelfth of the yearly rate for that month and for
//! each month after it, the month of harvest included. What is spent after the harvest is paid from
//! the crop and discounted back to it: a twelfth less for each month. December's dormant work after
//! a harvest is for the next crop and is carried to the next harvest.
//!
//! The University of California cost studies of 2003, 2016 and 2017 print no interest line that we
//! saw. Their monthly columns hold it, month by month on what is out (April and June of the apricots
//! have no work and print 2 each), and none in months after the harvest. Each study's interest is
//! its operating total less the totals of its columns, known to half a dollar for each number: 61
//! (late cling peaches), 65 (plums), 10 (apricots). This one convention gives 61.52, 65.38 and 11.25,
//! all three within that; carrying through the harvest month alone gives 63.36, 59.69 and 13.41.

use chrono::{Datelike, NaiveDate};
use rust_decimal::Decimal;

use crate::costs;
use crate::exact::Percent;
use crate::figure::{Evidence, Figure, Gap, GapAbout, RecordKind, RecordRef};
use crate::labor::entry_cost;
use crate::money::Money;
use crate::rates::Rates;
use crate::records::{Cost, CostGroup};
use crate::say;
use crate::season::SeasonRecords;
use crate::water::applied;

/// Dollars spent on a day.
pub type Spent = (NaiveDate, Decimal);

/// Interest on sums spent on days, to the cent; never below nothing, however much came after the
/// harvest. `None` when the sum does not fit.
pub fn on_operating(spent: &[Spent], harvest: NaiveDate, yearly: Percent) -> Option<Money> {
    let dollar_months = spent.iter().try_fold(Decimal::ZERO, |sum, (day, dollars)| {
        sum.checked_add(dollars.checked_mul(Decimal::from(months(*day, harvest)))?)
    })?;
    // One division at the end: a twelfth of a hundredth.
    Money::round(dollar_months.max(Decimal::ZERO).checked_mul(yearly.decimal())?.checked_div(Decimal::from(1_200))?)
        .ok()
}

/// Months for which money spent on a day is out, its own and the month of harvest included. After the
/// harvest they count below zero; December's are those to the next harvest.
pub fn months(spent: NaiveDate, harvest: NaiveDate) -> i64 {
    let count = |day: NaiveDate| i64::from(day.year()) * 12 + i64::from(day.month0());
    let ahead = count(harvest) - count(spent);
    match ahead {
        0.. => ahead + 1,
        _ if spent.month() == 12 => ahead.rem_euclid(12) + 1,
        _ => ahead,
    }
}

/// Interest of a block season, at the interest rate that holds on the last day of harvest. `None`
/// where no such rate is kept, or where interest is entered as a cost: the entry goes before.
pub fn season(records: &SeasonRecords) -> (Option<Figure<Money>>, Vec<Gap>) {
    let rates = records.rates.iter().any(|kept| kept.record.kind == crate::records::RateKind::Interest);
    if !rates || entered(records) {
        return (None, Vec::new());
    }
    let Some(harvest) = last_day_of_harvest(records) else {
        let what =
            format!("{} has an interest rate and no day of harvest, so no interest is reckoned.", records.block.code);
        let mend = "Keep the picks, or enter the ripening days of the block.";
        return (None, vec![say::worth_a_look(GapAbout::Costs, what, mend, [])]);
    };
    let Some(yearly) = Rates::new(&records.rates).interest(harvest) else { return (None, Vec::new()) };
    let (spent, behind) = operating(records);
    let interest = on_operating(&spent, harvest, yearly).filter(|_| !spent.is_empty());
    (interest.map(|interest| Figure::new(interest, Evidence::Modelled, behind)), Vec::new())
}

fn entered(records: &SeasonRecords) -> bool {
    let shared = records.shared_costs.iter().map(|shared| &shared.cost);
    records.costs.iter().chain(shared).any(|kept| kept.record.group == CostGroup::Interest)
}

/// Last pick, else last day of packing, else last day of harvest labor, else the end of ripening.
pub fn last_day_of_harvest(records: &SeasonRecords) -> Option<NaiveDate> {
    let picked = records.picks.iter().map(|kept| kept.record.date).max();
    let on_the_line = || records.packout.iter().map(|kept| kept.record.date).max();
    let harvest = |kept: &&crate::figure::Kept<crate::records::LaborEntry>| kept.record.task.is_harvest();
    let worked = || records.labor.iter().filter(harvest).map(|kept| kept.record.date).max();
    let ripe = || records.season.ripening(records.block.ripening?).map(|(_, last)| last);
    picked.or_else(on_the_line).or_else(worked).or_else(ripe)
}

/// What growing and harvesting cost on each day: labor, water, and the block's part of invoices.
fn operating(records: &SeasonRecords) -> (Vec<Spent>, Vec<RecordRef>) {
    let rates = Rates::new(&records.rates);
    let labor = records.labor.iter().filter_map(|kept| {
        let cost = entry_cost(&kept.record, rates).ok()?;
        Some((kept.record.date, cost.decimal(), RecordRef { kind: RecordKind::Labor, id: kept.id }))
    });
    let water = records.irrigation.iter().filter_map(|kept| {
        let set = &kept.record;
        let dollars = applied::in_dollars(applied::charge_of(set, &records.block, rates)?)?;
        Some((set.date, dollars, RecordRef { kind: RecordKind::Irrigation, id: kept.id }))
    });
    let invoices = costs::parts(records).into_iter().filter(|part| is_operating(part.cost));
    let invoices = invoices.map(|part| (part.cost.date, part.amount.decimal(), part.record));
    let all: Vec<(NaiveDate, Decimal, RecordRef)> = labor.chain(water).chain(invoices).collect();
    (all.iter().map(|(day, dollars, _)| (*day, *dollars)).collect(), all.iter().map(|(.., record)| *record).collect())
}

const fn is_operating(cost: &Cost) -> bool {
    matches!(cost.group, CostGroup::Cultural | CostGroup::Harvest | CostGroup::Assessment)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::{Rate, RateKind, Task};
    use crate::testing::{date, dec, kept, labor_entry, records};

    #[test]
    fn each_month_to_the_harvest_bears_a_twelfth() {
        let interest = |spent: &[Spent]| on_operating(spent, date(7, 20), Percent::whole(6).unwrap()).unwrap().cents();
        let mut spent = vec![(date(1, 31), dec("1200")), (date(7, 1), dec("600"))];
        // 7 months of 1,200 and 1 of 600, at a half percent a month.
        assert_eq!(interest(&spent), 4_500);
        // Two months after the harvest: 500 discounted back by two.
        spent.push((date(9, 1), dec("500")));
        assert_eq!(interest(&spent), 4_000);
        // Dormant work of December waits eight months for the next harvest.
        spent.push((date(12, 5), dec("500")));
        assert_eq!(interest(&spent), 6_000);
        assert_eq!(interest(&[]), 0);
        assert_eq!(interest(&[(date(10, 1), dec("900"))]), 0, "nobody is paid for what comes after the harvest");
    }

    #[test]
    fn months_of_a_season_that_spans_the_new_year() {
        let before = NaiveDate::from_ymd_opt(2025, 12, 10).unwrap();
        assert_eq!((months(before, date(7, 20)), months(date(12, 10), date(7, 20))), (8, 8));
        assert_eq!((months(date(12, 10), date(12, 1)), months(date(12, 10), date(11, 5))), (1, 12));
        assert_eq!((months(date(7, 1), date(7, 31)), months(date(8, 1), date(7, 31))), (1, -1));
    }

    #[test]
    fn a_block_season_needs_a_rate_and_a_harvest() {
        let mut season = records();
        season.labor = kept([labor_entry(Task::Thin, "60", "20")]);
        assert_eq!(super::season(&season), (None, Vec::new()));
        let rate = Rate { from: date(1, 1), kind: RateKind::Interest, micros: 6_000_000, note: String::new() };
        season.rates = kept([rate]);
        let (none, gaps) = super::season(&season);
        assert_eq!(none, None);
        assert_eq!(gaps[0].what, "T-1 has an interest rate and no day of harvest, so no interest is reckoned.");
        season.labor = kept([labor_entry(Task::Thin, "60", "20"), labor_entry(Task::Pick, "40", "20")]);
        let (interest, gaps) = super::season(&season);
        assert!(gaps.is_empty());
        let interest = interest.unwrap();
        assert_eq!(
            (interest.value, interest.evidence, interest.n()),
            (Money::from_cents(1_000), Evidence::Modelled, 2)
        );
    }
}
