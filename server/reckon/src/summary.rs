//! The kept summary of a block season: the few numbers the season page adds up.
//!
//! It keeps numerators and denominators, never ratios, so a farm's or an operation's figure is the
//! weighted one. The store keeps one for each block season and renews it in the transaction that
//! made it stale.

use rust_decimal::Decimal;

use crate::exact::{Acres, Pounds, unit};
use crate::figure::GapWeight;
use crate::money::{Money, UnitPrice};
use crate::season::{BlockSeason, StatementKey};
use crate::units::{AcreInches, AcreInchesPerAcre, GallonsUs, Share};

/// Numerators and denominators of the season table's columns.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Summary {
    /// Acres.
    pub acres: Acres,
    /// Bearing trees; blocks without a tree count add none.
    pub trees: u64,
    /// Cost of thinning labor, of blocks whose treated trees are known.
    pub thinning_cost: Option<Money>,
    /// Trees that cost was spent on.
    pub thinned_trees: u64,
    /// Gross irrigation applied, of blocks whose need is known.
    pub applied: Option<GallonsUs>,
    /// Gross irrigation needed by the same blocks.
    pub needed: Option<GallonsUs>,
    /// Water kept by mulch; `None` where the soil is bare or the weather unknown.
    pub kept: Option<AcreInches>,
    /// Acres under that mulch's blocks.
    pub mulched_acres: Acres,
    /// Net to grower of blocks whose packed weight is known and has a value.
    pub net: Option<Money>,
    /// Packed weight of that fruit.
    pub weight: Pounds,
    /// Return over operating costs.
    pub over_operating: Option<Money>,
    /// Return over all costs.
    pub over_all: Option<Money>,
    /// Acres of blocks with a statement.
    pub stated_acres: Acres,
    /// Part of net that rests on the price list.
    pub unsettled: Money,
    /// Sentences on what is missing.
    pub missing: Vec<String>,
    /// Sentences on what is worth a look.
    pub worth_a_look: Vec<String>,
}

impl Summary {
    /// The summary of one block season.
    pub fn of(season: &BlockSeason) -> Self {
        let acres = season.acres();
        let thinning = season.labor.thinning.as_ref().filter(|t| t.trees.is_some());
        let line = |key| season.statement.line(key).map(|line| line.amount.value);
        let over_all = line(StatementKey::OverAll);
        let priced = season.packout.priced_weight.as_ref();
        let saving = season.water.saving.as_ref();
        let sentences = |weight| season.gaps.iter().filter(|g| g.weight == weight).map(|g| g.what.clone()).collect();
        let needed =
            season.water.applied_of_need.as_ref().zip(season.water.applied.as_ref()).and_then(|(share, applied)| {
                let share = share.value.get();
                (share > 0.0).then(|| GallonsUs::of(applied.value.get() / share * 100.0))
            });
        Self {
            acres,
            trees: season.heading.block.trees.map_or(0, u64::from),
            thinning_cost: thinning.map(|t| t.cost.value),
            thinned_trees: thinning.and_then(|t| t.trees.as_ref()).map_or(0, |n| whole(n.value.get())),
            applied: needed.and(season.water.applied.as_ref().map(|a| a.value)),
            needed,
            kept: saving.map(|s| s.kept.acre_inches.value),
            mulched_acres: saving.map_or(Acres::ZERO, |_| acres),
            net: priced.and_then(|_| line(StatementKey::NetToGrower)),
            weight: priced.map_or(Pounds::ZERO, |w| w.value),
            over_operating: line(StatementKey::OverOperating),
            over_all,
            stated_acres: over_all.map_or(Acres::ZERO, |_| acres),
            unsettled: season.statement.unsettled.as_ref().map_or(Money::ZERO, |u| u.value),
            missing: sentences(GapWeight::Missing),
            worth_a_look: sentences(GapWeight::WorthALook),
        }
    }

    /// The sum of several: a farm's or the operation's row.
    pub fn total<'s>(parts: impl IntoIterator<Item = &'s Self>) -> Self {
        parts.into_iter().fold(Self::default(), |sum, part| Self {
            acres: sum.acres.plus(part.acres),
            trees: sum.trees.saturating_add(part.trees),
            thinning_cost: either(sum.thinning_cost, part.thinning_cost, Money::plus),
            thinned_trees: sum.thinned_trees.saturating_add(part.thinned_trees),
            applied: either(sum.applied, part.applied, |a, b| a + b),
            needed: either(sum.needed, part.needed, |a, b| a + b),
            kept: either(sum.kept, part.kept, |a, b| a + b),
            mulched_acres: sum.mulched_acres.plus(part.mulched_acres),
            net: either(sum.net, part.net, Money::plus),
            weight: sum.weight.plus(part.weight),
            over_operating: either(sum.over_operating, part.over_operating, Money::plus),
            over_all: either(sum.over_all, part.over_all, Money::plus),
            stated_acres: sum.stated_acres.plus(part.stated_acres),
            unsettled: sum.unsettled.plus(part.unsettled),
            missing: sum.missing.into_iter().chain(part.missing.iter().cloned()).collect(),
            worth_a_look: sum.worth_a_look.into_iter().chain(part.worth_a_look.iter().cloned()).collect(),
        })
    }

    /// Thinning cost for each tree treated.
    pub fn thinning_per_tree(&self) -> Option<UnitPrice<unit::Tree>> {
        UnitPrice::each(self.thinning_cost?.decimal(), Decimal::from(self.thinned_trees))
    }

    /// Applied irrigation as a share of the need.
    pub fn applied_of_need(&self) -> Option<Share> {
        let needed = self.needed?.get();
        (needed > 0.0).then(|| Share::of(self.applied.map_or(0.0, GallonsUs::get) / needed * 100.0))
    }

    /// Water kept by mulch, as depth over the mulched blocks.
    pub fn kept_per_acre(&self) -> Option<AcreInchesPerAcre> {
        let acres = self.mulched_acres.as_f64();
        self.kept.filter(|_| acres > 0.0).map(|kept| AcreInchesPerAcre::of(kept.get() / acres))
    }

    /// Net to grower for each pound.
    pub fn net_per_pound(&self) -> Option<UnitPrice<unit::Pound>> {
        UnitPrice::each(self.net?.decimal(), self.weight.decimal())
    }

    /// Return over all costs for each acre.
    pub fn return_per_acre(&self) -> Option<UnitPrice<unit::Acre>> {
        UnitPrice::each(self.over_all?.decimal(), self.stated_acres.decimal())
    }
}

fn either<T>(a: Option<T>, b: Option<T>, add: impl Fn(T, T) -> T) -> Option<T> {
    match (a, b) {
        (Some(a), Some(b)) => Some(add(a, b)),
        (a, b) => a.or(b),
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count of trees, zero or more")]
fn whole(count: f64) -> u64 {
    count.max(0.0) as u64
}
