//! Paragraphs in columns, balanced on the last page.

use super::flow::{Flow, Style};
use crate::sheet::Align;

/// Room between the columns.
const GUTTER: f64 = 20.0;
/// Room below a paragraph.
const AFTER: f64 = 3.0;
/// From one baseline to the next, in sizes.
const LEADING: f64 = 1.21;

/// One paragraph: stretches of text, each begun on a new line.
pub(super) type Paragraph = Vec<(Style, String)>;

/// A wrapped line.
struct Line {
    style: Style,
    text: String,
    height: f64,
    /// Lines of its paragraph before it.
    before: usize,
    /// Lines of its paragraph from here on.
    left: usize,
}

impl Line {
    /// A column may begin here: never with or after a single line of a longer paragraph.
    fn may_begin(&self) -> bool {
        self.before == 0 || (self.before > 2 && self.left > 1)
    }
}

/// Draws the paragraphs in so many columns, column by column, page by page.
pub(super) fn draw(flow: &mut Flow, columns: u32, paragraphs: &[Paragraph]) {
    let pitch = (flow.width() + GUTTER) / f64::from(columns.max(1));
    let lines: Vec<Line> = paragraphs.iter().flat_map(|paragraph| wrapped(paragraph, pitch - GUTTER)).collect();
    let mut rest = lines.as_slice();
    while let Some(first) = rest.first() {
        flow.need(first.height * 2.0);
        let height = balanced(rest, columns, flow.room());
        let top = flow.y;
        let mut end = top;
        for n in 0..columns.max(1) {
            let (own, others) = filled(rest, height);
            end = column(flow, own, (flow.left + f64::from(n) * pitch, top)).max(end);
            rest = others;
        }
        flow.y = end;
        if !rest.is_empty() {
            flow.break_page();
        }
    }
}

/// Two lists beside each other, each under its own heading, where both fit on a page; else one
/// after the other.
pub(super) fn beside(flow: &mut Flow, lists: [(&str, &[Paragraph]); 2]) {
    let width = (flow.width() - GUTTER) / 2.0;
    let laid = lists.map(|(title, list)| {
        (title, list.iter().flat_map(|paragraph| wrapped(paragraph, width)).collect::<Vec<Line>>())
    });
    let height = laid.iter().map(|(_, lines)| lines.iter().map(|line| line.height).sum::<f64>()).fold(0.0, f64::max);
    if height + HEADING_ROOM > flow.page_room() || lists.iter().any(|(_, list)| list.is_empty()) {
        for (title, list) in lists {
            headed(flow, 2, title, list);
        }
        return;
    }
    flow.need(height + HEADING_ROOM);
    let top = flow.heading_at(&[(flow.left, lists[0].0), (flow.left + width + GUTTER, lists[1].0)]) + 3.0;
    let mut x = flow.left;
    for (_, lines) in &laid {
        flow.y = flow.y.max(column(flow, lines, (x, top)));
        x += width + GUTTER;
    }
}

/// A heading and the paragraphs below it; nothing for none.
pub(super) fn headed(flow: &mut Flow, columns: u32, title: &str, paragraphs: &[Paragraph]) {
    if paragraphs.is_empty() {
        return;
    }
    flow.heading(title, BEGINNING);
    flow.y += 3.0;
    draw(flow, columns, paragraphs);
}

/// Height of the first lines, for a heading to stay with.
const BEGINNING: f64 = 30.0;
/// Height of a heading and the room below it.
const HEADING_ROOM: f64 = 28.0;

fn wrapped(paragraph: &Paragraph, width: f64) -> Vec<Line> {
    let mut lines: Vec<Line> = Vec::new();
    for (style, text) in paragraph {
        for text in style.wrapped(width, text) {
            lines.push(Line { style: *style, text, height: style.size * LEADING, before: lines.len(), left: 0 });
        }
    }
    let all = lines.len();
    for line in &mut lines {
        line.left = all - line.before;
    }
    if let Some(last) = lines.last_mut() {
        last.height += AFTER;
    }
    lines
}

/// The least height, line by line, at which the columns hold everything; `room` if none does.
fn balanced(lines: &[Line], columns: u32, room: f64) -> f64 {
    let total: f64 = lines.iter().map(|line| line.height).sum();
    let step = lines.iter().map(|line| line.height).fold(f64::MAX, f64::min);
    let mut height = total / f64::from(columns.max(1));
    while height < room {
        let rest = (0..columns).fold(lines, |rest, _| filled(rest, height).1);
        if rest.is_empty() {
            return height;
        }
        height += step;
    }
    room
}

/// The lines that fit this height, cut where a column may begin.
fn filled(lines: &[Line], height: f64) -> (&[Line], &[Line]) {
    let mut used = 0.0;
    let mut fit = 0;
    for line in lines {
        used += line.height;
        // A hair of slack: the same heights are added in another order above.
        if used > height + 0.01 {
            break;
        }
        fit += 1;
    }
    if fit < lines.len() {
        let begins = |n: &usize| lines.get(*n).is_some_and(Line::may_begin);
        fit = (1..=fit).rev().find(begins).unwrap_or(fit);
    }
    lines.split_at(fit)
}

/// Draws one column and gives back where it ends.
fn column(flow: &mut Flow, lines: &[Line], (x, top): (f64, f64)) -> f64 {
    let mut y = top;
    for line in lines {
        flow.text(line.style, (x, y + line.style.size + 1.0), Align::Left, &line.text);
        y += line.height;
    }
    y
}
