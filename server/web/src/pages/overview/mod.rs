//! Blocks ranked by return per acre, and what explains the rank.

mod against;

#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use askama::Template;
use print::figures;
use reckon::overview::{Facts, Ranked, overview};
use reckon::season::{BlockSeason, HowReckoned};
use store::BlockId;

pub(crate) use against::Against;

use crate::display::{Bar, shown};
use crate::extract::{Reading, SeasonAt};
use crate::pages::water::reckoned;
use crate::pages::{Page, show};
use crate::routes::to;
use crate::shell::Shell;

/// Pixels of a return's bar.
const BAR: u32 = 72;

/// What explains a return, for each acre.
struct Cells {
    over_all: String,
    yield_lb: String,
    price: String,
    labor: String,
    water: String,
    applied: String,
    other: String,
}

/// One block in its place.
struct Row {
    place: usize,
    code: String,
    link: String,
    variety: String,
    farm: String,
    bar: Option<Bar>,
    cells: Cells,
    against: Vec<Against>,
}

/// All blocks ranked.
#[derive(Template)]
#[template(path = "overview/show.html")]
pub(super) struct OverviewPage {
    shell: Shell,
    year: i32,
    rows: Vec<Row>,
    median: Option<Cells>,
    median_of: &'static str,
    /// The year each block is held against as well.
    last_year: Option<i32>,
    /// Blocks without a return per acre.
    unranked: Vec<(String, String)>,
    how: Vec<HowReckoned>,
}

impl OverviewPage {
    /// From the blocks' seasons, and their last ones by block.
    pub(super) fn of(
        shell: Shell,
        year: i32,
        blocks: &[(BlockId, BlockSeason)],
        last: &BTreeMap<BlockId, BlockSeason>,
    ) -> Self {
        let facts = |(id, season): &(BlockId, BlockSeason)| {
            Facts::of(season).map(|facts| (facts, last.get(id).and_then(Facts::of)))
        };
        let ranking = overview(&blocks.iter().filter_map(facts).collect::<Vec<_>>());
        let most = ranking.ranked.first().map_or(0.0, |best| dollars(&best.facts));
        let last_year = last.values().next().map(|season| season.heading.season.year);
        let median_of = if shell.sees_all { "the operation" } else { "your farms" };
        let unranked = blocks.iter().filter(|(_, season)| Facts::of(season).is_none());
        let row = |ranked| row(year, blocks, ranked, most, last_year);
        Self {
            rows: ranking.ranked.iter().filter_map(row).collect(),
            median: ranking.median.as_ref().map(cells),
            median_of,
            last_year,
            unranked: unranked.map(|(id, season)| (to::block(year, *id), season.heading.block.code.clone())).collect(),
            how: reckon::overview::how(),
            shell,
            year,
        }
    }
}

/// GET /season/{year}/overview
pub async fn overview_page(reading: Reading, at: SeasonAt, shell: Shell) -> Page {
    let desk = reading.desk();
    let blocks = reckoned(desk.whole_season(at.year).await?).await?;
    let last = match last_season(&shell, at.year) {
        Some(year) => reckoned(desk.whole_season(year).await?).await?,
        None => Vec::new(),
    };
    show(&OverviewPage::of(shell, at.year, &blocks, &last.into_iter().collect()))
}

/// The season before, where the operation has one.
pub(crate) fn last_season(shell: &Shell, year: i32) -> Option<i32> {
    let before = year.checked_sub(1)?;
    shell.seasons.iter().any(|season| season.year == before).then_some(before)
}

fn row(
    year: i32,
    blocks: &[(BlockId, BlockSeason)],
    ranked: &Ranked,
    most: f64,
    last_year: Option<i32>,
) -> Option<Row> {
    // A code stands for one block of the operation only.
    let (id, season) = blocks.iter().find(|(_, season)| season.heading.block.code == ranked.facts.code)?;
    let median = ranked.against_median.as_ref().map(|found| Against::of("the median block".to_owned(), found));
    let last = ranked.against_last.as_ref().zip(last_year);
    let last = last.map(|(found, year)| Against::of(format!("its season of {year}"), found));
    Some(Row {
        place: ranked.place,
        code: ranked.facts.code.clone(),
        link: to::block_statement(year, *id),
        variety: season.heading.block.variety.clone(),
        farm: season.heading.farm.name.clone(),
        bar: Bar::of(dollars(&ranked.facts), most, BAR),
        cells: cells(&ranked.facts),
        against: median.into_iter().chain(last).collect(),
    })
}

/// For the length of a bar only.
fn dollars(facts: &Facts) -> f64 {
    reckon::exact::Acres::from_micros(facts.over_all.micros()).as_f64()
}

fn cells(facts: &Facts) -> Cells {
    Cells {
        over_all: figures::price(facts.over_all, 0),
        yield_lb: shown(facts.yield_lb.map(|pounds| figures::exact(pounds, 0))),
        price: shown(facts.price.map(|price| figures::price(price, 2))),
        labor: figures::price(facts.labor, 0),
        water: figures::price(facts.water, 0),
        applied: shown(facts.applied.map(figures::quantity)),
        other: figures::price(facts.other, 0),
    }
}
