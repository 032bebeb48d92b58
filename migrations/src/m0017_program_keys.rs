//! Keys under which other programs come in, each as the person who made it. Only a hash of the key is kept.

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
        Sheet::new(manager, "program_key")
            .ids(&["operation_id", "id", "user_id"])
            .texts(&["name"])
            .bytes("token_hash")
            .moment("made_at")
            .moment_or_none("used_at")
            .key(&["operation_id", "id"])
            .refers(&["operation_id", "user_id"], "membership", &["operation_id", "user_id"])
            .index("user", &["operation_id", "user_id"])
            // A program names no operation: its key is all it sends.
            .unique("token", &["token_hash"])
            .create(manager)
            .await
    }
}
