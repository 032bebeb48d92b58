//! `seasonbook bring-in KIND FILE`.

use std::path::PathBuf;
use std::sync::Arc;

use store::Store;

use crate::clock::Machine;
use crate::trouble::Trouble;
use crate::{Database, commands::serve};

/// Bring a CSV file into the book: the whole file or nothing, and the same file only once.
#[derive(Debug, clap::Args)]
pub(crate) struct BringIn {
    /// What the rows are: farms, blocks, labor, irrigation, packout … (the file's own name is a good guess).
    kind: String,
    /// The CSV file.
    file: PathBuf,
    /// E-mail of the person it is brought in as; the operation's owner unless said otherwise.
    #[arg(long = "as", value_name = "EMAIL")]
    as_person: Option<String>,
    #[command(flatten)]
    at: Database,
}

impl BringIn {
    pub(crate) async fn run(self) -> Result<(), Trouble> {
        let kind = intake::FileKind::from_word(&self.kind).ok_or_else(|| {
            let words: Vec<&str> = intake::FileKind::all().map(intake::FileKind::word).collect();
            Trouble::Asked(format!("There is no kind \"{}\". The kinds are: {}.", self.kind, words.join(", ")))
        })?;
        let bytes = std::fs::read(&self.file).map_err(|source| Trouble::file("read", &self.file, source))?;
        let store: Store = serve::open(&self.at.database, Arc::new(Machine)).await?;
        let scope = store.door().operator(self.as_person.as_deref()).await?;
        let name = self.file.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
        let done = web::bring_in::bring_in_file(&store, &scope, kind, &name, bytes, None).await?;
        for remark in &done.remarks {
            println!("{remark}");
        }
        println!("{}", done.sentence());
        Ok(())
    }
}
