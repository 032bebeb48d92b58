//! The costs of a season as a ledger: who bears which cent of a shared cost, and the sums by group.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::allocate::{self, Part};
use crate::block::Season;
use crate::costs;
use crate::money::Money;
use crate::records::{Cost, CostGroup};

/// What of a shared cost falls on a season, and each block's part of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SharedOut {
    /// The whole amount, or the capital recovery of what lasts.
    pub amount: Money,
    /// One for each weight; they sum to `amount`. Empty when there is nothing to share over.
    pub parts: Vec<Part>,
    /// What no block bears.
    pub unallocated: Money,
}

impl SharedOut {
    /// The parts of some blocks alone, as they are told to somebody who does not see the others: the
    /// amount is theirs, and neither the whole nor what nobody bears can be had from it.
    #[must_use]
    pub fn of_some(self, seen: impl IntoIterator<Item = bool>) -> Self {
        let parts: Vec<Part> =
            self.parts.into_iter().zip(seen).filter(|(_, seen)| *seen).map(|(part, _)| part).collect();
        let amount = parts.iter().map(|part| part.amount).sum();
        Self { amount, parts, unallocated: Money::ZERO }
    }
}

/// Shares a cost out by its weights, to the cent.
pub fn shared_out(cost: &Cost, season: &Season, weights: &[Decimal]) -> SharedOut {
    let amount = costs::in_season(cost, season).unwrap_or_default();
    let parts = allocate::explained(amount, weights).unwrap_or_default();
    let unallocated = if parts.is_empty() { amount } else { Money::ZERO };
    SharedOut { amount, parts, unallocated }
}

/// Where a sum of costs went.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Sums {
    /// Costs of single blocks.
    pub own: Money,
    /// Parts of shared costs.
    pub shared: Money,
    /// What no block bears.
    pub unallocated: Money,
}

impl Sums {
    /// All of it.
    pub fn all(&self) -> Money {
        [self.own, self.shared, self.unallocated].into_iter().sum()
    }

    fn plus(self, other: &Self) -> Self {
        Self {
            own: self.own.plus(other.own),
            shared: self.shared.plus(other.shared),
            unallocated: self.unallocated.plus(other.unallocated),
        }
    }
}

/// Costs of a season by their place in the statement.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Ledger {
    /// Groups that occur, in statement order.
    pub groups: Vec<(CostGroup, Sums)>,
    /// All of them.
    pub total: Sums,
}

/// Adds up costs of single blocks and shared costs.
pub fn ledger<'s>(
    own: impl IntoIterator<Item = (CostGroup, Money)>,
    shared: impl IntoIterator<Item = (CostGroup, &'s SharedOut)>,
) -> Ledger {
    let mut groups: BTreeMap<CostGroup, Sums> = BTreeMap::new();
    let mut add = |group: CostGroup, more: &Sums| {
        let sums = groups.entry(group).or_default();
        *sums = sums.plus(more);
    };
    for (group, amount) in own {
        add(group, &Sums { own: amount, ..Sums::default() });
    }
    for (group, out) in shared {
        let borne = out.parts.iter().map(|part| part.amount).sum();
        add(group, &Sums { shared: borne, unallocated: out.unallocated, own: Money::ZERO });
    }
    let total = groups.values().fold(Sums::default(), Sums::plus);
    Ledger { groups: groups.into_iter().collect(), total }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{cost, dec, records};
    use proptest::prelude::*;

    #[test]
    fn parts_and_what_nobody_bears_sum_to_the_cost() {
        let season = records().season;
        let office = cost(CostGroup::CashOverhead, 10_000);
        let out = shared_out(&office, &season, &[dec("1"), dec("1"), dec("1")]);
        let amounts: Vec<i64> = out.parts.iter().map(|part| part.amount.cents()).collect();
        assert_eq!((amounts, out.unallocated), (vec![3_334, 3_333, 3_333], Money::ZERO));
        assert!(out.parts[0].odd_cent && !out.parts[1].odd_cent);
        let nobody = shared_out(&office, &season, &[dec("0")]);
        assert_eq!((nobody.parts.len(), nobody.unallocated.cents()), (0, 10_000));
        let ledger = ledger(
            [(CostGroup::Cultural, Money::from_cents(500)), (CostGroup::CashOverhead, Money::from_cents(-50))],
            [(CostGroup::CashOverhead, &out), (CostGroup::CashOverhead, &nobody)],
        );
        let overhead = ledger.groups[1].1;
        assert_eq!((overhead.own.cents(), overhead.shared.cents()), (-50, 10_000));
        assert_eq!(overhead.unallocated.cents(), 10_000);
        assert_eq!(ledger.total.all().cents(), 500 - 50 + 20_000);
    }

    #[test]
    fn some_blocks_parts_tell_nothing_of_the_whole() {
        let season = records().season;
        let office = cost(CostGroup::CashOverhead, 10_000);
        let out = shared_out(&office, &season, &[dec("1"), dec("1"), dec("1")]).of_some([true, false, true]);
        assert_eq!((out.amount.cents(), out.parts.len(), out.unallocated), (6_667, 2, Money::ZERO));
        let nobody = shared_out(&office, &season, &[dec("0")]).of_some([true]);
        assert_eq!((nobody.amount, nobody.unallocated), (Money::ZERO, Money::ZERO));
    }

    proptest! {
        #[test]
        fn nothing_is_lost_between_cost_and_ledger(
            cents in prop::collection::vec((-9_000_000i64..9_000_000, prop::collection::vec(0u32..50, 0..6)), 0..8),
        ) {
            let season = records().season;
            let costs: Vec<(Cost, Vec<Decimal>)> = cents.iter()
                .map(|(cents, weights)| (cost(CostGroup::Harvest, *cents), weights.iter().map(|w| Decimal::from(*w)).collect()))
                .collect();
            let outs: Vec<SharedOut> = costs.iter().map(|(cost, weights)| shared_out(cost, &season, weights)).collect();
            let ledger = ledger([], outs.iter().map(|out| (CostGroup::Harvest, out)));
            prop_assert_eq!(ledger.total.all().cents(), cents.iter().map(|(cents, _)| cents).sum::<i64>());
        }
    }
}
