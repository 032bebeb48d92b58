//! The way in for other programs: a key, and whose it is.

use chrono::{DateTime, Duration, Utc};
use sea_orm::sea_query::Expr;
use sea_orm::{ColumnTrait, EntityTrait, QueryFilter};

use crate::door::{Door, scope_of};
use crate::error::StoreError;
use crate::ids::ProgramKeyId;
use crate::scope::Scope;
use crate::tables::people::program_key;

/// How long the moment of the last use is left as it is: a program that asks every second writes nothing.
const USE_NOTED_EVERY: Duration = Duration::minutes(15);

/// A program that came in.
#[derive(Debug, Clone)]
pub struct Program {
    /// The key it came in with.
    pub key: ProgramKeyId,
    /// What the person calls the key.
    pub name: String,
    /// What it sees: what the person sees now.
    pub scope: Scope,
}

impl Door<'_> {
    /// The program that comes in with a key of this hash, while the key is there and its maker
    /// belongs to the operation. Notes the use.
    pub async fn program(&self, token_hash: &[u8; 32]) -> Result<Option<Program>, StoreError> {
        let db = &self.store.inner.reader;
        let found = program_key::Entity::find().filter(program_key::Column::TokenHash.eq(token_hash.to_vec()));
        let Some(row) = found.one(db).await? else { return Ok(None) };
        let Some(scope) = scope_of(db, row.operation_id, row.user_id).await? else { return Ok(None) };
        let now = self.store.inner.source.now();
        if row.used_at.is_none_or(|last| last + USE_NOTED_EVERY <= now) {
            self.note_use(&row, now).await?;
        }
        Ok(Some(Program { key: ProgramKeyId(row.id), name: row.name, scope }))
    }

    async fn note_use(&self, row: &program_key::Model, now: DateTime<Utc>) -> Result<(), StoreError> {
        program_key::Entity::update_many()
            .col_expr(program_key::Column::UsedAt, Expr::value(now))
            .filter(program_key::Column::OperationId.eq(row.operation_id))
            .filter(program_key::Column::Id.eq(row.id))
            .exec(&self.store.inner.writer)
            .await?;
        Ok(())
    }
}
