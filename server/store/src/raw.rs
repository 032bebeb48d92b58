//! Statements the query builder cannot say. Each has its test on the database it is for.

use std::path::Path;

use sea_orm::{ConnectionTrait, DatabaseConnection, DbBackend, DbErr, Statement};

use crate::error::StoreError;

/// SQLite's own live backup: one consistent file, written while others read and write.
pub(crate) async fn vacuum_into(db: &DatabaseConnection, path: &Path) -> Result<(), StoreError> {
    let Some(path) = path.to_str() else {
        return Err(DbErr::Custom("the backup's path is not valid Unicode".to_owned()).into());
    };
    let statement = Statement::from_sql_and_values(DbBackend::Sqlite, "VACUUM INTO ?", [path.into()]);
    db.execute_raw(statement).await?;
    Ok(())
}
