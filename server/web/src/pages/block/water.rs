//! Water applied against need, what the mulch did, and the mulch itself.

use print::chart;
use print::chart::svg::svg;
use print::{figures, words};
use reckon::figure::Figure;
use reckon::season::{BlockSeason, MulchLaid, Saving as ReckonedSaving, WaterSeason, WaterWeek};
use reckon::units::Inches;

use super::behind::how_anchor;
use crate::display::{evidence, shown};

/// Width and height of the chart in points, on a wide page and on a phone. A phone 390 pixels wide has
/// 354 for a chart: 230 points across give its letters 11.5 of them.
const WIDE: (f64, f64) = (420.0, 172.0);
const NARROW: (f64, f64) = (230.0, 176.0);

/// Water of the season.
pub(crate) struct Water {
    /// Our own SVG, for a wide page and for a phone.
    pub(crate) charts: Option<[String; 2]>,
    pub(crate) mulched: bool,
    /// What the chart says, in sentences.
    pub(crate) sentences: Vec<String>,
    /// The balance: name, inches, how known.
    pub(crate) lines: Vec<WaterLine>,
    /// How the applied water is known, part by part.
    pub(crate) parts: Vec<String>,
    /// Where reference evapotranspiration came from.
    pub(crate) eto: String,
    pub(crate) weeks: Vec<Week>,
    pub(crate) how_applied: String,
    pub(crate) how_need: String,
}

/// One line of the balance.
pub(crate) struct WaterLine {
    pub(crate) name: &'static str,
    pub(crate) value: String,
    pub(crate) unit: &'static str,
    pub(crate) evidence: String,
    pub(crate) class: &'static str,
}

/// One week of the chart as numbers: inches.
pub(crate) struct Week {
    pub(crate) starts: String,
    pub(crate) applied: String,
    pub(crate) rain: String,
    pub(crate) rain_kept: String,
    pub(crate) need: String,
    pub(crate) need_bare: String,
    pub(crate) drained: String,
    pub(crate) depletion: String,
}

impl Water {
    /// Without its cost for who sees no money.
    pub(crate) fn of(season: &BlockSeason, money: bool) -> Option<Self> {
        let water = &season.water;
        if water.sets == 0 && water.weeks.is_empty() {
            return None;
        }
        let draw = |(width, height), id| chart::water(water, width, height).map(|drawing| svg(&drawing, id));
        Some(Self {
            charts: draw(WIDE, "water-chart")
                .zip(draw(NARROW, "water-chart-narrow"))
                .map(|(wide, narrow)| [wide, narrow]),
            mulched: water.saving.is_some(),
            sentences: sentences(water),
            lines: lines(water, money),
            parts: parts(water),
            eto: eto(water),
            weeks: water.weeks.iter().map(Week::of).collect(),
            how_applied: how_anchor(season, "water-applied"),
            how_need: how_anchor(season, "crop-need"),
        })
    }
}

impl Week {
    fn of(week: &WaterWeek) -> Self {
        Self {
            starts: words::day(week.starts),
            applied: figures::quantity(week.applied),
            rain: figures::quantity(week.rain),
            rain_kept: figures::quantity(week.rain_kept),
            need: figures::quantity(week.need),
            need_bare: figures::quantity(week.need_bare),
            drained: figures::quantity(week.drained),
            depletion: figures::quantity(week.depletion),
        }
    }
}

fn inches(depth: &Figure<Inches>) -> String {
    format!("{} in", figures::float(depth.value.get(), 1))
}

fn sentences(water: &WaterSeason) -> Vec<String> {
    let applied = water.applied_depth.as_ref().map(|depth| match &water.applied_of_need {
        Some(share) => format!("Applied {}, {}% of crop need.", inches(depth), figures::quantity(share.value)),
        None => format!("Applied {}; without days of weather the need is not known.", inches(depth)),
    });
    let saving = water.saving.as_ref();
    let avoided = saving.map(|saving| format!("Bare soil would have lost {} more.", inches(&saving.avoided.depth)));
    let drained = water
        .drained
        .as_ref()
        .filter(|depth| depth.value.get() >= 0.05)
        .map(|depth| format!("{} drained below the roots.", inches(depth)));
    [applied, avoided, drained].into_iter().flatten().collect()
}

fn lines(water: &WaterSeason, money: bool) -> Vec<WaterLine> {
    let depth = |name, figure: &Option<Figure<Inches>>, class| {
        figure.as_ref().map(|depth| WaterLine {
            name,
            value: figures::quantity(depth.value),
            unit: "in",
            evidence: evidence(depth),
            class,
        })
    };
    let share = |name, figure: &Option<Figure<reckon::units::Share>>| {
        figure.as_ref().map(|share| WaterLine {
            name,
            value: figures::quantity(share.value),
            unit: "%",
            evidence: evidence(share),
            class: "",
        })
    };
    let need = if water.saving.is_some() { "Crop need, mulch as it lay" } else { "Crop need" };
    let all = [
        depth("Irrigation applied", &water.applied_depth, "sub"),
        depth("Rain", &water.rain, ""),
        depth("Rain that stayed in the roots", &water.rain_kept, ""),
        depth("Reference ET", &water.eto, ""),
        depth(need, &water.need, "sub"),
        depth("Used by trees and soil", &water.used, ""),
        depth("Drained below the roots", &water.drained, ""),
        share("Need met by irrigation and kept rain", &water.met),
        share("Applied of the gross need", &water.applied_of_need),
    ];
    all.into_iter().flatten().chain(bulk(water, money)).collect()
}

/// The same water as volume and, for who sees it, money.
fn bulk(water: &WaterSeason, money: bool) -> impl Iterator<Item = WaterLine> {
    let line = |name, value, unit, evidence| WaterLine { name, value, unit, evidence, class: "" };
    let gallons = water
        .applied
        .as_ref()
        .map(|all| line("Applied to the block", figures::quantity(all.value), "gal", evidence(all)));
    let per_tree = water
        .applied_per_tree
        .as_ref()
        .map(|each| line("Applied to a tree", figures::quantity(each.value), "gal", evidence(each)));
    let cost = water
        .cost
        .as_ref()
        .filter(|_| money)
        .map(|cost| line("Cost of the water", figures::money(cost.value), "$", evidence(cost)));
    [gallons, per_tree, cost].into_iter().flatten()
}

fn parts(water: &WaterSeason) -> Vec<String> {
    let said = |part: &reckon::season::AppliedPart| {
        let sets = figures::counted(part.sets, "set", "sets");
        format!("{sets} {}, {} gal", part.volume.evidence.word(), figures::quantity(part.volume.value))
    };
    water.parts.iter().map(said).collect()
}

/// `Penman-Monteith on 180 days, Hargreaves on 6 days`.
fn eto(water: &WaterSeason) -> String {
    let said = |(source, days): &(reckon::season::EtoSource, usize)| {
        format!("{} on {}", words::eto_source(*source), figures::counted(*days, "day", "days"))
    };
    water.eto_sources.iter().map(said).collect::<Vec<_>>().join(", ")
}

/// The three savings and what they rest on.
pub(crate) struct Saving {
    pub(crate) rows: Vec<SavingRow>,
    /// `1.9 to 2.9 in`.
    pub(crate) range: String,
    /// What the range stands for.
    pub(crate) range_of: String,
    /// Inches that drained because the sets were not cut; `None` where none did.
    pub(crate) extra_drained: Option<String>,
    /// Covered share of the surface, percent.
    pub(crate) covered: String,
    pub(crate) how: String,
}

/// One of the three, in every unit.
pub(crate) struct SavingRow {
    pub(crate) name: &'static str,
    pub(crate) about: &'static str,
    pub(crate) class: &'static str,
    pub(crate) per_acre: String,
    pub(crate) block: String,
    pub(crate) gallons: String,
    pub(crate) per_tree: String,
    pub(crate) worth: String,
    pub(crate) share: String,
}

impl Saving {
    pub(crate) fn of(season: &BlockSeason) -> Option<Self> {
        let saving = season.water.saving.as_ref()?;
        let (low, high) = saving.kept_range;
        let extra = &saving.extra_drained;
        Some(Self {
            rows: vec![
                row("Evaporation avoided", "bare soil less mulched, under the sets as they were", "", &saving.avoided),
                row("Kept", "avoided, less what drained because the sets were not cut", "sub", &saving.kept),
                row(
                    "Irrigation not needed",
                    "if each set had waited until the roots had used their readily available water",
                    "",
                    &saving.not_needed,
                ),
            ],
            range: format!("{} to {} in", figures::float(low.get(), 1), figures::float(high.get(), 1)),
            range_of: format!(
                "± {}% of the mulch rule with its covered share and ± {}% of the soil's evaporable water",
                figures::quantity(saving.range_of.0),
                figures::quantity(saving.range_of.1)
            ),
            extra_drained: (extra.value.get() >= 0.05).then(|| inches(extra)),
            covered: figures::quantity(saving.covered.value),
            how: how_anchor(season, "mulch-kept"),
        })
    }
}

fn row(name: &'static str, about: &'static str, class: &'static str, saving: &ReckonedSaving) -> SavingRow {
    SavingRow {
        name,
        about,
        class,
        per_acre: figures::float(saving.acre_inches_per_acre.value.get(), 2),
        block: figures::quantity(saving.acre_inches.value),
        gallons: figures::quantity(saving.gallons.value),
        per_tree: shown(saving.gallons_per_tree.as_ref().map(|each| figures::quantity(each.value))),
        worth: shown(saving.worth.as_ref().map(|worth| figures::money(worth.value))),
        share: shown(saving.share_of_need.as_ref().map(|share| figures::float(share.value.get(), 1))),
    }
}

/// One laying of mulch.
pub(crate) struct MulchRow {
    pub(crate) date: String,
    pub(crate) material: String,
    pub(crate) depth: String,
    pub(crate) covered: String,
    pub(crate) share: String,
    pub(crate) volume: String,
    pub(crate) cost: String,
    pub(crate) season_cost: String,
}

pub(crate) fn mulch_rows(season: &BlockSeason) -> Vec<MulchRow> {
    season.mulch.laid.iter().map(mulch_row).collect()
}

fn mulch_row(laid: &MulchLaid) -> MulchRow {
    MulchRow {
        date: words::full_day(laid.date),
        material: laid.material.clone(),
        depth: figures::float(laid.depth.get(), 1),
        covered: shown(laid.covered.as_ref().map(|area| figures::quantity(area.value))),
        share: shown(laid.covered_share.as_ref().map(|share| figures::quantity(share.value))),
        volume: shown(laid.volume.as_ref().map(|volume| figures::quantity(volume.value))),
        cost: words::mulch_cost(laid.cost.as_ref()),
        season_cost: words::mulch_cost(laid.season_cost.as_ref()),
    }
}
