//! Tables: columns as wide as their numbers, words that wrap, heads repeated on the next page.
//!
//! A number is never cut or broken: where the columns do not fit, the whole table is set smaller.

mod laid;

use super::flow::{Flow, SOFT_NOTE, Style};
use crate::figures;
use crate::sheet::{Font, Ink, Role};
use laid::{Laid, LaidRow, Place};

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Kind {
    /// Words that may wrap, not narrower than this.
    Words(f64),
    /// The unit of the number before it, close to it.
    Unit,
    /// Numbers, right-aligned, as wide as the widest.
    Number,
    /// Numbers with a small bar before them.
    Bar(Ink),
}

/// A column: its head and what it holds.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Column {
    head: String,
    kind: Kind,
}

impl Column {
    pub(super) fn words(head: &str, least: f64) -> Self {
        Self { head: head.to_owned(), kind: Kind::Words(least) }
    }

    pub(super) fn unit() -> Self {
        Self { head: String::new(), kind: Kind::Unit }
    }

    pub(super) fn number(head: &str) -> Self {
        Self { head: head.to_owned(), kind: Kind::Number }
    }

    pub(super) fn bar(head: &str, ink: Ink) -> Self {
        Self { head: head.to_owned(), kind: Kind::Bar(ink) }
    }
}

/// How a row stands out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Weight {
    /// It does not.
    Plain,
    /// A subtotal: bold.
    Bold,
    /// The last sum: bold, a double rule below.
    Last,
}

/// A cell.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Cell {
    text: String,
    role: Role,
    /// Length of the bar, 0 to 1.
    share: f64,
}

impl Cell {
    /// A number.
    pub(super) fn figure(text: String) -> Self {
        Self { text, role: Role::Figure, share: 0.0 }
    }

    /// A number, or the sign that there is none.
    pub(super) fn or_dash(text: Option<String>) -> Self {
        Self::figure(text.unwrap_or_else(|| figures::NOT_KNOWN.to_owned()))
    }

    /// A number with a bar of this share of the longest.
    pub(super) fn barred(text: String, share: f64) -> Self {
        Self { text, role: Role::Figure, share: share.clamp(0.0, 1.0) }
    }

    /// Words.
    pub(super) fn words(text: &str) -> Self {
        Self { text: text.to_owned(), role: Role::Cell, share: 0.0 }
    }

    /// A unit or how something is known: soft.
    pub(super) fn soft(text: &str) -> Self {
        Self { text: text.to_owned(), role: Role::Evidence, share: 0.0 }
    }
}

/// A row.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Row {
    pub(super) cells: Vec<Cell>,
    pub(super) weight: Weight,
    /// Stands on one page with the row below.
    with_next: bool,
}

/// A table.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Table {
    pub(super) columns: Vec<Column>,
    pub(super) rows: Vec<Row>,
    /// Size it is set in where it fits.
    size: f64,
}

/// Size a table is set in when it fits.
const SIZE: f64 = 7.8;
/// Least room between two columns.
const GAP: f64 = 9.0;
/// Most room between two columns; what is left goes to the first.
const WIDEST_GAP: f64 = 34.0;
/// Room between a number and its unit.
const UNIT_GAP: f64 = 3.0;
/// Room between two tables beside each other.
const BESIDE_GAP: f64 = 24.0;
/// Length of the longest bar.
const BAR: f64 = 34.0;

impl Table {
    pub(super) const fn new(columns: Vec<Column>) -> Self {
        Self { columns, rows: Vec::new(), size: SIZE }
    }

    /// The same, set larger or smaller than in a report.
    pub(super) fn sized(self, size: f64) -> Self {
        Self { size, ..self }
    }

    pub(super) fn row(&mut self, weight: Weight, cells: Vec<Cell>) {
        self.rows.push(Row { cells, weight, with_next: false });
    }

    /// Keeps the last row on one page with the one that comes next.
    pub(super) fn keep_with_next(&mut self) {
        if let Some(row) = self.rows.last_mut() {
            row.with_next = true;
        }
    }

    /// Down the page, over the whole width, with its head again on every further page.
    pub(super) fn draw(&self, flow: &mut Flow) {
        self.draw_within(flow, flow.width());
    }

    /// The same under its heading, which stays with its beginning.
    pub(super) fn draw_under(&self, flow: &mut Flow, heading: &str) {
        flow.heading(heading, self.beginning(flow));
        self.draw(flow);
    }

    /// The same with a sentence between the two, so that none is left over on the next page.
    pub(super) fn draw_told(&self, flow: &mut Flow, heading: &str, told: &str) {
        let lines = number(SOFT_NOTE.wrapped(flow.width(), told).len());
        flow.heading(heading, self.beginning(flow) + lines * (SOFT_NOTE.size + 3.0) + 3.0);
        flow.note(SOFT_NOTE, told);
        flow.y += 3.0;
        self.draw(flow);
    }

    /// The same over so much of the width, from the left.
    pub(super) fn draw_within(&self, flow: &mut Flow, width: f64) {
        if self.rows.is_empty() {
            return;
        }
        let laid = self.laid(flow.left, width);
        laid.draw(flow);
    }

    /// Height of two tables beside each other, as far as a page has it.
    pub(super) fn beside_height(flow: &Flow, left: &Self, right: &Self) -> f64 {
        let half = (flow.width() - BESIDE_GAP) / 2.0;
        let height = |table: &Self| table.laid(flow.left, half).height();
        height(left).max(height(right)).min(flow.page_room() * 0.8)
    }

    /// Two tables beside each other; below each other where a page is too short for that.
    pub(super) fn beside(flow: &mut Flow, left: &Self, right: &Self) {
        let half = (flow.width() - BESIDE_GAP) / 2.0;
        let (a, b) = (left.laid(flow.left, half), right.laid(flow.left + half + BESIDE_GAP, half));
        let height = a.height().max(b.height());
        if height > flow.page_room() {
            left.draw(flow);
            right.draw(flow);
            return;
        }
        flow.need(height);
        let top = flow.y;
        a.draw(flow);
        flow.y = top;
        b.draw(flow);
        flow.y = top + height;
    }

    /// Height of the whole table over the width of the page.
    pub(super) fn height(&self, flow: &Flow) -> f64 {
        self.laid(flow.left, flow.width()).height()
    }

    /// Height that a heading above it should keep free: the whole of a short table, else its head
    /// and first rows.
    pub(super) fn beginning(&self, flow: &Flow) -> f64 {
        let laid = self.laid(flow.left, flow.width());
        let whole = laid.height();
        if whole <= flow.page_room() * 0.25 {
            return whole;
        }
        laid.head_height() + laid.rows.iter().take(5).map(|row| row.height).sum::<f64>()
    }

    fn laid(&self, left: f64, width: f64) -> Laid<'_> {
        // Down to a size nobody should need; the numbers of the widest money still fit.
        let sizes = [self.size, SIZE, 7.5, 7.0, 6.5, 6.0, 5.5, 5.0, 4.5, 4.0];
        let fits = |size: &f64| self.least(*size) <= width;
        let size = sizes.into_iter().find(fits).unwrap_or(3.5);
        let columns = self.places(size, left, width);
        let rows = self.rows.iter().map(|row| LaidRow::new(row, &columns, size)).collect();
        Laid { table: self, size, columns, rows }
    }

    /// Narrowest width at this size.
    fn least(&self, size: f64) -> f64 {
        let columns = self.columns.iter().enumerate().map(|(n, column)| match column.kind {
            Kind::Words(least) => self.natural(n, column, size).min(least),
            Kind::Number | Kind::Bar(_) | Kind::Unit => self.natural(n, column, size),
        });
        columns.sum::<f64>() + GAP * self.wide_gaps() + UNIT_GAP * self.units()
    }

    /// Width of a column with nothing wrapped.
    fn natural(&self, n: usize, column: &Column, size: f64) -> f64 {
        let head = column.head.split('\n').map(|line| head_style(size).width(line)).fold(0.0, f64::max);
        let cells = self.rows.iter().filter_map(|row| Some((row.weight, row.cells.get(n)?)));
        let cells = cells.map(|(weight, cell)| style(cell.role, weight, size).width(&cell.text)).fold(0.0, f64::max);
        let bar = if matches!(column.kind, Kind::Bar(_)) { BAR + 6.0 } else { 0.0 };
        head.max(cells + bar)
    }

    /// Number of columns that stand close to the one before.
    fn units(&self) -> f64 {
        number(self.columns.iter().filter(|column| column.kind == Kind::Unit).count())
    }

    /// Number of gaps that may be widened.
    fn wide_gaps(&self) -> f64 {
        number(self.columns.len().saturating_sub(1)) - self.units()
    }

    /// Left edge and width of each column.
    fn places(&self, size: f64, left: f64, width: f64) -> Vec<Place> {
        let gaps = self.wide_gaps();
        let mut spare = width - self.least(size);
        let mut widths = Vec::with_capacity(self.columns.len());
        for (n, column) in self.columns.iter().enumerate() {
            let natural = self.natural(n, column, size);
            let mut own = natural;
            if let Kind::Words(least) = column.kind {
                let more = (natural - natural.min(least)).min(spare.max(0.0));
                own = natural.min(least) + more;
                spare -= more;
            }
            widths.push(own);
        }
        let gap = if gaps > 0.0 { (GAP + spare.max(0.0) / gaps).min(WIDEST_GAP) } else { 0.0 };
        if let Some(first) = widths.first_mut() {
            *first += (spare - (gap - GAP) * gaps).max(0.0);
        }
        let mut x = left;
        let mut places = Vec::with_capacity(widths.len());
        for (own, column) in widths.into_iter().zip(&self.columns) {
            // The gap stands before its column.
            if !places.is_empty() {
                x += if column.kind == Kind::Unit { UNIT_GAP } else { gap };
            }
            places.push(Place { left: x, width: own, kind: column.kind });
            x += own;
        }
        places
    }
}

/// A number of lines or columns.
pub(super) fn number(n: usize) -> f64 {
    f64::from(u32::try_from(n).unwrap_or(u32::MAX))
}

const fn head_style(size: f64) -> Style {
    Style { font: Font::Semibold, size: size - 0.5, ink: Ink::Soft, role: Role::Head }
}

const fn style(role: Role, weight: Weight, size: f64) -> Style {
    match (role, weight) {
        (Role::Evidence, _) => Style { font: Font::Regular, size: size - 0.5, ink: Ink::Soft, role },
        (_, Weight::Plain) => Style { font: Font::Regular, size, ink: Ink::Text, role },
        (_, Weight::Bold | Weight::Last) => Style { font: Font::Semibold, size, ink: Ink::Text, role },
    }
}
