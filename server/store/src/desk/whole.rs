//! The season of an operation as it is reported.

use std::collections::BTreeMap;

use reckon::operation_season::{OperationRecords, SharedAmong};
use reckon::season::SeasonRecords;
use sea_orm::EntityTrait;
use sea_orm::entity::prelude::Uuid;

use super::{Desk, SharedOut, blocks_in_scope, farms_in_scope, season_row};
use crate::as_closed::AsClosed;
use crate::error::StoreError;
use crate::tables::people::operation;
use crate::tables::places::season;

impl Desk<'_> {
    /// Everything recorded about the blocks of the person's farms in a season and in the season
    /// before, and the costs they share: all from one state of the database, in a fixed number of
    /// queries.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] for a season that does not exist.
    pub async fn operation_records(&self, year: i32) -> Result<OperationRecords, StoreError> {
        let tx = self.store.begin_reading().await?;
        let named = operation::Entity::find_by_id(self.operation()).one(&tx).await?;
        let season = season_row(&tx, self.operation(), year).await?;
        let before = match year.checked_sub(1) {
            Some(year) => season::Entity::find_by_id((self.operation(), i64::from(year))).one(&tx).await?,
            None => None,
        };
        let blocks = self.records_of(&tx, &season, blocks_in_scope(self.scope)).await?;
        let blocks: BTreeMap<Uuid, SeasonRecords> = blocks.into_iter().collect();
        let last = match before {
            Some(before) => self.records_of(&tx, &before, blocks_in_scope(self.scope)).await?,
            None => Vec::new(),
        };
        let shared = self.shared_costs_of(&tx, &season).await?;
        let farms = farms_in_scope(self.scope).all(&tx).await?;
        let closed = AsClosed::load(&tx, self.operation(), core::slice::from_ref(&season)).await?;
        let farms = closed.farms(season.year, farms)?;
        let farms: BTreeMap<Uuid, String> = farms.into_iter().map(|farm| (farm.id, farm.name)).collect();
        Ok(OperationRecords {
            operation: named.ok_or(StoreError::NotFound)?.name,
            season: season.season()?,
            whole: self.scope.sees_all(),
            shared: shared.into_iter().map(|shared| among(shared, &farms, &blocks)).collect(),
            blocks: blocks.into_values().collect(),
            last: last.into_iter().map(|(_, records)| records).collect(),
        })
    }
}

/// With the names of its farm and its blocks in place of their identifiers. Every block that is told is
/// one of the season's: what the person does not see has been left out before.
fn among(shared: SharedOut, farms: &BTreeMap<Uuid, String>, blocks: &BTreeMap<Uuid, SeasonRecords>) -> SharedAmong {
    let code = |id: Uuid| blocks.get(&id).map_or_else(String::new, |records| records.block.code.clone());
    SharedAmong {
        cost: shared.cost,
        farm: shared.farm.and_then(|farm| farms.get(&farm.0).cloned()),
        share_only: shared.share_only,
        blocks: shared.blocks.into_iter().map(|block| code(block.0)).collect(),
        out: shared.out,
    }
}
