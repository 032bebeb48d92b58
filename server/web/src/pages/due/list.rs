//! The table of work due.

use chrono::NaiveDate;
use print::figures;
use reckon::block::Season;
use reckon::due::{self, Due, Timing};
use reckon::field_rules::FieldRules;
use reckon::language::Language;

use super::{FieldWork, block_of, blocks_on};
use crate::display::{self, shown};
use crate::pages::capital;
use crate::routes::to;

/// One thing due in one block.
pub(super) struct DueRow {
    pub(super) link: Option<String>,
    pub(super) code: String,
    pub(super) variety: String,
    /// Crop and farm.
    pub(super) about: String,
    pub(super) trees: String,
    pub(super) ripens: String,
    pub(super) work: &'static str,
    pub(super) window: String,
    /// "Due until 8 May; thinned 11 days ago."
    pub(super) stands: String,
    pub(super) late: bool,
}

/// In order of ripening.
pub(super) fn rows(year: i32, today: NaiveDate, due: &[Due], work: &FieldWork) -> Vec<DueRow> {
    due.iter().map(|due| row(year, today, due, work)).collect()
}

fn row(year: i32, today: NaiveDate, due: &Due, work: &FieldWork) -> DueRow {
    let block = &due.block;
    let label = due.work.label(Language::English);
    let trees = block.trees.and_then(|trees| usize::try_from(trees).ok());
    DueRow {
        link: block_of(work, &block.code).map(|id| to::block(year, id)),
        code: block.code.clone(),
        variety: block.variety.clone(),
        about: format!("{}, {}", block.crop, block.farm),
        trees: shown(trees.map(figures::count)),
        ripens: shown(due.ripens.map(display::day)),
        work: label,
        window: window(due.window),
        stands: standing(due, today),
        late: due.timing == Timing::Late,
    }
}

/// "18 Apr to 25 Apr"; one day once.
fn window((opens, closes): (NaiveDate, NaiveDate)) -> String {
    let (from, to) = (display::day(opens), display::day(closes));
    if opens == closes { from } else { format!("{from} to {to}") }
}

/// Where the windows come from, each once.
pub(super) fn sources(due: &[Due]) -> Vec<String> {
    let mut sources: Vec<String> = due.iter().map(|due| due.source(Language::English)).collect();
    sources.sort_unstable();
    sources.dedup();
    sources
}

/// A day on which nothing of the season is due, and what comes next.
pub(super) struct Nothing {
    /// "Nothing is due on 25 Nov 2026. Next is the first pass of KW-1, from 3 Apr 2027."
    pub(super) lead: String,
    /// To where the work of that day stands, and what the link says.
    pub(super) there: Option<(String, String)>,
    pub(super) windows: Vec<NextRow>,
    pub(super) sources: Vec<String>,
}

/// A window of the season to come.
pub(super) struct NextRow {
    pub(super) link: Option<String>,
    pub(super) code: String,
    pub(super) variety: String,
    pub(super) about: String,
    pub(super) ripens: String,
    pub(super) opens: String,
    pub(super) closes: String,
    /// "Due until 1 May"; empty while it lies ahead.
    pub(super) stands: String,
}

impl Nothing {
    /// Of a page on which nothing else is due; `found` is what [`coming`] found.
    pub(super) fn of(year: i32, later: Option<i32>, today: NaiveDate, found: &[Due], work: &FieldWork) -> Self {
        let (lead, there) = match later {
            Some(later) => elsewhere(later, today),
            None => lead(today, found),
        };
        let windows = found.iter().map(|due| next_row(year, today, due, work)).collect();
        Self { lead, there, sources: sources(found), windows }
    }

    /// Whether a window is open or late already.
    pub(super) fn any_stands(&self) -> bool {
        self.windows.iter().any(|row| !row.stands.is_empty())
    }
}

/// A later season of the book that holds the day: its own page tells what is due.
pub(super) fn later(season: &Season, seasons: &[Season], today: NaiveDate) -> Option<i32> {
    let later = seasons.iter().find(|other| other.year > season.year && other.holds(today));
    later.map(|other| other.year)
}

/// First passes after the season, where no later season of the book tells them.
pub(super) fn coming(
    season: &Season,
    seasons: &[Season],
    today: NaiveDate,
    work: &FieldWork,
    rules: &FieldRules,
) -> Vec<Due> {
    if later(season, seasons, today).is_some() {
        return Vec::new();
    }
    due::next(&blocks_on(work, today), season, today, rules.windows())
}

fn elsewhere(later: i32, today: NaiveDate) -> (String, Option<(String, String)>) {
    let lead = format!("{} lies in the season of {later}, and its work stands there.", display::full_day(today));
    (lead, Some((to::due_on(later, today), format!("Work due in {later}"))))
}

fn lead(today: NaiveDate, found: &[Due]) -> (String, Option<(String, String)>) {
    let day = display::full_day(today);
    let standing = found.iter().find(|due| due.timing != Timing::Ahead);
    if let Some(year) = standing.and_then(|due| due.ripens).map(Season::year_of) {
        let lead = format!(
            "The season of {year} is not in the book, so what was thinned in it is not known. Open it to see what is \
             due then; by the days of ripening alone these windows are open or late on {day}."
        );
        return (lead, Some((to::seasons(), "Seasons".to_owned())));
    }
    let next = found.first().map(|first| {
        let opens = display::full_day(first.window.0);
        let work = first.work.label(Language::English).to_lowercase();
        format!(" Next is the {work} of {}, from {opens}.", first.block.code)
    });
    (format!("Nothing is due on {day}.{}", next.unwrap_or_default()), None)
}

/// What stands behind the block's code in a sentence, and begins it.
fn standing(due: &Due, today: NaiveDate) -> String {
    let sentence = due.sentence(today, Language::English);
    let begins = format!("{}: {} ", due.block.code, due.work.label(Language::English).to_lowercase());
    capital(sentence.strip_prefix(&begins).unwrap_or(&sentence))
}

fn next_row(year: i32, today: NaiveDate, due: &Due, work: &FieldWork) -> NextRow {
    let block = &due.block;
    NextRow {
        link: block_of(work, &block.code).map(|id| to::block(year, id)),
        code: block.code.clone(),
        variety: block.variety.clone(),
        about: format!("{}, {}", block.crop, block.farm),
        ripens: shown(due.ripens.map(display::full_day)),
        opens: display::full_day(due.window.0),
        closes: display::full_day(due.window.1),
        stands: if due.timing == Timing::Ahead { String::new() } else { standing(due, today) },
    }
}
