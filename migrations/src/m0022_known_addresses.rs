//! Where a person has signed in from: guesses of others at the same address do not keep them out.

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
        Sheet::new(manager, "known_address")
            .ids(&["user_id"])
            .texts(&["address"])
            .moment("at")
            .key(&["user_id", "address"])
            .refers(&["user_id"], "user_account", &["id"])
            .index("at", &["at"])
            .create(manager)
            .await
    }
}
