//! Costs shared by what was packed and worked, in fixed shares, and over the years of something that lasts.
#![cfg(test)]

mod common;

use common::{World, block, cost, day, labor, money, world};
use reckon::costs::in_season;
use reckon::exact::{Boxes, Percent, Pounds};
use reckon::figure::RecordKind;
use reckon::records::{Cost, Lasting, LineOutcome, PackoutLine, Record, SharedBasis, Shares};
use reckon::season::SharedCost;
use reckon::summary::Summary;
use rust_decimal::Decimal;
use store::kit::{Fresh, on_both};
use store::{BlockId, Right, Role, Target};

fn packed(date: &str, boxes: i64, pounds: Option<i64>) -> Record {
    Record::Packout(PackoutLine {
        date: day(date),
        outcome: LineOutcome::Packed {
            size_class: "A".to_owned(),
            grade: "1".to_owned(),
            boxes: Boxes::whole(boxes).unwrap(),
        },
        weight: pounds.map(|pounds| Pounds::whole(pounds).unwrap()),
        note: String::new(),
    })
}

fn worked(date: &str, hours: i64) -> Record {
    Record::Labor(labor(date, hours, 16_000_000))
}

fn changed(date: &str, change: impl FnOnce(&mut Cost)) -> Record {
    let Record::Cost(mut shared) = cost(date, 100_001, SharedBasis::Acres) else { panic!() };
    change(&mut shared);
    Record::Cost(shared)
}

async fn keep(fresh: &Fresh, world: &World, records: &[(Target, Record)]) {
    let mut book = fresh.store.book(&world.owner, Right::KeepField).await.unwrap();
    for (target, record) in records {
        book.add(target, record).await.unwrap();
    }
    book.save().await.unwrap();
}

async fn shared(fresh: &Fresh, world: &World, block: BlockId, year: i32) -> Vec<SharedCost> {
    fresh.store.desk(&world.owner).season_records(block, year).await.unwrap().shared_costs
}

/// Every kept summary is what reckoning says now.
async fn summaries_are_fresh(fresh: &Fresh, world: &World) {
    let desk = fresh.store.desk(&world.owner);
    for year in [2025, 2026] {
        let records = desk.whole_season(year).await.unwrap();
        assert_eq!(records.len(), 3);
        for (row, summary) in desk.summaries(year).await.unwrap() {
            let own = records.iter().find(|(id, _)| *id == row.id).map(|(_, records)| records).unwrap();
            assert_eq!(own, &desk.season_records(row.id, year).await.unwrap());
            assert_eq!(summary.unwrap_or_default(), Summary::of(&reckon::reckon(own)), "{} in {year}", row.block.code);
        }
    }
}

fn numbers(weights: &[i64]) -> Vec<Decimal> {
    weights.iter().map(|weight| Decimal::from(*weight)).collect()
}

#[tokio::test]
async fn weights_are_what_was_packed_and_worked_in_the_season() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        keep(
            &fresh,
            &world,
            &[
                (Target::Block(world.rim_1), packed("2026-07-01", 300, Some(6_000))),
                (Target::Block(world.rim_1), packed("2026-07-02", 100, Some(2_000))),
                (Target::Block(world.rim_1), packed("2025-07-02", 999, Some(999))),
                (Target::Block(world.flat_1), packed("2026-07-03", 50, None)),
                (Target::Block(world.rim_2), worked("2026-05-01", 12)),
                (Target::Block(world.flat_1), worked("2026-05-01", 8)),
            ],
        )
        .await;
        for basis in [SharedBasis::Boxes, SharedBasis::Weight, SharedBasis::Hours] {
            keep(&fresh, &world, &[(Target::Operation, cost("2026-03-01", 100_001, basis))]).await;
        }
        let fixed = changed("2026-03-02", |cost| {
            cost.basis = SharedBasis::Fixed;
            cost.shares = Shares::parse("R-1=25;R-2=75").unwrap();
        });
        keep(&fresh, &world, &[(Target::Farm(world.rim), fixed)]).await;
        let mut seen = shared(&fresh, &world, world.rim_1, 2026).await;
        seen.sort_by_key(|shared| (shared.cost.record.date, shared.cost.record.basis));
        let weights: Vec<Vec<Decimal>> = seen.iter().map(|shared| shared.weights.clone()).collect();
        let expected = [&[400, 0, 50][..], &[8_000, 0, 0], &[0, 12, 8], &[25, 75]].map(numbers);
        assert_eq!(weights, expected);
        assert_eq!(seen[3].cost.record.shares.to_string(), "R-1=25;R-2=75");
        summaries_are_fresh(&fresh, &world).await;
    })
    .await;
}

/// What one block packs or works changes what the others bear: their summaries follow.
#[tokio::test]
async fn every_sharing_block_is_renewed() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        keep(&fresh, &world, &[(Target::Block(world.rim_1), worked("2026-05-01", 10))]).await;
        keep(&fresh, &world, &[(Target::Operation, cost("2026-03-01", 100_001, SharedBasis::Hours))]).await;
        keep(&fresh, &world, &[(Target::Farm(world.rim), cost("2026-03-01", 70_000, SharedBasis::Boxes))]).await;
        summaries_are_fresh(&fresh, &world).await;
        keep(&fresh, &world, &[(Target::Block(world.flat_1), worked("2026-05-02", 30))]).await;
        summaries_are_fresh(&fresh, &world).await;
        keep(&fresh, &world, &[(Target::Block(world.rim_2), packed("2026-07-02", 30, None))]).await;
        summaries_are_fresh(&fresh, &world).await;
        let desk = fresh.store.desk(&world.owner);
        let packouts = desk.records(store::RecordFilter::of(RecordKind::Packout)).await.unwrap();
        let mut book = fresh.store.book(&world.owner, Right::KeepBooks).await.unwrap();
        book.remove(RecordKind::Packout, packouts[0].id, packouts[0].version).await.unwrap();
        book.save().await.unwrap();
        summaries_are_fresh(&fresh, &world).await;
        let mut row = desk.block(world.rim_2).await.unwrap();
        row.block = block("R-9", "1", None);
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.correct_block(row.id, row.version, &row.block).await.unwrap();
        book.save().await.unwrap();
        summaries_are_fresh(&fresh, &world).await;
    })
    .await;
}

#[tokio::test]
async fn what_lasts_bears_on_each_season_of_its_life() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let sprayer = |years| {
            changed("2025-03-01", |cost| {
                cost.amount = money(2_000_000);
                cost.lasting = Some(Lasting { life_years: years, salvage: money(0), rate: Percent::whole(5).unwrap() });
            })
        };
        keep(&fresh, &world, &[(Target::Operation, sprayer(1)), (Target::Block(world.rim_1), sprayer(10))]).await;
        assert_eq!(shared(&fresh, &world, world.rim_1, 2025).await.len(), 1);
        assert!(shared(&fresh, &world, world.rim_1, 2026).await.is_empty(), "one season only");
        let desk = fresh.store.desk(&world.owner);
        let records = desk.season_records(world.rim_1, 2026).await.unwrap();
        let amount = in_season(&records.costs[0].record, &records.season).unwrap();
        assert_eq!(amount, money(259_009));
        summaries_are_fresh(&fresh, &world).await;
        let kept = desk.records(store::RecordFilter::of(RecordKind::Cost)).await.unwrap();
        let mut book = fresh.store.book(&world.owner, Right::KeepBooks).await.unwrap();
        for row in kept {
            book.remove(RecordKind::Cost, row.id, row.version).await.unwrap();
        }
        book.save().await.unwrap();
        summaries_are_fresh(&fresh, &world).await;
    })
    .await;
}

#[tokio::test]
async fn who_got_which_cent() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        keep(&fresh, &world, &[(Target::Operation, cost("2026-03-01", 100_001, SharedBasis::Acres))]).await;
        keep(&fresh, &world, &[(Target::Farm(world.flat), cost("2026-02-01", 100, SharedBasis::Acres))]).await;
        keep(&fresh, &world, &[(Target::Block(world.flat_1), cost("2026-02-01", 100, SharedBasis::Acres))]).await;
        let desk = fresh.store.desk(&world.owner);
        let out = desk.shared_costs(2026).await.unwrap();
        assert_eq!(out.iter().map(|shared| shared.farm).collect::<Vec<_>>(), [Some(world.flat), None]);
        assert_eq!(out[0].blocks, [world.flat_1]);
        assert_eq!(out[1].blocks, [world.rim_1, world.rim_2, world.flat_1]);
        let cents: Vec<(i64, bool)> =
            out[1].out.parts.iter().map(|part| (part.amount.cents(), part.odd_cent)).collect();
        assert_eq!(cents, [(53_334, true), (13_333, false), (33_334, true)]);
        assert!(desk.shared_costs(2025).await.unwrap().is_empty());
        // A person of one farm sees the share of that farm, and not the invoice.
        let keeper = fresh.person(&world.owner, Role::Bookkeeper, Some(&[world.flat])).await.unwrap();
        let seen = fresh.store.desk(&keeper).shared_costs(2026).await.unwrap();
        assert_eq!(seen.len(), 2);
        assert_eq!((seen[1].blocks.clone(), seen[1].out.amount), (vec![world.flat_1], money(33_334)));
        assert_eq!(seen[1].cost.record.amount, money(33_334));
        let elsewhere = fresh.person(&world.owner, Role::Bookkeeper, Some(&[world.rim])).await.unwrap();
        assert_eq!(fresh.store.desk(&elsewhere).shared_costs(2026).await.unwrap().len(), 1);
        assert_eq!(fresh.store.desk(&elsewhere).whole_season(2026).await.unwrap().len(), 2);
        assert!(desk.shared_costs(1999).await.is_err());
    })
    .await;
}
