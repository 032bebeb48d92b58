//! Opening and closing seasons.

use std::collections::BTreeMap;

use reckon::block::{Season, SeasonState};
use reckon::money::Money;
use sea_orm::entity::prelude::Uuid;
use sea_orm::{ColumnTrait, EntityTrait, IntoActiveModel, QueryFilter, QueryOrder, QuerySelect};

use super::{Book, Entry, written};
use crate::as_closed::as_they_stand;
use crate::audit::{Verb, row_text, row_text_and};
use crate::closed::ClosedSeason;
use crate::desk::{settings, told};
use crate::error::{Constraint, StoreError};
use crate::ids::BlockId;
use crate::role::Right;
use crate::tables::closings::{closed_place, report_revision, season_closing, season_reopening};
use crate::tables::places::{block, farm, season, state_word};

/// What a block's report says when its season is closed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stated {
    /// The block.
    pub block: BlockId,
    /// Fingerprint of its figures.
    pub fingerprint: [u8; 8],
    /// Return over all costs, where it is known.
    pub over_all: Option<Money>,
}

impl Book<'_> {
    /// Opens a season, and keeps a summary of every block for it.
    ///
    /// # Errors
    /// [`StoreError::Taken`] when there is a season of this year or one that holds some of its days,
    /// [`StoreError::SeasonEndsFirst`], [`StoreError::Forbidden`].
    pub async fn open_season(&mut self, season: &Season) -> Result<(), StoreError> {
        self.may_set_up_all().await?;
        if season.last_day < season.first_day {
            let Season { first_day, last_day, .. } = *season;
            return Err(StoreError::SeasonEndsFirst { first_day, last_day });
        }
        for other in self.seasons().await? {
            if other.year == season.year {
                return Err(StoreError::Taken(Constraint::SeasonYear));
            }
            if other.first_day <= season.last_day && season.first_day <= other.last_day {
                return Err(StoreError::Taken(Constraint::SeasonDays));
            }
        }
        let row = season::Model::new(self.operation(), season);
        let insert = season::Entity::insert(row.clone().into_active_model()).exec_without_returning(&self.tx).await;
        insert.map_err(|error| StoreError::taken(error, Constraint::SeasonYear))?;
        self.seasons = None;
        self.note_season(Verb::Opened, None, &row, None).await?;
        let blocks: Vec<_> = self.map().await?.blocks.iter().map(|block| block.id).collect();
        self.stale.extend(blocks.into_iter().map(|block| (season.year, block)));
        Ok(())
    }

    /// Waits until nobody keeps a record of the season, and keeps everybody from it until this book
    /// is saved or dropped: what is read meanwhile is what the season is closed with.
    ///
    /// # Errors
    /// As for [`Book::close_season`].
    pub async fn hold_season(&mut self, year: i32) -> Result<(), StoreError> {
        self.held_season(year, SeasonState::Closed).await.map(|_| ())
    }

    /// Closes a season: its records can no longer change, and its summaries stay as they are. Farms and
    /// blocks are kept as they stand, and what the blocks' reports say is kept under a new revision where it is not what the last closing
    /// kept.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] for a year without a season, [`StoreError::Closed`] when it is closed.
    pub async fn close_season(&mut self, year: i32, stated: &[Stated]) -> Result<(), StoreError> {
        let before = self.held_season(year, SeasonState::Closed).await?;
        self.turn_season(Verb::Closed, &before, SeasonState::Closed, None).await?;
        let closing = season_closing::Model {
            operation_id: self.operation(),
            year: before.year,
            number: self.last_closing(before.year).await? + 1,
            closed_at: self.store.inner.source.now(),
            closed_by: self.scope.user.0,
            revision: None,
            fingerprint: None,
            over_all_cents: None,
        };
        let number = closing.number;
        season_closing::Entity::insert(closing.into_active_model()).exec_without_returning(&self.tx).await?;
        self.keep_places(before.year).await?;
        self.keep_revisions(before.year, number, stated).await
    }

    /// Keeps what the report of the whole operation says, with the season's last closing: under a new
    /// revision where it is not what an earlier closing kept.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] for a season that was never closed, [`StoreError::Forbidden`].
    pub async fn state_operation(
        &mut self,
        year: i32,
        fingerprint: [u8; 8],
        over_all: Option<Money>,
    ) -> Result<(), StoreError> {
        self.may_set_up_all().await?;
        let closings = season_closing::Entity::find()
            .filter(season_closing::Column::OperationId.eq(self.operation()))
            .filter(season_closing::Column::Year.eq(i64::from(year)))
            .order_by_desc(season_closing::Column::Number);
        let mut closings = closings.all(&self.tx).await?.into_iter();
        let last = closings.next().ok_or(StoreError::NotFound)?;
        let earlier = closings.find_map(|row| row.revision.zip(row.fingerprint));
        let revision = revision(earlier.as_ref().map(|(number, print)| (*number, &print[..])), fingerprint);
        let (revision, over_all_cents) = (Some(revision), over_all.map(Money::cents));
        let after = season_closing::Model { revision, fingerprint: Some(fingerprint.to_vec()), over_all_cents, ..last };
        let update = season_closing::Entity::update(written::<_, season_closing::ActiveModel>(after));
        update.exec_without_returning(&self.tx).await?;
        Ok(())
    }

    /// Opens a closed season again, and renews its summaries: blocks may have changed meanwhile, and it
    /// follows them as they stand now.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] for a year without a season. Nothing happens to an open one.
    pub async fn reopen_season(&mut self, year: i32, reason: &str) -> Result<(), StoreError> {
        let before = self.held_season(year, SeasonState::Open).await?;
        if before.season()?.state == SeasonState::Open {
            return Ok(());
        }
        self.turn_season(Verb::Reopened, &before, SeasonState::Open, Some(reason)).await?;
        let end = season_reopening::Model {
            operation_id: self.operation(),
            year: before.year,
            number: self.last_closing(before.year).await?,
            reopened_at: self.store.inner.source.now(),
            reopened_by: self.scope.user.0,
            reason: reason.to_owned(),
        };
        // A season closed before closings were kept has none to end.
        if end.number > 0 {
            season_reopening::Entity::insert(end.into_active_model()).exec_without_returning(&self.tx).await?;
        }
        closed_place::Entity::delete_many()
            .filter(closed_place::Column::OperationId.eq(self.operation()))
            .filter(closed_place::Column::Year.eq(before.year))
            .exec(&self.tx)
            .await?;
        // Nothing of another season hangs on whether this one is closed.
        let blocks: Vec<_> = self.map().await?.blocks.iter().map(|block| block.id).collect();
        self.stale.extend(blocks.into_iter().map(|block| (year, block)));
        Ok(())
    }

    /// The season's row, locked. One to be closed must be open.
    async fn held_season(&mut self, year: i32, to: SeasonState) -> Result<season::Model, StoreError> {
        self.may_set_up_all().await?;
        let row = season::Entity::find_by_id((self.operation(), i64::from(year))).lock_exclusive();
        let row = row.one(&self.tx).await?.ok_or(StoreError::NotFound)?;
        if to == SeasonState::Closed && row.season()?.state == SeasonState::Closed {
            return Err(StoreError::Closed(self.told(ClosedSeason::of(year)).await?));
        }
        Ok(row)
    }

    async fn turn_season(
        &mut self,
        verb: Verb,
        before: &season::Model,
        state: SeasonState,
        reason: Option<&str>,
    ) -> Result<(), StoreError> {
        let after =
            season::Model { state: state_word(state).to_owned(), revision: before.revision + 1, ..before.clone() };
        let update = season::Entity::update(written::<_, season::ActiveModel>(after.clone()));
        update.exec_without_returning(&self.tx).await?;
        self.seasons = None;
        self.note_season(verb, Some(before), &after, reason).await
    }

    /// Number of the season's last closing; 0 where it was never closed.
    async fn last_closing(&self, year: i64) -> Result<i64, StoreError> {
        let last = season_closing::Entity::find()
            .filter(season_closing::Column::OperationId.eq(self.operation()))
            .filter(season_closing::Column::Year.eq(year))
            .order_by_desc(season_closing::Column::Number);
        Ok(last.one(&self.tx).await?.map_or(0, |row| row.number))
    }

    /// Keeps farms and blocks as they stand, for the figures of a season that is closed.
    async fn keep_places(&self, year: i64) -> Result<(), StoreError> {
        let id = self.operation();
        let farms = farm::Entity::find().filter(farm::Column::OperationId.eq(id)).all(&self.tx).await?;
        let blocks = block::Entity::find().filter(block::Column::OperationId.eq(id)).all(&self.tx).await?;
        let settings = settings(id, None).all(&self.tx).await?;
        let rows = as_they_stand(id, year, &farms, &blocks, &settings).into_iter();
        let rows = rows.map(written::<_, closed_place::ActiveModel>);
        closed_place::Entity::insert_many(rows).exec_without_returning(&self.tx).await?;
        Ok(())
    }

    async fn keep_revisions(&self, year: i64, closing: i64, stated: &[Stated]) -> Result<(), StoreError> {
        let earlier = report_revision::Entity::find()
            .filter(report_revision::Column::OperationId.eq(self.operation()))
            .filter(report_revision::Column::Year.eq(year))
            .order_by_asc(report_revision::Column::Closing);
        let earlier = earlier.all(&self.tx).await?.into_iter();
        let last: BTreeMap<Uuid, report_revision::Model> = earlier.map(|row| (row.block_id, row)).collect();
        let row = |stated: &Stated| report_revision::Model {
            operation_id: self.operation(),
            year,
            block_id: stated.block.0,
            closing,
            revision: revision(
                last.get(&stated.block.0).map(|row| (row.revision, &row.fingerprint[..])),
                stated.fingerprint,
            ),
            fingerprint: stated.fingerprint.to_vec(),
            over_all_cents: stated.over_all.map(Money::cents),
        };
        let rows = stated.iter().map(|stated| written::<_, report_revision::ActiveModel>(row(stated)));
        report_revision::Entity::insert_many(rows).exec_without_returning(&self.tx).await?;
        Ok(())
    }

    /// The same closed season with who closed it and when.
    pub(super) async fn told(&self, closed: ClosedSeason) -> Result<ClosedSeason, StoreError> {
        told(&self.tx, self.operation(), closed).await
    }

    /// Seasons, like new farms, concern the whole operation.
    pub(super) async fn may_set_up_all(&mut self) -> Result<(), StoreError> {
        self.may(Right::SetUp)?;
        self.sees_all()?;
        self.lock_operation().await
    }

    async fn note_season(
        &self,
        verb: Verb,
        before: Option<&season::Model>,
        after: &season::Model,
        reason: Option<&str>,
    ) -> Result<(), StoreError> {
        let year = after.year.to_string();
        self.note(Entry {
            verb,
            kind: "season",
            record_id: self.operation(),
            farm: None,
            place: &year,
            before: before.map(row_text),
            after: Some(reason.map_or_else(|| row_text(after), |reason| row_text_and(after, "reason", reason))),
        })
        .await
    }
}

/// The same figures as at the last closing are the same revision.
fn revision(last: Option<(i64, &[u8])>, fingerprint: [u8; 8]) -> i64 {
    match last {
        None => 1,
        Some((number, kept)) if kept == fingerprint => number,
        Some((number, _)) => number + 1,
    }
}
