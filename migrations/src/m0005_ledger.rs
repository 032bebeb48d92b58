//! Kept summaries, files brought in, and what was changed by whom.

use sea_orm_migration::async_trait::async_trait;
use sea_orm_migration::prelude::{DeriveMigrationName, MigrationTrait, SchemaManager};
use sea_orm_migration::sea_orm::DbErr;

use crate::sheet::Sheet;

#[derive(DeriveMigrationName)]
pub(crate) struct Migration;

#[async_trait]
impl MigrationTrait for Migration {
    fn use_transaction(&self) -> Option<bool> {
        Some(true)
    }

    async fn up(&self, manager: &SchemaManager) -> Result<(), DbErr> {
        summaries(manager).await?;
        Sheet::new(manager, "brought_in_file")
            .ids(&["operation_id", "id"])
            .texts(&["kind", "name"])
            .bytes("sha256")
            .wholes(&["rows_read", "rows_added"])
            .moment("at")
            .ids(&["user_id"])
            .key(&["operation_id", "id"])
            .refers(&["operation_id"], "operation", &["id"])
            .refers(&["user_id"], "user_account", &["id"])
            .unique("file", &["operation_id", "kind", "sha256"])
            .index("at", &["operation_id", "at"])
            .create(manager)
            .await?;
        Sheet::new(manager, "change")
            .ids(&["operation_id", "id", "user_id"])
            .moment("at")
            .word("verb", &["added", "corrected", "removed", "brought in", "opened", "closed", "reopened"])
            .texts(&["kind"])
            .ids(&["record_id"])
            .ids_or_none(&["farm_id"])
            .texts(&["place"])
            .texts_or_none(&["before", "after"])
            .key(&["operation_id", "id"])
            .refers(&["operation_id"], "operation", &["id"])
            .refers(&["user_id"], "user_account", &["id"])
            .index("at", &["operation_id", "at", "id"])
            .index("record", &["operation_id", "record_id"])
            .create(manager)
            .await
    }
}

/// One row for each block season: locked while it is renewed, read by the season page.
async fn summaries(manager: &SchemaManager<'_>) -> Result<(), DbErr> {
    Sheet::new(manager, "block_season")
        .ids(&["operation_id"])
        .wholes(&["year"])
        .ids(&["block_id"])
        .wholes(&["version"])
        .flag("stale")
        .wholes(&["acres_micros", "trees"])
        .wholes_or_none(&["thinning_cost_cents"])
        .wholes(&["thinned_trees"])
        .doubles_or_none(&["applied_gal", "needed_gal", "kept_acre_in"])
        .wholes(&["mulched_acres_micros"])
        .wholes_or_none(&["net_cents"])
        .wholes(&["weight_lb_micros"])
        .wholes_or_none(&["over_operating_cents", "over_all_cents"])
        .wholes(&["stated_acres_micros", "unsettled_cents"])
        .texts(&["missing", "worth_a_look"])
        .key(&["operation_id", "year", "block_id"])
        .refers(&["operation_id", "block_id"], "block", &["operation_id", "id"])
        .refers(&["operation_id", "year"], "season", &["operation_id", "year"])
        .create(manager)
        .await
}
