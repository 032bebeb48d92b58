//! Files: all of it or nothing, each row once, the same file once.
#![cfg(test)]

mod common;

use chrono::TimeDelta;
use common::{World, day, labor, observation, world};
use reckon::figure::RecordKind;
use reckon::records::{Likeness, Record};
use store::kit::{Fresh, on_both};
use store::{
    BroughtIn, Doubles, FileFacts, RecordFilter, Right, Role, RowIn, Scope, Source, StoreError, Target, TwinOf, Verb,
    Why, Wishes,
};

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
    entry.crew = format!("Crew {n}");
    RowIn { line: n + 2, print, target: Target::Block(world.rim_1), record: Record::Labor(entry) }
}

async fn bring(fresh: &Fresh, scope: &Scope, file: &FileFacts, rows: &[RowIn]) -> Result<BroughtIn, StoreError> {
    bring_as(fresh, scope, file, rows, Wishes::default()).await
}

async fn bring_as(
    fresh: &Fresh,
    scope: &Scope,
    file: &FileFacts,
    rows: &[RowIn],
    wishes: Wishes,
) -> Result<BroughtIn, StoreError> {
    let mut book = fresh.store.book(scope, Right::BringIn).await?;
    let done = book.bring_in(file, rows, wishes).await?;
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
        assert_eq!(done, BroughtIn { added: 2_400, ..BroughtIn::default() });
        fresh.clock.pass(TimeDelta::hours(1));
        let done = bring(&fresh, &world.owner, &file("may.csv", first), first).await.unwrap();
        assert_eq!(done, BroughtIn { already: 2_400, same_file: Some(at), ..BroughtIn::default() });
        assert_eq!(kept(&fresh, &world).await, 2_400);
        let done = bring(&fresh, &world.owner, &file("grown.csv", &rows), &rows).await.unwrap();
        assert_eq!(done, BroughtIn { added: rest.len(), already: 2_400, ..BroughtIn::default() });
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
        book.bring_in(&file("a.csv", &rows), &rows, Wishes::default()).await.unwrap_err();
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

/// Removes the labor entry that came from a line.
async fn remove(fresh: &Fresh, scope: &Scope, line: u32) {
    let listed = fresh.store.desk(scope).records(RecordFilter::of(RecordKind::Labor)).await.unwrap();
    let row = listed.iter().find(|row| row.from_file.as_ref().is_some_and(|(_, known)| *known == line)).unwrap();
    let mut book = fresh.store.book(scope, Right::KeepField).await.unwrap();
    book.remove(RecordKind::Labor, row.id, row.version).await.unwrap();
    book.save().await.unwrap();
}

#[tokio::test]
async fn a_removed_row_stays_out_until_it_is_wished_back() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let rows: Vec<RowIn> = (0..4).map(|n| row(&world, n)).collect();
        let (may, june) = (file("may.csv", &rows[..3]), file("june.csv", &rows));
        bring(&fresh, &world.owner, &may, &rows[..3]).await.unwrap();
        remove(&fresh, &world.owner, rows[1].line).await;
        let at = fresh.clock.now();
        fresh.clock.pass(TimeDelta::days(3));

        let same = bring(&fresh, &world.owner, &may, &rows[..3]).await.unwrap();
        assert_eq!((same.added, same.already, same.same_file.is_some()), (0, 2, true));
        let told: Vec<_> = same.kept_out.iter().map(|out| (out.line, out.why, out.by.as_str(), out.at)).collect();
        assert_eq!(told, [(rows[1].line, Why::Removed, "Olive Owner", at)]);

        let grown = bring(&fresh, &world.owner, &june, &rows).await.unwrap();
        assert_eq!((grown.added, grown.already, grown.kept_out.len()), (1, 2, 1));
        assert_eq!(kept(&fresh, &world).await, 3);

        let back = Wishes { bring_back: true, ..Wishes::default() };
        let done = bring_as(&fresh, &world.owner, &may, &rows[..3], back).await.unwrap();
        assert_eq!((done.added, done.already, done.kept_out.len()), (1, 2, 0));
        assert_eq!(kept(&fresh, &world).await, 4);
        // Back is back: the next time it is a row like any other.
        let again = bring_as(&fresh, &world.owner, &june, &rows, back).await.unwrap();
        assert_eq!((again.added, again.already), (0, 4));
    })
    .await;
}

/// The same work entered by hand, and brought in from the office's sheet in another spelling.
#[tokio::test]
async fn work_that_is_in_the_book_already_is_asked_about() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let by_hand = labor("2026-05-05", 48, 16_500_000);
        let mut book = fresh.store.book(&world.owner, Right::KeepField).await.unwrap();
        let id = book.add(&Target::Block(world.rim_1), &Record::Labor(by_hand.clone())).await.unwrap();
        book.save().await.unwrap();
        let mut rows: Vec<RowIn> = (0..3).map(|n| row(&world, n)).collect();
        let spelt = reckon::records::LaborEntry {
            crew: "CREW OF THE ÑANDÚ ".to_owned(),
            note: "from the sheet".to_owned(),
            ..by_hand
        };
        rows[1].record = Record::Labor(spelt);
        let sheet = file("sheet.csv", &rows);
        let Err(StoreError::Doubles(twins)) = bring(&fresh, &world.owner, &sheet, &rows).await else { panic!() };
        assert_eq!(twins.len(), 1);
        assert_eq!((twins[0].line, &twins[0].other), (rows[1].line, &TwinOf::Kept { id, from_file: None }));
        assert_eq!(kept(&fresh, &world).await, 1, "the whole file or nothing");
        assert!(fresh.store.desk(&world.owner).brought_in(9).await.unwrap().is_empty());

        let without = Wishes { doubles: Doubles::LeaveOut, ..Wishes::default() };
        let done = bring_as(&fresh, &world.owner, &sheet, &rows, without).await.unwrap();
        assert_eq!((done.added, done.left_out), (2, 1));
        // What was left out once is not asked about each month anew.
        let mut longer = rows.clone();
        longer.push(row(&world, 7));
        let done = bring(&fresh, &world.owner, &file("longer.csv", &longer), &longer).await.unwrap();
        assert_eq!((done.added, done.already), (1, 2));
        assert_eq!(done.kept_out.iter().map(|out| out.why).collect::<Vec<_>>(), [Why::Double]);

        let also = Wishes { doubles: Doubles::Add, ..Wishes::default() };
        let done = bring_as(&fresh, &world.owner, &sheet, &rows, also).await.unwrap();
        assert_eq!((done.added, done.kept_out.len()), (1, 0));
        assert_eq!(kept(&fresh, &world).await, 5);
    })
    .await;
}

/// SQLite binds 32,766 values in one statement, and each row left out takes six.
#[tokio::test]
async fn a_file_of_nothing_but_doubles_can_be_left_out_however_long_it_is() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let by_hand = labor("2026-05-05", 48, 16_500_000);
        let mut book = fresh.store.book(&world.owner, Right::KeepField).await.unwrap();
        book.add(&Target::Block(world.rim_1), &Record::Labor(by_hand.clone())).await.unwrap();
        book.save().await.unwrap();
        let same = |n| RowIn { record: Record::Labor(by_hand.clone()), ..row(&world, n) };
        let rows: Vec<RowIn> = (0..5_500).map(same).collect();
        let without = Wishes { doubles: Doubles::LeaveOut, ..Wishes::default() };
        let done = bring_as(&fresh, &world.owner, &file("sheet.csv", &rows), &rows, without).await.unwrap();
        assert_eq!((done.added, done.left_out), (0, 5_500));
        assert_eq!(kept(&fresh, &world).await, 1);
    })
    .await;
}

/// Equal rows of one file that were confirmed are two days of work, and another block's or day's are no doubles.
#[tokio::test]
async fn only_the_same_place_and_day_can_be_a_double() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let day = |n: u32, date: &str, block| RowIn {
            record: Record::Labor(labor(date, 40, 16_000_000)),
            target: Target::Block(block),
            ..row(&world, n)
        };
        let also = Wishes { doubles: Doubles::Add, ..Wishes::default() };
        let rows = [day(1, "2026-05-05", world.rim_1), day(2, "2026-05-05", world.rim_1)];
        assert_eq!(bring_as(&fresh, &world.owner, &file("a.csv", &rows), &rows, also).await.unwrap().added, 2);
        let more = [rows[0].clone(), rows[1].clone(), day(3, "2026-05-04", world.rim_1)];
        assert_eq!(bring(&fresh, &world.owner, &file("b.csv", &more), &more).await.unwrap().added, 1, "confirmed");
        let other = [day(4, "2026-05-06", world.rim_1), day(5, "2026-05-05", world.rim_2)];
        assert_eq!(bring(&fresh, &world.owner, &file("c.csv", &other), &other).await.unwrap().added, 2);
        let double = [day(6, "2026-05-06", world.rim_1)];
        let Err(StoreError::Doubles(twins)) = bring(&fresh, &world.owner, &file("d.csv", &double), &double).await
        else {
            panic!()
        };
        let TwinOf::Kept { from_file, .. } = &twins[0].other else { panic!() };
        assert_eq!(*from_file, Some(("c.csv".to_owned(), 6)));
        let desk = fresh.store.desk(&world.owner);
        let alike = desk.alike(&Target::Block(world.rim_1), &double[0].record, None).await.unwrap();
        assert_eq!(alike.len(), 1);
        let itself = desk.alike(&Target::Block(world.rim_1), &double[0].record, Some(alike[0].id)).await.unwrap();
        assert!(itself.is_empty(), "a record is not its own double");
        let limited = fresh.person(&world.owner, Role::CrewLead, Some(&[world.flat])).await.unwrap();
        let unseen = fresh.store.desk(&limited).alike(&Target::Block(world.rim_1), &double[0].record, None).await;
        assert!(unseen.unwrap().is_empty(), "out of scope nothing is told");
    })
    .await;
}

/// The rows of one file are held against each other, those that are in the book already among them.
#[tokio::test]
async fn rows_of_one_file_that_look_alike_are_asked_about() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let day = |n: u32, date: &str, hours| RowIn {
            record: Record::Labor(labor(date, hours, 16_000_000)),
            ..row(&world, n)
        };
        let rows = [day(1, "2026-05-05", 40), day(2, "2026-05-06", 40), day(3, "2026-05-05", 40)];
        let rows = [&rows[..], &[day(4, "2026-05-05", 39)]].concat();
        let asked = bring(&fresh, &world.owner, &file("a.csv", &rows), &rows).await;
        let Err(StoreError::Doubles(twins)) = asked else { panic!() };
        let told: Vec<_> = twins.iter().map(|twin| (twin.line, twin.other.clone(), twin.likeness)).collect();
        let hours = Likeness::AllBut("hours");
        assert_eq!(told, [(5, TwinOf::Row(3), Likeness::Same), (6, TwinOf::Row(3), hours)]);
        assert_eq!(kept(&fresh, &world).await, 0);

        let without = Wishes { doubles: Doubles::LeaveOut, ..Wishes::default() };
        let done = bring_as(&fresh, &world.owner, &file("a.csv", &rows), &rows, without).await.unwrap();
        assert_eq!((done.added, done.left_out), (2, 2));
        // A row put before one that is in the book already.
        let longer = [&[day(9, "2026-05-06", 40)], &rows[..]].concat();
        let asked = bring(&fresh, &world.owner, &file("longer.csv", &longer), &longer).await;
        let Err(StoreError::Doubles(twins)) = asked else { panic!() };
        assert_eq!(
            twins.iter().map(|twin| (twin.line, twin.other.clone())).collect::<Vec<_>>(),
            [(11, TwinOf::Row(4))]
        );

        // Both came in on purpose; one that was removed and is wished back stands beside the other as before.
        let also = Wishes { doubles: Doubles::Add, ..Wishes::default() };
        assert_eq!(bring_as(&fresh, &world.owner, &file("b.csv", &rows), &rows, also).await.unwrap().added, 2);
        remove(&fresh, &world.owner, 5).await;
        let back = Wishes { bring_back: true, ..Wishes::default() };
        assert_eq!(bring_as(&fresh, &world.owner, &file("b.csv", &rows), &rows, back).await.unwrap().added, 1);
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
