//! Where a failed sign-in came from: guesses at many e-mails from one address wait, too.

use sea_orm_migration::async_trait::async_trait;
use sea_orm_migration::prelude::{DeriveMigrationName, MigrationTrait, SchemaManager};
use sea_orm_migration::sea_orm::DbErr;

use crate::sheet::{index, text_or_none};

#[derive(DeriveMigrationName)]
pub(crate) struct Migration;

#[async_trait]
impl MigrationTrait for Migration {
    fn use_transaction(&self) -> Option<bool> {
        Some(true)
    }

    async fn up(&self, manager: &SchemaManager) -> Result<(), DbErr> {
        text_or_none(manager, "failed_sign_in", "address").await?;
        index(manager, "failed_sign_in", "address", &["address", "at"]).await
    }
}
