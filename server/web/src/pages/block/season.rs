//! The reckoned season of a block, with its bare neighbours held beside its mulch.

use reckon::season::BlockSeason;
use store::Desk;

use crate::error::PageError;
use crate::extract::BlockAt;

/// The season of a block. The other blocks of its farm are read only where there is mulch to compare.
pub(crate) async fn season(desk: &Desk<'_>, at: BlockAt) -> Result<BlockSeason, PageError> {
    let season = reckon::reckon(&desk.season_records(at.block, at.year).await?);
    if season.water.saving.is_none() {
        return Ok(season);
    }
    let farm = desk.block(at.block).await?.farm_id;
    let beside = desk.farm_season(farm, at.year).await?;
    let others = beside.iter().filter(|(block, _)| *block != at.block);
    let others: Vec<BlockSeason> = others.map(|(_, records)| reckon::reckon(records)).collect();
    Ok(season.with_comparisons(&others))
}
