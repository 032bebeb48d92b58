//! What the block earned, in the order and terms of the published cost-and-return studies.

mod crop;

use rust_decimal::Decimal;

use crate::costs::CostsByGroup;
use crate::exact::Boxes;
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
}

/// The statement: items with records, and every subtotal. No records at all, no lines.
pub fn statement(parts: &Parts<'_>) -> (Statement, Vec<Gap>) {
    let items = items(parts);
    let gaps = unsold(parts);
    if items.is_empty() {
        return (Statement::default(), gaps);
    }
    let lines: Vec<StatementLine> = ORDER.iter().filter_map(|key| line(*key, &items, parts)).collect();
    let crop = crop::crop(parts, &lines);
    let statement = Statement {
        break_even: crop.as_ref().map(|crop| crop::break_even(crop, &lines)).unwrap_or_default(),
        ranging: crop.as_ref().and_then(crate::ranging::Crop::ranging),
        unsettled: parts.sales.unsettled.clone(),
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

fn line(key: StatementKey, items: &[Item], parts: &Parts<'_>) -> Option<StatementLine> {
    let amount = match adds_from(key) {
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
        per_acre: UnitPrice::spread(exact, block.acres.decimal()),
        per_tree: block.trees.and_then(|trees| UnitPrice::spread(exact, Decimal::from(trees))),
        per_box: parts.boxes.and_then(|boxes| UnitPrice::spread(exact, boxes.value.decimal())),
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

#[cfg(test)]
mod tests {
    use crate::break_even::CropUnit;
    use crate::exact::{Acres, Boxes, Exact, Hours, Percent, Pounds};
    use crate::figure::Evidence;
    use crate::money::{Money, UnitPrice};
    use crate::reckon;
    use crate::records::{Charges, CostGroup, LineOutcome, PackoutLine, Rate, RateKind, SettlementLine, Sold};
    use crate::season::{LineRole, SeasonRecords, StatementKey};
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
    fn each_acre_and_tree_comes_from_the_blocks_cents() {
        let mut season = full();
        season.block.acres = Acres::whole(3).unwrap();
        season.block.trees = Some(7);
        let season = reckon(&season);
        let last = season.statement.line(StatementKey::OverAll).unwrap();
        assert_eq!(last.per_acre, UnitPrice::round(dec("472.223333")).ok());
        assert_eq!(last.per_tree, UnitPrice::round(dec("202.381429")).ok());
        assert_eq!(last.per_box, None, "nothing was packed");
        assert_eq!(last.amount.evidence, Evidence::Invoiced);
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
            outcome: LineOutcome::Packed {
                size_class: "A".into(),
                grade: "1".into(),
                boxes: Boxes::whole(1_000).unwrap(),
            },
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
        assert_eq!(
            operating.cost.value,
            Money::from_cents(500_000),
            "at the block's own price, 500 of commission in it"
        );
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
        season.rates =
            kept([Rate { from: date(1, 1), kind: RateKind::Interest, micros: 6_000_000, note: String::new() }]);
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
}
