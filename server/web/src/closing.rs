//! Closing a season with what its reports say, and where a report stands: the same for the pages and
//! the command line.

use actix_web::web;
use chrono::{DateTime, NaiveDate, Utc};
use print::fingerprint::{Fingerprint, fingerprint, operation_fingerprint};
use print::report::{Revision, Standing};
use reckon::block::{Season, SeasonState};
use reckon::money::Money;
use reckon::season::{BlockSeason, Statement, StatementKey};
use store::{BlockId, Desk, ReportRevision, Stated, StoreError};

use crate::error::PageError;
use crate::extract::Writing;

/// Closes a season and keeps, for each of its blocks and for the operation, the fingerprint and the
/// return of the report that is printed from then on. Nobody keeps a record while the blocks are read.
pub(crate) async fn close(writing: &Writing, year: i32) -> Result<(), PageError> {
    let mut book = writing.open().await?;
    book.hold_season(year).await?;
    let desk = writing.desk();
    let blocks = desk.reported_season(year).await?;
    let each = move || blocks.each().map(|(block, records)| stated(block, &records.reckon())).collect::<Vec<_>>();
    let all = web::block(each).await?;
    let records = desk.operation_records(year).await?;
    let whole = web::block(move || records.reckon()).await?;
    book.close_season(year, &all).await?;
    book.state_operation(year, operation_fingerprint(&whole).0, over_all(&whole.statement)).await?;
    Ok(book.save().await?)
}

fn stated(block: BlockId, season: &BlockSeason) -> Stated {
    Stated { block, fingerprint: fingerprint(season).0, over_all: over_all(&season.statement) }
}

fn over_all(statement: &Statement) -> Option<Money> {
    statement.line(StatementKey::OverAll).map(|line| line.amount.value)
}

/// Where the report of a block stands: its season open, or closed as a numbered revision. `day_of`
/// is the day of a moment in the operation's zone.
///
/// # Errors
/// [`StoreError::NotFound`] for a block out of scope.
pub async fn standing(
    desk: &Desk<'_>,
    block: BlockId,
    season: &Season,
    day_of: impl Fn(DateTime<Utc>) -> NaiveDate,
) -> Result<Standing, StoreError> {
    Ok(stands(season.state, &desk.revisions(block, season.year).await?, day_of))
}

/// The same of the report of the whole operation.
///
/// # Errors
/// [`StoreError`] of the database.
pub async fn operation_standing(
    desk: &Desk<'_>,
    season: &Season,
    day_of: impl Fn(DateTime<Utc>) -> NaiveDate,
) -> Result<Standing, StoreError> {
    Ok(stands(season.state, &desk.operation_revisions(season.year).await?, day_of))
}

fn stands(state: SeasonState, revisions: &[ReportRevision], day_of: impl Fn(DateTime<Utc>) -> NaiveDate) -> Standing {
    let mut latest = revisions.iter().rev().map(|kept| revision(kept, &day_of));
    let (now, before) = (latest.next(), latest.next());
    match (state, now) {
        (SeasonState::Open, last) => Standing::Open { last },
        (SeasonState::Closed, Some(now)) => Standing::Closed { now, replaces: before },
        (SeasonState::Closed, None) => Standing::Unnumbered,
    }
}

fn revision(kept: &ReportRevision, day_of: impl Fn(DateTime<Utc>) -> NaiveDate) -> Revision {
    Revision {
        number: kept.number,
        closed_on: day_of(kept.closed_at),
        fingerprint: Fingerprint(kept.fingerprint),
        over_all: kept.over_all,
    }
}
