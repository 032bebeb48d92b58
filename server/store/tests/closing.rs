//! Closing and reopening a season: what it keeps, what it refuses, and the revisions of reports.
#![cfg(test)]

mod common;

use chrono::TimeDelta;
use common::{World, cost, day, every_record, money, observation, rate, weather, world};
use reckon::block::{Farm, Season, SeasonState};
use reckon::figure::RecordKind;
use reckon::records::{Cost, RateKind, Record, SharedBasis, Shares};
use reckon::water::setup::{Setting, Soil};
use store::kit::{Fresh, on_both};
use store::{BlockId, FileFacts, Right, Role, RowIn, Source, Stated, StoreError, Target, Verb, Wishes};

async fn close(fresh: &Fresh, world: &World, year: i32, stated: &[Stated]) {
    let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
    book.hold_season(year).await.unwrap();
    book.close_season(year, stated).await.unwrap();
    book.save().await.unwrap();
}

async fn reopen(fresh: &Fresh, world: &World, year: i32, reason: &str) {
    let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
    book.reopen_season(year, reason).await.unwrap();
    book.save().await.unwrap();
}

/// Costs shared by acres, by trees and by name, and water that hangs on soil, latitude and elevation.
async fn work(fresh: &Fresh, world: &World) {
    let mut book = fresh.store.book(&world.owner, Right::KeepField).await.unwrap();
    for year in [2025, 2026] {
        let day = format!("{year}-07-01");
        for basis in [SharedBasis::Acres, SharedBasis::Trees] {
            book.add(&Target::Operation, &cost(&day, 100_001, basis)).await.unwrap();
        }
        let Record::Cost(fixed) = cost(&day, 70_007, SharedBasis::Fixed) else { panic!() };
        let shares = Shares::parse("R-1=60;F-1=40").unwrap();
        book.add(&Target::Operation, &Record::Cost(Cost { shares, ..fixed })).await.unwrap();
        book.add(&Target::Station("Rim station".to_owned()), &weather(&day, Some(4.0))).await.unwrap();
        for record in every_record(&day).iter().filter(|record| record.kind() == RecordKind::Irrigation) {
            book.add(&Target::Block(world.rim_1), record).await.unwrap();
        }
    }
    book.save().await.unwrap();
}

/// Sets a block and a farm up in another way, and gives the farm another station.
async fn set_up_anew(fresh: &Fresh, world: &World) {
    let desk = fresh.store.desk(&world.owner);
    let (block, farm) = (desk.block(world.rim_1).await.unwrap(), desk.farm(world.rim).await.unwrap());
    let mut changed = common::block("R-1b", "7.25", Some(731));
    changed.water.soil = Some(Soil::Clay);
    changed.water.set(Setting::RootDepthM, Some(0.1 + 0.2));
    changed.water.set(Setting::KcbMid, None);
    let moved = Farm {
        name: "Upper Rim".to_owned(),
        latitude_deg: Some(41.7),
        station: "Other station".to_owned(),
        ..farm.farm.clone()
    };
    let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
    book.correct_block(world.rim_1, block.version, &changed).await.unwrap();
    book.correct_farm(world.rim, farm.version, &moved).await.unwrap();
    book.save().await.unwrap();
}

/// Everything that is read of a season.
async fn told(fresh: &Fresh, world: &World, year: i32) -> impl PartialEq + std::fmt::Debug + use<> {
    let desk = fresh.store.desk(&world.owner);
    let records = desk.whole_season(year).await.unwrap();
    let mut reported = Vec::new();
    for (block, records) in &records {
        assert_eq!(*records, desk.season_records(*block, year).await.unwrap());
        reported.push((reckon::reckon(records), desk.reported(*block, year).await.unwrap()));
    }
    let rows = desk.summaries(year).await.unwrap().into_iter();
    let rows: Vec<_> = rows.map(|(row, summary)| (row.id, row.farm_name, row.block, summary)).collect();
    let (whole, shared) = (desk.operation_records(year).await.unwrap(), desk.shared_costs(year).await.unwrap());
    (records, reported, rows, whole, shared)
}

#[tokio::test]
async fn a_closed_season_keeps_its_blocks_and_farms_as_they_stood() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        work(&fresh, &world).await;
        close(&fresh, &world, 2025, &[]).await;
        let (closed, open) = (told(&fresh, &world, 2025).await, told(&fresh, &world, 2026).await);
        set_up_anew(&fresh, &world).await;
        assert!(told(&fresh, &world, 2025).await == closed, "what was closed changed");
        assert!(told(&fresh, &world, 2026).await != open);
        reopen(&fresh, &world, 2025, "acres were wrong").await;
        let desk = fresh.store.desk(&world.owner);
        let again = desk.season_records(world.rim_1, 2025).await.unwrap();
        let now = desk.season_records(world.rim_1, 2026).await.unwrap();
        assert_eq!((&again.block, &again.farm), (&now.block, &now.farm));
        assert_eq!(again.farm.name, "Upper Rim");
        assert_eq!(again.weather, []);
        // Closed again it keeps what stands now.
        close(&fresh, &world, 2025, &[]).await;
        assert_eq!(desk.season_records(world.rim_1, 2025).await.unwrap().block, now.block);
    })
    .await;
}

/// The water of earlier seasons stands beside a later one's: each with the soil and station it was closed with.
#[tokio::test]
async fn a_closed_season_beside_another_keeps_its_soil_and_station() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        work(&fresh, &world).await;
        let Some(mulch) = every_record("2026-03-01").into_iter().find(|record| record.kind() == RecordKind::Mulch)
        else {
            panic!()
        };
        let mut book = fresh.store.book(&world.owner, Right::KeepField).await.unwrap();
        book.add(&Target::Block(world.rim_1), &mulch).await.unwrap();
        book.save().await.unwrap();
        close(&fresh, &world, 2025, &[]).await;
        let earlier = || async {
            let reported = fresh.store.desk(&world.owner).reported(world.rim_1, 2026).await.unwrap();
            let earlier: Vec<_> = reported.beside.into_iter().filter(|records| records.season.year == 2025).collect();
            assert_eq!(earlier.len(), 1);
            earlier
        };
        let before = earlier().await;
        assert_eq!((before[0].weather.len(), before[0].irrigation.len()), (1, 4));
        set_up_anew(&fresh, &world).await;
        assert_eq!(earlier().await, before);
        reopen(&fresh, &world, 2025, "x").await;
        assert_eq!(earlier().await[0].block.water.soil, Some(Soil::Clay));
    })
    .await;
}

/// A season closed by an older program kept no farms and blocks.
#[tokio::test]
async fn a_season_closed_without_kept_places_takes_what_stands_now() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        close(&fresh, &world, 2025, &[]).await;
        fresh.execute("DELETE FROM closed_place").await.unwrap();
        set_up_anew(&fresh, &world).await;
        let desk = fresh.store.desk(&world.owner);
        assert_eq!(desk.season_records(world.rim_1, 2025).await.unwrap().block.code, "R-1b");
        assert_eq!(desk.summaries(2025).await.unwrap().len(), 3);
    })
    .await;
}

fn stated(block: BlockId, print: u8, cents: Option<i64>) -> Stated {
    Stated { block, fingerprint: [print; 8], over_all: cents.map(money) }
}

#[tokio::test]
async fn a_revision_is_added_where_figures_changed() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let desk = fresh.store.desk(&world.owner);
        assert_eq!(desk.revisions(world.rim_1, 2025).await.unwrap(), []);
        let first = fresh.clock.now();
        close(&fresh, &world, 2025, &[stated(world.rim_1, 1, Some(-500)), stated(world.rim_2, 2, None)]).await;
        fresh.clock.pass(TimeDelta::days(10));
        reopen(&fresh, &world, 2025, "a late settlement").await;
        fresh.clock.pass(TimeDelta::days(1));
        // One block's figures changed, the other's did not, and a third is new.
        let again = [stated(world.rim_1, 9, Some(700)), stated(world.rim_2, 2, None), stated(world.flat_1, 3, Some(1))];
        close(&fresh, &world, 2025, &again).await;
        let told = |block| {
            let desk = fresh.store.desk(&world.owner);
            async move {
                let revisions = desk.revisions(block, 2025).await.unwrap();
                revisions.into_iter().map(|r| (r.number, r.closed_at, r.fingerprint[0], r.over_all)).collect::<Vec<_>>()
            }
        };
        let second = first + TimeDelta::days(11);
        assert_eq!(told(world.rim_1).await, [(1, first, 1, Some(money(-500))), (2, second, 9, Some(money(700)))]);
        assert_eq!(told(world.rim_2).await, [(1, first, 2, None)]);
        assert_eq!(told(world.flat_1).await, [(1, second, 3, Some(money(1)))]);
        assert_eq!(desk.revisions(world.rim_1, 2026).await.unwrap(), []);

        let closings = desk.closings().await.unwrap();
        assert_eq!(closings.iter().map(|c| (c.year, c.number)).collect::<Vec<_>>(), [(2025, 2), (2025, 1)]);
        assert_eq!((closings[0].by.as_str(), closings[0].at, &closings[0].reopened), ("Olive Owner", second, &None));
        let end = closings[1].reopened.clone().unwrap();
        assert_eq!((end.by.as_str(), end.reason.as_str()), ("Olive Owner", "a late settlement"));
        assert_eq!(end.at, first + TimeDelta::days(10));
    })
    .await;
}

/// The operation's own report is numbered as its blocks' are, and only for who sees all of it.
#[tokio::test]
async fn the_operation_has_revisions_of_its_own() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        for (print, cents) in [(1, None), (1, None), (2, Some(-1_234_567))] {
            let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
            book.close_season(2026, &[]).await.unwrap();
            book.state_operation(2026, [print; 8], cents.map(money)).await.unwrap();
            book.save().await.unwrap();
            reopen(&fresh, &world, 2026, "a look").await;
        }
        // Closed by a program that keeps no report of the whole.
        close(&fresh, &world, 2026, &[]).await;
        let kept = fresh.store.desk(&world.owner).operation_revisions(2026).await.unwrap();
        let told: Vec<_> = kept.iter().map(|one| (one.number, one.fingerprint, one.over_all)).collect();
        assert_eq!(told, [(1, [1; 8], None), (2, [2; 8], Some(money(-1_234_567)))]);
        let limited = fresh.person(&world.owner, Role::Manager, Some(&[world.rim])).await.unwrap();
        assert!(fresh.store.desk(&limited).operation_revisions(2026).await.unwrap().is_empty());
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        let never = book.state_operation(1999, [1; 8], None).await;
        assert!(matches!(never, Err(StoreError::NotFound)), "{never:?}");
    })
    .await;
}

#[tokio::test]
async fn the_trail_says_who_closed_and_why_it_was_opened_again() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        close(&fresh, &world, 2025, &[]).await;
        fresh.clock.pass(TimeDelta::minutes(1));
        reopen(&fresh, &world, 2025, "a late settlement").await;
        let changes = fresh.store.desk(&world.owner).changes(2).await.unwrap();
        let told: Vec<_> = changes.iter().map(|c| (c.verb, c.kind.as_str(), c.place.as_str(), c.by.as_str())).collect();
        assert_eq!(
            told,
            [(Verb::Reopened, "season", "2025", "Olive Owner"), (Verb::Closed, "season", "2025", "Olive Owner")]
        );
        assert!(changes[0].after.as_ref().unwrap().contains("\"reason\":\"a late settlement\""));
    })
    .await;
}

#[tokio::test]
async fn whoever_meets_a_closed_season_is_told_by_whom_and_when() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        close(&fresh, &world, 2025, &[]).await;
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        let Err(StoreError::Closed(closed)) =
            book.add(&Target::Block(world.rim_1), &observation("2025-06-01", "hail")).await
        else {
            panic!("kept")
        };
        assert_eq!((closed.year, closed.closed), (2025, Some(("Olive Owner".to_owned(), fresh.clock.now()))));
        let Err(StoreError::Closed(closed)) = book.hold_season(2025).await else { panic!("held") };
        assert!(closed.to_string().contains("closed by Olive Owner on 15 May 2026"), "{closed}");
    })
    .await;
}

fn file(rows: &[RowIn]) -> FileFacts {
    FileFacts { name: "x.csv".to_owned(), kind_word: rows[0].record.kind().word().to_owned(), sha256: [8; 32], rows: 0 }
}

/// Rows that stand in the book already are no change, whatever the season.
#[tokio::test]
async fn a_file_names_every_new_row_of_a_closed_season() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let row = |line: u32, date: &str| RowIn {
            line,
            print: [u8::try_from(line).unwrap(); 32],
            target: Target::Block(world.rim_1),
            record: observation(date, "hail"),
        };
        let old = [row(2, "2025-05-01")];
        let mut book = fresh.store.book(&world.owner, Right::BringIn).await.unwrap();
        book.bring_in(&FileFacts { sha256: [7; 32], ..file(&old) }, &old, Wishes::default()).await.unwrap();
        book.save().await.unwrap();
        close(&fresh, &world, 2025, &[]).await;
        let rows = [row(2, "2025-05-01"), row(3, "2026-05-01"), row(4, "2025-05-02"), row(5, "2025-05-03")];
        let mut book = fresh.store.book(&world.owner, Right::BringIn).await.unwrap();
        let Err(StoreError::Closed(closed)) = book.bring_in(&file(&rows), &rows, Wishes::default()).await else {
            panic!("kept")
        };
        assert_eq!((closed.year, closed.lines), (2025, vec![4, 5]));
        assert!(matches!(book.save().await, Err(StoreError::HalfDone)));
        let mut book = fresh.store.book(&world.owner, Right::BringIn).await.unwrap();
        assert_eq!(book.bring_in(&file(&rows[..2]), &rows[..2], Wishes::default()).await.unwrap().added, 1);
    })
    .await;
}

#[tokio::test]
async fn only_who_sets_up_the_whole_operation_closes() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        for (role, farms) in [(Role::Manager, Some(&[world.flat][..])), (Role::Bookkeeper, None)] {
            let person = fresh.person(&world.owner, role, farms).await.unwrap();
            let mut book = fresh.store.book(&person, Right::Read).await.unwrap();
            assert!(matches!(book.close_season(2025, &[]).await, Err(StoreError::Forbidden)), "{role:?}");
            assert!(matches!(book.reopen_season(2025, "x").await, Err(StoreError::Forbidden)), "{role:?}");
        }
        assert_eq!(fresh.store.desk(&world.owner).season(2025).await.unwrap().state, SeasonState::Open);
    })
    .await;
}

#[tokio::test]
async fn one_begins_with_the_newest_season_that_holds_a_record() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let newest = || async {
            let desk = fresh.store.desk(&world.owner);
            desk.newest_season_with_records().await.unwrap().map(|season| season.year)
        };
        assert_eq!(newest().await, Some(2026), "none holds any");
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.add(&Target::Block(world.rim_1), &observation("2025-05-01", "hail")).await.unwrap();
        book.add(&Target::Operation, &rate("2026-01-01", RateKind::Wage(None), 1)).await.unwrap();
        book.open_season(&Season::calendar_year(2027).unwrap()).await.unwrap();
        book.save().await.unwrap();
        assert_eq!(newest().await, Some(2025), "a rate is of no season");
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.add(&Target::Block(world.flat_1), &observation(&day("2026-05-01").to_string(), "hail")).await.unwrap();
        book.save().await.unwrap();
        assert_eq!(newest().await, Some(2026));
        // Somebody limited to another farm sees no record of it.
        let lead = fresh.person(&world.owner, Role::CrewLead, Some(&[world.rim])).await.unwrap();
        let seen = fresh.store.desk(&lead).newest_season_with_records().await.unwrap();
        assert_eq!(seen.map(|season| season.year), Some(2025));
        let nobody = fresh.owner("Elsewhere").await.unwrap();
        assert_eq!(fresh.store.desk(&nobody).newest_season_with_records().await.unwrap(), None);
    })
    .await;
}

/// A season opened by mistake goes with its summaries; what hangs on one keeps it.
#[tokio::test]
async fn only_a_season_that_nothing_hangs_on_is_removed() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.open_season(&Season::calendar_year(2062).unwrap()).await.unwrap();
        book.save().await.unwrap();
        let desk = fresh.store.desk(&world.owner);
        assert!(desk.held(2062).await.unwrap().is_free());
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.add(&Target::Block(world.rim_1), &observation("2062-05-05", "hail")).await.unwrap();
        book.save().await.unwrap();
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        let Err(StoreError::SeasonHeld(held)) = book.remove_season(2062).await else { panic!() };
        assert_eq!((held.closed, &held.records[..]), (false, &[(RecordKind::Observation, 1)][..]));
        drop(book);
        close(&fresh, &world, 2025, &[]).await;
        reopen(&fresh, &world, 2025, "x").await;
        assert!(desk.held(2025).await.unwrap().closed, "its reports may be on paper");
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.open_season(&Season::calendar_year(2063).unwrap()).await.unwrap();
        book.save().await.unwrap();
        let seasons = desk.seasons().await.unwrap().len();
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.remove_season(2063).await.unwrap();
        book.save().await.unwrap();
        assert_eq!(desk.seasons().await.unwrap().len(), seasons - 1);
        assert!(matches!(desk.summaries(2063).await, Err(StoreError::NotFound)));
        let change = desk.changes(1).await.unwrap().remove(0);
        assert_eq!((change.verb, change.kind.as_str(), change.place.as_str()), (Verb::Removed, "season", "2063"));
        let lead = fresh.person(&world.owner, Role::Bookkeeper, None).await.unwrap();
        let mut book = fresh.store.book(&lead, Right::Read).await.unwrap();
        assert!(matches!(book.remove_season(2062).await, Err(StoreError::Forbidden)));
    })
    .await;
}

/// Nothing of the other open seasons hangs on it.
#[tokio::test]
async fn reopening_renews_the_one_season() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let turned = async || {
            close(&fresh, &world, 2025, &[]).await;
            let before = fresh.statements();
            reopen(&fresh, &world, 2025, "x").await;
            fresh.statements() - before
        };
        let few = turned().await;
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        for year in 2060..2066 {
            book.open_season(&Season::calendar_year(year).unwrap()).await.unwrap();
        }
        book.save().await.unwrap();
        assert_eq!(turned().await, few);
    })
    .await;
}
