//! What can go wrong on the command line, in words for the person in front of it.

use std::fmt;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use store::StoreError;

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
    #[error("{}", sentence(.0))]
    Store(#[from] StoreError),
    /// Bringing in a file failed.
    #[error("{0}")]
    BringIn(#[from] web::bring_in::BringInError),
    /// A report could not be drawn.
    #[error("The report could not be drawn: {0}")]
    Print(#[from] print::pdf::PrintError),
    /// A spreadsheet could not be written.
    #[error(transparent)]
    Spreadsheet(#[from] print::xlsx::SpreadsheetError),
    /// What was typed cannot be meant: an unknown kind, a bad address.
    #[error("{0}")]
    Asked(String),
    /// What was asked for is not in the book, or cannot be done with these files.
    #[error("{0}")]
    Refused(String),
}

impl Trouble {
    /// A file trouble.
    pub(crate) fn file(what: &'static str, path: &Path, source: std::io::Error) -> Self {
        Self::File { what, path: path.to_path_buf(), source }
    }

    /// 2 where the command was typed wrongly, as for an option that does not exist; 1 for anything
    /// else.
    pub(crate) fn code(&self) -> ExitCode {
        match self {
            Self::Asked(_) => ExitCode::from(2),
            _ => ExitCode::FAILURE,
        }
    }
}

/// The store's words as a sentence. What a person can ask for has sentences of its own.
fn sentence(error: &StoreError) -> String {
    format!("{}.", print::words::capital(&error.to_string()))
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_store_speaks_in_sentences() {
        assert_eq!(Trouble::from(StoreError::Busy).to_string(), "The database is busy; try again.");
    }

    #[test]
    fn a_wrong_word_is_not_a_wrong_file() {
        assert_eq!(Trouble::Asked(String::new()).code(), ExitCode::from(2));
        assert_eq!(Trouble::Input(Vec::new()).code(), ExitCode::from(1));
        assert_eq!(Trouble::Refused(String::new()).code(), ExitCode::from(1));
    }
}
