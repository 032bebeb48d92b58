//! The thinning chart, and what the counts say.

use print::chart;
use print::chart::svg::svg;
use print::figures;
use reckon::season::{BlockSeason, LaborSeason, ThinningSeason};

use super::behind::how_anchor;

/// Width of the chart in points beside another column; it takes the room it finds.
const CHART_WIDTH: f64 = 220.0;

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
        let spread = thinning.left_standard_error.as_ref();
        let spread = spread.map(|error| format!(" (±{})", whole(error.value.get()))).unwrap_or_default();
        format!("A tree set {} fruit and keeps {}{spread}.", whole(before.value.get()), whole(left.value.get()))
    });
    let target = thinning
        .left_of_target
        .as_ref()
        .map(|share| format!("That is {}% of what the block wants.", whole(share.value.get())));
    let crop = thinning.crop.as_ref().map(|crop| {
        let spread = thinning.crop_standard_error.as_ref();
        let spread = spread.map(|error| format!(" (±{})", whole(error.value.get()))).unwrap_or_default();
        format!("Crop to expect before any drop: {}{spread} fruit.", whole(crop.value.get()))
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
    [removed, left, target, crop, spacing, thousand, per_box].into_iter().flatten().collect()
}
