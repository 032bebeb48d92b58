//! Farms, blocks and their settings, seasons, and which farms a person is limited to.

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
        farms(manager).await?;
        blocks(manager).await?;
        Sheet::new(manager, "season")
            .ids(&["operation_id"])
            .wholes(&["year"])
            .days(&["first_day", "last_day"])
            .word("state", &["open", "closed"])
            .wholes(&["revision"])
            .key(&["operation_id", "year"])
            .refers(&["operation_id"], "operation", &["id"])
            .check("days", Expr::col("first_day").lte(Expr::col("last_day")))
            .create(manager)
            .await
    }
}

async fn farms(manager: &SchemaManager<'_>) -> Result<(), DbErr> {
    Sheet::new(manager, "farm")
        .ids(&["operation_id", "id"])
        .wholes(&["version"])
        .texts(&["name", "place", "station"])
        .doubles_or_none(&["latitude_deg", "elevation_m"])
        .texts(&["time_zone"])
        .key(&["operation_id", "id"])
        .refers(&["operation_id"], "operation", &["id"])
        .unique("name", &["operation_id", "name"])
        .create(manager)
        .await?;
    Sheet::new(manager, "membership_farm")
        .ids(&["operation_id", "user_id", "farm_id"])
        .key(&["operation_id", "user_id", "farm_id"])
        .refers(&["operation_id", "user_id"], "membership", &["operation_id", "user_id"])
        .refers(&["operation_id", "farm_id"], "farm", &["operation_id", "id"])
        .create(manager)
        .await
}

async fn blocks(manager: &SchemaManager<'_>) -> Result<(), DbErr> {
    Sheet::new(manager, "block")
        .ids(&["operation_id", "id", "farm_id"])
        .wholes(&["version"])
        .texts(&["code", "crop", "variety"])
        .wholes_or_none(&["planted_year"])
        .wholes(&["acres_micros"])
        .wholes_or_none(&["trees"])
        .doubles_or_none(&["row_spacing_ft", "tree_spacing_ft"])
        .word("emitter", &["drip", "double-line drip", "micro-sprinkler", "sprinkler", "furrow", "flood"])
        .doubles_or_none(&["emitters_per_tree", "emitter_flow_gph"])
        // Month x 100 + day, both or neither.
        .wholes_or_none(&["ripening_from", "ripening_to"])
        .texts(&["pollinizer"])
        .word_or_none(
            "soil",
            &["sand", "loamy sand", "sandy loam", "loam", "silt loam", "silt", "silty clay loam", "silty clay", "clay"],
        )
        .key(&["operation_id", "id"])
        .refers(&["operation_id", "farm_id"], "farm", &["operation_id", "id"])
        .unique("code", &["operation_id", "code"])
        .index("farm", &["operation_id", "farm_id"])
        .create(manager)
        .await?;
    Sheet::new(manager, "block_setting")
        .ids(&["operation_id", "block_id"])
        .texts(&["name"])
        .doubles(&["value"])
        .key(&["operation_id", "block_id", "name"])
        .refers(&["operation_id", "block_id"], "block", &["operation_id", "id"])
        .create(manager)
        .await
}
