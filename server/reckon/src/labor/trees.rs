//! Trees treated, each counted once.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use super::references;
use crate::block::Block;
use crate::figure::{Evidence, Figure, Gap, GapAbout, Kept, RecordId, RecordRef};
use crate::records::{LaborEntry, Task, ThinningMethod};
use crate::say;
use crate::season::TreesFrom;
use crate::units::Count;

/// A number of trees, whether it was taken for granted, and whose trees they are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Trees {
    pub(super) count: u64,
    pub(super) assumed: bool,
    pub(super) from: TreesFrom,
}

/// Trees as entered: the sum within a method and pass (those of the rows done where only rows were
/// counted, assumed), and where an entry of it says neither the block's bearing trees, assumed, unless
/// the others reach these already. Over several passes a tree
/// counts once: the largest pass. Methods within one pass add up. `None` where an entry leaves them
/// out and the block has no count.
pub(super) fn as_entered(entries: &[&Kept<LaborEntry>], block: &Block) -> Option<Trees> {
    let mut passes: BTreeMap<Option<u8>, Vec<Trees>> = BTreeMap::new();
    for ((pass, _), group) in by_pass_and_method(entries) {
        passes.entry(pass).or_default().push(of_group(&group, block)?);
    }
    let several = passes.len() > 1;
    let largest = passes.into_values().map(|methods| together(&methods)).max_by_key(|t| (t.count, !t.assumed))?;
    let from = if several && !largest.assumed { TreesFrom::LargestPass } else { largest.from };
    Some(Trees { from, ..largest })
}

/// The same, no more than the block has. Entries that count more than it has were for trees worked
/// more than once, each of which counts once; where that cannot be, it is asked about, and assumed.
pub(super) fn in_block(entries: &[&Kept<LaborEntry>], block: &Block) -> Option<Trees> {
    let trees = as_entered(entries, block)?;
    let Some(most) = block.trees.map(u64::from).filter(|most| trees.count > *most) else { return Some(trees) };
    let capped = Trees { count: most, ..trees };
    Some(match works(entries, block).iter().map(Work::count).max() {
        _ if matches!(trees.from, TreesFrom::LeftOut(_)) => capped,
        Some(doubtful) if doubtful > most => Trees { assumed: true, from: TreesFrom::Doubtful(trees.count), ..capped },
        _ => Trees { from: TreesFrom::OnceEach(trees.count), ..capped },
    })
}

/// As a figure of the entries.
pub(super) fn figure(trees: Trees, records: &[RecordRef]) -> Figure<Count> {
    let evidence = if trees.assumed { Evidence::Assumed } else { Evidence::Counted };
    Figure::new(Count::of(float(trees.count)), evidence, records.iter().copied())
}

#[expect(clippy::cast_precision_loss, reason = "a count of trees, far below 2^53")]
pub(crate) fn float(count: u64) -> f64 {
    count as f64
}

type Group = (Option<u8>, Option<ThinningMethod>);

fn by_pass_and_method<'k>(entries: &[&'k Kept<LaborEntry>]) -> BTreeMap<Group, Vec<&'k Kept<LaborEntry>>> {
    let mut groups: BTreeMap<Group, Vec<&Kept<LaborEntry>>> = BTreeMap::new();
    for kept in entries {
        groups.entry((kept.record.pass, kept.record.method)).or_default().push(kept);
    }
    groups
}

fn of_group(entries: &[&Kept<LaborEntry>], block: &Block) -> Option<Trees> {
    let count = those_counted(entries, block);
    let left_out = entries.iter().filter(|kept| trees_of(&kept.record, block).is_none()).count();
    let of_block = block.trees.map(u64::from);
    if left_out == 0 || of_block.is_some_and(|most| count >= most) {
        let rows = entries.iter().filter(|kept| only_rows(&kept.record));
        let rows = if left_out == 0 { rows.count() } else { 0 };
        let from = if rows > 0 { TreesFrom::Rows(rows) } else { TreesFrom::Entries };
        return Some(Trees { count, assumed: rows > 0, from });
    }
    of_block.map(|count| Trees { count, assumed: true, from: TreesFrom::LeftOut(left_out) })
}

/// Trees of those entries that count them, or count them by rows.
fn those_counted(entries: &[&Kept<LaborEntry>], block: &Block) -> u64 {
    let counted = entries.iter().map(|kept| &kept.record).filter(|entry| trees_of(entry, block).is_some());
    trees_counted(counted, block).unwrap_or_default()
}

/// Trees that some entries count, or count by rows, added up; `None` where one says neither.
/// Rows are added up before they become trees, so that all rows are all trees.
pub(crate) fn trees_counted<'e>(mut entries: impl Iterator<Item = &'e LaborEntry>, block: &Block) -> Option<u64> {
    let (counted, rows) = entries.try_fold((0_u64, 0_u64), |(counted, rows), entry| {
        trees_of(entry, block)?;
        Some(match entry.trees_done {
            Some(trees) => (counted.saturating_add(trees.into()), rows),
            None => (counted, rows.saturating_add(entry.rows_done.unwrap_or_default().into())),
        })
    })?;
    let by_rows = if rows == 0 { 0 } else { trees_in_rows(rows, block)? };
    Some(counted.saturating_add(by_rows))
}

/// As counted, else the block's trees by the rows done, to the nearest tree. `None` where neither was
/// counted, or where the block does not say how many rows and trees it has.
fn trees_of(entry: &LaborEntry, block: &Block) -> Option<u64> {
    if let Some(count) = entry.trees_done {
        return Some(u64::from(count));
    }
    entry.trees_by_rows(block)
}

/// The block's trees in so many of its rows, to the nearest tree.
fn trees_in_rows(done: u64, block: &Block) -> Option<u64> {
    let (rows, trees) = (u64::from(block.rows?), u64::from(block.trees?));
    done.checked_mul(trees)?.checked_mul(2)?.checked_add(rows)?.checked_div(rows.checked_mul(2)?)
}

impl LaborEntry {
    /// The block's trees in the rows done, to the nearest tree; `None` where rows or trees are not known.
    pub fn trees_by_rows(&self, block: &Block) -> Option<u64> {
        trees_in_rows(self.rows_done?.into(), block)
    }

    /// The trees of the rows done, where trees done were counted too and the two do not agree.
    pub fn rows_apart(&self, block: &Block) -> Option<u64> {
        let (trees, by_rows) = (u64::from(self.trees_done?), self.trees_by_rows(block)?);
        let most = trees.max(by_rows).saturating_mul(ROWS_APART_PCT);
        (trees.abs_diff(by_rows).saturating_mul(100) > most).then_some(by_rows)
    }
}

/// Trees done and trees of the rows done this far apart, in percent of the larger, ask for a look: common
/// practice, no source.
const ROWS_APART_PCT: u64 = 20;

/// Rows were counted, and no trees.
const fn only_rows(entry: &LaborEntry) -> bool {
    entry.rows_done.is_some() && entry.trees_done.is_none()
}

/// Trees of the methods of one pass.
fn together(methods: &[Trees]) -> Trees {
    let left_out: usize = methods.iter().map(|trees| if let TreesFrom::LeftOut(n) = trees.from { n } else { 0 }).sum();
    let rows: usize = methods.iter().map(|trees| if let TreesFrom::Rows(n) = trees.from { n } else { 0 }).sum();
    let from = match (left_out, rows) {
        (0, 0) => TreesFrom::Entries,
        (0, rows) => TreesFrom::Rows(rows),
        (left_out, _) => TreesFrom::LeftOut(left_out),
    };
    Trees {
        count: methods.iter().fold(0, |sum, trees| sum.saturating_add(trees.count)),
        assumed: from != TreesFrom::Entries,
        from,
    }
}

/// Work in which a tree comes up once: one pass, whatever its methods, all thinning that names no pass,
/// or else a single entry.
struct Work<'k> {
    entries: Vec<&'k Kept<LaborEntry>>,
    block: &'k Block,
}

impl Work<'_> {
    fn count(&self) -> u64 {
        those_counted(&self.entries, self.block)
    }

    /// ", by hand,"; ", by hand and cuts,".
    fn methods(&self) -> String {
        let methods: BTreeSet<ThinningMethod> = self.entries.iter().filter_map(|kept| kept.record.method).collect();
        if methods.is_empty() { String::new() } else { format!(", {},", say::methods(&methods)) }
    }

    /// "the entries of its second look, by hand, count 2,701", and the question to go with it.
    fn says(&self, count: &str) -> Option<(String, &'static str)> {
        let first = &self.entries.first()?.record;
        let method = self.methods();
        Some(match (first.pass, first.task) {
            (Some(pass), Task::Thin) => (
                format!("the entries of its {}{method} count {count}", say::pass(pass)),
                "Do some of these trees belong to another block, or to another pass?",
            ),
            (Some(pass), task) => (
                format!("the {} entries of pass {pass} count {count}", say::work(task)),
                "Do some of these trees belong to another block, or to another pass?",
            ),
            (None, Task::Thin) => (
                format!("its thinning entries without a pass{method} count {count}"),
                "Was there more than one pass, or do some of these trees belong to another block?",
            ),
            (None, task) => (
                format!("the {} entry of {} counts {count}", say::work(task), say::day(first.date)),
                "Is the number wrong, or do some of these trees belong to another block?",
            ),
        })
    }
}

/// The work of some entries, in an order that does not depend on theirs.
fn works<'k>(entries: &[&'k Kept<LaborEntry>], block: &'k Block) -> Vec<Work<'k>> {
    type Key = (Task, Option<u8>, Option<RecordId>);
    let mut works: BTreeMap<Key, Vec<&'k Kept<LaborEntry>>> = BTreeMap::new();
    for kept in entries {
        let entry = &kept.record;
        let alone = entry.pass.is_none() && entry.task != Task::Thin;
        works.entry((entry.task, entry.pass, alone.then_some(kept.id))).or_default().push(kept);
    }
    works.into_values().map(|entries| Work { entries, block }).collect()
}

/// Asks about more trees than the block has, in work in which a tree comes up once.
pub(super) fn doubts(labor: &[Kept<LaborEntry>], block: &Block) -> Vec<Gap> {
    let Some(most) = block.trees.map(u64::from) else { return Vec::new() };
    let all: Vec<&Kept<LaborEntry>> = labor.iter().collect();
    let many = works(&all, block)
        .iter()
        .filter(|work| work.count() > most)
        .filter_map(|work| too_many(most, work))
        .collect::<Vec<_>>();
    many.into_iter().chain(rows_alone(labor, block)).chain(rows_apart(labor, block)).collect()
}

/// An entry that has both trees and rows, which do not agree.
fn rows_apart(labor: &[Kept<LaborEntry>], block: &Block) -> Vec<Gap> {
    let one = |kept: &Kept<LaborEntry>| {
        let entry = &kept.record;
        let by_rows = entry.rows_apart(block)?;
        let number = |count: u64| say::number(Decimal::from(count));
        let what = format!(
            "The {} entry of {} has {} trees done and {}, which are {} trees of {}.",
            say::work(entry.task),
            say::day(entry.date),
            number(entry.trees_done?.into()),
            say::counted(Decimal::from(entry.rows_done?), "row", "rows"),
            number(by_rows),
            block.code
        );
        let mend = "Correct the trees or the rows of the entry, or the rows of the block. The trees are used.";
        Some(say::worth_a_look(GapAbout::Labor, what, mend, references(&[kept])))
    };
    labor.iter().filter_map(one).collect()
}

/// Rows were counted and the block's rows are not known: all its trees are taken instead.
fn rows_alone(labor: &[Kept<LaborEntry>], block: &Block) -> Option<Gap> {
    let own: Vec<&Kept<LaborEntry>> = labor.iter().filter(|kept| only_rows(&kept.record)).collect();
    if own.is_empty() || block.rows.is_some() {
        return None;
    }
    let dates: Vec<chrono::NaiveDate> = own.iter().map(|kept| kept.record.date).collect();
    let lacks = "rows done and no trees, and the block does not say how many rows it has";
    let what = say::lacking("A crew day", "crew days", &dates, lacks);
    Some(say::missing(GapAbout::Labor, what, "Enter the rows of the block, or the trees done.", references(&own)))
}

fn too_many(most: u64, work: &Work<'_>) -> Option<Gap> {
    let block = work.block;
    let (says, question) = work.says(&say::number(Decimal::from(work.count())))?;
    let what = format!("{} has {} trees, but {says}. {question}", block.code, say::number(Decimal::from(most)));
    let mend = "Correct the trees, the block or the pass of the entries.";
    Some(say::worth_a_look(GapAbout::Labor, what, mend, references(&work.entries)))
}
