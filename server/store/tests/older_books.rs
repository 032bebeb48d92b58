//! A book from before names were compared without capitals.
#![cfg(test)]

mod common;

use common::{block, world};
use store::kit::on_both;
use store::{Constraint, Right, StoreError};

/// Two blocks that differ in capitals alone may stand in it: both stay, each under its own code, and
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
