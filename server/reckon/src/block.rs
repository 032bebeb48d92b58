//! The lasting things: operation, farm, block, season.

use chrono::{Datelike, NaiveDate};

use crate::exact::Acres;
use crate::units::{Feet, FruitPerTree, GallonsPerHour};
use crate::water::setup::WaterSetup;

/// A day of any year: 7 July.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct MonthDay {
    month: u32,
    day: u32,
}

impl MonthDay {
    /// `None` for a day that no year has (29 February is accepted).
    pub fn new(month: u32, day: u32) -> Option<Self> {
        NaiveDate::from_ymd_opt(2024, month, day).map(|_| Self { month, day })
    }

    /// This day of a year; 29 February falls back to the 28th.
    pub fn in_year(self, year: i32) -> Option<NaiveDate> {
        NaiveDate::from_ymd_opt(year, self.month, self.day)
            .or_else(|| NaiveDate::from_ymd_opt(year, self.month, self.day.saturating_sub(1)))
    }

    /// Month, 1 to 12.
    pub const fn month(self) -> u32 {
        self.month
    }

    /// Day of the month, from 1.
    pub const fn day(self) -> u32 {
        self.day
    }
}

/// As a CSV cell holds it: `07-18`.
impl core::fmt::Display for MonthDay {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{:02}-{:02}", self.month, self.day)
    }
}

/// A name as names are compared: capitals, blanks around it and how many stand between two words do
/// not matter. `kw-1` and ` KW-1` are one block, one farm, one station.
pub fn folded(name: &str) -> String {
    let words: Vec<String> = name.split_whitespace().map(str::to_lowercase).collect();
    words.join(" ")
}

/// A farm: blocks in one place under one weather station.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Farm {
    /// Its name.
    pub name: String,
    /// Where it is, in the owner's words.
    pub place: String,
    /// Name of the weather station whose days it uses.
    pub station: String,
    /// Miles from the farm to the station; `None` where nobody said.
    pub station_miles: Option<f64>,
    /// Degrees north of the equator, negative to the south.
    pub latitude_deg: Option<f64>,
    /// Metres above the sea.
    pub elevation_m: Option<f64>,
    /// Time zone name, as in the public time zone database.
    pub time_zone: String,
}

/// How water reaches the trees.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Emitter {
    /// One drip line a row.
    #[default]
    Drip,
    /// Two drip lines a row.
    DoubleDrip,
    /// Micro-sprinklers.
    MicroSprinkler,
    /// Sprinklers over the whole floor.
    Sprinkler,
    /// Furrows.
    Furrow,
    /// Basins or borders.
    Flood,
}

impl Emitter {
    /// Every kind.
    pub const ALL: [Self; 6] =
        [Self::Drip, Self::DoubleDrip, Self::MicroSprinkler, Self::Sprinkler, Self::Furrow, Self::Flood];

    /// The words in a CSV cell.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Drip => "drip",
            Self::DoubleDrip => "double-line drip",
            Self::MicroSprinkler => "micro-sprinkler",
            Self::Sprinkler => "sprinkler",
            Self::Furrow => "furrow",
            Self::Flood => "flood",
        }
    }
}

/// Whether a variety needs another's pollen: the grower's knowledge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum NeedsPollinizer {
    /// It sets no crop without another variety's pollen.
    Yes,
    /// It sets on its own pollen, or without any.
    No,
}

impl NeedsPollinizer {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Yes, Self::No];

    /// The word in a CSV cell.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Yes => "yes",
            Self::No => "no",
        }
    }
}

/// A block: trees of one variety, managed and reported as one.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Block {
    /// Short code, unique in the operation: RB-1.
    pub code: String,
    /// Crop: "peach", "plum", "persimmon".
    pub crop: String,
    /// Variety, as the grower calls it.
    pub variety: String,
    /// Year planted.
    pub planted_year: Option<i32>,
    /// Year of the first season it belongs to, where that is said.
    pub first_season: Option<i32>,
    /// Year of the last season it belongs to; `None` while it stands.
    pub last_season: Option<i32>,
    /// Area. More than zero.
    pub acres: Acres,
    /// Bearing trees; `None` when nobody counted them, and then no figure per tree is made.
    pub trees: Option<u32>,
    /// Distance between rows.
    pub row_spacing: Option<Feet>,
    /// Distance between trees in the row.
    pub tree_spacing: Option<Feet>,
    /// Rows of trees, so that rows done by a crew tell the trees done.
    pub rows: Option<u32>,
    /// How water reaches the trees.
    pub emitter: Emitter,
    /// Emitters at each tree.
    pub emitters_per_tree: Option<f64>,
    /// Flow of one emitter.
    pub emitter_flow: Option<GallonsPerHour>,
    /// First and last day of ripening in a usual year.
    pub ripening: Option<(MonthDay, MonthDay)>,
    /// What pollinizes it: a block's code, rows, or "self-fruitful"; may be empty.
    pub pollinizer: String,
    /// Whether the variety needs another's pollen; `None` when nobody said.
    pub needs_pollinizer: Option<NeedsPollinizer>,
    /// Trees from the tree that stands farthest off to the nearest that pollinizes it.
    pub pollinizer_trees: Option<u32>,
    /// Fruit wanted on a tree after thinning.
    pub target_fruit: Option<FruitPerTree>,
    /// Soil, canopy, and the conventions of the water balance.
    pub water: WaterSetup,
}

/// Whether records of a season may still change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SeasonState {
    /// They may.
    #[default]
    Open,
    /// They may not, until it is opened again.
    Closed,
}

/// A season of an operation. Records must fall between its first and last day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Season {
    /// The year of its harvest.
    pub year: i32,
    /// First day.
    pub first_day: NaiveDate,
    /// Last day.
    pub last_day: NaiveDate,
    /// Open or closed.
    pub state: SeasonState,
}

impl Season {
    /// The calendar year, as the tax books run; an operation may set other days.
    pub fn calendar_year(year: i32) -> Option<Self> {
        Some(Self {
            year,
            first_day: NaiveDate::from_ymd_opt(year, 1, 1)?,
            last_day: NaiveDate::from_ymd_opt(year, 12, 31)?,
            state: SeasonState::Open,
        })
    }

    /// Whether the day belongs to it.
    pub fn holds(&self, day: NaiveDate) -> bool {
        self.first_day <= day && day <= self.last_day
    }

    /// The days of ripening that belong to this season: those that begin in it, which may be of either year
    /// where it runs over the new year; else those of its year. A span that ends before it begins runs
    /// over the new year.
    pub fn ripening(&self, (first, last): (MonthDay, MonthDay)) -> Option<(NaiveDate, NaiveDate)> {
        let begins = (self.first_day.year()..=self.last_day.year()).filter_map(|year| first.in_year(year));
        let begins = begins.into_iter().find(|day| self.holds(*day)).or_else(|| first.in_year(self.year))?;
        let ends = last.in_year(begins.year()).filter(|ends| *ends >= begins);
        Some((begins, ends.or_else(|| last.in_year(begins.year().checked_add(1)?))?))
    }

    /// The year of a day, when no season says otherwise.
    pub fn year_of(day: NaiveDate) -> i32 {
        day.year()
    }
}
