//! Hours, cost and trees of a set of entries, and what of them falls on a tree, an acre, a thousand fruit.

use std::collections::BTreeSet;

use rust_decimal::Decimal;
use rust_decimal::prelude::FromPrimitive;

use super::{Costed, NoCost, references, trees};
use crate::block::Block;
use crate::exact::{Hours, unit};
use crate::figure::{Evidence, Figure, Kept, Lack, Lacks, RecordKind, RecordRef};
use crate::money::{Money, UnitPrice};
use crate::records::{LaborEntry, Pay};
use crate::season::{LaborMeasure, TreesFrom};
use crate::units::{HoursPerAcre, HoursPerThousandFruit, HoursPerTree};

/// Which trees a set of entries counts.
pub(super) type TreeRule = fn(&[&Kept<LaborEntry>], &Block) -> Option<trees::Trees>;

/// Figures of a set of entries, each over the trees of the rule.
pub(super) fn measure(entries: &[&Costed<'_>], block: &Block, rule: TreeRule) -> LaborMeasure {
    let kept: Vec<&Kept<LaborEntry>> = entries.iter().map(|entry| entry.kept).collect();
    let cost = cost_of(entries);
    let hours = hours_of(&kept);
    let treated = rule(&kept, block);
    let trees = treated.map(|trees| trees::figure(trees, &references(&kept)));
    let costed = !priced(entries).is_empty();
    LaborMeasure {
        entries: kept.len(),
        overtime: overtime_of(&kept),
        cost_per_tree: priced_trees(entries, block, rule).and_then(|trees| per_tree(&cost, trees)),
        hours_per_tree: hours.as_ref().and_then(|hours| hours_per_tree(hours, &kept, block, rule)),
        cost_per_acre: UnitPrice::each(cost.value.decimal(), block.acres.decimal())
            .filter(|_| costed)
            .map(|each| cost.map(each)),
        hours_per_acre: hours
            .as_ref()
            .filter(|_| !block.acres.is_zero())
            .map(|hours| hours.map(HoursPerAcre::of(hours.value.as_f64() / block.acres.as_f64()))),
        cost_per_thousand: None,
        hours_per_thousand: None,
        trees_from: treated.map(|trees| trees.from),
        hours,
        cost,
        trees,
    }
}

/// Hours are read from a crew clock or tally, contract and piece work from an invoice. What overtime adds
/// to pieces or to a sum is on no invoice: it is reckoned from their average an hour.
fn cost_of(entries: &[&Costed<'_>]) -> Figure<Money> {
    let costed = || entries.iter().filter_map(|entry| entry.cost.ok().map(|cost| (entry.kept, cost)));
    let evidence = costed().map(|(kept, _)| match kept.record.pay {
        Pay::Hourly(_) => Evidence::Metered,
        Pay::Piece { .. } | Pay::Contract(_) if kept.record.overtime_is_estimated() => Evidence::Modelled,
        Pay::Piece { .. } | Pay::Contract(_) => Evidence::Invoiced,
    });
    let evidence = evidence.max().unwrap_or(Evidence::Metered);
    let kept: Vec<&Kept<LaborEntry>> = costed().map(|(kept, _)| kept).collect();
    let lacks = entries.iter().filter_map(|entry| entry.cost.err().map(|reason| lack(entry.kept, reason)));
    Figure::new(costed().map(|(_, cost)| cost).sum(), evidence, references(&kept)).without(lacks)
}

fn lack(kept: &Kept<LaborEntry>, reason: NoCost) -> Lack {
    let what = match reason {
        NoCost::NoWage => Lacks::Wage,
        NoCost::NoHours => Lacks::Hours,
        NoCost::TooLarge => Lacks::Amount,
    };
    lack_of(kept, what)
}

const fn lack_of(kept: &Kept<LaborEntry>, what: Lacks) -> Lack {
    Lack { what, record: RecordRef { kind: RecordKind::Labor, id: kept.id } }
}

fn hours_of(kept: &[&Kept<LaborEntry>]) -> Option<Figure<Hours>> {
    let timed = timed(kept);
    (!timed.is_empty()).then(|| {
        let hours = timed.iter().filter_map(|kept| kept.record.hours).sum();
        let untimed = kept.iter().filter(|kept| kept.record.hours.is_none() && !kept.record.is_on_top());
        Figure::new(hours, Evidence::Metered, references(&timed))
            .without(untimed.map(|kept| lack_of(kept, Lacks::Hours)))
    })
}

fn overtime_of(kept: &[&Kept<LaborEntry>]) -> Option<Figure<Hours>> {
    let over: Vec<&Kept<LaborEntry>> =
        kept.iter().copied().filter(|kept| !kept.record.overtime_hours.is_zero()).collect();
    let hours = over.iter().map(|kept| kept.record.overtime_hours).sum();
    (!over.is_empty()).then(|| Figure::new(hours, Evidence::Metered, references(&over)))
}

fn timed<'r>(kept: &[&'r Kept<LaborEntry>]) -> Vec<&'r Kept<LaborEntry>> {
    kept.iter().copied().filter(|kept| kept.record.hours.is_some()).collect()
}

/// Hours stay metered over counted trees; trees taken for granted make the figure assumed.
fn over_trees<T>(figure: Figure<T>, assumed: bool) -> Figure<T> {
    if assumed { figure.weakened(Evidence::Assumed) } else { figure }
}

/// Entries whose cost is known.
fn priced<'r>(entries: &[&Costed<'r>]) -> Vec<&'r Kept<LaborEntry>> {
    entries.iter().filter(|entry| entry.cost.is_ok()).map(|entry| entry.kept).collect()
}

/// The trees of the entries whose cost is known: work without a wage must not make the others' trees
/// look cheap. `None` without such an entry, or without a tree.
fn priced_trees(entries: &[&Costed<'_>], block: &Block, rule: TreeRule) -> Option<trees::Trees> {
    let priced = priced(entries);
    rule(&priced, block).filter(|trees| !priced.is_empty() && trees.count > 0)
}

fn per_tree(cost: &Figure<Money>, trees: trees::Trees) -> Option<Figure<UnitPrice<unit::Tree>>> {
    let each = cost.map(UnitPrice::each(cost.value.decimal(), Decimal::from(trees.count))?);
    Some(over_trees(each, trees.assumed))
}

/// Over the trees of the entries that carry hours: contract work has none and must not thin them out. It
/// stands whole where these entries count trees that no other entry worked as well; else hours are lacking.
fn hours_per_tree(
    hours: &Figure<Hours>,
    kept: &[&Kept<LaborEntry>],
    block: &Block,
    rule: TreeRule,
) -> Option<Figure<HoursPerTree>> {
    let trees = rule(&timed(kept), block).filter(|trees| trees.count > 0)?;
    let mut each = hours.map(HoursPerTree::of(hours.value.as_f64() / trees::float(trees.count)));
    if worked_once(trees, kept, block, rule) {
        each.lacks.clear();
    }
    Some(over_trees(each, trees.assumed))
}

/// Whether the trees of the entries with hours are counted, and met no entry without: one pass, in which
/// all entries together count no more trees than the block has.
fn worked_once(timed: trees::Trees, kept: &[&Kept<LaborEntry>], block: &Block, rule: TreeRule) -> bool {
    let passes: BTreeSet<Option<u8>> = kept.iter().map(|kept| kept.record.pass).collect();
    let again = |from: TreesFrom| matches!(from, TreesFrom::OnceEach(_) | TreesFrom::Doubtful(_));
    matches!(timed.from, TreesFrom::Entries | TreesFrom::Rows(_))
        && passes.len() < 2
        && rule(kept, block).is_some_and(|all| !again(all.from))
}

/// Thinning, with what falls on a thousand of the fruit that came off its own trees: `per_tree` is what
/// came off one of them, where that was counted.
pub(super) fn thinning(
    entries: &[&Costed<'_>],
    block: &Block,
    rule: TreeRule,
    per_tree: Option<&Figure<f64>>,
) -> LaborMeasure {
    let measure = measure(entries, block, rule);
    let Some(fruit) = per_tree.filter(|fruit| fruit.value > 0.0) else { return measure };
    let trees = priced_trees(entries, block, rule);
    LaborMeasure {
        cost_per_thousand: trees.and_then(|trees| cost_per_thousand(&measure.cost, trees, fruit)),
        hours_per_thousand: measure.hours_per_tree.as_ref().map(|hours| {
            let each = HoursPerThousandFruit::of(hours.value.get() / fruit.value * 1_000.0);
            spread_over_fruit(hours, each, fruit)
        }),
        ..measure
    }
}

fn cost_per_thousand(
    cost: &Figure<Money>,
    trees: trees::Trees,
    fruit: &Figure<f64>,
) -> Option<Figure<UnitPrice<unit::ThousandFruit>>> {
    let thousands = Decimal::from_f64(trees::float(trees.count) * fruit.value)?.checked_div(Decimal::ONE_THOUSAND)?;
    let each = UnitPrice::each(cost.value.decimal(), thousands)?;
    let cost = over_trees(cost.clone(), trees.assumed);
    Some(spread_over_fruit(&cost, each, fruit))
}

/// Known no better than its labor and the fruit; from the records of both.
fn spread_over_fruit<T, V>(labor: &Figure<T>, each: V, fruit: &Figure<f64>) -> Figure<V> {
    let records = labor.records.iter().chain(&fruit.records).copied();
    Figure::new(each, labor.evidence.and(fruit.evidence), records).without(labor.lacks.iter().copied())
}
