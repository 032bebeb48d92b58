//! Every kind of record: kept, read, corrected, removed; and who may not.
#![cfg(test)]

mod common;

use std::collections::BTreeSet;

use common::{World, block, cost, day, every_record, labor, named_world, observation, rate, target, world};
use reckon::block::Season;
use reckon::figure::RecordKind;
use reckon::records::{RateKind, Record, SharedBasis};
use store::kit::{Fresh, on_both};
use store::{RecordFilter, Right, Role, Scope, StoreError, Target, Verb};
use uuid::Uuid;

async fn add(fresh: &Fresh, scope: &Scope, target: &Target, record: &Record) -> Result<Uuid, StoreError> {
    let mut book = fresh.store.book(scope, Right::Read).await?;
    let id = book.add(target, record).await?;
    book.save().await?;
    Ok(id)
}

async fn correct(
    fresh: &Fresh,
    scope: &Scope,
    (id, version): (Uuid, i64),
    target: &Target,
    record: &Record,
) -> Result<(), StoreError> {
    let mut book = fresh.store.book(scope, Right::Read).await?;
    book.correct(record.kind(), id, version, target, record).await?;
    book.save().await
}

async fn remove(fresh: &Fresh, scope: &Scope, kind: RecordKind, (id, version): (Uuid, i64)) -> Result<(), StoreError> {
    let mut book = fresh.store.book(scope, Right::Read).await?;
    book.remove(kind, id, version).await?;
    book.save().await
}

#[tokio::test]
async fn every_kind_goes_there_and_back() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let (first, second) = (every_record("2026-05-14"), every_record("2026-06-02"));
        let kinds: BTreeSet<RecordKind> = first.iter().map(Record::kind).collect();
        assert_eq!(kinds.len(), RecordKind::ALL.len());
        for (was, becomes) in first.iter().zip(&second) {
            there_and_back(&fresh, &world, was, becomes).await;
        }
    })
    .await;
}

async fn there_and_back(fresh: &Fresh, world: &World, was: &Record, becomes: &Record) {
    let (owner, kind, target) = (&world.owner, was.kind(), target(world, was));
    let id = add(fresh, owner, &target, was).await.unwrap();
    let desk = fresh.store.desk(owner);
    let kept = desk.record(kind, id).await.unwrap();
    assert_eq!((&kept.record, &kept.target, kept.version), (was, &target, 1));
    assert_eq!((kept.author.as_str(), kept.from_file.as_ref()), ("Olive Owner", None));
    assert!(desk.records(RecordFilter::of(kind)).await.unwrap().contains(&kept));

    correct(fresh, owner, (id, 1), &target, becomes).await.unwrap();
    let kept = desk.record(kind, id).await.unwrap();
    assert_eq!((&kept.record, kept.version), (becomes, 2));
    let stale = correct(fresh, owner, (id, 1), &target, was).await;
    assert!(matches!(stale, Err(StoreError::Changed)), "{kind:?}");
    let stale = remove(fresh, owner, kind, (id, 1)).await;
    assert!(matches!(stale, Err(StoreError::Changed)), "{kind:?}");

    remove(fresh, owner, kind, (id, 2)).await.unwrap();
    assert!(matches!(desk.record(kind, id).await, Err(StoreError::NotFound)));
    assert!(matches!(remove(fresh, owner, kind, (id, 2)).await, Err(StoreError::NotFound)));
    let changes = desk.changes(3).await.unwrap();
    let verbs: Vec<Verb> = changes.iter().map(|change| change.verb).collect();
    assert_eq!(verbs, [Verb::Removed, Verb::Corrected, Verb::Added]);
    assert!(changes.iter().all(|change| change.record_id == id && change.kind == kind.word()));
    assert_eq!(changes[0].before, changes[1].after);
    assert_eq!(changes[1].before, changes[2].after);
}

#[tokio::test]
async fn a_strangers_record_is_not_found() {
    on_both(|fresh| async move {
        let (ours, theirs) = (world(&fresh).await, named_world(&fresh, "Cinder Bench").await);
        for record in every_record("2026-05-14") {
            let kind = record.kind();
            let id = add(&fresh, &ours.owner, &target(&ours, &record), &record).await.unwrap();
            let desk = fresh.store.desk(&theirs.owner);
            assert!(matches!(desk.record(kind, id).await, Err(StoreError::NotFound)));
            assert_eq!(desk.records(RecordFilter::of(kind)).await.unwrap(), []);
            let into = target(&theirs, &record);
            let tried = correct(&fresh, &theirs.owner, (id, 1), &into, &record).await;
            assert!(matches!(tried, Err(StoreError::NotFound)));
            assert!(matches!(remove(&fresh, &theirs.owner, kind, (id, 1)).await, Err(StoreError::NotFound)));
            if let Target::Block(_) = into {
                let tried = add(&fresh, &theirs.owner, &target(&ours, &record), &record).await;
                assert!(matches!(tried, Err(StoreError::NotFound)));
            }
        }
        let desk = fresh.store.desk(&theirs.owner);
        assert!(matches!(desk.block(ours.rim_1).await, Err(StoreError::NotFound)));
        assert!(matches!(desk.farm(ours.rim).await, Err(StoreError::NotFound)));
        assert!(matches!(desk.season_records(ours.rim_1, 2026).await, Err(StoreError::NotFound)));
        let filter = RecordFilter { block: Some(ours.rim_1), ..RecordFilter::of(RecordKind::Labor) };
        assert!(matches!(desk.records(filter).await, Err(StoreError::NotFound)));
    })
    .await;
}

#[tokio::test]
async fn a_person_limited_to_a_farm_sees_that_farm() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let limited = fresh.person(&world.owner, Role::Manager, Some(&[world.flat])).await.unwrap();
        let seen = observation("2026-04-02", "frost");
        let (rim, flat) = (Target::Block(world.rim_1), Target::Block(world.flat_1));
        let hidden = add(&fresh, &world.owner, &rim, &seen).await.unwrap();
        let shown = add(&fresh, &world.owner, &flat, &seen).await.unwrap();
        let whole = rate("2026-01-01", RateKind::Water, 40_000_000);
        let whole_id = add(&fresh, &world.owner, &Target::Operation, &whole).await.unwrap();

        let desk = fresh.store.desk(&limited);
        let names: Vec<String> = desk.farms().await.unwrap().into_iter().map(|row| row.farm.name).collect();
        assert_eq!(names, ["Flat"]);
        assert_eq!(desk.blocks().await.unwrap().len(), 1);
        assert_eq!(desk.summaries(2026).await.unwrap().len(), 1);
        let listed = desk.records(RecordFilter::of(RecordKind::Observation)).await.unwrap();
        assert_eq!(listed.iter().map(|row| row.id).collect::<Vec<_>>(), [shown]);
        assert!(matches!(desk.record(RecordKind::Observation, hidden).await, Err(StoreError::NotFound)));
        assert!(matches!(desk.season_records(world.rim_1, 2026).await, Err(StoreError::NotFound)));
        assert_eq!(desk.count(RecordFilter::of(RecordKind::Rate)).await.unwrap(), 0);
        assert!(matches!(desk.record(RecordKind::Rate, whole_id).await, Err(StoreError::NotFound)));
        // Reckoning their block still takes the operation's rates.
        assert_eq!(desk.season_records(world.flat_1, 2026).await.unwrap().rates.len(), 1);
        let places: BTreeSet<String> = desk.changes(100).await.unwrap().into_iter().map(|c| c.place).collect();
        assert_eq!(places, BTreeSet::from(["F-1".to_owned(), "Flat".to_owned()]));

        assert!(matches!(add(&fresh, &limited, &rim, &seen).await, Err(StoreError::NotFound)));
        let tried = correct(&fresh, &limited, (hidden, 1), &flat, &seen).await;
        assert!(matches!(tried, Err(StoreError::NotFound)));
        let tried = correct(&fresh, &limited, (shown, 1), &rim, &seen).await;
        assert!(matches!(tried, Err(StoreError::NotFound)));
        let tried = remove(&fresh, &limited, RecordKind::Rate, (whole_id, 1)).await;
        assert!(matches!(tried, Err(StoreError::NotFound)));
        let elsewhere = Target::Station("Rim station".to_owned());
        let tried = add(&fresh, &limited, &elsewhere, &common::weather("2026-04-02", None)).await;
        assert!(matches!(tried, Err(StoreError::NotFound)));
        assert!(matches!(add(&fresh, &limited, &Target::Operation, &whole).await, Err(StoreError::Forbidden)));
        let mut book = fresh.store.book(&limited, Right::SetUp).await.unwrap();
        let year = Season::calendar_year(2027).unwrap();
        assert!(matches!(book.open_season(&year).await, Err(StoreError::Forbidden)));
        assert!(matches!(book.add_farm(&common::farm("New")).await, Err(StoreError::Forbidden)));
        let tried = book.add_block(world.rim, &block("R-9", "1", None)).await;
        assert!(matches!(tried, Err(StoreError::NotFound)));
    })
    .await;
}

#[tokio::test]
async fn a_role_keeps_its_own_kinds() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        for role in Role::ALL {
            let scope = fresh.person(&world.owner, role, None).await.unwrap();
            for record in every_record("2026-05-14") {
                let may = role.may(Right::to_keep(record.kind()));
                let into = target(&world, &record);
                match add(&fresh, &scope, &into, &record).await {
                    Ok(id) => {
                        assert!(may, "{role:?} kept {:?}", record.kind());
                        remove(&fresh, &scope, record.kind(), (id, 1)).await.unwrap();
                    }
                    Err(StoreError::Forbidden) => assert!(!may, "{role:?} may keep {:?}", record.kind()),
                    Err(other) => panic!("{role:?}, {:?}: {other}", record.kind()),
                }
            }
            for right in Right::ALL {
                let opened = fresh.store.book(&scope, right).await;
                assert_eq!(opened.is_ok(), role.may(right), "{role:?} {right:?}");
            }
        }
    })
    .await;
}

#[tokio::test]
async fn a_record_belongs_where_its_kind_does() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let all = [
            Target::Block(world.rim_1),
            Target::Farm(world.rim),
            Target::Operation,
            Target::Station("Rim station".to_owned()),
        ];
        let mut kept = Vec::new();
        for record in every_record("2026-05-14") {
            let into = all.iter().map(|target| add(&fresh, &world.owner, target, &record));
            let mut fits = Vec::new();
            for tried in into {
                match tried.await {
                    Ok(_) => fits.push(true),
                    Err(StoreError::Misplaced { kind }) if kind == record.kind() => fits.push(false),
                    Err(other) => panic!("{other}"),
                }
            }
            kept.push((record.kind(), fits));
        }
        for (kind, fits) in kept {
            let expected = match kind {
                RecordKind::Cost => [true, true, true, false],
                RecordKind::Price | RecordKind::Rate | RecordKind::Size | RecordKind::ThinningTarget => {
                    [false, false, true, false]
                }
                RecordKind::Weather => [false, false, false, true],
                _ => [true, false, false, false],
            };
            assert_eq!(fits, expected, "{kind:?}");
        }
    })
    .await;
}

#[tokio::test]
async fn a_season_holds_its_days_and_a_closed_one_holds_still() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let into = Target::Block(world.rim_1);
        let outside = add(&fresh, &world.owner, &into, &observation("2024-12-31", "frost")).await;
        assert!(matches!(outside, Err(StoreError::OutsideSeason { date }) if date == day("2024-12-31")));
        let id = add(&fresh, &world.owner, &into, &observation("2025-05-01", "hail")).await.unwrap();
        // A rate may hold from before the first season.
        let early = rate("2020-01-01", RateKind::Wage(None), 15_000_000);
        let early_id = add(&fresh, &world.owner, &Target::Operation, &early).await.unwrap();

        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.close_season(2025, &[]).await.unwrap();
        assert!(matches!(book.close_season(2025, &[]).await, Err(StoreError::Closed(_))));
        book.save().await.unwrap();
        let closed = |tried: Result<(), StoreError>| assert!(matches!(tried, Err(StoreError::Closed(_))), "{tried:?}");
        closed(add(&fresh, &world.owner, &into, &observation("2025-06-01", "hail")).await.map(|_| ()));
        closed(remove(&fresh, &world.owner, RecordKind::Observation, (id, 1)).await);
        closed(correct(&fresh, &world.owner, (id, 1), &into, &observation("2026-05-01", "hail")).await);
        closed(remove(&fresh, &world.owner, RecordKind::Rate, (early_id, 1)).await);
        let reaches_in = common::every_record("2025-03-01").into_iter().find(|r| matches!(r, Record::Mulch(_)));
        closed(add(&fresh, &world.owner, &into, &reaches_in.unwrap()).await.map(|_| ()));

        add(&fresh, &world.owner, &into, &observation("2026-05-01", "hail")).await.unwrap();
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.reopen_season(2025, "a late settlement").await.unwrap();
        book.save().await.unwrap();
        remove(&fresh, &world.owner, RecordKind::Observation, (id, 1)).await.unwrap();
    })
    .await;
}

#[tokio::test]
async fn a_list_shows_what_was_asked_for() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let (rim, flat) = (Target::Block(world.rim_1), Target::Block(world.flat_1));
        let mut ids = Vec::new();
        for (into, date) in [(&rim, "2025-08-01"), (&rim, "2026-05-01"), (&flat, "2026-06-01"), (&rim, "2026-06-01")] {
            let record = Record::Labor(labor(date, 8, 16_000_000));
            ids.push(add(&fresh, &world.owner, into, &record).await.unwrap());
        }
        let all = RecordFilter::of(RecordKind::Labor);
        check(&fresh, &world, all, &[ids[3], ids[2], ids[1], ids[0]]).await;
        let year = RecordFilter { year: Some(2026), ..all };
        check(&fresh, &world, year, &[ids[3], ids[2], ids[1]]).await;
        check(&fresh, &world, RecordFilter { block: Some(world.rim_1), ..year }, &[ids[3], ids[1]]).await;
        check(&fresh, &world, RecordFilter { block: Some(world.rim_2), ..year }, &[]).await;
        check(&fresh, &world, RecordFilter { farm: Some(world.flat), ..year }, &[ids[2]]).await;
        check(&fresh, &world, RecordFilter { page: 1, ..all }, &[]).await;
        let no_season = RecordFilter { year: Some(1999), ..all };
        let tried = fresh.store.desk(&world.owner).records(no_season).await;
        assert!(matches!(tried, Err(StoreError::NotFound)));

        let own = cost("2026-05-01", 100, SharedBasis::Acres);
        let on_farm = add(&fresh, &world.owner, &Target::Farm(world.rim), &own).await.unwrap();
        let on_all = add(&fresh, &world.owner, &Target::Operation, &own).await.unwrap();
        let costs = RecordFilter::of(RecordKind::Cost);
        check(&fresh, &world, costs, &[on_all, on_farm]).await;
        check(&fresh, &world, RecordFilter { farm: Some(world.rim), ..costs }, &[on_farm]).await;
        check(&fresh, &world, RecordFilter { block: Some(world.rim_1), ..costs }, &[]).await;
    })
    .await;
}

async fn check(fresh: &Fresh, world: &World, filter: RecordFilter, expected: &[Uuid]) {
    let desk = fresh.store.desk(&world.owner);
    let found: Vec<Uuid> = desk.records(filter).await.unwrap().into_iter().map(|row| row.id).collect();
    assert_eq!(found, expected, "{filter:?}");
    if filter.page == 0 {
        assert_eq!(desk.count(filter).await.unwrap(), expected.len() as u64);
    }
}
