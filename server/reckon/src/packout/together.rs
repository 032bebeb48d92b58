//! Packout and prices of several blocks as one.

use std::collections::BTreeMap;

use super::cells::{self, Cell};
use super::{Sales, Settled, packed, sales};
use crate::block::folded;
use crate::figure::Gap;
use crate::season::{PackoutSeason, SeasonRecords};

/// Fruit of several blocks of one crop.
#[derive(Debug, Clone, PartialEq)]
pub struct Together {
    /// Sizes, grades, weeks and prices, weighted over the blocks.
    pub packout: PackoutSeason,
    /// The money from its sales.
    pub sales: Sales,
    /// What does not fit in each block's own records, in the order of the blocks.
    pub gaps: Vec<Vec<Gap>>,
}

/// The blocks that packed or sold something by crop, crops by name as they are compared, each as the
/// first block writes it; blocks of a crop in the order they came.
pub fn by_crop<B>(
    blocks: impl IntoIterator<Item = B>,
    records: impl Fn(&B) -> &SeasonRecords,
) -> Vec<(String, Vec<B>)> {
    let mut crops: BTreeMap<String, (String, Vec<B>)> = BTreeMap::new();
    for block in blocks {
        let own = records(&block);
        if own.packout.is_empty() && own.settlements.is_empty() {
            continue;
        }
        let name = own.block.crop.trim().to_owned();
        crops.entry(folded(&name)).or_insert_with(|| (name, Vec::new())).1.push(block);
    }
    crops.into_values().collect()
}

/// Fruit of several blocks of one crop as one, and the money from its sales. `None` without a block.
///
/// Each block is settled by its own settlements first, so the sums are those of the blocks to the
/// cent; prices are weighted over all of them.
pub fn together(blocks: &[&SeasonRecords]) -> Option<Together> {
    let settled: Vec<Settled> = blocks.iter().map(|block| Settled::of(block)).collect();
    let both: Vec<(&SeasonRecords, &Settled)> = blocks.iter().copied().zip(&settled).collect();
    let (packout, sales) = settled_together(&both)?;
    Some(Together { packout, sales, gaps: settled.into_iter().map(|block| block.gaps).collect() })
}

/// The same of blocks that are settled already.
pub(crate) fn settled_together(blocks: &[(&SeasonRecords, &Settled)]) -> Option<(PackoutSeason, Sales)> {
    let all = one(blocks.iter().map(|(records, _)| *records))?;
    let mut cells: Vec<Cell> = blocks.iter().flat_map(|(_, settled)| settled.cells.iter().cloned()).collect();
    cells::arrange(&mut cells, &super::own_list(&all));
    Some((packed(&all, &cells), sales(&all, &cells)))
}

/// The blocks as if they were one: acres and trees added up, fruit and settlements in one list.
fn one<'r>(mut blocks: impl Iterator<Item = &'r SeasonRecords>) -> Option<SeasonRecords> {
    let mut all = blocks.next()?.clone();
    for block in blocks {
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
        let Together { packout: season, sales, gaps } = together(&[&blocks[0], &blocks[1]]).unwrap();
        assert_eq!(gaps, [super::super::season(&blocks[0]).2, super::super::season(&blocks[1]).2]);
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
        let Together { packout: season, sales, gaps } = together(&[&unpaid, &paid]).unwrap();
        assert!(gaps[0][0].what.contains("without a price") && gaps[1].is_empty(), "{gaps:?}");
        assert_eq!(season.boxes_without_price.unwrap().value, Boxes::whole(100).unwrap());
        assert_eq!(season.net_per_box.unwrap().value, UnitPrice::from_micros(12_000_000));
        assert_eq!(sales.valued, Some(Boxes::whole(300).unwrap()));
        assert!(together(&[]).is_none());
    }

    #[test]
    fn a_crop_is_one_crop_however_it_is_written() {
        let crop = |name: &str| SeasonRecords {
            block: crate::block::Block { crop: name.into(), ..records().block },
            ..block(2, "60", 100, 20)
        };
        let idle = records();
        let blocks = [crop(" Peach"), crop("nectarine"), idle, crop("peach ")];
        let crops = by_crop(&blocks, |block| block);
        let told: Vec<(&str, usize)> = crops.iter().map(|(name, blocks)| (name.as_str(), blocks.len())).collect();
        assert_eq!(told, [("nectarine", 1), ("Peach", 2)]);
    }
}
