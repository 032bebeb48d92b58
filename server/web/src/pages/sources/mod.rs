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
use checks::Source;

/// Every outside check, by source.
#[derive(Template)]
#[template(path = "sources/show.html")]
pub struct SourcesPage {
    shell: Shell,
    sources: Vec<Source>,
    checks: usize,
}

impl SourcesPage {
    /// From the table built into the program.
    ///
    /// # Errors
    /// The table does not read: a fault of the build.
    pub fn of(shell: Shell) -> Result<Self, PageError> {
        let sources = checks::by_source().map_err(PageError::inside)?;
        Ok(Self { checks: sources.iter().map(|source| source.checks.len()).sum(), sources, shell })
    }
}

/// GET /sources
pub async fn sources_page(shell: Shell) -> Page {
    show(&SourcesPage::of(shell)?)
}
