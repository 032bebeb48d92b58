//! The crop behind a statement: what was sold, and which costs follow the yield.

use rust_decimal::Decimal;

use super::Parts;
use crate::break_even::{BreakEven, CropCosts, CropUnit, Levels};
use crate::exact::Pounds;
use crate::figure::{Evidence, Figure, RecordRef};
use crate::money::Money;
use crate::ranging::Crop;
use crate::records::Sold;
use crate::season::{SeasonRecords, StatementKey, StatementLine};

/// Yield in packed boxes, or in pounds where fruit was sold and none packed. `None` without a yield
/// or without any operating cost or charge.
pub(super) fn crop(parts: &Parts<'_>, lines: &[StatementLine]) -> Option<Crop> {
    let (unit, quantity, counted) = harvest(parts)?;
    let gross = parts.sales.gross.as_ref();
    let evidence = gross.map_or(Evidence::Counted, |gross| gross.evidence).and(counted.evidence);
    let unpriced = parts.sales.valued.is_some_and(|valued| valued.decimal() != quantity) && unit == CropUnit::Box;
    let costs = costs(parts, lines, quantity)?;
    Some(Crop {
        unit,
        costs,
        price: gross.and_then(|gross| price(parts, unit, gross.value, quantity)),
        acres: parts.records.block.acres,
        evidence: if unpriced { evidence.and(Evidence::Assumed) } else { evidence },
        records: gross.iter().flat_map(|gross| &gross.records).chain(&counted.records).copied().collect(),
    })
}

fn harvest(parts: &Parts<'_>) -> Option<(CropUnit, Decimal, Figure<()>)> {
    if let Some(boxes) = parts.boxes.filter(|boxes| boxes.value.micros() > 0) {
        return Some((CropUnit::Box, boxes.value.decimal(), boxes.map(())));
    }
    let (pounds, records) = sold(parts.records);
    (pounds.micros() > 0).then(|| (CropUnit::Pound, pounds.decimal(), Figure::new((), Evidence::Invoiced, records)))
}

/// Pounds sold by weight, and the settlements that say so.
pub(super) fn sold(records: &SeasonRecords) -> (Pounds, Vec<RecordRef>) {
    let sold = records.settlements.iter().filter_map(|kept| match kept.record.sold {
        Sold::Weight { weight, .. } => Some((weight, crate::packout::reference(kept))),
        Sold::Boxes { .. } | Sold::Adjustment(_) => None,
    });
    let (weights, settlements): (Vec<Pounds>, Vec<RecordRef>) = sold.unzip();
    (weights.into_iter().sum(), settlements)
}

/// Gross price: of the boxes that have a value, or of the pounds sold.
fn price(parts: &Parts<'_>, unit: CropUnit, gross: Money, quantity: Decimal) -> Option<Decimal> {
    let over = match unit {
        CropUnit::Box => parts.sales.valued.map_or(quantity, crate::exact::Exact::decimal),
        CropUnit::Pound => quantity,
    };
    gross.decimal().checked_div(over)
}

fn costs(parts: &Parts<'_>, lines: &[StatementLine], quantity: Decimal) -> Option<CropCosts> {
    let paid = |key| amount(lines, key).negated();
    let commission = parts.sales.commission;
    let harvest = [StatementKey::HarvestLabor, StatementKey::OtherHarvest, StatementKey::Assessments].map(paid);
    let follows: Money = harvest.into_iter().sum();
    let by_yield = follows.plus(paid(StatementKey::Charges)).minus(commission);
    let operating = paid(StatementKey::OperatingCosts);
    if operating.is_zero() && by_yield.is_zero() && commission.is_zero() {
        return None;
    }
    let gross = amount(lines, StatementKey::Gross).decimal();
    Some(CropCosts {
        quantity,
        fixed: operating.minus(follows).decimal(),
        by_yield: by_yield.decimal(),
        of_gross: commission.decimal().checked_div(gross).unwrap_or_default(),
        cash_overhead: paid(StatementKey::CashOverhead).decimal(),
        non_cash_overhead: paid(StatementKey::MulchOverLife).plus(paid(StatementKey::NonCashOverhead)).decimal(),
    })
}

fn amount(lines: &[StatementLine], key: StatementKey) -> Money {
    lines.iter().find(|line| line.key == key).map_or(Money::ZERO, |line| line.amount.value)
}

/// What is spent at each level, charges included: gross less the return over it.
pub(super) fn break_even(crop: &Crop, lines: &[StatementLine]) -> Vec<BreakEven> {
    let gross = amount(lines, StatementKey::Gross);
    let over = |key: StatementKey| {
        let line = lines.iter().find(|line| line.key == key)?;
        Some(line.amount.map(gross.minus(line.amount.value)))
    };
    let costs = Levels::of(|level| {
        over(match level {
            crate::break_even::CostLevel::Operating => StatementKey::OverOperating,
            crate::break_even::CostLevel::Cash => StatementKey::OverCash,
            crate::break_even::CostLevel::All => StatementKey::OverAll,
        })
    });
    costs.map(|costs| crop.break_even(&costs)).unwrap_or_default()
}
