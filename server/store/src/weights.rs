//! What shared costs are weighed by: the blocks themselves, or what was packed and worked in the season.

use std::collections::BTreeMap;

use chrono::NaiveDate;
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
    /// Of all blocks of the operation in a season, as far as one of the bases asks for them.
    pub(crate) async fn load<C: ConnectionTrait>(
        db: &C,
        operation: Uuid,
        season: &season::Model,
        bases: impl Iterator<Item = SharedBasis>,
    ) -> Result<Self, StoreError> {
        let each = Self::load_each(db, operation, core::slice::from_ref(season), bases).await?;
        Ok(each.into_values().next().unwrap_or_default())
    }

    /// The same of each of several seasons, by year, in as many queries as for one.
    pub(crate) async fn load_each<C: ConnectionTrait>(
        db: &C,
        operation: Uuid,
        seasons: &[season::Model],
        bases: impl Iterator<Item = SharedBasis>,
    ) -> Result<BTreeMap<i64, Self>, StoreError> {
        let mut weights: BTreeMap<i64, Self> = seasons.iter().map(|season| (season.year, Self::default())).collect();
        let Some(span) = span(seasons) else { return Ok(weights) };
        let (packed, worked) = bases.fold((false, false), |(packed, worked), basis| match basis {
            SharedBasis::Boxes | SharedBasis::Weight => (true, worked),
            SharedBasis::Hours => (packed, true),
            SharedBasis::Acres | SharedBasis::Trees | SharedBasis::Fixed => (packed, worked),
        });
        if packed {
            for (day, block, boxes, pounds) in packed_in(db, operation, span).await? {
                if let Some(of) = on(&mut weights, seasons, day) {
                    add(&mut of.boxes, block, boxes);
                    add(&mut of.pounds, block, pounds.unwrap_or_default());
                }
            }
        }
        if worked {
            for (day, block, hours) in worked_in(db, operation, span).await? {
                if let Some(of) = on(&mut weights, seasons, day) {
                    add(&mut of.hours, block, hours);
                }
            }
        }
        Ok(weights)
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

/// First and last day of some seasons; `None` without any.
fn span(seasons: &[season::Model]) -> Option<(NaiveDate, NaiveDate)> {
    let first = seasons.iter().map(|season| season.first_day).min()?;
    Some((first, seasons.iter().map(|season| season.last_day).max()?))
}

/// The weights of the season that holds a day.
fn on<'w>(
    weights: &'w mut BTreeMap<i64, Weights>,
    seasons: &[season::Model],
    day: NaiveDate,
) -> Option<&'w mut Weights> {
    let season = seasons.iter().find(|season| season.first_day <= day && day <= season.last_day)?;
    weights.get_mut(&season.year)
}

async fn packed_in<C: ConnectionTrait>(
    db: &C,
    operation: Uuid,
    (first, last): (NaiveDate, NaiveDate),
) -> Result<Vec<(NaiveDate, Uuid, i64, Option<i64>)>, StoreError> {
    use packout::Column::{BlockId, BoxesMicros, Day, WeightLbMicros};
    let lines = in_days::<packout::Model>(operation, first, last)
        .filter(BoxesMicros.is_not_null())
        .select_only()
        .columns([Day, BlockId, BoxesMicros, WeightLbMicros])
        .into_tuple();
    Ok(lines.all(db).await?)
}

async fn worked_in<C: ConnectionTrait>(
    db: &C,
    operation: Uuid,
    (first, last): (NaiveDate, NaiveDate),
) -> Result<Vec<(NaiveDate, Uuid, i64)>, StoreError> {
    use labor::Column::{BlockId, Day, HoursMicros};
    let entries = in_days::<labor::Model>(operation, first, last)
        .filter(HoursMicros.is_not_null())
        .select_only()
        .columns([Day, BlockId, HoursMicros])
        .into_tuple();
    Ok(entries.all(db).await?)
}

fn add(to: &mut BTreeMap<Uuid, i64>, block: Uuid, micros: i64) {
    let sum = to.entry(block).or_default();
    *sum = sum.saturating_add(micros);
}
