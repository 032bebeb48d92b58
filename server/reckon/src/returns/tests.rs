//! Lines in their order, what they are spread over, break-even and ranging.

use crate::break_even::CropUnit;
use crate::exact::{Acres, Boxes, Exact, Hours, Percent, Pounds};
use crate::figure::{Evidence, Lacks};
use crate::money::{Money, UnitPrice};
use crate::reckon;
use crate::records::{Charges, CostGroup, LineOutcome, PackoutLine, Pay, Rate, RateKind, SettlementLine, Sold};
use crate::season::{LineRole, SeasonRecords, Statement, StatementKey};
use crate::testing::{cost, date, dec, kept, labor_entry, records};

fn sold(cents: i64) -> SettlementLine {
    SettlementLine {
        date: date(8, 3),
        buyer: String::new(),
        size_class: None,
        grade: None,
        sold: Sold::Adjustment(Money::from_cents(cents)),
        charges: Charges { lump: Money::from_cents(100_000), ..Charges::default() },
        note: String::new(),
    }
}

fn full() -> SeasonRecords {
    let mut season = records();
    season.settlements = kept([sold(1_000_000)]);
    season.labor = kept([
        labor_entry(crate::records::Task::Thin, "50", "20"),
        labor_entry(crate::records::Task::Prune, "20", "20"),
        labor_entry(crate::records::Task::Pick, "30", "20"),
    ]);
    season.costs = kept([
        cost(CostGroup::Cultural, 80_000),
        cost(CostGroup::Harvest, 20_000),
        cost(CostGroup::Assessment, 5_000),
        cost(CostGroup::Interest, 3_333),
        cost(CostGroup::CashOverhead, 50_000),
        cost(CostGroup::NonCashOverhead, 400_000),
    ]);
    season
}

#[test]
fn the_lines_stand_in_the_order_of_the_studies() {
    let season = reckon(&full());
    let lines: Vec<_> = season.statement.lines.iter().map(|line| (line.key, line.amount.value.cents())).collect();
    assert_eq!(
        lines,
        [
            (StatementKey::Gross, 1_000_000),
            (StatementKey::Charges, -100_000),
            (StatementKey::NetToGrower, 900_000),
            (StatementKey::ThinningLabor, -100_000),
            (StatementKey::OtherGrowingLabor, -40_000),
            (StatementKey::OtherGrowing, -80_000),
            (StatementKey::HarvestLabor, -60_000),
            (StatementKey::OtherHarvest, -20_000),
            (StatementKey::Assessments, -5_000),
            (StatementKey::Interest, -3_333),
            (StatementKey::OperatingCosts, -308_333),
            (StatementKey::OverOperating, 591_667),
            (StatementKey::CashOverhead, -50_000),
            (StatementKey::OverCash, 541_667),
            (StatementKey::NonCashOverhead, -400_000),
            (StatementKey::OverAll, 141_667),
        ]
    );
    let roles: Vec<_> = season.statement.lines.iter().map(|line| line.role).collect();
    assert_eq!(roles.iter().filter(|role| **role == LineRole::Subtotal).count(), 4);
    assert_eq!(roles.last(), Some(&LineRole::Total));
}

#[test]
fn a_line_that_lacks_a_wage_makes_every_sum_below_it_incomplete() {
    let mut season = full();
    season.labor[0].record.pay = Pay::Hourly(None);
    let lacking = reckon(&season).statement;
    let incomplete: Vec<_> =
        lacking.lines.iter().filter(|line| !line.amount.lacks.is_empty()).map(|line| line.key).collect();
    assert_eq!(
        incomplete,
        [
            StatementKey::ThinningLabor,
            StatementKey::OperatingCosts,
            StatementKey::OverOperating,
            StatementKey::OverCash,
            StatementKey::OverAll
        ]
    );
    assert!(lacking.lines.iter().all(|line| line.amount.lacks.iter().all(|lack| lack.what == Lacks::Wage)));
    assert!(reckon(&full()).statement.lines.iter().all(|line| line.amount.lacks.is_empty()));
}

#[test]
fn each_acre_and_tree_comes_from_the_blocks_cents() {
    let mut season = full();
    season.block.acres = Acres::whole(3).unwrap();
    season.block.trees = Some(7);
    let season = reckon(&season);
    let last = season.statement.line(StatementKey::OverAll).unwrap();
    assert_eq!(last.per_acre, UnitPrice::round(dec("472.223333")).ok());
    assert_eq!(last.per_tree, UnitPrice::round(dec("202.381429")).ok());
    assert_eq!((last.per_box, last.per_pound), (None, None), "nothing was packed");
    assert_eq!(last.amount.evidence, Evidence::Invoiced);
}

#[test]
fn each_box_and_pound_of_what_was_packed_or_sold() {
    let mut season = crop();
    let net = |season: &SeasonRecords| {
        let line = reckon(season).statement.line(StatementKey::NetToGrower).cloned().unwrap();
        (line.per_box, line.per_pound)
    };
    // 10,000 less 1,500 over 1,000 boxes and 20,000 lb.
    assert_eq!(net(&season), (Some(UnitPrice::from_micros(8_500_000)), Some(UnitPrice::from_micros(425_000))));
    season.packout[0].record.weight = None;
    assert_eq!(net(&season).1, None, "a weight is missing");
    season.packout.clear();
    season.settlements[0].record.sold =
        Sold::Weight { weight: Pounds::whole(4_000).unwrap(), price: UnitPrice::from_micros(500_000) };
    season.settlements[0].record.charges = Charges::default();
    assert_eq!(net(&season), (None, Some(UnitPrice::from_micros(500_000))), "sold and never packed");
}

#[test]
fn a_line_that_gives_back_is_a_credit() {
    let mut season = full();
    season.costs = kept([cost(CostGroup::Cultural, -2_500), cost(CostGroup::Harvest, 700)]);
    let season = reckon(&season);
    let credits: Vec<_> = season.statement.lines.iter().filter(|line| line.is_credit()).collect();
    assert_eq!(credits.len(), 1);
    assert_eq!((credits[0].key, credits[0].amount.value.cents()), (StatementKey::OtherGrowing, 2_500));
}

#[test]
fn costs_are_stated_before_anything_is_sold() {
    let mut season = full();
    season.settlements.clear();
    let season = reckon(&season);
    assert_eq!(season.statement.line(StatementKey::Gross), None);
    assert_eq!(season.statement.line(StatementKey::OverOperating).unwrap().amount.value.cents(), -308_333);
    assert!(season.gaps.iter().any(|gap| gap.what == "No sales are recorded."));
}

/// 1,000 boxes at 10.00 less 1.00 a box and 5 percent; growing 3,000, harvest 500, overhead 900.
fn crop() -> SeasonRecords {
    let mut season = records();
    let dollars = |n: i64| UnitPrice::from_micros(n * 1_000_000);
    season.packout = kept([PackoutLine {
        date: date(7, 20),
        outcome: LineOutcome::Packed { size_class: "A".into(), grade: "1".into(), boxes: Boxes::whole(1_000).unwrap() },
        weight: Pounds::whole(20_000).ok(),
        note: String::new(),
    }]);
    season.settlements = kept([SettlementLine {
        sold: Sold::Boxes { boxes: Boxes::whole(1_000).unwrap(), price: dollars(10) },
        charges: Charges { packing: dollars(1), commission: Percent::whole(5).unwrap(), ..Charges::default() },
        ..sold(0)
    }]);
    season.costs = kept([
        cost(CostGroup::Cultural, 300_000),
        cost(CostGroup::Harvest, 50_000),
        cost(CostGroup::CashOverhead, 60_000),
        cost(CostGroup::NonCashOverhead, 30_000),
    ]);
    season
}

#[test]
fn break_even_of_boxes_with_a_commission() {
    let statement = reckon(&crop()).statement;
    let [operating, cash, all] = statement.break_even.as_slice() else { panic!("{:?}", statement.break_even) };
    // 3,000 + 500 + 1,000 over 1,000 boxes of which 95 % stays.
    assert_eq!(operating.price.as_ref().unwrap().value, UnitPrice::round(dec("4.736842")).unwrap());
    assert_eq!(operating.cost.value, Money::from_cents(500_000), "at the block's own price, 500 of commission in it");
    assert_eq!(cash.price.as_ref().unwrap().value, UnitPrice::round(dec("5.368421")).unwrap());
    // 3,900 over what a box leaves: 9.50 less 1.50.
    assert_eq!(all.quantity.as_ref().unwrap().value, Exact::new(dec("487.5")).unwrap());
    assert_eq!(all.quantity_per_acre.as_ref().unwrap().value, Exact::new(dec("48.75")).unwrap());
    assert_eq!((all.unit, all.price.as_ref().unwrap().evidence), (CropUnit::Box, Evidence::Invoiced));
}

#[test]
fn the_table_spans_the_blocks_own_yield_and_price() {
    let table = reckon(&crop()).statement.ranging.unwrap();
    assert_eq!(table.prices.len(), 7);
    assert_eq!(table.price.value, UnitPrice::from_micros(10_000_000));
    let low = &table.rows[0];
    assert_eq!((low.step, low.quantity), (70, Exact::whole(700).unwrap()));
    // 700 boxes at 7.00: 4,900 less 245, 1,050, 3,000.
    assert_eq!(low.cells[0].over.operating, Money::from_cents(60_500));
    assert_eq!(low.cells[0].per_acre.unwrap().all, UnitPrice::round(dec("-29.5")).unwrap());
    assert_eq!(table.rows[3].cells[3].over.all, Money::from_cents(410_000));
}

#[test]
fn before_a_sale_there_is_a_price_to_reach_and_no_table() {
    let mut season = crop();
    season.settlements.clear();
    let statement = reckon(&season).statement;
    assert_eq!(statement.break_even[0].price.as_ref().unwrap().value, UnitPrice::round(dec("3.5")).unwrap());
    assert_eq!((statement.break_even[0].quantity.as_ref(), statement.ranging), (None, None));
    season.costs.clear();
    assert!(reckon(&season).statement.break_even.is_empty(), "nothing was spent");
}

#[test]
fn entered_interest_goes_before_the_reckoned() {
    let mut season = crop();
    season.rates = kept([Rate { from: date(1, 1), kind: RateKind::Interest, micros: 6_000_000, note: String::new() }]);
    let interest = |season: &SeasonRecords| {
        reckon(season)
            .statement
            .line(StatementKey::Interest)
            .map(|line| (line.amount.value.cents(), line.amount.evidence))
    };
    // 3,500 of 3 May, three months to July, at a half percent a month.
    assert_eq!(interest(&season), Some((-5_250, Evidence::Modelled)));
    season.costs = kept([cost(CostGroup::Cultural, 300_000), cost(CostGroup::Interest, 7_777)]);
    assert_eq!(interest(&season), Some((-7_777, Evidence::Invoiced)));
}

#[test]
fn no_records_no_statement() {
    let season = reckon(&records());
    assert!(season.statement.lines.is_empty());
    assert_eq!(season.labor.all.cost.value, Money::ZERO);
    assert_eq!(season.labor.all.hours.map(|hours| hours.value), None::<Hours>);
    assert_eq!(season.heading.records, 0);
}

/// A box counted as a millionth of one: what a box earned is beyond a price, and is not said to be missing.
#[test]
fn a_sum_beyond_what_can_be_kept_is_said_where_it_stands() {
    let mut records = crate::testing::records();
    records.packout = crate::testing::kept([crate::records::PackoutLine {
        date: crate::testing::date(7, 6),
        outcome: crate::records::LineOutcome::Packed {
            size_class: "60".into(),
            grade: "1".into(),
            boxes: Boxes::from_micros(1),
        },
        weight: None,
        note: String::new(),
    }]);
    records.costs = crate::testing::kept([crate::testing::cost(CostGroup::Cultural, 1_000_000_000_000)]);
    let season = crate::reckon(&records);
    let line = season.statement.line(StatementKey::OverAll).unwrap();
    assert!(line.per_box.unwrap().is_beyond() && !line.per_acre.unwrap().is_beyond());
    assert_eq!(line.per_pound, None, "no weight was given");
    let said = season.gaps.iter().filter(|gap| gap.what.contains("too large to add up"));
    assert_eq!(said.count(), 1);
    records.packout.clear();
    assert!(!crate::reckon(&records).gaps.iter().any(|gap| gap.what.contains("too large")));
}

/// No settlement, no price: a net of 0.00 would be fruit sold for nothing.
#[test]
fn nothing_sold_is_no_net_and_a_return_of_costs_alone() {
    let mut season = records();
    season.costs = kept([cost(CostGroup::Cultural, 5_000)]);
    let statement = reckon(&season).statement;
    assert_eq!(statement.line(StatementKey::NetToGrower), None);
    assert_eq!(statement.line(StatementKey::OverAll).unwrap().amount.value.cents(), -5_000);
    assert!(statement.is_unsold());
    season.settlements = kept([sold(100_000)]);
    let statement = reckon(&season).statement;
    assert_eq!(statement.line(StatementKey::NetToGrower).unwrap().amount.value, Money::ZERO);
    assert!(!statement.is_unsold() && !Statement::default().is_unsold());
}
