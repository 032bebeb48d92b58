//! The ledger of mulch: every application within its life, what it covers and costs, and what the
//! water it kept is worth.

#[cfg(test)]
mod tests;

use askama::Template;
use print::{figures, words};
use reckon::block::Season;
use reckon::figure::{Evidence, RecordId, RecordKind};
use reckon::season::{BlockSeason, MulchLaid};
use reckon::units::Count;
use reckon::water::together::together;
use store::{BlockId, Right};
use uuid::Uuid;

use super::reckoned;
use crate::display::shown;
use crate::extract::{Reading, SeasonAt};
use crate::pages::records::own_season;
use crate::pages::{Page, show};
use crate::routes::to;
use crate::shell::Shell;

/// One application.
struct Laid {
    day: String,
    /// To the entry, for whoever may correct it.
    link: Option<String>,
    material: String,
    depth: String,
    /// What has not settled by the season's end; `None` where all of it is left.
    left: Option<String>,
    covered: String,
    share: String,
    volume: String,
    cost: String,
    life: String,
    season_cost: String,
    payback: String,
    /// How floor, cost and payback are known.
    known: Known,
}

/// How the figures of an application are known; empty where there is none.
struct Known {
    covered: &'static str,
    cost: &'static str,
    payback: &'static str,
}

/// The applications of one block, and what they come to.
struct OfBlock {
    code: String,
    link: String,
    place: String,
    laid: Vec<Laid>,
    sum: Sum,
}

/// What a block's mulch, or all of it, comes to.
struct Sum {
    cost: String,
    season_cost: String,
    kept: String,
    worth: String,
    /// Acres of the mulched blocks, in the sum of all.
    over: Option<String>,
    /// Season cost over worth, `10.4` times.
    times: String,
    /// Seasons of such water that pay for it.
    payback: String,
    cost_known: &'static str,
    kept_known: &'static str,
}

/// Every application of mulch over the blocks.
#[derive(Template)]
#[template(path = "water/mulch.html")]
pub(super) struct MulchLedger {
    shell: Shell,
    year: i32,
    blocks: Vec<OfBlock>,
    total: Option<Sum>,
    /// Blocks without mulch, where one may be kept: code and form.
    bare: Vec<(String, String)>,
    may_keep: bool,
}

impl MulchLedger {
    /// Of the blocks' reckoned seasons, by farm and code.
    pub(super) fn of(shell: Shell, year: i32, blocks: &[(BlockId, BlockSeason)]) -> Self {
        let may_keep = shell.may(Right::to_keep(RecordKind::Mulch));
        let (under, bare): (Vec<_>, Vec<_>) = blocks.iter().partition(|(_, season)| !season.mulch.laid.is_empty());
        let seasons: Vec<&BlockSeason> = under.iter().map(|(_, season)| season).collect();
        Self {
            blocks: under.iter().map(|(id, season)| of_block((&shell.seasons, year), *id, season, may_keep)).collect(),
            total: (under.len() > 1).then(|| Sum { over: over(&seasons), ..sum(&seasons) }),
            bare: bare.iter().map(|(id, season)| (season.heading.block.code.clone(), add(year, *id))).collect(),
            may_keep,
            year,
            shell,
        }
    }
}

/// GET /season/{year}/mulch
pub async fn mulch_page(reading: Reading, at: SeasonAt, shell: Shell) -> Page {
    let blocks = reckoned(reading.desk().whole_season(at.year).await?).await?;
    show(&MulchLedger::of(shell, at.year, &blocks))
}

fn add(year: i32, block: BlockId) -> String {
    to::add(year, Some(block), RecordKind::Mulch)
}

fn of_block((seasons, year): (&[Season], i32), id: BlockId, season: &BlockSeason, may_keep: bool) -> OfBlock {
    let heading = &season.heading;
    let entry = |laid: &MulchLaid| match laid.record.id {
        RecordId::Stored(record) if may_keep => {
            Some(own_season::correct(seasons, (year, laid.date), Some(id), RecordKind::Mulch, Uuid::from_u128(record)))
        }
        _ => None,
    };
    OfBlock {
        code: heading.block.code.clone(),
        link: to::water(year, id),
        place: format!("{}, {}", heading.farm.name, heading.block.variety),
        laid: season.mulch.laid.iter().map(|one| laid(one, entry(one))).collect(),
        sum: sum(&[season]),
    }
}

fn laid(laid: &MulchLaid, link: Option<String>) -> Laid {
    Laid {
        day: words::full_day(laid.date),
        link,
        material: laid.material.clone(),
        depth: figures::shortest(laid.depth.get()),
        left: (laid.depth_left < laid.depth).then(|| figures::float(laid.depth_left.get(), 1)),
        covered: shown(laid.covered.as_ref().map(|area| figures::quantity(area.value))),
        share: shown(
            laid.covered_share.as_ref().map(|share| format!("{}% of the floor", figures::quantity(share.value))),
        ),
        volume: shown(laid.volume.as_ref().map(|volume| figures::quantity(volume.value))),
        cost: words::mulch_cost(laid.cost.as_ref()),
        life: figures::plain(laid.life),
        season_cost: words::mulch_cost(laid.season_cost.as_ref()),
        payback: times(laid.payback.as_ref().map(|seasons| seasons.value)),
        known: Known {
            covered: word(laid.covered.as_ref().map(|area| area.evidence)),
            cost: word(laid.cost.as_ref().map(|cost| cost.evidence)),
            payback: word(laid.payback.as_ref().map(|seasons| seasons.evidence)),
        },
    }
}

fn word(evidence: Option<Evidence>) -> &'static str {
    evidence.map_or("", Evidence::word)
}

fn times(times: Option<Count>) -> String {
    shown(times.map(|times| figures::float(times.get(), 1)))
}

/// `47.0 acres`.
fn over(seasons: &[&BlockSeason]) -> Option<String> {
    together(seasons).kept_acres.map(|acres| format!("{} mulched acres", figures::exact(acres, 1)))
}

/// Of one block, or of several as one.
fn sum(seasons: &[&BlockSeason]) -> Sum {
    let all = together(seasons);
    Sum {
        cost: shown(all.mulch_cost.map(figures::money)),
        season_cost: shown(all.mulch_season_cost.map(figures::money)),
        kept: shown(all.kept.map(|depth| figures::float(depth.get(), 1))),
        worth: shown(all.kept_worth.map(figures::money)),
        over: None,
        times: times(all.mulch_cost_over_value),
        payback: times(all.mulch_payback),
        cost_known: word(all.known.mulch_cost),
        kept_known: word(all.known.kept),
    }
}
