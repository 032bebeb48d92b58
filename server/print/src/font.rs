//! The three faces: their bytes, the widths of their letters, wrapping by those widths.
//!
//! Widths are sums of `hmtx` advances without kerning, and both writers set text the same way, so
//! a right-aligned number ends exactly where it was placed. Parsed once and kept.

use std::sync::OnceLock;

use ttf_parser::{Face, FaceParsingError};

use crate::sheet::Font;

/// Stands for a letter that a face does not have.
pub const REPLACEMENT: char = '\u{25CA}';

/// The bytes of a face: Source Sans 3 and Source Serif 4, SIL Open Font License 1.1.
pub const fn bytes(font: Font) -> &'static [u8] {
    match font {
        Font::Regular => include_bytes!("../../../static/fonts/SourceSans3-Regular.ttf"),
        Font::Semibold => include_bytes!("../../../static/fonts/SourceSans3-Semibold.ttf"),
        Font::Serif => include_bytes!("../../../static/fonts/SourceSerif4-Semibold.ttf"),
    }
}

/// Width of a text set in a face at a size, in points, after [`printable`].
pub fn width(font: Font, size: f64, text: &str) -> f64 {
    let metrics = metrics(font);
    let advance = |letter| u32::from(metrics.advance(letter).unwrap_or(0));
    let units: u32 = text.chars().filter_map(|letter| metrics.printable(letter)).map(advance).sum();
    f64::from(units) * size / metrics.units_per_em
}

/// Whether a face has a letter.
pub fn has(font: Font, letter: char) -> bool {
    metrics(font).advance(letter).is_some()
}

/// The text with every sign that the face has: spaces made plain, variation selectors and joiners
/// dropped, the rest replaced by [`REPLACEMENT`].
pub fn printable(font: Font, text: &str) -> String {
    let metrics = metrics(font);
    text.chars().filter_map(|letter| metrics.printable(letter)).collect()
}

/// Breaks a printable text into lines no wider than `limit`, between words where it can and inside
/// a word where that word alone is wider. A text gives at least one line.
pub fn wrap(font: Font, size: f64, limit: f64, text: &str) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if width(font, size, &longer) <= limit {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(core::mem::take(&mut line));
        }
        line = break_word(font, size, limit, word, &mut lines);
    }
    lines.push(line);
    lines
}

/// The text if it fits, or as much of it as fits before an ellipsis. Never for numbers.
pub fn shortened(font: Font, size: f64, limit: f64, text: &str) -> String {
    if width(font, size, text) <= limit {
        return text.to_owned();
    }
    let mut kept = text.to_owned();
    while kept.pop().is_some() {
        let shorter = format!("{}…", kept.trim_end());
        if width(font, size, &shorter) <= limit {
            return shorter;
        }
    }
    String::new()
}

/// Pushes the full lines of a word wider than a line and gives back what is left of it.
fn break_word(font: Font, size: f64, limit: f64, word: &str, lines: &mut Vec<String>) -> String {
    let mut line = String::new();
    for letter in word.chars() {
        line.push(letter);
        if width(font, size, &line) > limit && line.chars().count() > 1 {
            line.pop();
            lines.push(core::mem::replace(&mut line, letter.to_string()));
        }
    }
    line
}

/// Widths of one face.
struct Metrics {
    /// `None` only if the file is no font, which a test rules out for the three we carry.
    face: Option<Face<'static>>,
    units_per_em: f64,
    /// Advances of ASCII, which is nearly all text.
    ascii: Vec<Option<u16>>,
}

impl Metrics {
    fn new(font: Font) -> Self {
        let face = parse(font).ok();
        let units_per_em = face.as_ref().map_or(1000.0, |face| f64::from(face.units_per_em()));
        let mut metrics = Self { face, units_per_em, ascii: Vec::new() };
        metrics.ascii = (0_u8..128).map(|byte| metrics.look_up(char::from(byte))).collect();
        metrics
    }

    fn advance(&self, letter: char) -> Option<u16> {
        if letter.is_ascii() {
            return self.ascii.get(letter as usize).copied().flatten();
        }
        self.look_up(letter)
    }

    fn look_up(&self, letter: char) -> Option<u16> {
        let face = self.face.as_ref()?;
        face.glyph_hor_advance(face.glyph_index(letter)?)
    }

    fn printable(&self, letter: char) -> Option<char> {
        match letter {
            ' '..='~' => Some(letter),
            // Emoji presentation and zero-width signs only steer shaping, which we do not do.
            '\u{FE0E}' | '\u{FE0F}' | '\u{200B}'..='\u{200F}' | '\u{2060}' | '\u{FEFF}' => None,
            _ if letter.is_whitespace() || letter.is_control() => Some(' '),
            _ if self.advance(letter).is_some() => Some(letter),
            _ => Some(REPLACEMENT),
        }
    }
}

fn parse(font: Font) -> Result<Face<'static>, FaceParsingError> {
    Face::parse(bytes(font), 0)
}

fn metrics(font: Font) -> &'static Metrics {
    static REGULAR: OnceLock<Metrics> = OnceLock::new();
    static SEMIBOLD: OnceLock<Metrics> = OnceLock::new();
    static SERIF: OnceLock<Metrics> = OnceLock::new();
    match font {
        Font::Regular => REGULAR.get_or_init(|| Metrics::new(font)),
        Font::Semibold => SEMIBOLD.get_or_init(|| Metrics::new(font)),
        Font::Serif => SERIF.get_or_init(|| Metrics::new(font)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Signs that our own sentences, units and numbers use.
    const OWN_SIGNS: &str = "−–—…·×±≤≥³²°ñÑáéíóúü½$%+'’“”/0123456789◊";

    #[test]
    fn every_face_parses_and_has_our_signs() {
        for font in Font::ALL {
            assert!(parse(font).is_ok(), "{font:?}");
            for sign in OWN_SIGNS.chars() {
                assert!(metrics(font).advance(sign).is_some(), "{font:?} has no {sign:?}");
            }
            assert_eq!(printable(font, OWN_SIGNS), OWN_SIGNS);
        }
    }

    #[test]
    fn digits_are_of_one_width_and_so_is_the_minus_of_the_sans() {
        for font in Font::ALL {
            let zero = metrics(font).advance('0');
            for digit in '1'..='9' {
                assert_eq!(metrics(font).advance(digit), zero, "{font:?} {digit}");
            }
        }
    }

    #[test]
    fn joiners_go_and_unknown_letters_are_replaced() {
        assert_eq!(printable(Font::Regular, "a\u{FE0F}\u{200D}b\u{A0}c\n"), "ab c ");
        assert_eq!(printable(Font::Regular, "桃 Łódź Ωμ"), "◊ Łódź Ωμ");
    }

    #[test]
    fn lines_are_never_wider_than_asked() {
        let text = "Ripening began on the west rows, four days before the rest; see the counts of 14 May \
                    and Wassergrabenbewirtschaftungsgenossenschaftsversammlung.";
        for limit in [30.0, 80.0, 200.0] {
            let lines = wrap(Font::Regular, 9.0, limit, text);
            assert!(lines.iter().all(|line| width(Font::Regular, 9.0, line) <= limit), "{lines:?}");
            let joined: String = lines.concat().replace(' ', "");
            assert_eq!(joined, text.replace(' ', ""));
        }
        assert_eq!(wrap(Font::Regular, 9.0, 50.0, ""), [""]);
    }

    #[test]
    fn a_shortened_text_says_so() {
        let short = shortened(Font::Regular, 9.0, 60.0, "Cottonwood Flat Orchards and Sons");
        assert!(short.ends_with('…') && width(Font::Regular, 9.0, &short) <= 60.0, "{short}");
        assert_eq!(shortened(Font::Regular, 9.0, 60.0, "Sand Draw"), "Sand Draw");
    }
}
