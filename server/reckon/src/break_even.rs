//! Break-even price and yield at each level of cost.
//!
//! Terms of the University of California cost studies: operating costs, cash costs (with cash
//! overhead), total costs (with non-cash overhead). They print no formula; this is the plain one:
//! the price, or the yield, at which nothing is left over.

use rust_decimal::Decimal;

use crate::exact::{Exact, unit};
use crate::figure::Figure;
use crate::money::{Money, UnitPrice};

/// A level of cost, each holding the one before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CostLevel {
    /// Growing, harvest, assessments, interest, and what buyers kept back.
    Operating,
    /// And cash overhead.
    Cash,
    /// And non-cash overhead.
    All,
}

impl CostLevel {
    /// Every level, narrow to wide.
    pub const ALL: [Self; 3] = [Self::Operating, Self::Cash, Self::All];

    /// Key in JSON and spreadsheets.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Operating => "operating",
            Self::Cash => "cash",
            Self::All => "all",
        }
    }

    /// Words on pages and in reports.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Operating => "Operating costs",
            Self::Cash => "Cash costs",
            Self::All => "All costs",
        }
    }
}

/// Something at each level of cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Levels<T> {
    /// At operating costs.
    pub operating: T,
    /// At cash costs.
    pub cash: T,
    /// At all costs.
    pub all: T,
}

impl<T> Levels<T> {
    /// From what each level gives; `None` when one gives nothing.
    pub fn of(each: impl Fn(CostLevel) -> Option<T>) -> Option<Self> {
        Some(Self { operating: each(CostLevel::Operating)?, cash: each(CostLevel::Cash)?, all: each(CostLevel::All)? })
    }

    /// The one at a level.
    pub const fn get(&self, level: CostLevel) -> &T {
        match level {
            CostLevel::Operating => &self.operating,
            CostLevel::Cash => &self.cash,
            CostLevel::All => &self.all,
        }
    }
}

/// What a crop is sold by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CropUnit {
    /// Packed boxes.
    Box,
    /// Pounds, where fruit was sold and none packed.
    Pound,
}

impl CropUnit {
    /// "box", "lb".
    pub const fn word(self) -> &'static str {
        match self {
            Self::Box => "box",
            Self::Pound => "lb",
        }
    }

    /// "boxes", "lb".
    pub const fn many(self) -> &'static str {
        match self {
            Self::Box => "boxes",
            Self::Pound => "lb",
        }
    }
}

/// Costs of a crop by what they follow, in dollars at a base yield and a base price. For an acre or
/// for a block: yields and costs only have to be of the same ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct CropCosts {
    /// Base yield, in units of the crop.
    pub quantity: Decimal,
    /// Operating costs that stay, whatever the yield.
    pub fixed: Decimal,
    /// Operating costs in proportion to the yield, at the base yield.
    pub by_yield: Decimal,
    /// Share of gross that selling costs: 0.1 for a tenth.
    pub of_gross: Decimal,
    /// Cash overhead.
    pub cash_overhead: Decimal,
    /// Non-cash overhead.
    pub non_cash_overhead: Decimal,
}

impl CropCosts {
    /// Cost at a level, yield and gross price. `None` for no base yield.
    pub fn cost(&self, level: CostLevel, quantity: Decimal, price: Decimal) -> Option<Decimal> {
        let by_yield = self.by_yield.checked_mul(quantity)?.checked_div(self.quantity)?;
        let selling = self.of_gross.checked_mul(quantity.checked_mul(price)?)?;
        self.stays(level)?.checked_add(by_yield)?.checked_add(selling)
    }

    /// Gross less cost at a level.
    pub fn over(&self, level: CostLevel, quantity: Decimal, price: Decimal) -> Option<Decimal> {
        quantity.checked_mul(price)?.checked_sub(self.cost(level, quantity, price)?)
    }

    /// Gross price at which the base yield leaves nothing over. `None` for no yield, or when selling
    /// takes all of gross.
    pub fn break_even_price(&self, level: CostLevel) -> Option<Decimal> {
        let kept = Decimal::ONE.checked_sub(self.of_gross)?.checked_mul(self.quantity)?;
        above_zero(kept).and_then(|kept| self.stays(level)?.checked_add(self.by_yield)?.checked_div(kept))
    }

    /// Yield at which a gross price leaves nothing over. `None` where each unit costs what it brings.
    pub fn break_even_yield(&self, level: CostLevel, price: Decimal) -> Option<Decimal> {
        // Both sides times the base yield: one division, at the end.
        let kept = Decimal::ONE.checked_sub(self.of_gross)?.checked_mul(price)?.checked_mul(self.quantity)?;
        let margin = above_zero(kept.checked_sub(self.by_yield)?)?;
        self.stays(level)?.checked_mul(self.quantity)?.checked_div(margin)
    }

    fn stays(&self, level: CostLevel) -> Option<Decimal> {
        let cash = if level >= CostLevel::Cash { self.cash_overhead } else { Decimal::ZERO };
        let non_cash = if level >= CostLevel::All { self.non_cash_overhead } else { Decimal::ZERO };
        self.fixed.checked_add(cash)?.checked_add(non_cash)
    }
}

fn above_zero(value: Decimal) -> Option<Decimal> {
    (value > Decimal::ZERO).then_some(value)
}

/// Break-even of a block at one level of cost.
#[derive(Debug, Clone, PartialEq)]
pub struct BreakEven {
    /// Which costs.
    pub level: CostLevel,
    /// These costs, what buyers kept back among them.
    pub cost: Figure<Money>,
    /// What the crop is sold by.
    pub unit: CropUnit,
    /// Gross price at which the block's own yield leaves nothing over.
    pub price: Option<Figure<UnitPrice<unit::Sold>>>,
    /// Yield of the block at which its own gross price leaves nothing over.
    pub quantity: Option<Figure<Exact<unit::Sold>>>,
    /// The same for each acre.
    pub quantity_per_acre: Option<Figure<Exact<unit::Sold>>>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::dec;

    fn costs() -> CropCosts {
        CropCosts {
            quantity: dec("900"),
            fixed: dec("2634"),
            by_yield: dec("7292"),
            of_gross: dec("0.1"),
            cash_overhead: dec("545"),
            non_cash_overhead: dec("1513"),
        }
    }

    #[test]
    fn at_break_even_nothing_is_left_over() {
        for level in CostLevel::ALL {
            let price = costs().break_even_price(level).unwrap();
            assert!(costs().over(level, dec("900"), price).unwrap().abs() < dec("0.000001"));
            let quantity = costs().break_even_yield(level, dec("16")).unwrap();
            assert!(costs().over(level, quantity, dec("16")).unwrap().abs() < dec("0.000001"));
        }
    }

    #[test]
    fn a_price_below_the_cost_of_harvest_never_breaks_even() {
        assert_eq!(costs().break_even_yield(CostLevel::Operating, dec("9")), None);
        let given_away = CropCosts { of_gross: Decimal::ONE, ..costs() };
        assert_eq!(given_away.break_even_price(CostLevel::Operating), None);
        assert_eq!(CropCosts::default().break_even_price(CostLevel::All), None);
        assert_eq!(CropCosts::default().cost(CostLevel::All, Decimal::ONE, Decimal::ONE), None);
    }
}
