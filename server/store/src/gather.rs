//! Everything recorded about block seasons, in a fixed number of queries however many records and
//! however many blocks.

pub(crate) mod several;
pub(crate) mod water;

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use reckon::figure::Kept;
use reckon::records::{Cost, WeatherDay};
use reckon::season::SeasonRecords;
use sea_orm::entity::prelude::Uuid;
use sea_orm::{ColumnTrait, Condition, ConnectionTrait, EntityTrait, QueryFilter, Select};

use crate::as_closed::AsClosed;
use crate::error::StoreError;
use crate::rows::{self, RecordRow, mulch::lasts_to};
use crate::tables::people::operation;
use crate::tables::places::{block, block_setting, farm, season};

/// A block season to be loaded: the operation's blocks, of which some are asked for.
#[derive(Clone, Copy)]
pub(crate) struct Wanted<'a> {
    pub(crate) operation: Uuid,
    pub(crate) season: &'a season::Model,
    /// Sorted.
    pub(crate) blocks: &'a [Uuid],
}

/// The records of the wanted blocks' season, in the order asked for. A block that is not there is left out.
pub(crate) async fn gather<C: ConnectionTrait>(
    db: &C,
    wanted: &Wanted<'_>,
) -> Result<Vec<(Uuid, SeasonRecords)>, StoreError> {
    several::gather(db, wanted.operation, wanted.blocks, core::slice::from_ref(wanted.season)).await
}

/// The same with nothing but labor and its rates, picks, observations and thinning targets: what work is due by.
pub(crate) async fn gather_field_work<C: ConnectionTrait>(
    db: &C,
    wanted: &Wanted<'_>,
) -> Result<Vec<(Uuid, SeasonRecords)>, StoreError> {
    let mut seasons = Places::load(db, wanted).await?.empty_seasons(wanted)?;
    by_block::<rows::labor::Model, C>(db, wanted, &mut seasons, |s| &mut s.labor).await?;
    by_block::<rows::pick::Model, C>(db, wanted, &mut seasons, |s| &mut s.picks).await?;
    by_block::<rows::observation::Model, C>(db, wanted, &mut seasons, |s| &mut s.observations).await?;
    let last = wanted.season.last_day;
    let targets = until::<rows::thinning_target::Model, C>(db, wanted.operation, last).await?;
    let rates = until::<rows::rate::Model, C>(db, wanted.operation, last).await?;
    for records in seasons.values_mut() {
        records.targets.clone_from(&targets);
        records.rates.clone_from(&rates);
    }
    Ok(seasons.into_iter().collect())
}

type Seasons = BTreeMap<Uuid, SeasonRecords>;

/// The lasting things around the wanted blocks.
#[derive(Clone)]
struct Places {
    operation: String,
    farms: Vec<farm::Model>,
    /// All of the operation, by id.
    blocks: Vec<block::Model>,
    settings: Vec<block_setting::Model>,
}

impl Places {
    /// As the wanted season has them: of a closed one, as they stood when it was closed.
    async fn load<C: ConnectionTrait>(db: &C, wanted: &Wanted<'_>) -> Result<Self, StoreError> {
        let closed = AsClosed::load(db, wanted.operation, core::slice::from_ref(wanted.season)).await?;
        Self::now(db, wanted).await?.in_year(&closed, wanted.season.year, wanted.blocks)
    }

    async fn now<C: ConnectionTrait>(db: &C, wanted: &Wanted<'_>) -> Result<Self, StoreError> {
        let id = wanted.operation;
        let operation = operation::Entity::find_by_id(id).one(db).await?.ok_or(StoreError::NotFound)?;
        let farms = farm::Entity::find().filter(farm::Column::OperationId.eq(id)).all(db).await?;
        let mut blocks = block::Entity::find().filter(block::Column::OperationId.eq(id)).all(db).await?;
        blocks.sort_unstable_by_key(|block| block.id);
        let settings = block_setting::Entity::find()
            .filter(block_setting::Column::OperationId.eq(id))
            .filter(block_setting::Column::BlockId.is_in(wanted.blocks.iter().copied()))
            .all(db)
            .await?;
        Ok(Self { operation: operation.name, farms, blocks, settings })
    }

    /// As a year has them, if it was closed with them.
    fn in_year(self, closed: &AsClosed, year: i64, wanted: &[Uuid]) -> Result<Self, StoreError> {
        Ok(Self {
            operation: self.operation,
            farms: closed.farms(year, self.farms)?,
            blocks: closed.blocks(year, self.blocks)?,
            settings: closed.settings(year, wanted, self.settings)?,
        })
    }

    fn empty_seasons(&self, wanted: &Wanted<'_>) -> Result<Seasons, StoreError> {
        let asked = self.blocks.iter().filter(|row| wanted.blocks.binary_search(&row.id).is_ok());
        asked.map(|row| Ok((row.id, self.empty_season(row, wanted.season)?))).collect()
    }

    fn empty_season(&self, row: &block::Model, season: &season::Model) -> Result<SeasonRecords, StoreError> {
        let farm = self.farms.iter().find(|farm| farm.id == row.farm_id).ok_or(StoreError::NotFound)?;
        let block = row.block(&self.settings)?;
        Ok(SeasonRecords::without_records(self.operation.clone(), farm.farm()?, block, season.season()?))
    }
}

/// The kinds whose records belong to a block and fall in the season.
async fn lists<C: ConnectionTrait>(db: &C, wanted: &Wanted<'_>, seasons: &mut Seasons) -> Result<(), StoreError> {
    by_block::<rows::labor::Model, C>(db, wanted, seasons, |s| &mut s.labor).await?;
    by_block::<rows::fruit_count::Model, C>(db, wanted, seasons, |s| &mut s.fruit_counts).await?;
    by_block::<rows::irrigation::Model, C>(db, wanted, seasons, |s| &mut s.irrigation).await?;
    by_block::<rows::tension::Model, C>(db, wanted, seasons, |s| &mut s.tension).await?;
    by_block::<rows::canopy::Model, C>(db, wanted, seasons, |s| &mut s.canopy).await?;
    by_block::<rows::pick::Model, C>(db, wanted, seasons, |s| &mut s.picks).await?;
    by_block::<rows::packout::Model, C>(db, wanted, seasons, |s| &mut s.packout).await?;
    by_block::<rows::settlement::Model, C>(db, wanted, seasons, |s| &mut s.settlements).await?;
    by_block::<rows::observation::Model, C>(db, wanted, seasons, |s| &mut s.observations).await?;
    mulch(db, wanted, seasons).await
}

async fn by_block<R: RecordRow, C: ConnectionTrait>(
    db: &C,
    wanted: &Wanted<'_>,
    seasons: &mut Seasons,
    list: fn(&mut SeasonRecords) -> &mut Vec<Kept<R::Record>>,
) -> Result<(), StoreError> {
    let Some(block) = R::column("block_id") else { return Ok(()) };
    let found = in_season::<R>(wanted).filter(block.is_in(wanted.blocks.iter().copied()));
    hand_out(sorted(found.all(db).await?), seasons, list)
}

/// Mulch laid in the season, or earlier and still within its life when the season begins.
async fn mulch<C: ConnectionTrait>(db: &C, wanted: &Wanted<'_>, seasons: &mut Seasons) -> Result<(), StoreError> {
    let found = rows::mulch::Entity::find()
        .filter(rows::mulch::Column::OperationId.eq(wanted.operation))
        .filter(rows::mulch::Column::BlockId.is_in(wanted.blocks.iter().copied()))
        .filter(rows::mulch::Column::Day.lte(wanted.season.last_day));
    hand_out(sorted(found.all(db).await?), seasons, |s| &mut s.mulch)?;
    for season in seasons.values_mut() {
        season.mulch.retain(|laid| lasts_to(&laid.record) >= wanted.season.first_day);
    }
    Ok(())
}

/// Gives each row to its block's list.
fn hand_out<R: RecordRow>(
    rows: Vec<R>,
    seasons: &mut Seasons,
    list: fn(&mut SeasonRecords) -> &mut Vec<Kept<R::Record>>,
) -> Result<(), StoreError> {
    for row in rows {
        let season = row.place().block_id.and_then(|block| seasons.get_mut(&block));
        if let Some(season) = season {
            list(season).push(row.kept()?);
        }
    }
    Ok(())
}

/// Weather of each block's station; farms may share one.
async fn stations<C: ConnectionTrait>(db: &C, wanted: &Wanted<'_>, seasons: &mut Seasons) -> Result<(), StoreError> {
    let weather = weather_of(db, wanted, seasons.values().map(|season| season.farm.station.clone())).await?;
    for season in seasons.values_mut() {
        season.weather = weather.get(&season.farm.station).cloned().unwrap_or_default();
    }
    Ok(())
}

/// Weather of some stations in the season, by day.
async fn weather_of<C: ConnectionTrait>(
    db: &C,
    wanted: &Wanted<'_>,
    stations: impl Iterator<Item = String>,
) -> Result<BTreeMap<String, Vec<Kept<WeatherDay>>>, StoreError> {
    let names: BTreeSet<String> = stations.collect();
    let found = in_season::<rows::weather::Model>(wanted).filter(rows::weather::Column::Station.is_in(names));
    let mut by_station: BTreeMap<String, Vec<Kept<WeatherDay>>> = BTreeMap::new();
    for row in sorted(found.all(db).await?) {
        let station = row.place().station.unwrap_or_default();
        by_station.entry(station).or_default().push(row.kept()?);
    }
    Ok(by_station)
}

/// Costs of a season's days, and what was bought earlier and may still be within its life.
pub(crate) fn costs_of(operation: Uuid, first: NaiveDate, last: NaiveDate) -> Select<rows::cost::Entity> {
    let (day, life) = (rows::cost::Column::Day, rows::cost::Column::LifeYears);
    let lasting = Condition::all().add(life.is_not_null()).add(day.lte(last));
    let of_the_season = Condition::any().add(day.between(first, last)).add(lasting);
    rows::cost::Entity::find().filter(rows::cost::Column::OperationId.eq(operation)).filter(of_the_season)
}

/// Whether a cost of [`costs_of`] falls on the season: what lasts may have come to its end before.
pub(crate) fn reaches(cost: &Cost, season: &season::Model) -> bool {
    let Some(lasting) = cost.lasting else { return true };
    season.season().is_ok_and(|season| lasting.reaches(cost.date, &season))
}

/// An operation's records of a kind up to a day and with it.
pub(crate) async fn until<R: RecordRow, C: ConnectionTrait>(
    db: &C,
    operation: Uuid,
    last: NaiveDate,
) -> Result<Vec<Kept<R::Record>>, StoreError> {
    let found = R::Entity::find().filter(R::OPERATION.eq(operation)).filter(R::DAY.lte(last)).all(db).await?;
    sorted(found).into_iter().map(RecordRow::kept).collect()
}

fn in_season<R: RecordRow>(wanted: &Wanted<'_>) -> Select<R::Entity> {
    in_days::<R>(wanted.operation, wanted.season.first_day, wanted.season.last_day)
}

/// An operation's records of a kind between two days, both included.
pub(crate) fn in_days<R: RecordRow>(operation: Uuid, first: NaiveDate, last: NaiveDate) -> Select<R::Entity> {
    R::Entity::find().filter(R::OPERATION.eq(operation)).filter(R::DAY.between(first, last))
}

/// By day, then id: in Rust, so both databases agree.
pub(crate) fn sorted<R: RecordRow>(mut rows: Vec<R>) -> Vec<R> {
    rows.sort_by_key(|row| (row.day(), row.id()));
    rows
}
