//! What opens next, for a day on which nothing is due: after harvest that is next spring.

use chrono::{Datelike, NaiveDate};

use super::{Due, DueBlock, Settings, Work, by_ripening, placed};

/// The first passes that open next after a day, each block's first, in the order they open. They
/// follow from the days of ripening alone: no bloom of a spring to come is known. A block without days
/// of ripening has none.
pub fn next(blocks: &[DueBlock], today: NaiveDate, settings: Settings) -> Vec<Due> {
    let mut found: Vec<Due> = blocks.iter().filter_map(|block| of_block(block, today, settings)).collect();
    found.sort_by(|a, b| (a.window, &a.block.code).cmp(&(b.window, &b.block.code)));
    found
}

fn of_block(block: &DueBlock, today: NaiveDate, settings: Settings) -> Option<Due> {
    let (first, _) = block.ripening?;
    // Two years ahead: a window by ripening may open in the autumn before.
    (0..=2).find_map(|ahead| {
        let ripens = first.in_year(today.year().checked_add(ahead)?)?;
        let (basis, window) = by_ripening(ripens, settings).filter(|(_, (opens, _))| *opens > today)?;
        let fresh = DueBlock { full_bloom: None, passes: Vec::new(), picked: None, ..block.clone() };
        Some(placed(&fresh, Work::FirstPass, (basis, settings.own(basis), window), Some(ripens), today))
    })
}
