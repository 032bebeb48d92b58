//! Everything recorded about block seasons of several years, in as many queries as for one: what falls in
//! the days of all of them is read once and cut by season.

use std::collections::{BTreeMap, BTreeSet};

use reckon::figure::Kept;
use reckon::records::{Cost, MulchApplication, OwnSize, PriceLine, Rate, ThinningTarget};
use reckon::season::{SeasonRecords, SharedCost};
use sea_orm::entity::prelude::Uuid;
use sea_orm::{ColumnTrait, Condition, ConnectionTrait, QueryFilter};

use super::{Places, Seasons, Wanted, costs_of, lists, reaches, sorted, until, weather_of};
use crate::as_closed::AsClosed;
use crate::error::StoreError;
use crate::members;
use crate::rows::mulch::lasts_to;
use crate::rows::{self, Place, RecordRow};
use crate::tables::places::{block, season};
use crate::weights::Weights;

/// The records of the wanted blocks in each of the seasons: by season as given, then by block.
pub(crate) async fn gather<C: ConnectionTrait>(
    db: &C,
    operation: Uuid,
    blocks: &[Uuid],
    seasons: &[season::Model],
) -> Result<Vec<(Uuid, SeasonRecords)>, StoreError> {
    let first = seasons.iter().min_by_key(|season| season.first_day);
    let last = seasons.iter().max_by_key(|season| season.last_day);
    let (Some(first), Some(last)) = (first, last) else { return Ok(Vec::new()) };
    let span = season::Model { last_day: last.last_day, ..first.clone() };
    let wanted = &Wanted { operation, season: &span, blocks };
    let now = Places::now(db, wanted).await?;
    let mut through = now.empty_seasons(wanted)?;
    lists(db, wanted, &mut through).await?;
    let closed = AsClosed::load(db, wanted.operation, seasons).await?;
    let costs = Costs::load(db, wanted, seasons, &now.blocks).await?;
    let held = Held::load(db, wanted).await?;
    let mut found = Vec::new();
    for season in seasons {
        let places = now.clone().in_year(&closed, season.year, wanted.blocks)?;
        let mut of = places.empty_seasons(&Wanted { season, ..*wanted })?;
        for (block, records) in &mut of {
            if let Some(through) = through.get(block) {
                cut(through, records);
            }
            held.hand_out(records);
        }
        costs.hand_out(season, &places.blocks, &mut of);
        found.extend(of);
    }
    stations(db, wanted, &mut found).await?;
    Ok(found)
}

/// The part of a span's lists that one season holds.
fn cut(through: &SeasonRecords, to: &mut SeasonRecords) {
    let season = to.season;
    macro_rules! held {
        ($($list:ident)*) => {$(
            to.$list = through.$list.iter().filter(|kept| season.holds(kept.record.date)).cloned().collect();
        )*};
    }
    held!(labor fruit_counts irrigation tension canopy picks packout settlements observations);
    let lies = |laid: &&Kept<MulchApplication>| {
        laid.record.date <= season.last_day && lasts_to(&laid.record) >= season.first_day
    };
    to.mulch = through.mulch.iter().filter(lies).cloned().collect();
}

/// Weather of each block's station in each season; farms may share one.
async fn stations<C: ConnectionTrait>(
    db: &C,
    span: &Wanted<'_>,
    found: &mut [(Uuid, SeasonRecords)],
) -> Result<(), StoreError> {
    let names = found.iter().map(|(_, records)| records.farm.station.clone());
    let weather = weather_of(db, span, names).await?;
    for (_, records) in found {
        let days = weather.get(&records.farm.station).into_iter().flatten();
        records.weather = days.filter(|day| records.season.holds(day.record.date)).cloned().collect();
    }
    Ok(())
}

/// Costs that fall on some of the seasons, and what they are shared by in each.
struct Costs {
    /// By day, then id.
    kept: Vec<(Kept<Cost>, Place)>,
    weights: BTreeMap<i64, Weights>,
    members: BTreeMap<i64, BTreeSet<Uuid>>,
}

impl Costs {
    async fn load<C: ConnectionTrait>(
        db: &C,
        span: &Wanted<'_>,
        seasons: &[season::Model],
        blocks: &[block::Model],
    ) -> Result<Self, StoreError> {
        let block = rows::cost::Column::BlockId;
        let own_or_shared = Condition::any().add(block.is_in(span.blocks.iter().copied())).add(block.is_null());
        let found = costs_of(span.operation, span.season.first_day, span.season.last_day).filter(own_or_shared);
        let mut kept = Vec::new();
        for row in sorted(found.all(db).await?) {
            let place = row.place();
            let cost = row.kept()?;
            if seasons.iter().any(|season| falls_on(&cost.record, season)) {
                kept.push((cost, place));
            }
        }
        let shared = kept.iter().filter(|(_, place)| place.block_id.is_none());
        let bases = shared.map(|(cost, _)| cost.record.basis);
        let weights = Weights::load_each(db, span.operation, seasons, bases).await?;
        let members = members::ids_of_each(db, span.operation, seasons, blocks).await?;
        Ok(Self { kept, weights, members })
    }

    /// To the blocks of one season; `blocks` are all of the operation, as the season has them.
    fn hand_out(&self, season: &season::Model, blocks: &[block::Model], seasons: &mut Seasons) {
        let (Some(weights), Some(ids)) = (self.weights.get(&season.year), self.members.get(&season.year)) else {
            return;
        };
        let members: Vec<&block::Model> = blocks.iter().filter(|block| ids.contains(&block.id)).collect();
        for (cost, place) in self.kept.iter().filter(|(cost, _)| falls_on(&cost.record, season)) {
            match place.block_id.map(|block| seasons.get_mut(&block)) {
                Some(Some(season)) => season.costs.push(cost.clone()),
                Some(None) => {}
                None => share(cost, place.farm_id, &members, weights, seasons),
            }
        }
    }
}

/// Whether a cost falls on a season: of its days, or bought before and still within its life.
fn falls_on(cost: &Cost, season: &season::Model) -> bool {
    let dated = season.first_day <= cost.date && cost.date <= season.last_day;
    (dated || cost.lasting.is_some() && cost.date <= season.last_day) && reaches(cost, season)
}

/// Among the blocks of the season that a cost of this farm, or of the operation, is for.
fn share(cost: &Kept<Cost>, farm: Option<Uuid>, members: &[&block::Model], weights: &Weights, seasons: &mut Seasons) {
    let sharing = || members.iter().filter(|block| farm.is_none_or(|farm| block.farm_id == farm));
    let weights: Vec<_> = sharing().map(|block| weights.of(block, &cost.record)).collect();
    for (own, block) in sharing().enumerate() {
        if let Some(season) = seasons.get_mut(&block.id) {
            season.shared_costs.push(SharedCost { cost: cost.clone(), weights: weights.clone(), own });
        }
    }
}

/// Price list, rates, own sizes and thinning targets: what holds from a day no later than a season's last.
struct Held {
    prices: Vec<Kept<PriceLine>>,
    rates: Vec<Kept<Rate>>,
    sizes: Vec<Kept<OwnSize>>,
    targets: Vec<Kept<ThinningTarget>>,
}

impl Held {
    async fn load<C: ConnectionTrait>(db: &C, span: &Wanted<'_>) -> Result<Self, StoreError> {
        let (operation, last) = (span.operation, span.season.last_day);
        Ok(Self {
            prices: until::<rows::price::Model, C>(db, operation, last).await?,
            rates: until::<rows::rate::Model, C>(db, operation, last).await?,
            sizes: until::<rows::size::Model, C>(db, operation, last).await?,
            targets: until::<rows::thinning_target::Model, C>(db, operation, last).await?,
        })
    }

    fn hand_out(&self, records: &mut SeasonRecords) {
        let last = records.season.last_day;
        macro_rules! held {
            ($($list:ident)*) => {$(
                records.$list = self.$list.iter().filter(|kept| kept.record.from <= last).cloned().collect();
            )*};
        }
        held!(prices rates sizes targets);
    }
}
