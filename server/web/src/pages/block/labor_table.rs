//! Labor by task, and thinning by pass and method: hours and cost, each tree, acre and thousand fruit.

use print::{figures, words};
use reckon::season::{BlockSeason, LaborMeasure};

use super::At;
use super::behind::{Lacking, how_anchor, lacking};
use crate::display::shown;

/// All labor.
pub(super) struct LaborTable {
    pub(super) tasks: Vec<LaborRow>,
    pub(super) passes: Vec<LaborRow>,
    /// Under the passes.
    pub(super) thinning: Option<LaborRow>,
    pub(super) all: LaborRow,
    /// Whether the fruit taken off is known, and with it what a thousand of it cost.
    pub(super) by_fruit: bool,
    /// Why it is not, where it is not.
    pub(super) no_fruit: &'static str,
    pub(super) how: String,
}

/// One task, or one method and pass.
pub(super) struct LaborRow {
    pub(super) name: String,
    /// `5 May to 16 May`; empty for a task.
    pub(super) days: String,
    pub(super) entries: String,
    pub(super) hours: String,
    /// `1.5 h overtime`.
    pub(super) overtime: Option<String>,
    /// To the cent.
    pub(super) cost: String,
    /// What the cost leaves out.
    pub(super) lacking: Option<Lacking>,
    pub(super) per_acre: String,
    pub(super) hours_per_acre: String,
    pub(super) trees: String,
    pub(super) hours_per_tree: String,
    pub(super) per_tree: String,
    pub(super) hours_per_thousand: String,
    pub(super) per_thousand: String,
    /// How each of them is known.
    pub(super) evidence: String,
}

impl LaborTable {
    pub(super) fn of(at: At, season: &BlockSeason) -> Option<Self> {
        let labor = &season.labor;
        if labor.entries == 0 {
            return None;
        }
        let passes = labor.passes.iter().map(|pass| LaborRow {
            days: words::days(pass.days),
            ..LaborRow::of(at, words::pass_and_method(pass.pass, pass.method), &pass.measure)
        });
        let tasks = labor.tasks.iter().map(|task| LaborRow::of(at, words::task(task.task).to_owned(), &task.measure));
        Some(Self {
            tasks: tasks.collect(),
            passes: passes.collect(),
            thinning: labor.thinning.as_ref().map(|all| LaborRow::of(at, "All thinning".to_owned(), all)),
            all: LaborRow::of(at, "All labor".to_owned(), &labor.all),
            by_fruit: labor.cost_per_thousand_removed.is_some(),
            no_fruit: no_fruit(season),
            how: how_anchor(season, "labor-per-tree"),
        })
    }
}

/// Why the cost of 1,000 fruit is not known, as the end of a sentence.
fn no_fruit(season: &BlockSeason) -> &'static str {
    let lacks = season.labor.thinning.as_ref().is_some_and(|all| !all.cost.lacks.is_empty());
    match () {
        () if season.thinning.whole_trees == 0 => "no whole tree was counted before and after",
        () if season.heading.block.trees.is_none_or(|trees| trees == 0) => "the block has no count of bearing trees",
        () if lacks => "what the work cost is not known",
        () => "by the counts no fruit came off",
    }
}

impl LaborRow {
    fn of(at: At, name: String, measure: &LaborMeasure) -> Self {
        let overtime = measure.overtime.as_ref();
        Self {
            name,
            days: String::new(),
            entries: figures::count(measure.entries),
            hours: shown(measure.hours.as_ref().map(|hours| figures::exact(hours.value, 1))),
            overtime: overtime.map(|over| format!("{} h overtime", figures::exact(over.value, 1))),
            cost: shown(measure.is_costed().then(|| figures::money(measure.cost.value))),
            lacking: lacking(at, &measure.cost),
            per_acre: shown(measure.cost_per_acre.as_ref().map(|each| figures::price(each.value, 2))),
            hours_per_acre: shown(measure.hours_per_acre.as_ref().map(|each| figures::quantity(each.value))),
            trees: shown(measure.trees.as_ref().map(|trees| figures::quantity(trees.value))),
            hours_per_tree: shown(measure.hours_per_tree.as_ref().map(|each| figures::quantity(each.value))),
            per_tree: shown(measure.cost_per_tree.as_ref().map(|each| figures::price(each.value, 2))),
            hours_per_thousand: shown(measure.hours_per_thousand.as_ref().map(|each| figures::quantity(each.value))),
            per_thousand: shown(measure.cost_per_thousand.as_ref().map(|each| figures::price(each.value, 2))),
            evidence: words::labor_known(measure),
        }
    }
}
