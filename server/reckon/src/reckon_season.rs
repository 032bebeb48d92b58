//! From the records of a block season to every figure of it.

use crate::exact::Acres;
use crate::figure::{Gap, GapAbout, Kept, RecordKind, RecordRef};
use crate::money::UnitPrice;
use crate::packout::Settled;
use crate::records::{Observation, Rate};
use crate::returns::Parts;
use crate::season::{
    BlockSeason, Heading, LaborMeasure, PackoutCell, PackoutSeason, SeasonRecords, Statement, StatementLine,
};
use crate::{costs, how, interest, labor, mulch, pollination, returns, room, say, thinning, ties, water};

/// Reckons a block season. It cannot fail; what could not be reckoned is among the gaps.
pub fn reckon(records: &SeasonRecords) -> BlockSeason {
    reckon_settled(records, &Settled::of(records))
}

/// The same of a block whose fruit is settled already.
pub(crate) fn reckon_settled(records: &SeasonRecords, settled: &Settled) -> BlockSeason {
    let asked = labor::sum_doubts(records);
    let records = &*labor::read_together(records);
    let (thinning, counts) = thinning::season(records);
    let (packout, sales, boxes) = settled.season(records);
    let (labor, hours) = labor::season(records, &thinning, &packout);
    let (water, sets) = water::season(records);
    let worth = water.saving.as_ref().and_then(|saving| saving.kept.worth.as_ref());
    let (mulch, floor) = mulch::season(records, worth);
    let (costs, invoices) = costs::season(records);
    let (interest, capital) = interest::season(records);
    let recovery = costs::parts(records).iter().any(|part| part.cost.lasting.is_some());
    let made = how::Made { recovery, interest: interest.is_some() };
    let how = how::of(made).into_iter().chain(water::how::how(records, &water)).collect();
    let (statement, money) = returns::statement(&Parts {
        records,
        sales: &sales,
        labor: &labor,
        costs: &costs,
        water: water.cost.as_ref(),
        mulch: mulch.season_cost.as_ref(),
        interest: interest.as_ref(),
        boxes: packout.boxes.as_ref(),
        weight: packout.weight.as_ref(),
    });
    let beyond = beyond(&statement, &packout, &labor.all);
    let gaps = [
        block(records),
        doubled_rates(records),
        asked,
        hours,
        counts,
        sets,
        floor,
        boxes,
        money,
        invoices,
        capital,
        beyond,
    ];
    BlockSeason {
        heading: heading(records),
        labor,
        thinning,
        water,
        mulch,
        packout,
        statement,
        observations: observations(records),
        gaps: sorted(gaps),
        how,
    }
}

/// Sums that are beyond what can be kept, which only a number with digits too many makes.
fn beyond(statement: &Statement, packout: &PackoutSeason, labor: &LaborMeasure) -> Vec<Gap> {
    let line = |line: &StatementLine| {
        line.amount.value.is_beyond()
            || line.per_acre.is_some_and(UnitPrice::is_beyond)
            || line.per_tree.is_some_and(UnitPrice::is_beyond)
            || line.per_box.is_some_and(UnitPrice::is_beyond)
            || line.per_pound.is_some_and(UnitPrice::is_beyond)
    };
    let cell = |cell: &PackoutCell| {
        cell.net_per_box.as_ref().is_some_and(|each| each.value.is_beyond())
            || cell.net_per_pound.as_ref().is_some_and(|each| each.value.is_beyond())
    };
    let tree = labor.cost_per_tree.as_ref().is_some_and(|each| each.value.is_beyond());
    let found = tree || statement.lines.iter().any(line) || packout.cells.iter().any(cell);
    let gap = found.then(|| {
        let what = "Some sums are too large to add up; they read \u{201c}too large\u{201d} where they would stand.";
        let mend = "Look for a number with digits too many: boxes, pounds, hours, a price or an invoice.";
        say::missing(GapAbout::Costs, what, mend, [])
    });
    gap.into_iter().collect()
}

/// By day, then by what they say.
fn observations(records: &SeasonRecords) -> Vec<Observation> {
    let mut seen: Vec<Observation> = records.observations.iter().map(|kept| kept.record.clone()).collect();
    seen.sort_by(|a, b| {
        let days = a.date.cmp(&b.date).then_with(|| a.what.cmp(&b.what));
        days.then_with(|| ties::values([a.share_pct], [b.share_pct])).then_with(|| a.note.cmp(&b.note))
    });
    seen
}

fn heading(records: &SeasonRecords) -> Heading {
    Heading {
        operation: records.operation.clone(),
        farm: records.farm.clone(),
        block: records.block.clone(),
        season: records.season,
        records: count(records),
    }
}

/// Every record read; price and rate lists among them.
fn count(records: &SeasonRecords) -> usize {
    [
        records.labor.len(),
        records.fruit_counts.len(),
        records.irrigation.len(),
        records.tension.len(),
        records.weather.len(),
        records.canopy.len(),
        records.mulch.len(),
        records.picks.len(),
        records.packout.len(),
        records.settlements.len(),
        records.costs.len(),
        records.shared_costs.len(),
        records.prices.len(),
        records.rates.len(),
        records.sizes.len(),
        records.targets.len(),
        records.observations.len(),
    ]
    .iter()
    .sum()
}

fn sorted<const N: usize>(gaps: [Vec<Gap>; N]) -> Vec<Gap> {
    let mut gaps: Vec<Gap> = gaps.into_iter().flatten().collect();
    gaps.sort();
    gaps.dedup();
    gaps
}

/// Rates of one kind that begin on one day and differ: the highest holds, and nobody may have meant it.
fn doubled_rates(records: &SeasonRecords) -> Vec<Gap> {
    let mut rates: Vec<&Kept<Rate>> = records.rates.iter().collect();
    rates.sort_by_key(|kept| (kept.record.kind, kept.record.from, kept.id));
    let same = |a: &&Kept<Rate>, b: &&Kept<Rate>| (a.record.kind, a.record.from) == (b.record.kind, b.record.from);
    let differ =
        |run: &&[&Kept<Rate>]| run.iter().zip(run.iter().skip(1)).any(|(a, b)| a.record.micros != b.record.micros);
    let gap = |run: &[&Kept<Rate>]| {
        let first = run.first()?;
        let (word, day) = (first.record.kind.word(), say::day(first.record.from));
        let what = format!("{} {word} rates begin on {day}; the highest is used.", run.len());
        let refs = run.iter().map(|kept| RecordRef { kind: RecordKind::Rate, id: kept.id });
        Some(say::missing(GapAbout::Costs, what, "Remove the rate that is wrong.", refs))
    };
    rates.chunk_by(same).filter(differ).filter_map(gap).collect()
}

/// What the block's own description leaves out.
fn block(records: &SeasonRecords) -> Vec<Gap> {
    let block = &records.block;
    let trees = block.trees.is_none_or(|trees| trees == 0).then(|| {
        let what = format!("{} has no count of bearing trees, so nothing is reckoned for each tree.", block.code);
        say::missing(GapAbout::Block, what, "Enter the trees on the block's page.", [])
    });
    let acres = (block.acres <= Acres::ZERO).then(|| {
        let what = format!("{} has no acres, so nothing is reckoned for each acre.", block.code);
        say::missing(GapAbout::Block, what, "Enter the acres on the block's page.", [])
    });
    trees.into_iter().chain(acres).chain(room::doubt(block)).chain(pollination::own_gap(block)).collect()
}
