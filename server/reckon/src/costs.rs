//! Invoices and other costs: the block's own, and its part of those shared with other blocks.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::allocate::allocate;
use crate::block::Season;
use crate::capital::Asset;
use crate::figure::{Evidence, Figure, Gap, GapAbout, Kept, RecordKind, RecordRef};
use crate::money::Money;
use crate::records::{Cost, CostGroup, SharedBasis};
use crate::say;
use crate::season::{SeasonRecords, SharedCost};

/// Costs of a block by their place in the statement; groups without a record are absent.
pub type CostsByGroup = BTreeMap<CostGroup, Figure<Money>>;

/// A block's part of one cost, in its season.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part<'r> {
    /// The invoice.
    pub cost: &'r Cost,
    /// What of it falls on the block and the season.
    pub amount: Money,
    /// The record.
    pub record: RecordRef,
    /// It is shared with other blocks.
    pub shared: bool,
}

/// Own costs in full, shared costs by the block's part, cent-exact; what lasts by its capital recovery.
pub fn season(records: &SeasonRecords) -> (CostsByGroup, Vec<Gap>) {
    let mut groups: BTreeMap<CostGroup, Vec<Part<'_>>> = BTreeMap::new();
    for part in parts(records) {
        groups.entry(part.cost.group).or_default().push(part);
    }
    let groups = groups.into_iter().map(|(group, parts)| {
        let sum = parts.iter().map(|part| part.amount).sum();
        let lasting = parts.iter().any(|part| part.cost.lasting.is_some());
        let evidence = if lasting { Evidence::Modelled } else { Evidence::Invoiced };
        (group, Figure::new(sum, evidence, parts.iter().map(|part| part.record)))
    });
    (groups.collect(), doubts(records))
}

/// The block's part of each cost that falls on the season; costs that cannot be shared are left out.
pub fn parts(records: &SeasonRecords) -> Vec<Part<'_>> {
    let own = records.costs.iter().filter_map(|kept| {
        let amount = in_season(&kept.record, &records.season)?;
        Some(Part { cost: &kept.record, amount, record: reference(kept), shared: false })
    });
    let shared = records.shared_costs.iter().filter_map(|shared| {
        let amount = own_part(shared, &records.season)?;
        Some(Part { cost: &shared.cost.record, amount, record: reference(&shared.cost), shared: true })
    });
    own.chain(shared).collect()
}

/// What of a cost falls on a season: the whole amount, or the capital recovery of what lasts. `None`
/// outside its life, or when its life and rate make no sense.
pub fn in_season(cost: &Cost, season: &Season) -> Option<Money> {
    let Some(lasting) = cost.lasting else { return Some(cost.amount) };
    let (price, salvage) = (cost.amount, lasting.salvage);
    let asset = Asset { price, salvage, life_years: lasting.life_years, rate: lasting.rate };
    if lasting.reaches(cost.date, season) { asset.recovery() } else { None }
}

/// The block's part of a shared cost; `None` when its basis is nowhere above zero.
pub fn own_part(shared: &SharedCost, season: &Season) -> Option<Money> {
    let amount = in_season(&shared.cost.record, season)?;
    allocate(amount, &shared.weights)?.get(shared.own).copied()
}

/// What no block bears of a cost: all of it when nothing can be shared over, else nothing.
pub fn unallocated(cost: &Cost, season: &Season, weights: &[Decimal]) -> Money {
    let amount = in_season(cost, season).unwrap_or_default();
    if allocate(amount, weights).is_some() { Money::ZERO } else { amount }
}

fn reference(kept: &Kept<Cost>) -> RecordRef {
    RecordRef { kind: RecordKind::Cost, id: kept.id }
}

fn doubts(records: &SeasonRecords) -> Vec<Gap> {
    let own = records.costs.iter().filter_map(|kept| senseless(kept, &records.season));
    let shared = records.shared_costs.iter().filter_map(|shared| {
        let nowhere = !unallocated(&shared.cost.record, &records.season, &shared.weights).is_zero();
        if nowhere { Some(not_shared(&shared.cost)) } else { senseless(&shared.cost, &records.season) }
    });
    let strangers = records.shared_costs.iter().filter_map(strangers);
    own.chain(shared).chain(strangers).collect()
}

fn not_shared(kept: &Kept<Cost>) -> Gap {
    let cost = &kept.record;
    let (lacks, mend) = match cost.basis {
        SharedBasis::Acres => ("acres", "Enter the acres of the blocks."),
        SharedBasis::Trees => ("trees", "Enter the trees of the blocks, or share the cost by acres."),
        SharedBasis::Boxes => ("boxes packed", "Keep the packing reports, or share the cost by acres."),
        SharedBasis::Weight => ("weight packed", "Add weights to the packing reports, or share the cost by acres."),
        SharedBasis::Hours => ("hours of labor", "Keep crew days with hours, or share the cost by acres."),
        SharedBasis::Fixed => ("share in it", "Use the codes of blocks that exist, or share the cost by acres."),
    };
    let (day, basis) = (say::day(cost.date), cost.basis.word());
    let what = format!("The cost of {day} for {} is shared by {basis}, but its blocks have no {lacks}.", cost.category);
    say::missing(GapAbout::Costs, what, mend, [reference(kept)])
}

/// A fixed share that names a block which does not bear it: the others bear the whole.
fn strangers(shared: &SharedCost) -> Option<Gap> {
    let cost = &shared.cost.record;
    let named = cost.shares.parts().iter().filter(|(_, share)| !share.is_zero()).count();
    let bearing = shared.weights.iter().filter(|weight| **weight > Decimal::ZERO).count();
    (cost.basis == SharedBasis::Fixed && bearing > 0 && named > bearing).then(|| {
        let day = say::day(cost.date);
        let what = format!("The cost of {day} for {} names blocks it cannot go to.", cost.category);
        let mend = "Correct the codes in its shares; until then the blocks that exist bear all of it.";
        say::missing(GapAbout::Costs, what, mend, [reference(&shared.cost)])
    })
}

/// Something that lasts, in its life, and no capital recovery comes of it.
fn senseless(kept: &Kept<Cost>, season: &Season) -> Option<Gap> {
    let cost = &kept.record;
    let lasting = cost.lasting.filter(|lasting| lasting.reaches(cost.date, season))?;
    in_season(cost, season).is_none().then(|| {
        let what = format!(
            "{} lasts {} years at {}%: no cost of a season comes of it.",
            cost.category, lasting.life_years, lasting.rate
        );
        say::missing(GapAbout::Costs, what, "Correct its life or its interest.", [reference(kept)])
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::Percent;
    use crate::records::{Lasting, Shares};
    use crate::testing::{cost, kept, numbered, records, shared};

    #[test]
    fn own_and_shared_costs_meet_in_their_group() {
        let mut records = records();
        records.costs = kept([cost(CostGroup::CashOverhead, 1_000), cost(CostGroup::Harvest, -50)]);
        records.shared_costs = vec![shared(4, 10_000, &[1, 1, 1], 0), shared(5, 100_000, &[1000, 750, 225], 2)];
        let (groups, gaps) = season(&records);
        assert_eq!(groups[&CostGroup::CashOverhead].value, Money::from_cents(1_000 + 3_334 + 11_392));
        assert_eq!(groups[&CostGroup::CashOverhead].n(), 3);
        assert_eq!(groups[&CostGroup::Harvest].value, Money::from_cents(-50), "a credit");
        assert!(!groups.contains_key(&CostGroup::Interest));
        assert!(gaps.is_empty());
    }

    #[test]
    fn a_basis_nobody_has_is_said() {
        let mut all = records();
        all.shared_costs = vec![shared(4, 10_000, &[0, 0], 1)];
        let (groups, gaps) = season(&all);
        assert!(groups.is_empty());
        assert_eq!(gaps[0].what, "The cost of 3 May for office is shared by acres, but its blocks have no acres.");
        all.shared_costs[0].cost.record.basis = SharedBasis::Boxes;
        assert_eq!(
            season(&all).1[0].what,
            "The cost of 3 May for office is shared by boxes, but its blocks have no boxes packed."
        );
        assert_eq!(
            unallocated(&all.shared_costs[0].cost.record, &all.season, &[Decimal::ZERO]),
            Money::from_cents(10_000)
        );
    }

    #[test]
    fn a_share_for_a_block_that_does_not_exist_is_said() {
        let mut all = records();
        let mut fixed = shared(4, 10_000, &[40, 0], 0);
        fixed.cost.record.basis = SharedBasis::Fixed;
        fixed.cost.record.shares = Shares::parse("T-1=40;X-9=60").unwrap();
        all.shared_costs = vec![fixed];
        let (groups, gaps) = season(&all);
        assert_eq!(groups[&CostGroup::CashOverhead].value, Money::from_cents(10_000));
        assert_eq!(gaps[0].what, "The cost of 3 May for office names blocks it cannot go to.");
    }

    #[test]
    fn what_lasts_bears_its_capital_recovery_in_each_season_of_its_life() {
        let bought =
            Lasting { life_years: 15, salvage: Money::from_cents(2_530_000), rate: Percent::whole(5).unwrap() };
        let mut all = records();
        let sprayer = Cost { lasting: Some(bought), ..cost(CostGroup::NonCashOverhead, 9_350_000) };
        all.costs = vec![numbered(2, sprayer)];
        let figure = season(&all).0[&CostGroup::NonCashOverhead].clone();
        assert_eq!((figure.value, figure.evidence), (Money::from_cents(783_554), Evidence::Modelled));
        all.season = Season::calendar_year(2041).unwrap();
        assert!(season(&all).0.is_empty(), "its life ended with 2040");
        all.season = Season::calendar_year(2026).unwrap();
        all.costs[0].record.lasting = Some(Lasting { rate: Percent::whole(-5).unwrap(), ..bought });
        let (groups, gaps) = season(&all);
        assert!(groups.is_empty());
        assert_eq!(gaps[0].what, "office lasts 15 years at -5%: no cost of a season comes of it.");
    }
}
