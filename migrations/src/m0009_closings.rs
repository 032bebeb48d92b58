//! Closings of a season and what each block's report said at them; passwords that hold for one sign-in.

use sea_orm_migration::async_trait::async_trait;
use sea_orm_migration::prelude::{DeriveMigrationName, MigrationTrait, SchemaManager};
use sea_orm_migration::sea_orm::DbErr;

use crate::sheet::{Sheet, flag};

#[derive(DeriveMigrationName)]
pub(crate) struct Migration;

#[async_trait]
impl MigrationTrait for Migration {
    fn use_transaction(&self) -> Option<bool> {
        Some(true)
    }

    async fn up(&self, manager: &SchemaManager) -> Result<(), DbErr> {
        flag(manager, "user_account", "one_time").await?;
        Sheet::new(manager, "season_closing")
            .ids(&["operation_id"])
            .wholes(&["year", "number"])
            .moment("closed_at")
            .ids(&["closed_by"])
            .key(&["operation_id", "year", "number"])
            .refers(&["operation_id", "year"], "season", &["operation_id", "year"])
            .refers(&["closed_by"], "user_account", &["id"])
            .create(manager)
            .await?;
        Sheet::new(manager, "season_reopening")
            .ids(&["operation_id"])
            .wholes(&["year", "number"])
            .moment("reopened_at")
            .ids(&["reopened_by"])
            .texts(&["reason"])
            .key(&["operation_id", "year", "number"])
            .refers(&["operation_id", "year", "number"], "season_closing", &["operation_id", "year", "number"])
            .refers(&["reopened_by"], "user_account", &["id"])
            .create(manager)
            .await?;
        Sheet::new(manager, "report_revision")
            .ids(&["operation_id"])
            .wholes(&["year"])
            .ids(&["block_id"])
            .wholes(&["closing", "revision"])
            .bytes("fingerprint")
            .wholes_or_none(&["over_all_cents"])
            .key(&["operation_id", "year", "block_id", "closing"])
            .refers(&["operation_id", "block_id"], "block", &["operation_id", "id"])
            .refers(&["operation_id", "year", "closing"], "season_closing", &["operation_id", "year", "number"])
            .create(manager)
            .await
    }
}
