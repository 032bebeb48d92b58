//! `seasonbook back-up FILE`.

use std::path::PathBuf;

use crate::commands::book;
use crate::trouble::Trouble;
use crate::{Database, out};

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
    pub(crate) async fn run(self) -> Result<(), Trouble> {
        if self.file.exists() {
            return Err(Trouble::Refused(format!("{} exists already. Choose a new name.", self.file.display())));
        }
        let store = book::open(&self.at.database).await?;
        store.back_up_to(&self.file).await?;
        out::say(&format!("Copied to {}.", self.file.display()))
    }
}
