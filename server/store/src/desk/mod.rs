//! Reads, all of them in a person's scope: what is not in it is not found.

mod alike;
mod closings;
mod crews;
mod field_rules;
mod ledger;
mod observed;
mod once;
mod people;
mod program_keys;
mod records;
mod reported;
mod sharing;
mod whole;

pub(crate) use closings::told;
pub use closings::{Closing, Reopening, ReportRevision};
pub use crews::{CrewEntry, CrewLabor};
pub(crate) use field_rules::field_rules;
pub use ledger::BroughtInFile;
pub use observed::Observed;
pub use people::PersonRow;
pub use program_keys::ProgramKey;
pub use records::{PER_PAGE, RecordFilter, StoredRecord};
pub(crate) use records::{names, target_of};
pub use reported::ReportedSeason;
pub use sharing::SharedOut;

use reckon::block::{Block, Farm, Season};
use reckon::season::SeasonRecords;
use reckon::summary::Summary;
use sea_orm::entity::prelude::Uuid;
use sea_orm::{ColumnTrait, ConnectionTrait, DatabaseConnection, EntityTrait, QueryFilter, QueryOrder, Select};

use crate::as_closed::AsClosed;
use crate::error::StoreError;
use crate::gather::{Wanted, gather, gather_field_work, several};
use crate::ids::{BlockId, FarmId};
use crate::members;
use crate::scope::Scope;
use crate::store::Store;
use crate::tables::ledger::block_season;
use crate::tables::people::operation;
use crate::tables::places::{block, block_setting, farm, season};

/// A farm with its identifier.
#[derive(Debug, Clone, PartialEq)]
pub struct FarmRow {
    /// Its identifier.
    pub id: FarmId,
    /// What a correction must name.
    pub version: i64,
    /// The farm.
    pub farm: Farm,
}

/// A block with its identifier and its farm.
#[derive(Debug, Clone, PartialEq)]
pub struct BlockRow {
    /// Its identifier.
    pub id: BlockId,
    /// Its farm.
    pub farm_id: FarmId,
    /// The farm's name.
    pub farm_name: String,
    /// What a correction must name.
    pub version: i64,
    /// The block.
    pub block: Block,
}

/// Reads.
#[derive(Debug, Clone, Copy)]
pub struct Desk<'s> {
    pub(crate) store: &'s Store,
    pub(crate) scope: &'s Scope,
}

impl Desk<'_> {
    /// Name of the operation.
    pub async fn operation_name(&self) -> Result<String, StoreError> {
        let row = operation::Entity::find_by_id(self.operation()).one(self.db()).await?;
        row.map(|row| row.name).ok_or(StoreError::NotFound)
    }

    /// The operation's seasons, newest first.
    pub async fn seasons(&self) -> Result<Vec<Season>, StoreError> {
        let mine = season::Column::OperationId.eq(self.operation());
        let rows = season::Entity::find().filter(mine).all(self.db()).await?;
        let mut seasons = rows.iter().map(season::Model::season).collect::<Result<Vec<_>, _>>()?;
        seasons.sort_unstable_by_key(|season| std::cmp::Reverse(season.year));
        Ok(seasons)
    }

    /// The season of a year.
    pub async fn season(&self, year: i32) -> Result<Season, StoreError> {
        season_row(self.db(), self.operation(), year).await?.season()
    }

    /// The farms, by name.
    pub async fn farms(&self) -> Result<Vec<FarmRow>, StoreError> {
        let rows = farms_in_scope(self.scope).all(self.db()).await?;
        let mut farms = rows.iter().map(farm_row).collect::<Result<Vec<_>, _>>()?;
        farms.sort_by(|a, b| a.farm.name.cmp(&b.farm.name));
        Ok(farms)
    }

    /// A farm.
    pub async fn farm(&self, id: FarmId) -> Result<FarmRow, StoreError> {
        let row = farms_in_scope(self.scope).filter(farm::Column::Id.eq(id.0)).one(self.db()).await?;
        farm_row(&row.ok_or(StoreError::NotFound)?)
    }

    /// The blocks, by farm name and code.
    pub async fn blocks(&self) -> Result<Vec<BlockRow>, StoreError> {
        blocks_of(self.db(), self.scope, &AsClosed::default(), 0).await
    }

    /// A block.
    pub async fn block(&self, id: BlockId) -> Result<BlockRow, StoreError> {
        let row = blocks_in_scope(self.scope).filter(block::Column::Id.eq(id.0)).one(self.db()).await?;
        let row = row.ok_or(StoreError::NotFound)?;
        let settings = settings(self.operation(), Some(row.id)).all(self.db()).await?;
        let farm = farm::Entity::find_by_id((self.operation(), row.farm_id)).one(self.db()).await?;
        block_row(&row, &settings, farm.map_or_else(String::new, |farm| farm.name))
    }

    /// Everything recorded about a block in a season, from one state of the database, in a fixed
    /// number of queries. Rates, prices and shared costs are the whole operation's, whatever the
    /// person's farms.
    pub async fn season_records(&self, block: BlockId, year: i32) -> Result<SeasonRecords, StoreError> {
        let tx = self.store.begin_reading().await?;
        let visible = blocks_in_scope(self.scope).filter(block::Column::Id.eq(block.0)).one(&tx).await?;
        visible.ok_or(StoreError::NotFound)?;
        let season = season_row(&tx, self.operation(), year).await?;
        let wanted = Wanted { operation: self.operation(), season: &season, blocks: &[block.0] };
        let found = gather(&tx, &wanted).await?;
        found.into_iter().next().map(|(_, records)| records).ok_or(StoreError::NotFound)
    }

    /// The same of a block in every season up to a year, newest first: as many queries as for one season.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] for a block that is not in scope.
    pub async fn records_up_to(&self, block: BlockId, year: i32) -> Result<Vec<SeasonRecords>, StoreError> {
        let tx = self.store.begin_reading().await?;
        let visible = blocks_in_scope(self.scope).filter(block::Column::Id.eq(block.0)).one(&tx).await?;
        visible.ok_or(StoreError::NotFound)?;
        let seasons = season::Entity::find()
            .filter(season::Column::OperationId.eq(self.operation()))
            .filter(season::Column::Year.lte(i64::from(year)))
            .order_by_desc(season::Column::Year);
        let seasons = seasons.all(&tx).await?;
        let found = several::gather(&tx, self.operation(), &[block.0], &seasons).await?;
        Ok(found.into_iter().map(|(_, records)| records).collect())
    }

    /// Everything recorded about every block of the person's farms in a season, in the order of block
    /// identifiers, in the same number of queries as for one block.
    pub async fn whole_season(&self, year: i32) -> Result<Vec<(BlockId, SeasonRecords)>, StoreError> {
        self.season_of(blocks_in_scope(self.scope), year).await
    }

    /// The same of one farm's blocks; empty where the farm is not in scope.
    pub async fn farm_season(&self, farm: FarmId, year: i32) -> Result<Vec<(BlockId, SeasonRecords)>, StoreError> {
        self.season_of(blocks_in_scope(self.scope).filter(block::Column::FarmId.eq(farm.0)), year).await
    }

    async fn season_of(
        &self,
        blocks: Select<block::Entity>,
        year: i32,
    ) -> Result<Vec<(BlockId, SeasonRecords)>, StoreError> {
        let tx = self.store.begin_reading().await?;
        let season = season_row(&tx, self.operation(), year).await?;
        let found = self.records_of(&tx, &season, blocks).await?;
        Ok(found.into_iter().map(|(id, records)| (BlockId(id), records)).collect())
    }

    /// Everything recorded in a season about those of some blocks that belong to it, by block identifier.
    async fn records_of<C: ConnectionTrait>(
        &self,
        db: &C,
        season: &season::Model,
        blocks: Select<block::Entity>,
    ) -> Result<Vec<(Uuid, SeasonRecords)>, StoreError> {
        let blocks = self.of_season(db, season, blocks).await?;
        gather(db, &Wanted { operation: self.operation(), season, blocks: &blocks }).await
    }

    /// Labor, picks, observations and thinning targets of every block of the person's farms in a season, in the order of
    /// block identifiers and in a fixed number of queries; the other lists are left empty. For pages
    /// that say what work is due: it must never be reckoned.
    pub async fn field_work(&self, year: i32) -> Result<Vec<(BlockId, SeasonRecords)>, StoreError> {
        let tx = self.store.begin_reading().await?;
        let season = season_row(&tx, self.operation(), year).await?;
        let blocks = self.of_season(&tx, &season, blocks_in_scope(self.scope)).await?;
        let wanted = Wanted { operation: self.operation(), season: &season, blocks: &blocks };
        let found = gather_field_work(&tx, &wanted).await?;
        Ok(found.into_iter().map(|(id, records)| (BlockId(id), records)).collect())
    }

    /// The kept summary of every block that belongs to a season, by farm name and block code: the blocks
    /// of a closed season as they stood when it was closed. `None` where a block has none yet.
    pub async fn summaries(&self, year: i32) -> Result<Vec<(BlockRow, Option<Summary>)>, StoreError> {
        let tx = self.store.begin_reading().await?;
        let season = season_row(&tx, self.operation(), year).await?;
        let kept = block_season::Entity::find()
            .filter(block_season::Column::OperationId.eq(self.operation()))
            .filter(block_season::Column::Year.eq(season.year))
            .all(&tx)
            .await?;
        let mut kept: std::collections::BTreeMap<Uuid, block_season::Model> =
            kept.into_iter().map(|row| (row.block_id, row)).collect();
        let members = self.of_season(&tx, &season, blocks_in_scope(self.scope)).await?;
        let closed = AsClosed::load(&tx, self.operation(), core::slice::from_ref(&season)).await?;
        let rows = blocks_of(&tx, self.scope, &closed, season.year).await?.into_iter();
        let rows = rows.filter(|row| members.binary_search(&row.id.0).is_ok());
        rows.map(|row| {
            let summary = kept.remove(&row.id.0).map(|kept| kept.summary()).transpose()?;
            Ok((row, summary.flatten()))
        })
        .collect()
    }

    /// Those of some blocks that belong to a season, sorted.
    async fn of_season<C: ConnectionTrait>(
        &self,
        db: &C,
        season: &season::Model,
        blocks: Select<block::Entity>,
    ) -> Result<Vec<Uuid>, StoreError> {
        let rows = blocks.all(db).await?;
        Ok(members::ids_of(db, self.operation(), season, &rows).await?.into_iter().collect())
    }

    fn db(&self) -> &DatabaseConnection {
        &self.store.inner.reader
    }

    fn operation(&self) -> Uuid {
        self.scope.operation.0
    }
}

/// The season of a year, as a row.
pub(crate) async fn season_row<C: ConnectionTrait>(
    db: &C,
    operation: Uuid,
    year: i32,
) -> Result<season::Model, StoreError> {
    let row = season::Entity::find_by_id((operation, i64::from(year))).one(db).await?;
    row.ok_or(StoreError::NotFound)
}

/// Where every query of farms begins.
pub(crate) fn farms_in_scope(scope: &Scope) -> Select<farm::Entity> {
    let mine = farm::Entity::find().filter(farm::Column::OperationId.eq(scope.operation.0));
    match &scope.farms {
        Some(farms) => mine.filter(farm::Column::Id.is_in(farms.iter().map(|farm| farm.0))),
        None => mine,
    }
}

/// Where every query of blocks begins.
pub(crate) fn blocks_in_scope(scope: &Scope) -> Select<block::Entity> {
    let mine = block::Entity::find().filter(block::Column::OperationId.eq(scope.operation.0));
    match &scope.farms {
        Some(farms) => mine.filter(block::Column::FarmId.is_in(farms.iter().map(|farm| farm.0))),
        None => mine,
    }
}

/// Where queries of settings begin: those of one block, or of all.
pub(crate) fn settings(operation: Uuid, block: Option<Uuid>) -> Select<block_setting::Entity> {
    let mine = block_setting::Entity::find().filter(block_setting::Column::OperationId.eq(operation));
    match block {
        Some(block) => mine.filter(block_setting::Column::BlockId.eq(block)),
        None => mine,
    }
}

/// The blocks as a year has them, if it was closed with them.
async fn blocks_of<C: ConnectionTrait>(
    db: &C,
    scope: &Scope,
    closed: &AsClosed,
    year: i64,
) -> Result<Vec<BlockRow>, StoreError> {
    let rows = closed.blocks(year, blocks_in_scope(scope).all(db).await?)?;
    let farms = closed.farms(year, farms_in_scope(scope).all(db).await?)?;
    let ids: Vec<Uuid> = rows.iter().map(|row| row.id).collect();
    let all = closed.settings(year, &ids, settings(scope.operation.0, None).all(db).await?)?;
    let mut by_block: std::collections::BTreeMap<Uuid, Vec<block_setting::Model>> = std::collections::BTreeMap::new();
    for setting in all {
        by_block.entry(setting.block_id).or_default().push(setting);
    }
    let name = |id: Uuid| farms.iter().find(|farm| farm.id == id).map_or_else(String::new, |farm| farm.name.clone());
    let mut blocks = rows
        .iter()
        .map(|row| block_row(row, by_block.get(&row.id).map_or(&[], Vec::as_slice), name(row.farm_id)))
        .collect::<Result<Vec<_>, _>>()?;
    blocks.sort_by(|a, b| (&a.farm_name, &a.block.code).cmp(&(&b.farm_name, &b.block.code)));
    Ok(blocks)
}

fn farm_row(row: &farm::Model) -> Result<FarmRow, StoreError> {
    Ok(FarmRow { id: FarmId(row.id), version: row.version, farm: row.farm()? })
}

fn block_row(row: &block::Model, settings: &[block_setting::Model], farm_name: String) -> Result<BlockRow, StoreError> {
    Ok(BlockRow {
        id: BlockId(row.id),
        farm_id: FarmId(row.farm_id),
        farm_name,
        version: row.version,
        block: row.block(settings)?,
    })
}
