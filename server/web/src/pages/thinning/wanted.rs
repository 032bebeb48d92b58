//! Fruit left in each block against what is wanted of it: the blocks that were counted, then the others, in
//! the order in which they ripen.

use std::collections::BTreeMap;

use print::{figures, words};
use reckon::block::{Block, MonthDay};
use reckon::figure::Figure;
use reckon::season::{SeasonRecords, ThinningSeason};
use reckon::thinning::target::WantedFrom;
use reckon::units::Measure;
use store::BlockId;

use crate::pages::capital;
use crate::routes::to;

/// The blocks, and the guides of crops whose spacing was measured and of which none is wanted.
#[derive(Default)]
pub struct WantedView {
    pub(super) rows: Vec<Row>,
    pub(super) guides: Vec<Guides>,
}

/// One block.
pub(super) struct Row {
    pub(super) link: String,
    pub(super) code: String,
    pub(super) variety: String,
    pub(super) crop: String,
    /// "5 to 18 Jun"; empty where nobody said.
    pub(super) ripens: String,
    /// Label for a narrow screen, and the cell.
    pub(super) cells: Vec<(String, Cell)>,
    /// Where what is wanted stands: "Fruit: the block's own; spacing: of peaches".
    pub(super) source: String,
}

/// A number, and its standard error; both may be empty.
#[derive(Default)]
pub(super) struct Cell {
    pub(super) number: String,
    pub(super) error: String,
}

/// What published guides print on one crop.
pub(super) struct Guides {
    pub(super) crop: String,
    pub(super) said: String,
    /// Each in its own words, and where it is printed.
    pub(super) each: Vec<(String, String)>,
}

/// Heads of the cells, and their units.
const HEADS: [(&str, &str); 7] = [
    ("Taken off", "%"),
    ("Left", "fruit a tree"),
    ("Wanted", "fruit a tree"),
    ("Left of wanted", "%"),
    ("Spacing", "in"),
    ("Wanted", "in"),
    ("Spacing of wanted", "%"),
];

impl WantedView {
    /// Of the blocks of a season that were counted or of which something is wanted.
    pub fn of(year: i32, blocks: &[(BlockId, SeasonRecords)]) -> Self {
        let reckoned = |(id, records): &(BlockId, SeasonRecords)| {
            let (season, _) = reckon::thinning::season(records);
            (season != ThinningSeason::default()).then(|| (*id, records.block.clone(), season))
        };
        let mut blocks: Vec<(BlockId, Block, ThinningSeason)> = blocks.iter().filter_map(reckoned).collect();
        let place = |(_, block, season): &(BlockId, Block, ThinningSeason)| (!is_counted(season), begins(block));
        blocks.sort_by(|a, b| (place(a), &a.1.code).cmp(&(place(b), &b.1.code)));
        let guides: BTreeMap<String, Guides> = blocks
            .iter()
            .filter_map(|(_, block, season)| Some((block.crop.trim().to_lowercase(), guides(block, season)?)))
            .collect();
        Self {
            rows: blocks.iter().map(|(id, block, season)| row(to::block(year, *id), block, season)).collect(),
            guides: guides.into_values().collect(),
        }
    }

    /// Heads of the cells, and their units.
    pub(super) const fn heads() -> [(&'static str, &'static str); 7] {
        HEADS
    }
}

fn is_counted(season: &ThinningSeason) -> bool {
    [season.removed.is_some(), season.left_per_tree.is_some(), season.spacing.is_some()].contains(&true)
}

/// Blocks whose days nobody gave come last.
fn begins(block: &Block) -> (bool, Option<MonthDay>) {
    let first = block.ripening.map(|(first, _)| first);
    (first.is_none(), first)
}

fn guides(block: &Block, season: &ThinningSeason) -> Option<Guides> {
    let each = season.guides.iter().map(|guide| (guide.words(), guide.source.words()));
    Some(Guides { crop: capital(block.crop.trim()), said: season.guides_say()?, each: each.collect() })
}

fn row(link: String, block: &Block, season: &ThinningSeason) -> Row {
    let cells = [
        counted(season.removed.as_ref(), season.removed_standard_error.as_ref()),
        counted(season.left_per_tree.as_ref(), season.left_standard_error.as_ref()),
        counted(season.target.as_ref().map(|wanted| &wanted.figure), None),
        counted(season.left_of_target.as_ref(), None),
        counted(season.spacing.as_ref(), season.spacing_standard_error.as_ref()),
        counted(season.target_spacing.as_ref().map(|wanted| &wanted.figure), None),
        counted(season.spacing_of_target.as_ref(), None),
    ];
    Row {
        link,
        code: block.code.clone(),
        variety: block.variety.clone(),
        crop: block.crop.clone(),
        ripens: block.ripening.map(|(first, last)| ripens(first, last)).unwrap_or_default(),
        cells: HEADS.map(|(head, unit)| format!("{head}, {unit}")).into_iter().zip(cells).collect(),
        source: source(season),
    }
}

fn source(season: &ThinningSeason) -> String {
    let said = |from: &WantedFrom| match from {
        WantedFrom::Block => from.source(),
        WantedFrom::List { .. } => from.words(),
    };
    let fruit = season.target.as_ref().map(|wanted| format!("fruit: {}", said(&wanted.from)));
    let spacing = season.target_spacing.as_ref().map(|wanted| format!("spacing: {}", said(&wanted.from)));
    capital(&fruit.into_iter().chain(spacing).collect::<Vec<_>>().join("; "))
}

/// "22 May to 6 Jun".
fn ripens(first: MonthDay, last: MonthDay) -> String {
    let day = |day: MonthDay| format!("{} {}", day.day(), words::month(day.month()));
    format!("{} to {}", day(first), day(last))
}

fn counted<M: Measure + Copy>(figure: Option<&Figure<M>>, error: Option<&Figure<M>>) -> Cell {
    let number = figure.map(|figure| figures::quantity(figure.value)).unwrap_or_default();
    let error = error.map(|error| format!("± {}", small(error.value.float(), M::PLACES))).unwrap_or_default();
    Cell { number, error }
}

/// Most places that an error is shown with.
const MOST_PLACES: usize = 6;

/// A standard error to the places of its figure, below 1 to one place at least, and to more where all of
/// those were noughts: an error is never rounded to nothing.
fn small(error: f64, places: usize) -> String {
    let places = if error < 1.0 { places.max(1) } else { places };
    let told = |said: &String| error <= 0.0 || said.contains(|digit: char| ('1'..='9').contains(&digit));
    let said = (places..=MOST_PLACES).map(|places| figures::float(error, places)).find(told);
    said.unwrap_or_else(|| figures::float(error, places))
}
