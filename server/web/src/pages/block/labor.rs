//! Labor by task, thinning by pass and method, and what the counts say.

use print::chart;
use print::chart::svg::svg;
use print::{figures, words};
use reckon::season::{BlockSeason, LaborMeasure, LaborSeason, ThinningSeason};

use super::behind::how_anchor;
use crate::display::{evidence, shown};

/// Width of the chart in points beside another column; it takes the room it finds.
const CHART_WIDTH: f64 = 300.0;

/// The thinning chart and the counts.
pub(super) struct Thinning {
    /// Our own SVG; `None` without thinning.
    pub(super) chart: Option<String>,
    /// Heading, as the chart says it.
    pub(super) heading: String,
    /// What the counts say, each a sentence.
    pub(super) counts: Vec<String>,
    pub(super) how: String,
}

impl Thinning {
    pub(super) fn of(season: &BlockSeason) -> Option<Self> {
        let counts = counts(&season.labor, &season.thinning);
        if season.labor.thinning.is_none() && counts.is_empty() {
            return None;
        }
        // Without thinning the drawing would show all labor, which has its own table.
        let drawing = season.labor.thinning.as_ref().and_then(|_| chart::labor(&season.labor, CHART_WIDTH));
        Some(Self {
            heading: drawing.as_ref().map_or_else(|| "Thinning".to_owned(), |drawing| drawing.title.clone()),
            chart: drawing.map(|drawing| svg(&drawing, "thinning-chart")),
            counts,
            how: how_anchor(season, "removed-share"),
        })
    }
}

fn counts(labor: &LaborSeason, thinning: &ThinningSeason) -> Vec<String> {
    let whole = |value: f64| figures::float(value, 0);
    let removed = thinning.removed.as_ref().map(|removed| {
        let spread = thinning.removed_standard_error.as_ref();
        let spread = spread.map(|error| format!(", ±{}", whole(error.value.get()))).unwrap_or_default();
        let samples = figures::counted(thinning.samples, "sample", "samples");
        format!("{}% of the set came off ({samples}{spread}).", whole(removed.value.get()))
    });
    let left = thinning.before_per_tree.as_ref().zip(thinning.left_per_tree.as_ref()).map(|(before, left)| {
        format!("A tree set {} fruit and keeps {}.", whole(before.value.get()), whole(left.value.get()))
    });
    let spacing = thinning
        .spacing
        .as_ref()
        .map(|spacing| format!("One fruit every {} in of shoot.", figures::float(spacing.value.get(), 1)));
    let thousand = labor
        .cost_per_thousand_removed
        .as_ref()
        .map(|cost| format!("{} for each 1,000 fruit taken off.", figures::dollars(&figures::price(cost.value, 2))));
    let per_box = labor
        .thinning_cost_per_box
        .as_ref()
        .map(|cost| format!("{} of thinning in each packed box.", figures::dollars(&figures::price(cost.value, 2))));
    [removed, left, spacing, thousand, per_box].into_iter().flatten().collect()
}

/// All labor.
pub(super) struct LaborTable {
    pub(super) tasks: Vec<LaborRow>,
    pub(super) passes: Vec<LaborRow>,
    /// Under the passes; the same figures as the task's row.
    pub(super) thinning: Option<LaborRow>,
    pub(super) all: LaborRow,
    pub(super) how: String,
}

/// One task, or one method and pass.
pub(super) struct LaborRow {
    pub(super) name: String,
    /// `5 May to 16 May`; empty for a task.
    pub(super) days: String,
    pub(super) hours: String,
    pub(super) cost: String,
    pub(super) per_acre: String,
    pub(super) trees: String,
    pub(super) hours_per_tree: String,
    pub(super) per_tree: String,
    pub(super) evidence: String,
}

impl LaborTable {
    pub(super) fn of(season: &BlockSeason) -> Option<Self> {
        let labor = &season.labor;
        if labor.entries == 0 {
            return None;
        }
        let passes = labor.passes.iter().map(|pass| LaborRow {
            days: words::days(pass.days),
            ..LaborRow::of(words::pass_and_method(pass.pass, pass.method), &pass.measure)
        });
        Some(Self {
            tasks: labor
                .tasks
                .iter()
                .map(|task| LaborRow::of(words::task(task.task).to_owned(), &task.measure))
                .collect(),
            passes: passes.collect(),
            thinning: labor.thinning.as_ref().map(|all| LaborRow::of("All thinning".to_owned(), all)),
            all: LaborRow::of("All labor".to_owned(), &labor.all),
            how: how_anchor(season, "labor-per-tree"),
        })
    }
}

impl LaborRow {
    fn of(name: String, measure: &LaborMeasure) -> Self {
        Self {
            name,
            days: String::new(),
            hours: shown(measure.hours.as_ref().map(|hours| figures::exact(hours.value, 1))),
            cost: figures::whole_money(measure.cost.value),
            per_acre: shown(measure.cost_per_acre.as_ref().map(|each| figures::price(each.value, 0))),
            trees: shown(measure.trees.as_ref().map(|trees| figures::quantity(trees.value))),
            hours_per_tree: shown(measure.hours_per_tree.as_ref().map(|each| figures::quantity(each.value))),
            per_tree: shown(measure.cost_per_tree.as_ref().map(|each| figures::price(each.value, 2))),
            evidence: evidence(&measure.known()),
        }
    }
}
