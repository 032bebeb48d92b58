//! Which thinning the fruit counts can have seen, and how much of the block was thinned.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::trees;
use crate::figure::Kept;
use crate::records::{LaborEntry, Task};
use crate::season::{SeasonRecords, TreesFrom};

/// Passes that had begun by the last count of fruit left. What a later one took off nobody counted. Fruit left
/// is never counted before any thinning, so the first pass is among them whatever the days say.
pub(crate) struct Spanned {
    /// Day of the last count, and the day up to which work is taken for counted.
    last: Option<(NaiveDate, NaiveDate)>,
    begun: BTreeMap<u8, NaiveDate>,
}

/// An entry without a pass this many days after the last count is taken for one of a later pass: common
/// practice, no source.
const SAME_PASS_DAYS: i64 = 7;

impl Spanned {
    pub(crate) fn of(records: &SeasonRecords) -> Self {
        let counted = records.fruit_counts.iter().filter(|kept| kept.record.after.is_some());
        let mut begun: BTreeMap<u8, NaiveDate> = BTreeMap::new();
        for entry in thinning(records).map(|kept| &kept.record) {
            if let Some(pass) = entry.pass {
                let first = begun.entry(pass).or_insert(entry.date);
                *first = entry.date.min(*first);
            }
        }
        let start = thinning(records).map(|kept| kept.record.date).min();
        let last = counted.map(|kept| kept.record.date).max();
        Self { last: last.map(|last| (last, start.map_or(last, |start| start.max(last)))), begun }
    }

    /// Whether the counts can have seen this work. Without counts there is nothing it could be missing from.
    pub(crate) fn holds(&self, entry: &LaborEntry) -> bool {
        let Some((_, last)) = self.last else { return true };
        match entry.pass.and_then(|pass| self.begun.get(&pass)) {
            Some(first) => *first <= last,
            None => (entry.date - last).num_days() <= SAME_PASS_DAYS,
        }
    }

    /// First day of thinning that no count of fruit left followed, and the day of the last count.
    pub(crate) fn thinned_after(&self, records: &SeasonRecords) -> Option<(NaiveDate, NaiveDate)> {
        let unseen = thinning(records).map(|kept| &kept.record).filter(|entry| !self.holds(entry));
        unseen.map(|entry| entry.date).min().zip(self.last.map(|(last, _)| last))
    }

    /// Day of the last count of fruit left and the first day of thinning, where the count comes first.
    pub(crate) fn counted_before(&self) -> Option<(NaiveDate, NaiveDate)> {
        self.last.filter(|(last, to)| last < to)
    }
}

/// Share of a block's trees from which it counts as thinned whole, percent: common practice, no source.
const WHOLE_PCT: u64 = 95;

/// Whether so many of a block's trees are its trees, as far as a pass goes.
pub(crate) const fn is_whole(own: u64, all: u32) -> bool {
    own.saturating_mul(100) >= (all as u64).saturating_mul(WHOLE_PCT)
}

/// Trees thinned and bearing trees of a block that is thinned in part; `None` where it is thinned whole, or an
/// entry leaves its trees out.
pub(crate) fn thinned_in_part(records: &SeasonRecords) -> Option<(u64, u32)> {
    let all = records.block.trees.filter(|all| *all > 0)?;
    let thin: Vec<&Kept<LaborEntry>> = thinning(records).collect();
    let own = trees::in_block(&thin, &records.block).filter(|_| !thin.is_empty())?;
    let told = !own.assumed || matches!(own.from, TreesFrom::Rows(_));
    (told && !is_whole(own.count, all) && own.count > 0).then_some((own.count, all))
}

fn thinning(records: &SeasonRecords) -> impl Iterator<Item = &Kept<LaborEntry>> {
    records.labor.iter().filter(|kept| kept.record.task == Task::Thin)
}

#[cfg(test)]
mod tests {
    use crate::records::{FruitCount, LaborEntry, Task};
    use crate::season::{BlockSeason, SeasonRecords};
    use crate::testing::{date, kept, labor_entry, records};

    fn count(month: u32, day: u32) -> FruitCount {
        FruitCount {
            date: date(month, day),
            sample: "1".into(),
            branch: false,
            before: Some(900),
            after: Some(300),
            shoot: None,
            fruit_diameter: None,
            method: None,
            note: String::new(),
        }
    }

    fn pass(number: Option<u8>, (month, day): (u32, u32), trees: u32) -> LaborEntry {
        LaborEntry {
            date: date(month, day),
            pass: number,
            trees_done: Some(trees),
            ..labor_entry(Task::Thin, "100", "20")
        }
    }

    fn season(labor: impl IntoIterator<Item = LaborEntry>, counts: &[FruitCount]) -> BlockSeason {
        let mut season: SeasonRecords = records();
        season.labor = kept(labor);
        season.fruit_counts = kept(counts.to_vec());
        crate::reckon(&season)
    }

    fn thousand(season: &BlockSeason) -> String {
        let each = season.labor.cost_per_thousand_removed.as_ref().unwrap();
        crate::money::round_half_away(each.value.decimal(), 4).normalize().to_string()
    }

    /// 2,000 dollars took 600 fruit off each of 1,000 trees; what the second look took nobody counted.
    #[test]
    fn a_pass_after_the_last_count_is_not_in_the_cost_of_its_fruit() {
        let first = || pass(Some(1), (5, 4), 1_000);
        let one = season([first()], &[count(5, 4)]);
        assert_eq!(thousand(&one), "3.3333");
        for later in [Some(2), None] {
            let two = season([first(), pass(later, (6, 10), 1_000)], &[count(5, 4)]);
            assert_eq!(thousand(&two), "3.3333");
            assert!(two.labor.thinning.as_ref().unwrap().cost_per_thousand.is_none(), "not of all thinning");
            assert!(two.labor.passes[0].measure.cost_per_thousand.is_some(), "but of the pass that was counted");
            assert!(two.labor.passes[1].measure.cost_per_thousand.is_none());
            let said = two.thinning.samples_say();
            assert!(
                said.iter().any(|line| line.starts_with("Thinned again from 10 June, after the last count, 4 May"))
            );
            let again = season([first(), pass(later, (6, 10), 1_000)], &[count(6, 12)]);
            assert_eq!(thousand(&again), "6.6667");
            assert_eq!(again.thinning.again_from, None);
        }
        let asked = |day| {
            let late = season([pass(Some(1), (5, 20), 1_000)], &[count(5, day)]);
            assert_eq!(thousand(&late), "3.3333", "the day of one of them is wrong");
            late.gaps.iter().any(|gap| gap.what == "Fruit left was counted on 4 May, before thinning began on 20 May.")
        };
        assert!(asked(4) && !asked(20));
    }

    /// 500 of 1,000 trees went from 900 to 300 fruit; the others still bear 900.
    #[test]
    fn a_block_thinned_in_part_keeps_the_fruit_of_the_other_trees() {
        let half = season([pass(Some(1), (5, 4), 500)], &[count(5, 4)]);
        let fruit = |figure: Option<&crate::figure::Figure<crate::units::Count>>| figure.unwrap().value.get();
        assert!((fruit(half.thinning.removed_in_block.as_ref()) - 300_000.0).abs() < 1e-6);
        assert!((fruit(half.thinning.crop.as_ref()) - 600_000.0).abs() < 1e-6);
        assert_eq!(thousand(&half), "6.6667", "2,000 dollars over 300,000 fruit");
        assert!(half.thinning.when_says()[0].starts_with("500 of the 1,000 trees are thinned"));
        let whole = season([pass(Some(1), (5, 4), 980)], &[count(5, 4)]);
        assert!((fruit(whole.thinning.crop.as_ref()) - 300_000.0).abs() < 1e-6);
        assert_eq!(whole.thinning.in_part, None);
        // Nobody counted what the other trees set.
        let after = season([pass(Some(1), (5, 4), 500)], &[FruitCount { before: None, ..count(5, 4) }]);
        assert_eq!(after.thinning.crop, None);
    }
}
