//! One struct, the reckoned block season: every page, PDF, spreadsheet and JSON reads this and
//! nothing else, so they cannot disagree.

mod labor;
mod packout;
mod statement;
mod water;

use chrono::NaiveDate;
use rust_decimal::Decimal;

pub use labor::{LaborMeasure, LaborSeason, MethodPass, PayBasis, TaskLabor, TreesFrom};
pub use packout::{CullLine, PackoutCell, PackoutSeason, PackoutWeek};
pub use statement::{LineRole, Statement, StatementKey, StatementLine};
pub use water::{
    AppliedPart, EtoSource, MulchLaid, MulchSaving, MulchSeason, Saving, TensionPoint, WaterSeason, WaterWeek,
};

use crate::block::{Block, Farm, Season};
use crate::exact::Acres;
use crate::figure::{Figure, Gap, Kept};
use crate::records::{
    CanopyDay, Cost, FruitCount, IrrigationSet, LaborEntry, MulchApplication, Observation, OwnSize, PackoutLine, Pick,
    PriceLine, Rate, SettlementLine, TensionReading, ThinningMethod, ThinningTarget, WeatherDay,
};
use crate::thinning::guides::Guide;
use crate::thinning::target::Wanted;
use crate::units::{Count, FruitPerTree, Inches, Share};

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
    /// The operation's thinning targets.
    pub targets: Vec<Kept<ThinningTarget>>,
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
            targets: Vec::new(),
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
    /// Trees or branches counted both before and after, behind `removed`.
    pub samples: usize,
    /// Of these, whole trees; the others are branches.
    pub whole_trees: usize,
    /// Whole trees behind `left_per_tree`: those counted after, before as well or not.
    pub left_trees: usize,
    /// Share of the fruit taken off: 1 - sum(after)/sum(before), a ratio estimate.
    pub removed: Option<Figure<Share>>,
    /// Standard error of `removed`, percentage points; needs two samples.
    pub removed_standard_error: Option<Figure<Share>>,
    /// Fruit on a tree before, from whole trees counted before and after.
    pub before_per_tree: Option<Figure<FruitPerTree>>,
    /// Standard error of `before_per_tree`; needs two trees.
    pub before_standard_error: Option<Figure<FruitPerTree>>,
    /// Fruit left on a tree, from whole trees counted after.
    pub left_per_tree: Option<Figure<FruitPerTree>>,
    /// Fruit taken off all trees that were thinned.
    pub removed_in_block: Option<Figure<Count>>,
    /// Standard error of `removed_in_block`; needs two trees.
    pub removed_in_block_standard_error: Option<Figure<Count>>,
    /// Trees that would put the mean of `left_per_tree` within 10% of itself (95%), going by the spread of
    /// those counted; `None` of one tree, where the block has fewer, and where methods have trees of their own.
    pub trees_to_count: Option<Figure<Count>>,
    /// Length of shoot for each fruit left, a ratio estimate.
    pub spacing: Option<Figure<Inches>>,
    /// Standard error of `spacing`; needs two samples.
    pub spacing_standard_error: Option<Figure<Inches>>,
    /// Standard error of `left_per_tree`; needs two trees.
    pub left_standard_error: Option<Figure<FruitPerTree>>,
    /// Crop to be expected: fruit left on the block's bearing trees, before any drop. Of a block thinned in part
    /// the other trees bear what was counted before.
    pub crop: Option<Figure<Count>>,
    /// Standard error of `crop`; needs two trees, and a block thinned whole.
    pub crop_standard_error: Option<Figure<Count>>,
    /// Fruit wanted on a tree, and where that stands.
    pub target: Option<Wanted<FruitPerTree>>,
    /// Fruit left on a tree as a share of what is wanted.
    pub left_of_target: Option<Figure<Share>>,
    /// Shoot wanted for each fruit, and where that stands.
    pub target_spacing: Option<Wanted<Inches>>,
    /// Length of shoot for each fruit left as a share of what is wanted.
    pub spacing_of_target: Option<Figure<Share>>,
    /// Published ranges beside a measured spacing, where none is wanted. No target is made of them.
    pub guides: Vec<&'static Guide>,
    /// First day of thinning that no count of fruit left followed, and the day of the last count.
    pub again_from: Option<(NaiveDate, NaiveDate)>,
    /// Trees thinned and bearing trees, of a block thinned in part.
    pub in_part: Option<(u64, u32)>,
    /// Mean diameter of the fruit when it was counted.
    pub diameter: Option<Figure<Inches>>,
    /// What each method took, where counts name it; in the order of methods.
    pub by_method: Vec<MethodTaken>,
}

/// What one method of thinning took from the trees and branches counted under its name.
#[derive(Debug, Clone, PartialEq)]
pub struct MethodTaken {
    /// The method.
    pub method: ThinningMethod,
    /// Trees or branches it was counted on.
    pub samples: usize,
    /// Share it took of the fruit that it met there, a ratio estimate.
    pub removed: Figure<Share>,
    /// Fruit it took from a tree; `None` where only branches were counted.
    pub per_tree: Option<Figure<FruitPerTree>>,
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
