//! Picks, boxes, and what they brought.

use chrono::NaiveDate;

use crate::exact::{Bins, Boxes, Percent, Pounds, unit};
use crate::money::{Money, UnitPrice};

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
