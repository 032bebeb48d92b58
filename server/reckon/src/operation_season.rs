//! The season of a whole operation in one struct: its printed report, its spreadsheet and its JSON
//! read this and nothing else, so they cannot disagree.

use std::collections::BTreeMap;

use crate::block::Season;
use crate::compare::{self, Comparison, Observation};
use crate::costs;
use crate::exact::Acres;
use crate::figure::Kept;
use crate::money::Money;
use crate::operation::together;
use crate::overview::{self, Facts, Overview};
use crate::packout::{self, Settled};
use crate::reckon_season::reckon_settled;
use crate::records::Cost;
use crate::schedule::{ScheduleF, schedule};
use crate::season::{BlockSeason, HowReckoned, PackoutSeason, SeasonRecords, Statement, StatementKey};
use crate::sharing::{Ledger, SharedOut, ledger};
use crate::size_classes::natural;

/// A cost that several blocks bear, and each block's part of it.
#[derive(Debug, Clone, PartialEq)]
pub struct SharedAmong {
    /// The invoice.
    pub cost: Kept<Cost>,
    /// The farm it is a cost of; `None` for the whole operation.
    pub farm: Option<String>,
    /// Only the share of some farms is told, not the whole invoice.
    pub share_only: bool,
    /// Codes of the blocks, in the order of the parts.
    pub blocks: Vec<String>,
    /// What of it falls on the season, and each block's part.
    pub out: SharedOut,
}

/// Everything recorded about an operation, or about the farms a person sees, in one season.
#[derive(Debug, Clone, PartialEq)]
pub struct OperationRecords {
    /// Its name.
    pub operation: String,
    /// The season.
    pub season: Season,
    /// All its farms are here; `false` for a person limited to some.
    pub whole: bool,
    /// The records of each block.
    pub blocks: Vec<SeasonRecords>,
    /// The records of the season before; may be empty.
    pub last: Vec<SeasonRecords>,
    /// Costs of farms and of the whole operation, by day.
    pub shared: Vec<SharedAmong>,
}

/// The statement of one farm.
#[derive(Debug, Clone, PartialEq)]
pub struct FarmSeason {
    /// The farm's name.
    pub name: String,
    /// Codes of its blocks that have something to state.
    pub blocks: Vec<String>,
    /// Their statements added up.
    pub statement: Statement,
}

/// The fruit of one crop.
#[derive(Debug, Clone, PartialEq)]
pub struct CropSeason {
    /// The crop.
    pub name: String,
    /// Codes of the blocks it came from.
    pub blocks: Vec<String>,
    /// Sizes, grades, weeks and prices, weighted over the blocks.
    pub packout: PackoutSeason,
}

/// A block's part of one cost.
#[derive(Debug, Clone, PartialEq)]
pub struct CostLine {
    /// Code of the block.
    pub block: String,
    /// The invoice.
    pub cost: Cost,
    /// What of it falls on the block and the season.
    pub amount: Money,
    /// It is shared with other blocks.
    pub shared: bool,
}

/// The reckoned season of an operation.
#[derive(Debug, Clone, PartialEq)]
pub struct OperationSeason {
    /// Its name.
    pub operation: String,
    /// The season.
    pub season: Season,
    /// All its farms are here.
    pub whole: bool,
    /// Acres of its blocks.
    pub acres: Acres,
    /// Each block, by farm and code.
    pub blocks: Vec<BlockSeason>,
    /// Blocks ranked, and why.
    pub overview: Overview,
    /// Year of the season that blocks are held against as well.
    pub last_year: Option<i32>,
    /// Statements by farm, by name.
    pub farms: Vec<FarmSeason>,
    /// All blocks' statements added up.
    pub statement: Statement,
    /// Shared costs that no block bears.
    pub unallocated: Money,
    /// Return over all costs, less what no block bears: the operation's own last line.
    pub after_unallocated: Money,
    /// Costs by group: of one block, shared, borne by none.
    pub ledger: Ledger,
    /// Who bears what of each shared cost.
    pub shared: Vec<SharedAmong>,
    /// The parts of all shared costs by block; they sum to the ledger's shared costs.
    pub shared_by_block: Vec<(String, Money)>,
    /// Each block's part of each cost, by day and block.
    pub costs: Vec<CostLine>,
    /// Lines of the farm tax form, as suggested.
    pub schedule: ScheduleF,
    /// Fruit by crop.
    pub crops: Vec<CropSeason>,
    /// Methods of thinning held against each other.
    pub thinning: Comparison,
    /// How what stands on no block's own report is reckoned.
    pub how: Vec<HowReckoned>,
}

/// A block's part of each cost that falls on its season, by day.
pub fn cost_lines(records: &SeasonRecords) -> Vec<CostLine> {
    let mut parts = costs::parts(records);
    parts.sort_by_key(|part| (part.cost.date, part.record));
    let line = |part: &costs::Part<'_>| CostLine {
        block: records.block.code.clone(),
        cost: part.cost.clone(),
        amount: part.amount,
        shared: part.shared,
    };
    parts.iter().map(line).collect()
}

/// What all these parts come to.
pub fn all_of(lines: &[CostLine]) -> Money {
    lines.iter().map(|line| line.amount).sum()
}

impl OperationRecords {
    /// Reckons every block and what they make together. The order of the blocks does not matter.
    pub fn reckon(&self) -> OperationSeason {
        let mut records: Vec<&SeasonRecords> = self.blocks.iter().collect();
        records.sort_by(|a, b| a.farm.name.cmp(&b.farm.name).then_with(|| natural(&a.block.code, &b.block.code)));
        let settled: Vec<(&SeasonRecords, Settled)> = records.iter().map(|own| (*own, Settled::of(own))).collect();
        let blocks: Vec<BlockSeason> = settled.iter().map(|(own, settled)| reckon_settled(own, settled)).collect();
        let statement = together(&blocks.iter().collect::<Vec<_>>());
        let ledger = self.ledger(&records);
        let unallocated = ledger.total.unallocated;
        let observations: Vec<Observation> = blocks.iter().flat_map(Observation::of).collect();
        let over_all = statement.line(StatementKey::OverAll).map_or(Money::ZERO, |line| line.amount.value);
        OperationSeason {
            operation: self.operation.clone(),
            season: self.season,
            whole: self.whole,
            acres: blocks.iter().map(BlockSeason::acres).sum(),
            overview: overview::overview(&self.facts(&blocks)),
            last_year: self.last.first().map(|records| records.season.year),
            farms: farms(&blocks),
            after_unallocated: over_all.minus(unallocated),
            shared: self.shared.clone(),
            shared_by_block: self.shared_by_block(),
            costs: all_costs(&records),
            schedule: schedule(records.iter().copied()),
            crops: crops(&settled),
            thinning: compare::compare(&observations, &[]),
            how: how(),
            statement,
            unallocated,
            ledger,
            blocks,
        }
    }

    fn ledger(&self, records: &[&SeasonRecords]) -> Ledger {
        let own = records.iter().flat_map(|records| &records.costs);
        let own = own.filter_map(|kept| Some((kept.record.group, costs::in_season(&kept.record, &self.season)?)));
        ledger(own, self.shared.iter().map(|shared| (shared.cost.record.group, &shared.out)))
    }

    fn facts(&self, blocks: &[BlockSeason]) -> Vec<(Facts, Option<Facts>)> {
        let last: Vec<BlockSeason> = self.last.iter().map(crate::reckon).collect();
        let before = |code: &str| last.iter().find(|season| season.heading.block.code == code).and_then(Facts::of);
        let of = |season: &BlockSeason| Some((Facts::of(season)?, before(&season.heading.block.code)));
        blocks.iter().filter_map(of).collect()
    }

    fn shared_by_block(&self) -> Vec<(String, Money)> {
        let mut sums: BTreeMap<&str, Money> = BTreeMap::new();
        for shared in &self.shared {
            for (block, part) in shared.blocks.iter().zip(&shared.out.parts) {
                let sum = sums.entry(block).or_default();
                *sum = sum.plus(part.amount);
            }
        }
        let mut sums: Vec<(String, Money)> = sums.into_iter().map(|(block, sum)| (block.to_owned(), sum)).collect();
        sums.sort_by(|a, b| natural(&a.0, &b.0));
        sums
    }
}

fn farms(blocks: &[BlockSeason]) -> Vec<FarmSeason> {
    let mut by_farm: BTreeMap<&str, Vec<&BlockSeason>> = BTreeMap::new();
    for season in blocks.iter().filter(|season| !season.statement.lines.is_empty()) {
        by_farm.entry(&season.heading.farm.name).or_default().push(season);
    }
    let farm = |(name, blocks): (&str, Vec<&BlockSeason>)| FarmSeason {
        name: name.to_owned(),
        blocks: blocks.iter().map(|season| season.heading.block.code.clone()).collect(),
        statement: together(&blocks),
    };
    by_farm.into_iter().map(farm).collect()
}

fn all_costs(records: &[&SeasonRecords]) -> Vec<CostLine> {
    let mut lines: Vec<CostLine> = records.iter().flat_map(|records| cost_lines(records)).collect();
    // Stable, so the costs of one block and day keep their order.
    lines.sort_by(|a, b| a.cost.date.cmp(&b.cost.date).then_with(|| natural(&a.block, &b.block)));
    lines
}

/// Crops by name; of each the blocks that packed or sold something.
fn crops(settled: &[(&SeasonRecords, Settled)]) -> Vec<CropSeason> {
    let blocks = settled.iter().map(|(own, settled)| (*own, settled));
    let crop = |(name, blocks): (String, Vec<(&SeasonRecords, &Settled)>)| {
        let (packout, _) = packout::settled_together(&blocks)?;
        let codes = blocks.iter().map(|(own, _)| own.block.code.clone()).collect();
        Some(CropSeason { name, blocks: codes, packout })
    };
    packout::by_crop(blocks, |(own, _)| own).into_iter().filter_map(crop).collect()
}

fn how() -> Vec<HowReckoned> {
    const OWN: [&str; 3] = ["shared-costs", "capital-recovery", "price-by-grade"];
    let mut how = overview::how();
    how.extend(crate::how::how().into_iter().filter(|how| OWN.contains(&how.id)));
    how.extend(compare::how());
    how
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figure::RecordId;
    use crate::records::CostGroup;
    use crate::season::SharedCost;
    use crate::sharing::shared_out;
    use crate::testing::{cost, records};
    use proptest::prelude::*;
    use rust_decimal::Decimal;

    /// Blocks with own costs and shared costs, as the store would hand them over.
    fn operation(own: &[i64], shared: &[(i64, Vec<u32>)]) -> OperationRecords {
        let code = |n: usize| format!("T-{}", n + 1);
        let cost_of = |n: usize, cents: i64| Kept {
            id: RecordId::Line(u32::try_from(n).unwrap() + 2),
            record: cost(CostGroup::CashOverhead, cents),
        };
        let weights = |n: usize| shared[n].1.iter().map(|w| Decimal::from(*w)).collect::<Vec<_>>();
        let season = records().season;
        let blocks = own.iter().enumerate().map(|(n, cents)| {
            let mut block = records();
            block.block.code = code(n);
            block.farm.name = if n % 2 == 0 { "Home" } else { "Away" }.into();
            block.costs = vec![cost_of(100 + n, *cents)];
            block.shared_costs = (0..shared.len())
                .map(|m| SharedCost { cost: cost_of(m, shared[m].0), weights: weights(m), own: n })
                .collect();
            block
        });
        let among = (0..shared.len()).map(|n| {
            let cost = cost_of(n, shared[n].0);
            let out = shared_out(&cost.record, &season, &weights(n));
            SharedAmong { cost, farm: None, share_only: false, blocks: (0..own.len()).map(code).collect(), out }
        });
        OperationRecords {
            operation: "Test Orchards".into(),
            season,
            whole: true,
            blocks: blocks.collect(),
            last: Vec::new(),
            shared: among.collect(),
        }
    }

    fn over_all(statement: &Statement) -> Money {
        statement.line(StatementKey::OverAll).map_or(Money::ZERO, |line| line.amount.value)
    }

    #[test]
    fn what_no_block_bears_is_the_operations() {
        let season = operation(&[1_000, 2_000], &[(10_001, vec![1, 1]), (5_000, vec![0, 0])]).reckon();
        assert_eq!(over_all(&season.statement).cents(), -13_001);
        assert_eq!((season.unallocated.cents(), season.after_unallocated.cents()), (5_000, -18_001));
        let named: Vec<(&str, i64)> = season.shared_by_block.iter().map(|(b, m)| (b.as_str(), m.cents())).collect();
        assert_eq!(named, [("T-1", 5_001), ("T-2", 5_000)]);
        let farms: Vec<&str> = season.farms.iter().map(|farm| farm.name.as_str()).collect();
        assert_eq!(farms, ["Away", "Home"]);
        assert_eq!(season.costs.len(), 4, "what nobody bears is no block's cost");
        assert_eq!(season.overview.ranked.len(), 2);
        assert!(season.crops.is_empty() && season.thinning.groups.is_empty());
    }

    proptest! {
        #[test]
        fn blocks_and_what_nobody_bears_are_the_operation(
            own in prop::collection::vec(-900_000i64..900_000, 1..6),
            shared in prop::collection::vec((-900_000i64..900_000, prop::collection::vec(0u32..40, 6)), 0..5),
            by in 0usize..6,
        ) {
            let shared: Vec<(i64, Vec<u32>)> =
                shared.into_iter().map(|(cents, weights)| (cents, weights[..own.len()].to_vec())).collect();
            let mut records = operation(&own, &shared);
            let season = records.reckon();
            let invoices: i64 = own.iter().sum::<i64>() + shared.iter().map(|(cents, _)| cents).sum::<i64>();
            prop_assert_eq!(season.after_unallocated.cents(), -invoices);
            let blocks: Money = season.blocks.iter().map(|block| over_all(&block.statement)).sum();
            let farms: Money = season.farms.iter().map(|farm| over_all(&farm.statement)).sum();
            prop_assert_eq!(blocks.minus(season.unallocated), season.after_unallocated);
            prop_assert_eq!(blocks, farms);
            let listed = all_of(&season.costs);
            prop_assert_eq!(listed, season.ledger.total.own.plus(season.ledger.total.shared));
            let borne: Money = season.shared_by_block.iter().map(|(_, amount)| *amount).sum();
            prop_assert_eq!(borne, season.ledger.total.shared);
            let by = by % records.blocks.len();
            records.blocks.rotate_left(by);
            prop_assert_eq!(records.reckon(), season);
        }
    }
}
