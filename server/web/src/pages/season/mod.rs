//! The season: every block of every farm in one table, and what is missing.

mod table;

#[cfg(test)]
mod tests;

use askama::Template;
use print::figures;
use reckon::money::Money;
use reckon::summary::Summary;
use store::{BlockRow, Right};

pub(crate) use table::SeasonTable;

use crate::extract::{Reading, SeasonAt};
use crate::pages::due::due_in;
use crate::pages::{Page, field, show};
use crate::routes::to;
use crate::shell::Shell;

/// The season of the whole operation.
#[derive(Template)]
#[template(path = "season/show.html")]
pub struct SeasonPage {
    shell: Shell,
    year: i32,
    said: Said,
    /// Seasons opened ahead, with no record in them yet.
    ahead: Vec<i32>,
    table: SeasonTable,
    due: Vec<BlockSentence>,
    missing: Vec<BlockSentence>,
    worth_a_look: Vec<BlockSentence>,
}

impl SeasonPage {
    /// From the kept summaries.
    pub fn of(shell: Shell, year: i32, blocks: &[(BlockRow, Option<Summary>)]) -> Self {
        Self {
            said: Said::of(blocks),
            ahead: Vec::new(),
            table: SeasonTable::of_operation(year, blocks, shell.sees_all),
            due: Vec::new(),
            missing: sentences(year, blocks, "missing", |summary| &summary.missing),
            worth_a_look: sentences(year, blocks, "worth-a-look", |summary| &summary.worth_a_look),
            shell,
            year,
        }
    }

    /// With the later seasons, where this one is the season in use: nothing is recorded in them yet.
    #[must_use]
    pub(crate) fn with_ahead(mut self, in_use: Option<i32>) -> Self {
        if in_use == Some(self.year) {
            let seasons = self.shell.seasons.iter().map(|season| season.year);
            self.ahead = seasons.filter(|year| *year > self.year).collect();
            self.ahead.sort_unstable();
        }
        self
    }

    /// With what is due now.
    #[must_use]
    pub(crate) fn with_due(mut self, due: Vec<BlockSentence>) -> Self {
        self.due = due;
        self
    }
}

/// GET /season/{year}
pub async fn season_page(reading: Reading, at: SeasonAt, shell: Shell) -> Page {
    let desk = reading.desk();
    if !shell.may(Right::SeeMoney) {
        return field::season(&desk, shell, at).await;
    }
    let season = desk.season(at.year).await?;
    let blocks = desk.summaries(at.year).await?;
    let due = due_in(&desk, &season, shell.today, |_| true).await?;
    let in_use = desk.newest_season_with_records().await?.map(|season| season.year);
    show(&SeasonPage::of(shell, at.year, &blocks).with_ahead(in_use).with_due(due))
}

/// The sentence below the title, in parts.
pub(crate) struct Said {
    /// `77.3 acres, 11,934 trees, 8 blocks`.
    pub(crate) extent: String,
    /// Return over all costs so far, in dollars and cents.
    pub(crate) over_all: Option<String>,
    /// The part of it that rests on prices not yet settled.
    pub(crate) unsettled: Option<String>,
}

impl Said {
    pub(crate) fn of(blocks: &[(BlockRow, Option<Summary>)]) -> Self {
        let total = Summary::total(blocks.iter().filter_map(|(_, summary)| summary.as_ref()));
        let dollars = |money: Money| figures::dollars(&figures::money(money));
        let trees = usize::try_from(total.trees).unwrap_or(usize::MAX);
        Self {
            extent: format!(
                "{} acres, {}, {}",
                figures::exact(total.acres, 1),
                figures::counted(trees, "tree", "trees"),
                figures::counted(blocks.len(), "block", "blocks"),
            ),
            over_all: total.over_all.map(dollars),
            unsettled: (!total.unsettled.is_zero()).then(|| dollars(total.unsettled)),
        }
    }
}

/// A sentence about a block, or one that is the same for several: a day that their station missed.
pub(crate) struct BlockSentence {
    /// To each block, where the sentence stands with what would mend it; and its code.
    pub(crate) blocks: Vec<(String, String)>,
    /// The sentence as it goes on after the codes.
    pub(crate) text: String,
}

pub(crate) fn sentences(
    year: i32,
    blocks: &[(BlockRow, Option<Summary>)],
    anchor: &str,
    of: impl Fn(&Summary) -> &Vec<String>,
) -> Vec<BlockSentence> {
    let mut sentences: Vec<BlockSentence> = Vec::new();
    for (row, summary) in blocks {
        for text in summary.iter().flat_map(&of) {
            let block = (format!("{}#{anchor}", to::block(year, row.id)), row.block.code.clone());
            let text = after_code(&row.block.code, text);
            match sentences.iter_mut().find(|sentence| sentence.text == text) {
                Some(same) => same.blocks.push(block),
                None => sentences.push(BlockSentence { blocks: vec![block], text }),
            }
        }
    }
    for sentence in sentences.iter_mut().filter(|sentence| sentence.blocks.len() > 1) {
        sentence.text = of_several(&sentence.text);
    }
    sentences
}

/// What is said of one block, of several: " has no weather" becomes " have no weather".
fn of_several(text: &str) -> String {
    let plural = [(" has ", " have "), (" needs ", " need ")];
    let said = plural.into_iter().find_map(|(one, many)| Some(format!("{many}{}", text.strip_prefix(one)?)));
    said.unwrap_or_else(|| text.to_owned())
}

/// A sentence may begin with the block's code; the link before it says that already.
fn after_code(code: &str, text: &str) -> String {
    match text.strip_prefix(code) {
        Some(rest) if rest.starts_with(' ') => rest.to_owned(),
        _ => format!(": {text}"),
    }
}
