//! Keys of other programs: each is its maker's, and does what its maker may do.

use sea_orm::EntityTrait;

use super::{Book, Entry, written};
use crate::audit::Verb;
use crate::error::StoreError;
use crate::ids::ProgramKeyId;
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
        self.note_key(Verb::Added, &row).await?;
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
        let row = program_key::Entity::find_by_id((self.operation(), key.0)).one(&self.tx).await?;
        let row = row.filter(|row| row.user_id == self.scope.user.0).ok_or(StoreError::NotFound)?;
        self.note_key(Verb::Removed, &row).await?;
        program_key::Entity::delete_by_id((row.operation_id, row.id)).exec(&self.tx).await?;
        Ok(())
    }

    async fn note_key(&self, verb: Verb, row: &program_key::Model) -> Result<(), StoreError> {
        let said = Some(serde_json::json!({ "name": row.name }).to_string());
        let (before, after) = if verb == Verb::Added { (None, said) } else { (said, None) };
        self.note(Entry { verb, kind: KIND, record_id: row.id, farm: None, place: &row.name, before, after }).await
    }
}
