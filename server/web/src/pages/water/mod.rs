//! Water: of a block by week and by day, of a farm or the whole season as a table, and the ledger of
//! mulch. Each page is built from reckoned block seasons and nothing else.

mod block;
mod mulch;
mod table;
mod weeks;

pub use block::water_page;
pub use mulch::mulch_page;
pub use table::{farm_water_page, season_water_page};

use actix_web::web;
use reckon::season::{BlockSeason, SeasonRecords};
use store::BlockId;

use crate::error::PageError;

/// Reckons block seasons off the thread that answers requests; by farm and code.
pub(crate) async fn reckoned(records: Vec<(BlockId, SeasonRecords)>) -> Result<Vec<(BlockId, BlockSeason)>, PageError> {
    let all = move || {
        let mut seasons: Vec<(BlockId, BlockSeason)> =
            records.iter().map(|(id, records)| (*id, reckon::reckon(records))).collect();
        seasons.sort_by(|(_, a), (_, b)| place(a).cmp(&place(b)));
        seasons
    };
    web::block(all).await.map_err(PageError::inside)
}

fn place(season: &BlockSeason) -> (&str, &str) {
    (&season.heading.farm.name, &season.heading.block.code)
}
