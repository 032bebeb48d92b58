//! A block's season: what the trees cost, drank, bore and earned, and how each figure is known.
//!
//! The page is built from one [`BlockSeason`] and nothing else; each part of it has its own view.

pub(crate) mod behind;
mod files;
mod headline;
mod labor;
mod labor_table;
mod metered;
pub(crate) mod packout;
mod season;
pub(crate) mod soil;
pub(crate) mod statement;
pub(crate) mod water;

#[cfg(test)]
mod tests;

use askama::Template;
use print::figures::{counted, float, plain};
use reckon::block::SeasonState;
use reckon::figure::GapWeight;
use reckon::season::BlockSeason;
use store::{BlockId, BlockRow, Right};

pub(crate) use files::{CSV, file, file_name};
pub use files::{figures_csv, report_pdf, season_json, water_csv};
pub(crate) use labor::fruit_counted;
pub(crate) use metered::Metered;
pub(crate) use season::season;

use super::due::pollinizer_doubts;

use crate::display;
use crate::extract::{BlockAt, Reading};
use crate::pages::{Page, show};
use crate::routes::to;
use crate::shell::Shell;
use behind::{AddLink, GapLine, How, Known};
use headline::Figures;
use labor::Thinning;
use labor_table::LaborTable;
use packout::Packout;
use soil::Soil;
use statement::StatementRow;
use water::{MulchRow, Saving, Water};

/// The season of one block.
#[derive(Template)]
#[template(path = "block/show.html")]
pub struct BlockPage {
    shell: Shell,
    year: i32,
    block: BlockId,
    farm: String,
    title: String,
    farm_name: String,
    description: String,
    /// When it ripens and what pollinizes it.
    ripens: Option<String>,
    figures: Vec<Figures>,
    water: Option<Water>,
    savings: Option<Saving>,
    metered: Option<Metered>,
    mulch: Vec<MulchRow>,
    thinning: Option<Thinning>,
    labor: Option<LaborTable>,
    packout: Option<Packout>,
    statement: Vec<StatementRow>,
    unsettled: Option<String>,
    soil: Soil,
    missing: Vec<GapLine>,
    worth_a_look: Vec<GapLine>,
    observations: Vec<Seen>,
    known: Vec<Known>,
    how: Vec<How>,
    /// Whether there is a water balance to hand out by day.
    daily: bool,
    adds: Vec<AddLink>,
    lists: Vec<AddLink>,
}

impl BlockPage {
    /// From a reckoned season. `row` gives the addresses, `season` every word and figure.
    pub fn of(shell: Shell, row: &BlockRow, season: &BlockSeason) -> Self {
        let year = season.heading.season.year;
        let at = At { year, block: row.id };
        let gaps = |weight| behind::gap_lines(at, season, weight);
        let open = season.heading.season.state == SeasonState::Open;
        let adds = if open { behind::adds(at, &shell) } else { Vec::new() };
        let lists = behind::lists(at, &shell);
        Self {
            year,
            block: row.id,
            farm: to::farm(year, row.farm_id),
            title: print::report::title(season),
            farm_name: season.heading.farm.name.clone(),
            description: description(season),
            ripens: reckon::pollination::heading(&season.heading.block),
            figures: headline::figures(at, season),
            water: Water::of(season, shell.may(Right::SeeMoney)),
            savings: Saving::of(season),
            metered: Metered::of(season),
            mulch: water::mulch_rows(season),
            thinning: Thinning::of(season),
            labor: LaborTable::of(at, season),
            packout: Packout::of(&season.packout),
            statement: statement::rows(at, &season.statement),
            unsettled: statement::unsettled(&season.statement),
            soil: Soil::of(&season.heading.block),
            missing: gaps(GapWeight::Missing),
            worth_a_look: gaps(GapWeight::WorthALook),
            observations: season.observations.iter().map(Seen::of).collect(),
            known: behind::known(at, season),
            how: behind::how(season),
            daily: season.water.runs.is_some(),
            adds,
            lists,
            shell: shell.below(to::farm(year, row.farm_id)),
        }
    }

    /// With what the operation's other blocks say against its pollinizer's record, each once.
    fn with_pollinizer(mut self, doubts: Vec<String>) -> Self {
        for what in doubts {
            if self.worth_a_look.iter().all(|line| line.what != what) {
                self.worth_a_look.push(behind::pollinizer_line(what));
            }
        }
        self
    }
}

/// GET /season/{year}/block/{block}
pub async fn block_page(reading: Reading, at: BlockAt, shell: Shell) -> Page {
    let desk = reading.desk();
    if !shell.may(Right::SeeMoney) {
        return super::field::block(&desk, shell, at).await;
    }
    let row = desk.block(at.block).await?;
    let reckoned = season(&desk, at).await?;
    let season = desk.season(at.year).await?;
    // A block on another farm would seem not to exist to a person who does not see every farm.
    let asked = reading.scope().sees_all() && reckon::pollination::names_another(&row.block);
    let doubts =
        if asked { pollinizer_doubts(&desk, &season, &row.block.code, shell.today).await? } else { Vec::new() };
    show(&BlockPage::of(shell, &row, &reckoned).with_pollinizer(doubts))
}

/// Which block season, for addresses.
#[derive(Debug, Clone, Copy)]
pub(crate) struct At {
    /// Year of the season.
    pub(crate) year: i32,
    /// The block.
    pub(crate) block: BlockId,
}

/// `15.4 acres, 2,387 trees, planted 2017 at 18 × 14 ft, double-line drip`.
pub(crate) fn description(season: &BlockSeason) -> String {
    let block = &season.heading.block;
    let feet = |feet: reckon::units::Feet| float(feet.get(), usize::from(feet.get().fract() > 0.0));
    let spacing =
        block.row_spacing.zip(block.tree_spacing).map(|(row, tree)| format!("{} × {} ft", feet(row), feet(tree)));
    let planted = match (block.planted_year, spacing) {
        (Some(year), Some(spacing)) => Some(format!("planted {year} at {spacing}")),
        (Some(year), None) => Some(format!("planted {year}")),
        (None, Some(spacing)) => Some(format!("trees at {spacing}")),
        (None, None) => None,
    };
    let trees = block.trees.and_then(|trees| usize::try_from(trees).ok()).map(|trees| counted(trees, "tree", "trees"));
    let parts = [
        Some(format!("{} acres", plain(block.acres))),
        Some(trees.unwrap_or_else(|| "trees not counted".to_owned())),
        planted,
        Some(block.emitter.word().to_owned()),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// Bloom, hail, frost: one line.
pub(crate) struct Seen {
    pub(crate) date: String,
    pub(crate) what: String,
    pub(crate) share: Option<String>,
    pub(crate) note: String,
}

impl Seen {
    pub(crate) fn of(seen: &reckon::records::Observation) -> Self {
        Self {
            date: display::day(seen.date),
            what: seen.what.clone(),
            share: seen.share_pct.map(|share| format!("{}% of the crop", print::figures::shortest(share))),
            note: seen.note.clone(),
        }
    }
}
