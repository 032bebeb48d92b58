//! Crew days: the task, how it is paid, what was done.

use chrono::NaiveDate;

use crate::exact::{Hours, Percent, Pieces, unit};
use crate::money::{Money, UnitPrice};

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

    /// Whether a machine or a spray does it, and no hands tree by tree.
    pub const fn is_by_machine(self) -> bool {
        matches!(self, Self::Machine | Self::Chemical)
    }

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

impl LaborEntry {
    /// Whether its cost holds overtime that was not paid by the hour: what that adds is on no invoice and is
    /// reckoned from the average of an hour.
    pub const fn overtime_is_estimated(&self) -> bool {
        !matches!(self.pay, Pay::Hourly(_)) && self.overtime_hours.micros() != 0
    }
}
