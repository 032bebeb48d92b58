//! Books from before a change of the schema.
#![cfg(test)]

mod common;

use common::{block, every_record, target, world};
use reckon::figure::RecordKind;
use reckon::money::Money;
use reckon::records::Record;
use store::kit::on_both;
use store::{Constraint, Right, StoreError};

/// Two blocks that differ in capitals alone may stand in a book from before names were compared without them: both stay, each under its own code, and
/// the change of the schema does not stumble over them.
#[tokio::test]
async fn names_that_differed_in_capitals_alone_stay() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        for undo in [
            "DROP INDEX uq_block_code_folded",
            "DROP INDEX uq_farm_name_folded",
            "ALTER TABLE block DROP COLUMN code_folded",
            "ALTER TABLE farm DROP COLUMN name_folded",
            "DELETE FROM seaql_migrations WHERE version = 'm0010_folded_names'",
            "UPDATE block SET code = 'r-1' WHERE code = 'R-2'",
        ] {
            fresh.execute(undo).await.unwrap();
        }
        fresh.store.migrate().await.unwrap();
        let folded = fresh.column::<String>("SELECT code_folded FROM block ORDER BY code").await.unwrap();
        assert_eq!((folded[0].as_str(), folded[1].as_str()), ("f-1", "r-1"));
        assert!(folded[2].starts_with("r-1 "), "{folded:?}");
        let codes: Vec<String> =
            fresh.store.desk(&world.owner).blocks().await.unwrap().into_iter().map(|row| row.block.code).collect();
        assert_eq!(codes, ["F-1", "R-1", "r-1"]);
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        let taken = book.add_block(world.rim, &block("R-1", "1", None)).await;
        assert!(matches!(taken, Err(StoreError::Taken(Constraint::BlockCode))), "{taken:?}");
    })
    .await;
}

/// A blank cost of mulch was kept as zero: in a book of then a zero says nothing, and what was paid stays.
#[tokio::test]
async fn mulch_that_cost_nothing_was_mulch_without_a_cost() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let mut book = fresh.store.book(&world.owner, Right::KeepField).await.unwrap();
        let laid = every_record("2026-05-14").into_iter().filter(|record| record.kind() == RecordKind::Mulch);
        let mut ids = Vec::new();
        for record in laid {
            ids.push(book.add(&target(&world, &record), &record).await.unwrap());
        }
        book.save().await.unwrap();
        for step in before_costs_could_be_unsaid(fresh.is_postgres()) {
            fresh.execute(step).await.unwrap();
        }
        fresh.store.migrate().await.unwrap();
        let mut costs = Vec::new();
        for id in ids {
            let kept = fresh.store.desk(&world.owner).record(RecordKind::Mulch, id).await.unwrap();
            let Record::Mulch(laid) = kept.record else { panic!("{kept:?}") };
            costs
                .push([laid.material_cost, laid.delivery_cost, laid.spreading_cost].map(|cost| cost.map(Money::cents)));
        }
        assert_eq!(costs, [[Some(88_000), None, None], [None; 3], [Some(88_000), Some(12_050), None]]);
        let nonsense = fresh.execute("UPDATE mulch SET mulch_kind = 'gravel'").await;
        assert!(nonsense.is_err(), "the table lost its checks");
    })
    .await;
}

/// Three applications as they were kept then: one paid in part, one without a cost, one with all.
fn before_costs_could_be_unsaid(postgres: bool) -> Vec<&'static str> {
    let unsaid = "UPDATE mulch SET delivery_cents = 0 WHERE delivery_cents IS NULL";
    let nothing = "UPDATE mulch SET material_cents = 0, delivery_cents = 0 WHERE mulch_kind = 'plastic'";
    let undone = "DELETE FROM seaql_migrations WHERE version = 'm0021_mulch_costs'";
    let table: &[&str] = if postgres {
        &["ALTER TABLE mulch ALTER material_cents SET NOT NULL, ALTER delivery_cents SET NOT NULL"]
    } else {
        &[
            "ALTER TABLE mulch RENAME TO mulch_now",
            "CREATE TABLE mulch AS SELECT * FROM mulch_now",
            "DROP TABLE mulch_now",
            "CREATE INDEX uq_mulch_row_print ON mulch (row_print)",
            "CREATE INDEX ix_mulch_day ON mulch (day)",
            "CREATE INDEX ix_mulch_block ON mulch (block_id)",
        ]
    };
    [&[unsaid, nothing], table, &[undone]].concat()
}
