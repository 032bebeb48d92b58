//! Reading closings of seasons, the revisions of reports, and which season to begin with.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use chrono::{DateTime, Utc};
use reckon::block::Season;
use reckon::figure::RecordKind;
use reckon::money::Money;
use reckon::records::Attach;
use sea_orm::entity::prelude::Uuid;
use sea_orm::{ColumnTrait, ConnectionTrait, EntityTrait, QueryFilter, QueryOrder};

use super::records::names;
use super::{Desk, season_row};
use crate::closed::ClosedSeason;
use crate::error::StoreError;
use crate::held::Held;
use crate::ids::BlockId;
use crate::read::Bad;
use crate::role::Right;
use crate::tables::closings::{report_revision, season_closing, season_reopening};

/// One closing of a season.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Closing {
    /// Year of the season.
    pub year: i32,
    /// Which closing of this season, from 1.
    pub number: u32,
    /// Who closed it, by name.
    pub by: String,
    /// When.
    pub at: DateTime<Utc>,
    /// How it ended; `None` while the season stays closed.
    pub reopened: Option<Reopening>,
}

/// The end of a closing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reopening {
    /// Who reopened the season, by name.
    pub by: String,
    /// When.
    pub at: DateTime<Utc>,
    /// Why.
    pub reason: String,
}

/// What a report said when its season was closed: a block's, or that of the whole operation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReportRevision {
    /// From 1; a closing that found the same figures again adds none.
    pub number: u32,
    /// When the season was first closed with it.
    pub closed_at: DateTime<Utc>,
    /// Fingerprint of the figures.
    pub fingerprint: [u8; 8],
    /// Return over all costs; `None` where it was not known.
    pub over_all: Option<Money>,
}

impl Desk<'_> {
    /// Every closing of every season, newest year first, and within a year the latest first.
    pub async fn closings(&self) -> Result<Vec<Closing>, StoreError> {
        closings(self.db(), self.operation(), None).await
    }

    /// Closings of one season, the latest first.
    pub async fn closings_of(&self, year: i32) -> Result<Vec<Closing>, StoreError> {
        closings(self.db(), self.operation(), Some(year)).await
    }

    /// A closed season with who closed it and when, for whoever runs into it.
    pub async fn closed(&self, year: i32) -> Result<ClosedSeason, StoreError> {
        told(self.db(), self.operation(), ClosedSeason::of(year)).await
    }

    /// What stands in the way of removing a season, over the whole operation.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] for a year without a season; [`StoreError::Forbidden`] for a person who may
    /// not open one, or does not see every farm.
    pub async fn held(&self, year: i32) -> Result<Held, StoreError> {
        if !self.scope.may(Right::SetUp) || !self.scope.sees_all() {
            return Err(StoreError::Forbidden);
        }
        Held::of(self.db(), &season_row(self.db(), self.operation(), year).await?).await
    }

    /// Revisions of a block's report, the first first; none where the season was never closed while
    /// the block was in the book.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] for a block that is not in scope.
    pub async fn revisions(&self, block: BlockId, year: i32) -> Result<Vec<ReportRevision>, StoreError> {
        self.block(block).await?;
        let closed_at = closed_at(self.db(), self.operation(), year).await?;
        let rows = report_revision::Entity::find()
            .filter(report_revision::Column::OperationId.eq(self.operation()))
            .filter(report_revision::Column::Year.eq(i64::from(year)))
            .filter(report_revision::Column::BlockId.eq(block.0))
            .order_by_asc(report_revision::Column::Closing)
            .all(self.db())
            .await?;
        let mut revisions: BTreeMap<i64, ReportRevision> = BTreeMap::new();
        for row in rows {
            if let Entry::Vacant(first) = revisions.entry(row.revision) {
                first.insert(revision(&row, &closed_at)?);
            }
        }
        Ok(revisions.into_values().collect())
    }

    /// Revisions of the report of the whole operation, the first first; none where the season was never
    /// closed, and none for a person limited to some farms, whose report is another.
    pub async fn operation_revisions(&self, year: i32) -> Result<Vec<ReportRevision>, StoreError> {
        if !self.scope.sees_all() {
            return Ok(Vec::new());
        }
        let rows = season_closing::Entity::find()
            .filter(season_closing::Column::OperationId.eq(self.operation()))
            .filter(season_closing::Column::Year.eq(i64::from(year)))
            .order_by_asc(season_closing::Column::Number);
        let mut revisions: BTreeMap<i64, ReportRevision> = BTreeMap::new();
        for row in rows.all(self.db()).await? {
            if let Some(number) = row.revision
                && let Entry::Vacant(first) = revisions.entry(number)
            {
                first.insert(of_operation(&row, number)?);
            }
        }
        Ok(revisions.into_values().collect())
    }

    /// The season to begin with when none is asked for: the newest that holds a record, so that one
    /// opened ahead of time does not hide the work under way; the newest of all where none holds any.
    /// What belongs to the whole operation (prices, rates) does not count: it reaches over seasons.
    pub async fn newest_season_with_records(&self) -> Result<Option<Season>, StoreError> {
        let seasons = self.seasons().await?;
        for season in &seasons {
            for kind in RecordKind::ALL.into_iter().filter(|kind| kind.attach() != Attach::Operation) {
                if self.any(kind, season).await? {
                    return Ok(Some(*season));
                }
            }
        }
        Ok(seasons.first().copied())
    }
}

fn of_operation(row: &season_closing::Model, number: i64) -> Result<ReportRevision, StoreError> {
    let bad = |column| Bad(column).at("season_closing", row.operation_id);
    let fingerprint = row.fingerprint.as_deref().ok_or_else(|| bad("fingerprint"))?;
    Ok(ReportRevision {
        number: u32::try_from(number).map_err(|_| bad("revision"))?,
        closed_at: row.closed_at,
        fingerprint: fingerprint.try_into().map_err(|_| bad("fingerprint"))?,
        over_all: row.over_all_cents.map(Money::from_cents),
    })
}

fn revision(
    row: &report_revision::Model,
    closed_at: &BTreeMap<i64, DateTime<Utc>>,
) -> Result<ReportRevision, StoreError> {
    let bad = |column| Bad(column).at("report_revision", row.block_id);
    Ok(ReportRevision {
        number: u32::try_from(row.revision).map_err(|_| bad("revision"))?,
        closed_at: closed_at.get(&row.closing).copied().ok_or_else(|| bad("closing"))?,
        fingerprint: row.fingerprint.as_slice().try_into().map_err(|_| bad("fingerprint"))?,
        over_all: row.over_all_cents.map(Money::from_cents),
    })
}

async fn closed_at<C: ConnectionTrait>(
    db: &C,
    operation: Uuid,
    year: i32,
) -> Result<BTreeMap<i64, DateTime<Utc>>, StoreError> {
    let rows = season_closing::Entity::find()
        .filter(season_closing::Column::OperationId.eq(operation))
        .filter(season_closing::Column::Year.eq(i64::from(year)));
    Ok(rows.all(db).await?.into_iter().map(|row| (row.number, row.closed_at)).collect())
}

/// The same closed season with who closed it and when.
pub(crate) async fn told<C: ConnectionTrait>(
    db: &C,
    operation: Uuid,
    closed: ClosedSeason,
) -> Result<ClosedSeason, StoreError> {
    let last = closings(db, operation, Some(closed.year)).await?.into_iter().next();
    Ok(ClosedSeason { closed: last.map(|closing| (closing.by, closing.at)), ..closed })
}

/// Closings of all seasons or of one, newest year first, the latest of a year first.
async fn closings<C: ConnectionTrait>(db: &C, operation: Uuid, year: Option<i32>) -> Result<Vec<Closing>, StoreError> {
    let mut closed = season_closing::Entity::find().filter(season_closing::Column::OperationId.eq(operation));
    let mut opened = season_reopening::Entity::find().filter(season_reopening::Column::OperationId.eq(operation));
    if let Some(year) = year.map(i64::from) {
        closed = closed.filter(season_closing::Column::Year.eq(year));
        opened = opened.filter(season_reopening::Column::Year.eq(year));
    }
    let newest = closed.order_by_desc(season_closing::Column::Year).order_by_desc(season_closing::Column::Number);
    let (rows, opened) = (newest.all(db).await?, opened.all(db).await?);
    let people = rows.iter().map(|row| row.closed_by).chain(opened.iter().map(|row| row.reopened_by));
    let names = names(db, people.collect::<Vec<_>>()).await?;
    rows.iter().map(|row| closing(row, &opened, &names)).collect()
}

fn closing(
    row: &season_closing::Model,
    opened: &[season_reopening::Model],
    names: &BTreeMap<Uuid, String>,
) -> Result<Closing, StoreError> {
    let bad = |column| Bad(column).at("season_closing", row.operation_id);
    let name = |id: &Uuid| names.get(id).cloned().unwrap_or_default();
    let end = opened.iter().find(|end| (end.year, end.number) == (row.year, row.number));
    Ok(Closing {
        year: i32::try_from(row.year).map_err(|_| bad("year"))?,
        number: u32::try_from(row.number).map_err(|_| bad("number"))?,
        by: name(&row.closed_by),
        at: row.closed_at,
        reopened: end.map(|end| Reopening {
            by: name(&end.reopened_by),
            at: end.reopened_at,
            reason: end.reason.clone(),
        }),
    })
}
