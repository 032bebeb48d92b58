//! Return over a range of yields and prices.
//!
//! The manner of the University of California cost studies: harvest costs, assessments and charges
//! follow the yield, a sales commission follows gross, everything else stays.

use rust_decimal::Decimal;

use crate::break_even::{BreakEven, CostLevel, CropCosts, CropUnit, Levels};
use crate::exact::{Acres, Exact, unit};
use crate::figure::{Evidence, Figure, RecordRef};
use crate::money::{Money, UnitPrice};

/// Percent of the block's own yield and price that the table spans.
pub const STEPS: [u32; 7] = [70, 80, 90, 100, 110, 120, 130];

/// Return of a block over yields and prices around its own.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranging {
    /// What the crop is sold by.
    pub unit: CropUnit,
    /// The block's own yield.
    pub quantity: Figure<Exact<unit::Sold>>,
    /// Its own gross price.
    pub price: Figure<UnitPrice<unit::Sold>>,
    /// Gross prices, one a column: [`STEPS`] of its own.
    pub prices: Vec<UnitPrice<unit::Sold>>,
    /// One row a yield: [`STEPS`] of its own.
    pub rows: Vec<RangingRow>,
}

/// One yield.
#[derive(Debug, Clone, PartialEq)]
pub struct RangingRow {
    /// Percent of the block's own yield.
    pub step: u32,
    /// The yield of the block.
    pub quantity: Exact<unit::Sold>,
    /// For each acre.
    pub quantity_per_acre: Option<Exact<unit::Sold>>,
    /// One cell a price.
    pub cells: Vec<RangingCell>,
}

/// Return at one yield and price.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RangingCell {
    /// For the block, over each level of cost.
    pub over: Levels<Money>,
    /// For each acre.
    pub per_acre: Option<Levels<UnitPrice<unit::Acre>>>,
}

/// A block's crop: what was sold and what it cost.
#[derive(Debug, Clone, PartialEq)]
pub struct Crop {
    /// What it is sold by.
    pub unit: CropUnit,
    /// Costs by what they follow, for the whole block; its yield is the base.
    pub costs: CropCosts,
    /// Gross price of a unit, unrounded; `None` before anything is sold.
    pub price: Option<Decimal>,
    /// Acres of the block.
    pub acres: Acres,
    /// How yield and gross are known.
    pub evidence: Evidence,
    /// The records behind them.
    pub records: Vec<RecordRef>,
}

impl Crop {
    /// Break-even price and yield at each level; `costs` are the figures of the levels.
    pub fn break_even(&self, costs: &Levels<Figure<Money>>) -> Vec<BreakEven> {
        CostLevel::ALL.into_iter().map(|level| self.at(level, costs.get(level))).collect()
    }

    fn at(&self, level: CostLevel, cost: &Figure<Money>) -> BreakEven {
        let records = || cost.records.iter().chain(&self.records).copied();
        let known = cost.evidence.and(self.evidence);
        let price = self.costs.break_even_price(level).and_then(|price| UnitPrice::round(price).ok());
        let quantity = self.price.and_then(|price| self.costs.break_even_yield(level, price));
        let quantity = quantity.and_then(|quantity| Exact::round(quantity).ok());
        BreakEven {
            level,
            unit: self.unit,
            price: price.map(|price| Figure::new(price, known, records())),
            quantity_per_acre: quantity
                .and_then(|quantity| self.each_acre(quantity))
                .map(|each| Figure::new(each, known, records())),
            quantity: quantity.map(|quantity| Figure::new(quantity, known, records())),
            cost: cost.clone(),
        }
    }

    /// The table around the block's own yield and price; `None` before anything is sold.
    pub fn ranging(&self) -> Option<Ranging> {
        let price = self.price.filter(|price| *price > Decimal::ZERO)?;
        let prices: Vec<Decimal> = STEPS.iter().map(|step| percent(price, *step)).collect::<Option<_>>()?;
        let figure = |value| Figure::new(value, self.evidence, self.records.iter().copied());
        Some(Ranging {
            unit: self.unit,
            quantity: figure(Exact::round(self.costs.quantity).ok()?),
            price: Figure::new(UnitPrice::round(price).ok()?, self.evidence, self.records.iter().copied()),
            rows: STEPS.iter().map(|step| self.row(*step, &prices)).collect::<Option<_>>()?,
            prices: prices.iter().map(|price| UnitPrice::round(*price).ok()).collect::<Option<_>>()?,
        })
    }

    fn row(&self, step: u32, prices: &[Decimal]) -> Option<RangingRow> {
        let quantity = percent(self.costs.quantity, step)?;
        let kept = Exact::round(quantity).ok()?;
        let cells = prices.iter().map(|price| self.cell(quantity, *price)).collect::<Option<_>>()?;
        Some(RangingRow { step, quantity: kept, quantity_per_acre: self.each_acre(kept), cells })
    }

    fn cell(&self, quantity: Decimal, price: Decimal) -> Option<RangingCell> {
        let over = Levels::of(|level| Money::round(self.costs.over(level, quantity, price)?).ok())?;
        let acres = self.acres.decimal();
        let per_acre = Levels::of(|level| UnitPrice::spread(over.get(level).decimal(), acres));
        Some(RangingCell { over, per_acre })
    }

    fn each_acre(&self, quantity: Exact<unit::Sold>) -> Option<Exact<unit::Sold>> {
        Exact::round(quantity.decimal().checked_div(self.acres.decimal())?).ok()
    }
}

fn percent(of: Decimal, percent: u32) -> Option<Decimal> {
    of.checked_mul(Decimal::from(percent))?.checked_div(Decimal::ONE_HUNDRED)
}
