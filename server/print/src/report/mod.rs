//! The season report of a block: two to three pages of what was recorded and what it comes to.
//!
//! Page one says how the block did; page two shows the work, the water and the fruit behind it;
//! the last says what is missing and how each figure was reckoned.

mod closing;
mod columns;
pub mod crew;
mod first;
mod flow;
mod fruit;
mod table;
mod water;
mod work;

use chrono::NaiveDate;
use reckon::season::BlockSeason;

use crate::fingerprint::{Fingerprint, fingerprint};
use crate::pdf::{self, Meta, PrintError};
use crate::sheet::{Paper, Sheet};
use crate::words;
use flow::Flow;

/// What belongs to the printing and not to the season.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Issue {
    /// Paper.
    pub paper: Paper,
    /// Day the report is made.
    pub made_on: NaiveDate,
    /// 1 for the first; one more each time the season was opened again and changed.
    pub revision: u32,
}

/// The report, laid out.
pub fn sheet(season: &BlockSeason, issue: &Issue) -> Sheet {
    laid_out(season, issue, fingerprint(season))
}

/// The report as a PDF file.
///
/// # Errors
/// [`PrintError`] only for a broken build: every text has been made printable.
pub fn pdf(season: &BlockSeason, issue: &Issue) -> Result<Vec<u8>, PrintError> {
    let fingerprint = fingerprint(season);
    let title = format!("{}, season {}", title(season), season.heading.season.year);
    pdf::write(&laid_out(season, issue, fingerprint), &Meta { title, made_on: issue.made_on, fingerprint })
}

/// `RB-1, Ninebark nectarine`.
pub fn title(season: &BlockSeason) -> String {
    let block = &season.heading.block;
    let fruit: Vec<&str> =
        [block.variety.as_str(), block.crop.as_str()].into_iter().filter(|w| !w.is_empty()).collect();
    if fruit.is_empty() { block.code.clone() } else { format!("{}, {}", block.code, fruit.join(" ")) }
}

fn laid_out(season: &BlockSeason, issue: &Issue, fingerprint: Fingerprint) -> Sheet {
    let heading = &season.heading;
    let of = [heading.operation.as_str(), heading.farm.name.as_str()];
    let of = of.into_iter().filter(|name| !name.is_empty()).collect::<Vec<_>>().join(" · ");
    let year = format!("Season {} · revision {}", heading.season.year, issue.revision);
    let mut flow = Flow::new(issue.paper, &of, &year);
    first::draw(&mut flow, season);
    work::counts(&mut flow, &season.thinning, &season.labor);
    // The water's figures stand on the first page, with its chart, where they fit.
    let early = water::balance_fits(&flow, &season.water);
    if early {
        water::balance(&mut flow, &season.water);
    }
    work::labor(&mut flow, &season.labor);
    if !early {
        water::balance(&mut flow, &season.water);
    }
    water::under_mulch(&mut flow, season);
    fruit::draw(&mut flow, season);
    closing::draw(&mut flow, season, fingerprint);
    let made = words::full_day(issue.made_on);
    flow.finish(&format!("Fingerprint {} · made on {made}", fingerprint.grouped()))
}

#[cfg(test)]
mod tests;
