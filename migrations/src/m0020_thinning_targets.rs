//! How many fruit to leave, and how far apart, by crop and by the days on which ripening begins.

use sea_orm_migration::async_trait::async_trait;
use sea_orm_migration::prelude::{DeriveMigrationName, Expr, ExprTrait, MigrationTrait, SchemaManager};
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
        let [tree, acre, spacing] = ["fruit_per_tree", "fruit_per_acre", "spacing_in"].map(Expr::col);
        let something = tree.clone().is_not_null().or(acre.clone().is_not_null()).or(spacing.is_not_null());
        Sheet::new(manager, "thinning_target")
            .ids(&["operation_id", "id"])
            .record()
            .texts_or_none(&["crop"])
            .wholes_or_none(&["ripening_from", "ripening_to"])
            .doubles_or_none(&["fruit_per_tree", "fruit_per_acre", "spacing_in"])
            .check("something", something)
            .check("one_fruit", tree.is_null().or(acre.is_null()))
            .create(manager)
            .await
    }
}
