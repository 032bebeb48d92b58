//! Files: all of it or nothing, each row once, the same file once.
#![cfg(test)]

mod common;

use chrono::TimeDelta;
use common::{World, day, labor, observation, world};
use reckon::figure::RecordKind;
use reckon::records::Record;
use store::kit::{Fresh, on_both};
use store::{BroughtIn, FileFacts, RecordFilter, Right, Role, RowIn, Scope, Source, StoreError, Target, Verb};

fn file(name: &str, rows: &[RowIn]) -> FileFacts {
    let mut sha256 = [rows.len().to_le_bytes()[0]; 32];
    for (to, from) in sha256.iter_mut().zip(name.bytes()) {
        *to = from;
    }
    FileFacts { name: name.to_owned(), kind_word: "labor".to_owned(), sha256, rows: rows.len() }
}

/// Row `n` of an invented time sheet; the same number gives the same row.
fn row(world: &World, n: u32) -> RowIn {
    let mut print = [9; 32];
    for (to, from) in print.iter_mut().zip(n.to_be_bytes()) {
        *to = from;
    }
    let date = day("2026-01-01") + TimeDelta::days(i64::from(n % 300));
    let mut entry = labor("2026-01-01", i64::from(n % 11), 16_000_000 + i64::from(n));
    entry.date = date;
    RowIn { line: n + 2, print, target: Target::Block(world.rim_1), record: Record::Labor(entry) }
}

async fn bring(fresh: &Fresh, scope: &Scope, file: &FileFacts, rows: &[RowIn]) -> Result<BroughtIn, StoreError> {
    let mut book = fresh.store.book(scope, Right::BringIn).await?;
    let done = book.bring_in(file, rows).await?;
    book.save().await?;
    Ok(done)
}

async fn kept(fresh: &Fresh, world: &World) -> u64 {
    fresh.store.desk(&world.owner).count(RecordFilter::of(RecordKind::Labor)).await.unwrap()
}

#[tokio::test]
async fn a_file_comes_in_once_and_its_new_rows_later() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let rows: Vec<RowIn> = (0..3_000).map(|n| row(&world, n)).collect();
        let (first, rest) = rows.split_at(2_400);
        let at = fresh.clock.now();
        let done = bring(&fresh, &world.owner, &file("may.csv", first), first).await.unwrap();
        assert_eq!(done, BroughtIn { added: 2_400, already: 0, same_file: None });
        fresh.clock.pass(TimeDelta::hours(1));
        let done = bring(&fresh, &world.owner, &file("may.csv", first), first).await.unwrap();
        assert_eq!(done, BroughtIn { added: 0, already: 2_400, same_file: Some(at) });
        assert_eq!(kept(&fresh, &world).await, 2_400);
        let done = bring(&fresh, &world.owner, &file("grown.csv", &rows), &rows).await.unwrap();
        assert_eq!(done, BroughtIn { added: rest.len(), already: 2_400, same_file: None });
        assert_eq!(kept(&fresh, &world).await, 3_000);

        let desk = fresh.store.desk(&world.owner);
        let files = desk.brought_in(10).await.unwrap();
        let told: Vec<_> = files.iter().map(|f| (f.name.as_str(), f.rows, f.added, f.by.as_str())).collect();
        assert_eq!(told, [("grown.csv", 3_000, 600, "Olive Owner"), ("may.csv", 2_400, 2_400, "Olive Owner")]);
        let lines: Vec<_> =
            desk.changes(100).await.unwrap().into_iter().filter(|c| c.verb == Verb::BroughtIn).collect();
        assert_eq!(lines.len(), 2, "one line a file");
        assert_eq!(lines[0].after.as_deref(), Some(r#"{"added":600,"already":2400,"rows":3000}"#));
        let records = desk.season_records(world.rim_1, 2026).await.unwrap();
        assert_eq!(records.labor.len(), 3_000);
        let listed = desk.records(RecordFilter::of(RecordKind::Labor)).await.unwrap();
        assert_eq!(listed.len() as u64, store::PER_PAGE);
        assert!(listed.iter().all(|row| row.from_file.as_ref().is_some_and(|(_, line)| *line >= 2)));
    })
    .await;
}

#[tokio::test]
async fn one_bad_row_keeps_the_whole_file_out() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let mut rows: Vec<RowIn> = (0..40).map(|n| row(&world, n)).collect();
        let mut late = labor("2031-01-01", 8, 16_000_000);
        late.note = "no season".to_owned();
        rows[39].record = Record::Labor(late);
        let tried = bring(&fresh, &world.owner, &file("a.csv", &rows), &rows).await;
        assert!(matches!(tried, Err(StoreError::OutsideSeason { .. })));
        rows[39].record = observation("2026-05-01", "hail");
        let tried = bring(&fresh, &world.owner, &file("a.csv", &rows), &rows).await;
        assert!(matches!(tried, Err(StoreError::Misplaced { kind: RecordKind::Observation })));
        rows[39] = RowIn { target: Target::Operation, ..row(&world, 39) };
        let tried = bring(&fresh, &world.owner, &file("a.csv", &rows), &rows).await;
        assert!(matches!(tried, Err(StoreError::Misplaced { kind: RecordKind::Labor })));
        let mut book = fresh.store.book(&world.owner, Right::BringIn).await.unwrap();
        book.bring_in(&file("a.csv", &rows), &rows).await.unwrap_err();
        assert!(matches!(book.save().await, Err(StoreError::HalfDone)));
        assert_eq!(kept(&fresh, &world).await, 0);
        assert_eq!(fresh.store.desk(&world.owner).brought_in(10).await.unwrap(), []);
    })
    .await;
}

#[tokio::test]
async fn it_takes_the_right_to_bring_in_and_the_rows_farms() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let rows = [row(&world, 1)];
        let crew = fresh.person(&world.owner, Role::CrewLead, None).await.unwrap();
        let tried = bring(&fresh, &crew, &file("a.csv", &rows), &rows).await;
        assert!(matches!(tried, Err(StoreError::Forbidden)));
        let elsewhere = fresh.person(&world.owner, Role::Bookkeeper, Some(&[world.flat])).await.unwrap();
        let tried = bring(&fresh, &elsewhere, &file("a.csv", &rows), &rows).await;
        assert!(matches!(tried, Err(StoreError::NotFound)));
        let office = fresh.person(&world.owner, Role::Bookkeeper, Some(&[world.rim])).await.unwrap();
        assert_eq!(bring(&fresh, &office, &file("a.csv", &rows), &rows).await.unwrap().added, 1);
        // The list of a limited person is their own files.
        assert_eq!(fresh.store.desk(&office).brought_in(10).await.unwrap().len(), 1);
        assert_eq!(fresh.store.desk(&elsewhere).brought_in(10).await.unwrap().len(), 0);
    })
    .await;
}

#[tokio::test]
async fn a_corrected_row_is_not_brought_in_again() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let rows = [row(&world, 1), row(&world, 2)];
        bring(&fresh, &world.owner, &file("a.csv", &rows), &rows).await.unwrap();
        let desk = fresh.store.desk(&world.owner);
        let first = desk.records(RecordFilter::of(RecordKind::Labor)).await.unwrap().remove(0);
        let mut book = fresh.store.book(&world.owner, Right::KeepField).await.unwrap();
        let right = Record::Labor(labor("2026-05-05", 10, 17_000_000));
        book.correct(RecordKind::Labor, first.id, first.version, &first.target, &right).await.unwrap();
        book.save().await.unwrap();
        let done = bring(&fresh, &world.owner, &file("again.csv", &rows), &rows).await.unwrap();
        assert_eq!((done.added, done.already), (0, 2));
        let kept = desk.record(RecordKind::Labor, first.id).await.unwrap();
        assert_eq!((kept.record, kept.from_file), (right, first.from_file));
    })
    .await;
}

/// Another operation's file with the very same bytes and rows is its own.
#[tokio::test]
async fn operations_do_not_see_each_others_rows() {
    on_both(|fresh| async move {
        let (ours, theirs) = (world(&fresh).await, common::named_world(&fresh, "Cinder Bench").await);
        for world in [&ours, &theirs] {
            let rows = [row(world, 1), row(world, 2)];
            assert_eq!(bring(&fresh, &world.owner, &file("a.csv", &rows), &rows).await.unwrap().added, 2);
            assert_eq!(kept(&fresh, world).await, 2);
        }
    })
    .await;
}
