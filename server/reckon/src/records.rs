//! The record kinds: what a person or a machine wrote down, checked and typed, without the block.
//!
//! Which block, farm, station or operation a record belongs to is kept beside it ([`Attach`]), so
//! the reckoning of one block sees plain records.

mod alike;
mod cost;
mod sales;
mod water;
mod work;

use chrono::NaiveDate;

pub use alike::Likeness;
pub(crate) use alike::plain;
pub use cost::{Cost, CostGroup, Lasting, SharedBasis, Shares};
pub use sales::{Charges, LineOutcome, PackoutLine, Pick, PriceLine, SettlementLine, Sold};
pub use water::{
    Applied, CanopyDay, IrrigationSet, MeterUnit, MulchApplication, MulchKind, MulchShape, TensionReading, WeatherDay,
};
pub use work::{LaborEntry, Loading, Pay, Task, ThinningMethod};

use crate::figure::RecordKind;
pub use crate::size_classes::own::OwnSize;
pub use crate::thinning::target::{FruitWanted, ThinningTarget};
use crate::units::Inches;

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
    /// See [`ThinningTarget`].
    ThinningTarget(ThinningTarget),
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
            Self::ThinningTarget(_) => RecordKind::ThinningTarget,
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
            Self::ThinningTarget(r) => r.from,
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
            Self::Price | Self::Rate | Self::Size | Self::ThinningTarget => Attach::Operation,
            _ => Attach::Block,
        }
    }
}
