//! Days of crews over all blocks of the operation: more hours than a day has, and the same work under
//! two blocks.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::names::Names;
use super::weeks::hours_each;
use super::{InBlock, blocks_of, most_people, references};
use crate::exact::Hours;
use crate::figure::{Gap, GapAbout};
use crate::records::LaborEntry;
use crate::say;

/// Millionths of an hour in a day.
const DAY: i64 = 24_000_000;
/// Hours of a person in a day beyond which equal entries under two blocks are taken for one that was
/// sent twice: common practice, no source.
const LONG_DAY: i64 = 12_000_000;

/// Asks about a named crew's days of more than 24 hours for each person, whatever blocks they stand
/// under, and about equal entries under two blocks that together make a very long day. A crew that
/// splits its day between two blocks is asked nothing. By day, then crew; the order of the entries does
/// not matter.
pub fn day_doubts(entries: &[InBlock<'_>]) -> Vec<Gap> {
    let names = Names::of(entries);
    let mut days: BTreeMap<(NaiveDate, String), Vec<InBlock<'_>>> = BTreeMap::new();
    for entry in entries.iter().filter(|entry| !entry.kept.record.crew.trim().is_empty()) {
        days.entry((entry.kept.record.date, entry.same_crew())).or_default().push(*entry);
    }
    days.into_iter()
        .filter_map(|((date, crew), mut own)| {
            own.sort_by_key(|entry| entry.kept.id);
            let day = Day::of(date, names.name(&crew), &own)?;
            day.too_long().or_else(|| day.twice())
        })
        .collect()
}

/// A crew's day.
struct Day<'d> {
    date: NaiveDate,
    crew: &'d str,
    people: u32,
    /// Hours of all people.
    hours: Hours,
    /// Hours of each.
    each: Hours,
    own: &'d [InBlock<'d>],
}

impl<'d> Day<'d> {
    /// `None` where an entry lacks its people or its hours: nothing can be said then.
    fn of(date: NaiveDate, crew: &'d str, own: &'d [InBlock<'d>]) -> Option<Self> {
        let hours: Option<Hours> = own.iter().map(|entry| entry.kept.record.hours).sum();
        Some(Self { date, crew, people: most_people(own)?, hours: hours?, each: hours_each(own)?, own })
    }

    fn too_long(&self) -> Option<Gap> {
        (self.hours.micros() > i64::from(self.people).saturating_mul(DAY)).then(|| {
            let what = format!(
                "The crew {}, {}, has {} h on {} in {}: more than 24 h each. Is the number of people wrong, or the hours?",
                self.crew,
                say::counted(self.people.into(), "person", "people"),
                say::number(self.hours.decimal()),
                say::day(self.date),
                say::list(&blocks_of(self.own)),
            );
            let mend = "Correct the hours, the people or the day of one of the entries.";
            say::worth_a_look(GapAbout::Labor, what, mend, references(self.own))
        })
    }

    /// Two entries alike under two blocks, in a day longer than crews work.
    fn twice(&self) -> Option<Gap> {
        if self.each.micros() <= LONG_DAY {
            return None;
        }
        let of = |entry: &LaborEntry| (entry.task, entry.method, entry.pass, entry.hours, entry.people);
        let alike = |a: &InBlock<'_>, b: &InBlock<'_>| a.block != b.block && of(&a.kept.record) == of(&b.kept.record);
        let same: Vec<InBlock<'_>> =
            self.own.iter().filter(|entry| self.own.iter().any(|other| alike(entry, other))).copied().collect();
        let first = &same.first()?.kept.record;
        let what = format!(
            "The crew {} has the same {} h on {} in {}, {} h each in all. Was one day sent twice, under two blocks?",
            self.crew,
            say::number(first.hours?.decimal()),
            say::day(self.date),
            say::list(&blocks_of(&same)),
            say::number(self.each.decimal()),
        );
        let mend = "Remove the one too many, or leave them if both are right.";
        Some(say::worth_a_look(GapAbout::Labor, what, mend, references(&same)))
    }
}
