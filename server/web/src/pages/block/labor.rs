//! The thinning chart, and what the counts say.

use print::chart;
use print::chart::svg::svg;
use print::figures;
use reckon::figure::Figure;
use reckon::season::{BlockSeason, LaborSeason, ThinningSeason};
use reckon::units::Measure;

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

/// "One fruit every 4.60 in of shoot (±0.30), 84% of the 5.5 in wanted (the list, …)."
fn spacing(thinning: &ThinningSeason) -> Option<String> {
    let spacing = thinning.spacing.as_ref()?;
    let spread = spread(thinning.spacing_standard_error.as_ref());
    let wanted = thinning.target_spacing.as_ref().zip(thinning.spacing_of_target.as_ref()).map(|(wanted, share)| {
        let (share, inches) = (figures::quantity(share.value), figures::float(wanted.figure.value.get(), 1));
        format!(", {share}% of the {inches} in wanted ({})", wanted.from.source())
    });
    let wanted = wanted.unwrap_or_default();
    Some(format!("One fruit every {} in of shoot{spread}{wanted}.", figures::quantity(spacing.value)))
}

/// " (±61)"; nothing without an error.
fn spread<M: Measure + Copy>(error: Option<&Figure<M>>) -> String {
    error.map(|error| format!(" (±{})", figures::error(error.value.float(), M::PLACES))).unwrap_or_default()
}

/// "60% of the set came off (5 samples, ±11.5)."
fn removed(thinning: &ThinningSeason) -> Option<String> {
    let removed = thinning.removed.as_ref()?;
    // A place more than the share: an error of 0.4 is not none.
    let spread = thinning.removed_standard_error.as_ref();
    let spread = spread.map(|error| format!(", ±{}", figures::float(error.value.get(), 1))).unwrap_or_default();
    let samples = figures::counted(thinning.samples, "sample", "samples");
    Some(format!("{}% of the set came off ({samples}{spread}).", figures::float(removed.value.get(), 0)))
}

/// "A tree set 1,658 (±61) fruit and keeps 428 (±21)."; trees that were counted only after thinning are said.
fn left(thinning: &ThinningSeason) -> Option<String> {
    let left = thinning.left_per_tree.as_ref()?;
    let (number, spread_left) = (figures::quantity(left.value), spread(thinning.left_standard_error.as_ref()));
    let trees = figures::counted(thinning.left_trees, "tree", "trees");
    let more = thinning.left_trees > thinning.whole_trees;
    let trees = if more { format!(", the mean of {trees}") } else { String::new() };
    let set = thinning.before_per_tree.as_ref().map(|before| {
        let spread = spread(thinning.before_standard_error.as_ref());
        format!("set {}{spread} fruit and keeps {number}{spread_left}", figures::quantity(before.value))
    });
    let set = set.unwrap_or_else(|| format!("keeps {number}{spread_left} fruit"));
    Some(format!("A tree {set}{trees}."))
}

/// What the sign of an error stands for, once, where one is shown.
fn sign(said: &[String]) -> Option<String> {
    said.iter().any(|sentence| sentence.contains('±')).then(|| "All ± one standard error.".to_owned())
}

/// What the counts say, and then what the fruit taken off cost.
fn counts(labor: &LaborSeason, thinning: &ThinningSeason) -> Vec<String> {
    let thousand = labor
        .cost_per_thousand_removed
        .as_ref()
        .map(|cost| format!("{} for each 1,000 fruit taken off.", figures::dollars(&figures::price(cost.value, 2))));
    let per_box = labor
        .thinning_cost_per_box
        .as_ref()
        .map(|cost| format!("{} of thinning in each packed box.", figures::dollars(&figures::price(cost.value, 2))));
    with_spread(fruit(thinning).into_iter().chain(thousand).chain(per_box), thinning)
}

/// Fruit wanted and what the counts say, without what it cost: for people who do not see money.
pub(crate) fn fruit_counted(thinning: &ThinningSeason) -> Vec<String> {
    with_spread(fruit(thinning).into_iter(), thinning)
}

/// The sentences, and what is to be known of their samples and errors.
fn with_spread(said: impl Iterator<Item = String>, thinning: &ThinningSeason) -> Vec<String> {
    let mut said: Vec<String> = said.chain(thinning.samples_say()).collect();
    said.extend(sign(&said));
    said
}

fn fruit(thinning: &ThinningSeason) -> Vec<String> {
    let target = target(thinning);
    let crop = thinning.crop.as_ref().map(|crop| {
        let spread = spread(thinning.crop_standard_error.as_ref());
        format!("Crop to expect before any drop: {}{spread} fruit.", figures::quantity(crop.value))
    });
    let spacing = spacing(thinning);
    let diameter = thinning
        .diameter
        .as_ref()
        .map(|mean| format!("Fruit was {} in across when it was counted.", figures::float(mean.value.get(), 2)));
    let figures = [removed(thinning), thinning.methods_say(), left(thinning), target, crop, spacing, diameter];
    figures.into_iter().flatten().collect()
}

#[cfg(test)]
mod tests {
    use reckon::figure::Evidence;
    use reckon::units::{Count, FruitPerTree, Inches, Share};

    use super::*;

    fn said(thinning: &ThinningSeason) -> String {
        counts(&print::samples::full().labor, thinning).join(" ")
    }

    fn figure<M>(value: M) -> Figure<M> {
        Figure::new(value, Evidence::Counted, [])
    }

    #[test]
    fn an_error_is_never_none_and_its_sign_is_told_once() {
        let season = ThinningSeason {
            removed_standard_error: Some(figure(Share::of(11.5))),
            left_standard_error: Some(figure(FruitPerTree::of(0.3))),
            crop_standard_error: Some(figure(Count::of(0.4))),
            spacing_standard_error: Some(figure(Inches::of(0.04))),
            ..print::samples::full().thinning
        };
        let said = said(&season);
        assert!(said.starts_with("74% of the set came off (12 samples, ±11.5)."), "{said}");
        assert!(said.contains("A tree set 1,658 (±61) fruit and keeps 428 (±0.3)."), "{said}");
        assert!(said.contains("Crop to expect before any drop: 1,021,397 (±0.4) fruit."), "{said}");
        assert!(said.contains("One fruit every 4.60 in of shoot (±0.04)."), "{said}");
        assert_eq!(said.matches("± one standard error").count(), 1, "{said}");
    }

    #[test]
    fn trees_counted_only_after_and_branches_alone_are_said() {
        let after = ThinningSeason {
            left_trees: 8,
            left_per_tree: Some(figure(FruitPerTree::of(347.0))),
            left_standard_error: Some(figure(FruitPerTree::of(12.0))),
            ..ThinningSeason::default()
        };
        assert!(said(&after).starts_with("A tree keeps 347 (±12) fruit, the mean of 8 trees."), "{}", said(&after));
        let branches =
            ThinningSeason { samples: 2, removed: Some(figure(Share::of(75.0))), ..ThinningSeason::default() };
        let why = "Fruit left on a tree is not known: only branches were counted, no whole tree.";
        assert!(said(&branches).ends_with(why), "{}", said(&branches));
        assert!(!said(&branches).contains('±'));
    }
}
