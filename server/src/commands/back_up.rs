//! `seasonbook back-up FILE`.

use std::path::PathBuf;

use crate::commands::book;
use crate::trouble::Trouble;
use crate::{Database, out, private};

/// Copy an SQLite book while it is in use.
///
/// The copy is a whole book. To restore it, stop the server, move the old file away together with the
/// -wal and -shm files beside it, and put the copy in its place; or serve the copy with --database.
#[derive(Debug, clap::Args)]
pub(crate) struct BackUp {
    /// The copy; must not exist yet.
    file: PathBuf,
    #[command(flatten)]
    at: Database,
}

impl BackUp {
    #[cfg(test)]
    pub(crate) fn of(book: &std::path::Path, file: &std::path::Path) -> Self {
        Self { file: file.to_path_buf(), at: Database { database: book.display().to_string() } }
    }

    pub(crate) async fn run(self) -> Result<(), Trouble> {
        let store = book::open(&self.at.database).await?;
        if !private::file(&self.file)? {
            return Err(Trouble::Refused(format!("{} exists already. Choose a new name.", self.file.display())));
        }
        // SQLite copies into an empty file; one that stays empty is no copy.
        if let Err(error) = store.back_up_to(&self.file).await {
            std::fs::remove_file(&self.file).map_err(|source| Trouble::file("remove", &self.file, source))?;
            return Err(error.into());
        }
        out::say(&format!("Copied to {}.", self.file.display()))
    }
}
