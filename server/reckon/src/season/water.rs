//! Water and mulch as the season holds them.

use chrono::NaiveDate;

use crate::exact::Years;
use crate::figure::{Figure, RecordRef};
use crate::money::Money;
use crate::units::{
    AcreInches, AcreInchesPerAcre, Count, CubicYards, GallonsPerTree, GallonsUs, Inches, Kilopascals, Share, SquareFeet,
};
use crate::water::advice::WaterAdvice;
use crate::water::metered::MeteredSaving;
use crate::water::months::{RainCheck, WaterMonth};
use crate::water::run::WaterRuns;
use crate::water::tension::TensionBand;

/// How reference evapotranspiration was known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum EtoSource {
    /// As the station gives it.
    Station,
    /// Penman-Monteith from radiation, humidity and wind.
    PenmanMonteith,
    /// Penman-Monteith with what was not measured estimated by rule.
    PenmanMonteithFilled,
    /// Hargreaves from temperatures alone.
    Hargreaves,
}

/// Water applied, by how it is known; the parts are never added without saying so.
#[derive(Debug, Clone, PartialEq)]
pub struct AppliedPart {
    /// How the part is known: metered, counted (runtime x flow), or invoiced (a depth given).
    pub volume: Figure<GallonsUs>,
    /// Sets in it.
    pub sets: usize,
}

/// One week of the water chart. Depths over the block's whole area.
#[derive(Debug, Clone, PartialEq)]
pub struct WaterWeek {
    /// First day of the week (a Monday), or the first day of the run.
    pub starts: NaiveDate,
    /// Days of the week within the run.
    pub days: u32,
    /// Crop need under the mulch as it lay.
    pub need: Inches,
    /// Crop need had the soil been bare.
    pub need_bare: Inches,
    /// Irrigation applied, gross.
    pub applied: Inches,
    /// Rain as it fell.
    pub rain: Inches,
    /// Rain that stayed in the root zone.
    pub rain_kept: Inches,
    /// Water that drained below the roots.
    pub drained: Inches,
    /// Root-zone depletion on the last evening.
    pub depletion: Inches,
}

/// One of the three savings, in every unit the report prints.
#[derive(Debug, Clone, PartialEq)]
pub struct Saving {
    /// Depth over the block.
    pub depth: Figure<Inches>,
    /// The same, as growers say it.
    pub acre_inches_per_acre: Figure<AcreInchesPerAcre>,
    /// Volume over the block.
    pub acre_inches: Figure<AcreInches>,
    /// Volume over the block.
    pub gallons: Figure<GallonsUs>,
    /// To each tree.
    pub gallons_per_tree: Option<Figure<GallonsPerTree>>,
    /// At the water rate that holds at the season's end.
    pub worth: Option<Figure<Money>>,
    /// As a share of bare-soil crop need.
    pub share_of_need: Option<Figure<Share>>,
}

/// What mulch did to the water balance: three figures, never one vague "saved".
#[derive(Debug, Clone, PartialEq)]
pub struct MulchSaving {
    /// E(bare) - E(mulched) under the block's own irrigation.
    pub avoided: Saving,
    /// Avoided less the extra deep drainage: what the trees could still use.
    pub kept: Saving,
    /// Low and high end of `kept`, inches, from covered share and evaporation parameters.
    pub kept_range: (Inches, Inches),
    /// What the range stands for: ± percent of the mulch rule with its covered share, and ± percent
    /// of the evaporable water of the soil.
    pub range_of: (Share, Share),
    /// Gross irrigation the depletion rule would not have called for.
    pub not_needed: Saving,
    /// Extra water that drained below the roots because the sets were not cut.
    pub extra_drained: Figure<Inches>,
    /// The covered share of the whole surface on the last day, percent.
    pub covered: Figure<Share>,
}

/// A tension reading for the chart.
#[derive(Debug, Clone, PartialEq)]
pub struct TensionPoint {
    /// The day.
    pub date: NaiveDate,
    /// Depth of the instrument.
    pub depth: Inches,
    /// The reading.
    pub tension: Kilopascals,
    /// What it says in the block's soil.
    pub band: TensionBand,
    /// Root-zone depletion by the balance on that evening; `None` outside the balance.
    pub depletion: Option<Inches>,
}

/// Applied water against need.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WaterSeason {
    /// Sets of irrigation.
    pub sets: usize,
    /// All water applied; evidence is the weakest of its parts.
    pub applied: Option<Figure<GallonsUs>>,
    /// The same as depth over the block.
    pub applied_depth: Option<Figure<Inches>>,
    /// The same to each tree.
    pub applied_per_tree: Option<Figure<GallonsPerTree>>,
    /// By how it is known.
    pub parts: Vec<AppliedPart>,
    /// What the water cost at the rates that held.
    pub cost: Option<Figure<Money>>,
    /// First and last day of the balance.
    pub span: Option<(NaiveDate, NaiveDate)>,
    /// Where reference ET came from, with days of each.
    pub eto_sources: Vec<(EtoSource, usize)>,
    /// Reference ET over the span.
    pub eto: Option<Figure<Inches>>,
    /// Crop need over the span, mulch as it lay, no stress.
    pub need: Option<Figure<Inches>>,
    /// What the trees and soil really used, stress included.
    pub used: Option<Figure<Inches>>,
    /// Rain over the span.
    pub rain: Option<Figure<Inches>>,
    /// Rain that the balance kept.
    pub rain_kept: Option<Figure<Inches>>,
    /// Drained below the roots.
    pub drained: Option<Figure<Inches>>,
    /// Net irrigation and kept rain as a share of need.
    pub met: Option<Figure<Share>>,
    /// Gross irrigation as a share of the gross need (need less kept rain, over efficiency).
    pub applied_of_need: Option<Figure<Share>>,
    /// The chart's weeks.
    pub weeks: Vec<WaterWeek>,
    /// Calendar months.
    pub months: Vec<WaterMonth>,
    /// Kept rain against a monthly formula; `None` without a whole month.
    pub rain_check: Option<RainCheck>,
    /// Tension readings, for the chart.
    pub tension: Vec<TensionPoint>,
    /// What mulch did; `None` without mulch or without weather.
    pub saving: Option<MulchSaving>,
    /// What the meters say mulch saved; filled by [`BlockSeason::with_comparisons`](super::BlockSeason::with_comparisons).
    pub metered_saving: Option<MeteredSaving>,
    /// What is left in the roots on the last day with weather, and the next set.
    pub advice: Option<WaterAdvice>,
    /// The daily runs behind all this; `None` without weather.
    pub runs: Option<WaterRuns>,
}

/// One mulch application.
#[derive(Debug, Clone, PartialEq)]
pub struct MulchLaid {
    /// The record of it.
    pub record: RecordRef,
    /// When.
    pub date: NaiveDate,
    /// What.
    pub material: String,
    /// Depth as laid.
    pub depth: Inches,
    /// Depth left on the season's last day, by the block's settling.
    pub depth_left: Inches,
    /// Floor covered, clear rings taken out.
    pub covered: Option<Figure<SquareFeet>>,
    /// Covered share of the block's surface.
    pub covered_share: Option<Figure<Share>>,
    /// Volume needed.
    pub volume: Option<Figure<CubicYards>>,
    /// Material, delivery and spreading: zero where it was free, `None` where nobody gave any of them.
    pub cost: Option<Figure<Money>>,
    /// The part of it that falls on this season: straight line over its life, or capital recovery
    /// where the block has an interest.
    pub season_cost: Option<Figure<Money>>,
    /// How long it lasts; one season where nobody said.
    pub life: Years,
    /// Seasons of water kept as in this one that pay for it: its cost over its part of the worth, by
    /// the floor it covers. `None` where no water was kept or has a price.
    pub payback: Option<Figure<Count>>,
}

/// Mulch in the season.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MulchSeason {
    /// Each application still within its life.
    pub laid: Vec<MulchLaid>,
    /// Season cost of all of them.
    pub season_cost: Option<Figure<Money>>,
    /// Season cost over value of water kept, in seasons; needs both.
    pub cost_over_value: Option<Figure<Count>>,
    /// Seasons of water kept as in this one that pay for all of it.
    pub payback: Option<Figure<Count>>,
}
