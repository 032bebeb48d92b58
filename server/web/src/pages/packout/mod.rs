//! Packout and prices of a season, crop by crop: what each grade, each size class and each week
//! brought, weighted over the blocks.

mod crop;

#[cfg(test)]
mod tests;

use actix_web::web;
use askama::Template;
use reckon::figure::Gap;
use reckon::packout::{Sales, Together, by_crop, together};
use reckon::season::{HowReckoned, PackoutSeason, SeasonRecords};
use store::BlockId;

use crate::error::PageError;
use crate::extract::{Reading, SeasonAt};
use crate::pages::{Page, show};
use crate::shell::Shell;
use crop::CropView;

/// Packout and prices.
#[derive(Template)]
#[template(path = "packout/show.html")]
pub(super) struct PackoutPage {
    shell: Shell,
    year: i32,
    crops: Vec<CropView>,
    how: Vec<HowReckoned>,
}

impl PackoutPage {
    /// From the packed fruit of each crop.
    pub(super) fn of(shell: Shell, year: i32, crops: &[Crop]) -> Self {
        let view = |(n, crop): (usize, &Crop)| CropView::of(n, year, crop);
        let how = reckon::how::how().into_iter().filter(|how| how.id == "price-by-grade");
        Self { crops: crops.iter().enumerate().map(view).collect(), how: how.collect(), shell, year }
    }
}

/// All fruit of one crop, and the blocks it came from.
pub(super) struct Crop {
    pub(super) name: String,
    pub(super) blocks: Vec<(BlockId, String)>,
    pub(super) packout: PackoutSeason,
    pub(super) sales: Sales,
    /// What does not fit, by block: sold and never packed, no weight, no price.
    pub(super) gaps: Vec<(BlockId, String, Gap)>,
}

/// Crops by name; of each the blocks that packed or sold something, by code.
pub(super) fn crops(seasons: &[(BlockId, SeasonRecords)]) -> Vec<Crop> {
    let crop = |(name, mut blocks): (String, Vec<&(BlockId, SeasonRecords)>)| {
        blocks.sort_by(|a, b| a.1.block.code.cmp(&b.1.block.code));
        let records: Vec<&SeasonRecords> = blocks.iter().map(|(_, records)| records).collect();
        let Together { packout, sales, gaps } = together(&records)?;
        let blocks: Vec<(BlockId, String)> = blocks.iter().map(|(id, own)| (*id, own.block.code.clone())).collect();
        let of_block = |((id, code), gaps): (&(BlockId, String), Vec<Gap>)| {
            let (id, code) = (*id, code.clone());
            gaps.into_iter().map(move |gap| (id, code.clone(), gap))
        };
        let gaps = blocks.iter().zip(gaps).flat_map(of_block).collect();
        Some(Crop { name, blocks, packout, sales, gaps })
    };
    by_crop(seasons, |(_, records)| records).into_iter().filter_map(crop).collect()
}

/// GET /season/{year}/packout
pub async fn packout_page(reading: Reading, at: SeasonAt, shell: Shell) -> Page {
    let seasons = reading.desk().whole_season(at.year).await?;
    let crops = web::block(move || crops(&seasons)).await.map_err(PageError::inside)?;
    show(&PackoutPage::of(shell, at.year, &crops))
}
