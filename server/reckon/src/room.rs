//! A block's trees against the room that its acres and spacing give.

use rust_decimal::Decimal;

use crate::block::Block;
use crate::figure::{Gap, GapAbout};
use crate::say;
use crate::units::{Feet, SQUARE_FEET_PER_ACRE};

/// Trees as a share of the room, percent, outside which a look is asked for. Roads, turns and gaps take a
/// tenth in common practice, no source.
const USUAL_PCT: (f64, f64) = (70.0, 110.0);

/// Trees that acres and spacing give room for: acres × 43,560 ÷ (between rows × between trees), feet.
/// `None` without a spacing, and where there is no room for one.
pub fn trees(block: &Block) -> Option<f64> {
    let each = block.row_spacing.map(Feet::get)? * block.tree_spacing.map(Feet::get)?;
    let room = block.acres.as_f64() * SQUARE_FEET_PER_ACRE / each;
    (room.is_finite() && room >= 1.0).then_some(room)
}

/// Trees, acres and spacing that do not fit together: one of them is wrong, and what is reckoned for each
/// tree or each acre with it.
pub(crate) fn doubt(block: &Block) -> Option<Gap> {
    let (trees, room) = (block.trees.filter(|trees| *trees > 0)?, trees(block)?);
    let share = f64::from(trees) / room * 100.0;
    if (USUAL_PCT.0..=USUAL_PCT.1).contains(&share) {
        return None;
    }
    let what = format!(
        "{} has {}, and {} at its spacing would hold about {}.",
        block.code,
        say::counted(Decimal::from(trees), "tree", "trees"),
        say::counted(block.acres.decimal(), "acre", "acres"),
        say::whole(room),
    );
    Some(say::worth_a_look(GapAbout::Block, what, "Correct the trees, the acres or the spacing of the block.", []))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::Acres;
    use crate::testing::records;

    /// One acre at 18 by 14 ft: 43,560 ÷ 252 is 172.9.
    fn said(trees: u32) -> Vec<String> {
        let mut season = records();
        season.block = Block {
            acres: Acres::whole(1).unwrap(),
            trees: Some(trees),
            row_spacing: Some(Feet::of(18.0)),
            tree_spacing: Some(Feet::of(14.0)),
            ..season.block
        };
        let about = |gap: &Gap| gap.about == GapAbout::Block;
        crate::reckon(&season).gaps.into_iter().filter(about).map(|gap| gap.what).collect()
    }

    #[test]
    fn trees_that_do_not_fit_the_ground_are_worth_a_look() {
        assert_eq!(said(100), ["T-1 has 100 trees, and 1 acre at its spacing would hold about 173."]);
        assert_eq!(said(191).len(), 1);
        assert!([122, 155, 190].iter().all(|trees| said(*trees).is_empty()));
    }
}
