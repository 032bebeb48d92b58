//! Farms and blocks as they stood when a season was closed. A closed season's figures do not follow what
//! is corrected later; a season closed before these were kept has none and takes what stands now.
//!
//! A row is kept as JSON: column names and values. A column that is not in it (one of a later book) takes
//! what stands now, as do the columns only the store needs. Doubles are kept as text in their shortest form
//! that reads back to the same bits.

use reckon::block::SeasonState;
use sea_orm::entity::prelude::Uuid;
use sea_orm::{ColumnTrait, ConnectionTrait, EntityTrait, IdenStatic, Iterable, ModelTrait, QueryFilter, Value};
use serde_json::{Map, Value as Json};

use crate::error::StoreError;
use crate::read::Bad;
use crate::tables::closings::closed_place;
use crate::tables::places::{block, block_setting, farm, season};

const FARM: &str = "farm";
const BLOCK: &str = "block";
/// Where a block's settings stand beside its columns.
const SETTINGS: &str = "settings";

/// What was kept of farms and blocks when some seasons were closed.
#[derive(Debug, Default)]
pub(crate) struct AsClosed(Vec<closed_place::Model>);

impl AsClosed {
    /// Of those of the seasons that are closed, in one query; none where all are open.
    pub(crate) async fn load<C: ConnectionTrait>(
        db: &C,
        operation: Uuid,
        seasons: &[season::Model],
    ) -> Result<Self, StoreError> {
        let mut years = Vec::new();
        for season in seasons {
            if season.season()?.state == SeasonState::Closed {
                years.push(season.year);
            }
        }
        if years.is_empty() {
            return Ok(Self::default());
        }
        let kept = closed_place::Entity::find()
            .filter(closed_place::Column::OperationId.eq(operation))
            .filter(closed_place::Column::Year.is_in(years));
        Ok(Self(kept.all(db).await?))
    }

    /// The farms of a year.
    ///
    /// # Errors
    /// [`StoreError::Corrupt`] for a kept row that does not read; so below.
    pub(crate) fn farms(&self, year: i64, mut now: Vec<farm::Model>) -> Result<Vec<farm::Model>, StoreError> {
        for row in &mut now {
            self.restore(year, FARM, row.id, row)?;
        }
        Ok(now)
    }

    /// The blocks of a year.
    pub(crate) fn blocks(&self, year: i64, mut now: Vec<block::Model>) -> Result<Vec<block::Model>, StoreError> {
        for row in &mut now {
            self.restore(year, BLOCK, row.id, row)?;
        }
        Ok(now)
    }

    /// The settings of a year's blocks: of some of them, whose settings stand now as given.
    pub(crate) fn settings(
        &self,
        year: i64,
        blocks: &[Uuid],
        mut now: Vec<block_setting::Model>,
    ) -> Result<Vec<block_setting::Model>, StoreError> {
        for block in blocks {
            let Some(row) = self.find(year, BLOCK, *block) else { continue };
            let kept = object(row)?;
            let Some(Json::Object(kept)) = kept.get(SETTINGS) else { return Err(bad(row)) };
            now.retain(|setting| setting.block_id != *block);
            for (name, value) in kept {
                let value = double(value).ok_or_else(|| bad(row))?;
                let (operation_id, name) = (row.operation_id, name.clone());
                now.push(block_setting::Model { operation_id, block_id: *block, name, value });
            }
        }
        Ok(now)
    }

    fn find(&self, year: i64, kind: &str, id: Uuid) -> Option<&closed_place::Model> {
        self.0.iter().find(|row| row.year == year && row.place_id == id && row.kind == kind)
    }

    fn restore<M: ModelTrait>(&self, year: i64, kind: &str, id: Uuid, now: &mut M) -> Result<(), StoreError> {
        let Some(row) = self.find(year, kind, id) else { return Ok(()) };
        let kept = object(row)?;
        for column in <M::Entity as EntityTrait>::Column::iter() {
            let Some(json) = kept.get(column.as_str()) else { continue };
            let value = value(json, &now.get(column)).ok_or_else(|| bad(row))?;
            now.try_set(column, value).map_err(|_| bad(row))?;
        }
        Ok(())
    }
}

/// The rows that keep farms and blocks for a season that is being closed.
pub(crate) fn as_they_stand(
    operation_id: Uuid,
    year: i64,
    farms: &[farm::Model],
    blocks: &[block::Model],
    settings: &[block_setting::Model],
) -> Vec<closed_place::Model> {
    let row = |kind: &str, place_id, stood: Map<String, Json>| closed_place::Model {
        operation_id,
        year,
        kind: kind.to_owned(),
        place_id,
        stood: Json::Object(stood).to_string(),
    };
    let block = |block: &block::Model| {
        let own = settings.iter().filter(|setting| setting.block_id == block.id);
        let own: Map<String, Json> = own.map(|s| (s.name.clone(), s.value.to_string().into())).collect();
        let mut stood = columns(block);
        stood.insert(SETTINGS.to_owned(), Json::Object(own));
        row(BLOCK, block.id, stood)
    };
    farms.iter().map(|farm| row(FARM, farm.id, columns(farm))).chain(blocks.iter().map(block)).collect()
}

/// What a row says, but for identifiers, which never change, and the version, which a correction names.
fn columns<M: ModelTrait>(row: &M) -> Map<String, Json> {
    let mut columns = Map::new();
    for column in <M::Entity as EntityTrait>::Column::iter().filter(|column| column.as_str() != "version") {
        let json = match row.get(column) {
            Value::BigInt(whole) => whole.into(),
            Value::Double(double) => double.map(|double| double.to_string()).into(),
            Value::String(text) => text.into(),
            _ => continue,
        };
        columns.insert(column.as_str().to_owned(), json);
    }
    columns
}

/// A kept value, of the type that the column has now.
fn value(json: &Json, now: &Value) -> Option<Value> {
    let given = !json.is_null();
    let value = match now {
        Value::BigInt(_) => Value::BigInt(if given { Some(json.as_i64()?) } else { None }),
        Value::Double(_) => Value::Double(if given { Some(double(json)?) } else { None }),
        Value::String(_) => Value::String(if given { Some(json.as_str()?.to_owned()) } else { None }),
        _ => return None,
    };
    Some(value)
}

fn double(json: &Json) -> Option<f64> {
    json.as_str()?.parse().ok().filter(|double: &f64| double.is_finite())
}

fn object(row: &closed_place::Model) -> Result<Map<String, Json>, StoreError> {
    serde_json::from_str(&row.stood).map_err(|_| bad(row))
}

fn bad(row: &closed_place::Model) -> StoreError {
    Bad("stood").at("closed_place", row.place_id)
}
