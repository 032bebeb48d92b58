//! How a page says records, evidence and small bars. Numbers and days are written by
//! [`print::figures`] and [`print::words`], so a page and a printed report cannot show the same
//! figure differently; nothing is reckoned here.

use chrono::{Datelike as _, NaiveDate};
use print::figures::{self, NOT_KNOWN};
pub use print::words::{day, days, full_day};
use reckon::figure::{Figure, RecordKind, RecordRef};
use store::Right;

use crate::routes::to;
use crate::shell::Shell;

/// A place in the left margin: its address and its name.
pub type Place = (String, String);

/// The left margin: the season and its farms, the lists of the whole operation, the last pages.
/// Nothing stands in it that the person may not open.
pub fn contents(shell: &Shell) -> [Vec<Place>; 3] {
    [farms(shell), operation_lists(shell), back_matter(shell)]
}

fn farms(shell: &Shell) -> Vec<Place> {
    let Some(season) = shell.season else { return Vec::new() };
    let farms = shell.farms.iter().map(|row| (to::farm(season.year, row.id), row.farm.name.clone()));
    std::iter::once((to::season(season.year), "The season".to_owned())).chain(farms).collect()
}

fn operation_lists(shell: &Shell) -> Vec<Place> {
    const LISTS: [(RecordKind, &str); 6] = [
        (RecordKind::Weather, "Weather"),
        (RecordKind::Price, "Price list"),
        (RecordKind::Rate, "Rates"),
        (RecordKind::Size, "Own sizes"),
        (RecordKind::ThinningTarget, "Fruit wanted"),
        (RecordKind::Cost, "Costs"),
    ];
    let Some(season) = shell.season else { return Vec::new() };
    let work = [
        (Right::SeeMoney, to::overview(season.year), "Overview"),
        (Right::Read, to::due(season.year), "Due"),
        (Right::SeeMoney, to::thinning(season.year), "Thinning"),
        (Right::Read, to::season_water(season.year), "Water"),
        (Right::SeeMoney, to::mulch(season.year), "Mulch"),
        (Right::SeeMoney, to::packout(season.year), "Packout and prices"),
        (Right::SeeMoney, to::statement(season.year, None), "Statement"),
        (Right::KeepBooks, to::costs(season.year), "Costs and sharing"),
    ];
    let list = |(kind, words)| (Right::to_see(kind), to::records(season.year, None, kind), words);
    work.into_iter().chain(LISTS.into_iter().map(list)).filter_map(|place| may_open(shell, place)).collect()
}

fn back_matter(shell: &Shell) -> Vec<Place> {
    let pages = [
        (Right::BringIn, to::bring_in(), "Bring in a file"),
        (Right::Read, to::seasons(), "Seasons"),
        (Right::SeeMoney, to::changes(), "Changes"),
        (Right::People, to::people(), "People"),
        (Right::Read, to::password(), "Your password"),
        (Right::Read, to::keys(), "Keys for other programs"),
        (Right::Read, to::how(), "How reckoned"),
        (Right::Read, to::sources(), "Where the figures come from"),
    ];
    pages.into_iter().filter_map(|place| may_open(shell, place)).collect()
}

fn may_open(shell: &Shell, (right, link, words): (Right, String, &str)) -> Option<Place> {
    shell.may(right).then(|| (link, words.to_owned()))
}

/// A month with its year: "Jul 2026".
pub fn month_of(day: NaiveDate) -> String {
    format!("{} {}", print::words::month(day.month()), day.year())
}

/// The text, or the mark for what is not known.
pub fn shown(text: Option<String>) -> String {
    text.unwrap_or_else(|| NOT_KNOWN.to_owned())
}

/// One and several records of a kind, in the words of the trade.
pub const fn kind_words(kind: RecordKind) -> (&'static str, &'static str) {
    match kind {
        RecordKind::Labor => ("labor entry", "labor entries"),
        RecordKind::FruitCount => ("fruit count", "fruit counts"),
        RecordKind::Irrigation => ("set of irrigation", "sets of irrigation"),
        RecordKind::Tension => ("tension reading", "tension readings"),
        RecordKind::Weather => ("day of weather", "days of weather"),
        RecordKind::Canopy => ("canopy value", "canopy values"),
        RecordKind::Mulch => ("mulch application", "mulch applications"),
        RecordKind::Pick => ("pick", "picks"),
        RecordKind::Packout => ("packout line", "packout lines"),
        RecordKind::Settlement => ("settlement line", "settlement lines"),
        RecordKind::Cost => ("cost", "costs"),
        RecordKind::Price => ("price", "prices"),
        RecordKind::Rate => ("rate", "rates"),
        RecordKind::Size => ("own size", "own sizes"),
        RecordKind::ThinningTarget => ("thinning target", "thinning targets"),
        RecordKind::Observation => ("observation", "observations"),
    }
}

/// What one adds, on the menu of a block: `Crew day`.
pub const fn kind_to_add(kind: RecordKind) -> &'static str {
    match kind {
        RecordKind::Labor => "Crew day",
        RecordKind::FruitCount => "Fruit count",
        RecordKind::Irrigation => "Set of irrigation",
        RecordKind::Tension => "Tension reading",
        RecordKind::Weather => "Day of weather",
        RecordKind::Canopy => "Canopy values",
        RecordKind::Mulch => "Mulch",
        RecordKind::Pick => "Pick",
        RecordKind::Packout => "Packout line",
        RecordKind::Settlement => "Settlement line",
        RecordKind::Cost => "Cost",
        RecordKind::Price => "Price",
        RecordKind::Rate => "Rate",
        RecordKind::Size => "Own size",
        RecordKind::ThinningTarget => "Thinning target",
        RecordKind::Observation => "Observation",
    }
}

/// Kinds among the records, in list order, each with its number.
pub fn by_kind(records: &[RecordRef]) -> Vec<(RecordKind, usize)> {
    let count = |kind| records.iter().filter(|record| record.kind == kind).count();
    RecordKind::ALL.into_iter().map(|kind| (kind, count(kind))).filter(|(_, n)| *n > 0).collect()
}

/// How a figure is known: `metered, 41 labor entries`, `modelled, 217 records`, `assumed`.
pub fn evidence<T>(figure: &Figure<T>) -> String {
    let word = figure.evidence.word();
    match by_kind(&figure.records).as_slice() {
        [] => word.to_owned(),
        [(kind, n)] => {
            let (one, many) = kind_words(*kind);
            format!("{word}, {}", figures::counted(*n, one, many))
        }
        _ => format!("{word}, {}", figures::counted(figure.n(), "record", "records")),
    }
}

/// A small bar beside a number in a table: widths in pixels, as attributes hold them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bar {
    /// Width of the drawing.
    pub full: u32,
    /// Width of the bar.
    pub width: String,
    /// Where the tick stands that marks the need.
    pub tick: Option<String>,
}

impl Bar {
    /// A bar for a value, where `most` fills the drawing. `None` where there is nothing to draw.
    pub fn of(value: f64, most: f64, full: u32) -> Option<Self> {
        (value > 0.0 && most > 0.0).then(|| Self { full, width: pixels(value, most, full), tick: None })
    }

    /// The same with a tick.
    #[must_use]
    pub fn ticked(mut self, at: f64, most: f64) -> Self {
        self.tick = Some(pixels(at, most, self.full));
        self
    }
}

/// One decimal place and no grouping: an attribute, not a text to read.
fn pixels(value: f64, most: f64, full: u32) -> String {
    format!("{:.1}", (value / most).clamp(0.0, 1.0) * f64::from(full))
}

#[cfg(test)]
mod tests {
    use reckon::figure::{Evidence, RecordId};

    use super::*;

    fn record(kind: RecordKind, line: u32) -> RecordRef {
        RecordRef { kind, id: RecordId::Line(line) }
    }

    #[test]
    fn evidence_names_the_kind_when_there_is_one() {
        let labor = |n: u32| (1..=n).map(|line| record(RecordKind::Labor, line));
        assert_eq!(evidence(&Figure::new((), Evidence::Metered, labor(41))), "metered, 41 labor entries");
        assert_eq!(evidence(&Figure::new((), Evidence::Metered, labor(1))), "metered, 1 labor entry");
        let mixed = labor(2).chain([record(RecordKind::Rate, 1)]);
        assert_eq!(evidence(&Figure::new((), Evidence::Invoiced, mixed)), "invoiced, 3 records");
        assert_eq!(evidence(&Figure::new((), Evidence::Assumed, [])), "assumed");
    }

    #[test]
    fn a_bar_never_leaves_its_drawing() {
        let bar = Bar::of(131.0, 131.0, 104).unwrap().ticked(100.0, 131.0);
        assert_eq!((bar.width.as_str(), bar.tick.as_deref()), ("104.0", Some("79.4")));
        assert_eq!(Bar::of(200.0, 100.0, 50).unwrap().width, "50.0");
        assert_eq!(Bar::of(0.0, 100.0, 50), None);
        assert_eq!(Bar::of(1.0, 0.0, 50), None);
    }
}
