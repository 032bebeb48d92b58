//! A block season: everything recorded about it, in a fixed number of queries, the same from both databases.
#![cfg(test)]

mod common;

use common::{World, block, cost, day, every_record, farm, labor, rate, target, weather, world};
use reckon::block::Season;
use reckon::exact::Years;
use reckon::figure::{RecordId, RecordKind as K};
use reckon::records::{RateKind, Record, SharedBasis};
use reckon::season::SeasonRecords;
use reckon::summary::Summary;
use rust_decimal::Decimal;
use store::kit::{Fresh, on_both};
use store::{BlockId, Right, StoreError, Target};

async fn keep(fresh: &Fresh, world: &World, records: &[(Target, Record)]) {
    let mut book = fresh.store.book(&world.owner, Right::KeepField).await.unwrap();
    for (target, record) in records {
        book.add(target, record).await.unwrap();
    }
    book.save().await.unwrap();
}

/// Every kind, twice in the season, once in another season, once on another block.
async fn full(fresh: &Fresh, world: &World) {
    for date in ["2026-06-02", "2026-05-14", "2025-05-14"] {
        let all: Vec<_> = every_record(date).into_iter().map(|record| (target(world, &record), record)).collect();
        keep(fresh, world, &all).await;
    }
    let elsewhere = Record::Labor(labor("2026-05-14", 9, 20_000_000));
    keep(fresh, world, &[(Target::Block(world.flat_1), elsewhere)]).await;
    keep(fresh, world, &[(Target::Station("Flat station".to_owned()), weather("2026-05-14", Some(3.0)))]).await;
    let shared = |target, basis| (target, cost("2026-03-01", 90_001, basis));
    keep(
        fresh,
        world,
        &[shared(Target::Farm(world.rim), SharedBasis::Trees), shared(Target::Operation, SharedBasis::Acres)],
    )
    .await;
}

async fn season(fresh: &Fresh, world: &World, block: BlockId) -> SeasonRecords {
    fresh.store.desk(&world.owner).season_records(block, 2026).await.unwrap()
}

#[tokio::test]
async fn a_season_holds_what_was_recorded_about_the_block() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        full(&fresh, &world).await;
        let records = season(&fresh, &world, world.rim_1).await;
        assert_eq!(records.operation, "Dry Fork Orchards");
        assert_eq!(records.farm, farm("Rim"));
        assert_eq!(records.block, block("R-1", "4", Some(400)));
        assert_eq!(records.season, Season::calendar_year(2026).unwrap());
        let each = every_record("2026-05-14");
        let n = |kind| each.iter().filter(|record| record.kind() == kind).count();
        assert_eq!(records.labor.len(), 2 * n(K::Labor));
        assert_eq!(records.fruit_counts.len(), 2 * n(K::FruitCount));
        assert_eq!(records.irrigation.len(), 2 * n(K::Irrigation));
        assert_eq!(records.tension.len(), 2 * n(K::Tension));
        assert_eq!(records.weather.len(), 2 * n(K::Weather));
        assert_eq!(records.canopy.len(), 2 * n(K::Canopy));
        assert_eq!(records.picks.len(), 2 * n(K::Pick));
        assert_eq!(records.packout.len(), 2 * n(K::Packout));
        assert_eq!(records.settlements.len(), 2 * n(K::Settlement));
        assert_eq!(records.costs.len(), 2 * n(K::Cost));
        assert_eq!(records.observations.len(), 2 * n(K::Observation));
        // Mulch of 2025 lasts two years; prices and rates of 2025 hold on.
        assert_eq!(records.mulch.len(), 3 * n(K::Mulch));
        assert_eq!(records.prices.len(), 3 * n(K::Price));
        assert_eq!(records.sizes.len(), 3 * n(K::Size));
        assert_eq!(records.targets.len(), 3 * n(K::ThinningTarget));
        assert_eq!(records.rates.len(), 3 * n(K::Rate));
        let days: Vec<_> = records.labor.iter().map(|kept| (kept.record.date, kept.id)).collect();
        assert!(days.is_sorted());
        assert!(days.iter().all(|(_, id)| matches!(id, RecordId::Stored(_))));
        let other = season(&fresh, &world, world.flat_1).await;
        assert_eq!((other.labor.len(), other.weather.len()), (1, 1));
    })
    .await;
}

#[tokio::test]
async fn shared_costs_carry_the_weights_of_the_blocks_they_go_to() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        full(&fresh, &world).await;
        let records = season(&fresh, &world, world.rim_1).await;
        let [farm, operation] = records.shared_costs.as_slice() else { panic!("{:?}", records.shared_costs) };
        // R-1 has 400 trees, R-2 was not counted.
        assert_eq!((farm.weights.as_slice(), farm.own), (&[Decimal::from(400), Decimal::ZERO][..], 0));
        let acres = [Decimal::from(4), Decimal::from(1), Decimal::new(25, 1)];
        assert_eq!((operation.weights.as_slice(), operation.own), (&acres[..], 0));
        let flat = season(&fresh, &world, world.flat_1).await;
        let [only] = flat.shared_costs.as_slice() else { panic!("{:?}", flat.shared_costs) };
        assert_eq!((only.weights.as_slice(), only.own), (&acres[..], 2));
        assert_eq!(only.cost.id, operation.cost.id);
    })
    .await;
}

#[tokio::test]
async fn mulch_counts_while_it_lasts() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let laid = |date: &str, years| {
            let mulch = every_record(date).into_iter().find_map(|record| match record {
                Record::Mulch(mulch) => Some(mulch),
                _ => None,
            });
            let mut mulch = mulch.unwrap();
            mulch.life = Years::whole(years).unwrap();
            (Target::Block(world.rim_1), Record::Mulch(mulch))
        };
        // The first outlives 2025, the second does not reach 2026; the third begins in it.
        keep(&fresh, &world, &[laid("2024-06-01", 2), laid("2024-06-01", 1), laid("2026-04-01", 1)]).await;
        let dates: Vec<_> =
            season(&fresh, &world, world.rim_1).await.mulch.iter().map(|kept| kept.record.date).collect();
        assert_eq!(dates, [day("2024-06-01"), day("2026-04-01")]);
        let records = fresh.store.desk(&world.owner).season_records(world.rim_1, 2025).await.unwrap();
        assert_eq!(records.mulch.len(), 2);
    })
    .await;
}

#[tokio::test]
async fn the_number_of_queries_does_not_grow_with_the_records() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let before = fresh.statements();
        season(&fresh, &world, world.rim_1).await;
        let empty = fresh.statements() - before;
        for _ in 0..5 {
            full(&fresh, &world).await;
        }
        let before = fresh.statements();
        let records = season(&fresh, &world, world.rim_1).await;
        assert_eq!(fresh.statements() - before, empty);
        assert!(records.labor.len() > 30);
        assert!((15..=25).contains(&empty), "{empty} queries");
    })
    .await;
}

/// Both databases start with the same identifiers, so the records must be the same to the last bit.
#[tokio::test]
async fn both_databases_tell_the_same_season() {
    let sqlite = Fresh::sqlite().await.unwrap();
    let on_sqlite = told(&sqlite).await;
    on_both(|fresh| {
        let expected = on_sqlite.clone();
        async move {
            let told = told(&fresh).await;
            assert_eq!(told, expected);
            assert_eq!(format!("{told:?}"), format!("{expected:?}"));
        }
    })
    .await;
}

async fn told(fresh: &Fresh) -> Vec<SeasonRecords> {
    let world = world(fresh).await;
    full(fresh, &world).await;
    let mut seasons = Vec::new();
    for block in [world.rim_1, world.rim_2, world.flat_1] {
        seasons.push(season(fresh, &world, block).await);
    }
    seasons
}

/// Whole numbers survive as they are, at the ends of what reckoning takes, and SQL adds them exactly.
#[tokio::test]
async fn sums_are_exact() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let cents = [1, -1, 9_007_199_254_740_993, 10, 4_611_686_018_427_387_904];
        let records = cents.map(|c| (Target::Block(world.rim_1), cost("2026-05-01", c, SharedBasis::Acres)));
        keep(&fresh, &world, &records).await;
        let records = season(&fresh, &world, world.rim_1).await;
        let added: i64 = records.costs.iter().map(|kept| kept.record.amount.cents()).sum();
        assert_eq!(added, cents.iter().sum::<i64>());
        let sum = "SELECT CAST(COALESCE(SUM(amount_cents), 0) AS BIGINT) FROM cost";
        assert_eq!(fresh.column::<i64>(sum).await.unwrap(), [added]);
    })
    .await;
}

async fn check_summaries(fresh: &Fresh, world: &World) {
    let desk = fresh.store.desk(&world.owner);
    for year in [2025, 2026] {
        let kept = desk.summaries(year).await.unwrap();
        let codes: Vec<&str> = kept.iter().map(|(row, _)| row.block.code.as_str()).collect();
        assert_eq!(codes, ["F-1", "R-1", "R-2"]);
        for (row, summary) in kept {
            let records = desk.season_records(row.id, year).await.unwrap();
            let fresh = Summary::of(&reckon::reckon(&records));
            assert_eq!(summary, Some(fresh), "{} in {year}", row.block.code);
        }
    }
}

/// After each change the kept summary is what reckoning says now.
#[tokio::test]
async fn kept_summaries_follow_every_change() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        check_summaries(&fresh, &world).await;
        full(&fresh, &world).await;
        check_summaries(&fresh, &world).await;
        keep(&fresh, &world, &[(Target::Operation, rate("2025-07-01", RateKind::Payroll, 9_000_000))]).await;
        check_summaries(&fresh, &world).await;

        let desk = fresh.store.desk(&world.owner);
        let mut row = desk.block(world.rim_2).await.unwrap();
        row.block.trees = Some(90);
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.correct_block(row.id, row.version, &row.block).await.unwrap();
        book.save().await.unwrap();
        check_summaries(&fresh, &world).await;

        let mut row = desk.farm(world.rim).await.unwrap();
        row.farm.station = "Flat station".to_owned();
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.correct_farm(row.id, row.version, &row.farm).await.unwrap();
        book.save().await.unwrap();
        check_summaries(&fresh, &world).await;
    })
    .await;
}

#[tokio::test]
async fn a_closed_season_keeps_its_summary() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        full(&fresh, &world).await;
        let desk = fresh.store.desk(&world.owner);
        let before = desk.summaries(2025).await.unwrap();
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.close_season(2025, &[]).await.unwrap();
        book.save().await.unwrap();
        let row = desk.block(world.rim_1).await.unwrap();
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.correct_block(row.id, row.version, &block("R-1", "7", Some(700))).await.unwrap();
        book.save().await.unwrap();
        let after = desk.summaries(2025).await.unwrap();
        let kept = |rows: &[(store::BlockRow, Option<Summary>)]| -> Vec<Option<Summary>> {
            rows.iter().map(|(_, summary)| summary.clone()).collect()
        };
        assert_eq!(kept(&before), kept(&after));
        let now = desk.summaries(2026).await.unwrap();
        assert!(now.iter().any(|(row, summary)| row.id == world.rim_1 && summary.as_ref().unwrap().trees == 700));
    })
    .await;
}

#[tokio::test]
async fn a_farms_season_is_its_blocks_in_as_many_queries_as_one() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        full(&fresh, &world).await;
        let desk = fresh.store.desk(&world.owner);
        let one = {
            let before = fresh.statements();
            season(&fresh, &world, world.rim_1).await;
            fresh.statements() - before
        };
        let before = fresh.statements();
        let rim = desk.farm_season(world.rim, 2026).await.unwrap();
        assert_eq!(fresh.statements() - before, one);
        let mut expected = Vec::new();
        for block in [world.rim_1, world.rim_2] {
            expected.push((block, season(&fresh, &world, block).await));
        }
        expected.sort_by_key(|(block, _)| *block);
        assert_eq!(rim, expected);
        let stranger = fresh.owner("Elsewhere").await.unwrap();
        assert!(fresh.store.desk(&stranger).farm_season(world.rim, 2026).await.is_err(), "no such season there");
    })
    .await;
}

/// A mulched block of 2026 with a set, a day of weather and a canopy day in each of several seasons.
async fn mulched(fresh: &Fresh, world: &World) {
    let (rim_1, rim_2, flat_1) = (world.rim_1, world.rim_2, world.flat_1);
    let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
    for year in [2024, 2027] {
        book.open_season(&Season::calendar_year(year).unwrap()).await.unwrap();
    }
    book.save().await.unwrap();
    let kinds = [K::Irrigation, K::Canopy];
    let mut all = Vec::new();
    for (block, days) in [
        (rim_1, &["2024-06-01", "2025-06-01", "2026-06-01", "2027-06-01"][..]),
        (rim_2, &["2025-06-01", "2026-06-01"]),
        (flat_1, &["2026-06-01"]),
    ] {
        for date in days {
            let kept = every_record(date).into_iter().filter(|record| kinds.contains(&record.kind()));
            all.extend(kept.map(|record| (Target::Block(block), record)));
        }
    }
    let one = |kind, date: &str| every_record(date).into_iter().find(|record| record.kind() == kind).unwrap();
    for year in 2024..=2027 {
        all.push((Target::Station("Rim station".to_owned()), one(K::Weather, &format!("{year}-06-01"))));
    }
    all.push((Target::Block(rim_1), one(K::Mulch, "2026-03-01")));
    all.push((Target::Block(rim_2), one(K::Mulch, "2024-03-01")));
    keep(fresh, world, &all).await;
}

/// The water of the farm's other blocks and of the block's own earlier seasons, and nothing later,
/// of another farm, or of another kind.
#[tokio::test]
async fn a_mulched_block_is_reported_beside_its_neighbors_and_its_own_years() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        mulched(&fresh, &world).await;
        let desk = fresh.store.desk(&world.owner);
        let reported = desk.reported(world.rim_1, 2026).await.unwrap();
        assert_eq!(reported.own, season(&fresh, &world, world.rim_1).await);
        let mut beside: Vec<_> = reported.beside.iter().map(|one| (one.block.code.as_str(), one.season.year)).collect();
        beside.sort_unstable();
        assert_eq!(beside, [("R-1", 2024), ("R-1", 2025), ("R-2", 2026)]);
        let sets = every_record("2026-06-01").iter().filter(|record| record.kind() == K::Irrigation).count();
        for one in &reported.beside {
            let (code, year) = (&one.block.code, one.season.year);
            let whole = desk.season_records(if code == "R-1" { world.rim_1 } else { world.rim_2 }, year).await.unwrap();
            assert_eq!((&one.irrigation, one.irrigation.len()), (&whole.irrigation, sets), "{code} {year}");
            assert_eq!((&one.weather, &one.canopy), (&whole.weather, &whole.canopy), "{code} {year}");
            assert_eq!(one.mulch, whole.mulch, "{code} {year}");
            assert!(one.labor.is_empty() && one.costs.is_empty() && one.rates.is_empty());
        }
        // A bare block stands alone, and what is out of scope does not exist.
        assert_eq!(desk.reported(world.flat_1, 2026).await.unwrap().beside, []);
        let stranger = fresh.owner("Elsewhere").await.unwrap();
        assert!(matches!(fresh.store.desk(&stranger).reported(world.rim_1, 2026).await, Err(StoreError::NotFound)));
    })
    .await;
}

#[tokio::test]
async fn a_reported_season_takes_no_more_queries_for_more_seasons() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let desk = fresh.store.desk(&world.owner);
        mulched(&fresh, &world).await;
        let asked = async || {
            let before = fresh.statements();
            desk.reported(world.rim_1, 2026).await.unwrap();
            fresh.statements() - before
        };
        let few = asked().await;
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        for year in 2019..=2023 {
            book.open_season(&Season::calendar_year(year).unwrap()).await.unwrap();
        }
        for n in 3..9 {
            book.add_block(world.rim, &block(&format!("R-{n}"), "2", None)).await.unwrap();
        }
        book.save().await.unwrap();
        full(&fresh, &world).await;
        assert_eq!(asked().await, few);
        assert!(few <= 45, "{few} queries");
    })
    .await;
}
