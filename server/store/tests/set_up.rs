//! Farms, blocks and seasons.
#![cfg(test)]

mod common;

use common::{block, day, farm, world};
use reckon::block::{Block, Farm, Season, SeasonState};
use reckon::exact::Acres;
use reckon::water::setup::{SETTINGS, Soil};
use store::kit::on_both;
use store::{Constraint, Right, StoreError, Verb};

#[tokio::test]
async fn farms_and_blocks_go_there_and_back() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let desk = fresh.store.desk(&world.owner);
        let names: Vec<String> = desk.farms().await.unwrap().into_iter().map(|row| row.farm.name).collect();
        assert_eq!(names, ["Flat", "Rim"]);
        let codes: Vec<_> =
            desk.blocks().await.unwrap().into_iter().map(|row| (row.farm_name, row.block.code)).collect();
        let expected = [("Flat", "F-1"), ("Rim", "R-1"), ("Rim", "R-2")];
        assert_eq!(codes, expected.map(|(farm, code)| (farm.to_owned(), code.to_owned())));

        let mut full = block("R-1", "4.123456", Some(1));
        full.water.soil = Some(Soil::SiltyClayLoam);
        for info in SETTINGS {
            full.water.set(info.setting, Some(info.high));
        }
        let bare = Block { code: "R-1".to_owned(), acres: Acres::whole(1).unwrap(), ..Block::default() };
        for becomes in [full, bare] {
            let row = desk.block(world.rim_1).await.unwrap();
            let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
            book.correct_block(row.id, row.version, &becomes).await.unwrap();
            book.save().await.unwrap();
            assert_eq!(desk.block(world.rim_1).await.unwrap().block, becomes);
            assert!(desk.blocks().await.unwrap().iter().any(|row| row.block == becomes));
        }
        let becomes = Farm { latitude_deg: None, elevation_m: None, ..farm("Mesa") };
        let row = desk.farm(world.rim).await.unwrap();
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.correct_farm(row.id, row.version, &becomes).await.unwrap();
        let stale = book.correct_farm(row.id, row.version, &becomes).await;
        assert!(matches!(stale, Err(StoreError::Changed)));
        book.save().await.unwrap();
        assert_eq!(desk.farm(world.rim).await.unwrap().farm, becomes);
        let change = desk.changes(1).await.unwrap().remove(0);
        assert_eq!((change.verb, change.kind.as_str(), change.place.as_str()), (Verb::Corrected, "farm", "Mesa"));
        assert!(change.before.unwrap().contains("\"name\":\"Rim\""));
    })
    .await;
}

#[tokio::test]
async fn names_codes_and_days_are_taken_once() {
    on_both(|fresh| async move {
        let (world, other) = (world(&fresh).await, common::named_world(&fresh, "Cinder Bench").await);
        // Each failure ends a PostgreSQL transaction, so each has a book of its own.
        for n in 0..5 {
            let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
            let year = |year| Season::calendar_year(year).unwrap();
            let (tried, expected) = match n {
                0 => (book.add_farm(&farm("Flat")).await.map(|_| ()), Constraint::FarmName),
                1 => {
                    let tried = book.add_block(world.rim, &block("F-1", "1", None)).await;
                    (tried.map(|_| ()), Constraint::BlockCode)
                }
                2 => (book.correct_block(world.rim_1, 1, &block("F-1", "1", None)).await, Constraint::BlockCode),
                3 => (book.open_season(&year(2026)).await, Constraint::SeasonYear),
                _ => {
                    let season = Season { first_day: day("2026-12-31"), ..year(2027) };
                    (book.open_season(&season).await, Constraint::SeasonDays)
                }
            };
            match tried {
                Err(StoreError::Taken(constraint)) => assert_eq!(constraint, expected),
                other => panic!("{expected:?}: {other:?}"),
            }
        }
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        let backwards = Season { last_day: day("2028-01-01"), ..Season::calendar_year(2029).unwrap() };
        assert!(matches!(book.open_season(&backwards).await, Err(StoreError::SeasonEndsFirst { .. })));
        let foreign = book.add_block(other.rim, &block("Z-1", "1", None)).await;
        assert!(matches!(foreign, Err(StoreError::NotFound)));
        let foreign = book.correct_block(other.rim_1, 1, &block("Z-1", "1", None)).await;
        assert!(matches!(foreign, Err(StoreError::NotFound)));
        let foreign = book.correct_farm(other.rim, 1, &farm("Z")).await;
        assert!(matches!(foreign, Err(StoreError::NotFound)));
    })
    .await;
}

#[tokio::test]
async fn seasons_are_listed_newest_first() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.close_season(2025, &[]).await.unwrap();
        assert!(matches!(book.close_season(1999, &[]).await, Err(StoreError::NotFound)));
        book.save().await.unwrap();
        let desk = fresh.store.desk(&world.owner);
        let seasons = desk.seasons().await.unwrap();
        let told: Vec<_> = seasons.iter().map(|season| (season.year, season.state)).collect();
        assert_eq!(told, [(2026, SeasonState::Open), (2025, SeasonState::Closed)]);
        assert_eq!(desk.season(2025).await.unwrap(), seasons[1]);
        assert!(matches!(desk.season(2024).await, Err(StoreError::NotFound)));
        assert!(matches!(desk.summaries(2024).await, Err(StoreError::NotFound)));
    })
    .await;
}
