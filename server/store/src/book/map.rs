//! Where a record belongs, whether the person sees it, and which block seasons it makes stale.

use chrono::NaiveDate;
use reckon::block::{Season, SeasonState};
use reckon::records::{Cost, Record, SharedBasis};
use sea_orm::entity::prelude::Uuid;
use sea_orm::{ColumnTrait, EntityTrait, QueryFilter, QuerySelect};

use super::Book;
use super::records::weighs;
use crate::closed::ClosedSeason;
use crate::error::StoreError;
use crate::gather::costs_of;
use crate::members::Span;
use crate::rows::mulch::lasts_to;
use crate::rows::{self, Place};
use crate::tables::places::{block, farm, season};
use crate::target::Target;

/// Farms and blocks of the operation, as far as placing records needs them.
pub(super) struct Map {
    pub(super) farms: Vec<FarmAt>,
    pub(super) blocks: Vec<BlockAt>,
}

pub(super) struct FarmAt {
    pub(super) id: Uuid,
    pub(super) name: String,
    pub(super) station: String,
}

pub(super) struct BlockAt {
    pub(super) id: Uuid,
    pub(super) farm: Uuid,
    pub(super) code: String,
    pub(super) span: Span,
}

impl BlockAt {
    pub(super) fn of(row: &block::Model) -> Self {
        Self { id: row.id, farm: row.farm_id, code: row.code.clone(), span: Span::of(row) }
    }
}

/// A place the person sees, in words, and its farm where it has one.
pub(super) struct Located {
    pub(super) farm: Option<Uuid>,
    pub(super) words: String,
}

impl Map {
    /// The blocks whose figures depend on what belongs to the place.
    fn blocks_of(&self, place: &Place) -> Vec<Uuid> {
        let farm_has = |id: Uuid, station: &str| self.farms.iter().any(|farm| farm.id == id && farm.station == station);
        let touched = |block: &&BlockAt| match place {
            Place { block_id: Some(id), .. } => block.id == *id,
            Place { farm_id: Some(id), .. } => block.farm == *id,
            Place { station: Some(station), .. } => farm_has(block.farm, station),
            Place { .. } => true,
        };
        self.blocks.iter().filter(touched).map(|block| block.id).collect()
    }
}

impl Book<'_> {
    pub(super) async fn map(&mut self) -> Result<&Map, StoreError> {
        let map = match self.map.take() {
            Some(map) => map,
            None => self.load_map().await?,
        };
        Ok(self.map.insert(map))
    }

    async fn load_map(&self) -> Result<Map, StoreError> {
        let farms = farm::Entity::find()
            .select_only()
            .columns([farm::Column::Id, farm::Column::Name, farm::Column::Station])
            .filter(farm::Column::OperationId.eq(self.operation()))
            .into_tuple::<(Uuid, String, String)>()
            .all(&self.tx)
            .await?;
        let blocks = block::Entity::find().filter(block::Column::OperationId.eq(self.operation()));
        let blocks = blocks.all(&self.tx).await?;
        Ok(Map {
            farms: farms.into_iter().map(|(id, name, station)| FarmAt { id, name, station }).collect(),
            blocks: blocks.iter().map(BlockAt::of).collect(),
        })
    }

    /// The operation's seasons, locked against closing while this book is open.
    pub(super) async fn seasons(&mut self) -> Result<&[Season], StoreError> {
        let seasons = match self.seasons.take() {
            Some(seasons) => seasons,
            None => self.load_seasons().await?,
        };
        Ok(self.seasons.insert(seasons))
    }

    async fn load_seasons(&self) -> Result<Vec<Season>, StoreError> {
        let mine = season::Column::OperationId.eq(self.operation());
        let rows = season::Entity::find().filter(mine).lock_shared().all(&self.tx).await?;
        rows.iter().map(season::Model::season).collect()
    }

    /// Finds what a record belongs to.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] for a block, a farm or a station out of scope;
    /// [`StoreError::Forbidden`] for the whole operation, when the person is limited to farms.
    pub(super) async fn locate(&mut self, target: &Target) -> Result<Located, StoreError> {
        let scope = self.scope;
        let map = self.map().await?;
        let located = match target {
            Target::Block(id) => {
                let block = map.blocks.iter().find(|block| block.id == id.0 && scope.sees_farm(block.farm));
                block.map(|block| Located { farm: Some(block.farm), words: block.code.clone() })
            }
            Target::Farm(id) => {
                let farm = map.farms.iter().find(|farm| farm.id == id.0 && scope.sees_farm(farm.id));
                farm.map(|farm| Located { farm: Some(farm.id), words: farm.name.clone() })
            }
            Target::Station(name) => {
                let uses = |farm: &&FarmAt| farm.station == *name && scope.sees_farm(farm.id);
                map.farms.iter().find(uses).map(|_| Located { farm: None, words: name.clone() })
            }
            Target::Operation if scope.sees_all() => Some(Located { farm: None, words: String::new() }),
            Target::Operation => return Err(StoreError::Forbidden),
        };
        located.ok_or(StoreError::NotFound)
    }

    /// Marks the summaries that depend on a record.
    ///
    /// # Errors
    /// [`StoreError::OutsideSeason`] and [`StoreError::Closed`] as in [`years`], and
    /// [`StoreError::NotOfSeason`] when the block's page says that it does not belong to any of them.
    pub(super) async fn touch(&mut self, place: &Place, record: &Record) -> Result<(), StoreError> {
        let years = match years(self.seasons().await?, record) {
            Err(StoreError::Closed(closed)) => return Err(StoreError::Closed(self.told(closed).await?)),
            years => years?,
        };
        if years.is_empty() {
            return Ok(());
        }
        if let Some(block) = place.block_id {
            self.belong(block, &years).await?;
        }
        let blocks = self.map().await?.blocks_of(place);
        for year in years {
            self.stale.extend(blocks.iter().map(|block| (year, *block)));
            if weighs(record.kind()) {
                self.touch_sharing(year).await?;
            }
        }
        Ok(())
    }

    /// Marks every block of a season in which some cost is shared by boxes, weight or hours: what one
    /// block bears of it hangs on what the others packed and worked.
    async fn touch_sharing(&mut self, year: i32) -> Result<(), StoreError> {
        if !self.sharing_looked_up.insert(year) {
            return Ok(());
        }
        let season = self.seasons().await?.iter().find(|season| season.year == year).copied();
        let Some(season) = season else { return Ok(()) };
        let by_records = SharedBasis::ALL.into_iter().filter(|basis| basis.follows_records()).map(SharedBasis::word);
        let follows = costs_of(self.operation(), season.first_day, season.last_day)
            .filter(rows::cost::Column::BlockId.is_null())
            .filter(rows::cost::Column::Basis.is_in(by_records));
        if follows.one(&self.tx).await?.is_some() {
            let blocks: Vec<Uuid> = self.map().await?.blocks.iter().map(|block| block.id).collect();
            self.stale.extend(blocks.into_iter().map(|block| (year, block)));
        }
        Ok(())
    }

    /// Marks the summaries of a place in every open season: the place itself changed. Closed seasons
    /// keep theirs.
    pub(super) async fn touch_open(&mut self, place: &Place) -> Result<(), StoreError> {
        let open = self.open_years().await?;
        let blocks = self.map().await?.blocks_of(place);
        for year in open {
            self.stale.extend(blocks.iter().map(|block| (year, *block)));
        }
        Ok(())
    }

    pub(super) async fn open_years(&mut self) -> Result<Vec<i32>, StoreError> {
        let open = self.seasons().await?.iter().filter(|season| season.state == SeasonState::Open);
        Ok(open.map(|season| season.year).collect())
    }
}

/// The seasons whose figures depend on a record: the one that holds its day; for prices, rates, own sizes and
/// thinning targets, every one that ends on or after it; for mulch and for costs of what lasts, every one within its life.
///
/// # Errors
/// [`StoreError::OutsideSeason`] when there is none (prices, rates, own sizes and thinning targets may be kept
/// ahead of the first season), [`StoreError::Closed`] when one of them is closed.
pub(super) fn years(seasons: &[Season], record: &Record) -> Result<Vec<i32>, StoreError> {
    let date = record.date();
    let until = match record {
        Record::Price(_) | Record::Rate(_) | Record::Size(_) | Record::ThinningTarget(_) => NaiveDate::MAX,
        Record::Mulch(mulch) => lasts_to(mulch),
        _ => date,
    };
    let depends = |season: &&Season| match record {
        Record::Cost(Cost { lasting: Some(lasting), .. }) => lasting.reaches(date, season),
        _ => season.last_day >= date && season.first_day <= until,
    };
    let touched: Vec<&Season> = seasons.iter().filter(depends).collect();
    if let Some(closed) = touched.iter().find(|season| season.state == SeasonState::Closed) {
        return Err(StoreError::Closed(ClosedSeason::of(closed.year)));
    }
    if touched.is_empty() && until != NaiveDate::MAX {
        return Err(StoreError::OutsideSeason { date });
    }
    Ok(touched.into_iter().map(|season| season.year).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use reckon::records::{Observation, Rate, RateKind, ThinningTarget};

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn seasons() -> Vec<Season> {
        [(2024, SeasonState::Closed), (2025, SeasonState::Open), (2026, SeasonState::Open)]
            .map(|(year, state)| Season { state, ..Season::calendar_year(year).unwrap() })
            .to_vec()
    }

    fn rate(from: &str) -> Record {
        Record::Rate(Rate { from: day(from), kind: RateKind::Payroll, micros: 12_000_000, note: String::new() })
    }

    fn seen(date: &str) -> Record {
        Record::Observation(Observation {
            date: day(date),
            what: "hail".to_owned(),
            share_pct: None,
            note: String::new(),
        })
    }

    #[test]
    fn a_record_touches_the_season_of_its_day() {
        assert_eq!(years(&seasons(), &seen("2025-12-31")).unwrap(), [2025]);
        assert!(
            matches!(years(&seasons(), &seen("2024-06-01")), Err(StoreError::Closed(closed)) if closed.year == 2024)
        );
        assert!(matches!(years(&seasons(), &seen("2027-01-01")), Err(StoreError::OutsideSeason { .. })));
    }

    #[test]
    fn a_rate_touches_every_season_from_its_day_and_no_closed_one() {
        assert_eq!(years(&seasons(), &rate("2025-03-01")).unwrap(), [2025, 2026]);
        assert_eq!(years(&seasons(), &rate("2030-03-01")).unwrap(), [0; 0]);
        assert!(matches!(years(&seasons(), &rate("2024-12-31")), Err(StoreError::Closed(_))));
    }

    #[test]
    fn a_thinning_target_holds_on_like_a_rate() {
        let target = |from: &str| {
            let (from, spacing) = (day(from), reckon::units::Inches::new(5.5));
            Record::ThinningTarget(ThinningTarget {
                from,
                crop: None,
                ripening: None,
                fruit: None,
                spacing,
                note: String::new(),
            })
        };
        assert_eq!(years(&seasons(), &target("2025-03-01")).unwrap(), [2025, 2026]);
        assert!(matches!(years(&seasons(), &target("2024-12-31")), Err(StoreError::Closed(_))));
    }
}
