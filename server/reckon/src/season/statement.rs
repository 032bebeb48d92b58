//! What the block earned, line by line.

use crate::break_even::BreakEven;
use crate::exact::{Pounds, unit};
use crate::figure::Figure;
use crate::money::{Money, UnitPrice};
use crate::ranging::Ranging;

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

    /// Which explanation of [`crate::how::how`] tells how the line is reckoned.
    pub const fn explained_by(self) -> &'static str {
        match self {
            Self::ThinningLabor | Self::OtherGrowingLabor | Self::HarvestLabor => "labor-cost",
            Self::Water => "water-applied",
            Self::OtherGrowing | Self::OtherHarvest | Self::Assessments | Self::CashOverhead => "shared-costs",
            Self::Interest => "operating-interest",
            Self::MulchOverLife => "mulch-cost",
            Self::NonCashOverhead => "capital-recovery",
            Self::Gross
            | Self::Charges
            | Self::NetToGrower
            | Self::OperatingCosts
            | Self::OverOperating
            | Self::OverCash
            | Self::OverAll => "statement",
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

    /// Costs stand in it and no sale, settled or at a price list: its return is what was spent so far.
    pub fn is_unsold(&self) -> bool {
        !self.lines.is_empty() && self.line(StatementKey::Gross).is_none()
    }
}
