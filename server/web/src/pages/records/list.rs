//! The list of records of a kind: days, what was written, who kept it, from which file and line.

use actix_web::HttpRequest;
use askama::Template;
use intake::{Column, Input};
use reckon::figure::RecordKind;
use store::{Desk, PER_PAGE, RecordFilter, Right, StoredRecord};
use uuid::Uuid;

use super::List;
use super::behind::{Behind, Pay};
use super::fields::unit_of;
use super::shown::{Shown, shown};
use crate::display;
use crate::error::PageError;
use crate::extract::{KindAt, Reading, query};
use crate::pages::{Page, show};
use crate::routes::to;
use crate::shell::Shell;

/// Columns with a head of their own; the others are said beside the row, so that the table is no
/// wider than a page.
const MOST_HEADS: usize = 7;
/// From so many rows on they stand under the names of their months.
const LONG: usize = 20;
/// Columns of a labor entry that its rate and cost say.
const SAID_BY_PAY: [&str; 4] = ["pay", "wage_usd_per_hour", "piece_usd", "contract_usd"];

#[derive(Template)]
#[template(path = "records/list.html")]
struct ListPage {
    shell: Shell,
    list: List,
    heads: Vec<Column>,
    rows: Vec<Shown>,
    /// What the season's reckoning says about single records.
    behind: Behind,
    /// The row that was just kept, and the sentence said at it.
    told: Option<(Uuid, &'static str)>,
    total: u64,
    /// From 0.
    page: u64,
}

impl ListPage {
    fn may_keep(&self) -> bool {
        self.list.is_open() && self.shell.may(Right::to_keep(self.list.at.kind))
    }

    /// What a row says outside the columns with a head: "Contract sum 561.20, Note by machine".
    fn also(&self, row: &Shown) -> String {
        let other = row.cells.iter().filter(|(column, _)| !self.heads.contains(column) && !self.is_said(column));
        other.map(|(column, text)| also(column, text)).collect::<Vec<_>>().join(", ")
    }

    /// Whether the columns of rate and cost say it.
    fn is_said(&self, column: &Column) -> bool {
        self.has_pay() && SAID_BY_PAY.contains(&column.name)
    }

    /// Whether the list shows what each entry is paid and costs.
    fn has_pay(&self) -> bool {
        self.list.money && self.list.at.kind == RecordKind::Labor
    }

    fn pay(&self, row: &Shown) -> Option<&Pay> {
        self.behind.pay.get(&row.id)
    }

    /// "Page 2 of 5"; `None` where there is one.
    fn which_page(&self) -> Option<String> {
        let pages = self.total.div_ceil(PER_PAGE);
        (pages > 1).then(|| format!("Page {} of {pages}", self.page.saturating_add(1)))
    }

    fn any_also(&self) -> bool {
        self.rows.iter().any(|row| !self.also(row).is_empty())
    }

    /// Columns of the table: the day, the heads, the rest, who kept it, and what may be done.
    fn width(&self) -> usize {
        let pay = if self.has_pay() { 2 } else { 0 };
        self.heads.len() + 2 + pay + usize::from(self.may_keep()) + usize::from(self.any_also())
    }

    fn asked(&self, row: &Shown) -> &[String] {
        self.behind.asked.get(&row.id).map_or(&[], Vec::as_slice)
    }

    fn told(&self, row: &Shown) -> Option<&'static str> {
        self.told.filter(|(id, _)| *id == row.id).map(|(_, said)| said)
    }

    fn add(&self) -> String {
        to::add(self.list.at.year, self.list.at.block, self.list.at.kind)
    }

    fn correct(&self, row: &Shown) -> String {
        to::correct(self.list.at.year, row.block, self.list.at.kind, row.id)
    }

    fn remove(&self, row: &Shown) -> String {
        to::remove(self.list.at.year, row.block, self.list.at.kind, row.id)
    }

    fn newer(&self) -> Option<String> {
        self.page.checked_sub(1).map(|page| self.page_link(page))
    }

    fn older(&self) -> Option<String> {
        let next = self.page.saturating_add(1);
        (next.saturating_mul(PER_PAGE) < self.total).then(|| self.page_link(next))
    }

    /// Pages are numbered from 1 in addresses.
    fn page_link(&self, page: u64) -> String {
        format!("{}?page={}", self.list.link(), page.saturating_add(1))
    }

    /// "412 labor entries"
    fn counted(&self) -> String {
        let total = usize::try_from(self.total).unwrap_or(usize::MAX);
        print::figures::counted(total, self.list.one(), display::kind_words(self.list.at.kind).1)
    }

    fn unit(column: &Column) -> &'static str {
        unit_of(column)
    }

    fn is_number(column: &Column) -> bool {
        matches!(column.input, Input::Number { .. })
    }
}

/// "Wind 4.5 mph"
fn also(column: &Column, text: &str) -> String {
    let unit = unit_of(column);
    if unit.is_empty() { format!("{} {text}", column.label) } else { format!("{} {text} {unit}", column.label) }
}

/// GET …/{kind}
pub async fn list_page(reading: Reading, mut shell: Shell, at: KindAt, req: HttpRequest) -> Page {
    let desk = reading.desk();
    let list = List::of(&desk, at, &shell).await?;
    let page = query(&req, "page").and_then(|text| text.parse::<u64>().ok()).unwrap_or(1).saturating_sub(1);
    let filter = RecordFilter { page, ..filter(&list) };
    let rows: Vec<Shown> = desk.records(filter).await?.iter().map(|record| shown(&list, record)).collect();
    let rows = if rows.len() > LONG { under_months(rows) } else { rows };
    let total = desk.count(filter).await?;
    let heads = heads(&list, &rows);
    let behind = Behind::of(&desk, &list).await?;
    let told = told(&req, &mut shell, &rows);
    show(&ListPage { shell, list, heads, rows, behind, told, total, page })
}

/// What was done to a row of this page is said at the row, where the page opens, and not above the list.
fn told(req: &HttpRequest, shell: &mut Shell, rows: &[Shown]) -> Option<(Uuid, &'static str)> {
    let id = query(req, "row")?.parse::<Uuid>().ok()?;
    rows.iter().find(|row| row.id == id)?;
    Some((id, shell.said.take()?))
}

/// Each month is named above the first of its rows.
fn under_months(mut rows: Vec<Shown>) -> Vec<Shown> {
    let mut last = String::new();
    for row in &mut rows {
        row.begins_month = row.month != last;
        last.clone_from(&row.month);
    }
    rows
}

fn filter(list: &List) -> RecordFilter {
    let year = (!list.of_every_season()).then_some(list.at.year);
    RecordFilter { year, block: list.at.block, ..RecordFilter::of(list.at.kind) }
}

/// The newest record of the list's kind and place, of any season. Of crew days that which the person kept
/// in the block, else on its farm: a crew goes on with its own work.
pub(super) async fn newest(desk: &Desk<'_>, list: &List, user: &str) -> Result<Option<StoredRecord>, PageError> {
    let filter = RecordFilter { block: list.at.block, ..RecordFilter::of(list.at.kind) };
    let here = desk.records(filter).await?;
    if list.at.kind != RecordKind::Labor {
        return Ok(here.into_iter().next());
    }
    if let Some(own) = here.iter().find(|record| record.author == user) {
        return Ok(Some(own.clone()));
    }
    let farm = list.block.as_ref().map(|row| row.farm_id);
    let on_farm = desk.records(RecordFilter { farm, ..RecordFilter::of(list.at.kind) }).await?;
    let own = on_farm.into_iter().find(|record| record.author == user);
    Ok(own.or_else(|| here.into_iter().next()))
}

/// The first columns that at least every fourth row fills; the others are said beside the row, so a
/// table of crew days is not as wide as everything a crew day could hold.
fn heads(list: &List, rows: &[Shown]) -> Vec<Column> {
    let filled = |column: &Column| rows.iter().filter(|row| !row.cell(column).is_empty()).count();
    let by_pay = |column: &Column| list.at.kind == RecordKind::Labor && SAID_BY_PAY.contains(&column.name);
    let usual = |column: &Column| filled(column) > 0 && filled(column) * 4 >= rows.len() && column.name != "note";
    list.all_columns().into_iter().filter(|column| usual(column) && !by_pay(column)).take(MOST_HEADS).collect()
}
