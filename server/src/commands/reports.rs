//! `seasonbook reports`: every block's PDF and the operation's, and the same for the demo.

use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use print::report::Issue;
use reckon::block::Season;
use reckon::season::BlockSeason;
use store::{Scope, Store};

use crate::clock::{local, today};
use crate::commands::book;
use crate::trouble::Trouble;
use crate::{Database, PaperName, folder, out};

/// Write the PDF season report of every block, and of the operation.
#[derive(Debug, clap::Args)]
pub(crate) struct Reports {
    /// The season's year; the newest that holds a record unless said otherwise.
    #[arg(long)]
    year: Option<i32>,
    /// Folder to write into.
    #[arg(long, value_name = "FOLDER", default_value = "season-reports")]
    to: PathBuf,
    /// Paper.
    #[arg(long, value_enum, default_value = "letter")]
    paper: PaperName,
    #[command(flatten)]
    at: Database,
}

impl Reports {
    pub(crate) async fn run(self) -> Result<(), Trouble> {
        let store = book::open(&self.at.database).await?;
        let scope = book::operator(&store, None).await?;
        let season = book::season(&store.desk(&scope), self.year).await?;
        let made = write_all(&store, &scope, &season, self.paper.into(), today(), &folder(&self.to)?).await?;
        let reports = print::figures::counted(made.len(), "report", "reports");
        let are = if made.len() == 1 { "is" } else { "are" };
        out::say(&format!("{reports} of {} {are} in {}.", season.year, self.to.display()))
    }
}

/// Reckons every block of a season and writes its report; gives back what was reckoned, in page order.
pub(crate) async fn write_all(
    store: &Store,
    scope: &Scope,
    season: &Season,
    paper: print::sheet::Paper,
    made_on: NaiveDate,
    to: &Path,
) -> Result<Vec<BlockSeason>, Trouble> {
    let desk = store.desk(scope);
    let mut made = Vec::new();
    for (row, _) in desk.summaries(season.year).await? {
        let reckoned = desk.reported(row.id, season.year).await?.reckon();
        let day_of = |moment| local(moment).date_naive();
        let standing = web::closing::standing(&desk, row.id, season, day_of).await?;
        let path = to.join(file_name(season.year, &row.block.code));
        out::file(&path, &print::report::pdf(&reckoned, &Issue { paper, made_on, standing })?)?;
        made.push(reckoned);
    }
    if !made.is_empty() {
        write_operation(store, scope, season, (paper, made_on), to).await?;
    }
    Ok(made)
}

/// The report of the whole operation, and its spreadsheet for the books.
async fn write_operation(
    store: &Store,
    scope: &Scope,
    season: &Season,
    (paper, made_on): (print::sheet::Paper, NaiveDate),
    to: &Path,
) -> Result<(), Trouble> {
    let desk = store.desk(scope);
    let whole = desk.operation_records(season.year).await?.reckon();
    let standing = web::closing::operation_standing(&desk, season, |moment| local(moment).date_naive()).await?;
    let path = |ending: &str| to.join(format!("{}-{OPERATION}.{ending}", season.year));
    out::file(&path("pdf"), &print::report::operation::pdf(&whole, &Issue { paper, made_on, standing })?)?;
    out::file(&path("xlsx"), &print::xlsx::operation(&whole, made_on, &standing)?)
}

/// The word in place of a block's code.
const OPERATION: &str = "operation";

/// A block code may hold anything a person types; a file name may not.
fn file_name(year: i32, code: &str) -> String {
    let safe: String =
        code.chars().map(|c| if c.is_alphanumeric() || c == '-' || c == '_' { c } else { '-' }).collect();
    let safe = if safe.eq_ignore_ascii_case(OPERATION) { format!("block-{safe}") } else { safe };
    format!("{year}-{safe}.pdf")
}

#[cfg(test)]
mod tests {
    use super::file_name;

    #[test]
    fn a_block_code_cannot_leave_the_folder() {
        assert_eq!(file_name(2026, "RB-1"), "2026-RB-1.pdf");
        assert_eq!(file_name(2026, "../x/ñ 1"), "2026----x-ñ-1.pdf");
        assert_eq!(file_name(2026, "Operation"), "2026-block-Operation.pdf", "beside the operation's own report");
    }
}
