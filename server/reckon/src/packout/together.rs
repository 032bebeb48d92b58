//! Packout and prices of several blocks as one.

use super::cells::{self, Cell};
use super::{Sales, packed, sales, settled};
use crate::season::{PackoutSeason, SeasonRecords};

/// Fruit of several blocks of one crop as one, and the money from its sales. `None` without a block.
///
/// Each block is settled by its own settlements first, so the sums are those of the blocks to the
/// cent; prices are weighted over all of them.
pub fn together(blocks: &[&SeasonRecords]) -> Option<(PackoutSeason, Sales)> {
    let all = one(blocks)?;
    // What does not fit is said on the block's own page.
    let mut cells: Vec<Cell> = blocks.iter().flat_map(|block| settled(block).0).collect();
    cells::arrange(&mut cells, &super::own_list(&all));
    Some((packed(&all, &cells), sales(&all, &cells)))
}

/// The blocks as if they were one: acres and trees added up, fruit and settlements in one list.
fn one(blocks: &[&SeasonRecords]) -> Option<SeasonRecords> {
    let (first, rest) = blocks.split_first()?;
    let mut all = (*first).clone();
    for block in rest {
        all.block.acres = all.block.acres.plus(block.block.acres);
        all.block.trees = all.block.trees.zip(block.block.trees).and_then(|(a, b)| a.checked_add(b));
        all.picks.extend(block.picks.iter().cloned());
        all.packout.extend(block.packout.iter().cloned());
        all.settlements.extend(block.settlements.iter().cloned());
    }
    Some(all)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::{Boxes, Pounds};
    use crate::money::{Money, UnitPrice};
    use crate::records::{Charges, LineOutcome, PackoutLine, SettlementLine, Sold};
    use crate::testing::{date, numbered, records};

    fn block(line: u32, size: &str, boxes: i64, dollars: i64) -> SeasonRecords {
        let fruit = PackoutLine {
            date: date(7, 6),
            outcome: LineOutcome::Packed {
                size_class: size.into(),
                grade: "1".into(),
                boxes: Boxes::whole(boxes).unwrap(),
            },
            weight: Pounds::whole(boxes * 25).ok(),
            note: String::new(),
        };
        let paid = SettlementLine {
            date: date(8, 1),
            buyer: String::new(),
            sold: Sold::Boxes {
                boxes: Boxes::whole(boxes).unwrap(),
                price: UnitPrice::from_micros(dollars * 1_000_000),
            },
            size_class: Some(size.into()),
            grade: None,
            charges: Charges::default(),
            note: String::new(),
        };
        let mut all = records();
        all.packout = vec![numbered(line, fruit)];
        all.settlements = vec![numbered(line, paid)];
        all
    }

    #[test]
    fn prices_of_two_blocks_are_weighted_and_their_sums_are_the_blocks() {
        let blocks = [block(2, "60", 100, 20), block(3, "60", 300, 12)];
        let (season, sales) = together(&[&blocks[0], &blocks[1]]).unwrap();
        assert_eq!(season.boxes.unwrap().value, Boxes::whole(400).unwrap());
        assert_eq!(season.sizes.len(), 1);
        assert_eq!(season.net_per_box.unwrap().value, UnitPrice::from_micros(14_000_000));
        assert_eq!(sales.gross.unwrap().value, Money::from_cents(560_000));
        assert_eq!(season.boxes_per_acre.unwrap().value.get().to_bits(), 20.0f64.to_bits());
    }

    #[test]
    fn one_blocks_settlement_never_pays_anothers_boxes() {
        let unpaid = SeasonRecords { settlements: Vec::new(), ..block(2, "60", 100, 20) };
        let paid = block(3, "60", 300, 12);
        let (season, sales) = together(&[&unpaid, &paid]).unwrap();
        assert_eq!(season.boxes_without_price.unwrap().value, Boxes::whole(100).unwrap());
        assert_eq!(season.net_per_box.unwrap().value, UnitPrice::from_micros(12_000_000));
        assert_eq!(sales.valued, Some(Boxes::whole(300).unwrap()));
        assert!(together(&[]).is_none());
    }
}
