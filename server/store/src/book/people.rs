//! Adding people to the operation.

use super::{Book, Entry};
use crate::audit::Verb;
use crate::door::{Member, NewUser, add_member, add_user};
use crate::error::StoreError;
use crate::ids::{FarmId, UserId};
use crate::role::Role;

impl Book<'_> {
    /// Adds a person, on all farms (`None`) or on some. Only an owner may.
    ///
    /// # Errors
    /// [`StoreError::Forbidden`] for any other role, [`StoreError::Taken`] when the e-mail belongs
    /// to somebody, [`StoreError::NotFound`] for a farm that is not the operation's.
    pub async fn add_person(
        &mut self,
        new: NewUser<'_>,
        role: Role,
        farms: Option<&[FarmId]>,
    ) -> Result<UserId, StoreError> {
        if self.scope.role() != Role::Owner {
            return Err(StoreError::Forbidden);
        }
        let map = self.map().await?;
        let known = |id: &FarmId| map.farms.iter().any(|farm| farm.id == id.0);
        if !farms.unwrap_or_default().iter().all(known) {
            return Err(StoreError::NotFound);
        }
        let source = &self.store.inner.source;
        let user = add_user(&self.tx, source.id(), new, source.now()).await?;
        add_member(&self.tx, Member { operation: self.operation(), user, role, farms }, source.now()).await?;
        let after = serde_json::json!({ "name": new.name, "email": new.email, "role": role.word() });
        self.note(Entry {
            verb: Verb::Added,
            kind: "person",
            record_id: user.0,
            farm: None,
            place: new.name,
            before: None,
            after: Some(after.to_string()),
        })
        .await?;
        Ok(user)
    }
}
