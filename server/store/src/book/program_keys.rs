//! Keys of other programs: each is its maker's, and does what its maker may do.

use sea_orm::EntityTrait;

use super::{Book, Entry, written};
use crate::audit::Verb;
use crate::error::StoreError;
use crate::ids::{ProgramKeyId, UserId};
use crate::tables::people::program_key;

/// What the audit trail calls one.
const KIND: &str = "program key";

impl Book<'_> {
    /// Makes a key of the person's own. Only its hash is kept; the name is what it is told apart by.
    ///
    /// # Errors
    /// What the database says.
    pub async fn add_program_key(&mut self, name: &str, token_hash: [u8; 32]) -> Result<ProgramKeyId, StoreError> {
        let source = &self.store.inner.source;
        let row = program_key::Model {
            operation_id: self.operation(),
            id: source.id(),
            user_id: self.scope.user.0,
            name: name.to_owned(),
            token_hash: token_hash.to_vec(),
            made_at: source.now(),
            used_at: None,
        };
        self.note_key(Verb::Added, &row, serde_json::json!({ "name": row.name })).await?;
        let id = ProgramKeyId(row.id);
        program_key::Entity::insert(written::<_, program_key::ActiveModel>(row))
            .exec_without_returning(&self.tx)
            .await?;
        Ok(id)
    }

    /// Takes a key of the person's own away. It opens nothing from then on.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] when it is not there, or is another person's.
    pub async fn remove_program_key(&mut self, key: ProgramKeyId) -> Result<(), StoreError> {
        let row = self.key_of(self.scope.user, key).await?;
        self.take_key(&row, serde_json::json!({ "name": row.name })).await
    }

    /// Takes a key of somebody else away. Whose it was stands in the changes.
    ///
    /// # Errors
    /// [`StoreError::Forbidden`] for anybody but an owner of the whole operation,
    /// [`StoreError::NotFound`] for a key that is not this person's.
    pub async fn remove_program_key_of(&mut self, user: UserId, key: ProgramKeyId) -> Result<(), StoreError> {
        self.may_change_people(None).await?;
        let row = self.key_of(user, key).await?;
        let maker = self.account(user).await?.name;
        self.take_key(&row, serde_json::json!({ "name": row.name, "of": maker })).await
    }

    async fn key_of(&self, user: UserId, key: ProgramKeyId) -> Result<program_key::Model, StoreError> {
        let row = program_key::Entity::find_by_id((self.operation(), key.0)).one(&self.tx).await?;
        row.filter(|row| row.user_id == user.0).ok_or(StoreError::NotFound)
    }

    async fn take_key(&self, row: &program_key::Model, said: serde_json::Value) -> Result<(), StoreError> {
        self.note_key(Verb::Removed, row, said).await?;
        program_key::Entity::delete_by_id((row.operation_id, row.id)).exec(&self.tx).await?;
        Ok(())
    }

    async fn note_key(&self, verb: Verb, row: &program_key::Model, said: serde_json::Value) -> Result<(), StoreError> {
        let said = Some(said.to_string());
        let (before, after) = if verb == Verb::Added { (None, said) } else { (said, None) };
        self.note(Entry { verb, kind: KIND, record_id: row.id, farm: None, place: &row.name, before, after }).await
    }
}
