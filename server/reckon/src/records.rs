//! The record kinds: what a person or a machine wrote down, checked and typed, without the block.
//!
//! Which block, farm, station or operation a record belongs to is kept beside it ([`Attach`]), so
//! the reckoning of one block sees plain records.

mod alike;
mod cost;

use chrono::NaiveDate;

pub use alike::Likeness;
pub use cost::{Cost, CostGroup, Lasting, SharedBasis, Shares};

use crate::exact::{Bins, Boxes, Hours, Percent, Pieces, Pounds, Years, unit};
use crate::figure::RecordKind;
use crate::money::{Money, UnitPrice};
pub use crate::size_classes::own::OwnSize;
use crate::units::{
    Celsius, Feet, GallonsPerHour, Inches, Kilopascals, MegajoulesPerSquareMetre, MetresPerSecond, Millimetres,
};

/// Work done by people in a block.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Task {
    /// Taking fruit off, by any method.
    Thin,
    /// Pruning, dormant or summer.
    Prune,
    /// Irrigating, mending lines.
    Irrigate,
    /// Laying mulch.
    Mulch,
    /// Spraying.
    Spray,
    /// Mowing, disking, hoeing.
    Weeds,
    /// Feeding.
    Fertilize,
    /// Propping or tying limbs.
    Prop,
    /// Picking.
    Pick,
    /// Hauling fruit from the block.
    Haul,
    /// Anything else; the note says what.
    Other,
}

impl Task {
    /// Every task, in the order of the orchard's year.
    pub const ALL: [Self; 11] = [
        Self::Prune,
        Self::Thin,
        Self::Prop,
        Self::Irrigate,
        Self::Mulch,
        Self::Spray,
        Self::Weeds,
        Self::Fertilize,
        Self::Pick,
        Self::Haul,
        Self::Other,
    ];

    /// The word in a CSV cell.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Thin => "thin",
            Self::Prune => "prune",
            Self::Irrigate => "irrigate",
            Self::Mulch => "mulch",
            Self::Spray => "spray",
            Self::Weeds => "weeds",
            Self::Fertilize => "fertilize",
            Self::Prop => "prop",
            Self::Pick => "pick",
            Self::Haul => "haul",
            Self::Other => "other",
        }
    }

    /// Harvest work stands apart from growing work in the statement.
    pub const fn is_harvest(self) -> bool {
        matches!(self, Self::Pick | Self::Haul)
    }
}

/// How fruit was taken off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ThinningMethod {
    /// By hand, fruit by fruit.
    ByHand,
    /// With cuts that shorten loaded branches.
    Cuts,
    /// Knocked with a pole.
    Pole,
    /// With a machine.
    Machine,
    /// Sprayed; the label is law.
    Chemical,
}

impl ThinningMethod {
    /// Every method.
    pub const ALL: [Self; 5] = [Self::ByHand, Self::Cuts, Self::Pole, Self::Machine, Self::Chemical];

    /// The word in a CSV cell.
    pub const fn word(self) -> &'static str {
        match self {
            Self::ByHand => "by hand",
            Self::Cuts => "cuts",
            Self::Pole => "pole",
            Self::Machine => "machine",
            Self::Chemical => "chemical",
        }
    }
}

/// How an entry of labor is paid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pay {
    /// By the hour; `None` takes the wage rate that holds on the day.
    Hourly(Option<UnitPrice<unit::Hour>>),
    /// By the piece.
    Piece {
        /// Pieces done.
        pieces: Pieces,
        /// Dollars for each.
        rate: UnitPrice<unit::Piece>,
    },
    /// A flat sum.
    Contract(Money),
}

/// What comes on top of the pay: payroll costs of own people or a contractor's commission.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Loading {
    /// The payroll rate that holds on the day; for a contract sum the commission rate that holds.
    /// Without such a rate, nothing.
    #[default]
    FromRates,
    /// Payroll taxes and insurance, percent of pay.
    Payroll(Percent),
    /// A labor contractor's commission, percent of pay.
    Commission(Percent),
}

/// A crew day, or any stretch of paid work in a block.
#[derive(Debug, Clone, PartialEq)]
pub struct LaborEntry {
    /// Day of the work.
    pub date: NaiveDate,
    /// What was done.
    pub task: Task,
    /// How, for thinning.
    pub method: Option<ThinningMethod>,
    /// 1 = first pass, 2 = second look, and so on; for thinning.
    pub pass: Option<u8>,
    /// Name of the crew or contractor; may be empty.
    pub crew: String,
    /// People in the crew.
    pub people: Option<u32>,
    /// All hours of all people; `None` where piece or contract work carries no hours.
    pub hours: Option<Hours>,
    /// Hours of each person, where that is what was written down; `hours` is people times this.
    /// Reckoning takes `hours`.
    pub hours_each: Option<Hours>,
    /// Those of the hours that are overtime.
    pub overtime_hours: Hours,
    /// Overtime pay as a multiple of the wage; 1.5 unless said otherwise.
    pub overtime_multiplier: Option<Percent>,
    /// How it is paid.
    pub pay: Pay,
    /// What comes on top.
    pub loading: Loading,
    /// Trees done; `None` means the block's bearing trees, marked assumed.
    pub trees_done: Option<u32>,
    /// Rows done, where they were counted and not the trees.
    pub rows_done: Option<u32>,
    /// Free text.
    pub note: String,
}

/// One tree or tagged branch counted before and after thinning.
#[derive(Debug, Clone, PartialEq)]
pub struct FruitCount {
    /// Day of the count (of the later one).
    pub date: NaiveDate,
    /// Name of the tree or branch.
    pub sample: String,
    /// `true` for a tagged branch, `false` for a whole tree.
    pub branch: bool,
    /// Fruit before thinning.
    pub before: Option<u32>,
    /// Fruit left.
    pub after: Option<u32>,
    /// Length of shoot the fruit hang on.
    pub shoot: Option<Inches>,
    /// Mean diameter of the fruit when thinned.
    pub fruit_diameter: Option<Inches>,
    /// The method used on this sample.
    pub method: Option<ThinningMethod>,
    /// Free text.
    pub note: String,
}

/// Unit of a water meter's register.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MeterUnit {
    /// US gallons.
    Gallons,
    /// Acre-inches.
    AcreInches,
    /// Acre-feet.
    AcreFeet,
    /// Cubic metres.
    CubicMetres,
    /// Hundreds of cubic feet.
    HundredCubicFeet,
}

impl MeterUnit {
    /// Every unit.
    pub const ALL: [Self; 5] =
        [Self::Gallons, Self::AcreInches, Self::AcreFeet, Self::CubicMetres, Self::HundredCubicFeet];

    /// The word in a CSV cell.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Gallons => "gal",
            Self::AcreInches => "acre-in",
            Self::AcreFeet => "acre-ft",
            Self::CubicMetres => "m3",
            Self::HundredCubicFeet => "100 ft3",
        }
    }
}

/// How the water of a set is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Applied {
    /// Difference of two meter readings.
    Meter {
        /// Reading before the set.
        start: f64,
        /// Reading after the set.
        end: f64,
        /// Register's unit.
        unit: MeterUnit,
        /// The register shows zero again at this number (100,000 for five digits).
        rolls_at: Option<f64>,
        /// Last reading of the old meter and first of the new, when it was replaced during the set.
        replaced: Option<(f64, f64)>,
    },
    /// Hours of running at a known flow.
    Runtime {
        /// Length of the set.
        hours: Hours,
        /// Flow of one emitter; `None` takes the block's.
        flow: Option<GallonsPerHour>,
        /// Emitters running; `None` takes the block's.
        emitters: Option<u32>,
    },
    /// A depth over the block, as read from a gauge or given by the district.
    Depth(Inches),
}

/// One set of irrigation, gross (before losses).
#[derive(Debug, Clone, PartialEq)]
pub struct IrrigationSet {
    /// Day the water was applied.
    pub date: NaiveDate,
    /// How much, and how it is known.
    pub applied: Applied,
    /// Free text.
    pub note: String,
}

/// A soil-water tension reading.
#[derive(Debug, Clone, PartialEq)]
pub struct TensionReading {
    /// Day of the reading.
    pub date: NaiveDate,
    /// Name of the place or instrument; may be empty.
    pub place: String,
    /// Depth of the instrument.
    pub depth: Inches,
    /// Tension; 1 kPa = 1 centibar.
    pub tension: Kilopascals,
    /// Free text.
    pub note: String,
}

/// A day at a weather station. Fields that the station does not measure are `None`.
#[derive(Debug, Clone, PartialEq)]
pub struct WeatherDay {
    /// The day.
    pub date: NaiveDate,
    /// Highest air temperature.
    pub t_max: Option<Celsius>,
    /// Lowest air temperature.
    pub t_min: Option<Celsius>,
    /// Rain.
    pub rain: Option<Millimetres>,
    /// Rain that ran off before it could soak in.
    pub runoff: Option<Millimetres>,
    /// Grass-reference evapotranspiration as the station gives it.
    pub eto: Option<Millimetres>,
    /// Solar radiation.
    pub solar: Option<MegajoulesPerSquareMetre>,
    /// Hours of bright sunshine.
    pub sunshine_hours: Option<f64>,
    /// Mean wind speed at `wind_height_m`.
    pub wind: Option<MetresPerSecond>,
    /// Height of the wind instrument in metres; 2 m unless said otherwise.
    pub wind_height_m: Option<f64>,
    /// Highest relative humidity, percent.
    pub rh_max_pct: Option<f64>,
    /// Lowest relative humidity, percent.
    pub rh_min_pct: Option<f64>,
    /// Actual vapour pressure, kPa.
    pub vapour_pressure_kpa: Option<f64>,
    /// Dew point.
    pub dew_point: Option<Celsius>,
    /// Free text.
    pub note: String,
}

/// Canopy values that hold on one day; days between two entries keep the earlier one.
#[derive(Debug, Clone, PartialEq)]
pub struct CanopyDay {
    /// The day.
    pub date: NaiveDate,
    /// Basal crop coefficient.
    pub kcb: Option<f64>,
    /// Share of the ground the canopy covers, 0 to 1.
    pub ground_cover: Option<f64>,
    /// Height of the trees in metres.
    pub height_m: Option<f64>,
    /// Root depth in metres.
    pub root_depth_m: Option<f64>,
    /// Free text.
    pub note: String,
}

/// What a mulch is made of, as far as its rule differs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MulchKind {
    /// Wood chips, straw, prunings, compost.
    Organic,
    /// Sheet plastic.
    Plastic,
}

impl MulchKind {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Organic, Self::Plastic];

    /// The word in a CSV cell.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Organic => "organic",
            Self::Plastic => "plastic",
        }
    }
}

/// Where the mulch lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MulchShape {
    /// A strip along each tree row, this wide in all.
    Strip(Feet),
    /// A ring around each tree, this far out from the trunk.
    Ring(Feet),
    /// This share of the block's whole surface, percent.
    SharePct(f64),
}

/// Mulch laid on a block. The cover it gives holds from this day.
#[derive(Debug, Clone, PartialEq)]
pub struct MulchApplication {
    /// Day it was laid.
    pub date: NaiveDate,
    /// What it is: "wood chips".
    pub material: String,
    /// Which rule it follows.
    pub kind: MulchKind,
    /// Depth as laid.
    pub depth: Inches,
    /// Where it lies.
    pub shape: MulchShape,
    /// Bare ring kept around each trunk.
    pub clear_radius: Inches,
    /// Years it is expected to last.
    pub life: Years,
    /// What the material cost.
    pub material_cost: Money,
    /// What bringing it cost.
    pub delivery_cost: Money,
    /// What spreading it cost, where that is not in the labor entries.
    pub spreading_cost: Money,
    /// Free text.
    pub note: String,
}

/// A day's picking in a block.
#[derive(Debug, Clone, PartialEq)]
pub struct Pick {
    /// The day.
    pub date: NaiveDate,
    /// 1 = first pick, 2 = second.
    pub pick: Option<u8>,
    /// Bins filled.
    pub bins: Option<Bins>,
    /// Field lugs filled.
    pub lugs: Option<Bins>,
    /// Net weight of fruit.
    pub weight: Option<Pounds>,
    /// Free text.
    pub note: String,
}

/// Where fruit on the packing line went.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LineOutcome {
    /// Packed into boxes of a size class and grade.
    Packed {
        /// Size class, in the words of the user's list.
        size_class: String,
        /// Grade, in the words of the user's list.
        grade: String,
        /// Boxes packed.
        boxes: Boxes,
    },
    /// Thrown out.
    Culled {
        /// Why: "split", "soft", "undersize".
        cause: String,
    },
}

/// One line of a packing-line report.
#[derive(Debug, Clone, PartialEq)]
pub struct PackoutLine {
    /// Day packed.
    pub date: NaiveDate,
    /// Packed or culled.
    pub outcome: LineOutcome,
    /// Net weight of this fruit; `None` when neither a weight nor a box weight was given.
    pub weight: Option<Pounds>,
    /// Free text.
    pub note: String,
}

/// What was sold, and in which unit it was priced.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sold {
    /// By the box.
    Boxes {
        /// Boxes settled.
        boxes: Boxes,
        /// Dollars a box before charges.
        price: UnitPrice<unit::Carton>,
    },
    /// By weight.
    Weight {
        /// Pounds settled.
        weight: Pounds,
        /// Dollars a pound before charges.
        price: UnitPrice<unit::Pound>,
    },
    /// No fruit: a later adjustment, a bonus or a lump charge.
    Adjustment(Money),
}

/// Charges a buyer or packer keeps back, per box and as a share of gross.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Charges {
    /// Packing, dollars a box.
    pub packing: UnitPrice<unit::Carton>,
    /// Cooling and storage, dollars a box.
    pub cooling: UnitPrice<unit::Carton>,
    /// Freight, dollars a box.
    pub freight: UnitPrice<unit::Carton>,
    /// Sales commission, percent of gross.
    pub commission: Percent,
    /// A lump for the line, dollars (a credit is negative).
    pub lump: Money,
}

/// One line of a settlement.
#[derive(Debug, Clone, PartialEq)]
pub struct SettlementLine {
    /// Date of the settlement.
    pub date: NaiveDate,
    /// The user's own name for the buyer; may be empty.
    pub buyer: String,
    /// Size class; `None` when the price holds for all.
    pub size_class: Option<String>,
    /// Grade; `None` when the price holds for all.
    pub grade: Option<String>,
    /// What was sold and its price.
    pub sold: Sold,
    /// What was kept back.
    pub charges: Charges,
    /// Free text.
    pub note: String,
}

/// A price expected before settlement, with the day from which it holds.
#[derive(Debug, Clone, PartialEq)]
pub struct PriceLine {
    /// First day it holds.
    pub from: NaiveDate,
    /// Crop it is for; `None` for all.
    pub crop: Option<String>,
    /// Size class; `None` for all.
    pub size_class: Option<String>,
    /// Grade; `None` for all.
    pub grade: Option<String>,
    /// Net to grower, dollars a box.
    pub net_price: UnitPrice<unit::Carton>,
    /// Free text.
    pub note: String,
}

/// What a rate is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RateKind {
    /// Hourly wage in dollars, for one task or for all.
    Wage(Option<Task>),
    /// Payroll taxes and insurance, percent of pay.
    Payroll,
    /// A labor contractor's commission, percent of pay.
    Commission,
    /// Water, dollars an acre-foot.
    Water,
    /// Interest on operating capital, percent a year.
    Interest,
}

impl RateKind {
    /// The word in a CSV cell (a wage's task stands in its own column).
    pub const fn word(self) -> &'static str {
        match self {
            Self::Wage(_) => "wage",
            Self::Payroll => "payroll",
            Self::Commission => "commission",
            Self::Water => "water",
            Self::Interest => "interest",
        }
    }
}

/// A rate with the day from which it holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Rate {
    /// First day it holds.
    pub from: NaiveDate,
    /// What it is for.
    pub kind: RateKind,
    /// The number in millionths: dollars an hour, percent, or dollars an acre-foot.
    pub micros: i64,
    /// Free text.
    pub note: String,
}

/// A dated note on what happened to the crop.
#[derive(Debug, Clone, PartialEq)]
pub struct Observation {
    /// The day.
    pub date: NaiveDate,
    /// What: "full bloom", "hail", "frost", "limb breakage".
    pub what: String,
    /// Share of the crop hurt, percent, where someone estimated it.
    pub share_pct: Option<f64>,
    /// Free text.
    pub note: String,
}

/// A record of any kind.
#[derive(Debug, Clone, PartialEq)]
pub enum Record {
    /// See [`LaborEntry`].
    Labor(LaborEntry),
    /// See [`FruitCount`].
    FruitCount(FruitCount),
    /// See [`IrrigationSet`].
    Irrigation(IrrigationSet),
    /// See [`TensionReading`].
    Tension(TensionReading),
    /// See [`WeatherDay`].
    Weather(WeatherDay),
    /// See [`CanopyDay`].
    Canopy(CanopyDay),
    /// See [`MulchApplication`].
    Mulch(MulchApplication),
    /// See [`Pick`].
    Pick(Pick),
    /// See [`PackoutLine`].
    Packout(PackoutLine),
    /// See [`SettlementLine`].
    Settlement(SettlementLine),
    /// See [`Cost`].
    Cost(Cost),
    /// See [`PriceLine`].
    Price(PriceLine),
    /// See [`Rate`].
    Rate(Rate),
    /// See [`OwnSize`].
    Size(OwnSize),
    /// See [`Observation`].
    Observation(Observation),
}

impl Record {
    /// Its kind.
    pub const fn kind(&self) -> RecordKind {
        match self {
            Self::Labor(_) => RecordKind::Labor,
            Self::FruitCount(_) => RecordKind::FruitCount,
            Self::Irrigation(_) => RecordKind::Irrigation,
            Self::Tension(_) => RecordKind::Tension,
            Self::Weather(_) => RecordKind::Weather,
            Self::Canopy(_) => RecordKind::Canopy,
            Self::Mulch(_) => RecordKind::Mulch,
            Self::Pick(_) => RecordKind::Pick,
            Self::Packout(_) => RecordKind::Packout,
            Self::Settlement(_) => RecordKind::Settlement,
            Self::Cost(_) => RecordKind::Cost,
            Self::Price(_) => RecordKind::Price,
            Self::Rate(_) => RecordKind::Rate,
            Self::Size(_) => RecordKind::Size,
            Self::Observation(_) => RecordKind::Observation,
        }
    }

    /// Its day: the day it happened, or the first day it holds.
    pub const fn date(&self) -> NaiveDate {
        match self {
            Self::Labor(r) => r.date,
            Self::FruitCount(r) => r.date,
            Self::Irrigation(r) => r.date,
            Self::Tension(r) => r.date,
            Self::Weather(r) => r.date,
            Self::Canopy(r) => r.date,
            Self::Mulch(r) => r.date,
            Self::Pick(r) => r.date,
            Self::Packout(r) => r.date,
            Self::Settlement(r) => r.date,
            Self::Cost(r) => r.date,
            Self::Price(r) => r.from,
            Self::Rate(r) => r.from,
            Self::Size(r) => r.from,
            Self::Observation(r) => r.date,
        }
    }
}

/// What a record of a kind belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Attach {
    /// A block.
    Block,
    /// A weather station that several farms may share.
    Station,
    /// A block, a farm, or the whole operation.
    Any,
    /// The whole operation.
    Operation,
}

impl RecordKind {
    /// What a record of this kind belongs to.
    pub const fn attach(self) -> Attach {
        match self {
            Self::Weather => Attach::Station,
            Self::Cost => Attach::Any,
            Self::Price | Self::Rate | Self::Size => Attach::Operation,
            _ => Attach::Block,
        }
    }
}
