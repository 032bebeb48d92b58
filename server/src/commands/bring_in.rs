//! `seasonbook bring-in KIND FILE`.

use std::path::PathBuf;

use store::Doubles;
use web::bring_in::{BringInError, Wishes, bring_in_file};

use crate::clock::today;
use crate::commands::book;
use crate::trouble::Trouble;
use crate::{Database, out};

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
    /// The values that are asked about are right.
    #[arg(long)]
    sure: bool,
    /// Bring back rows that were removed from the book.
    #[arg(long)]
    bring_back: bool,
    /// What to do with rows that look like records of the book.
    #[arg(long, value_enum, default_value = "ask", value_name = "WHAT")]
    doubles: OnDoubles,
    #[command(flatten)]
    at: Database,
}

/// What to do with rows that look like records of the book.
#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum OnDoubles {
    /// Name them and keep nothing yet.
    Ask,
    /// Leave them out and bring in the rest.
    LeaveOut,
    /// Add them as well: the work was done, or the bill paid, twice.
    Add,
}

impl BringIn {
    pub(crate) async fn run(self) -> Result<(), Trouble> {
        let kind = intake::FileKind::from_word(&self.kind).ok_or_else(|| {
            let words: Vec<&str> = intake::FileKind::all().map(intake::FileKind::word).collect();
            Trouble::Asked(format!("There is no kind \"{}\". The kinds are: {}.", self.kind, words.join(", ")))
        })?;
        let bytes = std::fs::read(&self.file).map_err(|source| Trouble::file("read", &self.file, source))?;
        let store = book::open(&self.at.database).await?;
        let scope = book::operator(&store, self.as_person.as_deref()).await?;
        let name = self.file.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
        let wishes = self.wishes();
        let done = bring_in_file(&store, &scope, kind, &name, bytes, None, &wishes).await.map_err(with_hints)?;
        for remark in &done.remarks {
            out::say(remark)?;
        }
        out::say(&done.sentence())?;
        for sentence in done.stayed_out() {
            out::say(&sentence)?;
        }
        if done.has_removed() {
            out::say("To have removed rows after all: --bring-back.")?;
        }
        if done.kept_out.iter().any(|row| row.why == store::Why::Double) {
            out::say("To add doubles after all: --doubles add.")?;
        }
        Ok(())
    }

    fn wishes(&self) -> Wishes {
        let doubles = match self.doubles {
            OnDoubles::Ask => Doubles::Ask,
            OnDoubles::LeaveOut => Doubles::LeaveOut,
            OnDoubles::Add => Doubles::Add,
        };
        Wishes { sure: self.sure, bring_back: self.bring_back, doubles, ..Wishes::on(today()) }
    }
}

/// What to type when the file is right after all.
fn with_hints(error: BringInError) -> Trouble {
    let BringInError::Refused(refusal) = &error else { return error.into() };
    let mut text = refusal.to_string();
    if !refusal.questions.is_empty() {
        text.push_str("\nIf these values are right, bring the file in with --sure.");
    }
    if !refusal.doubles.is_empty() {
        text.push_str("\nTo leave these rows out: --doubles leave-out. To add them as well: --doubles add.");
    }
    Trouble::Refused(text)
}
