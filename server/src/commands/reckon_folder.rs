//! `seasonbook reckon FOLDER`: one block season from files, by the same code as the pages.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use chrono::{NaiveDate, Weekday};
use print::report::{Issue, Standing};
use reckon::exact::Exact;
use reckon::figure::RecordKind;
use reckon::rates::Rates;
use reckon::season::SeasonRecords;
use reckon::wages::{InBlock, WeekRule, crew_weeks};

use crate::trouble::Trouble;
use crate::{PaperName, out};

/// Reckon one block season from a folder of files, without a database; prints it as JSON.
///
/// The folder holds block.toml, which names the block and the season, and CSV files named by their kind
/// (see `seasonbook formats`).
#[derive(Debug, clap::Args)]
pub(crate) struct ReckonFolder {
    /// The folder. Figures that this program wrote into it earlier are passed over.
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
    /// Day the PDF says it was made on; without one it names the season's last day instead.
    #[arg(long, value_name = "DATE")]
    made_on: Option<NaiveDate>,
    /// Print the weeks of the block's crews instead of the season: overtime by the week, an estimate and
    /// not a payroll.
    #[arg(long)]
    weeks: bool,
    /// Day on which a week begins.
    #[arg(long, value_name = "DAY", default_value = "monday", value_parser = day_of_week, requires = "weeks")]
    week_begins: Weekday,
    /// Hours of a person in a week above which overtime is estimated; local law may say another number.
    #[arg(long, value_name = "HOURS", default_value_t = 40, value_parser = hours_of_week, requires = "weeks")]
    week_hours: u8,
}

impl ReckonFolder {
    pub(crate) fn run(&self) -> Result<(), Trouble> {
        for path in [&self.daily, &self.figures, &self.pdf].into_iter().flatten() {
            must_not_be_a_record(&self.folder, path)?;
        }
        let files = read_files(&self.folder)?;
        let records = intake::read_folder(&files)
            .map_err(|problems| Trouble::Input(problems.iter().map(ToString::to_string).collect()))?;
        let season = reckon::reckon(&records);
        if let Some(path) = &self.daily {
            match &season.water.runs {
                Some(runs) => out::file(path, print::csv::daily(runs).as_bytes())?,
                None => out::warn(&format!(
                    "No daily file was written to {}: there is no daily water balance, because the folder has no \
                     weather that can be used (weather.csv). The gaps of the JSON say what is missing.",
                    path.display()
                )),
            }
        }
        if let Some(path) = &self.figures {
            out::file(path, print::csv::figures(&season).as_bytes())?;
        }
        if let Some(path) = &self.pdf {
            let made_on = self.made_on.unwrap_or(records.season.last_day);
            let issue = Issue { paper: self.paper.into(), made_on, standing: Standing::Files };
            out::file(path, &print::report::pdf(&season, &issue)?)?;
        }
        print_json(&if self.weeks { self.weeks(&records) } else { print::json::block_season(&season) })
    }

    /// The same estimate as the page of crews shows, over the entries of the folder.
    fn weeks(&self, records: &SeasonRecords) -> serde_json::Value {
        let threshold = Exact::whole(self.week_hours.into()).unwrap_or_default();
        let rule = WeekRule { begins: self.week_begins, threshold };
        let block = &records.block.code;
        let entries: Vec<InBlock<'_>> = records.labor.iter().map(|kept| InBlock { block, kept }).collect();
        print::json::crew_weeks(&crew_weeks(&entries, Rates::new(&records.rates), rule), rule)
    }
}

fn day_of_week(text: &str) -> Result<Weekday, String> {
    let days = "a day of the week was expected: Monday, Tuesday, Wednesday, Thursday, Friday, Saturday or Sunday";
    text.trim().parse().map_err(|_| days.to_owned())
}

/// A week has 168 hours.
fn hours_of_week(text: &str) -> Result<u8, String> {
    let hours = text.trim().parse().ok().filter(|hours| (1..=168).contains(hours));
    hours.ok_or_else(|| "whole hours from 1 to 168 were expected, such as 40".to_owned())
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
            if !is_record(name) && print::csv::is_ours(&bytes) {
                out::warn(&format!("{name} is passed over: this program wrote it."));
                continue;
            }
            files.insert(name.to_owned(), bytes);
        }
    }
    Ok(files)
}

/// Whether a file of this name in the folder is read as records.
fn is_record(name: &str) -> bool {
    name == "block.toml" || name.strip_suffix(".csv").is_some_and(|word| RecordKind::from_word(word).is_some())
}

/// Figures must not be written over what they were reckoned from.
fn must_not_be_a_record(folder: &Path, path: &Path) -> Result<(), Trouble> {
    let parent = path.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let inside = folder.canonicalize().ok().zip(parent.canonicalize().ok()).is_some_and(|(a, b)| a == b);
    let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
    if inside && is_record(name) {
        return Err(Trouble::Refused(format!(
            "{} is one of the records to be read, so nothing was written over it. Choose another name.",
            path.display()
        )));
    }
    Ok(())
}

pub(super) fn print_json(value: &serde_json::Value) -> Result<(), Trouble> {
    out::say(&format!("{value:#}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_odd_day_or_number_of_hours_is_answered_in_words() {
        assert_eq!((day_of_week("Friday"), day_of_week("sun")), (Ok(Weekday::Fri), Ok(Weekday::Sun)));
        assert!(day_of_week("Blursday").unwrap_err().contains("Monday, Tuesday"));
        assert_eq!((hours_of_week("1"), hours_of_week("168")), (Ok(1), Ok(168)));
        for odd in ["48.5", "0", "169", "300", "-8", "", "forty"] {
            assert_eq!(hours_of_week(odd).unwrap_err(), "whole hours from 1 to 168 were expected, such as 40", "{odd}");
        }
    }

    #[test]
    fn records_are_told_by_their_names() {
        for name in ["block.toml", "labor.csv", "weather.csv"] {
            assert!(is_record(name), "{name}");
        }
        for name in ["figures.csv", "labor.pdf", "labor", "blocks.toml", ".csv"] {
            assert!(!is_record(name), "{name}");
        }
    }
}
