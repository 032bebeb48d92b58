//! Which blocks belong to a season.
//!
//! A block belongs to an open season from its first one to its last one. The first is what its page
//! says; where that says nothing, the season it joined the book in; where it joined none (the book
//! shared out no costs before), the year it was planted. Joining is noted when a block is added, and a
//! record of an earlier season moves it back.
//!
//! A closed season keeps the blocks it was closed with: those it has a summary of. A block that is
//! added later takes no share of its costs, and one that is corrected later takes the share it took.

use std::collections::{BTreeMap, BTreeSet};

use reckon::block::SeasonState;
use sea_orm::entity::prelude::Uuid;
use sea_orm::{ColumnTrait, ConnectionTrait, EntityTrait, QueryFilter, QuerySelect};

use crate::as_closed::AsClosed;
use crate::error::StoreError;
use crate::tables::ledger::block_season;
use crate::tables::places::{block, season};

/// From which season to which a block belongs to the book.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Span {
    /// As its page says.
    pub(crate) first: Option<i64>,
    /// As noted when it was added.
    pub(crate) joined: Option<i64>,
    pub(crate) planted: Option<i64>,
    /// As its page says.
    pub(crate) last: Option<i64>,
}

impl Span {
    pub(crate) const fn of(row: &block::Model) -> Self {
        Self { first: row.first_season, joined: row.joined_season, planted: row.planted_year, last: row.last_season }
    }

    pub(crate) fn holds(&self, year: i64) -> bool {
        let first = self.first.or(self.joined).or(self.planted);
        first.is_none_or(|first| first <= year) && self.last.is_none_or(|last| year <= last)
    }

    /// Whether the page says that the block does not belong to the year.
    pub(crate) fn is_said_not_to_hold(&self, year: i64) -> bool {
        self.first.is_some_and(|first| year < first) || self.last.is_some_and(|last| last < year)
    }
}

/// The operation's blocks of a season, by identifier: of a closed one, as they stood when it was closed.
pub(crate) async fn members<C: ConnectionTrait>(
    db: &C,
    operation: Uuid,
    season: &season::Model,
) -> Result<Vec<block::Model>, StoreError> {
    let mut blocks = block::Entity::find().filter(block::Column::OperationId.eq(operation)).all(db).await?;
    blocks.sort_unstable_by_key(|block| block.id);
    let ids = ids_of(db, operation, season, &blocks).await?;
    blocks.retain(|block| ids.contains(&block.id));
    AsClosed::load(db, operation, core::slice::from_ref(season)).await?.blocks(season.year, blocks)
}

/// Which of some blocks belong to a season.
pub(crate) async fn ids_of<C: ConnectionTrait>(
    db: &C,
    operation: Uuid,
    season: &season::Model,
    blocks: &[block::Model],
) -> Result<BTreeSet<Uuid>, StoreError> {
    let each = ids_of_each(db, operation, core::slice::from_ref(season), blocks).await?;
    Ok(each.into_values().next().unwrap_or_default())
}

/// The same for each of several seasons, by year: one query at most.
pub(crate) async fn ids_of_each<C: ConnectionTrait>(
    db: &C,
    operation: Uuid,
    seasons: &[season::Model],
    blocks: &[block::Model],
) -> Result<BTreeMap<i64, BTreeSet<Uuid>>, StoreError> {
    let mut ids: BTreeMap<i64, BTreeSet<Uuid>> = BTreeMap::new();
    let mut closed = Vec::new();
    for season in seasons {
        let of = ids.entry(season.year).or_default();
        if season.season()?.state == SeasonState::Open {
            of.extend(blocks.iter().filter(|row| Span::of(row).holds(season.year)).map(|row| row.id));
        } else {
            closed.push(season.year);
        }
    }
    if closed.is_empty() {
        return Ok(ids);
    }
    let asked: BTreeSet<Uuid> = blocks.iter().map(|row| row.id).collect();
    let kept = block_season::Entity::find()
        .select_only()
        .columns([block_season::Column::Year, block_season::Column::BlockId])
        .filter(block_season::Column::OperationId.eq(operation))
        .filter(block_season::Column::Year.is_in(closed))
        .into_tuple::<(i64, Uuid)>();
    for (year, block) in kept.all(db).await?.into_iter().filter(|(_, block)| asked.contains(block)) {
        ids.entry(year).or_default().insert(block);
    }
    Ok(ids)
}

#[cfg(test)]
mod tests {
    use super::*;

    const OPEN: Span = Span { first: None, joined: None, planted: None, last: None };

    #[test]
    fn what_the_page_says_goes_before_what_was_noted() {
        assert!(OPEN.holds(1_950) && OPEN.holds(2_090));
        let planted = Span { planted: Some(2_014), ..OPEN };
        assert!(!planted.holds(2_013) && planted.holds(2_014));
        let joined = Span { joined: Some(2_026), ..planted };
        assert!(!joined.holds(2_025) && joined.holds(2_026));
        assert!(!joined.is_said_not_to_hold(2_025));
        let said = Span { first: Some(2_025), ..joined };
        assert!(!said.holds(2_024) && said.holds(2_025));
        assert!(said.is_said_not_to_hold(2_024));
        let pulled = Span { last: Some(2_027), ..said };
        assert!(pulled.holds(2_027) && !pulled.holds(2_028) && pulled.is_said_not_to_hold(2_028));
    }
}
