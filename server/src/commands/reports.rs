//! `seasonbook reports`: every block's PDF, and the same for the demo.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::NaiveDate;
use reckon::season::BlockSeason;
use store::{BlockId, Scope, Source, Store};

use crate::clock::Machine;
use crate::commands::serve;
use crate::trouble::Trouble;
use crate::{Database, PaperName, folder};

/// Write the PDF season report of every block.
#[derive(Debug, clap::Args)]
pub(crate) struct Reports {
    /// The season's year; the newest unless said otherwise.
    #[arg(long)]
    year: Option<i32>,
    /// Folder to write into.
    #[arg(long, default_value = "season-reports")]
    to: PathBuf,
    /// Paper.
    #[arg(long, value_enum, default_value = "letter")]
    paper: PaperName,
    #[command(flatten)]
    at: Database,
}

impl Reports {
    pub(crate) async fn run(self) -> Result<(), Trouble> {
        let store = serve::open(&self.at.database, Arc::new(Machine)).await?;
        let scope = store.door().operator(None).await?;
        let year = match self.year {
            Some(year) => year,
            None => newest_year(&store, &scope).await?,
        };
        let today = Machine.now().date_naive();
        let seasons = write_all(&store, &scope, year, self.paper.into(), today, &folder(&self.to)?).await?;
        println!("{} reports of {year} are in {}.", seasons.len(), self.to.display());
        Ok(())
    }
}

async fn newest_year(store: &Store, scope: &Scope) -> Result<i32, Trouble> {
    let seasons = store.desk(scope).seasons().await?;
    seasons
        .iter()
        .map(|season| season.year)
        .max()
        .ok_or_else(|| Trouble::Asked("The book has no season yet. Open one on the first page.".to_owned()))
}

/// Reckons every block of a year and writes its report; gives back what was reckoned, in page order.
pub(crate) async fn write_all(
    store: &Store,
    scope: &Scope,
    year: i32,
    paper: print::sheet::Paper,
    made_on: NaiveDate,
    to: &Path,
) -> Result<Vec<BlockSeason>, Trouble> {
    let desk = store.desk(scope);
    // In the order of block ids, as the pages compare them: the same season gives the same bytes.
    let mut reckoned: BTreeMap<BlockId, BlockSeason> =
        desk.whole_season(year).await?.into_iter().map(|(id, records)| (id, reckon::reckon(&records))).collect();
    let all: Vec<BlockSeason> = reckoned.values().cloned().collect();
    let mut seasons = Vec::new();
    for row in desk.blocks().await? {
        let Some(season) = reckoned.remove(&row.id) else { continue };
        let season = season.with_comparisons(&all);
        let issue = print::report::Issue { paper, made_on, revision: 1 };
        let path = to.join(file_name(year, &row.block.code));
        std::fs::write(&path, print::report::pdf(&season, &issue)?)
            .map_err(|source| Trouble::file("write", &path, source))?;
        seasons.push(season);
    }
    Ok(seasons)
}

/// A block code may hold anything a person types; a file name may not.
fn file_name(year: i32, code: &str) -> String {
    let safe: String =
        code.chars().map(|c| if c.is_alphanumeric() || c == '-' || c == '_' { c } else { '-' }).collect();
    format!("{year}-{safe}.pdf")
}

#[cfg(test)]
mod tests {
    use super::file_name;

    #[test]
    fn a_block_code_cannot_leave_the_folder() {
        assert_eq!(file_name(2026, "RB-1"), "2026-RB-1.pdf");
        assert_eq!(file_name(2026, "../x/ñ 1"), "2026----x-ñ-1.pdf");
    }
}
