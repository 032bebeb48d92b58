//! The statement of one block: against its last season and the median block, with the price and the
//! yield at which nothing is left over, and the return over a range of both.

use askama::Template;
use print::figures;
use reckon::break_even::{BreakEven, CostLevel};
use reckon::overview::{Facts, difference, overview};
use reckon::ranging::{Ranging, RangingCell, RangingRow};
use reckon::season::{BlockSeason, HowReckoned, Statement};
use store::{BlockId, BlockRow};

use super::rows::{Beside, Row};
use crate::display::{evidence, shown};
use crate::error::PageError;
use crate::extract::{BlockAt, Reading};
use crate::pages::block::statement::unsettled;
use crate::pages::overview::{Against, last_season};
use crate::pages::water::reckoned;
use crate::pages::{Page, show};
use crate::routes::to;
use crate::shell::Shell;

/// One level of cost.
struct Level {
    label: &'static str,
    cost: String,
    price: String,
    quantity: String,
    acre: String,
    evidence: String,
}

/// Return over yields and prices, over one level of cost.
struct Table {
    label: &'static str,
    prices: Vec<String>,
    rows: Vec<TableRow>,
}

/// One yield.
struct TableRow {
    step: u32,
    quantity: String,
    /// Each with whether it stands at the block's own yield and price.
    cells: Vec<(String, bool)>,
}

/// The statement of one block.
#[derive(Template)]
#[template(path = "statement/block.html")]
pub(super) struct BlockStatement {
    shell: Shell,
    year: i32,
    block: BlockId,
    farm: (String, String),
    title: String,
    lines: Vec<Row>,
    /// The year before, where this block has a statement in it.
    last_year: Option<i32>,
    /// How many blocks the median is of.
    median_of: Option<usize>,
    unsettled: Option<String>,
    unit: &'static str,
    many: &'static str,
    levels: Vec<Level>,
    tables: Vec<Table>,
    /// The tables are for an acre, and not for the whole block.
    by_acre: bool,
    against: Vec<Against>,
    how: Vec<HowReckoned>,
}

impl BlockStatement {
    /// From the block's season, its last one, and all blocks of the person's farms.
    pub(super) fn of(
        shell: Shell,
        row: &BlockRow,
        season: &BlockSeason,
        last: Option<&BlockSeason>,
        all: &[&BlockSeason],
    ) -> Self {
        let year = season.heading.season.year;
        let statement = &season.statement;
        let last = last.filter(|last| !last.statement.lines.is_empty());
        let beside = Beside { last: last.map(|last| &last.statement), blocks: all };
        let unit = statement.break_even.first().map(|level| level.unit);
        let ranging = statement.ranging.as_ref();
        Self {
            year,
            block: row.id,
            farm: (to::statement(year, Some(row.farm_id)), row.farm_name.clone()),
            title: format!("Statement of {}", row.block.code),
            lines: statement.lines.iter().map(|line| Row::of(line, &beside)).collect(),
            median_of: beside.median_of(),
            last_year: last.map(|last| last.heading.season.year),
            unsettled: unsettled(statement),
            unit: unit.map_or("", |unit| unit.word()),
            many: unit.map_or("", |unit| unit.many()),
            levels: statement.break_even.iter().map(level).collect(),
            by_acre: ranging.is_some_and(by_acre),
            tables: ranging.map(tables).unwrap_or_default(),
            against: against(&shell, season, last, all),
            how: how(statement, season),
            shell: shell.below(to::statement(year, None)),
        }
    }
}

/// GET /season/{year}/block/{block}/statement
pub async fn block_statement_page(reading: Reading, at: BlockAt, shell: Shell) -> Page {
    let desk = reading.desk();
    let row = desk.block(at.block).await?;
    let all = reckoned(desk.whole_season(at.year).await?).await?;
    let own = all.iter().find(|(id, _)| *id == at.block).map(|(_, season)| season).ok_or(PageError::NotFound)?;
    let last = match last_season(&shell, at.year) {
        Some(year) => Some(reckon::reckon(&desk.season_records(at.block, year).await?)),
        None => None,
    };
    let blocks: Vec<&BlockSeason> = all.iter().map(|(_, season)| season).collect();
    show(&BlockStatement::of(shell, &row, own, last.as_ref(), &blocks))
}

fn level(level: &BreakEven) -> Level {
    Level {
        label: level.level.label(),
        cost: figures::money(level.cost.value),
        price: shown(level.price.as_ref().map(|price| figures::price(price.value, 2))),
        quantity: shown(level.quantity.as_ref().map(|quantity| figures::exact(quantity.value, 0))),
        acre: shown(level.quantity_per_acre.as_ref().map(|each| figures::exact(each.value, 1))),
        evidence: level.price.as_ref().map_or_else(|| evidence(&level.cost), evidence),
    }
}

fn by_acre(ranging: &Ranging) -> bool {
    let all =
        |row: &RangingRow| row.quantity_per_acre.is_some() && row.cells.iter().all(|cell| cell.per_acre.is_some());
    ranging.rows.iter().all(all)
}

/// The widest level first: it is what is left in the end.
fn tables(ranging: &Ranging) -> Vec<Table> {
    let acre = by_acre(ranging);
    let prices: Vec<String> = ranging.prices.iter().map(|price| figures::price(*price, 2)).collect();
    let table = |level: CostLevel| Table {
        label: level.label(),
        prices: prices.clone(),
        rows: ranging.rows.iter().map(|row| table_row(row, level, acre)).collect(),
    };
    CostLevel::ALL.into_iter().rev().map(table).collect()
}

fn table_row(row: &RangingRow, level: CostLevel, acre: bool) -> TableRow {
    let own = |step: u32| row.step == 100 && step == 100;
    let cells = row.cells.iter().zip(reckon::ranging::STEPS);
    TableRow {
        step: row.step,
        quantity: match row.quantity_per_acre.filter(|_| acre) {
            Some(each) => figures::exact(each, 0),
            None => figures::exact(row.quantity, 0),
        },
        cells: cells.map(|(cell, step)| (cell_of(cell, level), own(step))).collect(),
    }
}

fn cell_of(cell: &RangingCell, level: CostLevel) -> String {
    match &cell.per_acre {
        Some(each) => figures::price(*each.get(level), 0),
        None => figures::whole_money(*cell.over.get(level)),
    }
}

/// Against the median block, and against the block's own last season.
fn against(shell: &Shell, season: &BlockSeason, last: Option<&BlockSeason>, all: &[&BlockSeason]) -> Vec<Against> {
    let Some(own) = Facts::of(season) else { return Vec::new() };
    let facts: Vec<(Facts, Option<Facts>)> =
        all.iter().filter_map(|season| Facts::of(season)).map(|facts| (facts, None)).collect();
    let median = overview(&facts).median;
    let words = if shell.sees_all { "the operation's median block" } else { "the median block of your farms" };
    let median = median.map(|median| Against::of(words.to_owned(), &difference(&own, &median)));
    let last = last.and_then(|last| Facts::of(last).map(|facts| (last.heading.season.year, facts)));
    let last = last.map(|(year, facts)| Against::of(format!("its season of {year}"), &difference(&own, &facts)));
    median.into_iter().chain(last).collect()
}

fn how(statement: &Statement, season: &BlockSeason) -> Vec<HowReckoned> {
    const OWN: [&str; 5] = ["statement", "shared-costs", "capital-recovery", "operating-interest", "break-even"];
    if statement.lines.is_empty() {
        return Vec::new();
    }
    let own = season.how.iter().filter(|how| OWN.contains(&how.id)).cloned();
    own.chain(reckon::overview::how()).collect()
}
