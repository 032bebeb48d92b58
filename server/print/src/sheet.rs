//! Laid-out pages: texts, rectangles and lines in points, free of any PDF library.
//!
//! One point is 1/72 inch. The origin is the page's top left corner, `y` grows downward, and a
//! text's `y` is its baseline. Writers ([`crate::pdf`], [`crate::chart::svg`]) turn marks into
//! their format and decide nothing.

use core::fmt::Write as _;

/// Paper of a report.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Paper {
    /// 8 1/2 by 11 inches.
    #[default]
    Letter,
    /// 210 by 297 mm.
    A4,
}

impl Paper {
    /// Both papers.
    pub const ALL: [Self; 2] = [Self::Letter, Self::A4];

    /// Width and height in points.
    pub const fn size(self) -> (f64, f64) {
        match self {
            Self::Letter => (612.0, 792.0),
            // ISO 216 in millimetres, 72 points to 25.4 mm.
            Self::A4 => (210.0 * 72.0 / 25.4, 297.0 * 72.0 / 25.4),
        }
    }

    /// The word in addresses and on the command line.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Letter => "letter",
            Self::A4 => "a4",
        }
    }

    /// The paper of this [`Paper::word`].
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|paper| paper.word() == word)
    }
}

/// Which of the three faces.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Font {
    /// Sans, regular: nearly everything.
    Regular,
    /// Sans, semibold: subtotals and column heads.
    Semibold,
    /// Serif, semibold: headings and headline figures.
    Serif,
}

impl Font {
    /// Every face.
    pub const ALL: [Self; 3] = [Self::Regular, Self::Semibold, Self::Serif];
}

/// A colour by its meaning. Data inks say what is shown, never good or bad.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Ink {
    /// Text.
    Text,
    /// Units, evidence, notes.
    Soft,
    /// Rules between rows.
    Hairline,
    /// What is missing.
    Accent,
    /// Labor.
    Labor,
    /// Irrigation water.
    Water,
    /// Rain.
    Rain,
    /// Mulch.
    Mulch,
    /// Price.
    Price,
}

impl Ink {
    /// Every ink.
    pub const ALL: [Self; 9] = [
        Self::Text,
        Self::Soft,
        Self::Hairline,
        Self::Accent,
        Self::Labor,
        Self::Water,
        Self::Rain,
        Self::Mulch,
        Self::Price,
    ];

    /// Red, green, blue.
    pub const fn rgb(self) -> [u8; 3] {
        match self {
            Self::Text => [0x23, 0x20, 0x1b],
            Self::Soft => [0x6a, 0x62, 0x56],
            Self::Hairline => [0xdc, 0xd3, 0xc2],
            Self::Accent => [0x6d, 0x21, 0x42],
            Self::Labor => [0xc4, 0x60, 0x1d],
            Self::Water => [0x00, 0x72, 0xb2],
            Self::Rain => [0x8f, 0xc3, 0xe6],
            Self::Mulch => [0x2f, 0x7d, 0x5b],
            Self::Price => [0xb8, 0x86, 0x0b],
        }
    }

    /// Class of shapes and texts in this ink, for the stylesheet.
    pub const fn class(self) -> &'static str {
        match self {
            Self::Text => "ink-text",
            Self::Soft => "ink-soft",
            Self::Hairline => "ink-hairline",
            Self::Accent => "ink-accent",
            Self::Labor => "ink-labor",
            Self::Water => "ink-water",
            Self::Rain => "ink-rain",
            Self::Mulch => "ink-mulch",
            Self::Price => "ink-price",
        }
    }
}

/// What a text is, for tests, for the SVG's classes and for a tagged copy.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// The report's title.
    Title,
    /// The line below it.
    Subtitle,
    /// Heading of a section.
    Heading,
    /// Name of a figure or of a row.
    Label,
    /// Head of a column.
    Head,
    /// A cell of a table.
    Cell,
    /// A figure.
    Figure,
    /// A figure's unit.
    Unit,
    /// How a figure is known.
    Evidence,
    /// A sentence.
    Note,
    /// Running head and foot.
    Running,
    /// Numbers and months along a chart's axis.
    Axis,
}

impl Role {
    /// Class in an SVG and word in a dump.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Title => "title",
            Self::Subtitle => "subtitle",
            Self::Heading => "heading",
            Self::Label => "label",
            Self::Head => "head",
            Self::Cell => "cell",
            Self::Figure => "figure",
            Self::Unit => "unit",
            Self::Evidence => "evidence",
            Self::Note => "note",
            Self::Running => "running",
            Self::Axis => "axis",
        }
    }
}

/// Where a text's `x` is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Align {
    /// Its left end.
    #[default]
    Left,
    /// Its middle.
    Middle,
    /// Its right end.
    Right,
}

/// One run of text on one baseline.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// Where the text begins, has its middle, or ends; see `align`.
    pub x: f64,
    /// Baseline.
    pub y: f64,
    /// What `x` means.
    pub align: Align,
    /// Size in points.
    pub size: f64,
    /// Face.
    pub font: Font,
    /// Colour.
    pub ink: Ink,
    /// What it is.
    pub role: Role,
    /// The text; every sign of it is in the face.
    pub text: String,
}

/// What is drawn on a page or in a chart.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// Text.
    Text(Text),
    /// A filled rectangle.
    Rect {
        /// Left.
        x: f64,
        /// Top.
        y: f64,
        /// Width.
        width: f64,
        /// Height.
        height: f64,
        /// Fill.
        ink: Ink,
        /// Outline, half a point wide: tells a light fill from its neighbour without colour.
        outline: Option<Ink>,
    },
    /// A straight line.
    Line {
        /// Begin.
        from: (f64, f64),
        /// End.
        to: (f64, f64),
        /// Width.
        width: f64,
        /// Colour.
        ink: Ink,
    },
    /// Connected straight lines.
    Polyline {
        /// Corners.
        points: Vec<(f64, f64)>,
        /// Width.
        width: f64,
        /// Colour.
        ink: Ink,
        /// Length of dash and gap; `None` draws through.
        dash: Option<(f64, f64)>,
    },
}

impl Mark {
    /// The same mark, moved.
    #[must_use]
    pub fn moved(&self, dx: f64, dy: f64) -> Self {
        match self.clone() {
            Self::Text(text) => Self::Text(Text { x: text.x + dx, y: text.y + dy, ..text }),
            Self::Rect { x, y, width, height, ink, outline } => {
                Self::Rect { x: x + dx, y: y + dy, width, height, ink, outline }
            }
            Self::Line { from, to, width, ink } => {
                Self::Line { from: (from.0 + dx, from.1 + dy), to: (to.0 + dx, to.1 + dy), width, ink }
            }
            Self::Polyline { points, width, ink, dash } => {
                Self::Polyline { points: points.into_iter().map(|(x, y)| (x + dx, y + dy)).collect(), width, ink, dash }
            }
        }
    }
}

/// One page.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Page {
    /// What is on it, in drawing order.
    pub marks: Vec<Mark>,
}

impl Page {
    /// Its texts, in drawing order.
    pub fn texts(&self) -> impl Iterator<Item = &Text> {
        self.marks.iter().filter_map(|mark| match mark {
            Mark::Text(text) => Some(text),
            _ => None,
        })
    }
}

/// A laid-out document.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Paper of every page.
    pub paper: Paper,
    /// Pages in order.
    pub pages: Vec<Page>,
}

impl Sheet {
    /// Every text, one a line, with page, role, place and face: what layout tests read.
    pub fn dump(&self) -> String {
        let mut out = String::new();
        for (n, page) in self.pages.iter().enumerate() {
            for text in page.texts() {
                // Writing to a String cannot fail.
                let _ = writeln!(
                    out,
                    "{} {} {:.2},{:.2} {:?} {:.1} {:?} {}",
                    n + 1,
                    text.role.word(),
                    text.x,
                    text.y,
                    text.align,
                    text.size,
                    text.font,
                    text.text
                );
            }
        }
        out
    }

    /// Every text of every page, in drawing order.
    pub fn texts(&self) -> impl Iterator<Item = &Text> {
        self.pages.iter().flat_map(Page::texts)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn papers_are_as_standardised() {
        assert_eq!(Paper::Letter.size(), (8.5 * 72.0, 11.0 * 72.0));
        let (width, height) = Paper::A4.size();
        assert!((width - 595.275_59).abs() < 1e-4 && (height - 841.889_76).abs() < 1e-4);
        for paper in Paper::ALL {
            assert_eq!(Paper::from_word(paper.word()), Some(paper));
        }
    }

    #[test]
    fn a_moved_mark_keeps_its_shape() {
        let line = Mark::Line { from: (1.0, 2.0), to: (3.0, 4.0), width: 0.5, ink: Ink::Text };
        let moved = Mark::Line { from: (11.0, 22.0), to: (13.0, 24.0), width: 0.5, ink: Ink::Text };
        assert_eq!(line.moved(10.0, 20.0), moved);
    }
}
