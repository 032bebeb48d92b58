//! One struct, the reckoned block season: every page, PDF, spreadsheet and JSON reads this and
//! nothing else, so they cannot disagree.

mod labor;

use chrono::NaiveDate;
use rust_decimal::Decimal;

pub use labor::{LaborMeasure, LaborSeason, MethodPass, TaskLabor, TreesFrom};

use crate::block::{Block, Farm, Season};
use crate::break_even::BreakEven;
use crate::exact::{Acres, Boxes, Pounds, Years, unit};
use crate::figure::{Figure, Gap, Kept};
use crate::money::{Money, UnitPrice};
use crate::ranging::Ranging;
use crate::records::{
    CanopyDay, Cost, FruitCount, IrrigationSet, LaborEntry, MulchApplication, Observation, OwnSize, PackoutLine, Pick,
    PriceLine, Rate, SettlementLine, TensionReading, WeatherDay,
};
use crate::units::{
    AcreInches, AcreInchesPerAcre, BoxesPerAcre, Count, CubicYards, FruitPerTree, GallonsPerTree, GallonsUs, Inches,
    Kilopascals, PoundsPerTree, Share, SquareFeet,
};
use crate::water::advice::WaterAdvice;
use crate::water::metered::MeteredSaving;
use crate::water::months::{RainCheck, WaterMonth};
use crate::water::run::WaterRuns;
use crate::water::tension::TensionBand;

/// A cost that belongs to a farm or the whole operation, with the blocks it is shared among.
#[derive(Debug, Clone, PartialEq)]
pub struct SharedCost {
    /// The invoice.
    pub cost: Kept<Cost>,
    /// Weight of each block under the cost's basis, in the order of block ids.
    pub weights: Vec<Decimal>,
    /// Which of the weights is this block's.
    pub own: usize,
}

/// Everything recorded about one block in one season. Lists are sorted by date, then id.
#[derive(Debug, Clone, PartialEq)]
pub struct SeasonRecords {
    /// Name of the operation.
    pub operation: String,
    /// The block's farm.
    pub farm: Farm,
    /// The block.
    pub block: Block,
    /// The season.
    pub season: Season,
    /// Crew days.
    pub labor: Vec<Kept<LaborEntry>>,
    /// Counts before and after thinning.
    pub fruit_counts: Vec<Kept<FruitCount>>,
    /// Sets of irrigation.
    pub irrigation: Vec<Kept<IrrigationSet>>,
    /// Tension readings.
    pub tension: Vec<Kept<TensionReading>>,
    /// Days of the farm's weather station.
    pub weather: Vec<Kept<WeatherDay>>,
    /// Canopy values by day.
    pub canopy: Vec<Kept<CanopyDay>>,
    /// Mulch laid in this season, or laid earlier and still within its life.
    pub mulch: Vec<Kept<MulchApplication>>,
    /// Picks.
    pub picks: Vec<Kept<Pick>>,
    /// Packing-line reports.
    pub packout: Vec<Kept<PackoutLine>>,
    /// Settlements.
    pub settlements: Vec<Kept<SettlementLine>>,
    /// Costs of this block alone.
    pub costs: Vec<Kept<Cost>>,
    /// Costs shared with other blocks.
    pub shared_costs: Vec<SharedCost>,
    /// Price list.
    pub prices: Vec<Kept<PriceLine>>,
    /// Wage, payroll and water rates.
    pub rates: Vec<Kept<Rate>>,
    /// The operation's own sizes.
    pub sizes: Vec<Kept<OwnSize>>,
    /// Bloom, hail, frost.
    pub observations: Vec<Kept<Observation>>,
}

impl SeasonRecords {
    /// A block season in which nothing was recorded yet: where every list of records begins.
    pub fn without_records(operation: String, farm: Farm, block: Block, season: Season) -> Self {
        Self {
            operation,
            farm,
            block,
            season,
            labor: Vec::new(),
            fruit_counts: Vec::new(),
            irrigation: Vec::new(),
            tension: Vec::new(),
            weather: Vec::new(),
            canopy: Vec::new(),
            mulch: Vec::new(),
            picks: Vec::new(),
            packout: Vec::new(),
            settlements: Vec::new(),
            costs: Vec::new(),
            shared_costs: Vec::new(),
            prices: Vec::new(),
            rates: Vec::new(),
            sizes: Vec::new(),
            observations: Vec::new(),
        }
    }
}

/// The reckoned season of a block.
#[derive(Debug, Clone, PartialEq)]
pub struct BlockSeason {
    /// What the report is about.
    pub heading: Heading,
    /// Hours and cost of labor.
    pub labor: LaborSeason,
    /// Counts, removed share, spacing.
    pub thinning: ThinningSeason,
    /// Applied water against need, and what mulch saved.
    pub water: WaterSeason,
    /// Mulch laid and what it costs a season.
    pub mulch: MulchSeason,
    /// Boxes, sizes, grades, prices.
    pub packout: PackoutSeason,
    /// What the block earned.
    pub statement: Statement,
    /// Bloom, hail, frost.
    pub observations: Vec<Observation>,
    /// What is missing, and what is worth a look. Sorted.
    pub gaps: Vec<Gap>,
    /// How each figure was reckoned: formula, source, convention.
    pub how: Vec<HowReckoned>,
}

/// What the report is about.
#[derive(Debug, Clone, PartialEq)]
pub struct Heading {
    /// Name of the operation.
    pub operation: String,
    /// The farm.
    pub farm: Farm,
    /// The block.
    pub block: Block,
    /// The season.
    pub season: Season,
    /// Number of records read.
    pub records: usize,
}

/// What the counts say.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ThinningSeason {
    /// Trees or branches counted both before and after.
    pub samples: usize,
    /// Share of the fruit taken off: 1 - sum(after)/sum(before), a ratio estimate.
    pub removed: Option<Figure<Share>>,
    /// Standard error of `removed`, percentage points; needs two samples.
    pub removed_standard_error: Option<Figure<Share>>,
    /// Fruit on a tree before, from whole-tree counts.
    pub before_per_tree: Option<Figure<FruitPerTree>>,
    /// Fruit left on a tree, from whole-tree counts.
    pub left_per_tree: Option<Figure<FruitPerTree>>,
    /// Fruit taken off the whole block.
    pub removed_in_block: Option<Figure<Count>>,
    /// Length of shoot for each fruit left, a ratio estimate.
    pub spacing: Option<Figure<Inches>>,
    /// Standard error of `spacing`; needs two samples.
    pub spacing_standard_error: Option<Figure<Inches>>,
    /// Standard error of `left_per_tree`; needs two trees.
    pub left_standard_error: Option<Figure<FruitPerTree>>,
    /// Crop to be expected: fruit left on the block's bearing trees, before any drop.
    pub crop: Option<Figure<Count>>,
    /// Standard error of `crop`; needs two trees.
    pub crop_standard_error: Option<Figure<Count>>,
    /// Fruit left on a tree as a share of what the block wants.
    pub left_of_target: Option<Figure<Share>>,
    /// Mean diameter of the fruit when it was counted.
    pub diameter: Option<Figure<Inches>>,
}

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
    /// What the meters say mulch saved; filled by [`BlockSeason::with_comparisons`].
    pub metered_saving: Option<MeteredSaving>,
    /// What is left in the roots on the last day with weather, and the next set.
    pub advice: Option<WaterAdvice>,
    /// The daily runs behind all this; `None` without weather.
    pub runs: Option<WaterRuns>,
}

/// One mulch application.
#[derive(Debug, Clone, PartialEq)]
pub struct MulchLaid {
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
    /// Material, delivery and spreading.
    pub cost: Figure<Money>,
    /// The part of it that falls on this season: straight line over its life, or capital recovery
    /// where the block has an interest.
    pub season_cost: Figure<Money>,
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

/// Fruit of one size class and grade, or of one row or column of that table.
#[derive(Debug, Clone, PartialEq)]
pub struct PackoutCell {
    /// Size class; `None` in a grade's total.
    pub size_class: Option<String>,
    /// Grade; `None` in a size class's total.
    pub grade: Option<String>,
    /// Boxes packed.
    pub boxes: Figure<Boxes>,
    /// Net weight; `None` when some lines carry no weight.
    pub weight: Option<Figure<Pounds>>,
    /// Share of packed weight (of boxes where weight is missing); the shares of a list sum to 100 exactly.
    pub share: Figure<Share>,
    /// Net to grower: settled, or at the price list, or neither.
    pub net: Option<Figure<Money>>,
    /// Net to grower for each box, weighted.
    pub net_per_box: Option<Figure<UnitPrice<unit::Carton>>>,
    /// Net to grower for each pound, weighted.
    pub net_per_pound: Option<Figure<UnitPrice<unit::Pound>>>,
    /// What a pound brings over one of the next smaller class that has a price, in the same grade;
    /// `None` in a grade's total.
    pub premium_per_pound: Option<Figure<UnitPrice<unit::Pound>>>,
    /// The same for a box.
    pub premium_per_box: Option<Figure<UnitPrice<unit::Carton>>>,
}

/// Fruit packed in one week, and what it brought. A week's boxes are those packed in it; the
/// earliest settlement pays the earliest packed boxes.
#[derive(Debug, Clone, PartialEq)]
pub struct PackoutWeek {
    /// Its Monday.
    pub starts: NaiveDate,
    /// Boxes packed.
    pub boxes: Figure<Boxes>,
    /// Net weight; `None` when some lines carry no weight.
    pub weight: Option<Figure<Pounds>>,
    /// Net to grower: settled, or at the price list, or neither.
    pub net: Option<Figure<Money>>,
    /// Net to grower for each box that has a value.
    pub net_per_box: Option<Figure<UnitPrice<unit::Carton>>>,
    /// Net to grower for each pound that has a value.
    pub net_per_pound: Option<Figure<UnitPrice<unit::Pound>>>,
}

/// Fruit thrown out for one cause.
#[derive(Debug, Clone, PartialEq)]
pub struct CullLine {
    /// Why.
    pub cause: String,
    /// How much; `None` when some lines carry no weight.
    pub weight: Option<Figure<Pounds>>,
}

/// Boxes, sizes, grades, prices.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PackoutSeason {
    /// Boxes packed.
    pub boxes: Option<Figure<Boxes>>,
    /// Packed weight.
    pub weight: Option<Figure<Pounds>>,
    /// Boxes from each acre.
    pub boxes_per_acre: Option<Figure<BoxesPerAcre>>,
    /// Packed pounds from each tree.
    pub weight_per_tree: Option<Figure<PoundsPerTree>>,
    /// Picked weight.
    pub picked: Option<Figure<Pounds>>,
    /// Packed share of packed and culled weight.
    pub packed_share: Option<Figure<Share>>,
    /// Net to grower for each pound, all sizes and grades.
    pub net_per_pound: Option<Figure<UnitPrice<unit::Pound>>>,
    /// Net to grower for each box, all sizes and grades.
    pub net_per_box: Option<Figure<UnitPrice<unit::Carton>>>,
    /// Each size class and grade that occurs; sizes in list order, then grades.
    pub cells: Vec<PackoutCell>,
    /// Each size class.
    pub sizes: Vec<PackoutCell>,
    /// Each grade.
    pub grades: Vec<PackoutCell>,
    /// Each published size class, where the operation's own list says what its words stand for; words
    /// that stand for none keep their own row. Empty without such a list.
    pub classes: Vec<PackoutCell>,
    /// Each week of packing.
    pub weeks: Vec<PackoutWeek>,
    /// Culls by cause.
    pub culls: Vec<CullLine>,
    /// Packed weight of the fruit that has a value: what `net_per_pound` divides by.
    pub priced_weight: Option<Figure<Pounds>>,
    /// Boxes that neither a settlement nor the price list values.
    pub boxes_without_price: Option<Figure<Boxes>>,
    /// Boxes that no settlement has paid yet, whether or not the price list values them.
    pub boxes_unsettled: Option<Figure<Boxes>>,
}

/// What a line of the statement is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LineRole {
    /// An amount.
    Item,
    /// A sum of the lines above.
    Subtotal,
    /// The last sum.
    Total,
}

/// A line's place in the statement; also its key in JSON and spreadsheets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StatementKey {
    /// Gross sales.
    Gross,
    /// Packing, cooling, commission, freight kept back by the buyer.
    Charges,
    /// Gross less charges.
    NetToGrower,
    /// Labor of thinning.
    ThinningLabor,
    /// Other growing labor.
    OtherGrowingLabor,
    /// Water.
    Water,
    /// Other growing costs.
    OtherGrowing,
    /// Harvest labor.
    HarvestLabor,
    /// Other harvest costs.
    OtherHarvest,
    /// Assessments.
    Assessments,
    /// Interest on operating capital.
    Interest,
    /// All of these.
    OperatingCosts,
    /// Net to grower less operating costs.
    OverOperating,
    /// Cash overhead.
    CashOverhead,
    /// Return after cash overhead.
    OverCash,
    /// Mulch over its life.
    MulchOverLife,
    /// Other capital recovery.
    NonCashOverhead,
    /// Return after everything.
    OverAll,
}

impl StatementKey {
    /// Key in JSON and spreadsheets.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Gross => "gross",
            Self::Charges => "charges",
            Self::NetToGrower => "net_to_grower",
            Self::ThinningLabor => "thinning_labor",
            Self::OtherGrowingLabor => "other_growing_labor",
            Self::Water => "water",
            Self::OtherGrowing => "other_growing_costs",
            Self::HarvestLabor => "harvest_labor",
            Self::OtherHarvest => "other_harvest_costs",
            Self::Assessments => "assessments",
            Self::Interest => "interest_on_operating_capital",
            Self::OperatingCosts => "operating_costs",
            Self::OverOperating => "return_over_operating_costs",
            Self::CashOverhead => "cash_overhead",
            Self::OverCash => "return_over_cash_costs",
            Self::MulchOverLife => "mulch_over_life",
            Self::NonCashOverhead => "non_cash_overhead",
            Self::OverAll => "return_over_all_costs",
        }
    }

    /// Words on pages and in reports.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Gross => "Gross",
            Self::Charges => "Packing, cooling, selling, freight",
            Self::NetToGrower => "Net to grower",
            Self::ThinningLabor => "Thinning labor",
            Self::OtherGrowingLabor => "Other growing labor",
            Self::Water => "Water",
            Self::OtherGrowing => "Other growing costs",
            Self::HarvestLabor => "Harvest labor",
            Self::OtherHarvest => "Other harvest costs",
            Self::Assessments => "Assessments",
            Self::Interest => "Interest on operating capital",
            Self::OperatingCosts => "Operating costs",
            Self::OverOperating => "Return over operating costs",
            Self::CashOverhead => "Cash overhead",
            Self::OverCash => "Return over cash costs",
            Self::MulchOverLife => "Mulch over its life",
            Self::NonCashOverhead => "Non-cash overhead",
            Self::OverAll => "Return over all costs",
        }
    }
}

/// One line of the statement. Costs are negative.
#[derive(Debug, Clone, PartialEq)]
pub struct StatementLine {
    /// Which.
    pub key: StatementKey,
    /// Item, subtotal or total.
    pub role: LineRole,
    /// The amount for the block.
    pub amount: Figure<Money>,
    /// For each acre, from the unrounded amount.
    pub per_acre: Option<UnitPrice<unit::Acre>>,
    /// For each tree.
    pub per_tree: Option<UnitPrice<unit::Tree>>,
    /// For each packed box.
    pub per_box: Option<UnitPrice<unit::Carton>>,
    /// For each pound packed, or sold where none were packed.
    pub per_pound: Option<UnitPrice<unit::Pound>>,
}

impl StatementLine {
    /// Money that came back: a cost line above zero, or gross below it.
    pub fn is_credit(&self) -> bool {
        let cents = self.amount.value.cents();
        self.role == LineRole::Item && if self.key == StatementKey::Gross { cents < 0 } else { cents > 0 }
    }
}

/// What the block earned, in the order of the published cost-and-return studies.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Statement {
    /// Every line, in order. Empty when there is nothing to state.
    pub lines: Vec<StatementLine>,
    /// Pounds packed, or sold where none were packed: what a line's `per_pound` divides by.
    pub pounds: Option<Pounds>,
    /// Part of net to grower that rests on the price list and not on a settlement.
    pub unsettled: Option<Figure<Money>>,
    /// Break-even price and yield at each level of cost; empty without a crop or without costs.
    pub break_even: Vec<BreakEven>,
    /// Return over yields and prices around the block's own; `None` before anything is sold.
    pub ranging: Option<Ranging>,
}

impl Statement {
    /// The line of this key.
    pub fn line(&self, key: StatementKey) -> Option<&StatementLine> {
        self.lines.iter().find(|line| line.key == key)
    }
}

/// How a figure was reckoned.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HowReckoned {
    /// Anchor and JSON key: "labor-per-tree".
    pub id: &'static str,
    /// The figure it explains.
    pub title: &'static str,
    /// The formula in words.
    pub formula: String,
    /// Where the formula comes from.
    pub source: &'static str,
}

impl BlockSeason {
    /// Acres of the block.
    pub fn acres(&self) -> Acres {
        self.heading.block.acres
    }
}
