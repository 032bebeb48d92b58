//! The sets of a season: volume, cost, and what in their readings does not fit.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rust_decimal::Decimal;

use crate::block::Block;
use crate::figure::{Evidence, Figure, Gap, Kept, RecordRef};
use crate::money::Money;
use crate::records::{Applied, IrrigationSet, MeterUnit};
use crate::season::{AppliedPart, SeasonRecords, WaterSeason};
use crate::units::{GallonsPerTree, GallonsUs, MM_PER_INCH};

use super::applied::{self, SetVolume, Unknown};
use super::sentence;
use crate::rates::Rates;
use crate::{say, ties};

/// Share of the smaller of two sets that may be missing between their readings before it is said.
const METER_TOLERANCE: f64 = 0.01;

/// Sets from which a usual one can be told, and how many times it another is before it is said: a
/// digit too many makes ten. Common practice, no source.
const USUAL_SETS: usize = 5;
const OUTSIZED: f64 = 5.0;

/// A set whose water is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct KnownSet {
    pub(crate) date: NaiveDate,
    pub(crate) volume: SetVolume,
    pub(crate) record: RecordRef,
}

impl KnownSet {
    /// Depth over the block's whole area, mm; nothing over no area.
    pub(crate) fn depth_mm(&self, block: &Block) -> f64 {
        let depth = self.volume.gallons.to_acre_inches().depth_over(block.acres.as_f64());
        depth.map_or(0.0, |inches| inches.get() * MM_PER_INCH)
    }
}

/// Sets whose water is known; the others become gaps.
pub(crate) fn known(records: &SeasonRecords, gaps: &mut Vec<Gap>) -> Vec<KnownSet> {
    let mut sets = Vec::with_capacity(records.irrigation.len());
    for kept in &records.irrigation {
        match applied::volume(&kept.record, &records.block) {
            Ok(volume) => sets.push(KnownSet { date: kept.record.date, volume, record: sentence::set_ref(kept) }),
            Err(unknown) => gaps.push(left_out(kept, &records.block, unknown)),
        }
    }
    // Floats are added up in one order, whatever the order of the records.
    sets.sort_by(|a, b| {
        let gallons = |set: &KnownSet| [Some(set.volume.gallons.get())];
        (a.date.cmp(&b.date)).then_with(|| ties::values(gallons(a), gallons(b))).then(a.record.cmp(&b.record))
    });
    gaps.extend(between_readings(&records.irrigation, &records.block));
    gaps.extend(outsized(&sets, &records.block));
    sets
}

fn left_out(set: &Kept<IrrigationSet>, block: &Block, unknown: Unknown) -> Gap {
    let (code, day) = (&block.code, say::day(set.record.date));
    let (why, mend) = match unknown {
        Unknown::MeterBackwards { from, to } => (
            format!("ran its meter backwards, from {} to {}", sentence::number(from), sentence::number(to)),
            "Correct a reading, or say at which number the meter rolls over or that it was replaced.",
        ),
        Unknown::NoFlow => ("has no emitter flow".to_owned(), "Add the flow to the set or to the block."),
        Unknown::NoEmitters => (
            "has no number of emitters".to_owned(),
            "Add the emitters to the set, or the trees and the emitters at each tree to the block.",
        ),
        Unknown::NoArea => ("has a depth, but the block no acres".to_owned(), "Add the block's acres."),
        Unknown::TooLarge => ("has a number that is no volume of water".to_owned(), "Correct the number."),
    };
    let what = format!("The set of {day} in {code} {why}; it is left out of the water applied.");
    sentence::missing(what, mend, vec![sentence::set_ref(set)])
}

/// Water that went through the meter between two sets, or readings that go back.
fn between_readings(sets: &[Kept<IrrigationSet>], block: &Block) -> Vec<Gap> {
    let metered = chained(sets);
    let pairs = metered.iter().zip(metered.iter().skip(1));
    // A set whose own readings do not fit is a gap already; its neighbors are not held against it.
    pairs.filter_map(|(before, after)| jump(before.as_ref()?, after.as_ref()?, block)).collect()
}

/// The metered sets by day; those of one day in the order in which their readings go on from one another.
fn chained(sets: &[Kept<IrrigationSet>]) -> Vec<Option<Reading<'_>>> {
    let mut days: BTreeMap<NaiveDate, Vec<Metered<'_>>> = BTreeMap::new();
    for set in sets {
        if let Applied::Meter { start, end, .. } = set.record.applied {
            days.entry(set.record.date).or_default().push(Metered { start, end, set });
        }
    }
    let mut chain: Vec<Option<Reading<'_>>> = Vec::with_capacity(sets.len());
    for (_, mut own) in days {
        own.sort_by(|a, b| ties::values([Some(a.start), Some(a.end)], [Some(b.start), Some(b.end)]));
        let readings =
            |first: usize| own.iter().cycle().skip(first).take(own.len()).map(|metered| reading(metered.set));
        let unmetered = |first: &usize| unmetered(chain.last().and_then(Option::as_ref), readings(*first));
        // A register that rolled over or was replaced within the day goes on with its smallest readings.
        let first = (0..own.len()).min_by(|a, b| unmetered(a).total_cmp(&unmetered(b))).unwrap_or_default();
        chain.extend(readings(first));
    }
    chain
}

/// A metered set by its readings as written down.
struct Metered<'r> {
    start: f64,
    end: f64,
    set: &'r Kept<IrrigationSet>,
}

/// What went through the meter between sets in this order, either way.
fn unmetered<'r>(before: Option<&Reading<'r>>, sets: impl Iterator<Item = Option<Reading<'r>>>) -> f64 {
    let (mut end, mut sum) = (before.copied(), 0.0);
    for set in sets {
        if let Some((before, after)) = end.as_ref().zip(set.as_ref()).filter(|(a, b)| a.unit == b.unit) {
            sum += through(before, after).abs();
        }
        end = set;
    }
    sum
}

#[derive(Clone, Copy)]
struct Reading<'r> {
    set: &'r Kept<IrrigationSet>,
    start: f64,
    end: f64,
    unit: MeterUnit,
    rolls_at: Option<f64>,
    amount: f64,
}

fn reading(set: &Kept<IrrigationSet>) -> Option<Reading<'_>> {
    let Applied::Meter { start, end, unit, rolls_at, .. } = set.record.applied else { return None };
    let volume = applied::volume(&set.record, &Block::default()).ok()?;
    Some(Reading { set, start, end, unit, rolls_at, amount: volume.gallons.get() / applied::gallons_per(unit) })
}

/// What the meter counted from the end of one set to the beginning of the next, in its unit.
fn through(before: &Reading, after: &Reading) -> f64 {
    match before.rolls_at.or(after.rolls_at) {
        Some(full) if after.start < before.end && before.end <= full => full - before.end + after.start,
        _ => after.start - before.end,
    }
}

fn jump(before: &Reading, after: &Reading, block: &Block) -> Option<Gap> {
    if before.unit != after.unit {
        return None;
    }
    let through = through(before, after);
    // A millionth of the reading covers decimals that do not come back from a float exactly.
    let tolerance = METER_TOLERANCE * before.amount.min(after.amount) + 1e-6 * before.end.abs();
    if through.abs() <= tolerance {
        return None;
    }
    let what = format!(
        "The meter of {} ended the set of {} at {} and began that of {} at {} (in {}).",
        block.code,
        say::day(before.set.record.date),
        sentence::number(before.end),
        say::day(after.set.record.date),
        sentence::number(after.start),
        before.unit.word(),
    );
    let mend = if through > 0.0 {
        "Add the set that is missing between them, or correct a reading."
    } else {
        "Correct a reading, or say that the meter was replaced."
    };
    Some(sentence::missing(what, mend, vec![sentence::set_ref(before.set), sentence::set_ref(after.set)]))
}

/// Sets many times the usual one: a jump within a register, or hours with a digit too many.
fn outsized(sets: &[KnownSet], block: &Block) -> Option<Gap> {
    let gallons = |set: &KnownSet| set.volume.gallons.get();
    let mut sizes: Vec<f64> = sets.iter().map(gallons).collect();
    sizes.sort_by(f64::total_cmp);
    let usual = *sizes.get(sizes.len() / 2).filter(|usual| sizes.len() >= USUAL_SETS && **usual > 0.0)?;
    let large: Vec<&KnownSet> = sets.iter().filter(|set| gallons(set) > OUTSIZED * usual).collect();
    let said = |gallons: f64| sentence::number(libm::round(gallons));
    let each = |set: &&KnownSet| format!("{} ({} gal)", say::day(set.date), said(gallons(set)));
    let named: Vec<String> = large.iter().map(each).collect();
    let (sets, are) = match large.len() {
        0 => return None,
        1 => ("The set of", "is"),
        _ => ("The sets of", "are each"),
    };
    let what = format!(
        "{sets} {} in {} {are} more than {OUTSIZED:.0} times the usual {} gal; counted as written down.",
        sentence::listed(&named),
        block.code,
        said(usual)
    );
    let mend = "Correct the readings or hours if a digit is wrong.";
    Some(sentence::worth_a_look(what, mend, large.iter().map(|set| set.record).collect()))
}

/// Fills in what was applied and what it cost.
pub(crate) fn fill(season: &mut WaterSeason, sets: &[KnownSet], records: &SeasonRecords, gaps: &mut Vec<Gap>) {
    season.sets = records.irrigation.len();
    season.parts = [Evidence::Metered, Evidence::Counted].into_iter().filter_map(|how| part(sets, how)).collect();
    let Some(applied) = total(sets) else { return };
    let acre_inches = applied.value.to_acre_inches();
    season.applied_depth = acre_inches.depth_over(records.block.acres.as_f64()).map(|depth| applied.map(depth));
    season.applied_per_tree = records
        .block
        .trees
        .filter(|trees| *trees > 0)
        .map(|trees| applied.map(GallonsPerTree::of(applied.value.get() / f64::from(trees))));
    season.cost = cost(sets, records, gaps);
    season.applied = Some(applied);
}

fn part(sets: &[KnownSet], how: Evidence) -> Option<AppliedPart> {
    let of_kind: Vec<KnownSet> = sets.iter().copied().filter(|set| set.volume.evidence == how).collect();
    total(&of_kind).map(|volume| AppliedPart { volume, sets: of_kind.len() })
}

fn total(sets: &[KnownSet]) -> Option<Figure<GallonsUs>> {
    let evidence = sets.iter().map(|set| set.volume.evidence).max()?;
    let gallons = sets.iter().map(|set| set.volume.gallons).sum();
    Some(Figure::new(gallons, evidence, sets.iter().map(|set| set.record)))
}

/// Each set at the rate that held on its day, added up exactly; the season's line is rounded once.
/// Known as the volume is: a rate that was kept is no invoice.
fn cost(sets: &[KnownSet], records: &SeasonRecords, gaps: &mut Vec<Gap>) -> Option<Figure<Money>> {
    let rates = Rates::new(&records.rates);
    let mut sum = Decimal::ZERO;
    let mut priced = Vec::with_capacity(sets.len());
    let mut unpriced = Vec::new();
    for set in sets {
        let Some(charge) = applied::charge(set.volume.litres, set.date, rates) else {
            unpriced.push(set.record);
            continue;
        };
        sum = sum.checked_add(charge)?;
        priced.push(*set);
    }
    if !unpriced.is_empty() {
        let (sets, whose) = match unpriced.len() {
            1 => ("1 set of irrigation has no water rate on its day".to_owned(), "its"),
            n => (format!("{n} sets of irrigation have no water rate on their days"), "their"),
        };
        let what = format!("{sets} in {}; {whose} water is not in the cost.", records.block.code);
        gaps.push(sentence::missing(what, "Add a water rate that holds from before the first set.", unpriced));
    }
    let evidence = priced.iter().map(|set| set.volume.evidence).max()?;
    let cost = Money::round(applied::in_dollars(sum)?).ok()?;
    Some(Figure::new(cost, evidence, priced.iter().map(|set| set.record)))
}
