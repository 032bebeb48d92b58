//! Water applied against need, what the mulch did, and the mulch itself.

use print::chart;
use print::chart::svg::svg;
use print::{figures, words};
use reckon::figure::Figure;
use reckon::season::{BlockSeason, MulchLaid, Saving as ReckonedSaving, WaterSeason, WaterWeek};
use reckon::units::Inches;

use super::behind::how_anchor;
use crate::display::{evidence, shown};

/// Width and height of the chart in points, on a wide page and on a phone.
const WIDE: (f64, f64) = (420.0, 172.0);
const NARROW: (f64, f64) = (268.0, 176.0);

/// Water of the season.
pub(super) struct Water {
    /// Our own SVG, for a wide page and for a phone.
    pub(super) charts: Option<[String; 2]>,
    pub(super) mulched: bool,
    /// What the chart says, in sentences.
    pub(super) sentences: Vec<String>,
    /// The balance: name, inches, how known.
    pub(super) lines: Vec<WaterLine>,
    /// How the applied water is known, part by part.
    pub(super) parts: Vec<String>,
    /// Where reference evapotranspiration came from.
    pub(super) eto: String,
    pub(super) weeks: Vec<Week>,
    pub(super) how_applied: String,
    pub(super) how_need: String,
}

/// One line of the balance.
pub(super) struct WaterLine {
    pub(super) name: &'static str,
    pub(super) value: String,
    pub(super) unit: &'static str,
    pub(super) evidence: String,
    pub(super) class: &'static str,
}

/// One week of the chart as numbers: inches.
pub(super) struct Week {
    pub(super) starts: String,
    pub(super) applied: String,
    pub(super) rain: String,
    pub(super) rain_kept: String,
    pub(super) need: String,
    pub(super) need_bare: String,
    pub(super) drained: String,
    pub(super) depletion: String,
}

impl Water {
    pub(super) fn of(season: &BlockSeason) -> Option<Self> {
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
            lines: lines(water),
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

fn lines(water: &WaterSeason) -> Vec<WaterLine> {
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
    all.into_iter().flatten().chain(bulk(water)).collect()
}

/// The same water as volume and money.
fn bulk(water: &WaterSeason) -> impl Iterator<Item = WaterLine> {
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
        .map(|cost| line("Cost of the water", figures::whole_money(cost.value), "$", evidence(cost)));
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
pub(super) struct Saving {
    pub(super) rows: Vec<SavingRow>,
    /// `1.9 to 2.9 in`.
    pub(super) range: String,
    /// Inches that drained because the sets were not cut; `None` where none did.
    pub(super) extra_drained: Option<String>,
    /// Covered share of the surface, percent.
    pub(super) covered: String,
    pub(super) how: String,
}

/// One of the three, in every unit.
pub(super) struct SavingRow {
    pub(super) name: &'static str,
    pub(super) about: &'static str,
    pub(super) class: &'static str,
    pub(super) per_acre: String,
    pub(super) block: String,
    pub(super) gallons: String,
    pub(super) per_tree: String,
    pub(super) worth: String,
    pub(super) share: String,
}

impl Saving {
    pub(super) fn of(season: &BlockSeason) -> Option<Self> {
        let saving = season.water.saving.as_ref()?;
        let (low, high) = saving.kept_range;
        let extra = &saving.extra_drained;
        Some(Self {
            rows: vec![
                row("Evaporation avoided", "bare soil less mulched, under the sets as they were", "", &saving.avoided),
                row("Kept", "avoided, less what drained because the sets were not cut", "sub", &saving.kept),
                row("Irrigation not needed", "had each set waited for the roots to ask", "", &saving.not_needed),
            ],
            range: format!("{} to {} in", figures::float(low.get(), 1), figures::float(high.get(), 1)),
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
        worth: shown(saving.worth.as_ref().map(|worth| figures::whole_money(worth.value))),
        share: shown(saving.share_of_need.as_ref().map(|share| figures::float(share.value.get(), 1))),
    }
}

/// One laying of mulch.
pub(super) struct MulchRow {
    pub(super) date: String,
    pub(super) material: String,
    pub(super) depth: String,
    pub(super) covered: String,
    pub(super) share: String,
    pub(super) volume: String,
    pub(super) cost: String,
    pub(super) season_cost: String,
}

pub(super) fn mulch_rows(season: &BlockSeason) -> Vec<MulchRow> {
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
        cost: figures::whole_money(laid.cost.value),
        season_cost: figures::whole_money(laid.season_cost.value),
    }
}
