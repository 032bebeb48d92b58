//! What must hold for any records: parts sum to their whole, to the cent, and order never matters.

mod generators;
mod lists;
mod order;
mod sharing;

use proptest::prelude::*;

use self::generators::season;
use crate::money::Money;
use crate::reckon;
use crate::records::{Pay, SettlementLine, Task, ThinningMethod};
use crate::season::{BlockSeason, LaborMeasure, LineRole, PackoutCell, SeasonRecords, StatementKey};
use crate::size_classes::own::OwnList;

fn cents<'m>(amounts: impl Iterator<Item = &'m Money>) -> i64 {
    amounts.map(|amount| amount.cents()).sum()
}

/// What adds up of labor: cents, hours, overtime, entries, and entries left out.
fn added<'m>(measures: impl IntoIterator<Item = &'m LaborMeasure>) -> (i64, i64, i64, usize, usize) {
    measures.into_iter().fold((0, 0, 0, 0, 0), |(cents, hours, over, entries, lacks), one| {
        (
            cents + one.cost.value.cents(),
            hours + one.hours.as_ref().map_or(0, |hours| hours.value.micros()),
            over + one.overtime.as_ref().map_or(0, |hours| hours.value.micros()),
            entries + one.entries,
            lacks + one.cost.lacks.len(),
        )
    })
}

/// Tasks are all labor; passes and methods are all thinning, by pass and by method alike; each entry's
/// cents are in one of them; and the statement's labor is all of it.
fn labor_sums(records: &SeasonRecords, season: &BlockSeason) -> Result<(), TestCaseError> {
    let labor = &season.labor;
    let all = added([&labor.all]);
    prop_assert_eq!(added(labor.tasks.iter().map(|task| &task.measure)), all);
    let thinning = added(&labor.thinning);
    prop_assert_eq!(added(labor.passes.iter().map(|pass| &pass.measure)), thinning);
    let of_task = labor.tasks.iter().filter(|task| task.task == Task::Thin).map(|task| &task.measure);
    prop_assert_eq!(added(of_task), thinning);
    let methods = [None].into_iter().chain(ThinningMethod::ALL.map(Some)).map(|method| {
        cents(labor.passes.iter().filter(|pass| pass.method == method).map(|pass| &pass.measure.cost.value))
    });
    prop_assert_eq!(methods.sum::<i64>(), thinning.0);
    let entries = crate::labor::entry_costs(records);
    let costs = entries.iter().filter_map(|entry| entry.cost.ok());
    prop_assert_eq!((costs.map(Money::cents).sum::<i64>(), entries.len(), labor.entries), (all.0, all.3, all.3));
    let keys = [StatementKey::ThinningLabor, StatementKey::OtherGrowingLabor, StatementKey::HarvestLabor];
    let lines = keys.iter().filter_map(|key| season.statement.line(*key)).map(|line| &line.amount);
    let stated = lines.fold((0, 0), |(sum, lacks), line| (sum - line.value.cents(), lacks + line.lacks.len()));
    prop_assert_eq!(stated, (all.0, all.4));
    Ok(())
}

/// Entries read together: only a sum without hours and trees may become one for no tree; all work stays.
fn only_sums_are_read_together(records: &SeasonRecords) -> Result<(), TestCaseError> {
    let read = crate::labor::read_together(records);
    for (typed, read) in records.labor.iter().zip(&read.labor) {
        let (a, b) = (&typed.record, &read.record);
        if a != b {
            let sum = matches!(a.pay, Pay::Contract(_)) && a.hours.is_none() && a.rows_done.is_none();
            prop_assert!(sum && a.trees_done.is_none_or(|trees| trees == 0), "{a:?}");
            prop_assert_eq!((b.trees_done, a.task, a.date, a.pay), (Some(0), b.task, b.date, b.pay));
            prop_assert!(
                a.pass.is_none_or(|pass| b.pass == Some(pass)) && a.method.is_none_or(|own| b.method == Some(own))
            );
        }
    }
    Ok(())
}

/// A tree is never counted twice: no task takes more trees than the block has.
fn trees_are_the_blocks(season: &BlockSeason) -> Result<(), TestCaseError> {
    let most = f64::from(season.heading.block.trees.unwrap_or(u32::MAX));
    let measures = season.labor.tasks.iter().map(|task| &task.measure).chain(&season.labor.thinning);
    for measure in measures {
        let trees = measure.trees.as_ref().map_or(0.0, |trees| trees.value.get());
        prop_assert!(trees <= most, "{trees}");
        prop_assert_eq!(measure.trees.is_some(), measure.trees_from.is_some());
    }
    Ok(())
}

fn statement_sums(season: &BlockSeason) -> Result<(), TestCaseError> {
    let amount = |key| season.statement.line(key).map_or(0, |line| line.amount.value.cents());
    let items = |from: StatementKey, to: StatementKey| {
        let lines = season.statement.lines.iter().filter(|line| line.role == LineRole::Item);
        cents(lines.filter(|line| from <= line.key && line.key < to).map(|line| &line.amount.value))
    };
    for key in [StatementKey::NetToGrower, StatementKey::OverOperating, StatementKey::OverCash, StatementKey::OverAll] {
        prop_assert_eq!(amount(key), items(StatementKey::Gross, key), "{}", key.word());
    }
    let laid = season.mulch.laid.iter().filter_map(|laid| laid.season_cost.as_ref());
    prop_assert_eq!(amount(StatementKey::MulchOverLife), -cents(laid.map(|cost| &cost.value)));
    let water = season.water.cost.as_ref().map_or(0, |cost| cost.value.cents());
    prop_assert_eq!(amount(StatementKey::Water), -water);
    let operating = items(StatementKey::ThinningLabor, StatementKey::OperatingCosts);
    prop_assert_eq!(amount(StatementKey::OperatingCosts), operating);
    Ok(())
}

fn net(cells: &[PackoutCell]) -> i64 {
    cents(cells.iter().filter_map(|cell| cell.net.as_ref()).map(|net| &net.value))
}

/// Every cent of a settlement that names packed fruit lands on that fruit, in cells, sizes and grades.
fn packout_sums(records: &SeasonRecords, season: &BlockSeason) -> Result<(), TestCaseError> {
    let packout = &season.packout;
    let own = OwnList::of(&records.sizes, &records.block.crop, &records.season);
    let one_size =
        |a: &Option<String>, b: &Option<String>| a.as_ref().zip(b.as_ref()).is_some_and(|(a, b)| own.same(a, b));
    let named = |line: &SettlementLine, cell: &PackoutCell| {
        (line.size_class.is_none() || one_size(&line.size_class, &cell.size_class))
            && (line.grade.is_none() || line.grade == cell.grade)
    };
    let lines = records.settlements.iter().map(|kept| &kept.record);
    let placed = lines.filter(|line| packout.cells.iter().any(|cell| named(line, cell)));
    let settled: i64 = placed.map(|line| crate::packout::line_money(line).net().cents()).sum();
    let listed = season.statement.unsettled.as_ref().map_or(0, |unsettled| unsettled.value.cents());
    prop_assert_eq!(net(&packout.cells), settled + listed);
    prop_assert_eq!(net(&packout.sizes), settled + listed);
    prop_assert_eq!(net(&packout.grades), settled + listed);
    let weeks = cents(packout.weeks.iter().filter_map(|week| week.net.as_ref()).map(|net| &net.value));
    prop_assert_eq!(weeks, settled + listed);
    let packed: i64 = packout.weeks.iter().map(|week| week.boxes.value.micros()).sum();
    prop_assert_eq!(packed, packout.boxes.as_ref().map_or(0, |boxes| boxes.value.micros()));
    prop_assert!(packout.classes.is_empty() || net(&packout.classes) == settled + listed);
    for cells in [&packout.cells, &packout.sizes, &packout.grades, &packout.classes] {
        if cells.is_empty() {
            continue;
        }
        let boxes: i64 = cells.iter().map(|cell| cell.boxes.value.micros()).sum();
        prop_assert_eq!(boxes, packout.boxes.as_ref().map_or(0, |boxes| boxes.value.micros()));
        let tenths: f64 = cells.iter().map(|cell| (cell.share.value.get() * 10.0).round()).sum();
        prop_assert!(cells.is_empty() || (tenths - 1_000.0).abs() < 0.5, "{tenths}");
    }
    Ok(())
}

/// The middle of the ranging table is the statement itself, where every box has a value.
fn the_middle_is_the_statement(season: &BlockSeason) -> Result<(), TestCaseError> {
    let Some(table) = &season.statement.ranging else { return Ok(()) };
    prop_assert_eq!(table.rows.len(), table.prices.len());
    if season.packout.boxes_without_price.is_some() {
        return Ok(());
    }
    let own = &table.rows[3].cells[3].over;
    for (over, key) in [
        (own.operating, StatementKey::OverOperating),
        (own.cash, StatementKey::OverCash),
        (own.all, StatementKey::OverAll),
    ] {
        let line = season.statement.line(key).map_or(0, |line| line.amount.value.cents());
        prop_assert_eq!(over.cents(), line, "{}", key.word());
    }
    Ok(())
}

fn turned<R: Clone>(list: &[R], by: usize) -> Vec<R> {
    let mut list = list.to_vec();
    list.reverse();
    let by = if list.is_empty() { 0 } else { by % list.len() };
    list.rotate_left(by);
    list
}

proptest! {
    #[test]
    fn parts_sum_to_their_whole(records in season()) {
        let season = reckon(&records);
        only_sums_are_read_together(&records)?;
        labor_sums(&records, &season)?;
        trees_are_the_blocks(&season)?;
        statement_sums(&season)?;
        packout_sums(&records, &season)?;
        the_middle_is_the_statement(&season)?;
    }

    #[test]
    fn the_order_of_records_never_matters(records in season(), by in 0usize..7) {
        let other = SeasonRecords {
            labor: turned(&records.labor, by),
            fruit_counts: turned(&records.fruit_counts, by),
            packout: turned(&records.packout, by),
            settlements: turned(&records.settlements, by),
            prices: turned(&records.prices, by),
            costs: turned(&records.costs, by),
            shared_costs: turned(&records.shared_costs, by),
            rates: turned(&records.rates, by),
            sizes: turned(&records.sizes, by),
            targets: turned(&records.targets, by),
            irrigation: turned(&records.irrigation, by),
            mulch: turned(&records.mulch, by),
            ..records.clone()
        };
        prop_assert_eq!(reckon(&records), reckon(&other));
    }
}
