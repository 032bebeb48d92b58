//! What the water balance reads, and nothing else: for seasons that are held beside another. The other
//! lists are left empty, so these records must never be reckoned whole.

use reckon::figure::Kept;
use reckon::records::MulchApplication;
use reckon::season::SeasonRecords;
use sea_orm::ConnectionTrait;
use sea_orm::entity::prelude::Uuid;

use super::{Places, Seasons, Wanted, by_block, mulch, stations, weather_of};
use crate::as_closed::AsClosed;
use crate::error::StoreError;
use crate::rows::{self, mulch::lasts_to};
use crate::tables::places::season;

/// Of the wanted blocks in the season, in the order of block identifiers.
pub(crate) async fn of_season<C: ConnectionTrait>(
    db: &C,
    wanted: &Wanted<'_>,
) -> Result<Vec<(Uuid, SeasonRecords)>, StoreError> {
    let mut found = Places::load(db, wanted).await?.empty_seasons(wanted)?;
    lists(db, wanted, &mut found).await?;
    stations(db, wanted, &mut found).await?;
    Ok(found.into_iter().collect())
}

/// Of the wanted blocks in each of several other seasons, in as many queries as for one.
pub(crate) async fn of_seasons<C: ConnectionTrait>(
    db: &C,
    wanted: &Wanted<'_>,
    seasons: &[season::Model],
) -> Result<Vec<(Uuid, SeasonRecords)>, StoreError> {
    let first = seasons.iter().min_by_key(|season| season.first_day);
    let last = seasons.iter().max_by_key(|season| season.last_day);
    let (Some(first), Some(last)) = (first, last) else { return Ok(Vec::new()) };
    let span = season::Model { last_day: last.last_day, ..first.clone() };
    let wanted = &Wanted { season: &span, ..*wanted };
    let mut now = Places::now(db, wanted).await?;
    // The others are not asked for: nothing of them is put back as it stood in each of the seasons.
    now.blocks.retain(|row| wanted.blocks.binary_search(&row.id).is_ok());
    let mut through = now.empty_seasons(wanted)?;
    lists(db, wanted, &mut through).await?;
    let closed = AsClosed::load(db, wanted.operation, seasons).await?;
    let mut cuts = Vec::new();
    for season in seasons {
        let places = now.clone().in_year(&closed, season.year, wanted.blocks)?;
        let empty = places.empty_seasons(&Wanted { season, ..*wanted })?;
        cuts.extend(empty.into_iter().filter_map(|(block, empty)| Some((block, cut(through.get(&block)?, empty)))));
    }
    let weather = weather_of(db, wanted, cuts.iter().map(|(_, cut)| cut.farm.station.clone())).await?;
    for (_, cut) in &mut cuts {
        let days = weather.get(&cut.farm.station).into_iter().flatten();
        cut.weather = days.filter(|day| cut.season.holds(day.record.date)).cloned().collect();
    }
    Ok(cuts)
}

async fn lists<C: ConnectionTrait>(db: &C, wanted: &Wanted<'_>, seasons: &mut Seasons) -> Result<(), StoreError> {
    by_block::<rows::irrigation::Model, C>(db, wanted, seasons, |s| &mut s.irrigation).await?;
    by_block::<rows::canopy::Model, C>(db, wanted, seasons, |s| &mut s.canopy).await?;
    mulch(db, wanted, seasons).await
}

/// The part of a span's records that one season holds; the weather is the station's of that season.
fn cut(span: &SeasonRecords, empty: SeasonRecords) -> SeasonRecords {
    let season = empty.season;
    let lies = |laid: &&Kept<MulchApplication>| {
        laid.record.date <= season.last_day && lasts_to(&laid.record) >= season.first_day
    };
    SeasonRecords {
        irrigation: span.irrigation.iter().filter(|set| season.holds(set.record.date)).cloned().collect(),
        canopy: span.canopy.iter().filter(|day| season.holds(day.record.date)).cloned().collect(),
        mulch: span.mulch.iter().filter(lies).cloned().collect(),
        ..empty
    }
}
