//! Renewing the kept summaries that a book made stale.

use std::collections::BTreeMap;

use reckon::compare::Observation;
use reckon::season::SeasonRecords;
use reckon::summary::Summary;
use sea_orm::entity::prelude::Uuid;
use sea_orm::sea_query::OnConflict;
use sea_orm::{ColumnTrait, EntityTrait, Iterable, PrimaryKeyToColumn, QueryFilter, QueryOrder, QuerySelect};

use super::{Book, written};
use crate::desk::season_row;
use crate::error::StoreError;
use crate::gather::{Wanted, gather};
use crate::members;
use crate::tables::ledger::block_season;
use crate::tables::places::{block, season};

/// Blocks renewed together: their records are in memory at once.
const TOGETHER: usize = 50;

impl Book<'_> {
    pub(super) async fn renew(&mut self) -> Result<(), StoreError> {
        let mut years: BTreeMap<i32, Vec<Uuid>> = BTreeMap::new();
        for (year, block) in std::mem::take(&mut self.stale) {
            years.entry(year).or_default().push(block);
        }
        // By year and block, so two books lock the rows they share in the same order.
        for (year, blocks) in years {
            for some in blocks.chunks(TOGETHER) {
                self.renew_some(year, some).await?;
            }
        }
        Ok(())
    }

    /// Locks the block seasons first, then reads: on PostgreSQL the records of a book that was saved
    /// meanwhile are seen, and the later of two books writes the summary of both.
    ///
    /// Blocks that do not belong to the season have no summary of it: those with one are the season's.
    async fn renew_some(&self, year: i32, blocks: &[Uuid]) -> Result<(), StoreError> {
        let season = season_row(&self.tx, self.operation(), year).await?;
        let blocks = &self.only_members(&season, blocks).await?;
        let locked = self.lock_block_seasons(year, blocks).await?;
        let wanted = Wanted { operation: self.operation(), season: &season, blocks };
        let records: BTreeMap<Uuid, SeasonRecords> = gather(&self.tx, &wanted).await?.into_iter().collect();
        let fresh = locked.into_iter().filter_map(|row| {
            let records = records.get(&row.block_id)?;
            let season = reckon::reckon(records);
            let row = row.with(&Summary::of(&season)).observing(&Observation::of(&season));
            Some(written::<_, block_season::ActiveModel>(row))
        });
        let rest = block_season::Column::iter().filter(|column| !is_key(*column));
        block_season::Entity::insert_many(fresh)
            .on_conflict(OnConflict::columns(key()).update_columns(rest).to_owned())
            .exec_without_returning(&self.tx)
            .await?;
        Ok(())
    }

    /// The blocks that belong to the season, sorted; the others lose their summary.
    async fn only_members(&self, season: &season::Model, blocks: &[Uuid]) -> Result<Vec<Uuid>, StoreError> {
        let rows = block::Entity::find()
            .filter(block::Column::OperationId.eq(self.operation()))
            .filter(block::Column::Id.is_in(blocks.iter().copied()))
            .all(&self.tx)
            .await?;
        let members = members::ids_of(&self.tx, self.operation(), season, &rows).await?;
        let others: Vec<Uuid> = blocks.iter().copied().filter(|id| !members.contains(id)).collect();
        if !others.is_empty() {
            block_season::Entity::delete_many()
                .filter(block_season::Column::OperationId.eq(self.operation()))
                .filter(block_season::Column::Year.eq(season.year))
                .filter(block_season::Column::BlockId.is_in(others))
                .exec(&self.tx)
                .await?;
        }
        Ok(members.into_iter().collect())
    }

    async fn lock_block_seasons(&self, year: i32, blocks: &[Uuid]) -> Result<Vec<block_season::Model>, StoreError> {
        let year = i64::from(year);
        let missing = blocks.iter().map(|block| {
            let row = block_season::Model::unreckoned(self.operation(), year, *block);
            written::<_, block_season::ActiveModel>(row)
        });
        block_season::Entity::insert_many(missing)
            .on_conflict(OnConflict::columns(key()).do_nothing().to_owned())
            .exec_without_returning(&self.tx)
            .await?;
        let rows = block_season::Entity::find()
            .filter(block_season::Column::OperationId.eq(self.operation()))
            .filter(block_season::Column::Year.eq(year))
            .filter(block_season::Column::BlockId.is_in(blocks.iter().copied()))
            .order_by_asc(block_season::Column::BlockId)
            .lock_exclusive();
        Ok(rows.all(&self.tx).await?)
    }
}

fn key() -> impl Iterator<Item = block_season::Column> {
    block_season::PrimaryKey::iter().map(PrimaryKeyToColumn::into_column)
}

fn is_key(column: block_season::Column) -> bool {
    block_season::PrimaryKey::from_column(column).is_some()
}
