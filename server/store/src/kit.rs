//! Test kit: a clock that stands, scopes of any role, and a fresh database for each test, on SQLite
//! and, where `SEASONBOOK_TEST_POSTGRES` names a server, on PostgreSQL.

use std::future::Future;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::path::PathBuf;
use std::sync::atomic::{AtomicU32, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::task::Poll;

use chrono::{DateTime, TimeDelta, Utc};
use sea_orm::{ConnectionTrait, Database, DbBackend, TryGetable};
use uuid::{Builder, Uuid};

use crate::door::NewUser;
use crate::error::StoreError;
use crate::ids::FarmId;
use crate::role::{Right, Role};
use crate::scope::Scope;
use crate::source::Source;
use crate::store::Store;

/// The variable that names a PostgreSQL server for tests, as `postgres://user@host:port/database`.
pub const POSTGRES: &str = "SEASONBOOK_TEST_POSTGRES";

/// A source without chance: the clock stands until it is moved, identifiers and secrets count up.
#[derive(Debug)]
pub struct Counting {
    now: Mutex<DateTime<Utc>>,
    next: AtomicU64,
}

impl Default for Counting {
    /// Noon of 15 May 2026, UTC.
    fn default() -> Self {
        let noon = DateTime::from_timestamp(1_778_846_400, 0).unwrap_or_default();
        Self { now: Mutex::new(noon), next: AtomicU64::new(1) }
    }
}

impl Counting {
    /// Moves the clock.
    pub fn pass(&self, time: TimeDelta) {
        let mut now = self.now.lock().unwrap_or_else(PoisonError::into_inner);
        *now += time;
    }
}

impl Source for Counting {
    fn now(&self) -> DateTime<Utc> {
        *self.now.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Version 7 in form; the count stands where others have chance, so later ones sort later.
    fn id(&self) -> Uuid {
        let millis = u64::try_from(self.now().timestamp_millis()).unwrap_or_default();
        let mut bytes = [0; 10];
        for (to, from) in bytes.iter_mut().skip(2).zip(self.next.fetch_add(1, Ordering::Relaxed).to_be_bytes()) {
            *to = from;
        }
        Builder::from_unix_timestamp_millis(millis, &bytes).into_uuid()
    }

    fn secret(&self) -> [u8; 32] {
        let mut bytes = [7; 32];
        for (to, from) in bytes.iter_mut().zip(self.next.fetch_add(1, Ordering::Relaxed).to_be_bytes()) {
            *to = from;
        }
        bytes
    }
}

/// A fresh, migrated database with nothing in it.
#[derive(Debug, Clone)]
pub struct Fresh {
    /// The store.
    pub store: Store,
    /// Its clock.
    pub clock: Arc<Counting>,
    /// Its address.
    pub url: String,
    at: Arc<At>,
}

#[derive(Debug)]
enum At {
    Folder(tempfile::TempDir),
    Server { url: String, database: String },
}

impl Fresh {
    /// An SQLite file in a folder of its own, removed with it.
    pub async fn sqlite() -> Result<Self, StoreError> {
        let folder = tempfile::tempdir().map_err(|error| sea_orm::DbErr::Custom(error.to_string()))?;
        let url = format!("sqlite://{}?mode=rwc", folder.path().join("book.sqlite").display());
        Self::open(url, At::Folder(folder)).await
    }

    /// A database of its own on the server of [`POSTGRES`], with text compared by its bytes as on
    /// SQLite; `None` where the variable is not set.
    pub async fn postgres() -> Result<Option<Self>, StoreError> {
        static NEXT: AtomicU32 = AtomicU32::new(0);
        let Ok(server) = std::env::var(POSTGRES) else { return Ok(None) };
        let database = format!("seasonbook_test_{}_{}", std::process::id(), NEXT.fetch_add(1, Ordering::Relaxed));
        drop_database(&server, &database).await?;
        let create = format!("CREATE DATABASE {database} TEMPLATE template0 ENCODING 'UTF8' LOCALE 'C'");
        on_server(&server, &create).await?;
        let url = match server.rsplit_once('/') {
            Some((host, _)) => format!("{host}/{database}"),
            None => server.clone(),
        };
        Ok(Some(Self::open(url, At::Server { url: server, database }).await?))
    }

    async fn open(url: String, at: At) -> Result<Self, StoreError> {
        let clock = Arc::new(Counting::default());
        let store = Store::open(&url, Arc::clone(&clock) as Arc<dyn Source>).await?;
        store.migrate().await?;
        Ok(Self { store, clock, url, at: Arc::new(at) })
    }

    /// Whether it is PostgreSQL.
    pub fn is_postgres(&self) -> bool {
        matches!(*self.at, At::Server { .. })
    }

    /// A folder for the test's files, where the database is a file.
    pub fn folder(&self) -> Option<PathBuf> {
        match &*self.at {
            At::Folder(folder) => Some(folder.path().to_path_buf()),
            At::Server { .. } => None,
        }
    }

    /// An operation with its owner.
    pub async fn owner(&self, operation: &str) -> Result<Scope, StoreError> {
        let email = format!("owner of {operation}@example.test");
        let owner = NewUser { name: "Olive Owner", email: &email, password_hash: "$argon2id$none" };
        self.store.door().found_operation(operation, owner).await
    }

    /// Another person of the owner's operation.
    pub async fn person(&self, owner: &Scope, role: Role, farms: Option<&[FarmId]>) -> Result<Scope, StoreError> {
        let email = format!("{}@example.test", self.clock.id());
        let new = NewUser { name: role.word(), email: &email, password_hash: "$argon2id$none" };
        let mut book = self.store.book(owner, Right::Read).await?;
        book.add_person(new, role, farms).await?;
        book.save().await?;
        self.store.door().operator(Some(&email)).await
    }

    /// Statements sent so far.
    pub fn statements(&self) -> u64 {
        self.store.inner.statements.load(Ordering::Relaxed)
    }

    /// Runs a statement as it stands, past every rule of the store: to make a row that makes no sense.
    pub async fn execute(&self, sql: &str) -> Result<(), StoreError> {
        self.store.inner.writer.execute_unprepared(sql).await?;
        Ok(())
    }

    /// The first column of every row.
    pub async fn column<T: TryGetable>(&self, sql: &str) -> Result<Vec<T>, StoreError> {
        let backend = if self.is_postgres() { DbBackend::Postgres } else { DbBackend::Sqlite };
        let statement = sea_orm::Statement::from_string(backend, sql.to_owned());
        let rows = self.store.inner.writer.query_all_raw(statement).await?;
        rows.into_iter().map(|row| Ok(row.try_get_by_index(0)?)).collect()
    }

    async fn end(self) -> Result<(), StoreError> {
        self.store.clone().close().await?;
        match &*self.at {
            At::Server { url, database } => drop_database(url, database).await,
            At::Folder(_) => Ok(()),
        }
    }
}

/// Runs a test on a fresh SQLite file and, where [`POSTGRES`] is set, on a fresh PostgreSQL
/// database, which is dropped again even when the test fails.
pub async fn on_both<T, F>(test: T)
where
    T: Fn(Fresh) -> F,
    F: Future<Output = ()>,
{
    run(&test, Fresh::sqlite().await.map(Some)).await;
    run(&test, Fresh::postgres().await).await;
}

#[expect(clippy::print_stdout, clippy::panic, reason = "a test's own words")]
async fn run<T, F>(test: &T, fresh: Result<Option<Fresh>, StoreError>)
where
    T: Fn(Fresh) -> F,
    F: Future<Output = ()>,
{
    let fresh = match fresh {
        Ok(Some(fresh)) => fresh,
        Ok(None) => return println!("skipped on PostgreSQL: {POSTGRES} is not set"),
        Err(error) => panic!("no fresh database: {error}"),
    };
    println!("on {}", fresh.url);
    let mut future = Box::pin(test(fresh.clone()));
    let outcome =
        std::future::poll_fn(|context| match catch_unwind(AssertUnwindSafe(|| future.as_mut().poll(context))) {
            Ok(Poll::Pending) => Poll::Pending,
            Ok(Poll::Ready(())) => Poll::Ready(Ok(())),
            Err(panic) => Poll::Ready(Err(panic)),
        })
        .await;
    let ended = fresh.end().await;
    match outcome {
        Err(panic) => resume_unwind(panic),
        Ok(()) => {
            if let Err(error) = ended {
                panic!("the test's database could not be dropped: {error}");
            }
        }
    }
}

async fn drop_database(server: &str, database: &str) -> Result<(), StoreError> {
    on_server(server, &format!("DROP DATABASE IF EXISTS {database} WITH (FORCE)")).await
}

async fn on_server(server: &str, sql: &str) -> Result<(), StoreError> {
    let connection = Database::connect(server).await?;
    connection.execute_unprepared(sql).await?;
    Ok(connection.close().await?)
}
