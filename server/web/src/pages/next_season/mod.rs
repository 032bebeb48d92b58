//! Next season of a block: what a planned thinning would leave, from the block's own seasons.

mod asked;
#[cfg(test)]
mod tests;
mod view;

use actix_web::http::StatusCode;
use actix_web::{HttpRequest, web};
use askama::Template;
use reckon::estimate;
use reckon::season::{BlockSeason, HowReckoned};
use store::{BlockId, BlockRow};

use self::asked::Fields;
use self::view::View;
use crate::extract::{BlockAt, Reading};
use crate::pages::{Page, show_with};
use crate::routes::to;
use crate::shell::Shell;

/// Next season of a block.
#[derive(Template)]
#[template(path = "next_season/show.html")]
pub struct NextSeasonPage {
    shell: Shell,
    year: i32,
    block: BlockId,
    code: String,
    fields: Fields,
    view: Option<View>,
    missing: Vec<String>,
    how: Vec<HowReckoned>,
}

impl NextSeasonPage {
    /// From every season of the block up to this one, and the form as typed.
    pub fn of(shell: Shell, year: i32, row: &BlockRow, seasons: &[BlockSeason], fields: Fields) -> Self {
        let seasons: Vec<&BlockSeason> = seasons.iter().collect();
        let asked = fields.asked().unwrap_or_default();
        let (view, missing) = match estimate::next_season(&seasons, &asked) {
            Ok(next) => (Some(View::of(&next)), Vec::new()),
            Err(missing) => (None, missing),
        };
        Self {
            year,
            block: row.id,
            code: row.block.code.clone(),
            fields: fields.with_own(view.as_ref()),
            view,
            missing,
            how: estimate::how(),
            shell: shell.below(to::block(year, row.id)),
        }
    }

    /// 422 where a field could not be read: it stands as typed, and the plan is as last season.
    const fn status(&self) -> StatusCode {
        if self.fields.wrong() { StatusCode::UNPROCESSABLE_ENTITY } else { StatusCode::OK }
    }
}

/// GET /season/{year}/block/{block}/next: `?set=1200&removed=75&price=10`, each of them optional.
pub async fn next_season_page(reading: Reading, at: BlockAt, shell: Shell, req: HttpRequest) -> Page {
    let desk = reading.desk();
    let row = desk.block(at.block).await?;
    desk.season(at.year).await?;
    let records = desk.records_up_to(at.block, at.year).await?;
    let seasons = web::block(move || records.iter().map(reckon::reckon).collect::<Vec<_>>()).await?;
    let page = NextSeasonPage::of(shell, at.year, &row, &seasons, Fields::read(&req)?);
    show_with(page.status(), &page)
}
