//! What the block earned, in the order and terms of the published cost-and-return studies.

mod crop;
#[cfg(test)]
mod tests;

use rust_decimal::Decimal;

use crate::costs::CostsByGroup;
use crate::exact::{Boxes, Pounds};
use crate::figure::{Evidence, Figure, Gap, GapAbout};
use crate::money::{Money, UnitPrice};
use crate::packout::Sales;
use crate::records::CostGroup;
use crate::say;
use crate::season::{LaborSeason, LineRole, SeasonRecords, Statement, StatementKey, StatementLine};

/// Everything the statement adds up. A part without a record is `None` and has no line.
pub struct Parts<'p> {
    /// The records, for acres and trees.
    pub records: &'p SeasonRecords,
    /// Gross, charges, and what is valued at the price list.
    pub sales: &'p Sales,
    /// Hours and cost of labor.
    pub labor: &'p LaborSeason,
    /// Costs by group.
    pub costs: &'p CostsByGroup,
    /// What the water cost.
    pub water: Option<&'p Figure<Money>>,
    /// Mulch over its life, this season's part.
    pub mulch: Option<&'p Figure<Money>>,
    /// Interest on operating capital, where it is reckoned and not entered.
    pub interest: Option<&'p Figure<Money>>,
    /// Boxes packed.
    pub boxes: Option<&'p Figure<Boxes>>,
    /// Their weight; `None` when some of it is not known.
    pub weight: Option<&'p Figure<Pounds>>,
}

impl Parts<'_> {
    /// Pounds packed, or sold where none were packed.
    fn pounds(&self) -> Option<Pounds> {
        match self.boxes {
            Some(_) => self.weight.map(|weight| weight.value),
            None => Some(crop::sold(self.records).0).filter(|pounds| !pounds.is_zero()),
        }
    }
}

/// The statement: items with records, and every subtotal; no net to grower where nothing is sold or priced.
/// No records at all, no lines.
pub fn statement(parts: &Parts<'_>) -> (Statement, Vec<Gap>) {
    let items = items(parts);
    let gaps = unsold(parts);
    if items.is_empty() {
        return (Statement::default(), gaps);
    }
    let pounds = parts.pounds();
    let lines: Vec<StatementLine> = ORDER.iter().filter_map(|key| line(*key, &items, parts, pounds)).collect();
    let crop = crop::crop(parts, &lines);
    let statement = Statement {
        break_even: crop.as_ref().map(|crop| crop::break_even(crop, &lines)).unwrap_or_default(),
        ranging: crop.as_ref().and_then(crate::ranging::Crop::ranging),
        unsettled: parts.sales.unsettled.clone(),
        pounds,
        lines,
    };
    (statement, gaps)
}

pub(crate) const ORDER: [StatementKey; 18] = [
    StatementKey::Gross,
    StatementKey::Charges,
    StatementKey::NetToGrower,
    StatementKey::ThinningLabor,
    StatementKey::OtherGrowingLabor,
    StatementKey::Water,
    StatementKey::OtherGrowing,
    StatementKey::HarvestLabor,
    StatementKey::OtherHarvest,
    StatementKey::Assessments,
    StatementKey::Interest,
    StatementKey::OperatingCosts,
    StatementKey::OverOperating,
    StatementKey::CashOverhead,
    StatementKey::OverCash,
    StatementKey::MulchOverLife,
    StatementKey::NonCashOverhead,
    StatementKey::OverAll,
];

/// An item's key and signed amount; costs are negative.
type Item = (StatementKey, Figure<Money>);

fn items(parts: &Parts<'_>) -> Vec<Item> {
    let cost = |group| parts.costs.get(&group).map(negated);
    let labor = |of: fn(&crate::season::TaskLabor) -> bool| labor(parts.labor, of);
    let found = [
        (StatementKey::Gross, parts.sales.gross.clone()),
        (StatementKey::Charges, parts.sales.charges.as_ref().map(negated)),
        (StatementKey::ThinningLabor, parts.labor.thinning.as_ref().map(|thinning| negated(&thinning.cost))),
        (StatementKey::OtherGrowingLabor, labor(|t| !t.task.is_harvest() && t.task != crate::records::Task::Thin)),
        (StatementKey::Water, parts.water.map(negated)),
        (StatementKey::OtherGrowing, cost(CostGroup::Cultural)),
        (StatementKey::HarvestLabor, labor(|t| t.task.is_harvest())),
        (StatementKey::OtherHarvest, cost(CostGroup::Harvest)),
        (StatementKey::Assessments, cost(CostGroup::Assessment)),
        (StatementKey::Interest, cost(CostGroup::Interest).or_else(|| parts.interest.map(negated))),
        (StatementKey::CashOverhead, cost(CostGroup::CashOverhead)),
        (StatementKey::MulchOverLife, parts.mulch.map(negated)),
        (StatementKey::NonCashOverhead, cost(CostGroup::NonCashOverhead)),
    ];
    found.into_iter().filter_map(|(key, figure)| figure.map(|figure| (key, figure))).collect()
}

fn labor(season: &LaborSeason, of: fn(&crate::season::TaskLabor) -> bool) -> Option<Figure<Money>> {
    let own: Vec<&Figure<Money>> = season.tasks.iter().filter(|task| of(task)).map(|t| &t.measure.cost).collect();
    (!own.is_empty()).then(|| negated(&sum(&own)))
}

fn negated(figure: &Figure<Money>) -> Figure<Money> {
    figure.map(figure.value.negated())
}

pub(crate) fn sum(figures: &[&Figure<Money>]) -> Figure<Money> {
    let value = figures.iter().map(|figure| figure.value).sum();
    // Nothing to add up is a plain zero: nothing about it is doubtful.
    let evidence = figures.iter().map(|figure| figure.evidence).max().unwrap_or(Evidence::Counted);
    Figure::new(value, evidence, figures.iter().flat_map(|figure| &figure.records).copied())
        .without(figures.iter().flat_map(|figure| &figure.lacks).copied())
}

/// Which items a subtotal adds: those from its first key to itself, in statement order.
const fn adds_from(key: StatementKey) -> Option<StatementKey> {
    match key {
        StatementKey::OperatingCosts => Some(StatementKey::ThinningLabor),
        StatementKey::NetToGrower | StatementKey::OverOperating | StatementKey::OverCash | StatementKey::OverAll => {
            Some(StatementKey::Gross)
        }
        _ => None,
    }
}

fn line(key: StatementKey, items: &[Item], parts: &Parts<'_>, pounds: Option<Pounds>) -> Option<StatementLine> {
    let amount = match adds_from(key) {
        // A zero would read as fruit that was sold for nothing.
        Some(_) if key == StatementKey::NetToGrower && !items.iter().any(|(item, _)| *item < key) => return None,
        Some(first) => {
            let own: Vec<&Figure<Money>> =
                items.iter().filter(|(item, _)| first <= *item && *item < key).map(|(_, figure)| figure).collect();
            sum(&own)
        }
        None => items.iter().find(|(item, _)| *item == key)?.1.clone(),
    };
    let role = role(key);
    let exact = amount.value.decimal();
    let block = &parts.records.block;
    Some(StatementLine {
        key,
        role,
        per_acre: UnitPrice::each(exact, block.acres.decimal()),
        per_tree: block.trees.and_then(|trees| UnitPrice::each(exact, Decimal::from(trees))),
        per_box: parts.boxes.and_then(|boxes| UnitPrice::each(exact, boxes.value.decimal())),
        per_pound: pounds.and_then(|pounds| UnitPrice::each(exact, pounds.decimal())),
        amount,
    })
}

pub(crate) const fn role(key: StatementKey) -> LineRole {
    match key {
        StatementKey::OverAll => LineRole::Total,
        key if adds_from(key).is_some() => LineRole::Subtotal,
        _ => LineRole::Item,
    }
}

fn unsold(parts: &Parts<'_>) -> Vec<Gap> {
    if parts.sales.gross.is_some() {
        return Vec::new();
    }
    let mend = "Keep the settlements, or a price list for the boxes packed.";
    vec![say::missing(GapAbout::Price, "No sales are recorded.", mend, [])]
}
