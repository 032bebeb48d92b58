//! Invoices and other costs: the block's own, and its part of those shared with other blocks.

use std::collections::BTreeMap;

use crate::allocate::allocate;
use crate::figure::{Evidence, Figure, Gap, GapAbout, Kept, RecordKind, RecordRef};
use crate::money::Money;
use crate::records::{Cost, CostGroup, SharedBasis};
use crate::say;
use crate::season::{SeasonRecords, SharedCost};

/// Costs of a block by their place in the statement; groups without a record are absent.
pub type CostsByGroup = BTreeMap<CostGroup, Figure<Money>>;

/// Own costs in full, shared costs by the block's part, cent-exact.
pub fn season(records: &SeasonRecords) -> (CostsByGroup, Vec<Gap>) {
    let mut parts: BTreeMap<CostGroup, Vec<(Money, RecordRef)>> = BTreeMap::new();
    let mut gaps = Vec::new();
    for kept in &records.costs {
        parts.entry(kept.record.group).or_default().push((kept.record.amount, reference(kept)));
    }
    for shared in &records.shared_costs {
        match own_part(shared) {
            Some(part) => {
                parts.entry(shared.cost.record.group).or_default().push((part, reference(&shared.cost)));
            }
            None => gaps.push(not_shared(&shared.cost)),
        }
    }
    let groups = parts.into_iter().map(|(group, parts)| {
        let sum = parts.iter().map(|(amount, _)| *amount).sum();
        (group, Figure::new(sum, Evidence::Invoiced, parts.into_iter().map(|(_, record)| record)))
    });
    (groups.collect(), gaps)
}

/// The block's part of a shared cost; `None` when its basis is nowhere above zero.
pub fn own_part(shared: &SharedCost) -> Option<Money> {
    allocate(shared.cost.record.amount, &shared.weights)?.get(shared.own).copied()
}

fn reference(kept: &Kept<Cost>) -> RecordRef {
    RecordRef { kind: RecordKind::Cost, id: kept.id }
}

fn not_shared(kept: &Kept<Cost>) -> Gap {
    let cost = &kept.record;
    let (basis, mend) = match cost.basis {
        SharedBasis::Acres => ("acres", "Enter the acres of the blocks."),
        SharedBasis::Trees => ("trees", "Enter the trees of the blocks, or share the cost by acres."),
    };
    let what = format!(
        "The cost of {} for {} is shared by {basis}, but its blocks have no {basis}.",
        say::day(cost.date),
        cost.category
    );
    say::missing(GapAbout::Costs, what, mend, [reference(kept)])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figure::RecordId;
    use crate::testing;
    use rust_decimal::Decimal;

    fn cost(line: u32, group: CostGroup, cents: i64, basis: SharedBasis) -> Kept<Cost> {
        Kept {
            id: RecordId::Line(line),
            record: Cost {
                date: testing::date(5, 3),
                payee: String::new(),
                category: "office".into(),
                group,
                amount: Money::from_cents(cents),
                basis,
                note: String::new(),
            },
        }
    }

    fn shared(line: u32, cents: i64, weights: &[i64], own: usize) -> SharedCost {
        SharedCost {
            cost: cost(line, CostGroup::CashOverhead, cents, SharedBasis::Acres),
            weights: weights.iter().map(|w| Decimal::from(*w)).collect(),
            own,
        }
    }

    #[test]
    fn own_and_shared_costs_meet_in_their_group() {
        let mut records = testing::records();
        records.costs = vec![
            cost(2, CostGroup::CashOverhead, 1_000, SharedBasis::Acres),
            cost(3, CostGroup::Harvest, -50, SharedBasis::Acres),
        ];
        records.shared_costs = vec![shared(4, 10_000, &[1, 1, 1], 0), shared(5, 100_000, &[1000, 750, 225], 2)];
        let (groups, gaps) = season(&records);
        assert_eq!(groups[&CostGroup::CashOverhead].value, Money::from_cents(1_000 + 3_334 + 11_392));
        assert_eq!(groups[&CostGroup::CashOverhead].n(), 3);
        assert_eq!(groups[&CostGroup::Harvest].value, Money::from_cents(-50));
        assert!(!groups.contains_key(&CostGroup::Interest));
        assert!(gaps.is_empty());
    }

    #[test]
    fn the_parts_of_all_blocks_are_the_whole() {
        let weights = [10, 7, 2, 31];
        let parts: Money = (0..weights.len()).filter_map(|own| own_part(&shared(2, 99_999, &weights, own))).sum();
        assert_eq!(parts, Money::from_cents(99_999));
    }

    #[test]
    fn a_basis_nobody_has_is_said() {
        let mut records = testing::records();
        records.shared_costs = vec![shared(4, 10_000, &[0, 0], 1)];
        let (groups, gaps) = season(&records);
        assert!(groups.is_empty());
        assert_eq!(gaps[0].what, "The cost of 3 May for office is shared by acres, but its blocks have no acres.");
    }
}
