//! What a mulch cost may be unsaid, which is not the same as free.
//!
//! Before this change a blank was kept as zero, so a zero of then says nothing.

use sea_orm_migration::async_trait::async_trait;
use sea_orm_migration::prelude::{
    ColumnDef, DeriveMigrationName, Expr, ExprTrait, Index, MigrationTrait, Query, SchemaManager, Table,
};
use sea_orm_migration::sea_orm::{ConnectionTrait, DbBackend, DbErr};

use crate::m0003_field_records::one_of;
use crate::sheet::Sheet;

#[derive(DeriveMigrationName)]
pub(crate) struct Migration;

/// Where the table waits while its new form is made.
const BEFORE: &str = "mulch_before";
const COSTS: [&str; 3] = ["material_cents", "delivery_cents", "spreading_cents"];
const OTHERS: [&str; 19] = [
    "operation_id",
    "id",
    "block_id",
    "day",
    "author_id",
    "note",
    "version",
    "kept_at",
    "file_name",
    "file_line",
    "row_print",
    "material",
    "mulch_kind",
    "depth_in",
    "strip_width_ft",
    "ring_radius_ft",
    "share_pct",
    "clear_radius_in",
    "life_years_micros",
];

#[async_trait]
impl MigrationTrait for Migration {
    fn use_transaction(&self) -> Option<bool> {
        Some(true)
    }

    async fn up(&self, manager: &SchemaManager) -> Result<(), DbErr> {
        if manager.get_database_backend() == DbBackend::Sqlite {
            anew(manager).await?;
        } else {
            for column in COSTS {
                let mut definition = ColumnDef::new(column).null().take();
                manager.alter_table(Table::alter().table("mulch").modify_column(&mut definition).take()).await?;
            }
        }
        for column in COSTS {
            let unsaid = Query::update()
                .table("mulch")
                .value(column, Option::<i64>::None)
                .and_where(Expr::col(column).eq(0))
                .take();
            manager.get_connection().execute(&unsaid).await?;
        }
        Ok(())
    }
}

/// SQLite cannot let a column be empty that could not be: the table is made anew and filled.
async fn anew(manager: &SchemaManager<'_>) -> Result<(), DbErr> {
    manager.rename_table(Table::rename().table("mulch", BEFORE).take()).await?;
    // Names of indices are the database's, not the table's.
    for name in ["uq_mulch_row_print", "ix_mulch_day", "ix_mulch_block"] {
        manager.drop_index(Index::drop().name(name).table(BEFORE).to_owned()).await?;
    }
    Sheet::new(manager, "mulch")
        .block_record()
        .texts(&["material"])
        .word("mulch_kind", &["organic", "plastic"])
        .doubles(&["depth_in"])
        .doubles_or_none(&["strip_width_ft", "ring_radius_ft", "share_pct"])
        .check("shape", one_of(["strip_width_ft", "ring_radius_ft", "share_pct"]))
        .doubles(&["clear_radius_in"])
        .wholes(&["life_years_micros"])
        .wholes_or_none(&COSTS)
        .create(manager)
        .await?;
    let columns = || OTHERS.into_iter().chain(COSTS);
    let rows = Query::select().columns(columns()).from(BEFORE).take();
    let mut fill = Query::insert().into_table("mulch").columns(columns()).take();
    fill.select_from(rows).map_err(|wrong| DbErr::Migration(wrong.to_string()))?;
    manager.get_connection().execute(&fill).await?;
    manager.drop_table(Table::drop().table(BEFORE).take()).await
}
