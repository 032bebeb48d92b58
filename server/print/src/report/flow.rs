//! The pen that goes down the pages: running head and foot, headings, sentences, page breaks.

use reckon::language::Language;

use crate::font;
use crate::sheet::{Align, Font, Ink, Mark, Page, Paper, Role, Sheet, Text};

/// Face, size, ink and role of a text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Style {
    pub(super) font: Font,
    pub(super) size: f64,
    pub(super) ink: Ink,
    pub(super) role: Role,
}

impl Style {
    const fn new(font: Font, size: f64, ink: Ink, role: Role) -> Self {
        Self { font, size, ink, role }
    }

    pub(super) const fn sized(self, size: f64) -> Self {
        Self { size, ..self }
    }

    pub(super) fn width(self, text: &str) -> f64 {
        font::width(self.font, self.size, text)
    }

    pub(super) fn wrapped(self, limit: f64, text: &str) -> Vec<String> {
        font::wrap(self.font, self.size, limit, &font::printable(self.font, text))
    }
}

pub(super) const TITLE: Style = Style::new(Font::Serif, 21.0, Ink::Text, Role::Title);
pub(super) const SUBTITLE: Style = Style::new(Font::Regular, 9.0, Ink::Soft, Role::Subtitle);
pub(super) const STANDING: Style = Style::new(Font::Semibold, 8.5, Ink::Text, Role::Subtitle);
pub(super) const HEADING: Style = Style::new(Font::Serif, 12.0, Ink::Text, Role::Heading);
pub(super) const LABEL: Style = Style::new(Font::Regular, 8.5, Ink::Text, Role::Label);
pub(super) const HEADLINE: Style = Style::new(Font::Serif, 20.0, Ink::Text, Role::Figure);
pub(super) const UNIT: Style = Style::new(Font::Regular, 9.5, Ink::Soft, Role::Unit);
pub(super) const KNOWN: Style = Style::new(Font::Regular, 7.5, Ink::Soft, Role::Evidence);
pub(super) const NOTE: Style = Style::new(Font::Regular, 8.0, Ink::Text, Role::Note);
pub(super) const STRONG_NOTE: Style = Style::new(Font::Semibold, 8.0, Ink::Text, Role::Note);
pub(super) const SOFT_NOTE: Style = Style::new(Font::Regular, 8.0, Ink::Soft, Role::Note);
const RUNNING: Style = Style::new(Font::Regular, 8.5, Ink::Text, Role::Running);
const FOOT: Style = Style::new(Font::Regular, 7.5, Ink::Soft, Role::Running);

/// Height of a heading within a page.
pub(super) const HEADING_HEIGHT: f64 = HEADING_RISE + 4.0;
/// From the end of what is above to a heading's baseline.
const HEADING_RISE: f64 = 18.5;

/// From the paper's edge to the text, left and right.
const MARGIN: f64 = 42.0;
/// Baseline of the running head.
const HEAD_LINE: f64 = 40.0;
/// Where the text begins on every page.
const FIRST_LINE: f64 = 56.0;
/// From the paper's lower edge to the lowest text.
const FOOT_ROOM: f64 = 44.0;

/// The pages being laid out.
pub(super) struct Flow {
    paper: Paper,
    done: Vec<(Page, Language)>,
    page: Page,
    language: Language,
    head: (String, String),
    /// Where lines begin.
    pub(super) left: f64,
    /// The next free line on the page.
    pub(super) y: f64,
}

impl Flow {
    /// A first page with its running head.
    pub(super) fn new(paper: Paper, head_left: &str, head_right: &str) -> Self {
        let head = (head_left.to_owned(), head_right.to_owned());
        let (page, language) = (Page::default(), Language::English);
        let mut flow = Self { paper, done: Vec::new(), page, language, head, left: MARGIN, y: FIRST_LINE };
        flow.running_head();
        flow
    }

    /// From here on in another language: a new page where this one is begun, its head at the right.
    pub(super) fn turn_to(&mut self, language: Language, head_right: &str) {
        head_right.clone_into(&mut self.head.1);
        if self.y > FIRST_LINE {
            self.break_page();
        } else {
            self.page.marks.clear();
            self.running_head();
        }
        self.language = language;
    }

    pub(super) fn right(&self) -> f64 {
        self.paper.size().0 - self.left
    }

    pub(super) fn width(&self) -> f64 {
        self.right() - self.left
    }

    /// Height of a whole page's text.
    pub(super) fn page_room(&self) -> f64 {
        self.paper.size().1 - FOOT_ROOM - FIRST_LINE
    }

    /// What is left of this page.
    pub(super) fn room(&self) -> f64 {
        self.paper.size().1 - FOOT_ROOM - self.y
    }

    /// Makes sure of this much room; `true` if that took a new page.
    pub(super) fn need(&mut self, height: f64) -> bool {
        let full = height > self.room() && self.y > FIRST_LINE;
        if full {
            self.break_page();
        }
        full
    }

    pub(super) fn break_page(&mut self) {
        self.done.push((core::mem::take(&mut self.page), self.language));
        self.y = FIRST_LINE;
        self.running_head();
    }

    pub(super) fn push(&mut self, mark: Mark) {
        self.page.marks.push(mark);
    }

    /// One line of text at a place of this page.
    pub(super) fn text(&mut self, style: Style, (x, y): (f64, f64), align: Align, text: &str) {
        let Style { font, size, ink, role } = style;
        let text = font::printable(font, text);
        if !text.is_empty() {
            self.push(Mark::Text(Text { x, y, align, size, font, ink, role, text }));
        }
    }

    /// A rule across the text.
    pub(super) fn rule(&mut self, y: f64, width: f64, ink: Ink) {
        let (left, right) = (self.left, self.right());
        self.push(Mark::Line { from: (left, y), to: (right, y), width, ink });
    }

    /// A section's heading, kept on one page with the first so many points of what follows.
    pub(super) fn heading(&mut self, text: &str, follows: f64) {
        self.need(HEADING_HEIGHT + follows);
        self.heading_at(&[(self.left, text)]);
    }

    /// Headings on one line; gives back the line below.
    pub(super) fn heading_at(&mut self, headings: &[(f64, &str)]) -> f64 {
        self.y += if self.y > FIRST_LINE { HEADING_RISE } else { 12.0 };
        for (x, text) in headings {
            self.text(HEADING, (*x, self.y), Align::Left, text);
        }
        self.y += 4.0;
        self.y
    }

    /// A sentence over the whole width.
    pub(super) fn note(&mut self, style: Style, text: &str) {
        for line in style.wrapped(self.width(), text) {
            self.need(style.size + 3.0);
            self.y += style.size + 3.0;
            let place = (self.left, self.y);
            self.text(style, place, Align::Left, &line);
        }
    }

    /// Height of [`Flow::note`].
    pub(super) fn note_height(&self, style: Style, text: &str) -> f64 {
        style.wrapped(self.width(), text).iter().map(|_| style.size + 3.0).sum()
    }

    fn running_head(&mut self) {
        let (left, right) = (self.left, self.right());
        let (of, season) = self.head.clone();
        let room = self.width() - RUNNING.width(&season) - 18.0;
        let of = font::shortened(RUNNING.font, RUNNING.size, room, &font::printable(RUNNING.font, &of));
        self.text(RUNNING, (left, HEAD_LINE), Align::Left, &of);
        self.text(RUNNING, (right, HEAD_LINE), Align::Right, &season);
        self.rule(HEAD_LINE + 7.0, 0.7, Ink::Text);
    }

    /// The sheet, each page with its foot.
    pub(super) fn finish(mut self, foot: &str) -> Sheet {
        let mut pages = core::mem::take(&mut self.done);
        pages.push((core::mem::take(&mut self.page), self.language));
        let of = pages.len();
        let y = self.paper.size().1 - 28.0;
        let mut finished = Vec::with_capacity(of);
        for (n, (page, language)) in pages.into_iter().enumerate() {
            self.page = page;
            self.rule(y - 11.0, 0.5, Ink::Hairline);
            let (left, right) = (self.left, self.right());
            self.text(FOOT, (left, y), Align::Left, foot);
            let count = match language {
                Language::English => format!("page {} of {of}", n + 1),
                Language::Spanish => format!("página {} de {of}", n + 1),
            };
            self.text(FOOT, (right, y), Align::Right, &count);
            finished.push(core::mem::take(&mut self.page));
        }
        Sheet { paper: self.paper, pages: finished }
    }
}
