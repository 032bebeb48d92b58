//! Closing a season, after a list of what is still open in it.

use actix_web::web;
use askama::Template;
use print::figures;
use reckon::block::SeasonState;
use reckon::figure::GapWeight;
use reckon::season::{BlockSeason, SeasonRecords};
use store::BlockId;

use crate::body::Form;
use crate::closing;
use crate::error::PageError;
use crate::extract::{SeasonAt, Writing};
use crate::pages::{Page, see_other, show};
use crate::routes::to;
use crate::shell::Shell;

#[derive(Template)]
#[template(path = "seasons/close.html")]
pub(super) struct Close {
    pub(super) shell: Shell,
    pub(super) year: i32,
    pub(super) blocks: usize,
    pub(super) open: Vec<StillOpen>,
}

/// What is still open in a block.
pub(super) struct StillOpen {
    pub(super) link: String,
    pub(super) code: String,
    /// Sentences on what is missing.
    pub(super) missing: usize,
    /// Sentences on what is worth a look.
    pub(super) worth_a_look: usize,
    /// Boxes no settlement has paid; empty where all are settled.
    pub(super) boxes: String,
    /// What rests on the price list, in dollars; empty where nothing does.
    pub(super) listed: String,
}

impl StillOpen {
    /// `None` where nothing is.
    pub(super) fn of(block: BlockId, season: &BlockSeason) -> Option<Self> {
        let count = |weight| season.gaps.iter().filter(|gap| gap.weight == weight).count();
        let boxes = season.packout.boxes_unsettled.as_ref().map(|boxes| figures::plain(boxes.value));
        let listed = season.statement.unsettled.as_ref().map(|part| figures::dollars(&figures::money(part.value)));
        let open = Self {
            link: to::block(season.heading.season.year, block),
            code: season.heading.block.code.clone(),
            missing: count(GapWeight::Missing),
            worth_a_look: count(GapWeight::WorthALook),
            boxes: boxes.unwrap_or_default(),
            listed: listed.unwrap_or_default(),
        };
        let nothing = (open.missing, open.worth_a_look) == (0, 0) && open.boxes.is_empty() && open.listed.is_empty();
        (!nothing).then_some(open)
    }
}

fn still_open(blocks: &[(BlockId, SeasonRecords)]) -> Vec<StillOpen> {
    let mut open: Vec<StillOpen> =
        blocks.iter().filter_map(|(id, records)| StillOpen::of(*id, &reckon::reckon(records))).collect();
    open.sort_by(|a, b| a.code.cmp(&b.code));
    open
}

/// GET /season/{year}/close
pub async fn close_page(writing: Writing, shell: Shell, at: SeasonAt) -> Page {
    let desk = writing.desk();
    must_see_all(&writing)?;
    if desk.season(at.year).await?.state == SeasonState::Closed {
        return Ok(see_other(&to::seasons()));
    }
    let blocks = desk.whole_season(at.year).await?;
    let (n, open) = web::block(move || (blocks.len(), still_open(&blocks))).await?;
    show(&Close { shell, year: at.year, blocks: n, open })
}

/// POST /season/{year}/close
pub async fn close_sent(writing: Writing, at: SeasonAt, _form: Form) -> Page {
    must_see_all(&writing)?;
    closing::close(&writing, at.year).await?;
    Ok(see_other(&format!("{}?said=closed", to::seasons())))
}

/// A season concerns every farm.
pub(super) fn must_see_all(writing: &Writing) -> Result<(), PageError> {
    if writing.sees_all() { Ok(()) } else { Err(PageError::Forbidden) }
}
