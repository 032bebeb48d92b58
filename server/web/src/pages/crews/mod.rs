//! Crews' weeks and days over every block: hours, overtime by the workweek, and what to look at.

#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use askama::Template;
use print::{figures, words};
use reckon::exact::Hours;
use reckon::field_rules::FieldRules;
use reckon::figure::{Gap, Kept, RecordId, RecordKind};
use reckon::rates::Rates;
use reckon::records::LaborEntry;
use reckon::season::HowReckoned;
use reckon::wages::{self, CrewWeek, InBlock, LeftOut};
use store::{BlockId, CrewLabor, Right};
use uuid::Uuid;

use crate::display::{self, shown};
use crate::extract::{Reading, SeasonAt};
use crate::pages::{Page, show};
use crate::routes::to;
use crate::shell::Shell;

/// Crews of a season.
#[derive(Template)]
#[template(path = "crews/show.html")]
pub struct CrewsPage {
    shell: Shell,
    year: i32,
    threshold: String,
    /// "Monday to Sunday".
    span: String,
    money: bool,
    /// Weeks to look at; where there are none the newest.
    front: Vec<WeekRow>,
    /// The others, folded away.
    rest: Vec<WeekRow>,
    /// "17 of 42 weeks of crews", where hours stand above the limit that were not entered as overtime.
    short: Option<String>,
    doubts: Vec<DoubtLine>,
    /// Entries in none of the weeks; only for who sees money.
    left_out: Vec<LeftOutRow>,
    how: Vec<HowReckoned>,
}

/// One crew's week.
struct WeekRow {
    week: String,
    crew: String,
    /// Each block, with its labor.
    blocks: Vec<(Option<String>, String)>,
    people: String,
    each: String,
    over: String,
    entered: String,
    by_entry: String,
    straight: String,
    premium: String,
    by_week: String,
    /// More hours above the limit than were entered as overtime.
    short: bool,
}

/// An entry in none of the weeks.
struct LeftOutRow {
    day: String,
    crew: String,
    /// Address of the entry, and its block and hours.
    entry: (String, String),
    pay: String,
    why: &'static str,
}

/// What to look at, with the entries it speaks of.
pub(crate) struct DoubtLine {
    pub(crate) what: String,
    pub(crate) mend: String,
    /// Address of each entry, and its block and hours.
    pub(crate) entries: Vec<(String, String)>,
}

impl CrewsPage {
    /// From the labor of a season's weeks, newest week first.
    pub fn of(shell: Shell, year: i32, labor: &CrewLabor, rules: &FieldRules) -> Self {
        let entries = in_blocks(labor);
        let rule = rules.week();
        let found = wages::crew_weeks(&entries, Rates::new(&labor.rates), rule);
        let places = places(labor.entries.iter().map(|entry| (entry.block, entry.code.as_str(), &entry.entry)));
        let lists = lists(year, labor);
        let (front, rest) = in_sight(&found.weeks);
        let money = shell.may(Right::SeeMoney);
        let mut doubts = wages::day_doubts(&entries);
        if money {
            doubts.extend(wages::week_doubts(&found.weeks));
        }
        Self {
            money,
            doubts: doubts.iter().map(|gap| doubt(year, gap, &places)).collect(),
            left_out: found.left_out.iter().filter(|_| money).filter_map(|one| left_out(year, one, &places)).collect(),
            short: short(&found.weeks),
            front: front.into_iter().map(|week| week_row(week, &lists)).collect(),
            rest: rest.into_iter().map(|week| week_row(week, &lists)).collect(),
            threshold: figures::plain(rule.threshold),
            span: rule.words(),
            how: wages::how(),
            shell: shell.below(to::due(year)),
            year,
        }
    }
}

/// GET /season/{year}/crews
pub async fn crews_page(reading: Reading, at: SeasonAt, shell: Shell) -> Page {
    let desk = reading.desk();
    let labor = desk.crew_labor(at.year).await?;
    let rules = desk.field_rules().await?;
    show(&CrewsPage::of(shell, at.year, &labor, &rules))
}

fn in_blocks(labor: &CrewLabor) -> Vec<InBlock<'_>> {
    labor.entries.iter().map(|entry| InBlock { block: &entry.code, kept: &entry.entry }).collect()
}

/// Where each entry stands, and its block and hours in words.
pub(crate) type EntryPlaces = BTreeMap<RecordId, (BlockId, String)>;

/// From entries with their blocks. Two entries of one block are told apart by their hours.
pub(crate) fn places<'e>(entries: impl Iterator<Item = (BlockId, &'e str, &'e Kept<LaborEntry>)>) -> EntryPlaces {
    let words = |code: &str, entry: &LaborEntry| {
        entry.hours.map_or_else(|| code.to_owned(), |hours| format!("{code} {} h", figures::plain(hours)))
    };
    entries.map(|(block, code, kept)| (kept.id, (block, words(code, &kept.record)))).collect()
}

/// A gap about labor, with the way to each of its entries.
pub(crate) fn doubt(year: i32, gap: &Gap, places: &EntryPlaces) -> DoubtLine {
    DoubtLine {
        what: gap.what.clone(),
        mend: gap.mend.clone(),
        entries: gap.records.iter().filter_map(|record| entry_link(year, record.id, places)).collect(),
    }
}

/// Where an entry is corrected, and its block and hours.
fn entry_link(year: i32, id: RecordId, places: &EntryPlaces) -> Option<(String, String)> {
    let (block, words) = places.get(&id)?;
    let RecordId::Stored(stored) = id else { return None };
    Some((to::correct(year, Some(*block), RecordKind::Labor, Uuid::from_u128(stored)), words.clone()))
}

fn left_out(year: i32, entry: &LeftOut, places: &EntryPlaces) -> Option<LeftOutRow> {
    Some(LeftOutRow {
        day: display::full_day(entry.date),
        crew: named(&entry.crew),
        entry: entry_link(year, entry.record.id, places)?,
        pay: shown(entry.pay.map(|pay| figures::dollars(&figures::money(pay)))),
        why: entry.why.words(),
    })
}

fn named(crew: &str) -> String {
    if crew.is_empty() { "no name".to_owned() } else { crew.to_owned() }
}

/// Labor of each block, by its code.
fn lists(year: i32, labor: &CrewLabor) -> BTreeMap<&str, String> {
    let list = |block| to::records(year, Some(block), RecordKind::Labor);
    labor.entries.iter().map(|entry| (entry.code.as_str(), list(entry.block))).collect()
}

/// Weeks shown when no week asks for a look.
const NEWEST: usize = 12;

/// The weeks in sight, and the others; each newest first.
fn in_sight(weeks: &[CrewWeek]) -> (Vec<&CrewWeek>, Vec<&CrewWeek>) {
    let (short, others): (Vec<&CrewWeek>, Vec<&CrewWeek>) = weeks.iter().rev().partition(|week| week.is_short());
    if !short.is_empty() {
        return (short, others);
    }
    let rest = others.iter().skip(NEWEST).copied().collect();
    (others.into_iter().take(NEWEST).collect(), rest)
}

fn short(weeks: &[CrewWeek]) -> Option<String> {
    let short = weeks.iter().filter(|week| week.is_short()).count();
    (short > 0).then(|| format!("{} of {}", figures::count(short), figures::counted(weeks.len(), "week", "weeks")))
}

fn week_row(week: &CrewWeek, lists: &BTreeMap<&str, String>) -> WeekRow {
    let hours = |hours: Hours| if hours.is_zero() { String::new() } else { figures::plain(hours) };
    let dollars = |money| figures::dollars(&figures::money(money));
    let whole = week.with_premium();
    let people = week.people.and_then(|people| usize::try_from(people).ok());
    WeekRow {
        week: display::full_day(week.first_day),
        crew: named(&week.crew),
        blocks: week.blocks.iter().map(|code| (lists.get(code.as_str()).cloned(), code.clone())).collect(),
        people: shown(people.map(figures::count)),
        each: shown(week.hours_each.map(|each| figures::exact(each, 1))),
        over: week.over.map_or_else(|why| why.words().to_owned(), hours),
        entered: hours(week.entered),
        by_entry: shown(week.by_entry.map(dollars)),
        straight: shown(week.pay.ok().map(|pay| dollars(pay.straight_time))),
        premium: shown(whole.map(|pay| dollars(pay.premium))),
        by_week: match week.pay {
            Err(why) => words::no_wage(why).to_owned(),
            Ok(_) => shown(whole.map(|pay| dollars(pay.total))),
        },
        short: week.is_short(),
    }
}
