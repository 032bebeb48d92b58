//! How much of a block was thinned, and what that makes of its figures for a tree.

use super::found::Found;
use super::measures::Measure;
use super::parts::told;
use crate::say;
use crate::season::BlockSeason;

/// Share of a block's trees below which what was thinned does not stand for the block: common practice,
/// no source.
const ENOUGH: f64 = 0.5;
/// Share of a block's trees from which it counts as thinned whole: common practice, no source.
const WHOLE: f64 = 0.95;

/// Trees thinned, counted or by rows, and the block's.
fn treated(season: &BlockSeason) -> Option<(f64, f64)> {
    let own = told(season.labor.thinning.as_ref()?)?;
    let all = f64::from(season.heading.block.trees?);
    (own < all).then_some((own, all))
}

/// Some trees say little of what all would cost: measures of a tree are left out.
pub(super) fn left_in(season: &BlockSeason, mut found: Found) -> Found {
    let Some((own, all)) = treated(season).filter(|(own, all)| own / all < ENOUGH) else { return found };
    let why = format!("{} of its {} trees were thinned", say::whole(own), say::whole(all));
    for measure in [Measure::CostPerTree, Measure::HoursPerTree, Measure::CostPerThousand] {
        if found.measures.remove(&measure).is_some() {
            found.lacking.insert(measure, why.clone());
        }
    }
    found
}

/// "KW-2 2026 stands with 300 of its 500 trees (60%).", between half of them and all.
pub(super) fn stands_with(season: &BlockSeason) -> Option<String> {
    let (own, all) = treated(season)?;
    let share = own / all;
    (ENOUGH..WHOLE).contains(&share).then(|| {
        let heading = &season.heading;
        format!(
            "{} {} stands with {} of its {} trees ({}%).",
            heading.block.code,
            heading.season.year,
            say::whole(own),
            say::whole(all),
            libm::round(share * 100.0)
        )
    })
}
