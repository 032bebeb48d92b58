//! Thinning that is due: first passes in the order of ripening, second looks after the last pass.
//!
//! Nothing here is a rule of nature. The windows are common practice with its published range beside
//! it, and a grower sets his own in [`Settings`].

mod block;
mod next;
mod say;
#[cfg(test)]
mod tests;

use core::cmp::Ordering;

use chrono::{Datelike, Days, NaiveDate};

pub use block::{DueBlock, FULL_BLOOM};
pub use next::next;

use crate::block::Season;
use crate::season::HowReckoned;

/// A grower's own numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Settings {
    /// The second look opens and closes so many days after the last pass.
    pub second_look: (u32, u32),
    /// The first pass opens and closes so many days after full bloom.
    pub first_pass: (u32, u32),
    /// Where no bloom is noted: it opens and closes so many days before ripening begins. `None` leaves
    /// it to the calendar.
    pub before_ripening: Option<(u32, u32)>,
}

/// Second look 7 to 14 days after the pass: common practice, no source. First pass 30 to 60 days after
/// full bloom: common practice, no source; a trial that thinned cling peaches by hand, fruit by fruit,
/// did it 50 to 62 days after (Scientia Horticulturae 2012).
impl Default for Settings {
    fn default() -> Self {
        Self { second_look: (7, 14), first_pass: (30, 60), before_ripening: None }
    }
}

impl Settings {
    /// Whether a window made from this is the operation's own.
    fn own(self, basis: Basis) -> bool {
        let usual = Self::default();
        match basis {
            Basis::FullBloom => self.first_pass != usual.first_pass,
            Basis::Calendar => false,
            Basis::BeforeRipening => true,
            Basis::LastPass(_) => self.second_look != usual.second_look,
        }
    }
}

/// What is due.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Work {
    /// The first pass.
    FirstPass,
    /// The second look.
    SecondLook,
}

/// Where today stands to the window.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Timing {
    /// The window has closed.
    Late,
    /// The window is open.
    Open,
    /// The window opens later.
    Ahead,
}

/// What a window was made from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Basis {
    /// Days after the full bloom that was noted.
    FullBloom,
    /// The calendar, by the day ripening begins.
    Calendar,
    /// Days before ripening begins, as the operation set them.
    BeforeRipening,
    /// Days after the last pass.
    LastPass(NaiveDate),
}

/// One thing due in one block.
#[derive(Debug, Clone, PartialEq)]
pub struct Due {
    /// The block.
    pub block: DueBlock,
    /// What.
    pub work: Work,
    /// First and last day of its window.
    pub window: (NaiveDate, NaiveDate),
    /// Where today stands to it.
    pub timing: Timing,
    /// Days since the window closed, left until it closes, or until it opens.
    pub days: u64,
    /// What the window was made from.
    pub basis: Basis,
    /// Whether its days are the operation's own and not the default.
    pub own: bool,
    /// First day of ripening this season.
    pub ripens: Option<NaiveDate>,
}

/// A block whose window cannot be told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoWindow {
    /// The block's code.
    pub code: String,
    /// Trees done and trees of a first pass that has begun.
    pub begun: Option<(u64, u32)>,
    /// First day of ripening this season, for which there is no calendar.
    pub ripens: Option<NaiveDate>,
}

/// What is due on a day, and the blocks of which it cannot be said.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WorkDue {
    /// In order of ripening, then of block.
    pub due: Vec<Due>,
    /// In order of block.
    pub without: Vec<NoWindow>,
    /// What the records leave open, in sentences: days of bloom, and blocks whose trees nobody counted.
    pub open: Vec<String>,
}

/// Work due in a season, seen from a day. A block that was picked, or whose ripening has begun, is past
/// thinning. Order of blocks and passes does not matter.
pub fn due(blocks: &[DueBlock], season: &Season, today: NaiveDate, settings: Settings) -> WorkDue {
    let mut found = WorkDue::default();
    let mut first_passes: Vec<&DueBlock> = Vec::new();
    let mut standing: Vec<&DueBlock> = Vec::new();
    let mut by_code: Vec<&DueBlock> = blocks.iter().collect();
    by_code.sort_by(|a, b| crate::size_classes::natural(&a.code, &b.code));
    for block in by_code {
        let ripens = block.ripening.and_then(|days| season.ripening(days)).map(|(first, _)| first);
        found.open.extend(ripens.and_then(|ripens| say::late_bloom(block, ripens)));
        if past(block, ripens, today) {
            continue;
        }
        standing.push(block);
        let window = window(block, ripens, today, settings);
        if !matches!(window, Ok(None | Some((Work::SecondLook, ..)))) {
            first_passes.push(block);
        }
        match window {
            Ok(Some((work, basis, window))) => {
                found.due.push(placed(block, work, (basis, settings.own(basis), window), ripens, today));
            }
            Ok(None) => {}
            Err(without) => found.without.push(without),
        }
    }
    found.due.sort_by(earliest_first);
    found.open.extend(say::blooms(&first_passes));
    found.open.extend(say::uncounted(standing.into_iter()));
    found
}

/// By first and last day of ripening, those without it last, then by code.
fn earliest_first(a: &Due, b: &Due) -> Ordering {
    let key = |due: &Due| (due.ripens.is_none(), due.ripens, due.block.ripening.map(|(_, last)| last));
    key(a).cmp(&key(b)).then_with(|| crate::size_classes::natural(&a.block.code, &b.block.code))
}

fn past(block: &DueBlock, ripens: Option<NaiveDate>, today: NaiveDate) -> bool {
    ripens.is_some_and(|first| first <= today) || block.picked.is_some_and(|first| first <= today)
}

type Window = (NaiveDate, NaiveDate);

/// The next work and its window; `None` once the second look is over. No window reaches into ripening: one
/// that would close in it closes the day before, and one that would open in it is none.
fn window(
    block: &DueBlock,
    ripens: Option<NaiveDate>,
    today: NaiveDate,
    settings: Settings,
) -> Result<Option<(Work, Basis, Window)>, NoWindow> {
    let look = |last| {
        let window = after(last, settings.second_look).and_then(|window| before_ripening(window, ripens));
        window.map(|window| (Work::SecondLook, Basis::LastPass(last), window))
    };
    if block.is_looked_at() {
        return Ok(block.look_begun().and_then(|_| look(block.first_pass()?)).filter(|(.., window)| today <= window.1));
    }
    if let Some(last) = block.first_pass().filter(|_| block.begun().is_none()) {
        return Ok(look(last));
    }
    let by_bloom = block.full_bloom.and_then(|bloom| after(bloom, settings.first_pass));
    let by_bloom = by_bloom.and_then(|window| before_ripening(window, ripens));
    let by_bloom = by_bloom.map(|window| (Work::FirstPass, Basis::FullBloom, window));
    let of_ripening = || by_ripening(ripens?, block.south, settings);
    let by_ripening = || of_ripening().map(|(basis, window)| (Work::FirstPass, basis, window));
    let without = || NoWindow { code: block.code.clone(), begun: block.begun(), ripens };
    by_bloom.or_else(by_ripening).map(Some).ok_or_else(without)
}

fn before_ripening((opens, closes): Window, ripens: Option<NaiveDate>) -> Option<Window> {
    let closes = ripens.and_then(|ripens| ripens.pred_opt()).map_or(closes, |last| closes.min(last));
    (opens <= closes).then_some((opens, closes))
}

/// The first pass by the day ripening begins: as the operation set it, else by the calendar.
fn by_ripening(ripens: NaiveDate, south: bool, settings: Settings) -> Option<(Basis, Window)> {
    match settings.before_ripening {
        Some(days) => before(ripens, days).map(|window| (Basis::BeforeRipening, window)),
        None => calendar(ripens).filter(|_| !south).map(|window| (Basis::Calendar, window)),
    }
}

fn before(day: NaiveDate, (from, to): (u32, u32)) -> Option<Window> {
    let less = |days: u32| day.checked_sub_days(Days::new(u64::from(days)));
    less(from.max(to)).zip(less(to))
}

fn after(day: NaiveDate, (from, to): (u32, u32)) -> Option<Window> {
    let plus = |days: u32| day.checked_add_days(Days::new(u64::from(days)));
    plus(from).zip(plus(to.max(from)))
}

/// Ripening on or before this day takes the earliest window.
const EARLIEST_RIPENING: (u32, u32) = (5, 15);
/// Days of later ripening that put the window off by one day.
const RIPENING_PER_DAY: i64 = 3;
/// The window is put off by no more than this many days.
const MOST_DAYS_OFF: i64 = 30;
/// Days a window of the calendar is open.
const CALENDAR_OPEN: u64 = 15;

/// The calendar of California's stone fruit, early April to mid May, the earliest ripening first
/// (University of California ANR, helpline FAQ on thinning fruit); how it falls on the ripening days
/// between is common practice, no source. Ripening outside May to October, or south of the equator,
/// has no such calendar.
fn calendar(ripens: NaiveDate) -> Option<Window> {
    if !(5..=10).contains(&ripens.month()) {
        return None;
    }
    let (month, day) = EARLIEST_RIPENING;
    let earliest = NaiveDate::from_ymd_opt(ripens.year(), month, day)?;
    let later = (ripens - earliest).num_days().max(0) / RIPENING_PER_DAY;
    let off = u64::try_from(later.min(MOST_DAYS_OFF)).ok()?;
    let opens = NaiveDate::from_ymd_opt(ripens.year(), 4, 1)?.checked_add_days(Days::new(off))?;
    Some((opens, opens.checked_add_days(Days::new(CALENDAR_OPEN))?))
}

/// How windows and pollinizers are looked at.
pub fn how() -> Vec<HowReckoned> {
    vec![
        HowReckoned {
            id: "work-due",
            title: "Work due",
            formula: "First pass: days after the full bloom noted this season; without one, days before ripening begins where \
                      the operation set them, else a calendar that opens on 1 April for what ripens by 15 May and a day \
                      later for every 3 days of later ripening, 30 at most, and stays open 15 days. Second look: days \
                      after the last day of the first pass, which is done when its entries count at least 95% of the \
                      block's trees (common practice, no source), when one of them leaves its trees out and so stands for \
                      all, trees of a later pass among them; until then it is the first pass that is open or late. Work \
                      that has begun is open before its window. A second look goes only where it is needed: once \
                      begun it stands in the list while its window is open, and is never late. An entry without a \
                      pass is the second look when it comes more than 3 days (common practice, no source) after a \
                      first pass whose trees were counted. Only \"full bloom\" sets the first pass, the latest of \
                      several. Machines and sprays thin before the hands come: they neither end the first pass nor open the \
                      second look. No window reaches into ripening. Blocks stand in the order they ripen; one whose \
                      ripening has begun, or that was picked, is past thinning. The days are the operation's to set."
                .into(),
            source: "Calendar: University of California ANR, helpline FAQ on thinning fruit; days: common practice, no source",
        },
        HowReckoned {
            id: "pollinizers",
            title: "Pollinizers",
            formula: "Read from the blocks' own records: whether the variety needs another's pollen, which block, variety or \
                      rows serve, how many trees away. A variety stands for its blocks on the farm. A block that needs one \
                      has none in reach when nothing is on record, when no block it names stands on its farm and no \
                      distance is given, or when the distance is over the limit the operation set; without a limit no \
                      distance is questioned."
                .into(),
            source: "Self-incompatible Japanese plums: University of California, Fruit and Nut Research and Information Center; \
                     distances: the grower's own",
        },
    ]
}

fn placed(
    block: &DueBlock,
    work: Work,
    (basis, own, window): (Basis, bool, Window),
    ripens: Option<NaiveDate>,
    today: NaiveDate,
) -> Due {
    let between = |from: NaiveDate, to: NaiveDate| u64::try_from((to - from).num_days()).unwrap_or_default();
    let mut due = Due { block: block.clone(), work, window, timing: Timing::Open, days: 0, basis, own, ripens };
    (due.timing, due.days) = if today > window.1 {
        (Timing::Late, between(window.1, today))
    } else if today < window.0 && due.begun().is_none() {
        (Timing::Ahead, between(today, window.0))
    } else {
        (Timing::Open, between(today, window.1))
    };
    due
}
