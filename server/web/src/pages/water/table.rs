//! Water of a farm, and of the whole season: a row a block, what it got against what it needed.

#[cfg(test)]
mod tests;

use askama::Template;
use print::{figures, words};
use reckon::exact::Acres;
use reckon::figure::Evidence;
use reckon::season::{BlockSeason, WaterSeason};
use reckon::units::{Inches, Measure, Share};
use reckon::water::together::{self, Together, together};
use store::BlockId;

use super::reckoned;
use crate::display::{Bar, shown};
use crate::extract::{FarmAt, Reading, SeasonAt};
use crate::pages::{Page, show};
use crate::routes::to;
use crate::shell::Shell;

/// Pixels of the water bar.
const BAR: u32 = 84;

/// One block's row.
struct Row {
    code: String,
    link: String,
    variety: String,
    crop: String,
    bar: Option<Bar>,
    cells: Cells,
}

/// Figures of a row; units stand in the column heads.
struct Cells {
    acres: String,
    applied: String,
    need: String,
    share: String,
    rain: String,
    rain_kept: String,
    drained: String,
    depletion: String,
    kept: String,
    worth: String,
    cost: String,
    next_set: String,
    known: Known,
}

/// How the figures of a row are known; empty where there is none.
struct Known {
    applied: &'static str,
    need: &'static str,
    kept: &'static str,
    /// In a sum: `over 47.0 mulched acres`.
    over: String,
    cost: &'static str,
}

/// One farm's rows.
struct Part {
    /// Name and link; `None` on the farm's own page.
    heading: Option<(String, String)>,
    rows: Vec<Row>,
}

/// Water of a farm, or of all farms.
#[derive(Template)]
#[template(path = "water/table.html")]
pub(super) struct WaterTable {
    shell: Shell,
    over: (String, String),
    title: String,
    parts: Vec<Part>,
    total: Option<(String, Cells)>,
    /// Until when the weather reaches, when it is the same for all blocks.
    until: Option<String>,
    mulch: String,
}

impl WaterTable {
    /// Of the blocks' reckoned seasons, by farm and code. `farm`: the name and address of the one farm
    /// the page is about.
    pub(super) fn of(
        shell: Shell,
        year: i32,
        farm: Option<&(String, String)>,
        blocks: &[(BlockId, BlockSeason)],
    ) -> Self {
        let most = blocks.iter().filter_map(|(_, season)| share(&season.water)).fold(100.0, f64::max);
        let same_farm = |a: &(BlockId, BlockSeason), b: &(BlockId, BlockSeason)| farm_of(a) == farm_of(b);
        let part = |blocks: &[(BlockId, BlockSeason)]| {
            let name = blocks.first().map(farm_of).unwrap_or_default();
            let known = shell.farms.iter().find(|row| row.farm.name == name);
            let heading = known.filter(|_| farm.is_none()).map(|row| (name.to_owned(), to::farm_water(year, row.id)));
            Part { heading, rows: blocks.iter().map(|(id, season)| row(year, *id, season, most)).collect() }
        };
        let all: Vec<&BlockSeason> = blocks.iter().map(|(_, season)| season).collect();
        let every = if shell.sees_all { "Operation" } else { "Your farms" };
        let sum = farm.map_or(every, |(name, _)| name.as_str());
        Self {
            parts: blocks.chunk_by(same_farm).map(part).collect(),
            total: (!blocks.is_empty()).then(|| (sum.to_owned(), Cells::of_sum(&all))),
            until: until(&all),
            title: farm.map_or_else(|| "Water".to_owned(), |(name, _)| format!("Water of {name}")),
            mulch: to::mulch(year),
            over: match farm {
                Some((name, link)) => (link.clone(), name.clone()),
                None => (to::season(year), format!("The season of {year}")),
            },
            shell: shell.below(to::season_water(year)),
        }
    }
}

/// GET /season/{year}/farm/{farm}/water
pub async fn farm_water_page(reading: Reading, at: FarmAt, shell: Shell) -> Page {
    let desk = reading.desk();
    let farm = desk.farm(at.farm).await?;
    let blocks = reckoned(desk.farm_season(at.farm, at.year).await?).await?;
    let farm = (farm.farm.name, to::farm(at.year, at.farm));
    show(&WaterTable::of(shell, at.year, Some(&farm), &blocks))
}

/// GET /season/{year}/water
pub async fn season_water_page(reading: Reading, at: SeasonAt, shell: Shell) -> Page {
    let blocks = reckoned(reading.desk().whole_season(at.year).await?).await?;
    show(&WaterTable::of(shell, at.year, None, &blocks))
}

fn farm_of((_, season): &(BlockId, BlockSeason)) -> &str {
    &season.heading.farm.name
}

fn share(water: &WaterSeason) -> Option<f64> {
    water.applied_of_need.as_ref().map(|share| share.value.get())
}

fn row(year: i32, id: BlockId, season: &BlockSeason, most: f64) -> Row {
    let block = &season.heading.block;
    Row {
        code: block.code.clone(),
        link: to::water(year, id),
        variety: block.variety.clone(),
        crop: block.crop.clone(),
        bar: share(&season.water).and_then(|share| Bar::of(share, most, BAR)).map(|bar| bar.ticked(100.0, most)),
        cells: Cells::of(season),
    }
}

fn said<M: Measure + Copy>(measure: Option<M>) -> String {
    shown(measure.map(figures::quantity))
}

fn percent(share: Option<Share>) -> String {
    shown(share.map(|share| format!("{}%", figures::quantity(share))))
}

impl Cells {
    fn of(season: &BlockSeason) -> Self {
        let water = &season.water;
        let last = water.weeks.last().map(|week| week.depletion);
        let bare = season.mulch.laid.is_empty();
        let next = water.advice.as_ref().and_then(|advice| advice.next_set.as_ref());
        let own = Self::of_all(&[season]);
        Self {
            depletion: said::<Inches>(last),
            kept: if bare { "bare".to_owned() } else { own.kept },
            next_set: shown(
                next.map(|set| format!("{}, {} in", words::day(set.date), figures::float(set.gross.value.get(), 1))),
            ),
            ..own
        }
    }

    /// A sum says over which acres the mulch kept water: those of the mulched blocks and no others.
    fn of_sum(seasons: &[&BlockSeason]) -> Self {
        let all = together(seasons);
        Self { known: Known::of(all.known, all.kept_acres), ..Self::of_all(seasons) }
    }

    fn of_all(seasons: &[&BlockSeason]) -> Self {
        let own = together(seasons);
        let Together { applied, need, applied_of_need, rain, rain_kept, drained, kept, kept_worth, cost, .. } = own;
        let acres = seasons.iter().map(|season| season.acres()).sum();
        let known = Known::of(own.known, None);
        Self {
            acres: figures::exact(acres, 1),
            applied: said(applied),
            need: said(need),
            share: percent(applied_of_need),
            rain: said(rain),
            rain_kept: said(rain_kept),
            drained: said(drained),
            depletion: String::new(),
            kept: said(kept),
            worth: shown(kept_worth.map(figures::money)),
            cost: shown(cost.map(figures::money)),
            next_set: String::new(),
            known,
        }
    }
}

impl Known {
    fn of(known: together::Known, acres: Option<Acres>) -> Self {
        let word = |evidence: Option<Evidence>| evidence.map_or("", Evidence::word);
        let over = acres.map(|acres| format!("over {} mulched acres", figures::exact(acres, 1)));
        Self {
            applied: word(known.applied),
            need: word(known.need),
            kept: word(known.kept),
            over: over.unwrap_or_default(),
            cost: word(known.cost),
        }
    }
}

/// The last day with weather, when it is one for all that have a balance.
fn until(seasons: &[&BlockSeason]) -> Option<String> {
    let mut last = seasons.iter().filter_map(|season| season.water.span).map(|(_, last)| last);
    let first = last.next()?;
    last.all(|day| day == first).then(|| words::full_day(first))
}
