//! The season report of an operation: its blocks in order of what they return and why, the statement
//! that ties to theirs, who bears which cost, prices, thinning methods, water, and what is missing.

mod blocks;
mod closing;
mod costs;
mod form;
mod overview;
mod prices;
pub(super) mod ranging;
mod statement;
mod thinning;
mod water;

use reckon::operation_season::OperationSeason;
use reckon::season::StatementKey;

use super::flow::{Flow, STANDING, SUBTITLE, TITLE};
use super::{Issue, Standing, first};
use crate::figures;
use crate::fingerprint::{Fingerprint, operation_fingerprint};
use crate::headline::{Headline, Lack};
use crate::pdf::{self, Meta, PrintError};
use crate::sheet::Sheet;
use crate::words;

/// The report, laid out.
pub fn sheet(season: &OperationSeason, issue: &Issue) -> Sheet {
    laid_out(season, issue, operation_fingerprint(season))
}

/// The report as a PDF file.
///
/// # Errors
/// [`PrintError`] only for a broken build: every text has been made printable.
pub fn pdf(season: &OperationSeason, issue: &Issue) -> Result<Vec<u8>, PrintError> {
    let fingerprint = operation_fingerprint(season);
    let title = format!("{}, season {}", season.operation, season.season.year);
    pdf::write(&laid_out(season, issue, fingerprint), &Meta { title, made_on: issue.made_on, fingerprint })
}

/// Which issue of the report this is, where there is something to say: a sentence for below the title.
pub(crate) fn standing(season: &OperationSeason, standing: &Standing, fingerprint: Fingerprint) -> Option<String> {
    let why = match standing {
        Standing::Unnumbered if season.whole => "the season was closed before the report of the operation was numbered",
        Standing::Unnumbered => "only the report of the whole operation is numbered, and this is of some farms",
        _ => return standing.sentence(fingerprint),
    };
    Some(format!("Season closed. The report has no revision: {why}."))
}

/// "The operation", or "Your farms" for a person limited to some.
const fn whose(season: &OperationSeason) -> &'static str {
    if season.whole { "Operation" } else { "Your farms" }
}

fn laid_out(season: &OperationSeason, issue: &Issue, fingerprint: Fingerprint) -> Sheet {
    let year = format!("Season {}{}", season.season.year, issue.standing.in_head());
    let mut flow = Flow::new(issue.paper, &season.operation, &year);
    title(&mut flow, season);
    if let Some(told) = standing(season, &issue.standing, fingerprint) {
        flow.y -= 12.0;
        flow.note(STANDING, &told);
        flow.y += 12.0;
    }
    first::four_figures(&mut flow, &headlines(season));
    overview::draw(&mut flow, season);
    statement::draw(&mut flow, season);
    blocks::draw(&mut flow, season);
    costs::draw(&mut flow, season);
    form::draw(&mut flow, &season.schedule, &season.statement);
    prices::draw(&mut flow, season);
    thinning::draw(&mut flow, &season.thinning);
    water::draw(&mut flow, season);
    ranging::draw(&mut flow, season);
    closing::draw(&mut flow, season, fingerprint);
    let made = words::full_day(issue.made_on);
    flow.finish(&format!("Fingerprint {} · made on {made}", fingerprint.grouped()))
}

fn title(flow: &mut Flow, season: &OperationSeason) {
    let text = format!("{}, season {}", season.operation, season.season.year);
    first::title_lines(flow, TITLE, &text);
    let mut crops: Vec<String> = season.blocks.iter().map(|block| block.heading.block.crop.to_lowercase()).collect();
    crops.retain(|crop| !crop.trim().is_empty());
    crops.sort_unstable();
    crops.dedup();
    let mut farms: Vec<&str> = season.blocks.iter().map(|block| block.heading.farm.name.as_str()).collect();
    farms.dedup();
    let mut parts = vec![
        figures::counted(farms.len(), "farm", "farms"),
        figures::counted(season.blocks.len(), "block", "blocks"),
        format!("{} acres", figures::plain(season.acres)),
        crops.join(", "),
    ];
    if !season.whole {
        parts.insert(0, "the farms of the person who asked, not the whole operation".to_owned());
    }
    parts.retain(|part| !part.is_empty());
    flow.y += 3.0;
    flow.note(SUBTITLE, &parts.join(" · "));
    flow.y += 12.0;
}

/// Gross, net to grower, return over all costs, the same an acre.
fn headlines(season: &OperationSeason) -> [Headline; 4] {
    let line = |key| season.statement.line(key);
    let amount = |label, key| {
        line(key).map_or_else(|| absent(label, Lack::Records), |line| Headline::money(label, &line.amount))
    };
    let over_all = line(StatementKey::OverAll);
    let each = over_all.and_then(|line| line.per_acre.map(|each| line.amount.map(each)));
    let label = "Return over all costs";
    let per_acre = each.map_or_else(
        || absent(label, Lack::Records),
        |each| Headline::price(label, &each, 0, "an acre").of(&season.statement),
    );
    [
        amount("Gross", StatementKey::Gross),
        amount("Net to grower", StatementKey::NetToGrower),
        amount("Return over all costs", StatementKey::OverAll).of(&season.statement),
        per_acre,
    ]
}

fn absent(label: &'static str, lack: Lack) -> Headline {
    Headline::absent(label, figures::NOT_KNOWN, lack)
}

#[cfg(test)]
mod tests;
