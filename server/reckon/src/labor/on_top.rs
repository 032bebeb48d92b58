//! Sums paid on top of the work of others, such as a bonus: money, and no trees or hours of their own.

use std::borrow::Cow;
use std::collections::BTreeSet;

use rust_decimal::Decimal;

use super::cost::entry_cost;
use super::references;
use super::trees::as_entered;
use crate::block::Block;
use crate::figure::{Gap, GapAbout, Kept};
use crate::money::Money;
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
        let beside = Beside::of(&kept.record, records);
        let told = beside.filter(|beside| kept.record.is_on_top() || beside.dwarfs(&kept.record, records));
        told.map_or_else(|| kept.clone(), |beside| Kept { id: kept.id, record: beside.joined(&kept.record) })
    };
    let labor = records.labor.iter().map(read).collect();
    Cow::Owned(SeasonRecords { labor, ..records.clone() })
}

/// Asks about sums that nobody said were paid on top, and are taken so.
pub(crate) fn doubts(asked: &SeasonRecords) -> Vec<Gap> {
    let rates = Rates::new(&asked.rates);
    let one = |kept: &Kept<LaborEntry>| {
        let entry = &kept.record;
        let Pay::Contract(sum) = entry.pay else { return None };
        let told = entry.is_bare_sum() && Beside::of(entry, asked)?.dwarfs(entry, asked);
        told.then(|| {
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

    /// Whether the sum is too little for trees of its own: for those that the work left, or where it left
    /// none or nobody counted, for as many as it did.
    fn dwarfs(&self, sum: &LaborEntry, records: &SeasonRecords) -> bool {
        let rates = Rates::new(&records.rates);
        let cost = |entry: &LaborEntry| entry_cost(entry, rates).map(Money::decimal).ok();
        let costs: Option<Decimal> = self.entries.iter().map(|kept| cost(&kept.record)).sum();
        let (left, done) = self.left_of(&records.block).unwrap_or((1, 1));
        let own = cost(sum).and_then(|own| own.checked_mul(PART)?.checked_mul(done.into()));
        let theirs = costs.and_then(|costs| costs.checked_mul(left.into()));
        own.zip(theirs).is_some_and(|(own, theirs)| own < theirs)
    }

    /// Trees that the work left and trees that it counts, where it counts them and left some.
    fn left_of(&self, block: &Block) -> Option<(u64, u64)> {
        let done = as_entered(&self.entries, block).filter(|done| !matches!(done.from, TreesFrom::LeftOut(_)))?;
        let left = u64::from(block.trees?).checked_sub(done.count)?;
        (left > 0 && done.count > 0).then_some((left, done.count))
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
