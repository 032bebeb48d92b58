//! `seasonbook back-up FILE`.

use std::path::PathBuf;
use std::sync::Arc;

use crate::Database;
use crate::clock::Machine;
use crate::commands::serve;
use crate::trouble::Trouble;

/// Copy the database while it is in use.
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
            return Err(Trouble::Asked(format!("{} exists already. Choose a new name.", self.file.display())));
        }
        let store = serve::open(&self.at.database, Arc::new(Machine)).await?;
        store.back_up_to(&self.file).await?;
        println!("Copied to {}.", self.file.display());
        Ok(())
    }
}
