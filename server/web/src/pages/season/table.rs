//! The table of blocks, shared by the season's and the farm's page.

use print::figures;
use reckon::summary::Summary;
use store::BlockRow;

use crate::display::{Bar, shown};
use crate::routes::to;

/// Pixels of the thinning bar and of the water bar.
const LABOR_BAR: u32 = 68;
const WATER_BAR: u32 = 104;

/// Blocks by farm, with a sum under each farm of more than one block and one under all.
pub(crate) struct SeasonTable {
    /// Farms with blocks in scope.
    pub(crate) farms: Vec<FarmRows>,
    /// Under all of it.
    pub(crate) total: Option<SumRow>,
}

/// One farm's part of the table.
pub(crate) struct FarmRows {
    /// Name and link; `None` on the farm's own page.
    pub(crate) heading: Option<(String, String)>,
    /// Its blocks.
    pub(crate) blocks: Vec<BlockCells>,
    /// Its sum, where there is more than one block and more than one farm.
    pub(crate) sum: Option<SumRow>,
}

/// A row that sums others.
pub(crate) struct SumRow {
    /// What it sums.
    pub(crate) name: String,
    /// The weighted figures.
    pub(crate) cells: Cells,
}

/// One block's row.
pub(crate) struct BlockCells {
    pub(crate) code: String,
    pub(crate) link: String,
    pub(crate) variety: String,
    pub(crate) crop: String,
    pub(crate) cells: Cells,
    pub(crate) labor_bar: Option<Bar>,
    pub(crate) water_bar: Option<Bar>,
    /// `2 missing`.
    pub(crate) missing: Option<String>,
}

/// The table's figures. Units stand in the column heads.
pub(crate) struct Cells {
    pub(crate) acres: String,
    pub(crate) trees: String,
    pub(crate) thinning: String,
    pub(crate) water: String,
    /// Acre-inches an acre, or `bare`.
    pub(crate) kept: String,
    /// In a sum: `over 47.0 mulched acres`; the others keep nothing.
    pub(crate) kept_over: Option<String>,
    pub(crate) price: String,
    /// Return of the whole block, whole dollars.
    pub(crate) over_all: String,
    /// Return an acre, whole dollars.
    pub(crate) acre: String,
    /// Both to the cent: `$80,938.71, $6,423.71 an acre`.
    pub(crate) cents: String,
}

impl Cells {
    fn of(summary: &Summary) -> Self {
        // A block whose need is known and whose soil carries no mulch keeps nothing: it is bare.
        let bare = summary.needed.is_some() && summary.kept.is_none();
        let kept = summary.kept_per_acre().map(figures::quantity);
        Self {
            acres: figures::exact(summary.acres, 1),
            trees: shown(usize::try_from(summary.trees).ok().filter(|trees| *trees > 0).map(figures::count)),
            thinning: shown(summary.thinning_per_tree().map(|each| figures::price(each, 2))),
            water: shown(summary.applied_of_need().map(|share| format!("{}%", figures::quantity(share)))),
            kept: if bare { "bare".to_owned() } else { shown(kept) },
            kept_over: None,
            price: shown(summary.net_per_pound().map(|each| figures::price(each, 2))),
            over_all: shown(summary.over_all.map(figures::whole_money)),
            acre: shown(summary.return_per_acre().map(|each| figures::price(each, 0))),
            cents: cents(summary).unwrap_or_default(),
        }
    }
}

fn cents(summary: &Summary) -> Option<String> {
    let all = figures::dollars(&figures::money(summary.over_all?));
    let acre = figures::dollars(&figures::price(summary.return_per_acre()?, 2));
    Some(format!("{all}, {acre} an acre"))
}

/// The longest bar of each column.
struct Most {
    labor: f64,
    water: f64,
}

impl Most {
    fn of(blocks: &[(BlockRow, Option<Summary>)]) -> Self {
        let largest = |of: fn(&Summary) -> f64| {
            blocks.iter().filter_map(|(_, summary)| summary.as_ref()).map(of).fold(0.0, f64::max)
        };
        // The tick that marks the need stands at 100 percent, so there is always room for it.
        Self { labor: largest(labor), water: largest(water).max(100.0) }
    }
}

#[expect(clippy::cast_precision_loss, reason = "the length of a bar")]
fn labor(summary: &Summary) -> f64 {
    summary.thinning_per_tree().map_or(0.0, |each| each.micros() as f64)
}

fn water(summary: &Summary) -> f64 {
    summary.applied_of_need().map_or(0.0, reckon::units::Share::get)
}

impl SeasonTable {
    /// Every farm the person sees; `sees_all`: that is all there are.
    pub(crate) fn of_operation(year: i32, blocks: &[(BlockRow, Option<Summary>)], sees_all: bool) -> Self {
        let most = Most::of(blocks);
        let mut farms = Vec::new();
        for part in blocks.chunk_by(|(a, _), (b, _)| a.farm_id == b.farm_id) {
            let Some((first, _)) = part.first() else { continue };
            farms.push(FarmRows {
                heading: Some((first.farm_name.clone(), to::farm(year, first.farm_id))),
                blocks: rows(year, part, &most),
                sum: (part.len() > 1).then(|| sum(first.farm_name.clone(), part)),
            });
        }
        // The one farm of a small operation would be summed twice.
        if let [only] = farms.as_mut_slice() {
            only.sum = None;
        }
        let name = if sees_all { "Operation" } else { "Your farms" };
        Self { farms, total: (!blocks.is_empty()).then(|| sum(name.to_owned(), blocks)) }
    }

    /// One farm.
    pub(crate) fn of_farm(year: i32, name: &str, blocks: &[(BlockRow, Option<Summary>)]) -> Self {
        let farms = vec![FarmRows { heading: None, blocks: rows(year, blocks, &Most::of(blocks)), sum: None }];
        Self { farms, total: (!blocks.is_empty()).then(|| sum(name.to_owned(), blocks)) }
    }
}

fn sum(name: String, blocks: &[(BlockRow, Option<Summary>)]) -> SumRow {
    let total = Summary::total(blocks.iter().filter_map(|(_, summary)| summary.as_ref()));
    let over = total.kept.map(|_| format!("over {} mulched acres", figures::exact(total.mulched_acres, 1)));
    SumRow { name, cells: Cells { kept_over: over, ..Cells::of(&total) } }
}

fn rows(year: i32, blocks: &[(BlockRow, Option<Summary>)], most: &Most) -> Vec<BlockCells> {
    blocks.iter().map(|(row, summary)| block_cells(year, row, summary.as_ref(), most)).collect()
}

fn block_cells(year: i32, row: &BlockRow, summary: Option<&Summary>, most: &Most) -> BlockCells {
    let described =
        Summary { acres: row.block.acres, trees: row.block.trees.map_or(0, u64::from), ..Summary::default() };
    let summary = summary.unwrap_or(&described);
    BlockCells {
        code: row.block.code.clone(),
        link: to::block(year, row.id),
        variety: row.block.variety.clone(),
        crop: row.block.crop.clone(),
        labor_bar: Bar::of(labor(summary), most.labor, LABOR_BAR),
        water_bar: Bar::of(water(summary), most.water, WATER_BAR).map(|bar| bar.ticked(100.0, most.water)),
        missing: (!summary.missing.is_empty()).then(|| format!("{} missing", figures::count(summary.missing.len()))),
        cells: Cells::of(summary),
    }
}
