//! Questions about a block: its trees against its ground.

use chrono::{Datelike as _, NaiveDate};
use reckon::block::Block;
use reckon::exact::Acres;
use rust_decimal::Decimal;

use super::{Question, number, question, whole};

/// Trees as a share of those the spacing gives room for: beyond these it is asked.
const SHARE: (f64, f64) = (0.4, 1.5);
/// Trees an acre where no spacing is said: more are no orchard.
const TREES_PER_ACRE: u32 = 3_000;
/// Acres of one block.
const ACRES: u32 = 2_000;

pub(super) fn questions(block: &Block, today: NaiveDate) -> Vec<Question> {
    let planted = block
        .planted_year
        .filter(|year| *year > today.year())
        .map(|year| question("planted_year", format!("Planted in {year}, and today is {today}. Is the year right?")));
    let large = (block.acres.decimal() > ACRES.into())
        .then(|| question("acres", format!("One block of {} acres. Is it so large?", number(block.acres.decimal()))));
    planted.into_iter().chain(large).chain(trees(block)).collect()
}

fn trees(block: &Block) -> Option<Question> {
    let trees = block.trees?;
    let acres = block.acres;
    let Some(room) = reckon::room::trees(block) else {
        let most = acres.decimal().checked_mul(TREES_PER_ACRE.into())?;
        return (Decimal::from(trees) > most).then(|| {
            let said = format!("{} trees on {}. Is it so many?", number(trees.into()), acres_said(acres));
            question("trees", said)
        });
    };
    let share = f64::from(trees) / room;
    (share < SHARE.0 || share > SHARE.1).then(|| {
        let said = format!(
            "{} trees on {}, where the spacing gives room for about {}. Are trees, acres and spacing right?",
            number(trees.into()),
            acres_said(acres),
            whole(room),
        );
        question("trees", said)
    })
}

fn acres_said(acres: Acres) -> String {
    let number = number(acres.decimal());
    if number == "1" { "1 acre".to_owned() } else { format!("{number} acres") }
}

#[cfg(test)]
mod tests {
    use reckon::units::Feet;

    use super::*;

    fn asked(acres: i64, trees: u32, spacing: Option<(f64, f64)>) -> Vec<String> {
        let block = Block {
            acres: Acres::whole(acres).unwrap(),
            trees: Some(trees),
            row_spacing: spacing.map(|(row, _)| Feet::of(row)),
            tree_spacing: spacing.map(|(_, tree)| Feet::of(tree)),
            ..Block::default()
        };
        let today = NaiveDate::from_ymd_opt(2026, 7, 1).unwrap();
        questions(&block, today).into_iter().map(|question| question.sentence).collect()
    }

    #[test]
    fn trees_are_held_against_spacing_and_acres() {
        assert!(asked(15, 2_387, Some((18.0, 15.5))).is_empty());
        assert!(asked(15, 2_387, None).is_empty());
        assert_eq!(
            asked(1, 900_000, Some((18.0, 12.0))),
            [
                "900,000 trees on 1 acre, where the spacing gives room for about 202. Are trees, acres and spacing right?"
            ]
        );
        assert_eq!(asked(1, 900_000, None), ["900,000 trees on 1 acre. Is it so many?"]);
        assert_eq!(asked(10, 200, Some((18.0, 12.0))).len(), 1, "far fewer than there is room for");
    }

    #[test]
    fn a_block_planted_next_year_or_as_large_as_a_county() {
        let today = NaiveDate::from_ymd_opt(2026, 7, 1).unwrap();
        let block = Block { planted_year: Some(2_027), acres: Acres::whole(2_001).unwrap(), ..Block::default() };
        let columns: Vec<&str> = questions(&block, today).into_iter().map(|question| question.column).collect();
        assert_eq!(columns, ["planted_year", "acres"]);
    }
}
