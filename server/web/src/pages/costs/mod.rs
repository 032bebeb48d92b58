//! Costs of a season: what each was shared by, who bears which cent of it and why, the sums by
//! group, and the lines of the farm tax form they are suggested for.

mod ledger;
mod schedule;
mod shared;

#[cfg(test)]
mod tests;

use actix_web::web;
use askama::Template;
use print::figures;
use reckon::block::Season;
use reckon::costs;
use reckon::figure::{Kept, RecordId, RecordKind};
use reckon::money::Money;
use reckon::records::{Cost, CostGroup};
use reckon::season::{HowReckoned, SeasonRecords};
use reckon::sharing::{self, Ledger, SharedOut};
use store::{BlockId, Desk};
use uuid::Uuid;

pub use schedule::schedule_f_csv;

use crate::error::PageError;
use crate::extract::{Reading, SeasonAt};
use crate::pages::records::own_season;
use crate::pages::{Page, show};
use crate::shell::Shell;
use ledger::{GroupRow, OwnRow};
use schedule::Form;
use shared::SharedRow;

/// Costs and sharing.
#[derive(Template)]
#[template(path = "costs/show.html")]
pub(super) struct CostsPage {
    shell: Shell,
    year: i32,
    groups: Vec<GroupRow>,
    total: GroupRow,
    shared: Vec<SharedRow>,
    own: Vec<OwnRow>,
    unallocated: Option<String>,
    form: Form,
    how: Vec<HowReckoned>,
}

impl CostsPage {
    /// From a season's records by block, and the costs that several blocks share.
    pub(super) fn of(shell: Shell, season: &Season, books: &Books) -> Self {
        let sums = books.ledger(season);
        let total = GroupRow::of("All costs".to_owned(), &sums.total);
        Self {
            groups: ledger::groups(&sums),
            shared: books
                .shared
                .iter()
                .map(|cost| SharedRow::of((&shell.seasons, season.year), books, &shell.farms, cost))
                .collect(),
            own: ledger::own(&shell.seasons, season, &books.blocks),
            unallocated: (!sums.total.unallocated.is_zero()).then(|| figures::dollars(&total.unallocated)),
            total,
            form: Form::of(&books.blocks),
            how: how(),
            year: season.year,
            shell,
        }
    }
}

/// What the page is made of: each block's records, and the costs shared.
pub(super) struct Books {
    pub(super) blocks: Vec<(BlockId, SeasonRecords)>,
    pub(super) shared: Vec<store::SharedOut>,
}

impl Books {
    fn ledger(&self, season: &Season) -> Ledger {
        let own = self.blocks.iter().flat_map(|(_, records)| &records.costs);
        let own = own.filter_map(|kept| Some((kept.record.group, costs::in_season(&kept.record, season)?)));
        sharing::ledger(own, of_shared(&self.shared))
    }
}

fn of_shared(shared: &[store::SharedOut]) -> impl Iterator<Item = (CostGroup, &SharedOut)> {
    shared.iter().map(|shared| (shared.cost.record.group, &shared.out))
}

/// GET /season/{year}/costs
pub async fn costs_page(reading: Reading, at: SeasonAt, shell: Shell) -> Page {
    let desk = reading.desk();
    let season = desk.season(at.year).await?;
    let books = Books { blocks: desk.whole_season(at.year).await?, shared: desk.shared_costs(at.year).await? };
    let page = web::block(move || CostsPage::of(shell, &season, &books)).await.map_err(PageError::inside)?;
    show(&page)
}

/// What of a season's shared costs no block bears.
pub(crate) async fn unallocated(desk: &Desk<'_>, year: i32) -> Result<Money, PageError> {
    let shared = desk.shared_costs(year).await?;
    Ok(sharing::ledger([], of_shared(&shared)).total.unallocated)
}

fn how() -> Vec<HowReckoned> {
    const OWN: [&str; 2] = ["shared-costs", "capital-recovery"];
    reckon::how::how().into_iter().filter(|how| OWN.contains(&how.id)).collect()
}

/// The address of a cost's own form, from the page of a season: what lasts may be bought in another.
fn correct((seasons, year): (&[Season], i32), block: Option<BlockId>, cost: &Kept<Cost>) -> Option<String> {
    let RecordId::Stored(id) = cost.id else { return None };
    let shown = (year, cost.record.date);
    Some(own_season::correct(seasons, shown, block, RecordKind::Cost, Uuid::from_u128(id)))
}
