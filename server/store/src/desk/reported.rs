//! Block seasons as they are reported, with what stands beside them: one, or all of a season at once.

use std::collections::BTreeMap;

use reckon::season::SeasonRecords;
use reckon::water::metered::Reported;
use sea_orm::entity::prelude::Uuid;
use sea_orm::{ColumnTrait, ConnectionTrait, EntityTrait, QueryFilter};

use super::{Desk, blocks_in_scope, season_row};
use crate::error::StoreError;
use crate::gather::{Wanted, gather, water};
use crate::ids::BlockId;
use crate::members;
use crate::tables::places::{block, season};

/// Every block of a season with what stands beside it. What stands beside several blocks is held once.
#[derive(Debug)]
pub struct ReportedSeason {
    own: Vec<(BlockId, SeasonRecords)>,
    /// The farm of each block.
    farms: BTreeMap<Uuid, Uuid>,
    /// Water of the season, of every block of a farm with mulch.
    here: Vec<(Uuid, SeasonRecords)>,
    /// Water of the mulched blocks' earlier seasons.
    earlier: Vec<(Uuid, SeasonRecords)>,
}

impl ReportedSeason {
    /// Each block as [`Desk::reported`] gives it, by identifier.
    pub fn each(self) -> impl Iterator<Item = (BlockId, Reported)> {
        let Self { own, farms, here, earlier } = self;
        own.into_iter().map(move |(block, own)| {
            let beside = if own.mulch.is_empty() { Vec::new() } else { beside(block.0, &farms, &here, &earlier) };
            (block, Reported { own, beside })
        })
    }
}

/// The farm's other blocks in the season, then the block's own earlier seasons.
fn beside(
    block: Uuid,
    farms: &BTreeMap<Uuid, Uuid>,
    here: &[(Uuid, SeasonRecords)],
    earlier: &[(Uuid, SeasonRecords)],
) -> Vec<SeasonRecords> {
    let others = here.iter().filter(|(other, _)| *other != block && farms.get(other) == farms.get(&block));
    let before = earlier.iter().filter(|(own, _)| *own == block);
    others.chain(before).map(|(_, records)| records.clone()).collect()
}

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
        if own.mulch.is_empty() {
            return Ok(Reported { own, beside: Vec::new() });
        }
        let of_farm = blocks_in_scope(self.scope).filter(block::Column::FarmId.eq(farm)).all(&tx).await?;
        let farms = of_farm.iter().map(|row| (row.id, row.farm_id)).collect();
        let (here, earlier) = self.beside(&tx, &wanted, &farms).await?;
        Ok(Reported { own, beside: beside(block.0, &farms, &here, &earlier) })
    }

    /// The same of every block of the person's farms that belongs to the season: from one state of the
    /// database, in as many queries as for one block.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] for a season that does not exist.
    pub async fn reported_season(&self, year: i32) -> Result<ReportedSeason, StoreError> {
        let tx = self.store.begin_reading().await?;
        let season = season_row(&tx, self.operation(), year).await?;
        let rows = blocks_in_scope(self.scope).all(&tx).await?;
        let members: Vec<Uuid> = members::ids_of(&tx, self.operation(), &season, &rows).await?.into_iter().collect();
        let wanted = Wanted { operation: self.operation(), season: &season, blocks: &members };
        let own = gather(&tx, &wanted).await?;
        let mulched: Vec<Uuid> = own.iter().filter(|(_, own)| !own.mulch.is_empty()).map(|(id, _)| *id).collect();
        let farm = |id: &Uuid| rows.iter().find(|row| row.id == *id).map(|row| row.farm_id);
        let with_mulch: Vec<Uuid> = mulched.iter().filter_map(farm).collect();
        let farms: BTreeMap<Uuid, Uuid> =
            rows.iter().filter(|row| with_mulch.contains(&row.farm_id)).map(|row| (row.id, row.farm_id)).collect();
        let (here, earlier) = if mulched.is_empty() {
            (Vec::new(), Vec::new())
        } else {
            self.beside(&tx, &Wanted { blocks: &mulched, ..wanted }, &farms).await?
        };
        let own = own.into_iter().map(|(id, records)| (BlockId(id), records)).collect();
        Ok(ReportedSeason { own, farms, here, earlier })
    }

    /// Water of the season of all blocks of some farms, and of the wanted blocks' earlier seasons.
    async fn beside<C: ConnectionTrait>(
        &self,
        db: &C,
        own: &Wanted<'_>,
        farms: &BTreeMap<Uuid, Uuid>,
    ) -> Result<(Vec<(Uuid, SeasonRecords)>, Vec<(Uuid, SeasonRecords)>), StoreError> {
        let all: Vec<Uuid> = farms.keys().copied().collect();
        let here = water::of_season(db, &Wanted { blocks: &all, ..*own }).await?;
        let earlier = season::Entity::find()
            .filter(season::Column::OperationId.eq(own.operation))
            .filter(season::Column::Year.lt(own.season.year))
            .all(db)
            .await?;
        Ok((here, water::of_seasons(db, own, &earlier).await?))
    }
}
