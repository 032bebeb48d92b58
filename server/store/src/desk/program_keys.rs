//! Reading keys of other programs: the person's own, and for an owner those of colleagues.

use chrono::{DateTime, Utc};
use sea_orm::{ColumnTrait, EntityTrait, QueryFilter, QueryOrder};

use super::Desk;
use crate::error::StoreError;
use crate::ids::{ProgramKeyId, UserId};
use crate::role::Right;
use crate::tables::people::program_key;

/// A key of another program.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProgramKey {
    /// Its identifier, which opens nothing.
    pub id: ProgramKeyId,
    /// What the person calls it: "packing line".
    pub name: String,
    /// When it was made.
    pub made_at: DateTime<Utc>,
    /// When a program last came in with it, to about a quarter of an hour; `None` for never.
    pub used_at: Option<DateTime<Utc>>,
}

impl Desk<'_> {
    /// The person's own keys, oldest first.
    pub async fn program_keys(&self) -> Result<Vec<ProgramKey>, StoreError> {
        self.keys_of(self.scope.user).await
    }

    /// The keys of somebody else of the operation, oldest first.
    ///
    /// # Errors
    /// [`StoreError::Forbidden`] for anybody but an owner of the whole operation.
    pub async fn program_keys_of(&self, user: UserId) -> Result<Vec<ProgramKey>, StoreError> {
        if !self.scope.may(Right::People) || !self.scope.sees_all() {
            return Err(StoreError::Forbidden);
        }
        self.keys_of(user).await
    }

    async fn keys_of(&self, user: UserId) -> Result<Vec<ProgramKey>, StoreError> {
        let own = program_key::Entity::find()
            .filter(program_key::Column::OperationId.eq(self.operation()))
            .filter(program_key::Column::UserId.eq(user.0))
            .order_by_asc(program_key::Column::MadeAt)
            .order_by_asc(program_key::Column::Id);
        let shown = |row: program_key::Model| ProgramKey {
            id: ProgramKeyId(row.id),
            name: row.name,
            made_at: row.made_at,
            used_at: row.used_at,
        };
        Ok(own.all(self.db()).await?.into_iter().map(shown).collect())
    }
}
