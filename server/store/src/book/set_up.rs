//! Farms and blocks.

use reckon::block::{Block, Farm, folded};
use sea_orm::entity::prelude::Uuid;
use sea_orm::{ColumnTrait, Condition, EntityTrait, IntoActiveModel, QueryFilter, QuerySelect};

use super::map::{BlockAt, FarmAt};
use super::{Book, Entry, written};
use crate::audit::{Verb, block_text, row_text};
use crate::desk::{blocks_in_scope, farms_in_scope};
use crate::error::{Constraint, StoreError};
use crate::gather::costs_of;
use crate::ids::{BlockId, FarmId};
use crate::members::Span;
use crate::role::Right;
use crate::rows::{self, Place};
use crate::tables::places::{block, block_setting, farm};
use crate::target::Target;

impl Book<'_> {
    /// Adds a farm. It takes a person with all farms.
    ///
    /// # Errors
    /// [`StoreError::Taken`] when another farm has the name.
    pub async fn add_farm(&mut self, farm: &Farm) -> Result<FarmId, StoreError> {
        self.may_set_up_all().await?;
        let id = self.store.inner.source.id();
        let row = self.with_known_station(farm::Model::new(self.operation(), id, 1, farm)).await?;
        let insert = farm::Entity::insert(row.clone().into_active_model()).exec_without_returning(&self.tx).await;
        insert.map_err(|error| StoreError::taken(error, Constraint::FarmName))?;
        if let Some(map) = &mut self.map {
            map.farms.push(FarmAt { id, name: row.name.clone(), station: row.station.clone() });
        }
        self.note_farm(Verb::Added, None, &row).await?;
        Ok(FarmId(id))
    }

    /// Puts a farm right. `version` is the one that was read.
    ///
    /// # Errors
    /// [`StoreError::NotFound`], [`StoreError::Changed`], [`StoreError::Taken`].
    pub async fn correct_farm(&mut self, id: FarmId, version: i64, farm: &Farm) -> Result<(), StoreError> {
        self.begin_setting_up().await?;
        let old = farms_in_scope(self.scope).filter(farm::Column::Id.eq(id.0)).lock_exclusive().one(&self.tx).await?;
        let old = old.ok_or(StoreError::NotFound)?;
        if old.version != version {
            return Err(StoreError::Changed);
        }
        let row = self.with_known_station(farm::Model::new(self.operation(), id.0, version + 1, farm)).await?;
        let update = farm::Entity::update(written::<_, farm::ActiveModel>(row.clone()));
        let update = update.validate()?.filter(farm::Column::Version.eq(version));
        update.exec_without_returning(&self.tx).await.map_err(|error| taken_or_changed(error, Constraint::FarmName))?;
        self.map = None;
        self.touch_open(&Place { farm_id: Some(id.0), ..Place::default() }).await?;
        self.note_farm(Verb::Corrected, Some(&old), &row).await
    }

    /// Adds a block to a farm.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] for the farm, [`StoreError::Taken`] when another block of the
    /// operation has the code.
    pub async fn add_block(&mut self, farm: FarmId, block: &Block) -> Result<BlockId, StoreError> {
        self.begin_setting_up().await?;
        self.locate(&Target::Farm(farm)).await?;
        let id = self.store.inner.source.id();
        let joined_season = self.joins(block).await?;
        let row = block::Model { joined_season, ..block::Model::new(self.operation(), farm.0, id, 1, block) };
        let insert = block::Entity::insert(row.clone().into_active_model()).exec_without_returning(&self.tx).await;
        insert.map_err(|error| StoreError::taken(error, Constraint::BlockCode))?;
        let settings = self.keep_settings(id, block).await?;
        if let Some(map) = &mut self.map {
            map.blocks.push(BlockAt::of(&row));
        }
        self.touch_block(id, true).await?;
        self.note_block(Verb::Added, &row, None, Some(block_text(&row, &settings))).await?;
        Ok(BlockId(id))
    }

    /// Puts a block right. `version` is the one that was read. The summaries of open seasons are
    /// renewed; closed seasons keep theirs, and the block as it stood.
    ///
    /// # Errors
    /// [`StoreError::NotFound`], [`StoreError::Changed`], [`StoreError::Taken`], and
    /// [`StoreError::RecordsOfSeason`] when its first or last season leaves records of it outside.
    pub async fn correct_block(&mut self, id: BlockId, version: i64, block: &Block) -> Result<(), StoreError> {
        self.begin_setting_up().await?;
        let old = blocks_in_scope(self.scope).filter(block::Column::Id.eq(id.0)).lock_exclusive().one(&self.tx).await?;
        let old = old.ok_or(StoreError::NotFound)?;
        if old.version != version {
            return Err(StoreError::Changed);
        }
        let row = block::Model {
            joined_season: old.joined_season,
            ..block::Model::new(self.operation(), old.farm_id, id.0, version + 1, block)
        };
        let row = self.without_orphans(&old, row).await?;
        let update = block::Entity::update(written::<_, block::ActiveModel>(row.clone()));
        let update = update.validate()?.filter(block::Column::Version.eq(version));
        update
            .exec_without_returning(&self.tx)
            .await
            .map_err(|error| taken_or_changed(error, Constraint::BlockCode))?;
        let before = block_text(&old, &self.drop_settings(id.0).await?);
        let after = block_text(&row, &self.keep_settings(id.0, block).await?);
        self.map = None;
        // Fixed shares name blocks by their code.
        let weight = |row: &block::Model| (row.acres_micros, row.trees, row.code.clone(), Span::of(row));
        let weighs_differently = weight(&old) != weight(&row);
        self.touch_block(id.0, weighs_differently).await?;
        self.note_block(Verb::Corrected, &row, Some(before), Some(after)).await
    }

    /// Farms and blocks decide how costs are shared: one book at a time changes them.
    async fn begin_setting_up(&mut self) -> Result<(), StoreError> {
        self.may(Right::SetUp)?;
        self.lock_operation().await
    }

    /// A farm that names a weather station as another farm does, but for capitals, uses that very
    /// station: the other's spelling is taken over.
    async fn with_known_station(&mut self, row: farm::Model) -> Result<farm::Model, StoreError> {
        let name = folded(&row.station);
        let same = |farm: &&FarmAt| farm.id != row.id && folded(&farm.station) == name;
        let known = self.map().await?.farms.iter().find(same).map(|farm| farm.station.clone());
        Ok(farm::Model { station: known.unwrap_or(row.station), ..row })
    }

    /// Marks a block's summaries, and those of all blocks in seasons whose shared costs go out anew.
    pub(super) async fn touch_block(&mut self, id: Uuid, weighs_differently: bool) -> Result<(), StoreError> {
        self.touch_open(&Place { block_id: Some(id), ..Place::default() }).await?;
        if !weighs_differently {
            return Ok(());
        }
        for season in self.seasons().await?.to_vec() {
            let open = season.state == reckon::block::SeasonState::Open;
            if open && self.has_shared_costs(&season).await? {
                let blocks: Vec<Uuid> = self.map().await?.blocks.iter().map(|block| block.id).collect();
                self.stale.extend(blocks.into_iter().map(|block| (season.year, block)));
            }
        }
        Ok(())
    }

    pub(super) async fn has_shared_costs(&self, season: &reckon::block::Season) -> Result<bool, StoreError> {
        let costs = costs_of(self.operation(), season.first_day, season.last_day);
        Ok(costs.filter(rows::cost::Column::BlockId.is_null()).one(&self.tx).await?.is_some())
    }

    async fn keep_settings(&self, id: Uuid, block: &Block) -> Result<Vec<block_setting::Model>, StoreError> {
        let settings = block::Model::settings(self.operation(), id, block);
        let rows = settings.iter().cloned().map(written::<_, block_setting::ActiveModel>);
        block_setting::Entity::insert_many(rows).exec_without_returning(&self.tx).await?;
        Ok(settings)
    }

    /// Takes a block's settings away and gives back what they were.
    async fn drop_settings(&self, id: Uuid) -> Result<Vec<block_setting::Model>, StoreError> {
        let of_block = Condition::all()
            .add(block_setting::Column::OperationId.eq(self.operation()))
            .add(block_setting::Column::BlockId.eq(id));
        let was = block_setting::Entity::find().filter(of_block.clone()).all(&self.tx).await?;
        block_setting::Entity::delete_many().filter(of_block).exec(&self.tx).await?;
        Ok(was)
    }

    async fn note_farm(&self, verb: Verb, before: Option<&farm::Model>, after: &farm::Model) -> Result<(), StoreError> {
        self.note(Entry {
            verb,
            kind: "farm",
            record_id: after.id,
            farm: Some(after.id),
            place: &after.name,
            before: before.map(row_text),
            after: Some(row_text(after)),
        })
        .await
    }

    pub(super) async fn note_block(
        &self,
        verb: Verb,
        row: &block::Model,
        before: Option<String>,
        after: Option<String>,
    ) -> Result<(), StoreError> {
        let (record_id, farm) = (row.id, Some(row.farm_id));
        self.note(Entry { verb, kind: "block", record_id, farm, place: &row.code, before, after }).await
    }
}

fn taken_or_changed(error: sea_orm::DbErr, constraint: Constraint) -> StoreError {
    match error {
        sea_orm::DbErr::RecordNotUpdated => StoreError::Changed,
        other => StoreError::taken(other, constraint),
    }
}
