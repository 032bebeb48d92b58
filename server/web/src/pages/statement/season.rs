//! The statement of the operation with a column a farm, or of one farm with a column a block.

use actix_web::HttpRequest;
use askama::Template;
use print::figures;
use reckon::money::Money;
use reckon::operation::together;
use reckon::season::{BlockSeason, Statement};
use store::{BlockId, FarmId, FarmRow};

use super::rows::{self, Beside, Row};
use crate::error::PageError;
use crate::extract::{Reading, SeasonAt, query};
use crate::pages::block::statement::unsettled;
use crate::pages::costs::unallocated;
use crate::pages::overview::last_season;
use crate::pages::water::reckoned;
use crate::pages::{Page, show};
use crate::routes::to;
use crate::shell::Shell;

/// A column: a farm, or a block of the one farm.
pub(super) struct Part {
    pub(super) name: String,
    pub(super) link: String,
    statement: Statement,
}

/// All blocks a person sees, and the same in the season before.
pub(super) struct Seasons {
    pub(super) blocks: Vec<(BlockId, BlockSeason)>,
    pub(super) last: Vec<(BlockId, BlockSeason)>,
}

/// One line across the columns.
struct Line {
    row: Row,
    parts: Vec<String>,
}

/// The statement of several blocks.
#[derive(Template)]
#[template(path = "statement/season.html")]
pub(super) struct StatementPage {
    shell: Shell,
    year: i32,
    title: String,
    over: (String, String),
    whole: String,
    extent: String,
    parts: Vec<Part>,
    lines: Vec<Line>,
    /// The year before, where there is a statement of it.
    last_year: Option<i32>,
    /// How many blocks the median is of.
    median_of: Option<usize>,
    unsettled: Option<String>,
    /// Shared costs that no block bears: on the operation's own statement only.
    unallocated: Option<String>,
    /// Blocks that have nothing to state.
    silent: Vec<(String, String)>,
}

impl StatementPage {
    /// Of reckoned block seasons, by farm and code. `farm`: the one farm the page is about.
    pub(super) fn of(
        shell: Shell,
        year: i32,
        farm: Option<&FarmRow>,
        seasons: &Seasons,
        unallocated: Option<Money>,
    ) -> Self {
        let own = |season: &&BlockSeason| farm.is_none_or(|row| season.heading.farm.name == row.farm.name);
        let every: Vec<&BlockSeason> = seasons.blocks.iter().map(|(_, season)| season).collect();
        let all: Vec<&BlockSeason> = every.iter().copied().filter(own).collect();
        let blocks: Vec<&(BlockId, BlockSeason)> = seasons.blocks.iter().filter(|(_, season)| own(&season)).collect();
        let statement = together(&all);
        let before: Vec<&BlockSeason> = seasons.last.iter().map(|(_, season)| season).filter(own).collect();
        let last = Some(together(&before)).filter(|last| !last.lines.is_empty());
        let beside = Beside { last: last.as_ref(), blocks: &every };
        let parts = if farm.is_some() { by_block(year, &blocks) } else { by_farm(year, &shell.farms, &all) };
        let line =
            |line| Line { row: Row::of(line, &beside), parts: parts.iter().map(|part| cell(part, line)).collect() };
        let silent = blocks.iter().filter(|(_, season)| season.statement.lines.is_empty());
        Self {
            title: farm.map_or_else(|| "Statement".to_owned(), |row| format!("Statement of {}", row.farm.name)),
            over: match farm {
                Some(row) => (to::farm(year, row.id), row.farm.name.clone()),
                None => (to::season(year), format!("The season of {year}")),
            },
            whole: whole(&shell, farm),
            extent: figures::counted(all.len(), "block", "blocks"),
            lines: statement.lines.iter().map(line).collect(),
            last_year: before.first().filter(|_| last.is_some()).map(|season| season.heading.season.year),
            median_of: beside.median_of(),
            unsettled: unsettled(&statement),
            unallocated: unallocated
                .filter(|amount| !amount.is_zero())
                .map(|amount| figures::dollars(&figures::money(amount))),
            silent: silent.map(|(id, season)| (to::block(year, *id), season.heading.block.code.clone())).collect(),
            parts,
            shell: shell.below(to::statement(year, None)),
            year,
        }
    }
}

/// GET /season/{year}/statement: of all farms in scope, or of the one named by `?farm=`.
pub async fn statement_page(reading: Reading, at: SeasonAt, shell: Shell, req: HttpRequest) -> Page {
    let desk = reading.desk();
    let asked = query(&req, "farm").map(|id| id.parse::<FarmId>().map_err(|_| PageError::NotFound)).transpose()?;
    let farm = match asked {
        Some(id) => Some(desk.farm(id).await?),
        None => None,
    };
    let last = match last_season(&shell, at.year) {
        Some(year) => reckoned(desk.whole_season(year).await?).await?,
        None => Vec::new(),
    };
    let seasons = Seasons { blocks: reckoned(desk.whole_season(at.year).await?).await?, last };
    let whole = shell.sees_all && farm.is_none();
    let left = if whole { Some(unallocated(&desk, at.year).await?) } else { None };
    show(&StatementPage::of(shell, at.year, farm.as_ref(), &seasons, left))
}

/// What the last sum is of.
fn whole(shell: &Shell, farm: Option<&FarmRow>) -> String {
    match farm {
        Some(row) => row.farm.name.clone(),
        None if shell.sees_all => "Operation".to_owned(),
        None => "Your farms".to_owned(),
    }
}

fn cell(part: &Part, line: &reckon::season::StatementLine) -> String {
    rows::amount(&part.statement, line.key)
}

fn by_block(year: i32, blocks: &[&(BlockId, BlockSeason)]) -> Vec<Part> {
    let stated = blocks.iter().filter(|(_, season)| !season.statement.lines.is_empty());
    let part = |(id, season): &&(BlockId, BlockSeason)| Part {
        name: season.heading.block.code.clone(),
        link: to::block_statement(year, *id),
        statement: season.statement.clone(),
    };
    stated.map(part).collect()
}

fn by_farm(year: i32, farms: &[FarmRow], blocks: &[&BlockSeason]) -> Vec<Part> {
    let part = |row: &FarmRow| {
        let own: Vec<&BlockSeason> =
            blocks.iter().copied().filter(|season| season.heading.farm.name == row.farm.name).collect();
        let statement = together(&own);
        (!statement.lines.is_empty()).then(|| Part {
            name: row.farm.name.clone(),
            link: to::statement(year, Some(row.id)),
            statement,
        })
    };
    farms.iter().filter_map(part).collect()
}
