//! The table of work due.

use chrono::NaiveDate;
use print::figures;
use reckon::due::{self, Due, Timing};
use reckon::field_rules::FieldRules;
use reckon::language::Language;

use super::{FieldWork, block_of, blocks_on};
use crate::display::{self, shown};
use crate::pages::capital;
use crate::routes::to;

/// One thing due in one block.
pub(super) struct DueRow {
    pub(super) link: Option<String>,
    pub(super) code: String,
    pub(super) variety: String,
    /// Crop and farm.
    pub(super) about: String,
    pub(super) trees: String,
    pub(super) ripens: String,
    pub(super) work: &'static str,
    pub(super) window: String,
    /// "Due until 8 May; thinned 11 days ago."
    pub(super) stands: String,
    pub(super) late: bool,
}

/// In order of ripening.
pub(super) fn rows(year: i32, today: NaiveDate, due: &[Due], work: &FieldWork) -> Vec<DueRow> {
    due.iter().map(|due| row(year, today, due, work)).collect()
}

fn row(year: i32, today: NaiveDate, due: &Due, work: &FieldWork) -> DueRow {
    let block = &due.block;
    let label = due.work.label(Language::English);
    let sentence = due.sentence(today, Language::English);
    let begins = format!("{}: {} ", block.code, label.to_lowercase());
    let trees = block.trees.and_then(|trees| usize::try_from(trees).ok());
    DueRow {
        link: block_of(work, &block.code).map(|id| to::block(year, id)),
        code: block.code.clone(),
        variety: block.variety.clone(),
        about: format!("{}, {}", block.crop, block.farm),
        trees: shown(trees.map(figures::count)),
        ripens: shown(due.ripens.map(display::day)),
        work: label,
        window: format!("{} to {}", display::day(due.window.0), display::day(due.window.1)),
        stands: capital(sentence.strip_prefix(&begins).unwrap_or(&sentence)),
        late: due.timing == Timing::Late,
    }
}

/// Where the windows come from, each once.
pub(super) fn sources(due: &[Due]) -> Vec<String> {
    let mut sources: Vec<String> = due.iter().map(|due| due.source(Language::English)).collect();
    sources.sort_unstable();
    sources.dedup();
    sources
}

/// A day on which nothing is due, and what opens next.
pub(super) struct Nothing {
    /// "Next is the first pass of KW-1, from 3 Apr 2027."
    pub(super) next: Option<String>,
    pub(super) windows: Vec<NextRow>,
    pub(super) sources: Vec<String>,
}

/// A window that opens later.
pub(super) struct NextRow {
    pub(super) link: Option<String>,
    pub(super) code: String,
    pub(super) variety: String,
    pub(super) about: String,
    pub(super) ripens: String,
    pub(super) opens: String,
    pub(super) closes: String,
}

impl Nothing {
    pub(super) fn of(year: i32, today: NaiveDate, work: &FieldWork, rules: &FieldRules) -> Self {
        let found = due::next(&blocks_on(work, today), today, rules.windows());
        let next = found.first().map(|first| {
            let day = display::full_day(first.window.0);
            format!(
                "Next is the {} of {}, from {day}.",
                first.work.label(Language::English).to_lowercase(),
                first.block.code
            )
        });
        Self { next, sources: sources(&found), windows: found.iter().map(|due| next_row(year, due, work)).collect() }
    }
}

fn next_row(year: i32, due: &Due, work: &FieldWork) -> NextRow {
    let block = &due.block;
    NextRow {
        link: block_of(work, &block.code).map(|id| to::block(year, id)),
        code: block.code.clone(),
        variety: block.variety.clone(),
        about: format!("{}, {}", block.crop, block.farm),
        ripens: shown(due.ripens.map(display::full_day)),
        opens: display::full_day(due.window.0),
        closes: display::full_day(due.window.1),
    }
}
