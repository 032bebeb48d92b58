//! What is looked at over several blocks or seasons: crews' weeks, methods of thinning, windows and limits.
#![cfg(test)]

mod common;

use common::{every_record, labor, named_world, rate, target, world};
use reckon::compare::Observation;
use reckon::field_rules::{FieldRule, FieldRules};
use reckon::records::{RateKind, Record};
use store::kit::{Fresh, on_both};
use store::{Right, Role, StoreError, Target, Verb};

#[tokio::test]
async fn windows_and_limits_are_set_once_and_told_in_the_changes() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let rules = async || fresh.store.desk(&world.owner).field_rules().await.unwrap();
        assert_eq!(rules().await, FieldRules::default());
        let mut own = FieldRules::default();
        own.set(FieldRule::LookCloses, Some(21));
        own.set(FieldRule::PollinizerReach, Some(4));
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.keep_field_rules(&FieldRules::default(), &own).await.unwrap();
        book.save().await.unwrap();
        assert_eq!(rules().await, own);
        // A form made before that is told so, and nothing of it lasts.
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        let late = book.keep_field_rules(&FieldRules::default(), &FieldRules::default()).await;
        assert!(matches!(late, Err(StoreError::Changed)), "{late:?}");
        drop(book);
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.keep_field_rules(&own, &own).await.unwrap();
        let mut fewer = own.clone();
        fewer.set(FieldRule::PollinizerReach, None);
        book.keep_field_rules(&own, &fewer).await.unwrap();
        book.save().await.unwrap();
        assert_eq!(rules().await, fewer);
        let changes = fresh.store.desk(&world.owner).changes(50).await.unwrap();
        let mine: Vec<_> = changes.iter().filter(|change| change.kind == "windows and limits").collect();
        assert_eq!(mine.len(), 2, "the same again is no change");
        assert!(mine.iter().all(|change| change.verb == Verb::Corrected));
        let texts = |change: &store::Change| (change.before.clone().unwrap(), change.after.clone().unwrap());
        assert!(
            mine.iter().map(|change| texts(change)).any(|(before, after)| {
                before == "{}" && after == r#"{"pollinizer_reach":4,"second_look_closes":21}"#
            })
        );
    })
    .await;
}

#[tokio::test]
async fn only_who_sets_up_the_whole_operation_sets_windows_and_limits() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let mut own = FieldRules::default();
        own.set(FieldRule::WeekHours, Some(48));
        let bookkeeper = fresh.person(&world.owner, Role::Bookkeeper, None).await.unwrap();
        let limited = fresh.person(&world.owner, Role::Manager, Some(&[world.rim])).await.unwrap();
        for scope in [&bookkeeper, &limited] {
            let mut book = fresh.store.book(scope, Right::Read).await.unwrap();
            let refused = book.keep_field_rules(&FieldRules::default(), &own).await;
            assert!(matches!(refused, Err(StoreError::Forbidden)), "{refused:?}");
        }
        // Another operation keeps its own.
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.keep_field_rules(&FieldRules::default(), &own).await.unwrap();
        book.save().await.unwrap();
        let other = named_world(&fresh, "Cinder Bench").await;
        assert_eq!(fresh.store.desk(&other.owner).field_rules().await.unwrap(), FieldRules::default());
        assert_eq!(fresh.store.desk(&limited).field_rules().await.unwrap(), own, "what holds is for everybody to read");
    })
    .await;
}

async fn keep(fresh: &Fresh, world: &common::World, records: &[(Target, Record)]) {
    let mut book = fresh.store.book(&world.owner, Right::KeepField).await.unwrap();
    for (target, record) in records {
        book.add(target, record).await.unwrap();
    }
    book.save().await.unwrap();
}

#[tokio::test]
async fn a_week_of_a_crew_is_whole_over_blocks_and_over_the_turn_of_the_year() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let day = |date: &str| Record::Labor(labor(date, 40, 16_000_000));
        // 31 December 2025 is a Wednesday; its week runs to Sunday, 4 January 2026.
        keep(
            &fresh,
            &world,
            &[
                (Target::Block(world.rim_1), day("2025-12-31")),
                (Target::Block(world.flat_1), day("2026-01-02")),
                (Target::Block(world.rim_1), day("2025-12-28")),
                (Target::Block(world.rim_1), day("2026-05-14")),
                (Target::Operation, rate("2026-01-01", RateKind::Wage(None), 16_000_000)),
            ],
        )
        .await;
        let seen = async |scope| {
            let found = fresh.store.desk(scope).crew_labor(2026).await.unwrap();
            let days = found.entries.iter().map(|entry| format!("{} {}", entry.entry.record.date, entry.code));
            (days.collect::<Vec<_>>(), found.rates.len())
        };
        assert_eq!(
            seen(&world.owner).await,
            (vec!["2025-12-31 R-1".to_owned(), "2026-01-02 F-1".to_owned(), "2026-05-14 R-1".to_owned()], 1)
        );
        let limited = fresh.person(&world.owner, Role::Manager, Some(&[world.rim])).await.unwrap();
        assert_eq!(seen(&limited).await.0, ["2025-12-31 R-1", "2026-05-14 R-1"]);
        // From Sunday on the week across the turn of the year begins on 28 December.
        let mut own = FieldRules::default();
        own.set(FieldRule::WeekBegins, Some(7));
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.keep_field_rules(&FieldRules::default(), &own).await.unwrap();
        book.save().await.unwrap();
        assert_eq!(seen(&limited).await.0, ["2025-12-28 R-1", "2025-12-31 R-1", "2026-05-14 R-1"]);
        let other = named_world(&fresh, "Cinder Bench").await;
        assert!(seen(&other.owner).await.0.is_empty());
        let none = fresh.store.desk(&world.owner).crew_labor(1999).await;
        assert!(matches!(none, Err(StoreError::NotFound)));
    })
    .await;
}

/// What was kept beside the summaries is what reckoning the whole season gives, and where nothing was
/// kept it is reckoned.
#[tokio::test]
async fn kept_observations_are_those_of_a_season_reckoned_now() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        for date in ["2026-05-14", "2025-05-14"] {
            let all: Vec<_> = every_record(date).into_iter().map(|record| (target(&world, &record), record)).collect();
            keep(&fresh, &world, &all).await;
        }
        keep(&fresh, &world, &[(Target::Block(world.flat_1), Record::Labor(labor("2026-05-15", 9, 20_000_000)))]).await;
        let desk = fresh.store.desk(&world.owner);
        let mut expected = Vec::new();
        for year in [2025, 2026] {
            for (block, records) in desk.whole_season(year).await.unwrap() {
                expected.push((year, block, Observation::of(&reckon::reckon(&records))));
            }
        }
        let found = async |year| {
            let seen = fresh.store.desk(&world.owner).observed(year).await.unwrap();
            seen.into_iter().map(|seen| (seen.year, seen.block, seen.observations)).collect::<Vec<_>>()
        };
        assert!(expected.iter().filter(|(_, _, seen)| !seen.is_empty()).count() >= 3, "{expected:?}");
        assert_eq!(found(None).await, expected);
        let one: Vec<_> = expected.iter().filter(|(year, _, _)| *year == 2026).cloned().collect();
        assert_eq!(found(Some(2026)).await, one);
        fresh.execute("UPDATE block_season SET observed = NULL WHERE year = 2025").await.unwrap();
        assert_eq!(found(None).await, expected, "what was never kept is reckoned");
        fresh.execute("UPDATE block_season SET observed = '[]' WHERE year = 2025").await.unwrap();
        assert_eq!(found(None).await, expected, "what was kept in an earlier form is reckoned again");
        let limited = fresh.person(&world.owner, Role::Manager, Some(&[world.rim])).await.unwrap();
        let theirs = fresh.store.desk(&limited).observed(None).await.unwrap();
        assert!(!theirs.is_empty() && theirs.iter().all(|seen| seen.block != world.flat_1));
        let other = named_world(&fresh, "Cinder Bench").await;
        let others = fresh.store.desk(&other.owner).observed(None).await.unwrap();
        assert!(others.iter().all(|seen| seen.observations.is_empty()));
        fresh.execute("UPDATE block_season SET observed = 'torn' WHERE year = 2026").await.unwrap();
        let torn = fresh.store.desk(&world.owner).observed(None).await;
        assert!(matches!(torn, Err(StoreError::Corrupt { .. })), "{torn:?}");
    })
    .await;
}

#[tokio::test]
async fn comparing_more_seasons_takes_no_more_queries() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let count = async || {
            let before = fresh.statements();
            fresh.store.desk(&world.owner).observed(None).await.unwrap();
            fresh.statements() - before
        };
        let one = count().await;
        for date in ["2026-05-14", "2025-05-14", "2026-06-02"] {
            let all: Vec<_> = every_record(date).into_iter().map(|record| (target(&world, &record), record)).collect();
            keep(&fresh, &world, &all).await;
        }
        assert_eq!(count().await, one);
        assert!(one <= 5, "{one} queries");
    })
    .await;
}
