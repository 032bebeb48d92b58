//! What hangs on a season, and so stands in the way of removing it.

use core::fmt;

use reckon::block::SeasonState;
use reckon::figure::RecordKind;
use reckon::records::Attach;
use sea_orm::entity::prelude::Uuid;
use sea_orm::{ColumnTrait, ConnectionTrait, EntityTrait, PaginatorTrait, QueryFilter};

use crate::error::StoreError;
use crate::gather::in_days;
use crate::rows::{RecordRow, for_kind};
use crate::tables::closings::season_closing;
use crate::tables::places::{block, season};

/// What stands in the way of removing a season.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Held {
    /// Its year.
    pub year: i32,
    /// It is closed, or was once: its reports may be on paper.
    pub closed: bool,
    /// Records of its days, by kind. What belongs to the whole operation (prices, rates) reaches over
    /// seasons and does not count.
    pub records: Vec<(RecordKind, u64)>,
    /// Codes of blocks that joined the book in it, and whose page says no first season.
    pub joined: Vec<String>,
}

impl Held {
    /// Whether nothing stands in the way.
    pub const fn is_free(&self) -> bool {
        !self.closed && self.records.is_empty() && self.joined.is_empty()
    }

    pub(crate) async fn of<C: ConnectionTrait>(db: &C, row: &season::Model) -> Result<Self, StoreError> {
        let season = row.season()?;
        let closings = season_closing::Entity::find()
            .filter(season_closing::Column::OperationId.eq(row.operation_id))
            .filter(season_closing::Column::Year.eq(row.year));
        let closed = season.state == SeasonState::Closed || closings.one(db).await?.is_some();
        let mut records = Vec::new();
        for kind in RecordKind::ALL.into_iter().filter(|kind| kind.attach() != Attach::Operation) {
            let count = for_kind!(kind, R => count::<R, C>(db, row).await)?;
            if count > 0 {
                records.push((kind, count));
            }
        }
        Ok(Self { year: season.year, closed, records, joined: joined(db, row.operation_id, row.year).await? })
    }
}

async fn count<R: RecordRow, C: ConnectionTrait>(db: &C, season: &season::Model) -> Result<u64, StoreError> {
    Ok(in_days::<R>(season.operation_id, season.first_day, season.last_day).count(db).await?)
}

async fn joined<C: ConnectionTrait>(db: &C, operation: Uuid, year: i64) -> Result<Vec<String>, StoreError> {
    let blocks = block::Entity::find()
        .filter(block::Column::OperationId.eq(operation))
        .filter(block::Column::JoinedSeason.eq(year))
        .filter(block::Column::FirstSeason.is_null());
    let mut codes: Vec<String> = blocks.all(db).await?.into_iter().map(|block| block.code).collect();
    codes.sort_unstable();
    Ok(codes)
}

/// A sentence without its full stop, as the store's other errors.
impl fmt::Display for Held {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut reasons = Vec::new();
        if self.closed {
            reasons.push("it is closed, or was once".to_owned());
        }
        if !self.records.is_empty() {
            let kinds = self.records.iter().map(|(kind, count)| format!("{} ({count})", kind.word()));
            reasons.push(format!("it holds records: {}", kinds.collect::<Vec<_>>().join(", ")));
        }
        if !self.joined.is_empty() {
            let codes = self.joined.join(", ");
            reasons.push(format!("blocks joined the book in it: {codes}; give them a first season on their pages"));
        }
        write!(f, "season {} stays: {}", self.year, reasons.join("; "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_says_everything_that_stands_in_the_way() {
        let free = Held { year: 2027, ..Held::default() };
        assert!(free.is_free());
        let records = vec![(RecordKind::Labor, 3), (RecordKind::Cost, 1)];
        let held = Held { closed: true, records, joined: vec!["R-1".to_owned()], ..free };
        assert!(!held.is_free());
        let said = held.to_string();
        for part in ["season 2027 stays", "was once", "labor (3), costs (1)", "in it: R-1;"] {
            assert!(said.contains(part), "{said}");
        }
    }
}
