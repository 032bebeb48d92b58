//! The seasons a block belongs to: the first and the last as said, and the one it joined the book in.

use sea_orm_migration::async_trait::async_trait;
use sea_orm_migration::prelude::{DeriveMigrationName, MigrationTrait, SchemaManager};
use sea_orm_migration::sea_orm::DbErr;

use crate::sheet::whole_or_none;

#[derive(DeriveMigrationName)]
pub(crate) struct Migration;

#[async_trait]
impl MigrationTrait for Migration {
    fn use_transaction(&self) -> Option<bool> {
        Some(true)
    }

    async fn up(&self, manager: &SchemaManager) -> Result<(), DbErr> {
        for column in ["first_season", "last_season", "joined_season"] {
            whole_or_none(manager, "block", column).await?;
        }
        Ok(())
    }
}
