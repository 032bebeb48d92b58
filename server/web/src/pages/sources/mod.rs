//! Where the figures come from: what others have published beside what we reckon, and the
//! formulas.

mod checks;
mod how;

#[cfg(test)]
mod tests;

use askama::Template;

pub use how::{HowPage, how_page};

use crate::error::PageError;
use crate::pages::{Page, show};
use crate::shell::Shell;
use checks::{Check, Source};

/// Every outside check, by source.
#[derive(Template)]
#[template(path = "sources/show.html")]
pub struct SourcesPage {
    shell: Shell,
    sources: Vec<Source>,
    checks: usize,
    /// What is held against nothing: common practice.
    practice: Vec<Check>,
}

impl SourcesPage {
    /// From the table built into the program.
    ///
    /// # Errors
    /// The table does not read: a fault of the build.
    pub fn of(shell: Shell) -> Result<Self, PageError> {
        let all = checks::by_source().map_err(PageError::inside)?;
        let (practice, sources): (Vec<Source>, Vec<Source>) = all.into_iter().partition(Source::is_practice);
        Ok(Self {
            checks: sources.iter().map(|source| source.checks.len()).sum(),
            practice: practice.into_iter().flat_map(|source| source.checks).collect(),
            sources,
            shell,
        })
    }
}

/// GET /sources
pub async fn sources_page(shell: Shell) -> Page {
    show(&SourcesPage::of(shell)?)
}
