//! Several seasons of a block, and all blocks of a season as reported: in as many queries as for one.
#![cfg(test)]

mod common;

use common::{World, block, cost, every_record, target, world};
use reckon::block::Season;
use reckon::records::SharedBasis;
use store::kit::{Fresh, on_both};
use store::{Right, StoreError, Target};

/// Every kind in two seasons, and costs shared in each way.
async fn work(fresh: &Fresh, world: &World) {
    let mut book = fresh.store.book(&world.owner, Right::KeepField).await.unwrap();
    for date in ["2025-05-14", "2026-05-14"] {
        for record in every_record(date) {
            book.add(&target(world, &record), &record).await.unwrap();
        }
        for (n, basis) in [SharedBasis::Acres, SharedBasis::Hours, SharedBasis::Boxes].into_iter().enumerate() {
            let to = if n == 0 { Target::Farm(world.rim) } else { Target::Operation };
            book.add(&to, &cost(date, 90_001, basis)).await.unwrap();
        }
    }
    book.save().await.unwrap();
}

async fn open_more(fresh: &Fresh, world: &World) {
    let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
    for year in 2019..=2023 {
        book.open_season(&Season::calendar_year(year).unwrap()).await.unwrap();
    }
    for n in 3..7 {
        book.add_block(world.rim, &block(&format!("R-{n}"), "2", None)).await.unwrap();
    }
    book.save().await.unwrap();
}

#[tokio::test]
async fn several_seasons_of_a_block_are_each_of_them_in_as_many_queries_as_one() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        work(&fresh, &world).await;
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.close_season(2025, &[]).await.unwrap();
        book.save().await.unwrap();
        let row = fresh.store.desk(&world.owner).block(world.rim_1).await.unwrap();
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.correct_block(world.rim_1, row.version, &block("R-1c", "5", Some(401))).await.unwrap();
        book.save().await.unwrap();
        let desk = fresh.store.desk(&world.owner);
        let counted = async || {
            let before = fresh.statements();
            let found = desk.records_up_to(world.rim_1, 2026).await.unwrap();
            (found, fresh.statements() - before)
        };
        let (_, few) = counted().await;
        open_more(&fresh, &world).await;
        let (found, many) = counted().await;
        assert_eq!(many, few);
        let years: Vec<i32> = found.iter().map(|records| records.season.year).collect();
        assert!(years.len() >= 7 && years.windows(2).all(|pair| pair[0] > pair[1]), "{years:?}");
        for records in &found {
            assert_eq!(*records, desk.season_records(world.rim_1, records.season.year).await.unwrap());
        }
        let closed = found.iter().find(|records| records.season.year == 2025).unwrap();
        assert_eq!((closed.block.code.as_str(), found[0].block.code.as_str()), ("R-1", "R-1c"));
        assert!(!closed.labor.is_empty() && !closed.shared_costs.is_empty());
        assert!(desk.records_up_to(world.rim_1, 2018).await.unwrap().is_empty());
        let other = fresh.person(&world.owner, store::Role::Manager, Some(&[world.flat])).await.unwrap();
        let told = fresh.store.desk(&other).records_up_to(world.rim_1, 2026).await;
        assert!(matches!(told, Err(StoreError::NotFound)));
    })
    .await;
}

#[tokio::test]
async fn a_whole_season_as_reported_is_each_of_its_blocks() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        work(&fresh, &world).await;
        let desk = fresh.store.desk(&world.owner);
        let counted = async || {
            let before = fresh.statements();
            let found: Vec<_> = desk.reported_season(2026).await.unwrap().each().collect();
            (found, fresh.statements() - before)
        };
        let (_, few) = counted().await;
        open_more(&fresh, &world).await;
        let (found, many) = counted().await;
        assert_eq!(many, few);
        assert_eq!(found.len(), desk.summaries(2026).await.unwrap().len());
        assert!(found.iter().any(|(_, reported)| reported.beside.len() > 2), "mulch lies on one");
        for (block, reported) in found {
            assert_eq!(reported, desk.reported(block, 2026).await.unwrap());
        }
    })
    .await;
}
