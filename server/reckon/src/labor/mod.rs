//! Hours and cost of labor: by task, by method and pass of thinning, for each tree.

mod cost;
mod doubts;
#[cfg(test)]
mod tests;
mod trees;

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rust_decimal::Decimal;
use rust_decimal::prelude::FromPrimitive;

pub use cost::{NoCost, entry_cost};

use crate::block::Block;
use crate::exact::{Hours, unit};
use crate::figure::{Evidence, Figure, Gap, GapAbout, Kept, RecordKind, RecordRef};
use crate::money::{Money, UnitPrice};
use crate::rates::Rates;
use crate::records::{LaborEntry, Pay, Task};
use crate::say;
use crate::season::{LaborMeasure, LaborSeason, MethodPass, PackoutSeason, SeasonRecords, TaskLabor, ThinningSeason};
use crate::units::{Count, HoursPerAcre, HoursPerTree};

/// An entry and what it costs.
struct Costed<'r> {
    kept: &'r Kept<LaborEntry>,
    cost: Result<Money, NoCost>,
}

/// Labor of a season. Counts and boxes are needed for the cost of a thousand fruit and of a box.
pub fn season(records: &SeasonRecords, thinning: &ThinningSeason, packout: &PackoutSeason) -> (LaborSeason, Vec<Gap>) {
    let rates = Rates::new(&records.rates);
    let entries: Vec<Costed<'_>> =
        records.labor.iter().map(|kept| Costed { kept, cost: entry_cost(&kept.record, rates) }).collect();
    let block = &records.block;
    let thin: Vec<&Costed<'_>> = entries.iter().filter(|entry| entry.kept.record.task == Task::Thin).collect();
    let of_thinning = (!thin.is_empty()).then(|| measure(&thin, block, trees::in_block));
    let season = LaborSeason {
        entries: entries.len(),
        all: all(&entries, block),
        tasks: tasks(&entries, block),
        cost_per_thousand_removed: of_thinning.as_ref().and_then(|all| per_thousand(all, thinning)),
        thinning_cost_per_box: of_thinning.as_ref().and_then(|all| per_box(all, packout)),
        passes: passes(&thin, block),
        thinning: of_thinning,
    };
    let mut gaps = lacking(&entries);
    gaps.extend(trees::doubts(&records.labor, block));
    gaps.extend(doubts::doubts(&records.labor));
    (season, gaps)
}

/// Labor of every task lies on the block's bearing trees.
fn all(entries: &[Costed<'_>], block: &Block) -> LaborMeasure {
    let every: Vec<&Costed<'_>> = entries.iter().collect();
    measure(&every, block, |_, block| block.trees.map(|count| trees::Trees { count: u64::from(count), assumed: false }))
}

fn tasks(entries: &[Costed<'_>], block: &Block) -> Vec<TaskLabor> {
    let of = |task: Task| {
        let own: Vec<&Costed<'_>> = entries.iter().filter(|entry| entry.kept.record.task == task).collect();
        (!own.is_empty()).then(|| TaskLabor { task, measure: measure(&own, block, trees::in_block) })
    };
    Task::ALL.into_iter().filter_map(of).collect()
}

/// By pass, then method; entries that do not say come last.
fn passes(thin: &[&Costed<'_>], block: &Block) -> Vec<MethodPass> {
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
            Some(MethodPass { method, pass, days, measure: measure(&own, block, trees::as_entered) })
        })
        .collect()
}

/// Which trees a set of entries counts.
type TreeRule = fn(&[&Kept<LaborEntry>], &Block) -> Option<trees::Trees>;

fn measure(entries: &[&Costed<'_>], block: &Block, rule: TreeRule) -> LaborMeasure {
    let kept: Vec<&Kept<LaborEntry>> = entries.iter().map(|entry| entry.kept).collect();
    let cost = cost_of(entries);
    let hours = hours_of(&kept);
    let trees = rule(&kept, block).map(|trees| trees::figure(trees, &references(&kept)));
    let acres = block.acres.decimal();
    LaborMeasure {
        cost_per_tree: trees.as_ref().and_then(|trees| per_tree(&cost, trees)),
        hours_per_tree: hours.as_ref().and_then(|hours| hours_per_tree(hours, &kept, block, rule)),
        cost_per_acre: UnitPrice::spread(cost.value.decimal(), acres).map(|each| cost.map(each)),
        hours_per_acre: hours
            .as_ref()
            .filter(|_| !block.acres.is_zero())
            .map(|hours| hours.map(HoursPerAcre::of(hours.value.as_f64() / block.acres.as_f64()))),
        hours,
        cost,
        trees,
    }
}

fn references(kept: &[&Kept<LaborEntry>]) -> Vec<RecordRef> {
    kept.iter().map(|kept| RecordRef { kind: RecordKind::Labor, id: kept.id }).collect()
}

/// Hours are read from a crew clock or tally, contract and piece work from an invoice.
fn cost_of(entries: &[&Costed<'_>]) -> Figure<Money> {
    let costed = || entries.iter().filter_map(|entry| entry.cost.ok().map(|cost| (entry.kept, cost)));
    let evidence = costed().map(|(kept, _)| match kept.record.pay {
        Pay::Hourly(_) => Evidence::Metered,
        Pay::Piece { .. } | Pay::Contract(_) => Evidence::Invoiced,
    });
    let evidence = evidence.max().unwrap_or(Evidence::Metered);
    let kept: Vec<&Kept<LaborEntry>> = costed().map(|(kept, _)| kept).collect();
    Figure::new(costed().map(|(_, cost)| cost).sum(), evidence, references(&kept))
}

fn hours_of(kept: &[&Kept<LaborEntry>]) -> Option<Figure<Hours>> {
    let timed = timed(kept);
    (!timed.is_empty()).then(|| {
        let hours = timed.iter().filter_map(|kept| kept.record.hours).sum();
        Figure::new(hours, Evidence::Metered, references(&timed))
    })
}

fn timed<'r>(kept: &[&'r Kept<LaborEntry>]) -> Vec<&'r Kept<LaborEntry>> {
    kept.iter().copied().filter(|kept| kept.record.hours.is_some()).collect()
}

/// Hours stay metered over counted trees; trees taken for granted make the figure assumed.
fn per_tree(cost: &Figure<Money>, trees: &Figure<Count>) -> Option<Figure<UnitPrice<unit::Tree>>> {
    let each = cost.map(UnitPrice::spread(cost.value.decimal(), Decimal::from_f64(trees.value.get())?)?);
    Some(if trees.evidence == Evidence::Assumed { each.weakened(Evidence::Assumed) } else { each })
}

/// Over the trees of the entries that carry hours: contract work has none and must not thin them out.
fn hours_per_tree(
    hours: &Figure<Hours>,
    kept: &[&Kept<LaborEntry>],
    block: &Block,
    rule: TreeRule,
) -> Option<Figure<HoursPerTree>> {
    let trees = rule(&timed(kept), block).filter(|trees| trees.count > 0)?;
    let each = hours.map(HoursPerTree::of(hours.value.as_f64() / trees::float(trees.count)));
    Some(if trees.assumed { each.weakened(Evidence::Assumed) } else { each })
}

/// The cost of thinning for each thousand fruit the counts say came off the block.
fn per_thousand(all: &LaborMeasure, thinning: &ThinningSeason) -> Option<Figure<UnitPrice<unit::ThousandFruit>>> {
    let removed = thinning.removed_in_block.as_ref()?;
    let thousands = Decimal::from_f64(removed.value.get())?.checked_div(Decimal::ONE_THOUSAND)?;
    let each = UnitPrice::spread(all.cost.value.decimal(), thousands)?;
    let records = all.cost.records.iter().chain(&removed.records).copied();
    Some(Figure::new(each, all.cost.evidence.and(removed.evidence), records))
}

fn per_box(all: &LaborMeasure, packout: &PackoutSeason) -> Option<Figure<UnitPrice<unit::Carton>>> {
    let boxes = packout.boxes.as_ref()?;
    let each = UnitPrice::spread(all.cost.value.decimal(), boxes.value.decimal())?;
    let records = all.cost.records.iter().chain(&boxes.records).copied();
    Some(Figure::new(each, all.cost.evidence, records))
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
