//! Trees treated, each counted once.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::block::Block;
use crate::figure::{Evidence, Figure, Gap, GapAbout, Kept, RecordKind, RecordRef};
use crate::records::{LaborEntry, Task, ThinningMethod};
use crate::say;
use crate::units::Count;

/// A number of trees, and whether it was taken for granted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Trees {
    pub(super) count: u64,
    pub(super) assumed: bool,
}

/// Trees as entered: the sum within a method and pass, and where an entry of it leaves them out the
/// block's bearing trees, assumed. Over several passes a tree counts once: the largest pass. Methods
/// within one pass add up. `None` where an entry leaves them out and the block has no count.
pub(super) fn as_entered(entries: &[&Kept<LaborEntry>], block: &Block) -> Option<Trees> {
    let mut passes: BTreeMap<Option<u8>, Trees> = BTreeMap::new();
    for ((pass, _), group) in groups(entries) {
        let trees = of_group(&group, block)?;
        let sum = passes.entry(pass).or_insert(Trees { count: 0, assumed: false });
        sum.count = sum.count.saturating_add(trees.count);
        sum.assumed |= trees.assumed;
    }
    passes.into_values().max_by_key(|trees| (trees.count, !trees.assumed))
}

/// The same, no more than the block has; trees cut off to the block's are assumed.
pub(super) fn in_block(entries: &[&Kept<LaborEntry>], block: &Block) -> Option<Trees> {
    let trees = as_entered(entries, block)?;
    match block.trees.map(u64::from) {
        Some(most) if trees.count > most => Some(Trees { count: most, assumed: true }),
        _ => Some(trees),
    }
}

/// As a figure of the entries.
pub(super) fn figure(trees: Trees, records: &[RecordRef]) -> Figure<Count> {
    let evidence = if trees.assumed { Evidence::Assumed } else { Evidence::Counted };
    Figure::new(Count::of(float(trees.count)), evidence, records.iter().copied())
}

#[expect(clippy::cast_precision_loss, reason = "a count of trees, far below 2^53")]
pub(super) fn float(count: u64) -> f64 {
    count as f64
}

type Group = (Option<u8>, Option<ThinningMethod>);

fn groups<'k>(entries: &[&'k Kept<LaborEntry>]) -> BTreeMap<Group, Vec<&'k Kept<LaborEntry>>> {
    let mut groups: BTreeMap<Group, Vec<&Kept<LaborEntry>>> = BTreeMap::new();
    for kept in entries {
        groups.entry((kept.record.pass, kept.record.method)).or_default().push(kept);
    }
    groups
}

fn of_group(entries: &[&Kept<LaborEntry>], block: &Block) -> Option<Trees> {
    let known: Option<u64> = entries.iter().map(|kept| kept.record.trees_done.map(u64::from)).sum();
    match known {
        Some(count) => Some(Trees { count, assumed: false }),
        None => block.trees.map(|count| Trees { count: u64::from(count), assumed: true }),
    }
}

/// Asks about more trees than the block has, in one pass of thinning or one day of anything else.
pub(super) fn doubts(labor: &[Kept<LaborEntry>], block: &Block) -> Vec<Gap> {
    let Some(most) = block.trees.map(u64::from) else { return Vec::new() };
    let (thinning, other): (Vec<&Kept<LaborEntry>>, Vec<_>) =
        labor.iter().partition(|kept| kept.record.task == Task::Thin);
    let passes = groups(&thinning).into_iter().filter_map(|((pass, _), group)| {
        let count: u64 = group.iter().filter_map(|kept| kept.record.trees_done).map(u64::from).sum();
        let name = pass.map_or_else(|| "its thinning without a pass".into(), say::pass);
        (count > most).then(|| too_many(block, most, &name, count, &group))
    });
    let days = other.into_iter().filter_map(|kept| {
        let count = u64::from(kept.record.trees_done.unwrap_or_default());
        let name = format!("the {} entry of {}", kept.record.task.word(), say::day(kept.record.date));
        (count > most).then(|| too_many(block, most, &name, count, &[kept]))
    });
    passes.chain(days).collect()
}

fn too_many(block: &Block, most: u64, name: &str, count: u64, entries: &[&Kept<LaborEntry>]) -> Gap {
    let what = format!(
        "{} has {} trees, but {name} has {}. Was part of this another block or a second pass?",
        block.code,
        say::number(Decimal::from(most)),
        say::number(Decimal::from(count)),
    );
    let mend = "Correct the trees, the block or the pass of the entries.";
    let records = entries.iter().map(|kept| RecordRef { kind: RecordKind::Labor, id: kept.id });
    say::worth_a_look(GapAbout::Labor, what, mend, records)
}
