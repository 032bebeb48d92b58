//! How a table of ours is written down: columns by meaning, constraints by name.
//!
//! SQLite takes text into a number column unnoticed, and one such row would break a whole listing:
//! there every number column carries a `typeof` check. PostgreSQL needs none.

use sea_orm_migration::prelude::{
    ColumnDef, Expr, ExprTrait, ForeignKey, Func, Index, IndexCreateStatement, SchemaManager, Table,
    TableCreateStatement,
};
use sea_orm_migration::sea_orm::{DbBackend, DbErr};

/// A table being described.
pub(crate) struct Sheet {
    name: &'static str,
    sqlite: bool,
    table: TableCreateStatement,
    indices: Vec<IndexCreateStatement>,
}

/// Adds a column of whole numbers that may be missing to a table that is there.
pub(crate) async fn whole_or_none(
    manager: &SchemaManager<'_>,
    table: &'static str,
    column: &'static str,
) -> Result<(), DbErr> {
    let mut definition = ColumnDef::new(column).big_integer().null().take();
    if manager.get_database_backend() == DbBackend::Sqlite {
        definition.check(is_stored_as(column, "integer"));
    }
    manager.alter_table(Table::alter().table(table).add_column(&mut definition).take()).await
}

/// Adds a column of physical quantities that may be missing to a table that is there.
pub(crate) async fn double_or_none(
    manager: &SchemaManager<'_>,
    table: &'static str,
    column: &'static str,
) -> Result<(), DbErr> {
    let mut definition = ColumnDef::new(column).double().null().take();
    if manager.get_database_backend() == DbBackend::Sqlite {
        definition.check(is_stored_as(column, "real"));
    }
    manager.alter_table(Table::alter().table(table).add_column(&mut definition).take()).await
}

/// Adds a column of texts that may be missing to a table that is there.
pub(crate) async fn text_or_none(
    manager: &SchemaManager<'_>,
    table: &'static str,
    column: &'static str,
) -> Result<(), DbErr> {
    let mut definition = ColumnDef::new(column).text().null().take();
    manager.alter_table(Table::alter().table(table).add_column(&mut definition).take()).await
}

/// Adds a column of moments that may be missing to a table that is there.
pub(crate) async fn added_moment_or_none(
    manager: &SchemaManager<'_>,
    table: &'static str,
    column: &'static str,
) -> Result<(), DbErr> {
    let mut definition = ColumnDef::new(column).timestamp_with_time_zone().null().take();
    manager.alter_table(Table::alter().table(table).add_column(&mut definition).take()).await
}

/// Adds a column of bytes that may be missing to a table that is there.
pub(crate) async fn added_bytes_or_none(
    manager: &SchemaManager<'_>,
    table: &'static str,
    column: &'static str,
) -> Result<(), DbErr> {
    let mut definition = ColumnDef::new(column).blob().null().take();
    manager.alter_table(Table::alter().table(table).add_column(&mut definition).take()).await
}

/// Adds a yes or no to a table that is there; the rows in it say no.
pub(crate) async fn flag(manager: &SchemaManager<'_>, table: &'static str, column: &'static str) -> Result<(), DbErr> {
    let mut definition = ColumnDef::new(column).boolean().not_null().default(false).take();
    manager.alter_table(Table::alter().table(table).add_column(&mut definition).take()).await
}

/// Adds a path to the rows of a table that is there.
pub(crate) async fn index(
    manager: &SchemaManager<'_>,
    table: &'static str,
    name: &str,
    columns: &[&'static str],
) -> Result<(), DbErr> {
    manager.create_index(index_on(table, "ix", name, columns)).await
}

/// Lets no two rows of a table that is there be alike in these columns.
pub(crate) async fn unique(
    manager: &SchemaManager<'_>,
    table: &'static str,
    name: &str,
    columns: &[&'static str],
) -> Result<(), DbErr> {
    manager.create_index(index_on(table, "uq", name, columns).unique().take()).await
}

fn index_on(table: &'static str, prefix: &str, name: &str, columns: &[&'static str]) -> IndexCreateStatement {
    let mut index = Index::create().name(format!("{prefix}_{table}_{name}")).table(table).take();
    for column in columns {
        index.col(*column);
    }
    index
}

/// What SQLite checks for itself nowhere: that a number is one.
fn is_stored_as(column: &'static str, class: &'static str) -> Expr {
    let stored = Func::cust("typeof").arg(Expr::col(column));
    Expr::expr(stored).is_in([class, "null"])
}

impl Sheet {
    /// A table without columns.
    pub(crate) fn new(manager: &SchemaManager<'_>, name: &'static str) -> Self {
        let sqlite = manager.get_database_backend() == DbBackend::Sqlite;
        Self { name, sqlite, table: Table::create().table(name).take(), indices: Vec::new() }
    }

    /// Identifiers.
    pub(crate) fn ids(self, columns: &[&'static str]) -> Self {
        columns.iter().fold(self, |sheet, column| sheet.column(ColumnDef::new(*column).uuid().not_null()))
    }

    /// Identifiers that may be missing.
    pub(crate) fn ids_or_none(self, columns: &[&'static str]) -> Self {
        columns.iter().fold(self, |sheet, column| sheet.column(ColumnDef::new(*column).uuid().null()))
    }

    /// Texts; an empty one stands for "not given" where the record says so.
    pub(crate) fn texts(self, columns: &[&'static str]) -> Self {
        columns.iter().fold(self, |sheet, column| sheet.column(ColumnDef::new(*column).text().not_null()))
    }

    /// Texts that may be missing.
    pub(crate) fn texts_or_none(self, columns: &[&'static str]) -> Self {
        columns.iter().fold(self, |sheet, column| sheet.column(ColumnDef::new(*column).text().null()))
    }

    /// A word from a fixed list.
    pub(crate) fn word(self, column: &'static str, words: &[&'static str]) -> Self {
        self.column(ColumnDef::new(column).text().not_null()).among(column, words)
    }

    /// A word from a fixed list, or none.
    pub(crate) fn word_or_none(self, column: &'static str, words: &[&'static str]) -> Self {
        self.column(ColumnDef::new(column).text().null()).among(column, words)
    }

    /// Whole numbers: cents, millionths, counts.
    pub(crate) fn wholes(self, columns: &[&'static str]) -> Self {
        columns.iter().fold(self, |sheet, column| {
            sheet.column(ColumnDef::new(*column).big_integer().not_null()).stored_as(column, "integer")
        })
    }

    /// Whole numbers that may be missing.
    pub(crate) fn wholes_or_none(self, columns: &[&'static str]) -> Self {
        columns.iter().fold(self, |sheet, column| {
            sheet.column(ColumnDef::new(*column).big_integer().null()).stored_as(column, "integer")
        })
    }

    /// Physical quantities.
    pub(crate) fn doubles(self, columns: &[&'static str]) -> Self {
        columns.iter().fold(self, |sheet, column| {
            sheet.column(ColumnDef::new(*column).double().not_null()).stored_as(column, "real")
        })
    }

    /// Physical quantities that may be missing.
    pub(crate) fn doubles_or_none(self, columns: &[&'static str]) -> Self {
        columns
            .iter()
            .fold(self, |sheet, column| sheet.column(ColumnDef::new(*column).double().null()).stored_as(column, "real"))
    }

    /// Yes or no.
    pub(crate) fn flag(self, column: &'static str) -> Self {
        self.column(ColumnDef::new(column).boolean().not_null())
    }

    /// Days.
    pub(crate) fn days(self, columns: &[&'static str]) -> Self {
        columns.iter().fold(self, |sheet, column| sheet.column(ColumnDef::new(*column).date().not_null()))
    }

    /// A moment, in UTC, whole seconds.
    pub(crate) fn moment(self, column: &'static str) -> Self {
        self.column(ColumnDef::new(column).timestamp_with_time_zone().not_null())
    }

    /// A moment that may be missing.
    pub(crate) fn moment_or_none(self, column: &'static str) -> Self {
        self.column(ColumnDef::new(column).timestamp_with_time_zone().null())
    }

    /// Bytes: hashes, prints.
    pub(crate) fn bytes(self, column: &'static str) -> Self {
        self.column(ColumnDef::new(column).blob().not_null())
    }

    /// Bytes that may be missing.
    pub(crate) fn bytes_or_none(self, column: &'static str) -> Self {
        self.column(ColumnDef::new(column).blob().null())
    }

    /// The primary key.
    pub(crate) fn key(mut self, columns: &[&'static str]) -> Self {
        let mut key = Index::create().name(format!("pk_{}", self.name)).take();
        for column in columns {
            key.col(*column);
        }
        self.table.primary_key(&mut key);
        self
    }

    /// A reference to another table's key.
    pub(crate) fn refers(mut self, columns: &[&'static str], to: &'static str, key: &[&'static str]) -> Self {
        let mut reference = ForeignKey::create();
        reference.name(format!("fk_{}_{to}", self.name)).from_tbl(self.name).to_tbl(to);
        for (column, referred) in columns.iter().zip(key) {
            reference.from_col(*column).to_col(*referred);
        }
        self.table.foreign_key(&mut reference);
        self
    }

    /// A condition every row keeps.
    pub(crate) fn check(mut self, name: &str, condition: Expr) -> Self {
        self.table.check((format!("ck_{}_{name}", self.name), condition));
        self
    }

    /// No two rows alike in these columns.
    pub(crate) fn unique(mut self, name: &str, columns: &[&'static str]) -> Self {
        self.indices.push(index_on(self.name, "uq", name, columns).unique().take());
        self
    }

    /// A path to the rows.
    pub(crate) fn index(mut self, name: &str, columns: &[&'static str]) -> Self {
        self.indices.push(index_on(self.name, "ix", name, columns));
        self
    }

    /// What every record has beside its place: day, author, note, version, where it came from.
    ///
    /// `row_print` tells a file's row again, so the same row is brought in once.
    pub(crate) fn record(self) -> Self {
        self.days(&["day"])
            .ids(&["author_id"])
            .texts(&["note"])
            .wholes(&["version"])
            .moment("kept_at")
            .texts_or_none(&["file_name"])
            .wholes_or_none(&["file_line"])
            .bytes_or_none("row_print")
            .key(&["operation_id", "id"])
            .refers(&["operation_id"], "operation", &["id"])
            .refers(&["author_id"], "user_account", &["id"])
            .unique("row_print", &["operation_id", "row_print"])
            .index("day", &["operation_id", "day", "id"])
    }

    /// A record whose place is a block.
    pub(crate) fn block_record(self) -> Self {
        self.ids(&["operation_id", "id", "block_id"])
            .record()
            .refers(&["operation_id", "block_id"], "block", &["operation_id", "id"])
            .index("block", &["operation_id", "block_id", "day", "id"])
    }

    /// Writes it to the database.
    pub(crate) async fn create(self, manager: &SchemaManager<'_>) -> Result<(), DbErr> {
        manager.create_table(self.table).await?;
        for index in self.indices {
            manager.create_index(index).await?;
        }
        Ok(())
    }

    fn column(mut self, column: &mut ColumnDef) -> Self {
        self.table.col(column);
        self
    }

    fn among(self, column: &'static str, words: &[&'static str]) -> Self {
        self.check(column, Expr::col(column).is_in(words.iter().copied()))
    }

    fn stored_as(self, column: &'static str, class: &'static str) -> Self {
        if !self.sqlite {
            return self;
        }
        self.check(&format!("{column}_type"), is_stored_as(column, class))
    }
}
