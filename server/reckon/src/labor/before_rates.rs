//! Work done before the first rate of what comes on top of its pay.

use chrono::NaiveDate;

use super::references;
use crate::figure::{Gap, GapAbout, Kept};
use crate::rates::Rates;
use crate::records::{LaborEntry, Loading, Pay, RateKind};
use crate::say;

/// Entries that take payroll costs or a commission from the rates, on days before the first of them. An
/// operation that keeps no rate of the kind does not use it and is not asked.
pub(super) fn doubts(labor: &[Kept<LaborEntry>], rates: Rates<'_>) -> Vec<Gap> {
    let contract = |entry: &LaborEntry| matches!(entry.pay, Pay::Contract(_));
    let payroll = before(labor, rates, RateKind::Payroll, |entry| !contract(entry));
    let commission = before(labor, rates, RateKind::Commission, contract);
    payroll.into_iter().chain(commission).collect()
}

fn before(
    labor: &[Kept<LaborEntry>],
    rates: Rates<'_>,
    kind: RateKind,
    takes: impl Fn(&LaborEntry) -> bool,
) -> Option<Gap> {
    let first = rates.begins(kind)?;
    let early = |entry: &LaborEntry| entry.date < first && entry.loading == Loading::FromRates && takes(entry);
    let early: Vec<&Kept<LaborEntry>> = labor.iter().filter(|kept| early(&kept.record)).collect();
    let dates: Vec<NaiveDate> = early.iter().map(|kept| kept.record.date).collect();
    let (on_top, one, many) = match kind {
        RateKind::Commission => ("commission", "A contract", "contracts"),
        _ => ("payroll costs", "A crew day", "crew days"),
    };
    let lacks = format!("no {on_top} on {}", if early.len() > 1 { "them" } else { "it" });
    (!early.is_empty()).then(|| {
        let what = format!(
            "{} The first {} rate holds from {}.",
            say::lacking(one, many, &dates, &lacks),
            kind.word(),
            say::full_day(first)
        );
        let mend = "Enter a rate that holds on that day, or the percent in the entry: 0 where there is none.";
        say::worth_a_look(GapAbout::Labor, what, mend, references(&early))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::Percent;
    use crate::money::Money;
    use crate::records::{Rate, Task};
    use crate::testing::{date, kept, labor_entry};

    fn said(rates: &[(RateKind, NaiveDate)], entries: Vec<LaborEntry>) -> Vec<String> {
        let rate = |(kind, from): &(RateKind, NaiveDate)| Rate {
            from: *from,
            kind: *kind,
            micros: 11_500_000,
            note: String::new(),
        };
        let rates: Vec<Kept<Rate>> = kept(rates.iter().map(rate).collect::<Vec<_>>());
        doubts(&kept(entries), Rates::new(&rates)).into_iter().map(|gap| gap.what).collect()
    }

    fn on(month: u32, day: u32) -> LaborEntry {
        LaborEntry { date: date(month, day), ..labor_entry(Task::Prune, "8", "18") }
    }

    #[test]
    fn work_before_the_first_payroll_rate_is_asked_about() {
        let rate = [(RateKind::Payroll, date(5, 1))];
        assert_eq!(
            said(&rate, vec![on(4, 20), on(5, 1)]),
            ["A crew day of 20 April has no payroll costs on it. The first payroll rate holds from 1 May 2026."]
        );
        assert_eq!(
            said(&rate, vec![on(4, 20), on(4, 22)]),
            [
                "2 crew days, 20 April to 22 April, have no payroll costs on them. The first payroll rate holds from 1 May \
              2026."
            ]
        );
        let own = LaborEntry { loading: Loading::Payroll(Percent::from_micros(0)), ..on(4, 20) };
        assert!(said(&rate, vec![own]).is_empty());
        assert!(said(&[], vec![on(4, 20)]).is_empty(), "no rate is kept, so none is used");
    }

    #[test]
    fn a_contract_is_asked_for_its_commission_only() {
        let contract = LaborEntry { pay: Pay::Contract(Money::from_cents(480_000)), ..on(4, 20) };
        assert!(said(&[(RateKind::Payroll, date(5, 1))], vec![contract.clone()]).is_empty());
        assert_eq!(
            said(&[(RateKind::Commission, date(5, 1))], vec![contract, on(4, 20)]),
            ["A contract of 20 April has no commission on it. The first commission rate holds from 1 May 2026."]
        );
    }
}
