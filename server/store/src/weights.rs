//! What shared costs are weighed by: the blocks themselves, or what was packed and worked in the season.

use std::collections::BTreeMap;

use reckon::exact::Acres;
use reckon::records::{Cost, SharedBasis};
use rust_decimal::Decimal;
use sea_orm::entity::prelude::Uuid;
use sea_orm::{ColumnTrait, ConnectionTrait, QueryFilter, QuerySelect};

use crate::error::StoreError;
use crate::gather::in_days;
use crate::rows::{labor, packout};
use crate::tables::places::{block, season};

/// Millionths of boxes, pounds and hours of each block in a season.
#[derive(Debug, Default)]
pub(crate) struct Weights {
    boxes: BTreeMap<Uuid, i64>,
    pounds: BTreeMap<Uuid, i64>,
    hours: BTreeMap<Uuid, i64>,
}

impl Weights {
    /// Of all blocks of the operation, as far as one of the bases asks for them.
    pub(crate) async fn load<C: ConnectionTrait>(
        db: &C,
        operation: Uuid,
        season: &season::Model,
        bases: impl Iterator<Item = SharedBasis>,
    ) -> Result<Self, StoreError> {
        let mut weights = Self::default();
        let (packed, worked) = bases.fold((false, false), |(packed, worked), basis| match basis {
            SharedBasis::Boxes | SharedBasis::Weight => (true, worked),
            SharedBasis::Hours => (packed, true),
            SharedBasis::Acres | SharedBasis::Trees | SharedBasis::Fixed => (packed, worked),
        });
        if packed {
            weights.load_packed(db, operation, season).await?;
        }
        if worked {
            weights.load_hours(db, operation, season).await?;
        }
        Ok(weights)
    }

    async fn load_packed<C: ConnectionTrait>(
        &mut self,
        db: &C,
        operation: Uuid,
        season: &season::Model,
    ) -> Result<(), StoreError> {
        let lines = in_days::<packout::Model>(operation, season.first_day, season.last_day)
            .filter(packout::Column::BoxesMicros.is_not_null())
            .select_only()
            .columns([packout::Column::BlockId, packout::Column::BoxesMicros, packout::Column::WeightLbMicros])
            .into_tuple::<(Uuid, i64, Option<i64>)>();
        for (block, boxes, pounds) in lines.all(db).await? {
            add(&mut self.boxes, block, boxes);
            add(&mut self.pounds, block, pounds.unwrap_or_default());
        }
        Ok(())
    }

    async fn load_hours<C: ConnectionTrait>(
        &mut self,
        db: &C,
        operation: Uuid,
        season: &season::Model,
    ) -> Result<(), StoreError> {
        let entries = in_days::<labor::Model>(operation, season.first_day, season.last_day)
            .filter(labor::Column::HoursMicros.is_not_null())
            .select_only()
            .columns([labor::Column::BlockId, labor::Column::HoursMicros])
            .into_tuple::<(Uuid, i64)>();
        for (block, hours) in entries.all(db).await? {
            add(&mut self.hours, block, hours);
        }
        Ok(())
    }

    /// The weight of a block under a cost.
    pub(crate) fn of(&self, block: &block::Model, cost: &Cost) -> Decimal {
        let kept =
            |of: &BTreeMap<Uuid, i64>| Acres::from_micros(of.get(&block.id).copied().unwrap_or_default()).decimal();
        match cost.basis {
            SharedBasis::Acres => Acres::from_micros(block.acres_micros).decimal(),
            SharedBasis::Trees => block.trees.map_or(Decimal::ZERO, Decimal::from),
            SharedBasis::Boxes => kept(&self.boxes),
            SharedBasis::Weight => kept(&self.pounds),
            SharedBasis::Hours => kept(&self.hours),
            SharedBasis::Fixed => cost.shares.of(&block.code).decimal(),
        }
    }
}

fn add(to: &mut BTreeMap<Uuid, i64>, block: Uuid, micros: i64) {
    let sum = to.entry(block).or_default();
    *sum = sum.saturating_add(micros);
}
