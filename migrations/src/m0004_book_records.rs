//! What comes from the packing line, the buyer and the office: one table a record kind.

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
        packout(manager).await?;
        settlements(manager).await?;
        costs(manager).await?;
        prices_and_rates(manager).await
    }
}

async fn packout(manager: &SchemaManager<'_>) -> Result<(), DbErr> {
    Sheet::new(manager, "packout")
        .block_record()
        .word("outcome", &["packed", "culled"])
        .texts_or_none(&["size_class", "grade"])
        .wholes_or_none(&["boxes_micros"])
        .texts_or_none(&["cull_cause"])
        .wholes_or_none(&["weight_lb_micros"])
        .create(manager)
        .await
}

async fn settlements(manager: &SchemaManager<'_>) -> Result<(), DbErr> {
    Sheet::new(manager, "settlement")
        .block_record()
        .texts(&["buyer"])
        .texts_or_none(&["size_class", "grade"])
        .word("sold", &["boxes", "weight", "adjustment"])
        .wholes_or_none(&["boxes_micros", "box_price_micros", "weight_lb_micros", "pound_price_micros"])
        .wholes_or_none(&["adjustment_cents"])
        .wholes(&["packing_micros", "cooling_micros", "freight_micros", "commission_pct_micros", "lump_cents"])
        .create(manager)
        .await
}

/// A cost is a block's, a farm's, or the whole operation's (neither).
async fn costs(manager: &SchemaManager<'_>) -> Result<(), DbErr> {
    Sheet::new(manager, "cost")
        .ids(&["operation_id", "id"])
        .ids_or_none(&["block_id", "farm_id"])
        .record()
        .texts(&["payee", "category"])
        .word("cost_group", &["cultural", "harvest", "assessment", "interest", "cash overhead", "non-cash overhead"])
        .wholes(&["amount_cents"])
        .word("basis", &["acres", "trees", "boxes", "weight", "hours", "fixed shares"])
        .texts(&["shares"])
        .wholes_or_none(&["life_years", "salvage_cents", "interest_pct_micros"])
        .check("place", Expr::col("block_id").is_null().or(Expr::col("farm_id").is_null()))
        .refers(&["operation_id", "block_id"], "block", &["operation_id", "id"])
        .refers(&["operation_id", "farm_id"], "farm", &["operation_id", "id"])
        .index("block", &["operation_id", "block_id", "day", "id"])
        .create(manager)
        .await
}

/// Lists that hold from a day for the whole operation.
async fn prices_and_rates(manager: &SchemaManager<'_>) -> Result<(), DbErr> {
    Sheet::new(manager, "price")
        .ids(&["operation_id", "id"])
        .record()
        .texts_or_none(&["crop", "size_class", "grade"])
        .wholes(&["net_price_micros"])
        .create(manager)
        .await?;
    Sheet::new(manager, "rate")
        .ids(&["operation_id", "id"])
        .record()
        .word("rate_kind", &["wage", "payroll", "commission", "water", "interest"])
        .word_or_none(
            "task",
            &["prune", "thin", "prop", "irrigate", "mulch", "spray", "weeds", "fertilize", "pick", "haul", "other"],
        )
        .wholes(&["rate_micros"])
        .create(manager)
        .await
}
