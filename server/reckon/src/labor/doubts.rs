//! Entries that can hardly be as they stand: too many hours for a day, and the same work twice.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::references;
use crate::crew;
use crate::exact::Hours;
use crate::figure::{Gap, GapAbout, Kept};
use crate::records::{LaborEntry, Task, ThinningMethod};
use crate::say;

/// Millionths of an hour in a day.
const DAY: i64 = 24_000_000;

/// Asks about days of more than 24 hours for each of the people, and about entries that look sent twice.
pub(super) fn doubts(labor: &[Kept<LaborEntry>]) -> Vec<Gap> {
    let mut gaps = long_days(labor);
    gaps.extend(sent_twice(labor));
    gaps
}

/// A crew's day in the block, all tasks together. Without a number of people nothing can be said.
fn long_days(labor: &[Kept<LaborEntry>]) -> Vec<Gap> {
    let mut days: BTreeMap<(NaiveDate, String), Vec<&Kept<LaborEntry>>> = BTreeMap::new();
    for kept in labor.iter().filter(|kept| kept.record.hours.is_some()) {
        days.entry((kept.record.date, crew::key(&kept.record.crew))).or_default().push(kept);
    }
    days.into_iter().flat_map(|((date, _), own)| long_day(date, &own)).collect()
}

/// The crew's name as one of its entries spells it, whatever their order; empty where nobody wrote one.
fn spelt<'k>(own: &[&'k Kept<LaborEntry>]) -> &'k str {
    crew::each_once(own.iter().map(|kept| kept.record.crew.as_str())).first().copied().unwrap_or_default()
}

/// Entries of a named crew are one day of the same people; entries without a name stand alone.
fn long_day(date: NaiveDate, own: &[&Kept<LaborEntry>]) -> Vec<Gap> {
    let crew = spelt(own);
    let days: Vec<Vec<&Kept<LaborEntry>>> =
        if crew.is_empty() { own.iter().map(|kept| vec![*kept]).collect() } else { vec![own.to_vec()] };
    days.iter().filter_map(|day| too_long(date, crew, day)).collect()
}

fn too_long(date: NaiveDate, crew: &str, day: &[&Kept<LaborEntry>]) -> Option<Gap> {
    let people: Option<Vec<u32>> = day.iter().map(|kept| kept.record.people).collect();
    let people = people?.into_iter().max().filter(|people| *people > 0)?;
    let hours: Hours = day.iter().filter_map(|kept| kept.record.hours).sum();
    let most = i64::from(people).saturating_mul(DAY);
    (hours.micros() > most).then(|| {
        let who = if crew.is_empty() { "A crew".to_owned() } else { format!("The crew {crew}") };
        let what = format!(
            "{who}, {}, has {} h on {}: more than 24 h each. Is the number of people wrong, or the hours?",
            say::counted(people.into(), "person", "people"),
            say::number(hours.decimal()),
            say::day(date),
        );
        say::worth_a_look(GapAbout::Labor, what, "Correct the hours or the people of the entry.", references(day))
    })
}

type Same = (NaiveDate, Task, Option<ThinningMethod>, Option<u8>, String, Hours);

/// The same day, task, method, pass, crew and hours. Two crews without a name may well do the same, so
/// those are asked about only when the people and the trees are the same too.
fn sent_twice(labor: &[Kept<LaborEntry>]) -> Vec<Gap> {
    let mut alike: BTreeMap<Same, Vec<&Kept<LaborEntry>>> = BTreeMap::new();
    for kept in labor {
        let entry = &kept.record;
        if let Some(hours) = entry.hours {
            let same = (entry.date, entry.task, entry.method, entry.pass, crew::key(&entry.crew), hours);
            alike.entry(same).or_default().push(kept);
        }
    }
    alike.into_values().filter(|own| own.len() > 1).filter_map(|own| twice(&own)).collect()
}

fn twice(own: &[&Kept<LaborEntry>]) -> Option<Gap> {
    let first = &own.first()?.record;
    let crew = spelt(own);
    let equal =
        |kept: &&Kept<LaborEntry>| (kept.record.people, kept.record.trees_done) == (first.people, first.trees_done);
    if crew.is_empty() && !own.iter().all(equal) {
        return None;
    }
    let who = if crew.is_empty() { String::new() } else { format!(" by {crew}") };
    let what = format!(
        "{} {} entries of {}{who} have the same {} h. Was the same day entered twice?",
        own.len(),
        say::work(first.task),
        say::day(first.date),
        say::number(first.hours?.decimal()),
    );
    let mend = "Remove the one too many, or leave them if the work was done twice.";
    Some(say::worth_a_look(GapAbout::Labor, what, mend, references(own)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figure::GapWeight;
    use crate::testing::{date, dec, kept, labor_entry};

    fn day(crew: &str, people: u32, hours: &str) -> LaborEntry {
        LaborEntry { crew: crew.into(), people: Some(people), ..labor_entry(Task::Thin, hours, "15") }
    }

    fn said(entries: Vec<LaborEntry>) -> Vec<String> {
        let gaps = doubts(&kept(entries));
        assert!(gaps.iter().all(|gap| gap.weight == GapWeight::WorthALook && !gap.mend.is_empty()));
        gaps.into_iter().map(|gap| gap.what).collect()
    }

    #[test]
    fn a_person_has_24_hours_in_a_day() {
        assert!(said(vec![day("Step", 1, "24")]).is_empty());
        assert_eq!(
            said(vec![day("Step", 1, "25")]),
            [
                "The crew Step, 1 person, has 25 h on 14 May: more than 24 h each. Is the number of people wrong, or the \
                 hours?"
            ]
        );
        // Two tasks of one crew on one day are one day of the same people.
        let other = LaborEntry { task: Task::Prune, ..day("Step", 2, "30") };
        assert_eq!(said(vec![day("Step", 2, "20"), other.clone()]).len(), 1);
        let next = LaborEntry { date: date(5, 15), ..other };
        assert!(said(vec![day("Step", 2, "20"), next]).is_empty());
        assert!(said(vec![LaborEntry { people: None, ..day("Step", 1, "90") }]).is_empty());
    }

    #[test]
    fn the_same_entry_twice_is_asked_about() {
        let twice = said(vec![day("Step", 6, "48"), day("step crew ", 6, "48")]);
        assert_eq!(twice, ["2 thinning entries of 14 May by Step have the same 48 h. Was the same day entered twice?"]);
        let other = LaborEntry { pass: Some(2), ..day("Step", 6, "48") };
        assert!(said(vec![day("Step", 6, "48"), other]).is_empty());
        assert!(said(vec![day("Step", 6, "48"), day("Ditch", 6, "48")]).is_empty());
    }

    #[test]
    fn crews_without_a_name_are_the_same_only_if_all_else_is() {
        let trees = |count| LaborEntry { trees_done: Some(count), ..day("", 6, "48") };
        assert!(said(vec![trees(200), trees(180)]).is_empty());
        assert_eq!(said(vec![trees(200), trees(200)]).len(), 1);
        let short = LaborEntry { hours: Some(Hours::new(dec("47.5")).unwrap()), ..trees(200) };
        assert!(said(vec![trees(200), short]).is_empty());
    }
}
