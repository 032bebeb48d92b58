//! Where a request that counts once has led.

use sea_orm::EntityTrait;

use super::Desk;
use crate::error::StoreError;
use crate::tables::people::idempotency_key;

impl Desk<'_> {
    /// Where a request of this person with this key led; `None` when there was none yet. Only
    /// [`crate::Book::once`] is sure that none comes meanwhile.
    pub async fn led_to(&self, key: &str) -> Result<Option<String>, StoreError> {
        let id = (self.operation(), self.scope.user.0, key.to_owned());
        let row = idempotency_key::Entity::find_by_id(id).one(self.db()).await?;
        Ok(row.and_then(|row| row.location))
    }
}
