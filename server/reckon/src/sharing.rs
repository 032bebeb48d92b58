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
    /// Parts of shared costs borne by the blocks a person sees.
    pub shared: Money,
    /// Parts borne by other blocks.
    pub elsewhere: Money,
    /// What no block bears.
    pub unallocated: Money,
}

impl Sums {
    /// All of it.
    pub fn all(&self) -> Money {
        [self.own, self.shared, self.elsewhere, self.unallocated].into_iter().sum()
    }

    fn plus(self, other: &Self) -> Self {
        Self {
            own: self.own.plus(other.own),
            shared: self.shared.plus(other.shared),
            elsewhere: self.elsewhere.plus(other.elsewhere),
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

/// Adds up costs of single blocks and shared costs; `seen` says for each part of a shared cost
/// whether its block is one the person sees.
pub fn ledger<'s>(
    own: impl IntoIterator<Item = (CostGroup, Money)>,
    shared: impl IntoIterator<Item = (CostGroup, &'s SharedOut, Vec<bool>)>,
) -> Ledger {
    let mut groups: BTreeMap<CostGroup, Sums> = BTreeMap::new();
    let mut add = |group: CostGroup, more: &Sums| {
        let sums = groups.entry(group).or_default();
        *sums = sums.plus(more);
    };
    for (group, amount) in own {
        add(group, &Sums { own: amount, ..Sums::default() });
    }
    for (group, out, seen) in shared {
        let borne = |by: bool| {
            let parts = out.parts.iter().zip(&seen).filter(|(_, seen)| **seen == by);
            parts.map(|(part, _)| part.amount).sum()
        };
        add(
            group,
            &Sums { shared: borne(true), elsewhere: borne(false), unallocated: out.unallocated, own: Money::ZERO },
        );
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
            [(CostGroup::CashOverhead, &out, vec![true, false, true]), (CostGroup::CashOverhead, &nobody, vec![true])],
        );
        let overhead = ledger.groups[1].1;
        assert_eq!((overhead.own.cents(), overhead.shared.cents()), (-50, 6_667));
        assert_eq!((overhead.elsewhere.cents(), overhead.unallocated.cents()), (3_333, 10_000));
        assert_eq!(ledger.total.all().cents(), 500 - 50 + 20_000);
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
            let seen = |out: &SharedOut| (0..out.parts.len()).map(|n| n % 2 == 0).collect::<Vec<_>>();
            let ledger = ledger([], outs.iter().map(|out| (CostGroup::Harvest, out, seen(out))));
            prop_assert_eq!(ledger.total.all().cents(), cents.iter().map(|(cents, _)| cents).sum::<i64>());
        }
    }
}
