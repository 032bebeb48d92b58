//! Who shares which cost: what a page needs to show each block's part and why.

use reckon::figure::Kept;
use reckon::money::Money;
use reckon::records::{Cost, Shares};
use reckon::sharing::{self, shared_out};
use rust_decimal::Decimal;
use sea_orm::{ColumnTrait, Condition, ConnectionTrait, QueryFilter};

use super::{Desk, season_row};
use crate::error::StoreError;
use crate::gather::{costs_of, reaches};
use crate::ids::{BlockId, FarmId};
use crate::members::members;
use crate::rows::{self, RecordRow};
use crate::tables::places::{block, season};
use crate::weights::Weights;

/// A cost of a farm or of the whole operation, and the blocks it goes out to.
#[derive(Debug, Clone, PartialEq)]
pub struct SharedOut {
    /// The cost. Of a share alone it tells neither the invoice's amount nor what it lasts, nor whom else
    /// it goes to: its amount is the share.
    pub cost: Kept<Cost>,
    /// Its farm; `None` for the whole operation.
    pub farm: Option<FarmId>,
    /// Only the share of the person's farms is told: the invoice is the whole operation's, and the
    /// person is limited to farms.
    pub share_only: bool,
    /// The blocks that share it, as far as they are told, in the order in which equal remainders are
    /// served.
    pub blocks: Vec<BlockId>,
    /// What of it falls on the season, and the part of each block.
    pub out: sharing::SharedOut,
}

impl Desk<'_> {
    /// Costs of a season that go out to several blocks, by day: of the person's farms and of the
    /// whole operation. To a person limited to farms only the share of these farms is told of an
    /// operation-wide cost, and nothing of one that they have no share in.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] for a season that does not exist.
    pub async fn shared_costs(&self, year: i32) -> Result<Vec<SharedOut>, StoreError> {
        let tx = self.store.begin_reading().await?;
        let row = season_row(&tx, self.operation(), year).await?;
        self.shared_costs_of(&tx, &row).await
    }

    /// The same within a reading already begun.
    pub(super) async fn shared_costs_of<C: ConnectionTrait>(
        &self,
        db: &C,
        row: &season::Model,
    ) -> Result<Vec<SharedOut>, StoreError> {
        let season = row.season()?;
        let costs = self.costs_to_share(db, row).await?;
        let blocks = members(db, self.operation(), row).await?;
        let bases = costs.iter().map(|(cost, _)| cost.record.basis);
        let weights = Weights::load(db, self.operation(), row, bases).await?;
        let out = costs.into_iter().map(|(cost, farm)| {
            let sharing: Vec<&block::Model> =
                blocks.iter().filter(|block| farm.is_none_or(|farm| block.farm_id == farm.0)).collect();
            let weights: Vec<Decimal> = sharing.iter().map(|block| weights.of(block, &cost.record)).collect();
            let out = shared_out(&cost.record, &season, &weights);
            let told = SharedOut {
                cost,
                farm,
                share_only: false,
                blocks: sharing.iter().map(|b| BlockId(b.id)).collect(),
                out,
            };
            if farm.is_some() || self.scope.sees_all() {
                return Some(told);
            }
            let seen: Vec<bool> = sharing.iter().map(|block| self.scope.sees_farm(block.farm_id)).collect();
            Some(told.share_of(&seen)).filter(|share| share.out.parts.iter().any(|part| !part.weight.is_zero()))
        });
        Ok(out.flatten().collect())
    }

    /// Costs of the season that belong to no single block, by day.
    async fn costs_to_share<C: ConnectionTrait>(
        &self,
        db: &C,
        season: &season::Model,
    ) -> Result<Vec<(Kept<Cost>, Option<FarmId>)>, StoreError> {
        let farm = rows::cost::Column::FarmId;
        let mine = match self.scope.farms() {
            Some(farms) => Condition::any().add(farm.is_null()).add(farm.is_in(farms.iter().map(|farm| farm.0))),
            None => Condition::all(),
        };
        let found = costs_of(self.operation(), season.first_day, season.last_day)
            .filter(rows::cost::Column::BlockId.is_null())
            .filter(mine);
        let mut costs = Vec::new();
        for row in found.all(db).await? {
            let farm = row.place().farm_id.map(FarmId);
            let cost = row.kept()?;
            if reaches(&cost.record, season) {
                costs.push((cost, farm));
            }
        }
        costs.sort_by_key(|(cost, _)| (cost.record.date, cost.id));
        Ok(costs)
    }
}

impl SharedOut {
    /// The share of the blocks that are seen, and nothing that tells the whole.
    fn share_of(self, seen: &[bool]) -> Self {
        let out = self.out.of_some(seen.iter().copied());
        let blocks = self.blocks.into_iter().zip(seen).filter(|(_, seen)| **seen).map(|(block, _)| block).collect();
        let Kept { id, record } = self.cost;
        let amount: Money = out.amount;
        let record = Cost { amount, lasting: None, shares: Shares::default(), note: String::new(), ..record };
        Self { cost: Kept { id, record }, farm: self.farm, share_only: true, blocks, out }
    }
}
