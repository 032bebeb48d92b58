//! A table with its places known: rows wrapped, kept together and drawn.

use super::super::flow::Flow;
use super::{BAR, Column, Kind, Row, Table, Weight, head_style, number, style};
use crate::sheet::{Align, Ink, Mark};

/// Where a column stands.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    pub(super) left: f64,
    pub(super) width: f64,
    pub(super) kind: Kind,
}

impl Place {
    fn anchor(self) -> (f64, Align) {
        match self.kind {
            Kind::Words(_) | Kind::Unit => (self.left, Align::Left),
            Kind::Number | Kind::Bar(_) => (self.left + self.width, Align::Right),
        }
    }
}

/// A row with its words wrapped.
pub(super) struct LaidRow<'t> {
    row: &'t Row,
    cells: Vec<Vec<String>>,
    pub(super) height: f64,
}

impl<'t> LaidRow<'t> {
    pub(super) fn new(row: &'t Row, places: &[Place], size: f64) -> Self {
        let wrap = |(cell, place): (&super::Cell, &Place)| match place.kind {
            Kind::Words(_) => style(cell.role, row.weight, size).wrapped(place.width + 0.01, &cell.text),
            Kind::Number | Kind::Bar(_) | Kind::Unit => vec![cell.text.clone()],
        };
        let cells: Vec<Vec<String>> = row.cells.iter().zip(places).map(wrap).collect();
        let lines = cells.iter().map(|lines| number(lines.len())).fold(1.0, f64::max);
        let double = if row.weight == Weight::Last { 2.0 } else { 0.0 };
        Self { row, cells, height: lines * (size + 1.5) + 3.0 + double }
    }
}

/// A table with its places known.
pub(super) struct Laid<'t> {
    pub(super) table: &'t Table,
    pub(super) size: f64,
    pub(super) columns: Vec<Place>,
    pub(super) rows: Vec<LaidRow<'t>>,
}

impl Laid<'_> {
    pub(super) fn height(&self) -> f64 {
        self.head_height() + self.rows.iter().map(|row| row.height).sum::<f64>()
    }

    fn head_lines(&self) -> usize {
        let lines = |column: &Column| if column.head.is_empty() { 0 } else { column.head.split('\n').count() };
        self.table.columns.iter().map(lines).max().unwrap_or(0)
    }

    pub(super) fn head_height(&self) -> f64 {
        let lines = self.head_lines();
        if lines == 0 { 2.0 } else { number(lines) * (self.size + 1.0) + 5.0 }
    }

    pub(super) fn draw(&self, flow: &mut Flow) {
        let room = flow.page_room() - self.head_height();
        flow.need(self.head_height() + self.together(0, room));
        self.draw_head(flow);
        for (n, row) in self.rows.iter().enumerate() {
            if flow.need(self.together(n, room)) {
                self.draw_head(flow);
            }
            self.draw_row(flow, row);
        }
    }

    /// Height of a row and of the rows below that stand on its page; of the row alone, where a page does
    /// not hold them all. The last sum never stands alone on a page.
    fn together(&self, from: usize, room: f64) -> f64 {
        let mut all = 0.0;
        for (n, row) in self.rows.iter().enumerate().skip(from) {
            all += row.height;
            if !row.row.with_next && n + 2 != self.rows.len() {
                break;
            }
        }
        let own = self.rows.get(from).map_or(0.0, |row| row.height);
        if all > room { own } else { all }
    }

    fn draw_head(&self, flow: &mut Flow) {
        let height = self.head_height();
        flow.y += height;
        let lines = self.head_lines();
        if lines == 0 {
            return;
        }
        for (column, place) in self.table.columns.iter().zip(&self.columns) {
            let (x, align) = place.anchor();
            let own = column.head.split('\n').count();
            for (n, line) in column.head.split('\n').enumerate() {
                let up = number(own.saturating_sub(n + 1)) * (self.size + 1.0);
                flow.text(head_style(self.size), (x, flow.y - 4.0 - up), align, line);
            }
        }
        self.rule(flow, flow.y, 0.7, Ink::Text);
    }

    fn draw_row(&self, flow: &mut Flow, laid: &LaidRow) {
        let baseline = flow.y + self.size + 1.0;
        for ((lines, cell), place) in laid.cells.iter().zip(&laid.row.cells).zip(&self.columns) {
            let (x, align) = place.anchor();
            for (n, line) in lines.iter().enumerate() {
                let y = baseline + number(n) * (self.size + 1.5);
                flow.text(style(cell.role, laid.row.weight, self.size), (x, y), align, line);
            }
            if let Kind::Bar(ink) = place.kind
                && cell.share > 0.0
            {
                let (width, height) = (cell.share * BAR, self.size - 2.0);
                flow.push(Mark::Rect { x: place.left, y: baseline - height, width, height, ink, outline: None });
            }
        }
        flow.y += laid.height;
        if laid.row.weight == Weight::Last {
            self.rule(flow, flow.y - 2.0, 0.6, Ink::Text);
            self.rule(flow, flow.y, 0.6, Ink::Text);
        } else {
            self.rule(flow, flow.y, 0.4, Ink::Hairline);
        }
    }

    fn rule(&self, flow: &mut Flow, y: f64, width: f64, ink: Ink) {
        if let (Some(first), Some(last)) = (self.columns.first(), self.columns.last()) {
            flow.push(Mark::Line { from: (first.left, y), to: (last.left + last.width, y), width, ink });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Cell, Column, Table, Weight};
    use super::*;
    use crate::sheet::Paper;

    #[test]
    fn rows_that_belong_together_are_on_one_page() {
        let mut flow = Flow::new(Paper::Letter, "", "");
        let mut table = Table::new(vec![Column::words("class", 50.0)]);
        for n in 0..200 {
            if n % 3 != 0 {
                table.keep_with_next();
            }
            table.row(Weight::Plain, vec![Cell::words(&format!("row {n}"))]);
        }
        table.draw(&mut flow);
        let sheet = flow.finish("");
        let page = |n: usize| {
            let name = format!("row {n}");
            sheet.pages.iter().position(|page| page.texts().any(|text| text.text == name)).unwrap()
        };
        assert!(page(199) > 1);
        for first in (0..198).step_by(3) {
            assert_eq!([page(first), page(first + 1)], [page(first + 2); 2], "{first}");
        }
    }
}
