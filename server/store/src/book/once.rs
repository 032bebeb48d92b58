//! A request that must count once, although a poor connection may send it twice.

use sea_orm::sea_query::OnConflict;
use sea_orm::{EntityTrait, Set};

use super::{Book, written};
use crate::error::StoreError;
use crate::tables::people::idempotency_key;

impl Book<'_> {
    /// Where an earlier request of this person with this key led; `None` for the first one.
    ///
    /// The key is entered at once: a second request waits here until the first is saved (then it
    /// is told where it led) or dropped (then it is the first).
    pub async fn once(&mut self, key: &str) -> Result<Option<String>, StoreError> {
        let row = idempotency_key::Model {
            operation_id: self.operation(),
            user_id: self.scope.user.0,
            name: key.to_owned(),
            location: None,
            at: self.store.inner.source.now(),
        };
        let id = (row.operation_id, row.user_id, row.name.clone());
        let same =
            [idempotency_key::Column::OperationId, idempotency_key::Column::UserId, idempotency_key::Column::Name];
        let entered = idempotency_key::Entity::insert_many([written::<_, idempotency_key::ActiveModel>(row)])
            .on_conflict(OnConflict::columns(same).do_nothing().to_owned())
            .exec_without_returning(&self.tx)
            .await?;
        if entered > 0 {
            return Ok(None);
        }
        let row = idempotency_key::Entity::find_by_id(id).one(&self.tx).await?;
        Ok(row.and_then(|row| row.location))
    }

    /// Notes where the request with this key led, to be saved together with what it did.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] when [`Book::once`] was not asked first.
    pub async fn settle_once(&mut self, key: &str, location: &str) -> Result<(), StoreError> {
        let row = idempotency_key::ActiveModel {
            operation_id: Set(self.operation()),
            user_id: Set(self.scope.user.0),
            name: Set(key.to_owned()),
            location: Set(Some(location.to_owned())),
            ..Default::default()
        };
        let settled = idempotency_key::Entity::update(row).exec_without_returning(&self.tx).await;
        settled.map(|_| ()).map_err(|error| match error {
            sea_orm::DbErr::RecordNotUpdated => StoreError::NotFound,
            other => other.into(),
        })
    }
}
