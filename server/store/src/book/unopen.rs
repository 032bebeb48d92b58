//! Removing a season that was opened by mistake.

use sea_orm::{ColumnTrait, EntityTrait, QueryFilter, QuerySelect};

use super::{Book, Entry};
use crate::audit::{Verb, row_text};
use crate::error::StoreError;
use crate::held::Held;
use crate::tables::ledger::block_season;
use crate::tables::places::season;

impl Book<'_> {
    /// Removes a season that has no records and was never closed, with the summaries of its blocks.
    ///
    /// # Errors
    /// [`StoreError::SeasonHeld`] with what stands in the way, [`StoreError::NotFound`] for a year without
    /// a season, [`StoreError::Forbidden`].
    pub async fn remove_season(&mut self, year: i32) -> Result<(), StoreError> {
        self.may_set_up_all().await?;
        // Whoever keeps a record holds this row: none comes in between the look and the removal.
        let row = season::Entity::find_by_id((self.operation(), i64::from(year))).lock_exclusive();
        let row = row.one(&self.tx).await?.ok_or(StoreError::NotFound)?;
        let held = Held::of(&self.tx, &row).await?;
        if !held.is_free() {
            return Err(StoreError::SeasonHeld(Box::new(held)));
        }
        block_season::Entity::delete_many()
            .filter(block_season::Column::OperationId.eq(self.operation()))
            .filter(block_season::Column::Year.eq(row.year))
            .exec(&self.tx)
            .await?;
        season::Entity::delete_by_id((row.operation_id, row.year)).exec(&self.tx).await?;
        self.seasons = None;
        self.stale.retain(|(stale, _)| *stale != year);
        self.note(Entry {
            verb: Verb::Removed,
            kind: "season",
            record_id: self.operation(),
            farm: None,
            place: &year.to_string(),
            before: Some(row_text(&row)),
            after: None,
        })
        .await
    }
}
