//! What comes after a season, for a day on which nothing of it is due: after harvest that is next spring.

use chrono::{Datelike, NaiveDate};

use super::{Due, DueBlock, Settings, Work, by_ripening, earliest_first, placed};
use crate::block::Season;

/// The first passes of the next ripening after a season that has not begun on a day, the earliest ripening first. Most lie ahead; seen on a day of next spring some are open or
/// late. They follow from the days of ripening alone: no bloom and no pass of a spring to come is
/// known. A block without days of ripening has none.
pub fn next(blocks: &[DueBlock], season: &Season, today: NaiveDate, settings: Settings) -> Vec<Due> {
    let mut found: Vec<Due> = blocks.iter().filter_map(|block| of_block(block, season, today, settings)).collect();
    found.sort_by(earliest_first);
    found
}

fn of_block(block: &DueBlock, season: &Season, today: NaiveDate, settings: Settings) -> Option<Due> {
    let (first, _) = block.ripening?;
    let after = season.last_day.max(today);
    // Two years ahead: this year's ripening may have begun.
    (0..=2).find_map(|ahead| {
        let ripens = first.in_year(after.year().checked_add(ahead)?).filter(|ripens| *ripens > after)?;
        let (basis, window) = by_ripening(ripens, block.south, settings)?;
        // Of the block itself, and nothing of a season.
        let fresh = DueBlock {
            code: block.code.clone(),
            farm: block.farm.clone(),
            crop: block.crop.clone(),
            variety: block.variety.clone(),
            ripening: block.ripening,
            south: block.south,
            trees: block.trees,
            fruit: block.fruit,
            spacing: block.spacing,
            ..DueBlock::default()
        };
        Some(placed(&fresh, Work::FirstPass, (basis, settings.own(basis), window), Some(ripens), today))
    })
}
