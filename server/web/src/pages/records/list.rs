//! The list of records of a kind: days, what was written, who kept it, from which file and line.

use std::collections::BTreeMap;

use actix_web::HttpRequest;
use askama::Template;
use intake::{Column, Input};
use reckon::figure::{RecordId, RecordKind};
use rust_decimal::Decimal;
use store::{BlockId, Desk, PER_PAGE, RecordFilter, Right, StoredRecord, Target};
use uuid::Uuid;

use super::List;
use crate::display;
use crate::error::PageError;
use crate::extract::{KindAt, Reading, query};
use crate::pages::{Page, show};
use crate::routes::to;
use crate::shell::Shell;

/// Decimals of a measure in a list.
const MEASURE_PLACES: u32 = 3;

/// A record as it is shown.
#[derive(Debug, Clone)]
pub(super) struct Shown {
    pub(super) id: Uuid,
    /// The block it belongs to, if one: its own list is there.
    block: Option<BlockId>,
    pub(super) day: String,
    /// The filled columns, in order.
    pub(super) cells: Vec<(Column, String)>,
    pub(super) author: String,
    pub(super) kept: String,
    /// File and line it came from.
    pub(super) from: Option<String>,
}

impl Shown {
    fn cell(&self, column: &Column) -> &str {
        self.cells.iter().find(|(known, _)| known == column).map_or("", |(_, text)| text)
    }
}

#[derive(Template)]
#[template(path = "records/list.html")]
struct ListPage {
    shell: Shell,
    list: List,
    heads: Vec<Column>,
    rows: Vec<Shown>,
    /// What the season's reckoning asks about a record, in sentences.
    asked: BTreeMap<Uuid, Vec<String>>,
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
        let other = row.cells.iter().filter(|(column, _)| !self.heads.contains(column));
        other.map(|(column, text)| format!("{} {text}", column.label)).collect::<Vec<_>>().join(", ")
    }

    fn any_also(&self) -> bool {
        self.rows.iter().any(|row| !self.also(row).is_empty())
    }

    /// Columns of the table: the day, the heads, the rest, who kept it, and what may be done.
    fn width(&self) -> usize {
        self.heads.len() + 2 + usize::from(self.may_keep()) + usize::from(self.any_also())
    }

    fn asked(&self, row: &Shown) -> &[String] {
        self.asked.get(&row.id).map_or(&[], Vec::as_slice)
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

    fn is_number(column: &Column) -> bool {
        matches!(column.input, Input::Number { .. })
    }
}

/// GET …/{kind}
pub async fn list_page(reading: Reading, shell: Shell, at: KindAt, req: HttpRequest) -> Page {
    let desk = reading.desk();
    let list = List::of(&desk, at).await?;
    let page = query(&req, "page").and_then(|text| text.parse::<u64>().ok()).unwrap_or(1).saturating_sub(1);
    let filter = RecordFilter { page, ..filter(&list) };
    let rows: Vec<Shown> = desk.records(filter).await?.iter().map(|record| shown(&list, record)).collect();
    let total = desk.count(filter).await?;
    let heads = heads(&list, &rows);
    let asked = asked(&desk, &list).await?;
    show(&ListPage { shell, list, heads, rows, asked, total, page })
}

/// Rates and prices hold from their day on, so those of earlier seasons are listed too.
fn filter(list: &List) -> RecordFilter {
    let any_year = matches!(list.at.kind, RecordKind::Price | RecordKind::Rate);
    let year = (!any_year).then_some(list.at.year);
    RecordFilter { year, block: list.at.block, ..RecordFilter::of(list.at.kind) }
}

/// The newest record of the list's kind and place, of any season.
pub(super) async fn newest(desk: &Desk<'_>, list: &List) -> Result<Option<StoredRecord>, PageError> {
    let filter = RecordFilter { block: list.at.block, ..RecordFilter::of(list.at.kind) };
    Ok(desk.records(filter).await?.into_iter().next())
}

/// A record in the words of its columns.
pub(super) fn shown(list: &List, stored: &StoredRecord) -> Shown {
    let written = list.written(stored);
    let cell = |column: Column| {
        let (_, text) = written.iter().find(|(name, _)| name == column.name)?;
        (!text.is_empty() && column.input != Input::Date).then(|| (column, said(&column, text)))
    };
    Shown {
        id: stored.id,
        block: if let Target::Block(block) = stored.target { Some(block) } else { None },
        day: display::full_day(stored.record.date()),
        cells: list.all_columns().into_iter().filter_map(cell).collect(),
        author: stored.author.clone(),
        kept: display::full_day(stored.kept_at.date_naive()),
        from: stored.from_file.as_ref().map(|(file, line)| format!("{file}, line {line}")),
    }
}

/// Numbers with their thousands apart and a real minus. Money and its rates stand as they are kept;
/// a measure turned from another unit ("64 °F") does not need its ninth decimal to be looked over.
fn said(column: &Column, text: &str) -> String {
    match (column.input, text.parse::<Decimal>()) {
        (Input::Number { .. }, Ok(number)) => {
            let exact = ["usd", "pct"].iter().any(|part| column.name.contains(part));
            print::figures::decimal(number, if exact { number.scale() } else { number.scale().min(MEASURE_PLACES) })
        }
        _ => text.to_owned(),
    }
}

/// The columns that at least every fourth row fills; the others are said beside the row, so a
/// table of crew days is not as wide as everything a crew day could hold.
fn heads(list: &List, rows: &[Shown]) -> Vec<Column> {
    let filled = |column: &Column| rows.iter().filter(|row| !row.cell(column).is_empty()).count();
    list.all_columns().into_iter().filter(|column| filled(column) > 0 && filled(column) * 4 >= rows.len()).collect()
}

/// What the reckoning of the block's season says about single records.
async fn asked(desk: &Desk<'_>, list: &List) -> Result<BTreeMap<Uuid, Vec<String>>, PageError> {
    let mut asked: BTreeMap<Uuid, Vec<String>> = BTreeMap::new();
    let Some(block) = list.at.block else { return Ok(asked) };
    let season = reckon::reckon(&desk.season_records(block, list.at.year).await?);
    for gap in season.gaps {
        for record in gap.records.iter().filter(|record| record.kind == list.at.kind) {
            if let RecordId::Stored(id) = record.id {
                asked.entry(Uuid::from_u128(id)).or_default().push(format!("{} {}", gap.what, gap.mend));
            }
        }
    }
    Ok(asked)
}

#[cfg(test)]
mod tests {
    use intake::{FileKind, columns};

    use super::*;

    #[test]
    fn numbers_are_grouped_and_words_left_alone() {
        let costs = columns(FileKind::Records(RecordKind::Cost));
        let column = |name| costs.iter().find(|column| column.name == name).unwrap();
        let (amount, note) = (column("amount_usd"), column("note"));
        assert_eq!(said(amount, "10148.49"), "10,148.49");
        assert_eq!(said(amount, "-1250.00"), "\u{2212}1,250.00");
        assert_eq!(said(note, "2026"), "2026");
        let weather = columns(FileKind::Records(RecordKind::Weather));
        let warmest = weather.iter().find(|column| column.name == "tmax_c").unwrap();
        assert_eq!(said(warmest, "18.666666667"), "18.667");
        assert_eq!(said(amount, "about 12"), "about 12");
    }
}
