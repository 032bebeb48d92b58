//! Hours and cost of labor: by task, by method and pass of thinning, for each tree.

mod before_rates;
mod cost;
mod doubts;
mod entries;
mod measure;
mod methods;
mod on_top;
mod spanned;
#[cfg(test)]
mod tests;
mod trees;

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

pub use cost::{NoCost, entry_cost};
pub use entries::{EntryCost, Paid, entry_costs};
pub(crate) use methods::{Apart, Methods};
pub(crate) use on_top::{doubts as sum_doubts, read_together};
pub(crate) use spanned::{Spanned, is_whole, thinned_in_part};
pub(crate) use trees::{float, trees_counted};

use crate::block::Block;
use crate::exact::unit;
use crate::figure::{Evidence, Figure, Gap, GapAbout, Kept, RecordKind, RecordRef};
use crate::money::{Money, UnitPrice};
use crate::rates::Rates;
use crate::records::{LaborEntry, Task, ThinningMethod};
use crate::say;
use crate::season::{
    LaborMeasure, LaborSeason, MethodPass, PackoutSeason, PayBasis, SeasonRecords, TaskLabor, ThinningSeason, TreesFrom,
};
use measure::measure;

/// An entry and what it costs.
struct Costed<'r> {
    kept: &'r Kept<LaborEntry>,
    cost: Result<Money, NoCost>,
}

/// Labor of a season, its records read together. Counts and boxes are needed for the cost of a thousand fruit and
/// of a box.
pub fn season(records: &SeasonRecords, thinning: &ThinningSeason, packout: &PackoutSeason) -> (LaborSeason, Vec<Gap>) {
    let rates = Rates::new(&records.rates);
    let entries: Vec<Costed<'_>> =
        records.labor.iter().map(|kept| Costed { kept, cost: entry_cost(&kept.record, rates) }).collect();
    let block = &records.block;
    let thin: Vec<&Costed<'_>> = entries.iter().filter(|entry| entry.kept.record.task == Task::Thin).collect();
    let spanned = Spanned::of(records);
    let seen: Vec<&Costed<'_>> = thin.iter().copied().filter(|entry| spanned.holds(&entry.kept.record)).collect();
    let fruit = FruitOff::of(thinning, records, &seen);
    let every = fruit.of_all.as_ref().filter(|_| seen.len() == thin.len());
    let of_thinning = (!thin.is_empty()).then(|| measure::thinning(&thin, block, trees::in_block, every));
    let of_seen = (!seen.is_empty()).then(|| measure::thinning(&seen, block, trees::in_block, fruit.of_all.as_ref()));
    let season = LaborSeason {
        entries: entries.len(),
        all: all(&entries, block),
        tasks: tasks(&entries, block),
        cost_per_thousand_removed: of_seen.and_then(|seen| seen.cost_per_thousand),
        thinning_cost_per_box: of_thinning.as_ref().and_then(|all| per_box(all, packout)),
        passes: passes(&thin, &fruit, block),
        thinning: of_thinning,
    };
    let mut gaps = lacking(&entries);
    gaps.extend(trees::doubts(&records.labor, block));
    gaps.extend(doubts::doubts(&records.labor));
    gaps.extend(before_rates::doubts(&records.labor, rates));
    (season, gaps)
}

/// Labor of every task lies on the block's bearing trees.
fn all(entries: &[Costed<'_>], block: &Block) -> LaborMeasure {
    let every: Vec<&Costed<'_>> = entries.iter().collect();
    measure(&every, block, |_, block| {
        let trees = |count| trees::Trees { count: u64::from(count), assumed: false, from: TreesFrom::Bearing };
        block.trees.map(trees)
    })
}

fn tasks(entries: &[Costed<'_>], block: &Block) -> Vec<TaskLabor> {
    let of = |task: Task| {
        let own: Vec<&Costed<'_>> = entries.iter().filter(|entry| entry.kept.record.task == task).collect();
        (!own.is_empty()).then(|| TaskLabor { task, measure: measure(&own, block, trees::in_block) })
    };
    Task::ALL.into_iter().filter_map(of).collect()
}

/// Fruit that came off a tree, for the work that the counts before and after span.
struct FruitOff {
    /// By all thinning; needs the block's trees.
    of_all: Option<Figure<f64>>,
    /// By the one row of a block that had one pass of one method, or by each method that was counted where
    /// each stands on trees of its own in one pass. Several passes share one count before and after.
    of_rows: BTreeMap<PassAndMethod, Figure<f64>>,
}

type PassAndMethod = (Option<u8>, Option<ThinningMethod>);

impl FruitOff {
    /// Of the thinning that the counts can have seen.
    fn of(thinning: &ThinningSeason, records: &SeasonRecords, thin: &[&Costed<'_>]) -> Self {
        let trees = thinning.in_part.map(|(own, _)| float(own)).or(records.block.trees.map(f64::from));
        let removed = thinning.removed_in_block.as_ref().zip(trees);
        let of_all = removed.map(|(removed, trees)| removed.map(removed.value.get() / trees));
        let passes: BTreeSet<Option<u8>> = thin.iter().map(|entry| entry.kept.record.pass).collect();
        let methods: BTreeSet<Option<ThinningMethod>> = thin.iter().map(|entry| entry.kept.record.method).collect();
        let of_rows: BTreeMap<Option<ThinningMethod>, Figure<f64>> = match (passes.len(), methods.len()) {
            (1, 1) => methods.into_iter().zip(of_all.clone()).collect(),
            (1, _) if matches!(Methods::of(&records.labor, &records.block), Methods::Apart(_)) => of_methods(thinning),
            _ => BTreeMap::new(),
        };
        let pass = passes.into_iter().next().flatten();
        let of_rows = of_rows.into_iter().map(|(method, fruit)| ((pass, method), fruit)).collect();
        Self { of_all, of_rows }
    }
}

/// What each method took from the trees counted under its name, taken for all it thinned.
fn of_methods(thinning: &ThinningSeason) -> BTreeMap<Option<ThinningMethod>, Figure<f64>> {
    let each = thinning.by_method.iter().filter_map(|taken| {
        let fruit = taken.per_tree.as_ref()?;
        Some((Some(taken.method), fruit.map(fruit.value.get()).weakened(Evidence::Modelled)))
    });
    each.collect()
}

/// By pass, then method; entries that do not say come last.
fn passes(thin: &[&Costed<'_>], fruit: &FruitOff, block: &Block) -> Vec<MethodPass> {
    let mut groups: BTreeMap<_, Vec<&Costed<'_>>> = BTreeMap::new();
    for entry in thin {
        let (pass, method) = (entry.kept.record.pass, entry.kept.record.method);
        groups.entry((pass.is_none(), pass, method.is_none(), method)).or_default().push(entry);
    }
    groups
        .into_iter()
        .filter_map(|((_, pass, _, method), own)| {
            let days = || own.iter().map(|entry| entry.kept.record.date);
            let days = (days().min()?, days().max()?);
            let measure = measure::thinning(&own, block, trees::in_block, fruit.of_rows.get(&(pass, method)));
            let pay = own.iter().map(|entry| PayBasis::of(&entry.kept.record.pay)).collect();
            Some(MethodPass { method, pass, days, pay, measure })
        })
        .collect()
}

fn references(kept: &[&Kept<LaborEntry>]) -> Vec<RecordRef> {
    kept.iter().map(|kept| RecordRef { kind: RecordKind::Labor, id: kept.id }).collect()
}

fn per_box(all: &LaborMeasure, packout: &PackoutSeason) -> Option<Figure<UnitPrice<unit::Carton>>> {
    let boxes = packout.boxes.as_ref()?;
    let each = UnitPrice::each(all.cost.value.decimal(), boxes.value.decimal())?;
    let records = all.cost.records.iter().chain(&boxes.records).copied();
    Some(Figure::new(each, all.cost.evidence.and(boxes.evidence), records).without(all.cost.lacks.iter().copied()))
}

/// Entries that have no cost, one sentence for each reason.
fn lacking(entries: &[Costed<'_>]) -> Vec<Gap> {
    let mut by_reason: BTreeMap<NoCost, Vec<&Kept<LaborEntry>>> = BTreeMap::new();
    for entry in entries {
        if let Err(reason) = entry.cost {
            by_reason.entry(reason).or_default().push(entry.kept);
        }
    }
    by_reason.into_iter().map(|(reason, kept)| no_cost(reason, &kept)).collect()
}

fn no_cost(reason: NoCost, kept: &[&Kept<LaborEntry>]) -> Gap {
    let (lacks, mend) = match reason {
        NoCost::NoWage => ("no wage", "Add a wage to the entry, or a wage rate that holds on that day."),
        NoCost::NoHours => ("no hours", "Add the hours of all people together."),
        NoCost::TooLarge => ("a cost too large to keep", "Check the hours, the wage and the pieces."),
    };
    let dates: Vec<NaiveDate> = kept.iter().map(|kept| kept.record.date).collect();
    let what = say::lacking("A crew day", "crew days", &dates, lacks);
    say::missing(GapAbout::Labor, what, mend, references(kept))
}
