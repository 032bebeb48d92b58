//! The four figures a block season is known by, each with what stands behind it.

use print::headline::{self, Headline};
use print::{figures, words};
use reckon::figure::Figure;
use reckon::season::{BlockSeason, StatementKey};

use super::At;
use super::behind::{Lacking, how_anchor, lacking};
use crate::display::evidence;

/// One headline figure: the number first, then its unit, then how it is known.
pub(super) struct Figures {
    pub(super) label: &'static str,
    pub(super) number: String,
    /// Empty where there is no number.
    pub(super) unit: &'static str,
    /// A second figure of the same thing, or why there is none; may be empty.
    pub(super) more: String,
    /// `metered, 41 labor entries`.
    pub(super) evidence: Option<String>,
    /// What the figure leaves out.
    pub(super) lacking: Option<Lacking>,
    /// Anchor of its explanation.
    pub(super) how: String,
}

pub(super) fn figures(at: At, season: &BlockSeason) -> Vec<Figures> {
    let [thinning, kept, price, over_all] = headline::headlines(season);
    let mut figures = vec![
        Figures::new(
            thinning,
            thinning_more(season),
            known(headline::thinning(season)),
            how_anchor(season, "labor-per-tree"),
        ),
        Figures::new(kept, kept_more(season), known(headline::kept(season)), how_anchor(season, "mulch-kept")),
        Figures::new(price, price_more(season), price_known(season), how_anchor(season, "price-by-grade")),
        Figures::new(
            over_all,
            over_all_more(season),
            known(headline::return_per_acre(season).as_ref()).filter(|_| !season.statement.is_unsold()),
            how_anchor(season, "statement"),
        ),
    ];
    let lacks = [
        headline::thinning(season).and_then(|each| lacking(at, each)),
        None,
        None,
        headline::return_per_acre(season).and_then(|each| lacking(at, &each)),
    ];
    for (figure, lacking) in figures.iter_mut().zip(lacks) {
        figure.lacking = lacking;
    }
    figures
}

impl Figures {
    fn new(line: Headline, more: String, evidence: Option<String>, how: String) -> Self {
        Self { label: line.label, number: line.number, unit: line.unit, more, evidence, lacking: None, how }
    }
}

fn known<T>(figure: Option<&Figure<T>>) -> Option<String> {
    figure.map(evidence)
}

fn thinning_more(season: &BlockSeason) -> String {
    let Some(measure) = &season.labor.thinning else { return "no thinning recorded".to_owned() };
    match &measure.hours_per_tree {
        Some(hours) => {
            let lacking = words::lacking(hours).map(|lacking| format!(", incomplete: {lacking}")).unwrap_or_default();
            format!("{} h a tree{lacking}", figures::quantity(hours.value))
        }
        None => format!("{} for the block", figures::dollars(&figures::money(measure.cost.value))),
    }
}

fn kept_more(season: &BlockSeason) -> String {
    let Some(saving) = &season.water.saving else {
        let why = if season.mulch.laid.is_empty() { "no mulch recorded" } else { "days of weather are missing" };
        return why.to_owned();
    };
    let (low, high) = saving.kept_range;
    let range = format!("{} to {}", figures::float(low.get(), 1), figures::float(high.get(), 1));
    let worth = saving.kept.worth.as_ref().map(|worth| figures::dollars(&figures::money(worth.value)));
    worth.map_or_else(|| range.clone(), |worth| format!("{range}, worth {worth}"))
}

fn price_more(season: &BlockSeason) -> String {
    let packout = &season.packout;
    let per_box = packout.net_per_box.as_ref().filter(|_| packout.net_per_pound.is_some());
    match (per_box, &packout.boxes) {
        (Some(each), _) => format!("{} a box", figures::dollars(&figures::price(each.value, 2))),
        (None, Some(boxes)) => format!("{} boxes packed", figures::exact(boxes.value, 0)),
        (None, None) => "nothing packed yet".to_owned(),
    }
}

fn price_known(season: &BlockSeason) -> Option<String> {
    let packout = &season.packout;
    known(packout.net_per_pound.as_ref()).or_else(|| known(packout.net_per_box.as_ref()))
}

fn over_all_more(season: &BlockSeason) -> String {
    let line = season.statement.line(StatementKey::OverAll);
    let whole = line.map(|line| figures::dollars(&figures::money(line.amount.value)));
    let costs_only = if season.statement.is_unsold() { format!("; {}", headline::COSTS_ONLY) } else { String::new() };
    whole.map_or_else(|| "nothing sold yet".to_owned(), |whole| format!("{whole} for the block{costs_only}"))
}
