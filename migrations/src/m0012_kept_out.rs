//! Rows of files that a person removed from the book, or left out as doubles: a longer version of the
//! file does not bring them back by itself.

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
        Sheet::new(manager, "kept_out")
            .ids(&["operation_id"])
            .texts(&["kind"])
            .bytes("row_print")
            .word("why", &["removed", "double"])
            .ids(&["user_id"])
            .moment("at")
            .key(&["operation_id", "kind", "row_print"])
            .refers(&["operation_id"], "operation", &["id"])
            .refers(&["user_id"], "user_account", &["id"])
            .create(manager)
            .await
    }
}
