//! The store itself: connections, and the doors to them. It has no query methods of its own.

use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use migrations::{Migrator, MigratorTrait};
use sea_orm::sqlx::sqlite::{SqliteConnectOptions, SqliteJournalMode, SqliteSynchronous};
use sea_orm::{
    AccessMode, ConnectOptions, Database, DatabaseConnection, DatabaseTransaction, DbBackend, IsolationLevel,
    SqliteTransactionMode, TransactionOptions, TransactionTrait,
};

use crate::book::Book;
use crate::desk::Desk;
use crate::door::Door;
use crate::error::StoreError;
use crate::raw;
use crate::role::Right;
use crate::scope::Scope;
use crate::source::Source;

/// SQLite lets one connection write; a second one would only wait in line.
const SQLITE_WRITERS: u32 = 1;
/// Readers see the last committed state while one writes.
const SQLITE_READERS: u32 = 4;
const POSTGRES_CONNECTIONS: u32 = 16;
/// How long a request waits for its turn before it is told that the database is busy.
const PATIENCE: Duration = Duration::from_secs(30);
const SQLITE_LOCK_PATIENCE: Duration = Duration::from_secs(5);
/// Rows SQLite hands over at once; the default of 50 makes big loads slower.
const SQLITE_ROW_BUFFER: usize = 1000;

/// The book's database. Cheap to clone; all clones share the same connections.
#[derive(Clone)]
pub struct Store {
    pub(crate) inner: Arc<Inner>,
}

pub(crate) struct Inner {
    pub(crate) writer: DatabaseConnection,
    pub(crate) reader: DatabaseConnection,
    pub(crate) source: Arc<dyn Source>,
    #[cfg(any(test, feature = "kit"))]
    pub(crate) statements: Arc<std::sync::atomic::AtomicU64>,
}

impl std::fmt::Debug for Store {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Store").field("database", &self.backend()).finish_non_exhaustive()
    }
}

impl Store {
    /// Opens `sqlite://path?mode=rwc` or `postgres://…`. The schema is brought up by [`Store::migrate`].
    ///
    /// SQLite works in a file: one connection writes, four read, each with write-ahead logging, full
    /// synchronisation (a record acknowledged survives a power cut) and foreign keys.
    pub async fn open(url: &str, source: Arc<dyn Source>) -> Result<Self, StoreError> {
        let (writer, reader) = if url.starts_with("sqlite:") {
            (sqlite(url, SQLITE_WRITERS).await?, sqlite(url, SQLITE_READERS).await?)
        } else {
            let pool = Database::connect(options(url, POSTGRES_CONNECTIONS)).await?;
            (pool.clone(), pool)
        };
        Ok(Self::over(writer, reader, source))
    }

    #[cfg(not(any(test, feature = "kit")))]
    fn over(writer: DatabaseConnection, reader: DatabaseConnection, source: Arc<dyn Source>) -> Self {
        Self { inner: Arc::new(Inner { writer, reader, source }) }
    }

    /// Counts statements as well, so a test can hold the number of queries.
    #[cfg(any(test, feature = "kit"))]
    fn over(mut writer: DatabaseConnection, mut reader: DatabaseConnection, source: Arc<dyn Source>) -> Self {
        use std::sync::atomic::{AtomicU64, Ordering};
        let statements = Arc::new(AtomicU64::new(0));
        for connection in [&mut writer, &mut reader] {
            let count = Arc::clone(&statements);
            connection.set_metric_callback(move |_| {
                count.fetch_add(1, Ordering::Relaxed);
            });
        }
        Self { inner: Arc::new(Inner { writer, reader, source, statements }) }
    }

    /// Brings the schema up to date; nothing happens where it is.
    pub async fn migrate(&self) -> Result<(), StoreError> {
        Migrator::up(&self.inner.writer, None).await?;
        Ok(())
    }

    /// Reads, in a person's scope.
    pub fn desk<'s>(&'s self, scope: &'s Scope) -> Desk<'s> {
        Desk { store: self, scope }
    }

    /// Opens the one writing transaction of a request. Opening a second one before the first is
    /// saved or dropped waits in vain on SQLite, which has one writer.
    ///
    /// # Errors
    /// [`StoreError::Forbidden`] when the role lacks the right; [`StoreError::Busy`] when the
    /// database stays locked.
    pub async fn book<'s>(&'s self, scope: &'s Scope, need: Right) -> Result<Book<'s>, StoreError> {
        if !scope.may(need) {
            return Err(StoreError::Forbidden);
        }
        Ok(Book::new(self, scope, self.begin_writing().await?))
    }

    /// What happens before there is a scope.
    pub fn door(&self) -> Door<'_> {
        Door { store: self }
    }

    /// Whether both ways to the database answer.
    pub async fn healthy(&self) -> Result<(), StoreError> {
        self.inner.writer.ping().await?;
        self.inner.reader.ping().await?;
        Ok(())
    }

    /// Copies a live SQLite database into a new file, whole and consistent.
    ///
    /// # Errors
    /// [`StoreError::UsePgDump`] on PostgreSQL; [`StoreError::Db`] when the file exists already.
    pub async fn back_up_to(&self, path: &Path) -> Result<(), StoreError> {
        if self.backend() != DbBackend::Sqlite {
            return Err(StoreError::UsePgDump);
        }
        raw::vacuum_into(&self.inner.reader, path).await
    }

    /// Closes the connections, once their work is done.
    pub async fn close(self) -> Result<(), StoreError> {
        self.inner.writer.close_by_ref().await?;
        self.inner.reader.close_by_ref().await?;
        Ok(())
    }

    pub(crate) fn backend(&self) -> DbBackend {
        self.inner.writer.get_database_backend()
    }

    /// The only place a writing transaction begins: IMMEDIATE on SQLite, where a deferred one that
    /// reads before it writes fails as soon as another writes meanwhile.
    pub(crate) async fn begin_writing(&self) -> Result<DatabaseTransaction, StoreError> {
        let mode = Some(SqliteTransactionMode::Immediate);
        let options = TransactionOptions { sqlite_transaction_mode: mode, ..TransactionOptions::default() };
        Ok(self.inner.writer.begin_with_options(options).await?)
    }

    /// Several reads that must agree with each other see one state of the database.
    pub(crate) async fn begin_reading(&self) -> Result<DatabaseTransaction, StoreError> {
        let options = match self.backend() {
            // A deferred transaction reads from one snapshot of the log.
            DbBackend::Sqlite => TransactionOptions::default(),
            _ => TransactionOptions {
                isolation_level: Some(IsolationLevel::RepeatableRead),
                access_mode: Some(AccessMode::ReadOnly),
                ..TransactionOptions::default()
            },
        };
        Ok(self.inner.reader.begin_with_options(options).await?)
    }
}

fn options(url: &str, connections: u32) -> ConnectOptions {
    let mut options = ConnectOptions::new(url);
    options.max_connections(connections).acquire_timeout(PATIENCE).sqlx_logging(false);
    options
}

async fn sqlite(url: &str, connections: u32) -> Result<DatabaseConnection, StoreError> {
    let mut options = options(url, connections);
    options.map_sqlx_sqlite_opts(|sqlite: SqliteConnectOptions| {
        sqlite
            .journal_mode(SqliteJournalMode::Wal)
            .synchronous(SqliteSynchronous::Full)
            .foreign_keys(true)
            .busy_timeout(SQLITE_LOCK_PATIENCE)
            .row_buffer_size(SQLITE_ROW_BUFFER)
    });
    Ok(Database::connect(options).await?)
}
