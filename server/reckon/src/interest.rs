//! Interest on operating capital: from the month in which money is spent to the month of harvest.
//!
//! Convention (the published studies state none): what is spent in a month bears a twelfth of the
//! yearly rate for that month and for each month after it, the month of harvest included; what is
//! spent after the harvest month bears none. It reproduces the printed 63 of the University of
//! California study of late cling peaches (2017), and misses the 66 of its plum study (2016) by 6.

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

/// Interest on sums spent on days, to the cent. `None` when the sum does not fit.
pub fn on_operating(spent: &[Spent], harvest: NaiveDate, yearly: Percent) -> Option<Money> {
    let dollar_months = spent.iter().try_fold(Decimal::ZERO, |sum, (day, dollars)| {
        sum.checked_add(dollars.checked_mul(Decimal::from(months(*day, harvest)))?)
    })?;
    // One division at the end: a twelfth of a hundredth.
    Money::round(dollar_months.checked_mul(yearly.decimal())?.checked_div(Decimal::from(1_200))?).ok()
}

/// Months for which money spent on a day is out, its own and the month of harvest included; none
/// when it is spent later.
pub fn months(spent: NaiveDate, harvest: NaiveDate) -> i64 {
    let count = |day: NaiveDate| i64::from(day.year()) * 12 + i64::from(day.month0());
    (count(harvest) - count(spent) + 1).max(0)
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
    let ripe = || records.block.ripening.and_then(|(_, last)| last.in_year(records.season.year));
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
        let gallons = applied::volume(set, &records.block).ok()?.gallons;
        let dollars = applied::dollars(gallons, set.date, rates)?;
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
        let spent = [(date(1, 31), dec("1200")), (date(7, 1), dec("600")), (date(8, 1), dec("5000"))];
        // 7 months of 1,200 and 1 of 600, at a half percent a month; August comes after the harvest.
        assert_eq!(on_operating(&spent, date(7, 20), Percent::whole(6).unwrap()), Some(Money::from_cents(4_500)));
        assert_eq!(on_operating(&[], date(7, 20), Percent::whole(6).unwrap()), Some(Money::ZERO));
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
