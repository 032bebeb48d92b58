//! Reading records: lists by kind, season and place, and one by its identifier.

use std::collections::BTreeMap;

use chrono::{DateTime, Utc};
use reckon::block::Season;
use reckon::figure::RecordKind;
use reckon::records::{Attach, Record};
use sea_orm::entity::prelude::Uuid;
use sea_orm::{
    ColumnTrait, Condition, ConnectionTrait, EntityTrait, PaginatorTrait, QueryFilter, QueryOrder, QuerySelect, Select,
};

use super::{Desk, blocks_in_scope, farms_in_scope, season_row};
use crate::error::StoreError;
use crate::ids::{BlockId, FarmId};
use crate::rows::{Place, RecordRow, for_kind};
use crate::tables::people::user_account;
use crate::tables::places::{block, farm};
use crate::target::Target;

/// Records on one page of a list.
pub const PER_PAGE: u64 = 100;

/// Which records a list shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RecordFilter {
    /// Their kind.
    pub kind: RecordKind,
    /// The season that holds their day; for prices, rates, own sizes and thinning targets every one that holds
    /// from a day no later than the season's last, as reckoning takes them.
    pub year: Option<i32>,
    /// Of this block.
    pub block: Option<BlockId>,
    /// Of this farm: its blocks', its own, its station's.
    pub farm: Option<FarmId>,
    /// Page, from 0, of [`PER_PAGE`] records.
    pub page: u64,
}

impl RecordFilter {
    /// The first page of all records of a kind.
    pub const fn of(kind: RecordKind) -> Self {
        Self { kind, year: None, block: None, farm: None, page: 0 }
    }
}

/// A record as it is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct StoredRecord {
    /// Its identifier.
    pub id: Uuid,
    /// What a correction or removal must name.
    pub version: i64,
    /// What it belongs to.
    pub target: Target,
    /// The record.
    pub record: Record,
    /// Who kept it as it stands, by name: the last to correct it.
    pub author: String,
    /// When it was kept or last corrected.
    pub kept_at: DateTime<Utc>,
    /// File and line it was brought in from.
    pub from_file: Option<(String, u32)>,
}

impl Desk<'_> {
    /// A page of records, newest day first.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] for a season, block or farm that is not in scope.
    pub async fn records(&self, filter: RecordFilter) -> Result<Vec<StoredRecord>, StoreError> {
        for_kind!(filter.kind, R => self.list::<R>(filter).await)
    }

    /// How many records the filter lets through, on all pages.
    pub async fn count(&self, filter: RecordFilter) -> Result<u64, StoreError> {
        for_kind!(filter.kind, R => Ok(self.select::<R>(&filter).await?.count(self.db()).await?))
    }

    /// One record.
    pub async fn record(&self, kind: RecordKind, id: Uuid) -> Result<StoredRecord, StoreError> {
        for_kind!(kind, R => self.one::<R>(id).await)
    }

    /// Whether the days of a season hold any record of a kind.
    pub(super) async fn any(&self, kind: RecordKind, season: &Season) -> Result<bool, StoreError> {
        for_kind!(kind, R => {
            let days = R::DAY.between(season.first_day, season.last_day);
            let found = self.select::<R>(&RecordFilter::of(kind)).await?.filter(days);
            Ok(found.one(self.db()).await?.is_some())
        })
    }

    async fn list<R: RecordRow>(&self, filter: RecordFilter) -> Result<Vec<StoredRecord>, StoreError> {
        let rows = self
            .select::<R>(&filter)
            .await?
            .order_by_desc(R::DAY)
            .order_by_desc(R::ID)
            .limit(PER_PAGE)
            .offset(filter.page.saturating_mul(PER_PAGE))
            .all(self.db())
            .await?;
        let names = names(self.db(), rows.iter().map(|row| row.head().author_id)).await?;
        rows.into_iter().map(|row| stored(row, &names)).collect()
    }

    async fn one<R: RecordRow>(&self, id: Uuid) -> Result<StoredRecord, StoreError> {
        let filter = RecordFilter::of(R::KIND);
        let row = self.select::<R>(&filter).await?.filter(R::ID.eq(id)).one(self.db()).await?;
        let row = row.ok_or(StoreError::NotFound)?;
        let names = names(self.db(), [row.head().author_id]).await?;
        stored(row, &names)
    }

    /// Where every query of records begins: operation and farms first, then what was asked for.
    pub(super) async fn select<R: RecordRow>(&self, filter: &RecordFilter) -> Result<Select<R::Entity>, StoreError> {
        let mut select = R::Entity::find().filter(R::OPERATION.eq(self.operation()));
        // What is wanted on a tree and what a size is called hold no money, and who thins must know them.
        let for_all = matches!(R::KIND, RecordKind::Size | RecordKind::ThinningTarget);
        if !self.scope.sees_all() && !for_all {
            select = select.filter(self.places::<R>(None).await?);
        }
        if let Some(year) = filter.year {
            let season = season_row(self.db(), self.operation(), year).await?;
            select = select.filter(match R::KIND {
                RecordKind::Price | RecordKind::Rate | RecordKind::Size | RecordKind::ThinningTarget => {
                    R::DAY.lte(season.last_day)
                }
                _ => R::DAY.between(season.first_day, season.last_day),
            });
        }
        if let Some(farm) = filter.farm {
            self.farm(farm).await?;
            select = select.filter(self.places::<R>(Some(farm)).await?);
        }
        if let Some(block) = filter.block {
            self.block(block).await?;
            let of_block = R::column("block_id").map(|column| column.eq(block.0));
            // Kinds that belong to no block have none of this block's.
            select = select.filter(of_block.map_or_else(nothing, |only| Condition::all().add(only)));
        }
        Ok(select)
    }

    /// Records of the farms in scope, or of one of them: their blocks', their own, their stations'.
    async fn places<R: RecordRow>(&self, farm: Option<FarmId>) -> Result<Condition, StoreError> {
        let mut places = nothing();
        if let Some(column) = R::column("block_id") {
            let blocks = blocks_in_scope(self.scope);
            let blocks = match farm {
                Some(farm) => blocks.filter(block::Column::FarmId.eq(farm.0)),
                None => blocks,
            };
            let ids: Vec<Uuid> = blocks.all(self.db()).await?.into_iter().map(|block| block.id).collect();
            places = places.add(column.is_in(ids));
        }
        if R::column("farm_id").is_none() && R::column("station").is_none() {
            return Ok(places);
        }
        let farms = farms_in_scope(self.scope);
        let farms = match farm {
            Some(id) => farms.filter(farm::Column::Id.eq(id.0)),
            None => farms,
        };
        let farms = farms.all(self.db()).await?;
        if let Some(column) = R::column("farm_id") {
            places = places.add(column.is_in(farms.iter().map(|farm| farm.id)));
        }
        if let Some(column) = R::column("station") {
            places = places.add(column.is_in(farms.iter().map(|farm| farm.station.clone())));
        }
        Ok(places)
    }
}

/// A condition that lets no row through until something is added to it.
fn nothing() -> Condition {
    Condition::any().add(sea_orm::sea_query::Expr::val(false))
}

/// Names of people, by identifier.
pub(crate) async fn names<C: ConnectionTrait>(
    db: &C,
    people: impl IntoIterator<Item = Uuid>,
) -> Result<BTreeMap<Uuid, String>, StoreError> {
    let people: std::collections::BTreeSet<Uuid> = people.into_iter().collect();
    let found = user_account::Entity::find().filter(user_account::Column::Id.is_in(people)).all(db).await?;
    Ok(found.into_iter().map(|user| (user.id, user.name)).collect())
}

pub(super) fn stored<R: RecordRow>(row: R, names: &BTreeMap<Uuid, String>) -> Result<StoredRecord, StoreError> {
    let head = row.head();
    let target = target_of(&row);
    let line = |line: i64| u32::try_from(line).map_err(|_| crate::read::Bad("file_line").at(R::TABLE, head.id));
    let line = head.file_line.map(line).transpose()?;
    Ok(StoredRecord {
        id: head.id,
        version: head.version,
        target,
        record: R::wrap(row.record()?),
        author: names.get(&head.author_id).cloned().unwrap_or_default(),
        kept_at: head.kept_at,
        from_file: head.file_name.zip(line),
    })
}

/// What a row belongs to.
pub(crate) fn target_of<R: RecordRow>(row: &R) -> Target {
    match row.place() {
        Place { block_id: Some(block), .. } => Target::Block(BlockId(block)),
        Place { farm_id: Some(farm), .. } => Target::Farm(FarmId(farm)),
        Place { station: Some(station), .. } => Target::Station(station),
        Place { .. } => {
            debug_assert!(matches!(R::KIND.attach(), Attach::Any | Attach::Operation));
            Target::Operation
        }
    }
}
