//! Which seasons a block joins, and what a record of another season means for that.

use reckon::block::{Block, Season, SeasonState};
use reckon::figure::RecordKind;
use sea_orm::entity::prelude::Uuid;
use sea_orm::{ColumnTrait, EntityTrait, QueryFilter, Set};

use super::Book;
use crate::audit::{Verb, block_text};
use crate::desk::settings;
use crate::error::StoreError;
use crate::gather::in_days;
use crate::members::Span;
use crate::rows::{RecordRow, for_kind};
use crate::tables::places::block;

impl Book<'_> {
    /// The season a block joins when it is added and its page does not say one: the one of today, else
    /// the newest, where an earlier one is closed or has shared costs. Those went out without it, and
    /// stay so. `None` where it disturbs nothing.
    pub(super) async fn joins(&mut self, block: &Block) -> Result<Option<i64>, StoreError> {
        if block.first_season.is_some() {
            return Ok(None);
        }
        let today = self.store.inner.source.now().date_naive();
        let seasons = self.seasons().await?.to_vec();
        let newest = || seasons.iter().max_by_key(|season| season.last_day);
        let Some(now) = seasons.iter().find(|season| season.holds(today)).or_else(newest) else { return Ok(None) };
        for earlier in seasons.iter().filter(|season| season.last_day < now.first_day) {
            if earlier.state == SeasonState::Closed || self.has_shared_costs(earlier).await? {
                return Ok(Some(i64::from(now.year)));
            }
        }
        Ok(None)
    }

    /// Sees to it that a block belongs to one of the seasons a record of it bears on. Where its page
    /// does not say otherwise, it has then joined in the first of them.
    ///
    /// # Errors
    /// [`StoreError::NotOfSeason`] when its page does say otherwise.
    pub(super) async fn belong(&mut self, block: Uuid, years: &[i32]) -> Result<(), StoreError> {
        let map = self.map().await?;
        let Some(at) = map.blocks.iter().find(|at| at.id == block) else { return Ok(()) };
        if years.iter().any(|year| at.span.holds(i64::from(*year))) {
            return Ok(());
        }
        let Some(year) = years.iter().copied().min() else { return Ok(()) };
        if at.span.is_said_not_to_hold(i64::from(year)) {
            return Err(StoreError::NotOfSeason { code: at.code.clone(), year });
        }
        self.join(block, year).await
    }

    /// Notes that a block joined in an earlier season than was thought.
    async fn join(&mut self, block: Uuid, year: i32) -> Result<(), StoreError> {
        // What is shared among several blocks goes out anew. Another book that holds the operation's
        // lock and waits for what this one holds is told by the database that one of the two must try again.
        self.lock_operation().await?;
        let row = block::Entity::find_by_id((self.operation(), block)).one(&self.tx).await?;
        let row = row.ok_or(StoreError::NotFound)?;
        let settings = settings(self.operation(), Some(block)).all(&self.tx).await?;
        let before = block_text(&row, &settings);
        let joined = Some(i64::from(year));
        let update = block::ActiveModel {
            operation_id: Set(row.operation_id),
            id: Set(row.id),
            joined_season: Set(joined),
            ..Default::default()
        };
        block::Entity::update(update).exec_without_returning(&self.tx).await?;
        let row = block::Model { joined_season: joined, ..row };
        self.map = None;
        self.touch_block(block, true).await?;
        self.note_block(Verb::Corrected, &row, Some(before), Some(block_text(&row, &settings))).await
    }

    /// A block as it is to be, with no record of it left in an open season that it would no longer
    /// belong to: it then stays joined to that season, unless its page says otherwise.
    ///
    /// # Errors
    /// [`StoreError::RecordsOfSeason`] for a season that the page leaves out and that has records.
    pub(super) async fn without_orphans(
        &mut self,
        old: &block::Model,
        mut row: block::Model,
    ) -> Result<block::Model, StoreError> {
        let mut seasons = self.seasons().await?.to_vec();
        seasons.sort_unstable_by_key(|season| season.year);
        for season in seasons.iter().filter(|season| season.state == SeasonState::Open) {
            let year = i64::from(season.year);
            let leaves = Span::of(old).holds(year) && !Span::of(&row).holds(year);
            if leaves && self.has_records(old.id, season).await? {
                if Span::of(&row).is_said_not_to_hold(year) {
                    return Err(StoreError::RecordsOfSeason { year: season.year });
                }
                row.joined_season = Some(year);
            }
        }
        Ok(row)
    }

    async fn has_records(&self, block: Uuid, season: &Season) -> Result<bool, StoreError> {
        for kind in RecordKind::ALL {
            if for_kind!(kind, R => self.has_rows::<R>(block, season).await)? {
                return Ok(true);
            }
        }
        Ok(false)
    }

    async fn has_rows<R: RecordRow>(&self, block: Uuid, season: &Season) -> Result<bool, StoreError> {
        let Some(column) = R::column("block_id") else { return Ok(false) };
        let own = in_days::<R>(self.operation(), season.first_day, season.last_day).filter(column.eq(block));
        Ok(own.one(&self.tx).await?.is_some())
    }
}
