//! An operation's own size list: its words, small to large, and the published size each stands for.
//!
//! A packing shed has its own words, and another shed has others. Own words keep the order the list
//! gives them; by what they stand for, fruit of two sheds is compared, and a settlement in the
//! buyer's words finds the boxes that were packed in the shed's.

use core::cmp::Ordering;
use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::mapping::{BuiltIn, built_in};
use super::order;
use crate::block::Season;
use crate::figure::{Gap, GapAbout, Kept, RecordKind, RecordRef};
use crate::say;

/// One size of an operation's own list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OwnSize {
    /// First day it holds; the latest that holds in a season counts.
    pub from: NaiveDate,
    /// Crop it is for; `None` for all.
    pub crop: Option<String>,
    /// The words of the packing shed: "big ones".
    pub size_class: String,
    /// Its place among the others of its crop, 1 the smallest.
    pub place: u32,
    /// Words of a published list: "AAA", "73 mm", "40-45"; `None` where it stands for none.
    pub means: Option<String>,
    /// Free text.
    pub note: String,
}

/// The own list that holds for a crop in a season.
#[derive(Debug, Clone, Default)]
pub struct OwnList<'r> {
    crop: &'r str,
    sizes: BTreeMap<String, &'r OwnSize>,
}

impl<'r> OwnList<'r> {
    /// Of the sizes that hold by the season's last day: what is for the crop goes before what is for
    /// all, then the latest, then the one that stands for the smaller size.
    pub fn of(sizes: &'r [Kept<OwnSize>], crop: &'r str, season: &Season) -> Self {
        let hold = holding(sizes, crop, season);
        Self { crop, sizes: hold.into_iter().map(|kept| (key(&kept.record.size_class), &kept.record)).collect() }
    }

    fn own(&self, words: &str) -> Option<&'r OwnSize> {
        self.sizes.get(&key(words)).copied()
    }

    /// The published size that words stand for: as the own list says, else as they sound.
    pub fn class(&self, words: &str) -> Option<BuiltIn> {
        match self.own(words) {
            Some(own) => built_in(self.crop, own.means.as_deref()?),
            None => built_in(self.crop, words),
        }
    }

    /// Whether the own list names the words and says what they stand for.
    pub fn maps(&self, words: &str) -> bool {
        self.own(words).is_some() && self.class(words).is_some()
    }

    /// Whether two words name one size: the same words, or one of them is listed and both stand for
    /// the same published size.
    pub fn same(&self, a: &str, b: &str) -> bool {
        let listed = || self.own(a).is_some() || self.own(b).is_some();
        a.trim() == b.trim() || (listed() && self.class(a).is_some_and(|class| self.class(b) == Some(class)))
    }

    /// Small to large: own sizes as listed, then all others as [`order`] has them.
    pub fn order(&self, a: &str, b: &str) -> Ordering {
        match (self.own(a), self.own(b)) {
            (Some(a_own), Some(b_own)) => a_own.place.cmp(&b_own.place).then_with(|| order(a, b)),
            (Some(_), None) => Ordering::Less,
            (None, Some(_)) => Ordering::Greater,
            (None, None) => order(a, b),
        }
    }
}

/// The sizes that may hold for a crop in a season, of those with the same words the one that holds last.
fn holding<'r>(sizes: &'r [Kept<OwnSize>], crop: &str, season: &Season) -> Vec<&'r Kept<OwnSize>> {
    let fits = |own: &Option<String>| own.as_ref().is_none_or(|own| own.trim().eq_ignore_ascii_case(crop.trim()));
    let mut hold: Vec<&Kept<OwnSize>> =
        sizes.iter().filter(|kept| kept.record.from <= season.last_day && fits(&kept.record.crop)).collect();
    hold.sort_by(|a, b| {
        let ranks = rank(&a.record).cmp(&rank(&b.record));
        ranks.then_with(|| by_meaning(&b.record, &a.record, crop)).then(a.id.cmp(&b.id))
    });
    hold
}

const fn rank(size: &OwnSize) -> (bool, NaiveDate) {
    (size.crop.is_some(), size.from)
}

/// Small to large by what two sizes stand for, one that stands for none first, then by place.
fn by_meaning(a: &OwnSize, b: &OwnSize, crop: &str) -> Ordering {
    let class = |size: &OwnSize| built_in(crop, size.means.as_deref()?).map(|class| class.words());
    let meaning = match (class(a), class(b)) {
        (Some(a), Some(b)) => order(&a, &b),
        (a, b) => a.is_some().cmp(&b.is_some()),
    };
    meaning.then(a.place.cmp(&b.place)).then_with(|| a.means.cmp(&b.means))
}

/// Sizes of the same words that hold from one day and stand for different ones: nobody may have meant both.
pub(crate) fn doubled(sizes: &[Kept<OwnSize>], crop: &str, season: &Season) -> Vec<Gap> {
    let mut by_words: BTreeMap<String, Vec<&Kept<OwnSize>>> = BTreeMap::new();
    for kept in holding(sizes, crop, season) {
        by_words.entry(key(&kept.record.size_class)).or_default().push(kept);
    }
    by_words.values().filter_map(|own| twice(own)).collect()
}

fn twice(own: &[&Kept<OwnSize>]) -> Option<Gap> {
    let holds = own.last()?;
    let differs = |kept: &&&Kept<OwnSize>| {
        let said = |size: &OwnSize| (size.place, size.means.as_deref().map(key));
        rank(&kept.record) == rank(&holds.record) && said(&kept.record) != said(&holds.record)
    };
    let other = own.iter().rev().find(differs)?;
    let said = |size: &OwnSize| {
        let means =
            size.means.as_deref().map_or_else(|| "no published size".to_owned(), |means| means.trim().to_owned());
        format!("{means} at place {}", size.place)
    };
    let what = format!(
        "The operation's own size {} stands twice from {}: for {}, and for {}. The smaller one is used.",
        holds.record.size_class.trim(),
        say::full_day(holds.record.from),
        said(&holds.record),
        said(&other.record),
    );
    let refs = [holds, other].map(|kept| RecordRef { kind: RecordKind::Size, id: kept.id });
    Some(say::missing(GapAbout::Price, what, "Remove the size that is wrong.", refs))
}

/// Capitals and spaces around words do not matter.
fn key(words: &str) -> String {
    words.trim().to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{date, kept, records};

    fn own(crop: Option<&str>, words: &str, place: u32, means: Option<&str>) -> OwnSize {
        OwnSize {
            from: date(1, 1),
            crop: crop.map(Into::into),
            size_class: words.into(),
            place,
            means: means.map(Into::into),
            note: String::new(),
        }
    }

    fn shed() -> Vec<Kept<OwnSize>> {
        kept([
            own(Some("peach"), "Tiny", 1, Some("C")),
            own(Some("peach"), "Fair", 2, Some("A")),
            own(Some("Peach "), "Grand", 3, Some("73 mm")),
            own(None, "40", 4, Some("AAA")),
            own(None, "odd lot", 5, None),
        ])
    }

    fn words(list: &OwnList<'_>, size: &str) -> Option<String> {
        list.class(size).map(|class| class.words())
    }

    #[test]
    fn own_words_stand_for_published_sizes() {
        let (shed, season) = (shed(), records().season);
        let list = OwnList::of(&shed, "peach", &season);
        assert_eq!(words(&list, " grand").as_deref(), Some("AA"), "73 mm");
        assert_eq!(words(&list, "40").as_deref(), Some("AAA"), "the list goes before the sound");
        assert_eq!(words(&list, "54").as_deref(), Some("54"), "a tray count, not listed");
        assert_eq!((words(&list, "odd lot"), words(&list, "smallish")), (None, None));
        assert!(list.maps("Tiny") && !list.maps("odd lot") && !list.maps("A"));
        assert!(list.same("Grand", "AA") && list.same("A", "fair") && list.same("odd lot", "odd lot"));
        assert!(!list.same("Grand", "A") && !list.same("odd lot", "A") && !list.same("AA", "73 mm"));
    }

    #[test]
    fn own_sizes_stand_as_listed_and_before_the_others() {
        let (shed, season) = (shed(), records().season);
        let list = OwnList::of(&shed, "peach", &season);
        let mut sizes = vec!["AA", "Grand", "loose", "Fair", "D", "tiny", "40"];
        sizes.sort_by(|a, b| list.order(a, b));
        assert_eq!(sizes, ["tiny", "Fair", "Grand", "40", "D", "AA", "loose"]);
        let plums = OwnList::of(&shed, "plum", &season);
        assert_eq!(words(&plums, "Grand"), None, "a peach size");
        assert!(OwnList::of(&shed[..2], "plum", &season).sizes.is_empty());
    }

    #[test]
    fn words_listed_twice_from_one_day_are_named_and_the_smaller_size_holds_in_any_order() {
        let season = records().season;
        let mut two = [own(None, "Grand", 3, Some("AAA")), own(Some("plum"), "Grand", 9, Some("40"))].to_vec();
        two.push(own(None, "grand ", 4, Some("AA")));
        let said = "The operation's own size grand stands twice from 1 January 2026: for AA at place 4, and for AAA at \
                    place 3. The smaller one is used.";
        for _ in 0..2 {
            two.reverse();
            let list = kept(two.clone());
            assert_eq!(words(&OwnList::of(&list, "peach", &season), "Grand").as_deref(), Some("AA"));
            let gaps = doubled(&list, "peach", &season);
            assert_eq!((gaps.len(), gaps[0].what.as_str(), gaps[0].records.len()), (1, said, 2));
        }
        assert!(doubled(&kept([two[0].clone(), two[0].clone()]), "peach", &season).is_empty(), "they say the same");
        let later = OwnSize { from: date(6, 1), ..own(None, "Grand", 5, Some("A")) };
        two.push(later);
        assert!(doubled(&kept(two), "peach", &season).is_empty(), "neither of them holds");
    }

    #[test]
    fn the_latest_that_holds_in_the_season_counts() {
        let season = records().season;
        let later = OwnSize { from: date(6, 1), ..own(Some("peach"), "Grand", 3, Some("AAA")) };
        let next_year =
            OwnSize { from: season.last_day.succ_opt().unwrap(), ..own(Some("peach"), "Grand", 3, Some("AAAA")) };
        let general = OwnSize { from: date(7, 1), ..own(None, "Grand", 9, Some("D")) };
        let mut list = shed();
        list.extend(kept([next_year, later, general]));
        list.reverse();
        assert_eq!(words(&OwnList::of(&list, "peach", &season), "Grand").as_deref(), Some("AAA"));
    }
}
