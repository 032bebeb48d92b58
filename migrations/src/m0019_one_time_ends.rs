//! When a one-time password ends: a week after it was given, or with its first sign-in.

use sea_orm_migration::async_trait::async_trait;
use sea_orm_migration::prelude::{DeriveMigrationName, MigrationTrait, SchemaManager};
use sea_orm_migration::sea_orm::DbErr;

use crate::sheet::added_moment_or_none;

#[derive(DeriveMigrationName)]
pub(crate) struct Migration;

#[async_trait]
impl MigrationTrait for Migration {
    fn use_transaction(&self) -> Option<bool> {
        Some(true)
    }

    async fn up(&self, manager: &SchemaManager) -> Result<(), DbErr> {
        added_moment_or_none(manager, "user_account", "one_time_ends").await
    }
}
