//! What every laid-out page keeps to, for the tests of each report.

use crate::font;
use crate::sheet::{Align, Page, Role, Sheet, Text};

/// Left and right end of a text.
pub(super) fn span(text: &Text) -> (f64, f64) {
    let width = font::width(text.font, text.size, &text.text);
    match text.align {
        Align::Left => (text.x, text.x + width),
        Align::Middle => (text.x - width / 2.0, text.x + width / 2.0),
        Align::Right => (text.x - width, text.x),
    }
}

/// Every text lies inside the margins, and none but the foot in the foot.
pub(super) fn inside_the_margins(name: &str, sheet: &Sheet) {
    let (width, height) = sheet.paper.size();
    for text in sheet.texts() {
        let (left, right) = span(text);
        assert!(left >= 41.9 && right <= width - 41.9, "{name}: {left} to {right}: {text:?}");
        assert!(text.y >= 30.0 && text.y <= height - 20.0, "{name}: {text:?}");
        let foot = text.role == Role::Running;
        assert!(foot || text.y <= height - 43.9, "{name}: runs into the foot: {text:?}");
    }
}

/// No two texts of a line touch.
pub(super) fn apart(name: &str, sheet: &Sheet) {
    for page in &sheet.pages {
        let texts: Vec<&Text> = page.texts().collect();
        for (n, a) in texts.iter().enumerate() {
            for b in texts.iter().skip(n + 1).filter(|b| (b.y - a.y).abs() < 2.0) {
                let ((a1, a2), (b1, b2)) = (span(a), span(b));
                assert!(a2 <= b1 + 0.01 || b2 <= a1 + 0.01, "{name}: {a:?} and {b:?}");
            }
        }
    }
}

/// No heading is the last on its page.
pub(super) fn headings_stay(name: &str, sheet: &Sheet) {
    for page in &sheet.pages {
        let last = page.texts().filter(|text| text.role != Role::Running).last().unwrap();
        assert_ne!(last.role, Role::Heading, "{name}: {last:?}");
    }
}

/// No page but the last leaves a third of itself empty: what follows would have fitted in part.
pub(super) fn filled(name: &str, sheet: &Sheet) {
    let (_, height) = sheet.paper.size();
    let all = sheet.pages.len();
    for (n, page) in sheet.pages.iter().enumerate().take(all.saturating_sub(1)) {
        let texts = page.texts().filter(|text| text.role != Role::Running);
        let lowest = texts.map(|text| text.y).fold(0.0, f64::max);
        assert!(height - 44.0 - lowest <= height / 3.0, "{name}: page {} ends at {lowest} of {height}", n + 1);
    }
}

/// Every letter is in its face.
pub(super) fn letters_are_known(name: &str, sheet: &Sheet) {
    for text in sheet.texts() {
        assert!(text.text.chars().all(|letter| font::has(text.font, letter)), "{name}: {text:?}");
    }
}

/// Nothing is smaller than six points, but heads of columns by half a point.
pub(super) fn readable(name: &str, sheet: &Sheet) {
    for text in sheet.texts() {
        assert!(text.size >= 6.0, "{name}: {text:?}");
    }
}

/// Whether the page has this text.
pub(super) fn has(page: &Page, text: &str) -> bool {
    page.texts().any(|found| found.text == text)
}

/// Sentences as they read, whatever line they were wrapped to.
pub(super) fn read(sheet: &Sheet) -> String {
    sheet.texts().map(|text| text.text.as_str()).collect::<Vec<_>>().join(" ")
}
