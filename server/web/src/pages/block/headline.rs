//! The four figures a block season is known by, each with what stands behind it.

use print::figures;
use print::headline::{self, Headline};
use reckon::figure::Figure;
use reckon::season::{BlockSeason, StatementKey};

use super::behind::how_anchor;
use crate::display::evidence;

/// One headline figure: the number first, then its unit, then how it is known.
pub(super) struct Figures {
    pub(super) label: &'static str,
    pub(super) number: String,
    /// Empty where there is no number.
    pub(super) unit: &'static str,
    /// A second figure of the same thing, or why there is none.
    pub(super) more: Option<String>,
    /// `metered, 41 labor entries`.
    pub(super) evidence: Option<String>,
    /// Anchor of its explanation.
    pub(super) how: String,
}

pub(super) fn figures(season: &BlockSeason) -> Vec<Figures> {
    let [thinning, kept, price, over_all] = headline::headlines(season);
    vec![
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
            known(headline::return_per_acre(season).as_ref()),
            how_anchor(season, "statement"),
        ),
    ]
}

impl Figures {
    fn new(line: Headline, more: Option<String>, evidence: Option<String>, how: String) -> Self {
        Self { label: line.label, number: line.number, unit: line.unit, more, evidence, how }
    }
}

fn known<T>(figure: Option<&Figure<T>>) -> Option<String> {
    figure.map(evidence)
}

fn thinning_more(season: &BlockSeason) -> Option<String> {
    match &season.labor.thinning {
        None => Some("no thinning recorded".to_owned()),
        Some(measure) => match &measure.hours_per_tree {
            Some(hours) => Some(format!("{} h a tree", figures::quantity(hours.value))),
            None => Some(format!("{} for the block", figures::dollars(&figures::whole_money(measure.cost.value)))),
        },
    }
}

fn kept_more(season: &BlockSeason) -> Option<String> {
    let Some(saving) = &season.water.saving else {
        let why = if season.mulch.laid.is_empty() { "no mulch recorded" } else { "days of weather are missing" };
        return Some(why.to_owned());
    };
    let (low, high) = saving.kept_range;
    let range = format!("{} to {}", figures::float(low.get(), 1), figures::float(high.get(), 1));
    let worth = saving.kept.worth.as_ref().map(|worth| figures::dollars(&figures::whole_money(worth.value)));
    Some(worth.map_or_else(|| range.clone(), |worth| format!("{range}, worth {worth}")))
}

fn price_more(season: &BlockSeason) -> Option<String> {
    let packout = &season.packout;
    if packout.net_per_pound.is_none() {
        let boxes = packout.boxes.as_ref().map(|boxes| format!("{} boxes packed", figures::exact(boxes.value, 0)));
        return Some(boxes.unwrap_or_else(|| "nothing packed yet".to_owned()));
    }
    packout.net_per_box.as_ref().map(|each| format!("{} a box", figures::dollars(&figures::price(each.value, 2))))
}

fn price_known(season: &BlockSeason) -> Option<String> {
    let packout = &season.packout;
    known(packout.net_per_pound.as_ref()).or_else(|| known(packout.net_per_box.as_ref()))
}

fn over_all_more(season: &BlockSeason) -> Option<String> {
    let line = season.statement.line(StatementKey::OverAll);
    let whole = line.map(|line| figures::dollars(&figures::whole_money(line.amount.value)));
    Some(whole.map_or_else(|| "nothing sold yet".to_owned(), |whole| format!("{whole} for the block")))
}
