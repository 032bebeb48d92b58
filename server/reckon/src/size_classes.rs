//! Size classes by diameter, and the order of any size class.
//!
//! Source: Commission Regulation (EC) No 1580/2007, Annex I, Part 5, III (peaches and nectarines;
//! follows UNECE FFV-26). Other names stand after these, in natural order, unless the
//! operation's own list ([`own`]) says what they are.

pub mod lists;
pub mod mapping;
pub mod own;

use core::cmp::Ordering;

/// A size class of the published scale.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SizeClass {
    /// Its letter code.
    pub code: &'static str,
    /// Smallest diameter, mm, included.
    pub from_mm: u32,
    /// Diameter from which the next class begins, mm; `None` for the largest.
    pub below_mm: Option<u32>,
    /// Smallest circumference, mm, included.
    pub around_from_mm: u32,
    /// Circumference from which the next class begins, mm.
    pub around_below_mm: Option<u32>,
}

const fn class(code: &'static str, across: (u32, u32), around: (u32, u32)) -> SizeClass {
    SizeClass {
        code,
        from_mm: across.0,
        below_mm: Some(across.1),
        around_from_mm: around.0,
        around_below_mm: Some(around.1),
    }
}

/// Peaches and nectarines, small to large.
pub const PEACH_AND_NECTARINE: [SizeClass; 7] = [
    class("D", (51, 56), (160, 175)),
    class("C", (56, 61), (175, 190)),
    class("B", (61, 67), (190, 210)),
    class("A", (67, 73), (210, 230)),
    class("AA", (73, 80), (230, 250)),
    class("AAA", (80, 90), (250, 280)),
    SizeClass { code: "AAAA", from_mm: 90, below_mm: None, around_from_mm: 280, around_below_mm: None },
];

/// The published class of this code.
pub fn by_code(code: &str) -> Option<&'static SizeClass> {
    PEACH_AND_NECTARINE.iter().find(|class| class.code == code)
}

/// The same, capitals or not.
fn same_code(code: &str) -> Option<&'static SizeClass> {
    PEACH_AND_NECTARINE.iter().find(|class| class.code.eq_ignore_ascii_case(code))
}

/// The class a diameter in mm falls into; `None` below the scale.
pub fn by_diameter(mm: f64) -> Option<&'static SizeClass> {
    PEACH_AND_NECTARINE.iter().rev().find(|class| mm >= f64::from(class.from_mm))
}

/// Small to large, as far as the words tell: published classes, the apricot trade's words, then
/// counts to the box, where the higher count is the smaller fruit (common practice, no source), then
/// all others in natural order.
pub fn order(a: &str, b: &str) -> Ordering {
    let (place_a, place_b) = (place(a), place(b));
    place_a.cmp(&place_b).then_with(|| match place_a {
        Place::Count => natural(b, a),
        _ => natural(a, b),
    })
}

/// Which list a size belongs to, and where it stands in it.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum Place {
    Published(usize),
    Word(usize),
    Count,
    Other,
}

fn place(size: &str) -> Place {
    let published = PEACH_AND_NECTARINE.iter().position(|class| class.code == size);
    let word = || lists::APRICOTS.iter().position(|(word, _)| word.eq_ignore_ascii_case(size));
    let counts = |c: char| c.is_ascii_digit() || matches!(c, '-' | '/' | 's' | ' ');
    let count = size.starts_with(|c: char| c.is_ascii_digit()) && size.chars().all(counts);
    match (published, word()) {
        (Some(n), _) => Place::Published(n),
        (None, Some(n)) => Place::Word(n),
        (None, None) if count => Place::Count,
        (None, None) => Place::Other,
    }
}

/// Runs of digits compare as numbers, all else as text.
pub fn natural(a: &str, b: &str) -> Ordering {
    pieces(a).cmp(&pieces(b)).then_with(|| a.cmp(b))
}

#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum Piece {
    Number(u64),
    Text(String),
}

fn pieces(text: &str) -> Vec<Piece> {
    let mut found = Vec::new();
    for c in text.chars() {
        match (found.last_mut(), c.to_digit(10)) {
            (Some(Piece::Number(n)), Some(digit)) => *n = n.saturating_mul(10).saturating_add(u64::from(digit)),
            (_, Some(digit)) => found.push(Piece::Number(u64::from(digit))),
            (Some(Piece::Text(run)), None) => run.push(c),
            (_, None) => found.push(Piece::Text(c.to_string())),
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_to_large_as_far_as_the_words_tell() {
        let mut sizes = vec!["108", "AA", "56", "D", "loose", "40", "AAAA", "B", "2x3", "60-64"];
        sizes.sort_by(|a, b| order(a, b));
        assert_eq!(sizes, ["D", "B", "AA", "AAAA", "108", "60-64", "56", "40", "2x3", "loose"]);
        let mut sizes = vec!["large", "jumbo", "small", "extra large", "medium"];
        sizes.sort_by(|a, b| order(a, b));
        assert_eq!(sizes, ["small", "medium", "large", "extra large", "jumbo"]);
    }

    #[test]
    fn a_diameter_has_one_class() {
        let code = |mm| by_diameter(mm).map(|class| class.code);
        assert_eq!(code(50.9), None);
        assert_eq!(code(51.0), Some("D"));
        assert_eq!(code(72.9), Some("A"));
        assert_eq!(code(73.0), Some("AA"));
        assert_eq!(code(120.0), Some("AAAA"));
        assert_eq!(by_code("A").map(|class| (class.from_mm, class.below_mm)), Some((67, Some(73))));
    }

    #[test]
    fn the_classes_touch_and_leave_no_diameter_out() {
        for (class, next) in PEACH_AND_NECTARINE.iter().zip(PEACH_AND_NECTARINE.iter().skip(1)) {
            assert_eq!(class.below_mm, Some(next.from_mm));
        }
    }
}
