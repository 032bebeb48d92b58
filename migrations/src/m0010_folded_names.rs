//! Names of farms and codes of blocks as they are compared, beside how they are written: `kw-1` and
//! `KW-1` are one block, on either database.

use sea_orm_migration::async_trait::async_trait;
use sea_orm_migration::prelude::{
    ColumnDef, DeriveMigrationName, Expr, ExprTrait, MigrationTrait, Query, SchemaManager, Table,
};
use sea_orm_migration::sea_orm::{ConnectionTrait, DbErr};
use sea_orm_migration::sea_query::prelude::Uuid;

use crate::sheet::unique;

#[derive(DeriveMigrationName)]
pub(crate) struct Migration;

#[async_trait]
impl MigrationTrait for Migration {
    fn use_transaction(&self) -> Option<bool> {
        Some(true)
    }

    async fn up(&self, manager: &SchemaManager) -> Result<(), DbErr> {
        fold(manager, "farm", "name", "name_folded").await?;
        fold(manager, "block", "code", "code_folded").await
    }
}

async fn fold(
    manager: &SchemaManager<'_>,
    table: &'static str,
    column: &'static str,
    folded: &'static str,
) -> Result<(), DbErr> {
    let mut definition = ColumnDef::new(folded).text().not_null().default("").take();
    manager.alter_table(Table::alter().table(table).add_column(&mut definition).take()).await?;
    let db = manager.get_connection();
    let rows = Query::select()
        .columns(["operation_id", "id", column])
        .from(table)
        .order_by_columns([("id", sea_orm_migration::sea_query::Order::Asc)])
        .take();
    let mut taken = std::collections::BTreeSet::new();
    for row in db.query_all(&rows).await? {
        let (operation, id): (Uuid, Uuid) = (row.try_get("", "operation_id")?, row.try_get("", "id")?);
        let name = folded_name(&row.try_get::<String>("", column)?);
        // Two that differ in capitals alone may stand in a book already: the later one keeps its name
        // and is compared by its identifier, until somebody gives it a name of its own.
        let value = if taken.insert((operation, name.clone())) { name } else { format!("{name} {id}") };
        let update = Query::update()
            .table(table)
            .value(folded, value)
            .and_where(Expr::col("operation_id").eq(operation))
            .and_where(Expr::col("id").eq(id))
            .take();
        db.execute(&update).await?;
    }
    unique(manager, table, folded, &["operation_id", folded]).await
}

/// The rule as it was when this change was made.
fn folded_name(name: &str) -> String {
    let words: Vec<String> = name.split_whitespace().map(str::to_lowercase).collect();
    words.join(" ")
}
