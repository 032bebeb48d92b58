//! A sheet as PDF, byte for byte the same from the same sheet.
//!
//! What the library takes from counters and clocks is given to it: font ids are ours, the dates
//! are the report's, the file id is the fingerprint. Fonts are embedded, cut to the letters used.
//! The file is not tagged for screen readers; the page with the same figures is.

use std::sync::OnceLock;

use chrono::{Datelike, NaiveDate};
use lopdf::{Object, StringFormat};
use printpdf::{
    Color, Date, DateTime, FontId, Line, LineDashPattern, LinePoint, Offset, Op, PaintMode, ParsedFont, PdfDocument,
    PdfFont, PdfFontHandle, PdfPage, PdfSaveOptions, Point, Pt, Rect, Rgb, TextItem, TextMatrix, Time,
};

use crate::fingerprint::Fingerprint;
use crate::font;
use crate::sheet::{Align, Font, Ink, Mark, Page, Sheet, Text};

/// What a PDF says about itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Meta {
    /// Title in the reader's window.
    pub title: String,
    /// Day the report was made.
    pub made_on: NaiveDate,
    /// Fingerprint of the figures; also the file's id.
    pub fingerprint: Fingerprint,
}

/// Why no PDF was written.
#[derive(Debug, thiserror::Error)]
pub enum PrintError {
    /// A built-in font did not parse: the program was built wrongly.
    #[error("the built-in font {0:?} cannot be read; it should be a TrueType file in static/fonts")]
    Font(Font),
    /// A text holds a letter that its face does not have.
    #[error(
        "page {page} has {text:?}, and the font {font:?} has no {letter:?}; texts go through font::printable first"
    )]
    Letter {
        /// Page, from 1.
        page: usize,
        /// The text.
        text: String,
        /// Its face.
        font: Font,
        /// The letter.
        letter: char,
    },
    /// The library warned; its warnings mean that something will not show.
    #[error("the PDF library warned: {0}")]
    Warned(String),
    /// The file could not be put together.
    #[error("the PDF could not be written: {0}")]
    Write(#[from] std::io::Error),
}

/// The sheet as a PDF file.
///
/// # Errors
/// [`PrintError::Letter`] for a text with a letter its face does not have; the others mean a
/// broken build.
pub fn write(sheet: &Sheet, meta: &Meta) -> Result<Vec<u8>, PrintError> {
    let mut document = described(meta);
    for font in Font::ALL {
        document.resources.fonts.map.insert(FontId(id(font).to_owned()), parsed(font)?.clone());
    }
    for (n, page) in sheet.pages.iter().enumerate() {
        check_letters(n + 1, page)?;
        document.pages.push(pdf_page(sheet.paper.size(), page));
    }
    let mut warnings = Vec::new();
    let mut file = document.to_lopdf_document(&PdfSaveOptions::default(), &mut warnings);
    if let Some(warning) = warnings.first() {
        return Err(PrintError::Warned(warning.msg.clone()));
    }
    settle(&mut file, meta);
    file.compress();
    let mut bytes = Vec::new();
    file.save_to(&mut bytes)?;
    Ok(bytes)
}

/// Our own ids. Six capital letters, because they become the subset's tag in front of the face's name.
const fn id(font: Font) -> &'static str {
    match font {
        Font::Regular => "SANSRG",
        Font::Semibold => "SANSSB",
        Font::Serif => "SERFSB",
    }
}

fn described(meta: &Meta) -> PdfDocument {
    let mut document = PdfDocument::new(&meta.title);
    let date = midnight(meta.made_on);
    let info = &mut document.metadata.info;
    info.creation_date = date;
    info.modification_date = date;
    info.metadata_date = date;
    "Seasonbook".clone_into(&mut info.producer);
    info.identifier = meta.fingerprint.to_string();
    document
}

fn midnight(day: NaiveDate) -> DateTime {
    let part = |n: u32| u8::try_from(n).unwrap_or(1);
    DateTime::new_in_offset(
        Date { year: day.year(), month: part(day.month()), day: part(day.day()) },
        Time { hour: 0, minute: 0, second: 0, millisecond: 0 },
        Offset { hours: 0, minutes: 0, seconds: 0, milliseconds: 0 },
    )
}

/// What the library leaves to chance or leaves out.
fn settle(file: &mut lopdf::Document, meta: &Meta) {
    "1.7".clone_into(&mut file.version);
    let id = Object::String(meta.fingerprint.0.to_vec(), StringFormat::Hexadecimal);
    file.trailer.set("ID", Object::Array(vec![id.clone(), id]));
    if let Ok(info) = file.trailer.get(b"Info").and_then(Object::as_reference)
        && let Ok(info) = file.get_object_mut(info).and_then(Object::as_dict_mut)
    {
        // An empty conformance claim is still a claim.
        info.remove(b"GTS_PDFXVersion");
    }
    if let Ok(catalog) = file.catalog_mut() {
        catalog.set("Lang", Object::string_literal("en-US"));
        let mut preferences = lopdf::Dictionary::new();
        preferences.set("DisplayDocTitle", true);
        catalog.set("ViewerPreferences", preferences);
    }
}

fn check_letters(page: usize, marks: &Page) -> Result<(), PrintError> {
    for text in marks.texts() {
        if let Some(letter) = text.text.chars().find(|letter| !font::has(text.font, *letter)) {
            return Err(PrintError::Letter { page, text: text.text.clone(), font: text.font, letter });
        }
    }
    Ok(())
}

fn pdf_page((width, height): (f64, f64), page: &Page) -> PdfPage {
    let mut pen = Pen { height, ops: Vec::new(), fill: None, stroke: None, thickness: None, font: None };
    for mark in &page.marks {
        pen.draw(mark);
    }
    let paper = Rect::from_wh(pt(width), pt(height));
    PdfPage { media_box: paper.clone(), trim_box: paper.clone(), crop_box: paper, ops: pen.ops }
}

/// Writes operations, and colours, widths and faces only where they change.
struct Pen {
    height: f64,
    ops: Vec<Op>,
    fill: Option<Ink>,
    stroke: Option<Ink>,
    thickness: Option<Pt>,
    font: Option<(Font, Pt)>,
}

impl Pen {
    fn draw(&mut self, mark: &Mark) {
        match mark {
            Mark::Text(text) => self.text(text),
            Mark::Rect { x, y, width, height, ink, outline } => self.rect((*x, *y, *width, *height), *ink, *outline),
            Mark::Line { from, to, width, ink } => self.line(&[*from, *to], *width, *ink),
            Mark::Polyline { points, width, ink, dash: None } => self.line(points, *width, *ink),
            Mark::Polyline { points, width, ink, dash: Some((on, off)) } => {
                let dash = LineDashPattern::new(0.0, &[pt(*on).0, pt(*off).0]);
                self.ops.push(Op::SetLineDashPattern { dash });
                self.line(points, *width, *ink);
                self.ops.push(Op::SetLineDashPattern { dash: LineDashPattern::solid() });
            }
        }
    }

    fn text(&mut self, text: &Text) {
        let width = font::width(text.font, text.size, &text.text);
        let x = match text.align {
            Align::Left => text.x,
            Align::Middle => text.x - width / 2.0,
            Align::Right => text.x - width,
        };
        self.filled_with(text.ink);
        self.ops.push(Op::StartTextSection);
        let size = pt(text.size);
        if self.font != Some((text.font, size)) {
            self.font = Some((text.font, size));
            let font = PdfFontHandle::External(FontId(id(text.font).to_owned()));
            self.ops.push(Op::SetFont { font, size });
        }
        let matrix = TextMatrix::Translate(pt(x), pt(self.height - text.y));
        self.ops.push(Op::SetTextMatrix { matrix });
        self.ops.push(Op::ShowText { items: vec![TextItem::Text(text.text.clone())] });
        self.ops.push(Op::EndTextSection);
    }

    fn rect(&mut self, (x, y, width, height): (f64, f64, f64, f64), ink: Ink, outline: Option<Ink>) {
        self.filled_with(ink);
        let mut rectangle = Rect::from_xywh(pt(x), pt(self.height - y - height), pt(width), pt(height));
        rectangle.mode = Some(PaintMode::Fill);
        if let Some(outline) = outline {
            self.stroked_with(outline, 0.5);
            rectangle.mode = Some(PaintMode::FillStroke);
        }
        self.ops.push(Op::DrawRectangle { rectangle });
    }

    fn line(&mut self, points: &[(f64, f64)], width: f64, ink: Ink) {
        self.stroked_with(ink, width);
        let point = |&(x, y): &(f64, f64)| LinePoint { p: Point { x: pt(x), y: pt(self.height - y) }, bezier: false };
        let line = Line { points: points.iter().map(point).collect(), is_closed: false };
        self.ops.push(Op::DrawLine { line });
    }

    fn filled_with(&mut self, ink: Ink) {
        if self.fill != Some(ink) {
            self.fill = Some(ink);
            self.ops.push(Op::SetFillColor { col: color(ink) });
        }
    }

    fn stroked_with(&mut self, ink: Ink, width: f64) {
        if self.stroke != Some(ink) {
            self.stroke = Some(ink);
            self.ops.push(Op::SetOutlineColor { col: color(ink) });
        }
        let thickness = pt(width);
        if self.thickness != Some(thickness) {
            self.thickness = Some(thickness);
            self.ops.push(Op::SetOutlineThickness { pt: thickness });
        }
    }
}

fn color(ink: Ink) -> Color {
    // Thousandths: as fine as eight bits, and short in the file.
    let part = |byte: u8| (f32::from(byte) / 255.0 * 1000.0).round() / 1000.0;
    let [r, g, b] = ink.rgb().map(part);
    Color::Rgb(Rgb { r, g, b, icc_profile: None })
}

/// Hundredths of a point: finer than any printer, and short in the file.
#[expect(clippy::cast_possible_truncation, reason = "PDF reals are single; a page is some hundred points wide")]
fn pt(points: f64) -> Pt {
    Pt(((points * 100.0).round() / 100.0) as f32)
}

/// The face as the library holds it, parsed once.
fn parsed(font: Font) -> Result<&'static PdfFont, PrintError> {
    static REGULAR: OnceLock<Option<PdfFont>> = OnceLock::new();
    static SEMIBOLD: OnceLock<Option<PdfFont>> = OnceLock::new();
    static SERIF: OnceLock<Option<PdfFont>> = OnceLock::new();
    let kept = match font {
        Font::Regular => &REGULAR,
        Font::Semibold => &SEMIBOLD,
        Font::Serif => &SERIF,
    };
    let parse = || ParsedFont::from_bytes(font::bytes(font), 0, &mut Vec::new()).map(PdfFont::new);
    kept.get_or_init(parse).as_ref().ok_or(PrintError::Font(font))
}

#[cfg(test)]
mod tests;
