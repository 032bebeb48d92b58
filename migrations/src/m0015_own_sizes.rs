//! An operation's own sizes, small to large, and the published size each stands for.

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
        Sheet::new(manager, "own_size")
            .ids(&["operation_id", "id"])
            .record()
            .texts(&["size_class"])
            .texts_or_none(&["crop", "means"])
            .wholes(&["place_in_list"])
            .create(manager)
            .await
    }
}
