//! Farms and blocks as they stood when a season was closed: correcting them later leaves its figures alone.

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
        Sheet::new(manager, "closed_place")
            .ids(&["operation_id"])
            .wholes(&["year"])
            .word("kind", &["farm", "block"])
            .ids(&["place_id"])
            .texts(&["stood"])
            .key(&["operation_id", "year", "kind", "place_id"])
            .refers(&["operation_id", "year"], "season", &["operation_id", "year"])
            .create(manager)
            .await
    }
}
