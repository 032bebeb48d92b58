//! Many at once, twice the same, half done, broken off, copied.
#![cfg(test)]

mod common;

use common::{block, cost, labor, observation, world};
use reckon::figure::RecordKind;
use reckon::records::{Record, SharedBasis};
use reckon::summary::Summary;
use store::kit::{Fresh, on_both};
use store::{RecordFilter, Right, Source, Store, StoreError, Target};

#[tokio::test]
async fn a_dropped_book_leaves_nothing() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let desk = fresh.store.desk(&world.owner);
        let (changes, summaries) = (desk.changes(100).await.unwrap(), desk.summaries(2026).await.unwrap());
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        let record = Record::Labor(labor("2026-05-01", 80, 16_000_000));
        book.add(&Target::Block(world.rim_1), &record).await.unwrap();
        book.add_block(world.rim, &block("R-3", "2", None)).await.unwrap();
        assert_eq!(book.once("key").await.unwrap(), None);
        drop(book);
        assert_eq!(desk.records(RecordFilter::of(RecordKind::Labor)).await.unwrap(), []);
        assert_eq!(desk.changes(100).await.unwrap(), changes);
        assert_eq!(desk.summaries(2026).await.unwrap(), summaries);
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        assert_eq!(book.once("key").await.unwrap(), None);
    })
    .await;
}

#[tokio::test]
async fn a_request_counts_once() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let mut book = fresh.store.book(&world.owner, Right::KeepField).await.unwrap();
        assert_eq!(book.once("a").await.unwrap(), None);
        book.settle_once("a", "/records/1").await.unwrap();
        book.save().await.unwrap();
        let mut book = fresh.store.book(&world.owner, Right::KeepField).await.unwrap();
        assert_eq!(book.once("a").await.unwrap().as_deref(), Some("/records/1"));
        assert_eq!(book.once("b").await.unwrap(), None);
        drop(book);
        // Another person's key is another key.
        let manager = fresh.person(&world.owner, store::Role::Manager, None).await.unwrap();
        let mut book = fresh.store.book(&manager, Right::KeepField).await.unwrap();
        assert_eq!(book.once("a").await.unwrap(), None);
        assert!(matches!(book.settle_once("c", "/").await, Err(StoreError::NotFound)));
    })
    .await;
}

/// Sixteen at once, ten records each: all are kept, no summary is short, nobody is turned away.
#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn sixteen_writers_lose_nothing() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let target = Target::Block(world.rim_1);
        let record = Record::Labor(labor("2026-05-01", 8, 16_000_000));
        let writers = (0..16).map(|_| {
            let (store, owner, target, record) =
                (fresh.store.clone(), world.owner.clone(), target.clone(), record.clone());
            tokio::spawn(async move {
                for _ in 0..10 {
                    let mut book = store.book(&owner, Right::KeepField).await?;
                    book.add(&target, &record).await?;
                    book.save().await?;
                }
                Ok::<(), StoreError>(())
            })
        });
        for writer in writers.collect::<Vec<_>>() {
            writer.await.unwrap().unwrap();
        }
        let desk = fresh.store.desk(&world.owner);
        let records = desk.season_records(world.rim_1, 2026).await.unwrap();
        assert_eq!(records.labor.len(), 160);
        assert_summaries_hold(&fresh, &world).await;
    })
    .await;
}

/// The server and a command line at one file: what reads before it writes is not told "locked".
#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn two_programs_share_an_sqlite_file() {
    let fresh = Fresh::sqlite().await.unwrap();
    let world = world(&fresh).await;
    let other = Store::open(&fresh.url, fresh.clock.clone() as std::sync::Arc<dyn Source>).await.unwrap();
    let writers = (0..8).map(|n| {
        let store = if n % 2 == 0 { fresh.store.clone() } else { other.clone() };
        let (owner, target) = (world.owner.clone(), Target::Block(world.rim_1));
        tokio::spawn(async move {
            for _ in 0..10 {
                let mut book = store.book(&owner, Right::KeepField).await?;
                book.add(&target, &observation("2026-05-01", "hail")).await?;
                book.save().await?;
            }
            Ok::<(), StoreError>(())
        })
    });
    for writer in writers.collect::<Vec<_>>() {
        writer.await.unwrap().unwrap();
    }
    let records = other.desk(&world.owner).season_records(world.rim_1, 2026).await.unwrap();
    assert_eq!(records.observations.len(), 80);
}

/// Blocks, shared costs and labor of several blocks, changed at the same time.
#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn what_concerns_several_blocks_is_not_lost_either() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let blocks = [world.rim_1, world.rim_2, world.flat_1];
        let farm = world.rim;
        let writers = (0..12).map(|n: usize| {
            let (store, owner) = (fresh.store.clone(), world.owner.clone());
            tokio::spawn(async move {
                let mut book = store.book(&owner, Right::SetUp).await?;
                match n % 3 {
                    0 => {
                        let shared = cost("2026-04-01", 10_001, SharedBasis::Acres);
                        book.add(&Target::Operation, &shared).await?;
                    }
                    1 => {
                        book.add_block(farm, &block(&format!("N-{n}"), "3", Some(30))).await?;
                    }
                    _ => {
                        let record = Record::Labor(labor("2026-05-01", 8, 16_000_000));
                        book.add(&Target::Block(blocks[n % blocks.len()]), &record).await?;
                    }
                }
                book.save().await
            })
        });
        for writer in writers.collect::<Vec<_>>() {
            writer.await.unwrap().unwrap();
        }
        let kept = assert_summaries_hold(&fresh, &world).await;
        assert_eq!(kept, 7);
    })
    .await;
}

/// A cost shared among all blocks and a new block: whichever comes second sees the first.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_new_block_waits_for_a_shared_cost() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let mut first = fresh.store.book(&world.owner, Right::KeepBooks).await.unwrap();
        first.add(&Target::Operation, &cost("2026-04-01", 10_001, SharedBasis::Acres)).await.unwrap();
        let (store, owner, farm) = (fresh.store.clone(), world.owner.clone(), world.rim);
        let mut second = tokio::spawn(async move {
            let mut book = store.book(&owner, Right::SetUp).await?;
            book.add_block(farm, &block("N-1", "3", Some(30))).await?;
            book.save().await
        });
        let early = tokio::time::timeout(std::time::Duration::from_millis(500), &mut second).await;
        assert!(early.is_err(), "the second book did not wait: {early:?}");
        first.save().await.unwrap();
        second.await.unwrap().unwrap();
        assert_eq!(assert_summaries_hold(&fresh, &world).await, 4);
    })
    .await;
}

async fn assert_summaries_hold(fresh: &Fresh, world: &common::World) -> usize {
    let desk = fresh.store.desk(&world.owner);
    let kept = desk.summaries(2026).await.unwrap();
    for (row, summary) in &kept {
        let records = desk.season_records(row.id, 2026).await.unwrap();
        assert_eq!(summary.as_ref(), Some(&Summary::of(&reckon::reckon(&records))), "{}", row.block.code);
    }
    kept.len()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn the_same_row_is_corrected_once() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let target = Target::Block(world.rim_1);
        let mut book = fresh.store.book(&world.owner, Right::KeepField).await.unwrap();
        let id = book.add(&target, &observation("2026-05-01", "hail")).await.unwrap();
        book.save().await.unwrap();
        let writers = (0..8).map(|n| {
            let (store, owner, target) = (fresh.store.clone(), world.owner.clone(), target.clone());
            tokio::spawn(async move {
                let becomes = observation("2026-05-02", &format!("frost {n}"));
                let mut book = store.book(&owner, Right::KeepField).await?;
                book.correct(RecordKind::Observation, id, 1, &target, &becomes).await?;
                book.save().await
            })
        });
        let mut told = Vec::new();
        for writer in writers.collect::<Vec<_>>() {
            told.push(writer.await.unwrap());
        }
        assert_eq!(told.iter().filter(|tried| tried.is_ok()).count(), 1);
        assert!(told.iter().all(|tried| matches!(tried, Ok(()) | Err(StoreError::Changed))), "{told:?}");
        let kept = fresh.store.desk(&world.owner).record(RecordKind::Observation, id).await.unwrap();
        assert_eq!(kept.version, 2);
    })
    .await;
}

#[tokio::test]
async fn readers_are_not_kept_waiting_by_a_writer() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let mut book = fresh.store.book(&world.owner, Right::KeepField).await.unwrap();
        book.add(&Target::Block(world.rim_1), &observation("2026-05-01", "hail")).await.unwrap();
        let desk = fresh.store.desk(&world.owner);
        assert_eq!(desk.count(RecordFilter::of(RecordKind::Observation)).await.unwrap(), 0);
        assert_eq!(desk.season_records(world.rim_1, 2026).await.unwrap().observations.len(), 0);
        book.save().await.unwrap();
        assert_eq!(desk.count(RecordFilter::of(RecordKind::Observation)).await.unwrap(), 1);
        fresh.store.healthy().await.unwrap();
    })
    .await;
}

#[tokio::test]
async fn a_row_that_makes_no_sense_is_named() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let mut book = fresh.store.book(&world.owner, Right::KeepField).await.unwrap();
        let record = Record::Labor(labor("2026-05-01", 8, 16_000_000));
        let id = book.add(&Target::Block(world.rim_1), &record).await.unwrap();
        book.save().await.unwrap();
        fresh.execute("UPDATE labor SET pass = 300").await.unwrap();
        let desk = fresh.store.desk(&world.owner);
        let told = [
            desk.record(RecordKind::Labor, id).await.map(|_| ()),
            desk.records(RecordFilter::of(RecordKind::Labor)).await.map(|_| ()),
            desk.season_records(world.rim_1, 2026).await.map(|_| ()),
        ];
        for told in told {
            let named =
                matches!(told, Err(StoreError::Corrupt { table: "labor", column: "pass", id: row }) if row == id);
            assert!(named, "{told:?}");
        }
        fresh.execute("UPDATE block SET ripening_from = 1345").await.unwrap();
        let told = desk.blocks().await;
        assert!(matches!(told, Err(StoreError::Corrupt { table: "block", column: "ripening_from", .. })), "{told:?}");
        fresh.execute("UPDATE block_season SET missing = 'no list'").await.unwrap();
        fresh.execute("UPDATE block SET ripening_from = 718").await.unwrap();
        let told = desk.summaries(2026).await;
        assert!(matches!(told, Err(StoreError::Corrupt { table: "block_season", .. })), "{told:?}");
    })
    .await;
}

#[tokio::test]
async fn a_live_copy_is_whole() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let mut book = fresh.store.book(&world.owner, Right::KeepField).await.unwrap();
        book.add(&Target::Block(world.rim_1), &observation("2026-05-01", "hail")).await.unwrap();
        book.save().await.unwrap();
        let Some(folder) = fresh.folder() else {
            let told = fresh.store.back_up_to(std::path::Path::new("copy.sqlite")).await;
            return assert!(matches!(told, Err(StoreError::UsePgDump)));
        };
        let path = folder.join("copy of the book's file.sqlite");
        // A book that is open does not hold the copy up, nor is its work in it.
        let mut open = fresh.store.book(&world.owner, Right::KeepField).await.unwrap();
        open.add(&Target::Block(world.rim_1), &observation("2026-05-02", "frost")).await.unwrap();
        fresh.store.back_up_to(&path).await.unwrap();
        assert!(fresh.store.back_up_to(&path).await.is_err(), "a backup never overwrites");
        let url = format!("sqlite://{}", path.display());
        let copy = Store::open(&url, fresh.clock.clone() as std::sync::Arc<dyn Source>).await.unwrap();
        copy.migrate().await.unwrap();
        let here = fresh.store.desk(&world.owner).season_records(world.rim_1, 2026).await.unwrap();
        let there = copy.desk(&world.owner).season_records(world.rim_1, 2026).await.unwrap();
        assert_eq!(here, there);
        assert_eq!(there.observations.len(), 1);
    })
    .await;
}
