//! What a crew needs to know of a block: rows, pollinizers, fruit wanted; the operation's own windows
//! and limits of field work; and the observations of methods beside a kept summary.

use sea_orm_migration::async_trait::async_trait;
use sea_orm_migration::prelude::{DeriveMigrationName, MigrationTrait, SchemaManager};
use sea_orm_migration::sea_orm::DbErr;

use crate::sheet::{Sheet, double_or_none, text_or_none, whole_or_none};

#[derive(DeriveMigrationName)]
pub(crate) struct Migration;

#[async_trait]
impl MigrationTrait for Migration {
    fn use_transaction(&self) -> Option<bool> {
        Some(true)
    }

    async fn up(&self, manager: &SchemaManager) -> Result<(), DbErr> {
        text_or_none(manager, "block", "needs_pollinizer").await?;
        for column in ["tree_rows", "pollinizer_trees"] {
            whole_or_none(manager, "block", column).await?;
        }
        double_or_none(manager, "block", "target_fruit_per_tree").await?;
        whole_or_none(manager, "labor", "rows_done").await?;
        text_or_none(manager, "block_season", "observed").await?;
        Sheet::new(manager, "field_rule")
            .ids(&["operation_id"])
            .texts(&["name"])
            .wholes(&["value"])
            .key(&["operation_id", "name"])
            .refers(&["operation_id"], "operation", &["id"])
            .create(manager)
            .await
    }
}
