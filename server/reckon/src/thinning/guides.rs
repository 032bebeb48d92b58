//! What bulletins print on spacing: shown beside what was measured where the operation wants nothing of
//! its own, and never a target. They differ by a factor of two; "early", "mid" and "late" are their own
//! words, and none of them gives days.

use crate::season::ThinningSeason;
use crate::units::{Inches, Millimetres};

/// The unit a guide is printed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GuideUnit {
    /// Inches between fruit.
    Inches,
    /// Centimetres between fruit.
    Centimetres,
    /// Fruit on a lateral.
    Lateral,
}

/// Where a guide is printed.
#[derive(Debug, PartialEq, Eq)]
pub struct Source {
    /// Title of the page, article or book.
    pub title: &'static str,
    /// Who published it, or in what.
    pub published: &'static str,
    /// Year as printed; `None` for an undated page.
    pub year: Option<u16>,
}

/// A published range.
#[derive(Debug, PartialEq)]
pub struct Guide {
    /// Row of `fixtures/published/thinning/guidelines.csv`.
    pub id: &'static str,
    /// Crop, in the words of the guide.
    pub crop: &'static str,
    /// "early", "mid" or "late", in the words of the guide; `None` for all.
    pub ripening: Option<&'static str>,
    /// Low end, as printed.
    pub low: f64,
    /// High end, as printed.
    pub high: f64,
    /// Unit as printed.
    pub unit: GuideUnit,
    /// Where it is printed.
    pub source: &'static Source,
}

const UC_MONTHLY: Source = Source {
    title: "Fruit Thinning, monthly tip",
    published: "UC Master Gardeners, Santa Clara County, UC ANR",
    year: None,
};
const UC_HELPLINE: Source =
    Source { title: "Helpline FAQ: Thinning Fruit", published: "UC ANR, UC ANR blog", year: None };
const UC_PLUMS: Source =
    Source { title: "Thinning plums", published: "UC Statewide IPM Program, UC IPM", year: Some(2017) };
const ORGANIC: Source =
    Source { title: "Growing Organic Orchard Fruits", published: "book excerpt, page 691", year: None };
const MISSOURI: Source = Source {
    title: "Peach Thinning",
    published: "Missouri State Fruit Experiment Station, station blog",
    year: Some(2017),
};
const MARINI: Source = Source {
    title: "Peach fruit weight, yield, and crop value are affected by number of fruiting shoots per tree",
    published: "Marini RP, HortScience 38(4):512-514",
    year: Some(2003),
};
const CROPPING: Source = Source {
    title: "Cropping potential (Figure 1), guide for peach and nectarine",
    published: "Good Fruit Grower, December 2012",
    year: Some(2012),
};

const fn spacing(id: &'static str, crop: &'static str, (low, high): (f64, f64), source: &'static Source) -> Guide {
    Guide { id, crop, ripening: None, low, high, unit: GuideUnit::Inches, source }
}

const fn lateral(id: &'static str, ripening: &'static str, fruit: f64) -> Guide {
    let (crop, unit) = ("peach, nectarine", GuideUnit::Lateral);
    Guide { id, crop, ripening: Some(ripening), low: fruit, high: fruit, unit, source: &CROPPING }
}

/// Every guide, each with its source.
pub const GUIDES: [Guide; 13] = [
    spacing("G01", "peach, nectarine", (3.0, 5.0), &UC_MONTHLY),
    spacing("G02", "apricot, plum", (2.0, 4.0), &UC_MONTHLY),
    spacing("G03", "peach, nectarine", (5.0, 7.0), &UC_HELPLINE),
    spacing("G04", "apricot and hybrids near it", (3.0, 5.0), &UC_HELPLINE),
    spacing("G05", "plum and hybrids near it", (4.0, 6.0), &UC_HELPLINE),
    spacing("G06", "Japanese plum", (4.0, 6.0), &UC_PLUMS),
    spacing("G07", "European plum", (2.0, 4.0), &ORGANIC),
    spacing("G08", "Japanese plum", (3.0, 4.0), &ORGANIC),
    spacing("G09", "peach", (6.0, 8.0), &MISSOURI),
    Guide { unit: GuideUnit::Centimetres, ..spacing("G10", "peach", (15.0, 20.0), &MARINI) },
    lateral("G15", "early", 1.0),
    lateral("G16", "mid", 2.0),
    lateral("G17", "late", 3.0),
];

impl Guide {
    /// The ends in inches; `None` for fruit on a lateral.
    pub fn inches(&self) -> Option<(Inches, Inches)> {
        let both = |inches: fn(f64) -> Inches| Some((inches(self.low), inches(self.high)));
        match self.unit {
            GuideUnit::Inches => both(Inches::of),
            GuideUnit::Centimetres => both(|cm| Millimetres::of(cm * 10.0).to_inches()),
            GuideUnit::Lateral => None,
        }
    }

    /// "peach: 6 to 8 in", "peach: 15 to 20 cm (5.9 to 7.9 in)", "peach, nectarine, early: 1 fruit on a lateral".
    pub fn words(&self) -> String {
        let ripening = self.ripening.map(|word| format!(", {word}")).unwrap_or_default();
        let (crop, low, high) = (self.crop, self.low, self.high);
        match (self.unit, self.inches()) {
            (GuideUnit::Centimetres, Some((from, to))) => {
                format!("{crop}{ripening}: {low} to {high} cm ({:.1} to {:.1} in)", from.get(), to.get())
            }
            (GuideUnit::Lateral, _) => format!("{crop}{ripening}: {low} fruit on a lateral"),
            _ => format!("{crop}{ripening}: {low} to {high} in"),
        }
    }
}

impl Source {
    /// "Peach Thinning, Missouri State Fruit Experiment Station, station blog, 2017".
    pub fn words(&self) -> String {
        let year = self.year.map_or_else(|| "undated".to_owned(), |year| year.to_string());
        format!("{}, {}, {year}", self.title, self.published)
    }
}

/// Guides for a crop: those that name a stone fruit its name holds.
pub fn of_crop(crop: &str) -> Vec<&'static Guide> {
    const NAMES: [&str; 4] = ["peach", "nectarine", "apricot", "plum"];
    let crop = crop.to_lowercase();
    let names: Vec<&str> = NAMES.into_iter().filter(|name| crop.contains(name)).collect();
    GUIDES.iter().filter(|guide| names.iter().any(|name| guide.crop.contains(name))).collect()
}

impl ThinningSeason {
    /// What the guides beside the measured spacing say together: "Published guides of spacing: 3 to 5, 5 to 7 and 6
    /// to 8 in. They disagree; none is a target." `None` where none stand there.
    pub fn guides_say(&self) -> Option<String> {
        let ends = self.guide_ends();
        let least = ends.iter().map(|(low, _)| *low).reduce(f64::min)?;
        let most = ends.iter().map(|(low, _)| *low).reduce(f64::max)?;
        let mut ranges: Vec<String> = Vec::new();
        for (low, high) in ends {
            let range = format!("{} to {}", round(low), round(high));
            if !ranges.contains(&range) {
                ranges.push(range);
            }
        }
        let apart = if most >= least * 2.0 { "disagree by a factor of two" } else { "disagree" };
        let agree = if ranges.len() > 1 { format!("They {apart}, and none") } else { "It".into() };
        Some(format!("Published guides of spacing: {} in. {agree} is a target.", ranges.join(", ")))
    }

    /// Least and most inches of each guide that gives them.
    pub(super) fn guide_ends(&self) -> Vec<(f64, f64)> {
        self.guides.iter().filter_map(|guide| guide.inches()).map(|(low, high)| (low.get(), high.get())).collect()
    }
}

/// One decimal place, none for a whole number.
fn round(inches: f64) -> String {
    let text = format!("{inches:.1}");
    text.strip_suffix(".0").map_or_else(|| text.clone(), str::to_owned)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_crop_has_the_guides_that_name_it() {
        let ids = |crop| of_crop(crop).iter().map(|guide| guide.id).collect::<Vec<_>>().join(" ");
        assert_eq!(ids("Peach"), "G01 G03 G09 G10 G15 G16 G17");
        assert_eq!(ids("nectarine"), "G01 G03 G15 G16 G17");
        assert_eq!(ids("apricot"), "G02 G04");
        assert_eq!(ids("plum hybrid"), "G02 G05 G06 G07 G08");
        assert_eq!(ids("persimmon"), "");
    }

    #[test]
    fn guides_are_said_in_inches_and_in_their_own_words() {
        let words = |id| GUIDES.iter().find(|guide| guide.id == id).unwrap().words();
        assert_eq!(words("G09"), "peach: 6 to 8 in");
        assert_eq!(words("G10"), "peach: 15 to 20 cm (5.9 to 7.9 in)");
        assert_eq!(words("G15"), "peach, nectarine, early: 1 fruit on a lateral");
        let season = |crop| ThinningSeason { guides: of_crop(crop), ..ThinningSeason::default() };
        assert_eq!(
            season("peach").guides_say().unwrap(),
            "Published guides of spacing: 3 to 5, 5 to 7, 6 to 8, 5.9 to 7.9 in. They disagree by a factor of two, and \
             none is a target."
        );
        assert_eq!(
            season("nectarine").guides_say().unwrap(),
            "Published guides of spacing: 3 to 5, 5 to 7 in. They disagree, and none is a target."
        );
        assert_eq!(season("persimmon").guides_say(), None);
    }
}
