//! One writing transaction. What a record makes stale is renewed when the book is saved, in the
//! same transaction; a book dropped without [`Book::save`] leaves nothing behind.
//!
//! SQLite has one writer, so a book sees everything before it. On PostgreSQL two books may be open
//! at once, and three locks keep them from losing each other's work: a record locks its season's
//! row against closing, what concerns several blocks locks the operation's row, and a summary is
//! renewed only with its block season's row locked.

mod alike;
mod belonging;
mod bring_in;
mod field_rules;
mod kept_out;
mod map;
mod once;
mod people;
mod program_keys;
mod records;
mod renew;
mod seasons;
mod set_up;
mod unopen;

pub use alike::{Twin, TwinOf};
pub use bring_in::{BroughtIn, Doubles, FileFacts, RowIn, Wishes};
pub use kept_out::{KeptOut, Why};
pub use seasons::Stated;

use std::collections::BTreeSet;

use reckon::block::Season;
use sea_orm::entity::prelude::Uuid;
use sea_orm::sea_query::LockType;
use sea_orm::{ActiveModelTrait, DatabaseTransaction, EntityTrait, IntoActiveModel, ModelTrait, QuerySelect};

use crate::audit::Verb;
use crate::error::StoreError;
use crate::role::Right;
use crate::scope::Scope;
use crate::store::Store;
use crate::tables::ledger::change;
use crate::tables::people::operation;
use map::Map;

/// One writing transaction, in a person's scope.
pub struct Book<'s> {
    store: &'s Store,
    scope: &'s Scope,
    tx: DatabaseTransaction,
    /// Farms and blocks of the operation, once they are needed.
    map: Option<Map>,
    /// Seasons of the operation, once they are needed; locked against closing.
    seasons: Option<Vec<Season>>,
    operation_locked: bool,
    operation_shared: bool,
    /// Block seasons whose summary must be renewed.
    stale: BTreeSet<(i32, Uuid)>,
    /// Years in which costs shared by records were looked for: a cost kept after that marks its own blocks.
    sharing_looked_up: BTreeSet<i32>,
    /// A file came in half: nothing of this book may last.
    half_done: bool,
}

/// A line for the audit trail.
struct Entry<'a> {
    verb: Verb,
    kind: &'a str,
    record_id: Uuid,
    farm: Option<Uuid>,
    place: &'a str,
    before: Option<String>,
    after: Option<String>,
}

impl<'s> Book<'s> {
    pub(crate) fn new(store: &'s Store, scope: &'s Scope, tx: DatabaseTransaction) -> Self {
        Self {
            store,
            scope,
            tx,
            map: None,
            seasons: None,
            operation_locked: false,
            operation_shared: false,
            stale: BTreeSet::new(),
            sharing_looked_up: BTreeSet::new(),
            half_done: false,
        }
    }

    /// Renews the summaries made stale, then makes everything lasting at once.
    ///
    /// # Errors
    /// [`StoreError::HalfDone`] after a file that could not be brought in; then nothing lasts.
    pub async fn save(mut self) -> Result<(), StoreError> {
        if self.half_done {
            return Err(StoreError::HalfDone);
        }
        self.renew().await?;
        self.tx.commit().await?;
        Ok(())
    }

    fn operation(&self) -> Uuid {
        self.scope.operation.0
    }

    /// # Errors
    /// [`StoreError::Forbidden`] when the role lacks the right.
    fn may(&self, right: Right) -> Result<(), StoreError> {
        if self.scope.may(right) { Ok(()) } else { Err(StoreError::Forbidden) }
    }

    /// What concerns the whole operation takes a person with all farms.
    fn sees_all(&self) -> Result<(), StoreError> {
        if self.scope.sees_all() { Ok(()) } else { Err(StoreError::Forbidden) }
    }

    /// Waits until no other book changes blocks, or anything that concerns several of them.
    ///
    /// `NO KEY UPDATE`, so books that only refer to the operation do not wait. What was read before
    /// is forgotten: it may have changed while waiting.
    async fn lock_operation(&mut self) -> Result<(), StoreError> {
        if !self.operation_locked {
            let row = operation::Entity::find_by_id(self.operation()).lock(LockType::NoKeyUpdate);
            row.one(&self.tx).await?.ok_or(StoreError::NotFound)?;
            self.operation_locked = true;
            self.map = None;
            self.seasons = None;
        }
        Ok(())
    }

    /// Waits until no other book changes what concerns several blocks. Books that hold this do not
    /// wait for each other.
    ///
    /// Taken before the season's lock, as closing a season takes them in this order.
    async fn lock_operation_shared(&mut self) -> Result<(), StoreError> {
        if !self.operation_locked && !self.operation_shared {
            let row = operation::Entity::find_by_id(self.operation()).lock_shared();
            row.one(&self.tx).await?.ok_or(StoreError::NotFound)?;
            self.operation_shared = true;
        }
        Ok(())
    }

    async fn note(&self, entry: Entry<'_>) -> Result<(), StoreError> {
        let source = &self.store.inner.source;
        let row = change::Model {
            operation_id: self.operation(),
            id: source.id(),
            user_id: self.scope.user.0,
            at: source.now(),
            verb: entry.verb.word().to_owned(),
            kind: entry.kind.to_owned(),
            record_id: entry.record_id,
            farm_id: entry.farm,
            place: entry.place.to_owned(),
            before: entry.before,
            after: entry.after,
        };
        change::Entity::insert(row.into_active_model()).exec_without_returning(&self.tx).await?;
        Ok(())
    }
}

/// Every column of the row as a value to be written.
fn written<M, A>(row: M) -> A
where
    M: ModelTrait + IntoActiveModel<A>,
    A: ActiveModelTrait<Entity = M::Entity>,
{
    row.into_active_model().reset_all()
}
