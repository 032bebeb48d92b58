//! What the report of a whole operation said at each closing of its season, as is kept for its blocks.

use sea_orm_migration::async_trait::async_trait;
use sea_orm_migration::prelude::{DeriveMigrationName, MigrationTrait, SchemaManager};
use sea_orm_migration::sea_orm::DbErr;

use crate::sheet::{added_bytes_or_none, whole_or_none};

#[derive(DeriveMigrationName)]
pub(crate) struct Migration;

#[async_trait]
impl MigrationTrait for Migration {
    fn use_transaction(&self) -> Option<bool> {
        Some(true)
    }

    /// Closings from before this change keep none: nobody knows what the report said then.
    async fn up(&self, manager: &SchemaManager) -> Result<(), DbErr> {
        whole_or_none(manager, "season_closing", "revision").await?;
        added_bytes_or_none(manager, "season_closing", "fingerprint").await?;
        whole_or_none(manager, "season_closing", "over_all_cents").await
    }
}
