//! The water of several blocks as one: the last row of a farm's or an operation's table.

use crate::money::Money;
use crate::season::BlockSeason;
use crate::summary::Summary;
use crate::units::{Inches, Share};

/// Water and mulch of several blocks. Depths are over the acres of the blocks that know them; money
/// is of the blocks that have it. `None` where no block has the figure.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Together {
    /// Irrigation applied, gross.
    pub applied: Option<Inches>,
    /// Crop need, mulch as it lay.
    pub need: Option<Inches>,
    /// Gross irrigation as a share of the gross need, over the blocks that know both.
    pub applied_of_need: Option<Share>,
    /// Rain.
    pub rain: Option<Inches>,
    /// Rain that stayed in the root zone.
    pub rain_kept: Option<Inches>,
    /// Drained below the roots.
    pub drained: Option<Inches>,
    /// Kept by mulch, over the mulched blocks.
    pub kept: Option<Inches>,
    /// What that water is worth.
    pub kept_worth: Option<Money>,
    /// Cost of the water applied.
    pub cost: Option<Money>,
    /// Material, delivery and spreading of the mulch within its life.
    pub mulch_cost: Option<Money>,
    /// The part of it that falls on the season.
    pub mulch_season_cost: Option<Money>,
}

/// The figures of several block seasons as one.
pub fn together(seasons: &[&BlockSeason]) -> Together {
    let depth = |of: fn(&BlockSeason) -> Option<Inches>| over_acres(seasons, of);
    let money = |of: fn(&BlockSeason) -> Option<Money>| sum(seasons, of);
    let summaries: Vec<Summary> = seasons.iter().map(|season| Summary::of(season)).collect();
    Together {
        applied: depth(|season| season.water.applied_depth.as_ref().map(|depth| depth.value)),
        need: depth(|season| season.water.need.as_ref().map(|depth| depth.value)),
        applied_of_need: Summary::total(&summaries).applied_of_need(),
        rain: depth(|season| season.water.rain.as_ref().map(|depth| depth.value)),
        rain_kept: depth(|season| season.water.rain_kept.as_ref().map(|depth| depth.value)),
        drained: depth(|season| season.water.drained.as_ref().map(|depth| depth.value)),
        kept: depth(|season| season.water.saving.as_ref().map(|saving| saving.kept.depth.value)),
        kept_worth: money(|season| Some(season.water.saving.as_ref()?.kept.worth.as_ref()?.value)),
        cost: money(|season| season.water.cost.as_ref().map(|cost| cost.value)),
        mulch_cost: money(|season| {
            let laid = &season.mulch.laid;
            (!laid.is_empty()).then(|| laid.iter().map(|one| one.cost.value).sum())
        }),
        mulch_season_cost: money(|season| season.mulch.season_cost.as_ref().map(|cost| cost.value)),
    }
}

fn over_acres(seasons: &[&BlockSeason], of: fn(&BlockSeason) -> Option<Inches>) -> Option<Inches> {
    let known = seasons.iter().filter_map(|season| Some((of(season)?.get(), season.acres().as_f64())));
    let (volume, acres) = known.fold((0.0, 0.0), |(volume, all), (depth, acres)| (volume + depth * acres, all + acres));
    (acres > 0.0).then(|| Inches::of(volume / acres))
}

fn sum(seasons: &[&BlockSeason], of: fn(&BlockSeason) -> Option<Money>) -> Option<Money> {
    seasons.iter().filter_map(|season| of(season)).reduce(Money::plus)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::Acres;
    use crate::figure::{Evidence, Figure};
    use crate::season::WaterSeason;
    use crate::testing;

    fn block(acres: i64, applied: Option<f64>, cents: Option<i64>) -> BlockSeason {
        let mut season = crate::reckon(&testing::records());
        season.heading.block.acres = Acres::whole(acres).unwrap();
        season.water = WaterSeason {
            applied_depth: applied.map(|inches| Figure::new(Inches::of(inches), Evidence::Metered, [])),
            cost: cents.map(|cents| Figure::new(Money::from_cents(cents), Evidence::Metered, [])),
            ..WaterSeason::default()
        };
        season
    }

    #[test]
    fn depths_are_over_the_acres_that_know_them() {
        let (a, b, c) = (block(10, Some(30.0), Some(105)), block(30, Some(20.0), Some(200)), block(99, None, None));
        let all = together(&[&a, &b, &c]);
        assert!((all.applied.unwrap().get() - 22.5).abs() < 1e-12, "{all:?}");
        assert_eq!(all.cost, Some(Money::from_cents(305)));
        assert_eq!((all.need, all.kept, all.kept_worth, all.mulch_cost), (None, None, None, None));
        assert_eq!(together(&[]), Together::default());
    }
}
