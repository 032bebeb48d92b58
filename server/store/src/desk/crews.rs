//! Labor of the weeks that touch a season, over all blocks: crews work in more than one.

use reckon::figure::Kept;
use reckon::records::{LaborEntry, Rate};
use sea_orm::entity::prelude::Uuid;

use super::{Desk, blocks_in_scope, field_rules, season_row};
use crate::error::StoreError;
use crate::gather::{in_days, sorted, until};
use crate::ids::BlockId;
use crate::rows::{self, RecordRow};

/// An entry and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct CrewEntry {
    /// Its block.
    pub block: BlockId,
    /// The block's code.
    pub code: String,
    /// The entry.
    pub entry: Kept<LaborEntry>,
}

/// Labor of whole weeks, and the rates it may take.
#[derive(Debug, Clone, PartialEq)]
pub struct CrewLabor {
    /// By day, then identifier.
    pub entries: Vec<CrewEntry>,
    /// Every rate that holds from a day no later than the last of them.
    pub rates: Vec<Kept<Rate>>,
}

impl Desk<'_> {
    /// Labor of the person's farms in the weeks, as the operation counts them, that touch a season, in a
    /// fixed number of queries. A week across the turn of two seasons is whole in both.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] for a year without a season.
    pub async fn crew_labor(&self, year: i32) -> Result<CrewLabor, StoreError> {
        let tx = self.store.begin_reading().await?;
        let season = season_row(&tx, self.operation(), year).await?;
        let week = field_rules(&tx, self.operation()).await?.week();
        let (first, last) = (week.week_of(season.first_day), week.end_of(season.last_day));
        let blocks = blocks_in_scope(self.scope).all(&tx).await?;
        let code = |id: Uuid| blocks.iter().find(|block| block.id == id).map(|block| block.code.clone());
        let labor = in_days::<rows::labor::Model>(self.operation(), first, last).all(&tx).await?;
        let mut entries = Vec::new();
        for row in sorted(labor) {
            let Some(block) = row.place().block_id else { continue };
            if let Some(code) = code(block) {
                entries.push(CrewEntry { block: BlockId(block), code, entry: row.kept()? });
            }
        }
        let rates = until::<rows::rate::Model, _>(&tx, self.operation(), last).await?;
        Ok(CrewLabor { entries, rates })
    }
}
