//! The season report of a block: two to three pages of what was recorded and what it comes to.
//!
//! Page one says how the block did; page two shows the work, the water and the fruit behind it;
//! the last says what is missing and how each figure was reckoned.

mod closing;
mod columns;
pub mod crew;
mod earnings;
mod first;
mod flow;
mod fruit;
pub mod operation;
mod standing;
mod table;
mod water;
mod work;

use chrono::NaiveDate;
use reckon::season::BlockSeason;

use crate::fingerprint::{Fingerprint, fingerprint};
use crate::pdf::{self, Meta, PrintError};
use crate::sheet::{Paper, Role, Sheet};
use crate::{font, words};
use earnings::Extent;
use flow::Flow;
pub use standing::{Revision, Standing};

/// What belongs to the printing and not to the season.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Issue {
    /// Paper.
    pub paper: Paper,
    /// Day the report is made.
    pub made_on: NaiveDate,
    /// Whether its season is open, or which revision of a closed one it is.
    pub standing: Standing,
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

/// With the tables that may be left out, where they fit. Letters that no face has are counted on the
/// laid-out pages, and said on the last one: then it is laid out once more.
fn laid_out(season: &BlockSeason, issue: &Issue, fingerprint: Fingerprint) -> Sheet {
    let of = |extent| {
        let draw = |letters| drawn(season, issue, fingerprint, (letters, extent));
        let sheet = draw(0);
        match unprintable(&sheet) {
            0 => sheet,
            letters => draw(letters),
        }
    };
    let fits = |sheet: &Sheet| Extent::fits(sheet.pages.len());
    let whole = of(Extent::Whole);
    if fits(&whole) {
        return whole;
    }
    Extent::SHORTER.into_iter().map(of).find(fits).unwrap_or(whole)
}

/// Letters printed as the sign that stands for them; those of the running head once.
fn unprintable(sheet: &Sheet) -> usize {
    let pages = sheet.pages.iter().enumerate();
    let texts = pages.flat_map(|(n, page)| page.texts().filter(move |text| n == 0 || text.role != Role::Running));
    texts.map(|text| text.text.chars().filter(|letter| *letter == font::REPLACEMENT).count()).sum()
}

fn drawn(
    season: &BlockSeason,
    issue: &Issue,
    fingerprint: Fingerprint,
    (unprintable, extent): (usize, Extent),
) -> Sheet {
    let heading = &season.heading;
    let of = [heading.operation.as_str(), heading.farm.name.as_str()];
    let of = of.into_iter().filter(|name| !name.is_empty()).collect::<Vec<_>>().join(" · ");
    let year = format!("Season {}{}", heading.season.year, issue.standing.in_head());
    let mut flow = Flow::new(issue.paper, &of, &year);
    first::draw(&mut flow, season, issue.standing.sentence(fingerprint).as_deref());
    work::counts(&mut flow, &season.thinning, &season.labor);
    // The water's figures stand on the first page, with its chart, where they fit.
    let early = water::balance_fits(&flow, &season.water);
    if early {
        water::balance(&mut flow, &season.water);
    }
    work::labor(&mut flow, &season.labor);
    if extent != Extent::Short {
        earnings::group(&mut flow, season);
    }
    if !early {
        water::balance(&mut flow, &season.water);
    }
    water::under_mulch(&mut flow, season);
    fruit::draw(&mut flow, season);
    earnings::draw(&mut flow, season, extent);
    closing::draw(&mut flow, season, fingerprint, (unprintable, extent));
    flow.finish(&format!("Fingerprint {} · {}", fingerprint.grouped(), dated(season, issue)))
}

/// When the report was made. A folder's without a day of its own carries the season's last day, so that its
/// bytes are the same in any process: it must not say that it was made then.
fn dated(season: &BlockSeason, issue: &Issue) -> String {
    let day = words::full_day(issue.made_on);
    let undated = issue.standing == Standing::Files && issue.made_on == season.heading.season.last_day;
    if undated { format!("season to {day}") } else { format!("made on {day}") }
}

#[cfg(test)]
mod page_checks;
#[cfg(test)]
mod tests;
