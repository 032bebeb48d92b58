//! From a size in the user's words to one of the built-in lists.
//!
//! A 40 in a peach tray and a 40 in a plum carton are different fruits, so the crop decides how a
//! count is understood; and packs weigh 22, 25 or 28 lb, so prices are compared by the pound only.

use super::lists::{APRICOTS, CountSize, PLUM_COUNTS, TRAY_COUNTS};
use super::{SizeClass, by_diameter, same_code};
use crate::exact::{Pounds, unit};
use crate::money::UnitPrice;

/// A size of a built-in list.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BuiltIn {
    /// A class by diameter: peaches and nectarines.
    Class(&'static SizeClass),
    /// A count of a tray pack, or a range of counts, larger fruit first: peaches and nectarines.
    Tray(u32, u32),
    /// A count of plums, or a range.
    Plum(&'static CountSize, &'static CountSize),
    /// A name of apricots, with fruit in a pound.
    Apricot(&'static str, u32),
}

impl BuiltIn {
    /// The words of the list: "AA", "54-56", "20-25", "jumbo".
    pub fn words(&self) -> String {
        let range = |low: u32, high: u32| if low == high { low.to_string() } else { format!("{low}-{high}") };
        match self {
            Self::Class(class) => class.code.to_owned(),
            Self::Tray(low, high) => range(*low, *high),
            Self::Plum(low, high) => range(low.size, high.size),
            Self::Apricot(name, _) => (*name).to_owned(),
        }
    }
}

/// The built-in size that words name: a letter code, a diameter in mm or inches, a count, a name.
pub fn built_in(crop: &str, words: &str) -> Option<BuiltIn> {
    let (crop, words) = (crop.trim().to_lowercase(), words.trim().to_lowercase());
    let is = |names: &[&str]| names.iter().any(|name| crop.contains(name));
    if is(&["apricot"]) {
        let found = APRICOTS.iter().find(|(name, _)| name.eq_ignore_ascii_case(&words))?;
        return Some(BuiltIn::Apricot(found.0, found.1));
    }
    if is(&["plum", "pluot"]) {
        let (low, high) = counts(&words)?;
        return Some(BuiltIn::Plum(plum(low)?, plum(high)?));
    }
    if !is(&["peach", "nectarine"]) {
        return None;
    }
    if let Some(class) = same_code(&words) {
        return Some(BuiltIn::Class(class));
    }
    if let Some(class) = millimetres(&words).and_then(by_diameter) {
        return Some(BuiltIn::Class(class));
    }
    let (low, high) = counts(&words)?;
    let known = |count: u32| TRAY_COUNTS.contains(&count);
    (known(low) && known(high)).then_some(BuiltIn::Tray(low, high))
}

fn plum(size: u32) -> Option<&'static CountSize> {
    PLUM_COUNTS.iter().find(|count| count.size == size)
}

/// "54", "54s", "54-56s", "size 54".
fn counts(words: &str) -> Option<(u32, u32)> {
    let words = words.trim_start_matches("size").trim();
    let one = |text: &str| text.trim().trim_end_matches('s').trim_end_matches("ct").trim().parse::<u32>().ok();
    let (low, high) = match words.split_once(['-', '/', '–']) {
        Some((low, high)) => (one(low)?, one(high)?),
        None => (one(words)?, one(words)?),
    };
    (low <= high).then_some((low, high))
}

/// "73 mm", "73-80 mm", "2 1/2 in", "2.5\"", "2 3/4 in and up": the smaller end.
fn millimetres(words: &str) -> Option<f64> {
    let number = |text: &str| inches_or_mm(text.trim());
    if let Some(text) = words.strip_suffix("and up").map_or(words, str::trim).strip_suffix("mm") {
        return number(text.split(['-', '–']).next()?.trim_end_matches('+'));
    }
    let text = words.strip_suffix("and up").map_or(words, str::trim);
    let text = ["inches", "inch", "in", "\""].iter().find_map(|unit| text.strip_suffix(unit))?;
    number(text.split("to").next()?.split(['-', '–']).next()?).map(|inches| inches * crate::units::MM_PER_INCH)
}

/// "2", "2.5", "2 1/2", "1/2".
fn inches_or_mm(text: &str) -> Option<f64> {
    let mut sum = 0.0;
    let parts: Vec<&str> = text.split_whitespace().collect();
    for part in &parts {
        sum += match part.split_once('/') {
            Some((above, below)) => {
                let below = below.parse::<f64>().ok().filter(|below| *below > 0.0)?;
                above.parse::<f64>().ok()? / below
            }
            None => part.parse::<f64>().ok()?,
        };
    }
    (!parts.is_empty() && sum > 0.0).then_some(sum)
}

/// Price of a pound from the price of a box of a known weight: the only fair way to compare packs.
pub fn by_the_pound(price: UnitPrice<unit::Carton>, net: Pounds) -> Option<UnitPrice<unit::Pound>> {
    UnitPrice::spread(price.decimal(), net.decimal())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::dec;

    fn words(crop: &str, size: &str) -> Option<String> {
        built_in(crop, size).map(|found| found.words())
    }

    #[test]
    fn a_size_is_understood_by_its_crop() {
        for (crop, size, expected) in [
            ("peach", "AA", Some("AA")),
            ("Nectarine", "aaa", Some("AAA")),
            ("peach", "73 mm", Some("AA")),
            ("peach", "67-73 mm", Some("A")),
            ("peach", "2 1/2 in", Some("B")),
            ("peach", "2 3/4 in and up", Some("A")),
            ("peach", "2 1/2 to 2 3/4 inches", Some("B")),
            ("peach", "40s", Some("40")),
            ("nectarine", "54-56s", Some("54-56")),
            ("plum", "40", Some("40")),
            ("plum", "20-25s", Some("20-25")),
            ("apricot", "Jumbo", Some("jumbo")),
            ("plum", "AA", None),
            ("plum", "42", None),
            ("peach", "41", None),
            ("peach", "large", None),
            ("peach", "0 mm", None),
            ("peach", "1/0 in", None),
            ("persimmon", "40", None),
        ] {
            assert_eq!(words(crop, size).as_deref(), expected, "{crop} {size}");
        }
        assert_ne!(built_in("peach", "40"), built_in("plum", "40"), "different fruits");
    }

    #[test]
    fn packs_are_compared_by_the_pound() {
        let each = |price: &str, lb| by_the_pound(UnitPrice::round(dec(price)).unwrap(), Pounds::whole(lb).unwrap());
        assert!(each("16", 28) < each("15", 25), "the dearer box is the cheaper fruit");
        assert_eq!(each("16", 0), None);
    }
}
