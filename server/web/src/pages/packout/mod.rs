//! Packout and prices of a season, crop by crop: what each grade, each size class and each week
//! brought, weighted over the blocks.

mod crop;

#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use actix_web::web;
use askama::Template;
use reckon::figure::Gap;
use reckon::packout::{Sales, season, together};
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
    let mut by_crop: BTreeMap<&str, Vec<&(BlockId, SeasonRecords)>> = BTreeMap::new();
    for block in seasons.iter().filter(|(_, records)| !records.packout.is_empty() || !records.settlements.is_empty()) {
        by_crop.entry(block.1.block.crop.trim()).or_default().push(block);
    }
    let crop = |(name, mut blocks): (&str, Vec<&(BlockId, SeasonRecords)>)| {
        blocks.sort_by(|a, b| a.1.block.code.cmp(&b.1.block.code));
        let records: Vec<&SeasonRecords> = blocks.iter().map(|(_, records)| records).collect();
        let (packout, sales) = together(&records)?;
        let gaps = blocks.iter().flat_map(|(id, records)| {
            let (_, _, gaps) = season(records);
            gaps.into_iter().map(|gap| (*id, records.block.code.clone(), gap))
        });
        let gaps = gaps.collect();
        let blocks = blocks.iter().map(|(id, records)| (*id, records.block.code.clone())).collect();
        Some(Crop { name: name.to_owned(), blocks, packout, sales, gaps })
    };
    by_crop.into_iter().filter_map(crop).collect()
}

/// GET /season/{year}/packout
pub async fn packout_page(reading: Reading, at: SeasonAt, shell: Shell) -> Page {
    let seasons = reading.desk().whole_season(at.year).await?;
    let crops = web::block(move || crops(&seasons)).await.map_err(PageError::inside)?;
    show(&PackoutPage::of(shell, at.year, &crops))
}
