//! Charts as shapes in points, with two writers: inline SVG ([`svg`]) and the sheet.
//!
//! Colour never stands alone: bars carry their number, lines their name, a light fill its outline.

mod bars;
mod daily;
mod labor;
mod methods;
mod plan;
mod price;
pub mod svg;
mod water;

pub use daily::water_daily;
pub use labor::labor;
pub use methods::methods;
pub(crate) use methods::number;
pub use plan::plan;
pub use price::{by_week, premium, price};
pub use water::water;

use crate::font;
use crate::sheet::{Align, Font, Ink, Mark, Role, Text};

/// A chart: shapes in a box whose top left corner is the origin.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Width of the box in points.
    pub width: f64,
    /// Height of the box in points.
    pub height: f64,
    /// What it shows, with the unit: "Water, inches a week".
    pub title: String,
    /// The same in sentences with the numbers, for those who do not see it.
    pub description: String,
    /// The shapes, in drawing order.
    pub marks: Vec<Mark>,
}

/// Size of words and numbers in a chart.
const SIZE: f64 = 7.5;

/// A word or number of a chart in the regular face.
fn label(x: f64, y: f64, align: Align, role: Role, ink: Ink, text: &str) -> Mark {
    let text = font::printable(Font::Regular, text);
    Mark::Text(Text { x, y, align, size: SIZE, font: Font::Regular, ink, role, text })
}

/// A float of a number of things, exact up to 2^32.
fn many(n: usize) -> f64 {
    f64::from(u32::try_from(n).unwrap_or(u32::MAX))
}

/// Least and most; `None` of nothing.
pub(crate) fn range(mut values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    let first = values.next()?;
    Some(values.fold((first, first), |(low, high), value| (low.min(value), high.max(value))))
}

#[cfg(test)]
mod tests;
