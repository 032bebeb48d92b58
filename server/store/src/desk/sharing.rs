//! Who shares which cost: what a page needs to show each block's part and why.

use reckon::figure::Kept;
use reckon::records::Cost;
use rust_decimal::Decimal;
use sea_orm::{ColumnTrait, Condition, EntityTrait, QueryFilter};

use super::{Desk, season_row};
use crate::error::StoreError;
use crate::gather::{costs_of, reaches};
use crate::ids::{BlockId, FarmId};
use crate::rows::{self, RecordRow};
use crate::tables::places::block;
use crate::weights::Weights;

/// A cost of a farm or of the whole operation, and the blocks it goes out to.
#[derive(Debug, Clone, PartialEq)]
pub struct SharedOut {
    /// The cost.
    pub cost: Kept<Cost>,
    /// Its farm; `None` for the whole operation.
    pub farm: Option<FarmId>,
    /// The blocks that share it, in the order in which equal remainders are served; `None` for one
    /// out of the person's scope.
    pub blocks: Vec<Option<BlockId>>,
    /// Weight of each under the cost's basis.
    pub weights: Vec<Decimal>,
}

impl Desk<'_> {
    /// Costs of a season that go out to several blocks, by day: of the person's farms and of the
    /// whole operation. Outside one's farms only the weight of a block is told, not which it is.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] for a season that does not exist.
    pub async fn shared_costs(&self, year: i32) -> Result<Vec<SharedOut>, StoreError> {
        let tx = self.store.begin_reading().await?;
        let season = season_row(&tx, self.operation(), year).await?;
        let farm = rows::cost::Column::FarmId;
        let mine = match self.scope.farms() {
            Some(farms) => Condition::any().add(farm.is_null()).add(farm.is_in(farms.iter().map(|farm| farm.0))),
            None => Condition::all(),
        };
        let found = costs_of(self.operation(), season.first_day, season.last_day)
            .filter(rows::cost::Column::BlockId.is_null())
            .filter(mine);
        let mut costs = Vec::new();
        for row in found.all(&tx).await? {
            let farm = row.place().farm_id;
            let cost = row.kept()?;
            if reaches(&cost.record, &season) {
                costs.push((cost, farm));
            }
        }
        costs.sort_by_key(|(cost, _)| (cost.record.date, cost.id));
        let mut blocks = block::Entity::find().filter(block::Column::OperationId.eq(self.operation())).all(&tx).await?;
        blocks.sort_unstable_by_key(|block| block.id);
        let bases = costs.iter().map(|(cost, _)| cost.record.basis);
        let weights = Weights::load(&tx, self.operation(), &season, bases).await?;
        let out = costs.into_iter().map(|(cost, farm)| {
            let sharing = || blocks.iter().filter(|block| farm.is_none_or(|farm| block.farm_id == farm));
            let seen = |block: &block::Model| self.scope.sees_farm(block.farm_id).then_some(BlockId(block.id));
            SharedOut {
                blocks: sharing().map(seen).collect(),
                weights: sharing().map(|block| weights.of(block, &cost.record)).collect(),
                farm: farm.map(FarmId),
                cost,
            }
        });
        Ok(out.collect())
    }
}
