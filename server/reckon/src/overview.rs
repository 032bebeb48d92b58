//! Blocks ranked by return, and what sets each apart: from the operation's median block, and from
//! its own last season.
//!
//! Return per acre = yield x price - labor - water - everything else, so a difference in return
//! falls apart into differences of these, which always sum to it.

mod how;

pub use how::how;

use rust_decimal::Decimal;

use crate::break_even::CropUnit;
use crate::exact::{Exact, Pounds, unit};
use crate::money::UnitPrice;
use crate::season::{BlockSeason, Statement, StatementKey};
use crate::units::Inches;

type PerAcre = UnitPrice<unit::Acre>;

/// What ranks a block and explains its rank, for each acre.
#[derive(Debug, Clone, PartialEq)]
pub struct Facts {
    /// The block's code, or another name for what this is.
    pub code: String,
    /// Return over all costs.
    pub over_all: PerAcre,
    /// Net to grower.
    pub net: PerAcre,
    /// Pounds that have a value; `None` without weights.
    pub yield_lb: Option<Exact<unit::Pound>>,
    /// Net to grower for each of these pounds.
    pub price: Option<UnitPrice<unit::Pound>>,
    /// All labor.
    pub labor: PerAcre,
    /// Water.
    pub water: PerAcre,
    /// Every other cost.
    pub other: PerAcre,
    /// Depth of water applied.
    pub applied: Option<Inches>,
}

impl Facts {
    /// Of a block season; `None` without acres or a statement.
    pub fn of(season: &BlockSeason) -> Option<Self> {
        let acre = |key| per_acre(&season.statement, key);
        let over_all = season.statement.line(StatementKey::OverAll)?.per_acre.filter(|each| !each.is_beyond())?;
        let net = acre(StatementKey::NetToGrower);
        let labor = [StatementKey::ThinningLabor, StatementKey::OtherGrowingLabor, StatementKey::HarvestLabor];
        let labor = labor.into_iter().fold(PerAcre::ZERO, |sum, key| minus(sum, acre(key)));
        let water = minus(PerAcre::ZERO, acre(StatementKey::Water));
        let yield_lb = pounds(season)
            .and_then(|pounds| Exact::round(pounds.decimal().checked_div(season.acres().decimal())?).ok());
        Some(Self {
            code: season.heading.block.code.clone(),
            price: yield_lb.and_then(|yield_lb| UnitPrice::spread(net.decimal(), yield_lb.decimal())),
            other: minus(minus(minus(net, labor), water), over_all),
            applied: season.water.applied_depth.as_ref().map(|depth| depth.value),
            over_all,
            net,
            yield_lb,
            labor,
            water,
        })
    }
}

fn per_acre(statement: &Statement, key: StatementKey) -> PerAcre {
    statement.line(key).and_then(|line| line.per_acre).unwrap_or_default()
}

fn minus(a: PerAcre, b: PerAcre) -> PerAcre {
    PerAcre::from_micros(a.micros().saturating_sub(b.micros()))
}

/// Packed pounds that have a value, or pounds sold where none were packed.
fn pounds(season: &BlockSeason) -> Option<Pounds> {
    let sold = season.statement.ranging.as_ref().filter(|table| table.unit == CropUnit::Pound);
    let packed = season.packout.priced_weight.as_ref().map(|weight| weight.value);
    packed.or_else(|| sold.map(|table| Pounds::from_micros(table.quantity.value.micros())))
}

/// What a return per acre is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Factor {
    /// Pounds an acre.
    Yield,
    /// Net dollars a pound.
    Price,
    /// Net dollars an acre, where weights are not known.
    Sales,
    /// Labor, dollars an acre.
    Labor,
    /// Water, dollars an acre.
    Water,
    /// Everything else, dollars an acre.
    OtherCosts,
}

impl Factor {
    /// Key in JSON and spreadsheets.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Yield => "yield",
            Self::Price => "price",
            Self::Sales => "sales",
            Self::Labor => "labor",
            Self::Water => "water",
            Self::OtherCosts => "other_costs",
        }
    }

    /// Words on pages and in reports.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Yield => "Yield",
            Self::Price => "Price",
            Self::Sales => "Net to grower",
            Self::Labor => "Labor",
            Self::Water => "Water",
            Self::OtherCosts => "Other costs",
        }
    }

    /// Unit of [`Cause::own`].
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Yield => "lb/acre",
            Self::Price => "$/lb",
            Self::Sales | Self::Labor | Self::Water | Self::OtherCosts => "$/acre",
        }
    }
}

/// One reason why a return differs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cause {
    /// What differs.
    pub factor: Factor,
    /// The block's own, in the factor's unit.
    pub own: Decimal,
    /// What it is held against.
    pub other: Decimal,
    /// What the difference is worth: above zero where it helped.
    pub effect: PerAcre,
}

/// A difference in return and its causes, the weightiest first. Their effects sum to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Difference {
    /// Own return less the other, dollars an acre.
    pub over_all: PerAcre,
    /// Why.
    pub causes: Vec<Cause>,
}

/// Holds one against the other. A difference in yield counts at the other's price, a difference in
/// price on the own yield.
pub fn difference(own: &Facts, other: &Facts) -> Difference {
    let over_all = minus(own.over_all, other.over_all);
    let cost = |factor, own: PerAcre, other: PerAcre| Cause {
        factor,
        own: own.decimal(),
        other: other.decimal(),
        effect: minus(other, own),
    };
    let mut causes = sales(own, other);
    causes.extend([
        cost(Factor::Labor, own.labor, other.labor),
        cost(Factor::Water, own.water, other.water),
        cost(Factor::OtherCosts, own.other, other.other),
    ]);
    causes.sort_by_key(|cause| (core::cmp::Reverse(cause.effect.micros().saturating_abs()), cause.factor));
    Difference { over_all, causes }
}

fn sales(own: &Facts, other: &Facts) -> Vec<Cause> {
    let whole = minus(own.net, other.net);
    let by_pound = || {
        let (yield_lb, price) = (own.yield_lb?.decimal(), own.price?.decimal());
        let (other_yield, other_price) = (other.yield_lb?.decimal(), other.price?.decimal());
        let more = yield_lb.checked_sub(other_yield)?;
        let effect = PerAcre::round(more.checked_mul(other_price)?).ok()?;
        Some(vec![
            Cause { factor: Factor::Yield, own: yield_lb, other: other_yield, effect },
            // The rest, so that the two are the whole difference to the last millionth.
            Cause { factor: Factor::Price, own: price, other: other_price, effect: minus(whole, effect) },
        ])
    };
    let together = Cause { factor: Factor::Sales, own: own.net.decimal(), other: other.net.decimal(), effect: whole };
    by_pound().unwrap_or_else(|| vec![together])
}

/// A block in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranked {
    /// 1 = highest return per acre; equal returns share a place.
    pub place: usize,
    /// The block.
    pub facts: Facts,
    /// Against the operation's median block; `None` for a single block.
    pub against_median: Option<Difference>,
    /// Against its own last season, where that is known.
    pub against_last: Option<Difference>,
}

/// All blocks of an operation, the highest return per acre first.
#[derive(Debug, Clone, PartialEq)]
pub struct Overview {
    /// The median of each fact over the blocks; its return is made of these.
    pub median: Option<Facts>,
    /// Blocks with a statement.
    pub ranked: Vec<Ranked>,
}

/// Ranks blocks; each comes with its last season where there is one. Equal returns by code.
pub fn overview(blocks: &[(Facts, Option<Facts>)]) -> Overview {
    let mut ordered: Vec<&(Facts, Option<Facts>)> = blocks.iter().collect();
    ordered.sort_by(|(a, _), (b, _)| {
        b.over_all.cmp(&a.over_all).then_with(|| crate::size_classes::natural(&a.code, &b.code))
    });
    let median = median_block(blocks);
    let place = |facts: &Facts| ordered.iter().filter(|(other, _)| other.over_all > facts.over_all).count() + 1;
    let ranked = ordered.iter().map(|(facts, last)| Ranked {
        place: place(facts),
        against_median: median.as_ref().map(|median| difference(facts, median)),
        against_last: last.as_ref().map(|last| difference(facts, last)),
        facts: facts.clone(),
    });
    Overview { ranked: ranked.collect(), median }
}

/// The block that is the median in everything: yield, price, labor, water, other costs, each over the
/// blocks that know it. Where any weight is known its net is its yield x its price.
fn median_block(blocks: &[(Facts, Option<Facts>)]) -> Option<Facts> {
    if blocks.len() < 2 {
        return None;
    }
    let of = |value: &dyn Fn(&Facts) -> Option<i64>| middle(blocks.iter().filter_map(|(facts, _)| value(facts)));
    let acre = |value: fn(&Facts) -> PerAcre| of(&|facts| Some(value(facts).micros())).map(PerAcre::from_micros);
    let yield_lb: Option<Exact<unit::Pound>> = of(&|facts| facts.yield_lb.map(Exact::micros)).map(Exact::from_micros);
    let price: Option<UnitPrice<unit::Pound>> =
        of(&|facts| facts.price.map(UnitPrice::micros)).map(UnitPrice::from_micros);
    let sold = yield_lb.zip(price).and_then(|(yield_lb, price)| PerAcre::round(price.times(yield_lb)).ok());
    let net = sold.or_else(|| acre(|facts| facts.net))?;
    let (labor, water, other) = (acre(|f| f.labor)?, acre(|f| f.water)?, acre(|f| f.other)?);
    Some(Facts {
        code: "median".into(),
        over_all: minus(minus(minus(net, labor), water), other),
        net,
        yield_lb,
        price,
        labor,
        water,
        other,
        applied: median_depth(blocks),
    })
}

/// The middle one, or half way between the two in the middle; `None` of nothing.
pub(crate) fn middle(values: impl Iterator<Item = i64>) -> Option<i64> {
    let mut values: Vec<i64> = values.collect();
    values.sort_unstable();
    let low = values.get(values.len().checked_sub(1)? / 2)?;
    let high = values.get(values.len() / 2)?;
    Some(low.saturating_add(high.saturating_sub(*low) / 2))
}

fn median_depth(blocks: &[(Facts, Option<Facts>)]) -> Option<Inches> {
    let mut depths: Vec<f64> = blocks.iter().filter_map(|(facts, _)| facts.applied.map(Inches::get)).collect();
    depths.sort_by(f64::total_cmp);
    let low = depths.get(depths.len().checked_sub(1)? / 2)?;
    let high = depths.get(depths.len() / 2)?;
    Inches::new(f64::midpoint(*low, *high))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::dec;
    use proptest::prelude::*;

    fn acre(dollars: i64) -> PerAcre {
        PerAcre::from_micros(dollars * 1_000_000)
    }

    fn facts(code: &str, pounds: i64, cents: i64, labor: i64, water: i64, other: i64) -> Facts {
        let net = PerAcre::from_micros(pounds * cents * 10_000);
        Facts {
            code: code.into(),
            over_all: minus(minus(minus(net, acre(labor)), acre(water)), acre(other)),
            net,
            yield_lb: Exact::whole(pounds).ok(),
            price: Some(UnitPrice::from_micros(cents * 10_000)),
            labor: acre(labor),
            water: acre(water),
            other: acre(other),
            applied: Inches::new(30.0),
        }
    }

    #[test]
    fn the_best_stands_first_and_its_yield_explains_it() {
        let blocks = [
            (facts("B-10", 20_000, 50, 3_000, 600, 2_000), None),
            (facts("B-2", 30_000, 50, 3_000, 600, 2_000), Some(facts("B-2", 30_000, 40, 3_000, 600, 2_000))),
            (facts("B-1", 20_000, 50, 3_000, 600, 2_000), None),
        ];
        let overview = overview(&blocks);
        let places: Vec<_> = overview.ranked.iter().map(|r| (r.place, r.facts.code.as_str())).collect();
        assert_eq!(places, [(1, "B-2"), (2, "B-1"), (2, "B-10")]);
        let best = overview.ranked[0].against_median.as_ref().unwrap();
        assert_eq!(
            (best.over_all, best.causes[0].factor, best.causes[0].effect),
            (acre(5_000), Factor::Yield, acre(5_000))
        );
        assert_eq!((best.causes[0].own, best.causes[0].other), (dec("30000"), dec("20000")));
        let last = overview.ranked[0].against_last.as_ref().unwrap();
        assert_eq!((last.causes[0].factor, last.causes[0].effect), (Factor::Price, acre(3_000)));
        assert_eq!(overview.ranked[1].against_last, None);
    }

    #[test]
    fn one_block_has_no_median_and_no_weights_no_yield() {
        let alone = [(facts("A", 1, 1, 1, 1, 1), None)];
        assert_eq!(overview(&alone).median, None);
        let own = Facts { yield_lb: None, ..facts("A", 100, 50, 10, 10, 10) };
        let causes = difference(&own, &facts("B", 200, 50, 10, 10, 10)).causes;
        assert_eq!((causes[0].factor, causes[0].effect), (Factor::Sales, acre(-50)));
    }

    #[test]
    fn a_block_not_sold_yet_leaves_the_median_its_yield_and_price() {
        let unsold = Facts { yield_lb: None, price: None, ..facts("C", 0, 0, 10, 10, 10) };
        let blocks = [(facts("A", 100, 50, 10, 10, 10), None), (facts("B", 300, 70, 10, 10, 10), None), (unsold, None)];
        let overview = overview(&blocks);
        let median = overview.median.unwrap();
        assert_eq!((median.yield_lb, median.price), (Exact::whole(200).ok(), Some(UnitPrice::from_micros(600_000))));
        let causes = |n: usize| overview.ranked[n].against_median.as_ref().unwrap().causes.clone();
        assert!(causes(0).iter().any(|cause| cause.factor == Factor::Yield));
        assert_eq!((causes(2)[0].factor, causes(2)[0].effect), (Factor::Sales, acre(-120)));
    }

    proptest! {
        #[test]
        fn causes_sum_to_the_difference_and_order_never_matters(
            numbers in prop::collection::vec((0i64..50_000, 0i64..200, 0i64..9_000, 0i64..2_000, 0i64..9_000), 1..9),
            by in 0usize..9,
        ) {
            let mut blocks: Vec<(Facts, Option<Facts>)> = (0..).zip(&numbers)
                .map(|(n, (a, b, c, d, e))| (facts(&format!("B-{n}"), *a, *b, *c, *d, *e), None)).collect();
            let first = overview(&blocks);
            for ranked in &first.ranked {
                if let Some(against) = &ranked.against_median {
                    let sum: i64 = against.causes.iter().map(|cause| cause.effect.micros()).sum();
                    prop_assert_eq!(sum, against.over_all.micros());
                }
            }
            let by = by % blocks.len();
            blocks.rotate_left(by);
            prop_assert_eq!(first, overview(&blocks));
        }
    }
}
