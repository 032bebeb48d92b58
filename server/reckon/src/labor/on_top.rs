//! Sums paid on top of the work of others, such as a bonus: money, and no trees or hours of their own.

use std::borrow::Cow;
use std::collections::BTreeSet;

use rust_decimal::Decimal;

use super::cost::bare_pay;
use super::references;
use super::trees::as_entered;
use crate::figure::{Gap, GapAbout, Kept};
use crate::rates::Rates;
use crate::records::{LaborEntry, Loading, Pay, ThinningMethod};
use crate::say;
use crate::season::{SeasonRecords, TreesFrom};

/// A sum below this part of what the trees it could have been for would have cost by the other entries is
/// taken as paid on top of them: a quarter; common practice, no source.
const PART: Decimal = Decimal::from_parts(4, 0, 0, false, 0);

impl LaborEntry {
    /// Whether it is money alone: a sum without hours, of which the entry says that it was for no tree.
    pub fn is_on_top(&self) -> bool {
        matches!(self.pay, Pay::Contract(_)) && self.hours.is_none() && self.trees_done == Some(0)
    }

    /// A sum that says neither hours nor trees.
    const fn is_bare_sum(&self) -> bool {
        matches!(self.pay, Pay::Contract(_))
            && self.hours.is_none()
            && self.trees_done.is_none()
            && self.rows_done.is_none()
    }
}

/// The records with every sum that was paid on top of other work told as such: for no tree, and of the pass
/// and method of that work where it was one.
pub(crate) fn read_together(records: &SeasonRecords) -> Cow<'_, SeasonRecords> {
    if !records.labor.iter().any(|kept| kept.record.is_bare_sum() || kept.record.is_on_top()) {
        return Cow::Borrowed(records);
    }
    let read = |kept: &Kept<LaborEntry>| {
        let beside = told(&kept.record, records);
        beside.map_or_else(|| kept.clone(), |beside| Kept { id: kept.id, record: beside.joined(&kept.record) })
    };
    let labor = records.labor.iter().map(read).collect();
    Cow::Owned(SeasonRecords { labor, ..records.clone() })
}

/// The work that an entry was paid on top of, where it says so or is too little for trees of its own.
fn told<'r>(entry: &LaborEntry, records: &'r SeasonRecords) -> Option<Beside<'r>> {
    let beside = (entry.is_on_top() || entry.is_bare_sum()).then(|| Beside::of(entry, records))??;
    (entry.is_on_top() || beside.dwarfs(entry, records)).then_some(beside)
}

/// Asks about sums that nobody said were paid on top, and are taken so.
pub(crate) fn doubts(asked: &SeasonRecords) -> Vec<Gap> {
    let rates = Rates::new(&asked.rates);
    let one = |kept: &Kept<LaborEntry>| {
        let entry = &kept.record;
        let Pay::Contract(sum) = entry.pay else { return None };
        let taken = entry.is_bare_sum() && told(entry, asked).is_some();
        taken.then(|| {
            let what = format!(
                "The {} contract of {} over {} has neither hours nor trees, and is little beside the other {}. It is \
                 taken as paid on top of it.",
                say::work(entry.task),
                say::day(entry.date),
                say::dollars(sum),
                say::work(entry.task),
            );
            let mend = "Enter its trees done: 0 if it was paid on top, as a bonus is.";
            say::worth_a_look(GapAbout::Labor, what, format!("{mend}{}", commission(entry, rates)), references(&[kept]))
        })
    };
    asked.labor.iter().filter_map(one).collect()
}

/// A contract takes the commission that holds, which a bonus to own people does not bear.
fn commission(entry: &LaborEntry, rates: Rates<'_>) -> String {
    let rate = rates.commission(entry.date).filter(|rate| entry.loading == Loading::FromRates && !rate.is_zero());
    rate.map(|rate| {
        let rate = say::number(rate.decimal());
        format!(" It bears the contractor's commission of {rate}%; enter its payroll costs if own people got it.")
    })
    .unwrap_or_default()
}

/// The work that a sum can have been paid on top of: the same task, and the pass and method it names.
struct Beside<'r> {
    entries: Vec<&'r Kept<LaborEntry>>,
}

impl<'r> Beside<'r> {
    fn of(sum: &LaborEntry, records: &'r SeasonRecords) -> Option<Self> {
        let fits = |entry: &LaborEntry| {
            entry.task == sum.task
                && !entry.is_bare_sum()
                && !entry.is_on_top()
                && (sum.pass.is_none() || entry.pass == sum.pass)
                && (sum.method.is_none() || entry.method == sum.method)
        };
        let entries: Vec<&Kept<LaborEntry>> = records.labor.iter().filter(|kept| fits(&kept.record)).collect();
        (!entries.is_empty()).then_some(Self { entries })
    }

    /// Whether the sum, with those like it, is too little for trees of its own: for those that the work left, at
    /// what its entries with a known pay cost a tree, or where none was left or nobody counted, for as many as
    /// these did.
    fn dwarfs(&self, sum: &LaborEntry, records: &SeasonRecords) -> bool {
        let rates = Rates::new(&records.rates);
        let own = alike(sum, records).filter_map(|entry| bare_pay(entry, rates)).sum::<Decimal>();
        let priced: Vec<&Kept<LaborEntry>> =
            self.entries.iter().copied().filter(|kept| bare_pay(&kept.record, rates).is_some()).collect();
        let theirs = priced.iter().filter_map(|kept| bare_pay(&kept.record, rates)).sum::<Decimal>();
        let counted = |entries: &[&Kept<LaborEntry>]| {
            as_entered(entries, &records.block)
                .filter(|done| !matches!(done.from, TreesFrom::LeftOut(_)) && done.count > 0)
                .map(|done| done.count)
        };
        let left = counted(&self.entries)
            .zip(records.block.trees)
            .and_then(|(done, trees)| u64::from(trees).checked_sub(done))
            .filter(|left| *left > 0);
        let (left, done) = left.zip(counted(&priced)).unwrap_or((1, 1));
        let own = own.checked_mul(PART).and_then(|own| own.checked_mul(done.into()));
        own.zip(theirs.checked_mul(left.into())).is_some_and(|(own, theirs)| own < theirs)
    }

    fn joined(&self, sum: &LaborEntry) -> LaborEntry {
        let passes: BTreeSet<Option<u8>> = self.entries.iter().map(|kept| kept.record.pass).collect();
        let methods: BTreeSet<Option<ThinningMethod>> = self.entries.iter().map(|kept| kept.record.method).collect();
        LaborEntry {
            trees_done: Some(0),
            pass: only(passes).unwrap_or(sum.pass),
            method: only(methods).unwrap_or(sum.method),
            ..sum.clone()
        }
    }
}

/// The sums of the same task, pass and method that say neither hours nor trees: a contract may be invoiced in parts.
fn alike<'r>(sum: &LaborEntry, records: &'r SeasonRecords) -> impl Iterator<Item = &'r LaborEntry> {
    let of = |entry: &LaborEntry| (entry.task, entry.pass, entry.method);
    let same = of(sum);
    records.labor.iter().map(|kept| &kept.record).filter(move |entry| entry.is_bare_sum() && of(entry) == same)
}

fn only<T: Ord>(all: BTreeSet<T>) -> Option<T> {
    let mut all = all.into_iter();
    all.next().filter(|_| all.next().is_none())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::money::Money;
    use crate::records::{Rate, RateKind, Task};
    use crate::season::BlockSeason;
    use crate::testing::{date, dec, kept, labor_entry, records};

    const HAND: ThinningMethod = ThinningMethod::ByHand;

    fn sum(cents: i64) -> LaborEntry {
        LaborEntry { hours: None, pay: Pay::Contract(Money::from_cents(cents)), ..labor_entry(Task::Thin, "1", "1") }
    }

    /// 2,000 dollars.
    fn work(trees_done: Option<u32>) -> LaborEntry {
        LaborEntry { trees_done, method: Some(HAND), pass: Some(1), ..labor_entry(Task::Thin, "100", "20") }
    }

    fn season(entries: Vec<LaborEntry>, commission: bool) -> BlockSeason {
        let mut season = records();
        season.labor = kept(entries);
        let rate = Rate { from: date(1, 1), kind: RateKind::Commission, micros: 30_000_000, note: String::new() };
        season.rates = kept(commission.then_some(rate));
        crate::reckon(&season)
    }

    fn per_tree(season: &BlockSeason) -> (String, f64) {
        let thinning = season.labor.thinning.as_ref().unwrap();
        let each = thinning.cost_per_tree.as_ref().unwrap().value.decimal();
        (crate::money::round_half_away(each, 4).normalize().to_string(), thinning.trees.as_ref().unwrap().value.get())
    }

    fn asked(season: &BlockSeason) -> Vec<&str> {
        season.gaps.iter().filter(|gap| gap.what.contains("on top")).map(|gap| gap.mend.as_str()).collect()
    }

    /// 46 dollars beside 500 counted trees: 2,046 / 500, and the trees stay 500.
    #[test]
    fn a_bonus_claims_no_trees_and_lacks_no_hours() {
        let bonus = season(vec![work(Some(500)), sum(4_600)], true);
        assert_eq!(per_tree(&bonus), ("4.1196".into(), 500.0), "46.00 and its commission of 30%");
        assert_eq!(bonus.labor.passes.len(), 1, "it joins the only pass and method");
        let hours = bonus.labor.thinning.as_ref().unwrap().hours_per_tree.clone().unwrap();
        assert!((hours.value.get() - 0.2).abs() < 1e-12 && hours.lacks.is_empty());
        let mends = asked(&bonus);
        assert!(mends.len() == 1 && mends[0].contains("0 if it was paid on top"), "{mends:?}");
        assert!(mends[0].contains("commission of 30%"));
    }

    /// Ten days of 100 trees, each a tenth of the work: only the sum is money on top.
    #[test]
    fn small_days_keep_their_trees_beside_a_bonus() {
        let day = |n: u32| LaborEntry { date: date(4, n), ..work(Some(100)) };
        for bonus in [sum(10_000), LaborEntry { trees_done: Some(0), ..sum(10_000) }] {
            let mut entries: Vec<LaborEntry> = (1..=10).map(day).collect();
            entries.push(LaborEntry { hours: None, task: Task::Haul, ..sum(90_000) });
            entries.push(bonus);
            let season = season(entries, false);
            assert_eq!(per_tree(&season), ("20.1".into(), 1_000.0), "20,100 dollars over 1,000 trees");
        }
    }

    /// 2,240 dollars for the other 900 trees, invoiced in four parts, are no four bonuses.
    #[test]
    fn a_contract_invoiced_in_parts_is_weighed_whole() {
        let counted = LaborEntry { hours: Some(crate::exact::Hours::new(dec("12.5")).unwrap()), ..work(Some(100)) };
        let parts = (0..4).map(|_| sum(56_000));
        let season = season(core::iter::once(counted).chain(parts).collect(), false);
        assert!(asked(&season).is_empty());
        assert_eq!(per_tree(&season), ("2.49".into(), 1_000.0));
    }

    /// A day without a wage beside it does not give a bonus the block's trees.
    #[test]
    fn a_wage_that_is_missing_elsewhere_changes_nothing() {
        let bare = LaborEntry { pay: Pay::Hourly(None), ..work(Some(300)) };
        let season = season(vec![work(Some(600)), bare, sum(4_000)], false);
        let thinning = season.labor.thinning.as_ref().unwrap();
        let each = thinning.cost_per_tree.as_ref().unwrap().value.decimal();
        assert_eq!(crate::money::round_half_away(each, 2).to_string(), "3.4", "2,040 dollars over 600 trees");
        assert_eq!(asked(&season).len(), 1);
    }

    /// 300 dollars, 390 with the commission, beside 400 trees left at 3 dollars each: a quarter is 300.
    #[test]
    fn the_commission_makes_no_bonus_a_contract() {
        let work = || LaborEntry { hours: Some(crate::exact::Hours::new(dec("91")).unwrap()), ..work(Some(600)) };
        assert_eq!(asked(&season(vec![work(), sum(30_000)], true)).len(), 1);
        assert!(asked(&season(vec![work(), sum(30_400)], true)).is_empty(), "a quarter of 1,213.33 is 303.33");
    }

    #[test]
    fn one_that_says_so_is_not_asked_about() {
        let said = season(vec![work(Some(500)), LaborEntry { trees_done: Some(0), ..sum(4_600) }], false);
        assert_eq!(per_tree(&said), ("4.092".into(), 500.0));
        assert!(asked(&said).is_empty());
    }

    /// A contract for the trees that the others left, or for all of them.
    #[test]
    fn a_contract_for_trees_of_its_own_keeps_them() {
        for entries in [vec![work(Some(500)), sum(150_000)], vec![sum(4_600)], vec![work(None), sum(150_000)]] {
            let own = season(entries, false);
            let trees = own.labor.thinning.as_ref().unwrap().trees.clone().unwrap();
            assert!((trees.value.get() - 1_000.0).abs() < 1e-9 && asked(&own).is_empty());
        }
        // The last 100 trees for 400 dollars cost as much a tree as the others.
        assert!(asked(&season(vec![work(Some(900)), sum(40_000)], false)).is_empty());
        assert_eq!(asked(&season(vec![work(Some(1_000)), sum(40_000)], false)).len(), 1, "no tree was left for it");
    }

    /// A sum that names the second look stands beside the second look alone, and one of two passes keeps to none.
    #[test]
    fn a_sum_stands_beside_its_own_pass() {
        let second = LaborEntry { pass: Some(2), ..sum(4_600) };
        assert!(asked(&season(vec![work(Some(500)), second], false)).is_empty(), "it is all there is of its pass");
        let two = season(vec![work(Some(1_000)), LaborEntry { pass: Some(2), ..work(Some(800)) }, sum(4_600)], false);
        assert_eq!(per_tree(&two), ("4.046".into(), 1_000.0));
        assert_eq!(two.labor.passes.len(), 3);
        let all =
            |season: &BlockSeason| season.labor.passes.iter().map(|pass| pass.measure.cost.value.cents()).sum::<i64>();
        assert_eq!((all(&two), dec("4046")), (404_600, two.labor.all.cost.value.decimal()));
    }

    #[test]
    fn a_sum_without_a_block_count_is_weighed_against_all_the_work() {
        let mut season = records();
        season.block.trees = None;
        season.labor = kept([work(Some(500)), sum(4_600)]);
        assert_eq!(per_tree(&crate::reckon(&season)).1.to_bits(), 500.0_f64.to_bits());
    }
}
