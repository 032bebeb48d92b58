//! The schema: no money in floats or decimals, words and numbers checked by the database itself.
#![cfg(test)]

mod common;

use common::{labor, observation, world};
use reckon::records::{Record, Task};
use store::kit::{Fresh, on_both};
use store::{Right, StoreError, Target};

/// Table, column and type, one text each.
async fn columns(fresh: &Fresh) -> Vec<(String, String)> {
    let sql = if fresh.is_postgres() {
        "SELECT table_name || '.' || column_name || ' ' || data_type FROM information_schema.columns \
         WHERE table_schema = 'public' AND table_name <> 'seaql_migrations' ORDER BY 1"
    } else {
        "SELECT m.name || '.' || c.name || ' ' || lower(c.type) FROM sqlite_master m JOIN pragma_table_info(m.name) c \
         WHERE m.type = 'table' AND m.name <> 'seaql_migrations' AND m.name NOT LIKE 'sqlite%' ORDER BY 1"
    };
    let rows = fresh.column::<String>(sql).await.unwrap();
    rows.iter().map(|row| row.split_once(' ').unwrap()).map(|(a, b)| (a.to_owned(), b.to_owned())).collect()
}

#[tokio::test]
async fn money_is_whole_numbers() {
    on_both(|fresh| async move {
        let columns = columns(&fresh).await;
        assert!(columns.len() > 200, "{}", columns.len());
        let floating = ["real", "double", "float"];
        let money = ["_cents", "_micros", "_usd"];
        let about_money = ["amount", "price", "wage", "cost_", "fee", "charge"];
        let mut floats = 0;
        for (column, kind) in &columns {
            let name = column.split_once('.').unwrap().1;
            assert!(!kind.contains("numeric") && !kind.contains("decimal"), "{column} is {kind}");
            assert!(!kind.contains("json"), "{column} is {kind}: the databases differ on it");
            if floating.iter().any(|word| kind.contains(word)) {
                floats += 1;
                assert!(!money.iter().any(|end| name.ends_with(end)), "{column} is {kind}");
                assert!(!about_money.iter().any(|word| name.contains(word)), "{column} is {kind}");
            }
            if money.iter().any(|end| name.ends_with(end)) {
                // 64 bits: SQLite's `integer` is.
                let whole = if fresh.is_postgres() { "bigint" } else { "integer" };
                assert_eq!(kind, whole, "{column}");
            }
        }
        assert!(floats > 30, "{floats}: is the test looking at the types?");
    })
    .await;
}

#[tokio::test]
async fn both_databases_have_the_same_columns() {
    let sqlite = Fresh::sqlite().await.unwrap();
    let names = |columns: Vec<(String, String)>| columns.into_iter().map(|(name, _)| name).collect::<Vec<_>>();
    let mut expected = names(columns(&sqlite).await);
    expected.sort();
    on_both(|fresh| {
        let expected = expected.clone();
        async move {
            let mut found = names(columns(&fresh).await);
            found.sort();
            assert_eq!(found, expected);
        }
    })
    .await;
}

/// Everything an operation owns is found by the operation first.
#[tokio::test]
async fn keys_begin_with_the_operation() {
    let fresh = Fresh::sqlite().await.unwrap();
    let sql = "SELECT m.name || ' ' || c.name FROM sqlite_master m JOIN pragma_table_info(m.name) c ON c.pk = 1 \
               WHERE m.type = 'table' AND m.name <> 'seaql_migrations'";
    let before_an_operation = ["operation", "user_account", "session", "failed_sign_in", "known_address"];
    let mut tables = 0;
    for row in fresh.column::<String>(sql).await.unwrap() {
        let (table, first) = row.split_once(' ').unwrap();
        tables += 1;
        assert!(first == "operation_id" || before_an_operation.contains(&table), "{table} is keyed by {first}");
    }
    assert!(tables > 20);
    let sql = "SELECT l.name || ' ' || i.name FROM sqlite_master m JOIN pragma_index_list(m.name) l \
               JOIN pragma_index_info(l.name) i ON i.seqno = 0 WHERE m.type = 'table' AND m.name <> 'seaql_migrations'";
    for row in fresh.column::<String>(sql).await.unwrap() {
        let (index, first) = row.split_once(' ').unwrap();
        // Sessions and programs' keys tell the operation, and not the other way round.
        let tells_it = ["ix_membership_user", "uq_program_key_token"].contains(&index);
        let of_people = tells_it || before_an_operation.iter().any(|table| index.contains(table));
        assert!(first == "operation_id" || of_people, "{index} begins with {first}");
    }
}

#[tokio::test]
async fn migrating_again_changes_nothing() {
    on_both(|fresh| async move {
        let before = columns(&fresh).await;
        let steps = fresh.column::<String>("SELECT version FROM seaql_migrations").await.unwrap();
        fresh.store.migrate().await.unwrap();
        assert_eq!(columns(&fresh).await, before);
        assert_eq!(fresh.column::<String>("SELECT version FROM seaql_migrations").await.unwrap(), steps);
        assert_eq!(steps.len(), <migrations::Migrator as migrations::MigratorTrait>::migrations().len());
    })
    .await;
}

#[tokio::test]
async fn the_database_refuses_what_makes_no_sense() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let mut book = fresh.store.book(&world.owner, Right::KeepField).await.unwrap();
        let target = Target::Block(world.rim_1);
        book.add(&target, &Record::Labor(labor("2026-05-01", 8, 16_000_000))).await.unwrap();
        book.add(&target, &observation("2026-05-01", "hail")).await.unwrap();
        book.save().await.unwrap();
        for sql in [
            "UPDATE labor SET task = 'whittle'",
            "UPDATE labor SET pay = 'week'",
            "UPDATE membership SET role = 'king'",
            "UPDATE season SET first_day = '2026-12-31', last_day = '2026-01-01' WHERE year = 2026",
            "UPDATE labor SET wage_micros = 'much'",
            "UPDATE observation SET share_pct = 'half'",
            "DELETE FROM block",
            "DELETE FROM user_account",
        ] {
            assert!(fresh.execute(sql).await.is_err(), "{sql}");
        }
        let refused = fresh.execute("DELETE FROM block").await;
        assert!(matches!(refused, Err(StoreError::InUse)), "{refused:?}");
    })
    .await;
}

/// The words of the code and the words the database takes are the same lists.
#[tokio::test]
async fn every_word_is_taken() {
    use reckon::block::Emitter;
    use reckon::records::{Applied, CostGroup, IrrigationSet, MeterUnit, RateKind, SharedBasis, ThinningMethod};
    use reckon::water::setup::Soil;
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let target = Target::Block(world.rim_1);
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        for task in Task::ALL {
            for method in ThinningMethod::ALL {
                let entry = labor("2026-05-01", 8, 16_000_000);
                let record = Record::Labor(reckon::records::LaborEntry { task, method: Some(method), ..entry });
                book.add(&target, &record).await.unwrap();
            }
            let record = common::rate("2026-05-01", RateKind::Wage(Some(task)), 1);
            book.add(&Target::Operation, &record).await.unwrap();
        }
        for unit in MeterUnit::ALL {
            let applied = Applied::Meter { start: 0.0, end: 1.0, unit, rolls_at: None, replaced: None };
            let set = IrrigationSet { date: common::day("2026-05-01"), applied, note: String::new() };
            book.add(&target, &Record::Irrigation(set)).await.unwrap();
        }
        for group in CostGroup::ALL {
            let Record::Cost(cost) = common::cost("2026-05-01", 1, SharedBasis::Acres) else { panic!() };
            book.add(&target, &Record::Cost(reckon::records::Cost { group, ..cost })).await.unwrap();
        }
        for emitter in Emitter::ALL {
            for soil in Soil::ALL {
                let mut block = common::block(&format!("{} {}", emitter.word(), soil.word()), "1", None);
                block.emitter = emitter;
                block.water.soil = Some(soil);
                book.add_block(world.rim, &block).await.unwrap();
            }
        }
        book.save().await.unwrap();
    })
    .await;
}

/// Every connection of the SQLite pools keeps the book's settings.
#[tokio::test]
async fn sqlite_is_set_as_a_book_needs_it() {
    let fresh = Fresh::sqlite().await.unwrap();
    assert_eq!(fresh.column::<String>("PRAGMA journal_mode").await.unwrap(), ["wal"]);
    assert_eq!(fresh.column::<i64>("PRAGMA synchronous").await.unwrap(), [2]);
    assert_eq!(fresh.column::<i64>("PRAGMA foreign_keys").await.unwrap(), [1]);
    assert_eq!(fresh.column::<i64>("PRAGMA busy_timeout").await.unwrap(), [5000]);
}
