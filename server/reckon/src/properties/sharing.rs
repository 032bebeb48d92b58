//! The blocks' statements and what no block bears are the operation's, to the cent, whatever is shared.

use proptest::prelude::*;
use rust_decimal::Decimal;

use super::generators::{cost, labor, numbered, packout, settlement};
use super::{cents, turned};
use crate::costs::unallocated;
use crate::exact::{Acres, Exact, Percent, Years};
use crate::figure::Kept;
use crate::money::Money;
use crate::operation::together;
use crate::reckon;
use crate::records::{
    Cost, LaborEntry, Lasting, LineOutcome, MulchApplication, MulchShape, PackoutLine, SettlementLine, SharedBasis,
};
use crate::schedule::{Placing, expenses, schedule};
use crate::season::{BlockSeason, SeasonRecords, SharedCost, StatementKey};
use crate::testing::records;
use crate::water::testing::mulch;

/// A block and what is its own.
type Own = (i64, Option<u32>, Vec<LaborEntry>, Vec<PackoutLine>, Vec<SettlementLine>, Vec<Cost>);

fn own() -> impl Strategy<Value = Own> {
    (
        prop_oneof![Just(0i64), 1i64..90_000],
        prop::option::of(0u32..3_000),
        prop::collection::vec(labor(), 0..5),
        prop::collection::vec(packout(), 0..5),
        prop::collection::vec(settlement(), 0..4),
        prop::collection::vec(cost(), 0..3),
    )
}

fn shared() -> impl Strategy<Value = Cost> {
    let lasting = prop::option::weighted(0.3, (0u32..30, 0i64..500_000, 0i64..12));
    (cost(), prop::sample::select(SharedBasis::ALL.to_vec()), lasting).prop_map(|(cost, basis, lasting)| Cost {
        basis,
        lasting: lasting.map(|(life_years, salvage, rate)| Lasting {
            life_years,
            salvage: Money::from_cents(salvage),
            rate: Percent::whole(rate).unwrap(),
        }),
        ..cost
    })
}

/// What the store reckons for a cost: the block's own measure under its basis. Fixed shares stand in as 1, 2, 3.
fn weight(block: &SeasonRecords, place: usize, basis: SharedBasis) -> Decimal {
    let packed = block.packout.iter().map(|kept| &kept.record);
    match basis {
        SharedBasis::Acres => block.block.acres.decimal(),
        SharedBasis::Trees => block.block.trees.map_or(Decimal::ZERO, Decimal::from),
        SharedBasis::Boxes => packed
            .filter_map(|line| match &line.outcome {
                LineOutcome::Packed { boxes, .. } => Some(boxes.decimal()),
                LineOutcome::Culled { .. } => None,
            })
            .sum(),
        SharedBasis::Weight => packed.filter_map(|line| line.weight).map(Exact::decimal).sum(),
        SharedBasis::Hours => block.labor.iter().filter_map(|kept| kept.record.hours).map(Exact::decimal).sum(),
        SharedBasis::Fixed => Decimal::from(place + 1),
    }
}

fn blocks(own: Vec<Own>) -> Vec<SeasonRecords> {
    let block = |(acres, trees, labor, packout, settlements, costs): Own| {
        let mut block = records();
        block.block.acres = Acres::from_micros(acres * 1_000);
        block.block.trees = trees;
        SeasonRecords {
            labor: numbered(labor),
            packout: numbered(packout),
            settlements: numbered(settlements),
            costs: numbered(costs),
            ..block
        }
    };
    own.into_iter().map(block).collect()
}

fn share(blocks: &mut [SeasonRecords], costs: &[Kept<Cost>]) {
    for cost in costs {
        let weigh = |(place, block): (usize, &SeasonRecords)| weight(block, place, cost.record.basis);
        let weights: Vec<Decimal> = blocks.iter().enumerate().map(weigh).collect();
        for (own, block) in blocks.iter_mut().enumerate() {
            block.shared_costs.push(SharedCost { cost: cost.clone(), weights: weights.clone(), own });
        }
    }
}

/// What falls on the season of every cost, and of that what no block bears.
fn spent(blocks: &[SeasonRecords]) -> (i64, i64) {
    let Some(first) = blocks.first() else { return (0, 0) };
    let own = blocks.iter().flat_map(|block| &block.costs).map(|kept| kept.record.amount.cents()).sum::<i64>();
    let amount = |shared: &SharedCost| crate::costs::in_season(&shared.cost.record, &first.season);
    let shared: i64 = first.shared_costs.iter().filter_map(amount).map(Money::cents).sum();
    let nobody = first.shared_costs.iter();
    let nobody = nobody.map(|shared| unallocated(&shared.cost.record, &first.season, &shared.weights).cents());
    (own + shared, nobody.sum())
}

/// The form and the statement tell the same costs, with mulch laid for some years too.
fn tied(blocks: &mut [SeasonRecords], life: i64) -> Result<(), TestCaseError> {
    for block in blocks.iter_mut() {
        let cost = Some(Money::from_cents(12_345 * life));
        let life = Years::whole(life).unwrap();
        block.mulch =
            numbered(vec![MulchApplication { life, material_cost: cost, ..mulch(MulchShape::SharePct(40.0)) }]);
    }
    let seasons: Vec<BlockSeason> = blocks.iter().map(reckon).collect();
    let form = schedule(&*blocks);
    let tie = form.tie(&together(&seasons.iter().collect::<Vec<_>>()));
    let (steps, last) = (tie.steps(), tie.costs.cents());
    let before: i64 = steps.iter().rev().skip(1).map(|(_, amount)| amount.cents()).sum();
    prop_assert_eq!(before, last);
    prop_assert_eq!(tie.rest, Money::ZERO, "{:?}", tie);
    Ok(())
}

const KEYS: [StatementKey; 6] = [
    StatementKey::OtherGrowing,
    StatementKey::OtherHarvest,
    StatementKey::Assessments,
    StatementKey::Interest,
    StatementKey::CashOverhead,
    StatementKey::NonCashOverhead,
];

proptest! {
    #[test]
    fn blocks_and_what_nobody_bears_are_the_operation(
        own in prop::collection::vec(own(), 1..5),
        costs in prop::collection::vec(shared(), 0..6),
    ) {
        let mut blocks = blocks(own);
        share(&mut blocks, &numbered(costs));
        let seasons: Vec<BlockSeason> = blocks.iter().map(reckon).collect();
        let all: Vec<&BlockSeason> = seasons.iter().collect();
        let operation = together(&all);
        let (whole, nobody) = spent(&blocks);
        let borne: i64 = KEYS.iter().filter_map(|key| operation.line(*key)).map(|line| line.amount.value.cents()).sum();
        prop_assert_eq!(nobody - borne, whole);
        for line in &operation.lines {
            let parts = seasons.iter().filter_map(|season| season.statement.line(line.key));
            prop_assert_eq!(cents(parts.map(|part| &part.amount.value)), line.amount.value.cents());
        }
    }

    #[test]
    fn order_of_costs_never_matters_and_every_cent_finds_its_line(
        own in prop::collection::vec(own(), 1..4),
        costs in prop::collection::vec(shared(), 0..6),
        by in 0usize..6,
        life in 1i64..6,
    ) {
        let costs = numbered(costs);
        let mut first = blocks(own.clone());
        share(&mut first, &costs);
        let mut second = blocks(own);
        share(&mut second, &turned(&costs, by));
        for (a, b) in first.iter().zip(&second) {
            prop_assert_eq!(reckon(a), reckon(b));
        }
        let form = schedule(&first);
        prop_assert_eq!(&form, &schedule(&second));
        let entered: i64 = first.iter().flat_map(expenses).map(|expense| expense.amount.cents()).sum();
        let left_out: i64 = form.left_out.iter().map(|(_, amount, _)| amount.cents()).sum();
        let to_choose: i64 = form.to_choose.iter().map(|(_, amount)| amount.cents()).sum();
        let placed: i64 = form.lines.iter().map(|line| line.amount.cents()).sum();
        prop_assert_eq!(placed + to_choose + left_out, entered);
        prop_assert_eq!(form.mulch, Money::ZERO);
        tied(&mut first, life)?;
        let economic = first.iter().flat_map(expenses).filter(|expense| matches!(expense.placing, Placing::LeftOut(_)));
        prop_assert_eq!(left_out, economic.map(|expense| expense.amount.cents()).sum::<i64>());
    }
}
