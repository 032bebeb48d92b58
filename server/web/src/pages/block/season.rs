//! The season of a block as it is reported.

use actix_web::web;
use reckon::season::BlockSeason;
use store::Desk;

use crate::error::PageError;
use crate::extract::BlockAt;

/// What every page and file of a block season shows, reckoned off the thread that answers requests.
pub(crate) async fn season(desk: &Desk<'_>, at: BlockAt) -> Result<BlockSeason, PageError> {
    let records = desk.reported(at.block, at.year).await?;
    web::block(move || records.reckon()).await.map_err(PageError::inside)
}
