//! Which seasons a block belongs to, and names that differ in capitals alone.
#![cfg(test)]

mod common;

use chrono::TimeDelta;
use common::{World, block, cost, farm, labor, money, world};
use reckon::block::Block;
use reckon::costs::own_part;
use reckon::money::Money;
use reckon::records::{Record, SharedBasis};
use store::kit::{Fresh, on_both};
use store::{BlockId, Constraint, Right, Role, StoreError, Target};

async fn keep(fresh: &Fresh, world: &World, target: Target, record: Record) -> Result<(), StoreError> {
    let mut book = fresh.store.book(&world.owner, Right::KeepField).await?;
    book.add(&target, &record).await?;
    book.save().await
}

async fn add(fresh: &Fresh, world: &World, block: &Block) -> BlockId {
    let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
    let id = book.add_block(world.rim, block).await.unwrap();
    book.save().await.unwrap();
    id
}

async fn correct(fresh: &Fresh, world: &World, id: BlockId, change: impl Fn(&mut Block)) -> Result<(), StoreError> {
    let mut row = fresh.store.desk(&world.owner).block(id).await?;
    change(&mut row.block);
    let mut book = fresh.store.book(&world.owner, Right::SetUp).await?;
    book.correct_block(id, row.version, &row.block).await?;
    book.save().await
}

/// Cents that a block bears of the season's shared costs.
async fn bears(fresh: &Fresh, world: &World, block: BlockId, year: i32) -> i64 {
    let records = fresh.store.desk(&world.owner).season_records(block, year).await.unwrap();
    let parts = records.shared_costs.iter().filter_map(|shared| own_part(shared, &records.season));
    parts.sum::<Money>().cents()
}

/// Every kept summary is of a block of the season, and says what reckoning says now.
async fn summaries_hold(fresh: &Fresh, world: &World, year: i32) -> usize {
    let desk = fresh.store.desk(&world.owner);
    let (records, summaries) = (desk.whole_season(year).await.unwrap(), desk.summaries(year).await.unwrap());
    assert_eq!(records.len(), summaries.len());
    for (row, summary) in &summaries {
        let own = records.iter().find(|(id, _)| *id == row.id).map(|(_, records)| records).unwrap();
        let fresh = reckon::summary::Summary::of(&reckon::reckon(own));
        assert_eq!(summary.clone().unwrap(), fresh, "{} in {year}", row.block.code);
    }
    summaries.len()
}

#[tokio::test]
async fn a_block_added_now_takes_no_share_of_earlier_seasons() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        keep(&fresh, &world, Target::Operation, cost("2025-03-01", 75_000, SharedBasis::Acres)).await.unwrap();
        keep(&fresh, &world, Target::Operation, cost("2026-03-01", 75_000, SharedBasis::Acres)).await.unwrap();
        assert_eq!(bears(&fresh, &world, world.rim_1, 2025).await, 40_000);
        let new = add(&fresh, &world, &block("R-3", "2.5", Some(100))).await;
        assert_eq!(bears(&fresh, &world, world.rim_1, 2025).await, 40_000, "as before");
        assert_eq!((bears(&fresh, &world, new, 2025).await, bears(&fresh, &world, new, 2026).await), (0, 18_750));
        assert_eq!(summaries_hold(&fresh, &world, 2025).await, 3);
        assert_eq!(summaries_hold(&fresh, &world, 2026).await, 4);
        assert_eq!(fresh.store.desk(&world.owner).field_work(2025).await.unwrap().len(), 3);
        let out = fresh.store.desk(&world.owner).shared_costs(2025).await.unwrap();
        assert_eq!(out[0].blocks.len(), 3);

        // Work of 2025 says that it stood there then.
        let work = Record::Labor(labor("2025-05-01", 8, 16_000_000));
        keep(&fresh, &world, Target::Block(new), work).await.unwrap();
        assert_eq!(bears(&fresh, &world, new, 2025).await, 18_750);
        assert_eq!(summaries_hold(&fresh, &world, 2025).await, 4);
    })
    .await;
}

#[tokio::test]
async fn first_and_last_season_are_what_the_page_says() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        for year in ["2025-03-01", "2026-03-01"] {
            keep(&fresh, &world, Target::Operation, cost(year, 75_000, SharedBasis::Acres)).await.unwrap();
        }
        let new = add(&fresh, &world, &Block { first_season: Some(2025), ..block("R-3", "2.5", None) }).await;
        assert_eq!(bears(&fresh, &world, new, 2025).await, 18_750);
        correct(&fresh, &world, new, |block| block.first_season = Some(2026)).await.unwrap();
        assert_eq!(bears(&fresh, &world, new, 2025).await, 0);
        assert_eq!(summaries_hold(&fresh, &world, 2025).await, 3);
        let early = keep(&fresh, &world, Target::Block(new), Record::Labor(labor("2025-05-01", 8, 1))).await;
        assert!(matches!(early, Err(StoreError::NotOfSeason { year: 2025, .. })), "{early:?}");
        correct(&fresh, &world, world.rim_1, |block| block.last_season = Some(2025)).await.unwrap();
        assert_eq!(summaries_hold(&fresh, &world, 2026).await, 3);
        assert_eq!(bears(&fresh, &world, world.rim_1, 2025).await, 40_000);
        keep(&fresh, &world, Target::Block(new), Record::Labor(labor("2026-05-01", 8, 1))).await.unwrap();
        let orphan = correct(&fresh, &world, new, |block| block.last_season = Some(2025)).await;
        let orphan_first = correct(&fresh, &world, new, |block| block.first_season = Some(2027)).await;
        assert!(matches!(orphan, Err(StoreError::RecordsOfSeason { year: 2026 })), "{orphan:?}");
        assert!(matches!(orphan_first, Err(StoreError::RecordsOfSeason { year: 2026 })), "{orphan_first:?}");
    })
    .await;
}

/// A year planted that turns out later than the records does not throw them out.
#[tokio::test]
async fn records_hold_a_block_in_its_season() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        keep(&fresh, &world, Target::Block(world.rim_1), Record::Labor(labor("2025-05-01", 8, 1))).await.unwrap();
        correct(&fresh, &world, world.rim_1, |block| block.planted_year = Some(2026)).await.unwrap();
        correct(&fresh, &world, world.rim_2, |block| block.planted_year = Some(2026)).await.unwrap();
        assert_eq!(summaries_hold(&fresh, &world, 2025).await, 2);
        assert_eq!(summaries_hold(&fresh, &world, 2026).await, 3);
    })
    .await;
}

#[tokio::test]
async fn a_closed_season_keeps_its_blocks() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        keep(&fresh, &world, Target::Operation, cost("2025-03-01", 75_000, SharedBasis::Acres)).await.unwrap();
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.close_season(2025, &[]).await.unwrap();
        book.save().await.unwrap();
        fresh.clock.pass(TimeDelta::days(1));
        let before = fresh.store.desk(&world.owner).whole_season(2025).await.unwrap();
        let said = Block { first_season: Some(2020), ..block("R-3", "2.5", None) };
        let new = add(&fresh, &world, &said).await;
        assert_eq!(bears(&fresh, &world, new, 2025).await, 0, "whatever its page says");
        correct(&fresh, &world, world.rim_2, |block| block.first_season = Some(2026)).await.unwrap();
        let after = fresh.store.desk(&world.owner).whole_season(2025).await.unwrap();
        let shares = |season: &[(BlockId, reckon::season::SeasonRecords)]| {
            season.iter().map(|(id, records)| (*id, records.shared_costs.clone())).collect::<Vec<_>>()
        };
        assert_eq!(shares(&before), shares(&after));
        let unsaid = add(&fresh, &world, &block("R-4", "2.5", None)).await;
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.reopen_season(2025, "forgotten invoice").await.unwrap();
        book.save().await.unwrap();
        assert_eq!(bears(&fresh, &world, unsaid, 2025).await, 0, "added after it was closed");
        assert!(bears(&fresh, &world, new, 2025).await > 0, "its page says that it stood there");
        assert_eq!(summaries_hold(&fresh, &world, 2025).await, 3);
    })
    .await;
}

#[tokio::test]
async fn a_person_of_some_farms_is_told_their_share_alone() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        keep(&fresh, &world, Target::Operation, cost("2026-03-01", 75_000, SharedBasis::Acres)).await.unwrap();
        keep(&fresh, &world, Target::Operation, cost("2026-03-02", 5_000, SharedBasis::Boxes)).await.unwrap();
        let keeper = fresh.person(&world.owner, Role::Bookkeeper, Some(&[world.flat])).await.unwrap();
        let told = fresh.store.desk(&keeper).shared_costs(2026).await.unwrap();
        assert_eq!(told.len(), 1, "what nobody bears is for people of the whole operation");
        let share = &told[0];
        assert!(share.share_only);
        assert_eq!((share.out.amount, share.cost.record.amount), (money(25_000), money(25_000)));
        assert_eq!((share.blocks.clone(), share.out.unallocated), (vec![world.flat_1], Money::ZERO));
        let whole = fresh.store.desk(&world.owner).shared_costs(2026).await.unwrap();
        assert_eq!((whole[0].out.amount, whole[0].share_only), (money(75_000), false));
        assert_eq!(whole[1].out.unallocated, money(5_000));
    })
    .await;
}

#[tokio::test]
async fn names_that_differ_in_capitals_are_one_name() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        for code in ["r-1", "R-1 ", " r-1"] {
            let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
            let taken = book.add_block(world.flat, &block(code, "1", None)).await;
            assert!(matches!(taken, Err(StoreError::Taken(Constraint::BlockCode))), "{code}: {taken:?}");
        }
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        let taken = book.add_farm(&farm("RIM")).await;
        assert!(matches!(taken, Err(StoreError::Taken(Constraint::FarmName))), "{taken:?}");
        drop(book);
        let row = fresh.store.desk(&world.owner).block(world.rim_1).await.unwrap();
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        let own = Block { code: "r-1".to_owned(), ..row.block };
        book.correct_block(row.id, row.version, &own).await.unwrap();
        let mut third = farm("Third");
        third.station = "RIM STATION".to_owned();
        let id = book.add_farm(&third).await.unwrap();
        book.save().await.unwrap();
        let farm = fresh.store.desk(&world.owner).farm(id).await.unwrap().farm;
        assert_eq!(farm.station, "Rim station", "one station, in the spelling that is known");
        // The database itself refuses what goes past the store.
        let past = "UPDATE block SET code_folded = 'f-1' WHERE code_folded = 'r-2'";
        assert!(fresh.execute(past).await.is_err());
    })
    .await;
}
