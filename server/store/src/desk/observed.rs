//! Observations of methods, as they were kept beside the summaries: comparing every season takes a
//! fixed number of queries and reckons nothing again.

use std::collections::BTreeSet;

use reckon::compare::Observation;
use sea_orm::entity::prelude::Uuid;
use sea_orm::{ColumnTrait, ConnectionTrait, EntityTrait, QueryFilter};

use super::{Desk, blocks_in_scope, season_row};
use crate::error::StoreError;
use crate::gather::{Wanted, gather};
use crate::ids::BlockId;
use crate::observed;
use crate::read::Bad;
use crate::tables::ledger::block_season;

/// What one block-season shows of its method of thinning.
#[derive(Debug, Clone, PartialEq)]
pub struct Observed {
    /// The block.
    pub block: BlockId,
    /// Year of the season.
    pub year: i32,
    /// None where nothing was thinned; several where parts of the block were thinned in different ways.
    pub observations: Vec<Observation>,
}

impl Desk<'_> {
    /// Observations of every block of the person's farms, of one season or of all, by year and block:
    /// two queries. Block-seasons whose summary was kept before observations were, or with those of an
    /// earlier form, are reckoned here, at a fixed number of queries for each of their seasons.
    ///
    /// # Errors
    /// [`StoreError::Corrupt`] for kept observations that do not read.
    pub async fn observed(&self, year: Option<i32>) -> Result<Vec<Observed>, StoreError> {
        let tx = self.store.begin_reading().await?;
        let mine: BTreeSet<Uuid> = blocks_in_scope(self.scope).all(&tx).await?.iter().map(|row| row.id).collect();
        let kept = block_season::Entity::find().filter(block_season::Column::OperationId.eq(self.operation()));
        let kept = match year {
            Some(year) => kept.filter(block_season::Column::Year.eq(i64::from(year))),
            None => kept,
        };
        let mut rows = kept.all(&tx).await?;
        rows.retain(|row| mine.contains(&row.block_id));
        rows.sort_by_key(|row| (row.year, row.block_id));
        let stands =
            |row: &block_season::Model| row.observed.as_deref().is_some_and(|text| !observed::is_earlier(text));
        let (kept, unkept): (Vec<_>, Vec<_>) = rows.into_iter().partition(|row| !row.stale && stands(row));
        let mut found = kept.iter().map(read).collect::<Result<Vec<_>, _>>()?;
        found.extend(self.reckoned(&tx, &unkept).await?);
        found.sort_by_key(|seen| (seen.year, seen.block.0));
        Ok(found)
    }

    /// Those of rows that keep none.
    async fn reckoned<C: ConnectionTrait>(
        &self,
        db: &C,
        rows: &[block_season::Model],
    ) -> Result<Vec<Observed>, StoreError> {
        let mut found = Vec::new();
        let years: BTreeSet<i64> = rows.iter().map(|row| row.year).collect();
        for year in years {
            let blocks: Vec<Uuid> = rows.iter().filter(|row| row.year == year).map(|row| row.block_id).collect();
            let season = season_row(db, self.operation(), year_of(year, self.operation())?).await?;
            let wanted = Wanted { operation: self.operation(), season: &season, blocks: &blocks };
            for (block, records) in gather(db, &wanted).await? {
                let observations = Observation::of(&reckon::reckon(&records));
                found.push(Observed { block: BlockId(block), year: records.season.year, observations });
            }
        }
        Ok(found)
    }
}

fn year_of(year: i64, operation: Uuid) -> Result<i32, StoreError> {
    i32::try_from(year).map_err(|_| Bad("year").at("block_season", operation))
}

fn read(row: &block_season::Model) -> Result<Observed, StoreError> {
    let bad = || Bad("observed").at("block_season", row.block_id);
    let text = row.observed.as_deref().unwrap_or_default();
    Ok(Observed {
        block: BlockId(row.block_id),
        year: year_of(row.year, row.block_id)?,
        observations: observed::read(text).ok_or_else(bad)?,
    })
}
