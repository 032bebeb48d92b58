//! Reading the person's own keys of other programs.

use chrono::{DateTime, Utc};
use sea_orm::{ColumnTrait, EntityTrait, QueryFilter, QueryOrder};

use super::Desk;
use crate::error::StoreError;
use crate::ids::ProgramKeyId;
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
        let own = program_key::Entity::find()
            .filter(program_key::Column::OperationId.eq(self.operation()))
            .filter(program_key::Column::UserId.eq(self.scope.user.0))
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
