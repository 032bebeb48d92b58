//! `seasonbook reckon FOLDER`: one block season from files, by the same code as the pages.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use crate::PaperName;
use crate::trouble::Trouble;

/// Reckon a folder that holds `block.toml` and CSV files; prints the block season as JSON.
#[derive(Debug, clap::Args)]
pub(crate) struct ReckonFolder {
    /// The folder.
    folder: PathBuf,
    /// Also write the daily water balance to this CSV file.
    #[arg(long, value_name = "FILE")]
    daily: Option<PathBuf>,
    /// Also write every figure to this CSV file.
    #[arg(long, value_name = "FILE")]
    figures: Option<PathBuf>,
    /// Also write the season report to this PDF file.
    #[arg(long, value_name = "FILE")]
    pdf: Option<PathBuf>,
    /// Paper of the PDF.
    #[arg(long, value_enum, default_value = "letter")]
    paper: PaperName,
    /// Date printed on the PDF; the season's last day unless said otherwise.
    #[arg(long, value_name = "DATE")]
    made_on: Option<NaiveDate>,
}

impl ReckonFolder {
    pub(crate) fn run(&self) -> Result<(), Trouble> {
        let files = read_files(&self.folder)?;
        let records = intake::read_folder(&files)
            .map_err(|problems| Trouble::Input(problems.iter().map(ToString::to_string).collect()))?;
        let season = reckon::reckon(&records);
        if let Some(path) = &self.daily {
            let runs = season.water.runs.as_ref().ok_or_else(|| {
                Trouble::Asked("There is no daily water balance: the folder has no usable weather.csv.".to_owned())
            })?;
            write(path, print::csv::daily(runs).as_bytes())?;
        }
        if let Some(path) = &self.figures {
            write(path, print::csv::figures(&season).as_bytes())?;
        }
        if let Some(path) = &self.pdf {
            let issue = print::report::Issue {
                paper: self.paper.into(),
                made_on: self.made_on.unwrap_or(records.season.last_day),
                revision: 1,
            };
            write(path, &print::report::pdf(&season, &issue)?)?;
        }
        print_json(&print::json::block_season(&season))
    }
}

fn read_files(folder: &Path) -> Result<BTreeMap<String, Vec<u8>>, Trouble> {
    let entries = std::fs::read_dir(folder).map_err(|source| Trouble::file("open the folder", folder, source))?;
    let mut files = BTreeMap::new();
    for entry in entries {
        let path = entry.map_err(|source| Trouble::file("list the folder", folder, source))?.path();
        let Some(name) = path.file_name().and_then(|name| name.to_str()) else { continue };
        let known = Path::new(name).extension().is_some_and(|ext| ext == "csv" || ext == "toml");
        if known && path.is_file() {
            let bytes = std::fs::read(&path).map_err(|source| Trouble::file("read", &path, source))?;
            files.insert(name.to_owned(), bytes);
        }
    }
    Ok(files)
}

fn write(path: &Path, bytes: &[u8]) -> Result<(), Trouble> {
    std::fs::write(path, bytes).map_err(|source| Trouble::file("write", path, source))
}

pub(super) fn print_json(value: &serde_json::Value) -> Result<(), Trouble> {
    use std::io::Write as _;
    let mut out = std::io::stdout().lock();
    // A reader that closed the pipe has read enough.
    match writeln!(out, "{value:#}") {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Trouble::file("write", Path::new("standard output"), error))
        }
        _ => Ok(()),
    }
}
