//! Every entry of a season with what it is paid and what it costs, for the list of entries.

use super::cost::{NoCost, entry_cost};
use crate::exact::unit;
use crate::figure::RecordId;
use crate::money::{Money, UnitPrice};
use crate::rates::Rates;
use crate::records::Pay;
use crate::season::SeasonRecords;

/// What an entry is paid by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paid {
    /// Dollars an hour.
    Hour {
        /// The wage.
        wage: UnitPrice<unit::Hour>,
        /// Whether the entry says it itself; otherwise the rates do.
        own: bool,
    },
    /// Dollars a piece.
    Piece(UnitPrice<unit::Piece>),
    /// A flat sum.
    Contract(Money),
}

/// An entry with its pay and its cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct EntryCost {
    /// Which entry.
    pub id: RecordId,
    /// What it is paid by; `None` where it is paid by the hour and no wage is known.
    pub paid: Option<Paid>,
    /// Whether overtime is in the cost that was not paid by the hour: an estimate.
    pub overtime_estimated: bool,
    /// Cost with payroll costs or commission, as every total takes it; or why there is none.
    pub cost: Result<Money, NoCost>,
}

/// Every labor entry of a season, in the order of its records.
pub fn entry_costs(records: &SeasonRecords) -> Vec<EntryCost> {
    let rates = Rates::new(&records.rates);
    let one = |kept: &crate::figure::Kept<crate::records::LaborEntry>| {
        let entry = &kept.record;
        let paid = match entry.pay {
            Pay::Hourly(Some(wage)) => Some(Paid::Hour { wage, own: true }),
            Pay::Hourly(None) => rates.wage(entry.task, entry.date).map(|wage| Paid::Hour { wage, own: false }),
            Pay::Piece { rate, .. } => Some(Paid::Piece(rate)),
            Pay::Contract(sum) => Some(Paid::Contract(sum)),
        };
        let overtime_estimated = entry.overtime_is_estimated();
        EntryCost { id: kept.id, paid, overtime_estimated, cost: entry_cost(entry, rates) }
    };
    records.labor.iter().map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figure::Evidence;
    use crate::records::{LaborEntry, Rate, RateKind, Task};
    use crate::testing::{date, labor_entry, numbered, records};

    #[test]
    fn entries_add_up_to_the_season() {
        let mut season = records();
        season.labor = vec![
            numbered(1, labor_entry(Task::Thin, "30", "12")),
            numbered(2, LaborEntry { pay: Pay::Hourly(None), ..labor_entry(Task::Thin, "2", "1") }),
            numbered(
                3,
                LaborEntry { pay: Pay::Contract(Money::from_cents(5_000)), ..labor_entry(Task::Prune, "1", "1") },
            ),
        ];
        season.rates.clear();
        let without = entry_costs(&season);
        assert_eq!(without[1].cost, Err(NoCost::NoWage));
        assert_eq!(without[1].paid, None);
        let wage = Rate { from: date(1, 1), kind: RateKind::Wage(None), micros: 20_000_000, note: String::new() };
        season.rates = vec![numbered(4, wage)];
        let costs = entry_costs(&season);
        assert_eq!(costs[1].paid, Some(Paid::Hour { wage: UnitPrice::from_micros(20_000_000), own: false }));
        let cents: Vec<i64> = costs.iter().map(|entry| entry.cost.unwrap().cents()).collect();
        assert_eq!(cents, [36_000, 4_000, 5_000]);
        let all = crate::reckon(&season).labor.all.cost.value;
        assert_eq!(all.cents(), cents.iter().sum::<i64>());
    }

    #[test]
    fn overtime_of_pieces_is_reckoned_and_not_invoiced() {
        let piece =
            Pay::Piece { pieces: crate::exact::Exact::whole(100).unwrap(), rate: UnitPrice::from_micros(1_850_000) };
        let known = |pay: Pay, overtime: i64| {
            let overtime_hours = crate::exact::Hours::whole(overtime).unwrap();
            let entry = LaborEntry { overtime_hours, pay, ..labor_entry(Task::Thin, "50", "15") };
            let mut season = records();
            season.labor = vec![numbered(1, entry)];
            assert_eq!(entry_costs(&season)[0].overtime_estimated, season.labor[0].record.overtime_is_estimated());
            crate::reckon(&season).labor.all.cost.evidence
        };
        assert_eq!(known(piece, 0), Evidence::Invoiced);
        assert_eq!(known(piece, 10), Evidence::Modelled);
        assert_eq!(known(Pay::Contract(Money::from_cents(50_000)), 10), Evidence::Modelled);
        assert_eq!(known(Pay::Hourly(None), 10), Evidence::Metered);
    }
}
