//! A farm's or the operation's statement: the blocks' statements added up.

use rust_decimal::Decimal;

use crate::exact::{Acres, Pounds, unit};
use crate::figure::Figure;
use crate::money::{Money, UnitPrice};
use crate::returns;
use crate::season::{BlockSeason, Statement, StatementKey, StatementLine};

/// Denominators of several blocks; `None` where one of them does not know its own. A block that
/// neither packed nor sold adds no box and no pound: the crop of the others bears its costs.
struct Ground {
    acres: Acres,
    trees: Option<u64>,
    boxes: Option<Decimal>,
    pounds: Option<Pounds>,
}

/// The statements of several blocks as one. Each line is the sum of the blocks' lines, to the cent;
/// per acre, tree, box and pound over the blocks that have a statement. Break-even and ranging stay with
/// the blocks: a price across crops says nothing.
pub fn together(seasons: &[&BlockSeason]) -> Statement {
    let stated: Vec<&BlockSeason> =
        seasons.iter().copied().filter(|season| !season.statement.lines.is_empty()).collect();
    let ground = Ground::of(&stated);
    let unsettled: Vec<&Figure<Money>> =
        stated.iter().filter_map(|season| season.statement.unsettled.as_ref()).collect();
    Statement {
        lines: returns::ORDER.iter().filter_map(|key| line(*key, &stated, &ground)).collect(),
        unsettled: (!unsettled.is_empty()).then(|| returns::sum(&unsettled)),
        pounds: ground.pounds,
        ..Statement::default()
    }
}

impl Ground {
    fn of(seasons: &[&BlockSeason]) -> Self {
        let boxes = |season: &&BlockSeason| match &season.packout.boxes {
            Some(boxes) => Some(boxes.value.decimal()),
            // Fruit sold by weight and never packed has no boxes to count.
            None => season.statement.pounds.is_none().then_some(Decimal::ZERO),
        };
        let pounds = |season: &&BlockSeason| {
            season.statement.pounds.or_else(|| season.packout.boxes.is_none().then_some(Pounds::ZERO))
        };
        Self {
            pounds: seasons.iter().map(pounds).sum(),
            acres: seasons.iter().map(|season| season.acres()).sum(),
            trees: seasons.iter().map(|season| season.heading.block.trees.map(u64::from)).sum(),
            boxes: seasons.iter().map(boxes).sum(),
        }
    }
}

fn line(key: StatementKey, seasons: &[&BlockSeason], ground: &Ground) -> Option<StatementLine> {
    let lines = seasons.iter().filter_map(|season| season.statement.line(key));
    let amounts: Vec<&Figure<Money>> = lines.map(|line| &line.amount).collect();
    if amounts.is_empty() {
        return None;
    }
    let amount = returns::sum(&amounts);
    let exact = amount.value.decimal();
    Some(StatementLine {
        key,
        role: returns::role(key),
        per_acre: UnitPrice::each(exact, ground.acres.decimal()),
        per_tree: ground.trees.and_then(|trees| UnitPrice::each(exact, Decimal::from(trees))),
        per_box: ground.boxes.and_then(|boxes| UnitPrice::each(exact, boxes)),
        per_pound: ground.pounds.and_then(|pounds| UnitPrice::each(exact, pounds.decimal())),
        amount,
    })
}

/// Dollars an acre of a line, in the middle of the blocks that have it: half way between the two in
/// the middle of an even number. Each line stands on its own, so medians of lines do not add up.
/// `None` with fewer than two blocks.
pub fn median_per_acre(seasons: &[&BlockSeason], key: StatementKey) -> Option<UnitPrice<unit::Acre>> {
    let each = seasons.iter().filter_map(|season| season.statement.line(key)?.per_acre);
    let each: Vec<i64> = each.map(UnitPrice::micros).collect();
    let several = each.len() > 1;
    crate::overview::middle(each.into_iter()).filter(|_| several).map(UnitPrice::from_micros)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::{Boxes, Exact};
    use crate::reckon;
    use crate::records::{Charges, CostGroup, LineOutcome, PackoutLine, SettlementLine, Sold};
    use crate::testing::{cost, date, kept, records};

    fn block(acres: i64, cents: i64) -> BlockSeason {
        let mut season = records();
        season.block.acres = Exact::whole(acres).unwrap();
        season.costs = kept([cost(CostGroup::Cultural, cents)]);
        reckon(&season)
    }

    /// 100 boxes of 20 lb.
    fn packed() -> BlockSeason {
        let mut season = records();
        season.costs = kept([cost(CostGroup::Cultural, 10_000)]);
        season.packout = kept([PackoutLine {
            date: date(7, 20),
            outcome: LineOutcome::Packed {
                size_class: "A".into(),
                grade: "1".into(),
                boxes: Boxes::whole(100).unwrap(),
            },
            weight: Pounds::whole(2_000).ok(),
            note: String::new(),
        }]);
        reckon(&season)
    }

    /// 500 lb to the cannery.
    fn cannery() -> BlockSeason {
        let mut season = records();
        season.costs = kept([cost(CostGroup::Cultural, 10_000)]);
        season.settlements = kept([SettlementLine {
            date: date(8, 1),
            buyer: String::new(),
            size_class: None,
            grade: None,
            sold: Sold::Weight { weight: Pounds::whole(500).unwrap(), price: UnitPrice::from_micros(200_000) },
            charges: Charges::default(),
            note: String::new(),
        }]);
        reckon(&season)
    }

    #[test]
    fn a_young_block_adds_its_costs_and_no_box() {
        let (packed, young) = (packed(), block(10, 20_000));
        let all = together(&[&packed, &young]);
        let growing = all.line(StatementKey::OtherGrowing).unwrap();
        assert_eq!(growing.per_box, Some(UnitPrice::from_micros(-3_000_000)), "300.00 over 100 boxes");
        assert_eq!(growing.per_pound, Some(UnitPrice::from_micros(-150_000)));
        let mixed = together(&[&packed, &cannery()]);
        let growing = mixed.line(StatementKey::OtherGrowing).unwrap();
        assert_eq!((growing.per_box, growing.per_pound), (None, Some(UnitPrice::from_micros(-80_000))));
    }

    #[test]
    fn the_median_of_a_line_is_over_the_blocks_that_have_it() {
        let stated = [(10, 10_000), (10, 30_000), (5, 40_000)].into_iter().map(|(acres, cents)| block(acres, cents));
        let blocks: Vec<BlockSeason> = stated.chain([reckon(&records())]).collect();
        let all: Vec<&BlockSeason> = blocks.iter().collect();
        // 10, 30 and 80 dollars an acre, and a block with nothing to state.
        assert_eq!(median_per_acre(&all, StatementKey::OtherGrowing), Some(UnitPrice::from_micros(-30_000_000)));
        assert_eq!(median_per_acre(&all[..2], StatementKey::OtherGrowing), Some(UnitPrice::from_micros(-20_000_000)));
        assert_eq!(median_per_acre(&all[..1], StatementKey::OtherGrowing), None);
        assert_eq!(median_per_acre(&all, StatementKey::Water), None);
    }
}
