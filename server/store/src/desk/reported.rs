//! A block season as it is reported, with what stands beside it.

use reckon::season::SeasonRecords;
use reckon::water::metered::Reported;
use sea_orm::entity::prelude::Uuid;
use sea_orm::{ColumnTrait, ConnectionTrait, EntityTrait, QueryFilter};

use super::{Desk, blocks_in_scope, season_row};
use crate::error::StoreError;
use crate::gather::{Wanted, gather, water};
use crate::ids::BlockId;
use crate::tables::places::{block, season};

impl Desk<'_> {
    /// Everything recorded about a block in a season and, where mulch lies on it, the water records of
    /// the farm's other blocks in the season and of the block's own earlier seasons: all from one state
    /// of the database, in a fixed number of queries however many blocks and seasons there are.
    pub async fn reported(&self, block: BlockId, year: i32) -> Result<Reported, StoreError> {
        let tx = self.store.begin_reading().await?;
        let row = blocks_in_scope(self.scope).filter(block::Column::Id.eq(block.0)).one(&tx).await?;
        let farm = row.ok_or(StoreError::NotFound)?.farm_id;
        let season = season_row(&tx, self.operation(), year).await?;
        let wanted = Wanted { operation: self.operation(), season: &season, blocks: &[block.0] };
        let (_, own) = gather(&tx, &wanted).await?.into_iter().next().ok_or(StoreError::NotFound)?;
        let beside = if own.mulch.is_empty() { Vec::new() } else { self.beside(&tx, &wanted, farm).await? };
        Ok(Reported { own, beside })
    }

    async fn beside<C: ConnectionTrait>(
        &self,
        db: &C,
        own: &Wanted<'_>,
        farm: Uuid,
    ) -> Result<Vec<SeasonRecords>, StoreError> {
        let of_farm = blocks_in_scope(self.scope).filter(block::Column::FarmId.eq(farm)).all(db).await?;
        let mut others: Vec<Uuid> = of_farm.iter().map(|row| row.id).filter(|id| !own.blocks.contains(id)).collect();
        others.sort_unstable();
        let mut beside = water::of_season(db, &Wanted { blocks: &others, ..*own }).await?;
        let earlier = season::Entity::find()
            .filter(season::Column::OperationId.eq(own.operation))
            .filter(season::Column::Year.lt(own.season.year))
            .all(db)
            .await?;
        beside.extend(water::of_seasons(db, own, &earlier).await?);
        Ok(beside)
    }
}
