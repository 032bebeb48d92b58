//! The table of work due.

use chrono::NaiveDate;
use print::figures;
use reckon::due::{Due, Timing};
use reckon::language::Language;

use super::{FieldWork, block_of};
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
pub(super) fn sources(due: &[Due]) -> Vec<&'static str> {
    let mut sources: Vec<&'static str> = due.iter().map(|due| due.basis.source(Language::English)).collect();
    sources.sort_unstable();
    sources.dedup();
    sources
}
