//! Opening and closing seasons.

use reckon::block::{Season, SeasonState};
use sea_orm::{EntityTrait, IntoActiveModel, QuerySelect};

use super::{Book, Entry, written};
use crate::audit::{Verb, row_text};
use crate::error::{Constraint, StoreError};
use crate::role::Right;
use crate::rows::Place;
use crate::tables::places::{season, state_word};

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
        self.note_season(Verb::Opened, None, &row).await?;
        let blocks: Vec<_> = self.map().await?.blocks.iter().map(|block| block.id).collect();
        self.stale.extend(blocks.into_iter().map(|block| (season.year, block)));
        Ok(())
    }

    /// Closes a season: its records can no longer change, and its summaries stay as they are.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] for a year without a season, [`StoreError::Closed`] when it is closed.
    pub async fn close_season(&mut self, year: i32) -> Result<(), StoreError> {
        self.turn_season(year, SeasonState::Closed).await
    }

    /// Opens a closed season again, and renews its summaries: blocks may have changed meanwhile.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] for a year without a season. Nothing happens to an open one.
    pub async fn reopen_season(&mut self, year: i32) -> Result<(), StoreError> {
        self.turn_season(year, SeasonState::Open).await?;
        self.touch_open(&Place::default()).await
    }

    async fn turn_season(&mut self, year: i32, state: SeasonState) -> Result<(), StoreError> {
        self.may_set_up_all().await?;
        let row = season::Entity::find_by_id((self.operation(), i64::from(year))).lock_exclusive();
        let before = row.one(&self.tx).await?.ok_or(StoreError::NotFound)?;
        let (verb, was) = (verb(state), before.season()?.state);
        if was == state {
            return if state == SeasonState::Closed { Err(StoreError::Closed) } else { Ok(()) };
        }
        let after =
            season::Model { state: state_word(state).to_owned(), revision: before.revision + 1, ..before.clone() };
        let update = season::Entity::update(written::<_, season::ActiveModel>(after.clone()));
        update.exec_without_returning(&self.tx).await?;
        self.seasons = None;
        self.note_season(verb, Some(&before), &after).await
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
    ) -> Result<(), StoreError> {
        let year = after.year.to_string();
        self.note(Entry {
            verb,
            kind: "season",
            record_id: self.operation(),
            farm: None,
            place: &year,
            before: before.map(row_text),
            after: Some(row_text(after)),
        })
        .await
    }
}

const fn verb(state: SeasonState) -> Verb {
    match state {
        SeasonState::Open => Verb::Reopened,
        SeasonState::Closed => Verb::Closed,
    }
}
