//! How many fruit to leave, and how far apart: the block's own number, else the operation's list,
//! which goes by crop and by the days on which ripening begins.

use chrono::NaiveDate;

use crate::block::{Block, MonthDay};
use crate::figure::{Evidence, Figure, Gap, GapAbout, Kept, RecordKind, RecordRef};
use crate::records::Task;
use crate::season::{SeasonRecords, ThinningSeason};
use crate::units::{FruitPerAcre, FruitPerTree, Inches};
use crate::{say, ties};

/// Fruit wanted on a tree or an acre, and how far apart, from a day on.
#[derive(Debug, Clone, PartialEq)]
pub struct ThinningTarget {
    /// First day it holds.
    pub from: NaiveDate,
    /// Crop it is for; `None` for all.
    pub crop: Option<String>,
    /// First and last day of the span in which ripening must begin, ends included; it may run over
    /// the new year. `None` for any.
    pub ripening: Option<(MonthDay, MonthDay)>,
    /// Fruit wanted.
    pub fruit: Option<FruitWanted>,
    /// Shoot wanted for each fruit.
    pub spacing: Option<Inches>,
    /// Free text.
    pub note: String,
}

/// Fruit wanted on a tree, or on an acre whatever its trees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FruitWanted {
    /// On each tree.
    Tree(FruitPerTree),
    /// On each acre.
    Acre(FruitPerAcre),
}

impl FruitWanted {
    /// On a tree of the block; `None` for fruit of an acre where trees or acres are not known.
    fn on_tree(self, block: &Block) -> Option<FruitPerTree> {
        match self {
            Self::Tree(fruit) => Some(fruit),
            Self::Acre(fruit) => {
                let trees = block.trees.filter(|trees| *trees > 0)?;
                let acres = Some(block.acres.as_f64()).filter(|acres| *acres > 0.0)?;
                Some(FruitPerTree::of(fruit.get() * acres / f64::from(trees)))
            }
        }
    }

    /// "400 fruit a tree", "90,000 fruit an acre".
    fn words(self) -> String {
        match self {
            Self::Tree(fruit) => format!("{} fruit a tree", say::whole(fruit.get())),
            Self::Acre(fruit) => format!("{} fruit an acre", say::whole(fruit.get())),
        }
    }
}

/// What is wanted, and where that stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted<M> {
    /// The value, with its record where it is from the list.
    pub figure: Figure<M>,
    /// Where it stands.
    pub from: WantedFrom,
}

/// Where a target stands.
#[derive(Debug, Clone, PartialEq)]
pub enum WantedFrom {
    /// In the block's own description.
    Block,
    /// In the operation's list: from a day on, for a crop or all, for a span in which ripening begins
    /// or any, and as fruit of an acre where it says so.
    List {
        /// First day it holds.
        from: NaiveDate,
        /// The crop it names.
        crop: Option<String>,
        /// The span it names.
        ripening: Option<(MonthDay, MonthDay)>,
        /// Fruit wanted on an acre, where it counts by acres.
        per_acre: Option<FruitPerAcre>,
    },
}

impl WantedFrom {
    fn list(target: &ThinningTarget) -> Self {
        Self::List {
            from: target.from,
            crop: target.crop.clone(),
            ripening: target.ripening,
            per_acre: match target.fruit {
                Some(FruitWanted::Acre(fruit)) => Some(fruit),
                _ => None,
            },
        }
    }

    /// Whose it is, after "wanted": "for this block", "of peaches that ripen from 1 to 20 June", "of every block".
    pub fn words(&self) -> String {
        match self {
            Self::Block => "for this block".into(),
            Self::List { crop, ripening, .. } => format!("of {}", whose(crop.as_deref(), *ripening)),
        }
    }

    /// Where it stands: "the block's own", "the list of 1 January 2026, of peaches, 90,000 fruit an acre".
    pub fn source(&self) -> String {
        match self {
            Self::Block => "the block's own".into(),
            Self::List { from, per_acre, .. } => {
                let acre = per_acre.map(|fruit| format!(", {}", FruitWanted::Acre(fruit).words()));
                let day = say::full_day(*from);
                format!("the list, from {day}, {}{}", self.words(), acre.unwrap_or_default())
            }
        }
    }
}

impl ThinningSeason {
    /// Where what is wanted stands, where it is from the list: "Fruit wanted: the list, from 1 January 2026, of peaches."
    pub fn wanted_says(&self) -> Vec<String> {
        let say = |what: &str, from: &WantedFrom| match from {
            WantedFrom::Block => None,
            WantedFrom::List { .. } => Some(format!("{what}: {}.", from.source())),
        };
        let fruit = self.target.as_ref().and_then(|wanted| say("Fruit wanted", &wanted.from));
        let spacing = self.target_spacing.as_ref().and_then(|wanted| say("Shoot wanted for each fruit", &wanted.from));
        fruit.into_iter().chain(spacing).collect()
    }
}

/// "peaches that ripen from 1 to 20 June", "every block".
fn whose(crop: Option<&str>, ripening: Option<(MonthDay, MonthDay)>) -> String {
    match (crop.map(say::many), ripening.map(|(first, last)| say::span(first, last))) {
        (Some(crop), Some(span)) => format!("{crop} that ripen {span}"),
        (Some(crop), None) => crop,
        (None, Some(span)) => format!("fruit that ripens {span}"),
        (None, None) => "every block".into(),
    }
}

/// What is wanted of a block in a season.
#[derive(Debug, Clone)]
pub(super) struct Targets {
    /// The block's crop.
    pub(super) crop: String,
    pub(super) fruit: Option<Wanted<FruitPerTree>>,
    pub(super) spacing: Option<Wanted<Inches>>,
    pub(super) gaps: Vec<Gap>,
}

impl Targets {
    /// The block's own number goes before the list. In the list, of the targets that hold by the last day
    /// of thinning or counting (by the season's last where there is neither): a crop named goes before
    /// none, then a span before none, then the later day, then the fewer fruit or the wider spacing. Fruit
    /// and spacing may stand in different rows.
    pub(super) fn of(records: &SeasonRecords) -> Self {
        let (block, day) = (&records.block, last_day(records));
        let mut hold: Vec<&Kept<ThinningTarget>> =
            records.targets.iter().filter(|kept| kept.record.from <= day && of_crop(&kept.record, block)).collect();
        hold.sort_by_key(|kept| rank(&kept.record));
        let fits = |kept: &&Kept<ThinningTarget>| in_window(&kept.record, block);
        let own = block.target_fruit.filter(|target| target.get() > 0.0).map(own);
        let mut fruit: Vec<_> = hold.iter().copied().filter(fits).filter(|kept| kept.record.fruit.is_some()).collect();
        by_rank_then(&mut fruit, |target| target.fruit?.on_tree(block).map(|each| -each.get()));
        let mut spacing: Vec<_> =
            hold.iter().copied().filter(fits).filter(|kept| kept.record.spacing.is_some()).collect();
        by_rank_then(&mut spacing, |target| target.spacing.map(Inches::get));
        let twice = match own {
            Some(_) => None,
            None => doubled(&fruit, block, "The smaller number", |target| target.fruit.map(FruitWanted::words)),
        };
        let apart = doubled(&spacing, block, "The wider spacing", |target| {
            target.spacing.map(|each| format!("{:.1} in of shoot", each.get()))
        });
        let unplaced = unplaced(&hold, block, own.is_some());
        let listed = |kept: &Kept<ThinningTarget>| Some(wanted(kept, kept.record.fruit?.on_tree(block)?));
        Self {
            crop: block.crop.clone(),
            fruit: own.or_else(|| fruit.last().copied().and_then(listed)),
            spacing: spacing.last().and_then(|kept| Some(wanted(kept, kept.record.spacing?))),
            gaps: twice.into_iter().chain(apart).chain(unplaced).collect(),
        }
    }
}

/// The one that holds last: by rank, then by the value, then by its words.
fn by_rank_then(targets: &mut [&Kept<ThinningTarget>], value: impl Fn(&ThinningTarget) -> Option<f64>) {
    let words = |kept: &Kept<ThinningTarget>| WantedFrom::list(&kept.record).source();
    targets.sort_by(|a, b| {
        let ranks = rank(&a.record).cmp(&rank(&b.record));
        ranks
            .then_with(|| ties::values([value(&a.record)], [value(&b.record)]))
            .then_with(|| words(a).cmp(&words(b)))
            .then(a.id.cmp(&b.id))
    });
}

fn own(fruit: FruitPerTree) -> Wanted<FruitPerTree> {
    Wanted { figure: Figure::new(fruit, Evidence::Assumed, []), from: WantedFrom::Block }
}

fn wanted<M>(kept: &Kept<ThinningTarget>, value: M) -> Wanted<M> {
    let figure = Figure::new(value, Evidence::Assumed, [reference(kept)]);
    Wanted { figure, from: WantedFrom::list(&kept.record) }
}

fn reference(kept: &Kept<ThinningTarget>) -> RecordRef {
    RecordRef { kind: RecordKind::ThinningTarget, id: kept.id }
}

/// How closely a target is meant, and from when: the greatest holds.
const fn rank(target: &ThinningTarget) -> (bool, bool, NaiveDate) {
    (target.crop.is_some(), target.ripening.is_some(), target.from)
}

/// The last day of thinning or counting; the season's last where there is neither.
fn last_day(records: &SeasonRecords) -> NaiveDate {
    let thinned = records.labor.iter().filter(|kept| kept.record.task == Task::Thin).map(|kept| kept.record.date);
    let counted = records.fruit_counts.iter().map(|kept| kept.record.date);
    thinned.chain(counted).max().unwrap_or(records.season.last_day)
}

fn of_crop(target: &ThinningTarget, block: &Block) -> bool {
    target.crop.as_ref().is_none_or(|crop| crop.trim().eq_ignore_ascii_case(block.crop.trim()))
}

/// Whether the block's ripening begins in the target's span.
fn in_window(target: &ThinningTarget, block: &Block) -> bool {
    target.ripening.is_none_or(|span| block.ripening.is_some_and(|(first, _)| begins_in(span, first)))
}

/// A span that ends before it begins runs over the new year.
fn begins_in((from, to): (MonthDay, MonthDay), first: MonthDay) -> bool {
    if from <= to { from <= first && first <= to } else { first >= from || first <= to }
}

/// Two targets that fit equally well and say different things: one holds by its value, and nobody may
/// have meant it.
fn doubled(
    fits: &[&Kept<ThinningTarget>],
    block: &Block,
    holds: &str,
    words: impl Fn(&ThinningTarget) -> Option<String>,
) -> Option<Gap> {
    let last = fits.last()?;
    let said = words(&last.record)?;
    let alike = fits.iter().filter(|kept| rank(&kept.record) == rank(&last.record));
    let other = alike.filter(|kept| words(&kept.record).is_some_and(|words| words != said)).last()?;
    let what = format!(
        "Two thinning targets fit {} equally well from {}: {} {}, and {said} {}. {holds} is used.",
        block.code,
        say::full_day(last.record.from),
        words(&other.record)?,
        WantedFrom::list(&other.record).words(),
        WantedFrom::list(&last.record).words(),
    );
    let mend = "Remove the one that is wrong, or let their days of ripening not overlap.";
    Some(say::worth_a_look(GapAbout::Thinning, what, mend, [reference(other), reference(last)]))
}

/// The list goes by days of ripening, and the block has none.
fn unplaced(hold: &[&Kept<ThinningTarget>], block: &Block, own: bool) -> Option<Gap> {
    let asks = |target: &ThinningTarget| target.spacing.is_some() || !own && target.fruit.is_some();
    let spans: Vec<&&Kept<ThinningTarget>> =
        hold.iter().filter(|kept| kept.record.ripening.is_some() && asks(&kept.record)).collect();
    if block.ripening.is_some() || spans.is_empty() {
        return None;
    }
    let what = format!(
        "{} has no days of ripening, and thinning targets of {} go by them.",
        block.code,
        say::many(&block.crop)
    );
    let mend = "Enter the first and last day of ripening on the block's page, or a target without them.";
    Some(say::missing(GapAbout::Thinning, what, mend, spans.into_iter().map(|kept| reference(kept))))
}

#[cfg(test)]
mod tests;
