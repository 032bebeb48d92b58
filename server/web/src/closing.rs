//! Closing a season with what its reports say, and where a report stands: the same for the pages and
//! the command line.

use actix_web::web;
use chrono::{DateTime, NaiveDate, Utc};
use print::fingerprint::{Fingerprint, fingerprint};
use print::report::{Revision, Standing};
use reckon::block::{Season, SeasonState};
use reckon::season::{BlockSeason, StatementKey};
use store::{BlockId, Desk, ReportRevision, Stated, StoreError};

use crate::error::PageError;
use crate::extract::Writing;

/// Closes a season and keeps, for each of its blocks, the fingerprint and the return of the report
/// that is printed from then on. Nobody keeps a record while the blocks are read.
pub(crate) async fn close(writing: &Writing, year: i32) -> Result<(), PageError> {
    let mut book = writing.open().await?;
    book.hold_season(year).await?;
    let desk = writing.desk();
    let mut all = Vec::new();
    for (row, _) in desk.summaries(year).await? {
        let records = desk.reported(row.id, year).await?;
        let season = web::block(move || records.reckon()).await?;
        all.push(stated(row.id, &season));
    }
    book.close_season(year, &all).await?;
    Ok(book.save().await?)
}

fn stated(block: BlockId, season: &BlockSeason) -> Stated {
    let over_all = season.statement.line(StatementKey::OverAll).map(|line| line.amount.value);
    Stated { block, fingerprint: fingerprint(season).0, over_all }
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
    let revisions = desk.revisions(block, season.year).await?;
    let mut latest = revisions.iter().rev().map(|kept| revision(kept, &day_of));
    let (now, before) = (latest.next(), latest.next());
    Ok(match (season.state, now) {
        (SeasonState::Open, last) => Standing::Open { last },
        (SeasonState::Closed, Some(now)) => Standing::Closed { now, replaces: before },
        (SeasonState::Closed, None) => Standing::Unnumbered,
    })
}

fn revision(kept: &ReportRevision, day_of: impl Fn(DateTime<Utc>) -> NaiveDate) -> Revision {
    Revision {
        number: kept.number,
        closed_on: day_of(kept.closed_at),
        fingerprint: Fingerprint(kept.fingerprint),
        over_all: kept.over_all,
    }
}
