//! How much of a block was thinned, and what that makes of its figures for a tree.

use super::found::Found;
use super::measures::Measure;
use crate::labor::float;
use crate::say;
use crate::season::BlockSeason;

/// Share of a block's trees below which what was thinned does not stand for the block: common practice,
/// no source.
const ENOUGH: f64 = 0.5;

/// Trees thinned and the block's, where it was not thinned whole.
fn treated(season: &BlockSeason) -> Option<(f64, f64)> {
    season.thinning.in_part.map(|(own, all)| (float(own), f64::from(all)))
}

/// Some trees say little of what all would cost, and what the block sold was grown on the others: every
/// measure is left out.
pub(super) fn left_in(season: &BlockSeason, mut found: Found) -> Found {
    let Some((own, all)) = treated(season).filter(|(own, all)| own / all < ENOUGH) else { return found };
    let why = format!("{} of its {} trees were thinned", say::whole(own), say::whole(all));
    for measure in Measure::ALL {
        found.leave_out(measure, Some(why.clone()));
    }
    found
}

/// "300 of the 500 trees of KW-2 2026 were thinned (60%); what it sold is of all of them.", between half of
/// them and all.
pub(super) fn stands_with(season: &BlockSeason) -> Option<String> {
    let (own, all) = treated(season)?;
    let share = own / all;
    (share >= ENOUGH).then(|| {
        let heading = &season.heading;
        format!(
            "{} of the {} trees of {} {} were thinned ({}%); what it sold is of all of them.",
            say::whole(own),
            say::whole(all),
            heading.block.code,
            heading.season.year,
            libm::round(share * 100.0)
        )
    })
}
