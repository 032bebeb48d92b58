//! The thinning chart, and what the counts say.

use print::chart;
use print::chart::svg::svg;
use print::figures;
use reckon::figure::Figure;
use reckon::season::{BlockSeason, LaborSeason, ThinningSeason};
use reckon::units::Inches;

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
    /// What published guides print, none of it a target.
    pub(super) guides: Option<Guides>,
    pub(super) how_wanted: String,
    /// How many trees to count, where the counts tell.
    pub(super) how_many: Option<String>,
}

/// Guides beside a measured spacing.
pub(super) struct Guides {
    /// What they say together.
    pub(super) said: String,
    /// Each in its own words, and where it is printed.
    pub(super) each: Vec<(String, String)>,
}

impl Guides {
    fn of(season: &ThinningSeason) -> Option<Self> {
        let each = season.guides.iter().map(|guide| (guide.words(), guide.source.words()));
        Some(Self { said: season.guides_say()?, each: each.collect() })
    }
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
            guides: Guides::of(&season.thinning),
            how_wanted: how_anchor(season, "fruit-wanted"),
            how_many: season.thinning.trees_to_count.as_ref().map(|_| how_anchor(season, "trees-to-count")),
        })
    }
}

/// "That is 102% of the 420 wanted (the block's own)."; what is wanted alone, where no tree was counted.
fn target(thinning: &ThinningSeason) -> Option<String> {
    let wanted = thinning.target.as_ref()?;
    let (number, source) = (figures::quantity(wanted.figure.value), wanted.from.source());
    let share = thinning.left_of_target.as_ref();
    Some(share.map_or_else(
        || format!("Wanted: {number} fruit on a tree ({source})."),
        |share| format!("That is {}% of the {number} wanted ({source}).", figures::quantity(share.value)),
    ))
}

/// "One fruit every 4.6 in of shoot (±0.3), 84% of the 5.5 in wanted (the list, …)."
fn spacing(thinning: &ThinningSeason) -> Option<String> {
    let one_place = |figure: &Figure<Inches>| figures::float(figure.value.get(), 1);
    let spacing = thinning.spacing.as_ref()?;
    let spread = thinning.spacing_standard_error.as_ref().map(|error| format!(" (±{})", one_place(error)));
    let wanted = thinning.target_spacing.as_ref().zip(thinning.spacing_of_target.as_ref()).map(|(wanted, share)| {
        let share = figures::quantity(share.value);
        format!(", {share}% of the {} in wanted ({})", one_place(&wanted.figure), wanted.from.source())
    });
    let (spread, wanted) = (spread.unwrap_or_default(), wanted.unwrap_or_default());
    Some(format!("One fruit every {} in of shoot{spread}{wanted}.", one_place(spacing)))
}

fn counts(labor: &LaborSeason, thinning: &ThinningSeason) -> Vec<String> {
    let whole = |value: f64| figures::float(value, 0);
    let removed = thinning.removed.as_ref().map(|removed| {
        let spread = thinning.removed_standard_error.as_ref();
        // A place more than the share: an error of 0.4 is not none.
        let spread = spread.map(|error| format!(", ±{}", figures::float(error.value.get(), 1))).unwrap_or_default();
        let samples = figures::counted(thinning.samples, "sample", "samples");
        format!("{}% of the set came off ({samples}{spread}).", whole(removed.value.get()))
    });
    let left = thinning.before_per_tree.as_ref().zip(thinning.left_per_tree.as_ref()).map(|(before, left)| {
        let spread = thinning.left_standard_error.as_ref();
        let spread = spread.map(|error| format!(" (±{})", whole(error.value.get()))).unwrap_or_default();
        let set = thinning.before_standard_error.as_ref();
        let set = set.map(|error| format!(" (±{})", whole(error.value.get()))).unwrap_or_default();
        format!("A tree set {}{set} fruit and keeps {}{spread}.", whole(before.value.get()), whole(left.value.get()))
    });
    let target = target(thinning);
    let crop = thinning.crop.as_ref().map(|crop| {
        let spread = thinning.crop_standard_error.as_ref();
        let spread = spread.map(|error| format!(" (±{})", whole(error.value.get()))).unwrap_or_default();
        format!("Crop to expect before any drop: {}{spread} fruit.", whole(crop.value.get()))
    });
    let spacing = spacing(thinning);
    let diameter = thinning
        .diameter
        .as_ref()
        .map(|mean| format!("Fruit was {} in across when it was counted.", figures::float(mean.value.get(), 2)));
    let thousand = labor
        .cost_per_thousand_removed
        .as_ref()
        .map(|cost| format!("{} for each 1,000 fruit taken off.", figures::dollars(&figures::price(cost.value, 2))));
    let per_box = labor
        .thinning_cost_per_box
        .as_ref()
        .map(|cost| format!("{} of thinning in each packed box.", figures::dollars(&figures::price(cost.value, 2))));
    let figures = [removed, thinning.methods_say(), left, target, crop, spacing, diameter, thousand, per_box];
    figures.into_iter().flatten().chain(thinning.samples_say()).collect()
}
