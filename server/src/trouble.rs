//! What can go wrong on the command line, in words for the person in front of it.

use std::fmt;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// A command could not do what was asked.
#[derive(Debug, thiserror::Error)]
pub(crate) enum Trouble {
    /// The operating system said no.
    #[error("Could not start {what}: {source}")]
    Start {
        /// What was to be started.
        what: &'static str,
        /// Why not.
        source: std::io::Error,
    },
    /// A file could not be read or written.
    #[error("Could not {what} {}: {source}", path.display())]
    File {
        /// What was tried.
        what: &'static str,
        /// On which path.
        path: PathBuf,
        /// Why not.
        source: std::io::Error,
    },
    /// The input has problems; each says where and what was expected.
    #[error("{}", Problems(.0))]
    Input(Vec<String>),
    /// The store refused.
    #[error("{0}")]
    Store(#[from] store::StoreError),
    /// Bringing in a file failed.
    #[error("{0}")]
    BringIn(#[from] web::bring_in::BringInError),
    /// A report could not be drawn.
    #[error("The report could not be drawn: {0}")]
    Print(#[from] print::pdf::PrintError),
    /// Something the person asked for does not fit.
    #[error("{0}")]
    Asked(String),
}

impl Trouble {
    /// A file trouble.
    pub(crate) fn file(what: &'static str, path: &Path, source: std::io::Error) -> Self {
        Self::File { what, path: path.to_path_buf(), source }
    }

    /// 2 where the input is to be mended, 1 for anything else.
    pub(crate) fn code(&self) -> ExitCode {
        match self {
            Self::Input(_) | Self::Asked(_) | Self::BringIn(_) => ExitCode::from(2),
            _ => ExitCode::FAILURE,
        }
    }
}

struct Problems<'a>(&'a [String]);

impl fmt::Display for Problems<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Nothing was reckoned. {} to mend:", self.0.len())?;
        for problem in self.0 {
            write!(f, "\n  {problem}")?;
        }
        Ok(())
    }
}
