//! Horizontal bars, each with its name before and its number after it.

use super::{Drawing, SIZE, label, many};
use crate::font;
use crate::sheet::{Align, Font, Ink, Mark, Role};

/// One bar.
pub(super) struct Bar {
    /// What it stands for.
    pub(super) name: String,
    /// Its length; below zero draws nothing.
    pub(super) value: f64,
    /// The number as written.
    pub(super) text: String,
}

/// Distance from one bar to the next.
const PITCH: f64 = 18.0;
/// Thickness of a bar.
const THICKNESS: f64 = 10.0;
/// Room between name, bar and number.
const GAP: f64 = 6.0;

/// The bars in list order; `None` when there are none.
pub(super) fn bars(title: &str, width: f64, ink: Ink, bars: &[Bar]) -> Option<Drawing> {
    if bars.is_empty() {
        return None;
    }
    let widest =
        |text: fn(&Bar) -> &str| bars.iter().map(|bar| font::width(Font::Regular, SIZE, text(bar))).fold(0.0, f64::max);
    let name_width = widest(|bar| &bar.name).min(width * 0.45);
    let room = (width - name_width - widest(|bar| &bar.text) - 2.0 * GAP).max(0.0);
    let longest = bars.iter().map(|bar| bar.value).fold(0.0, f64::max);
    let mut marks = Vec::with_capacity(bars.len() * 3);
    for (n, bar) in bars.iter().enumerate() {
        let y = many(n) * PITCH;
        let name = font::shortened(Font::Regular, SIZE, name_width, &font::printable(Font::Regular, &bar.name));
        let length = if longest > 0.0 { bar.value.max(0.0) / longest * room } else { 0.0 };
        let x = name_width + GAP;
        marks.push(label(0.0, y + 8.0, Align::Left, Role::Label, Ink::Text, &name));
        marks.push(Mark::Rect { x, y: y + 0.5, width: length, height: THICKNESS, ink, outline: None });
        marks.push(label(x + length + GAP, y + 8.0, Align::Left, Role::Figure, Ink::Text, &bar.text));
    }
    let description = bars.iter().map(|bar| format!("{}: {}.", bar.name, bar.text)).collect::<Vec<_>>().join(" ");
    let height = many(bars.len()) * PITCH - (PITCH - THICKNESS - 1.0);
    Some(Drawing { width, height, title: title.to_owned(), description, marks })
}
