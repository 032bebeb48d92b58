//! Counts that cannot be, or are read in a way that should be known: named by sample, with a question.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::counts::{each_sample, is_twice};
use crate::block::folded;
use crate::figure::{Gap, GapAbout, Kept, RecordKind, RecordRef};
use crate::records::FruitCount;
use crate::say;

/// Fruit on a tree, or on a tagged branch, above which the count is asked about: common practice, no
/// source.
const MANY: (u32, u32) = (20_000, 2_000);

/// What about single counts is worth a look, in order of sample.
pub(super) fn of(counts: &[Kept<FruitCount>]) -> Vec<Gap> {
    let grown = each_sample(counts).into_iter().filter_map(|own| grown(&own));
    let many = counts.iter().filter_map(many);
    let mut gaps: Vec<Gap> = grown.chain(twice(counts)).chain(many).collect();
    gaps.sort_by(|a, b| a.what.cmp(&b.what));
    gaps
}

fn gap<'r>(what: String, mend: &'static str, counts: impl IntoIterator<Item = &'r Kept<FruitCount>>) -> Gap {
    let records = counts.into_iter().map(|kept| RecordRef { kind: RecordKind::FruitCount, id: kept.id });
    say::worth_a_look(GapAbout::Thinning, what, mend, records)
}

fn fruit(n: u32) -> String {
    say::number(Decimal::from(n))
}

/// More fruit on a later day than an earlier count of the same tree or branch left.
fn grown(own: &[&Kept<FruitCount>]) -> Option<Gap> {
    let mut least: Option<(&Kept<FruitCount>, u32)> = None;
    for kept in own {
        let met = kept.record.before.or(kept.record.after);
        if let (Some((earlier, left)), Some(met)) = (least, met)
            && met > left
        {
            let what = format!(
                "Sample {} has {} fruit on {}, after {} on {}. Is it the same tree?",
                kept.record.sample.trim(),
                fruit(met),
                say::day(kept.record.date),
                fruit(left),
                say::day(earlier.record.date),
            );
            let mend = "Correct the counts, or give another tree another name.";
            return Some(gap(what, mend, [earlier, *kept]));
        }
        least = kept.record.after.or(kept.record.before).map(|left| (*kept, left)).or(least);
    }
    None
}

/// A name that stands twice on one day: each of its counts stands alone, as if they were two trees. A
/// name that stands more often is none ("tree").
fn twice(counts: &[Kept<FruitCount>]) -> Vec<Gap> {
    let mut days: BTreeMap<(bool, String, NaiveDate), Vec<&Kept<FruitCount>>> = BTreeMap::new();
    for kept in counts {
        let count = &kept.record;
        days.entry((count.branch, folded(&count.sample), count.date)).or_default().push(kept);
    }
    let ask = |((_, _, day), own): ((bool, String, NaiveDate), Vec<&Kept<FruitCount>>)| {
        let first = own.first().filter(|_| own.len() == 2 && is_twice(&own))?;
        let what = format!(
            "Sample {} stands twice on {}, and is taken for two. Was one tree counted twice?",
            first.record.sample.trim(),
            say::day(day),
        );
        Some(gap(what, "Remove one of the counts, or give the other tree another name.", own.iter().copied()))
    };
    days.into_iter().filter_map(ask).collect()
}

fn many(kept: &Kept<FruitCount>) -> Option<Gap> {
    let count = &kept.record;
    let most = if count.branch { MANY.1 } else { MANY.0 };
    let met = count.before.max(count.after).filter(|met| *met > most)?;
    let place = if count.branch { "branch" } else { "tree" };
    let what = format!(
        "Sample {} of {} has {} fruit on one {place}. Is that the count of one {place}?",
        count.sample.trim(),
        say::day(count.date),
        fruit(met),
    );
    Some(gap(what, "Correct the count.", [kept]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{date, kept};

    fn count(sample: &str, day: u32, before: Option<u32>, after: Option<u32>) -> FruitCount {
        FruitCount {
            date: date(5, day),
            sample: sample.into(),
            branch: false,
            before,
            after,
            shoot: None,
            fruit_diameter: None,
            method: None,
            note: String::new(),
        }
    }

    fn said(counts: Vec<FruitCount>) -> Vec<String> {
        of(&kept(counts)).into_iter().map(|gap| gap.what).collect()
    }

    #[test]
    fn fruit_that_grew_in_number_is_asked_about_by_name() {
        let second = count("B", 9, None, Some(900));
        let asked = said(vec![count("b", 3, Some(300), None), second]);
        assert_eq!(asked, ["Sample B has 900 fruit on 9 May, after 300 on 3 May. Is it the same tree?"]);
        assert!(said(vec![count("b", 3, Some(300), Some(90)), count("b", 12, Some(80), Some(70))]).is_empty());
        assert_eq!(said(vec![count("b", 3, Some(300), Some(90)), count("b", 12, Some(95), Some(70))]).len(), 1);
    }

    #[test]
    fn two_counts_of_one_name_on_one_day_are_asked_about_and_no_name_is_not() {
        let pair = |name: &str| [count(name, 3, Some(1_510), Some(420)), count(name, 3, Some(1_520), Some(430))];
        assert_eq!(
            said(pair("t1").to_vec()),
            ["Sample t1 stands twice on 3 May, and is taken for two. Was one tree counted twice?"]
        );
        let mut tree = pair("tree").to_vec();
        tree.push(count("tree", 3, Some(1_400), Some(380)));
        assert!(said(tree).is_empty());
    }

    #[test]
    fn a_count_no_tree_carries_is_asked_about() {
        let odd = count("9", 3, Some(999_999), Some(400));
        assert_eq!(
            said(vec![odd]),
            ["Sample 9 of 3 May has 999,999 fruit on one tree. Is that the count of one tree?"]
        );
    }
}
