//! The water of several blocks as one: the last row of a farm's or an operation's table.

use crate::exact::Acres;
use crate::figure::Evidence;
use crate::money::Money;
use crate::mulch;
use crate::season::BlockSeason;
use crate::summary::Summary;
use crate::units::{Count, Inches, Share};

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
    /// Kept by mulch, over the mulched blocks and no others.
    pub kept: Option<Inches>,
    /// The acres of those blocks.
    pub kept_acres: Option<Acres>,
    /// What that water is worth.
    pub kept_worth: Option<Money>,
    /// Cost of the water applied.
    pub cost: Option<Money>,
    /// Material, delivery and spreading of the mulch within its life.
    pub mulch_cost: Option<Money>,
    /// The part of it that falls on the season.
    pub mulch_season_cost: Option<Money>,
    /// That part over what the kept water is worth, of the blocks that know both.
    pub mulch_cost_over_value: Option<Count>,
    /// Seasons of such water that pay for the mulch, of the blocks that know both.
    pub mulch_payback: Option<Count>,
    /// How each is known: the weakest of the blocks.
    pub known: Known,
}

/// How the figures of several blocks are known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Known {
    /// Irrigation applied.
    pub applied: Option<Evidence>,
    /// Crop need, and what else the daily balance gives.
    pub need: Option<Evidence>,
    /// Kept by mulch and its worth.
    pub kept: Option<Evidence>,
    /// Cost of the water applied.
    pub cost: Option<Evidence>,
    /// Cost of the mulch.
    pub mulch_cost: Option<Evidence>,
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
        kept_worth: money(worth),
        cost: money(|season| season.water.cost.as_ref().map(|cost| cost.value)),
        mulch_cost: money(|season| season.mulch.known_cost()),
        mulch_season_cost: money(|season| season.mulch.season_cost.as_ref().map(|cost| cost.value)),
        kept_acres: seasons
            .iter()
            .filter(|season| season.water.saving.is_some())
            .map(|season| season.acres())
            .reduce(Acres::plus),
        mulch_cost_over_value: over_worth(seasons, |season| {
            season.mulch.whole_cost()?;
            Some(season.mulch.season_cost.as_ref()?.value)
        }),
        mulch_payback: over_worth(seasons, |season| season.mulch.whole_cost()),
        known: known(seasons),
    }
}

fn known(seasons: &[&BlockSeason]) -> Known {
    let weakest = |of: fn(&BlockSeason) -> Option<Evidence>| seasons.iter().filter_map(|season| of(season)).max();
    Known {
        applied: weakest(|season| season.water.applied.as_ref().map(|water| water.evidence)),
        need: weakest(|season| season.water.need.as_ref().map(|need| need.evidence)),
        kept: weakest(|season| season.water.saving.as_ref().map(|saving| saving.kept.depth.evidence)),
        cost: weakest(|season| season.water.cost.as_ref().map(|cost| cost.evidence)),
        mulch_cost: weakest(|season| season.mulch.season_cost.as_ref().map(|cost| cost.evidence)),
    }
}

/// What the water kept by mulch is worth.
fn worth(season: &BlockSeason) -> Option<Money> {
    Some(season.water.saving.as_ref()?.kept.worth.as_ref()?.value)
}

/// Money of the mulch over the worth of the water it kept, of the blocks that have both; a block whose
/// mulch has a cost and no worth would make the others look dearer.
fn over_worth(seasons: &[&BlockSeason], of: fn(&BlockSeason) -> Option<Money>) -> Option<Count> {
    let both = seasons.iter().filter_map(|season| Some((of(season)?, worth(season)?)));
    let (cost, worth) = both.reduce(|(cost, worth), (more, also)| (cost.plus(more), worth.plus(also)))?;
    mulch::times(cost, worth).map(Count::of)
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
    use crate::figure::Figure;
    use crate::records::{Applied, IrrigationSet, MulchApplication};
    use crate::season::WaterSeason;
    use crate::testing;
    use crate::water::testing::{days, mulch};

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

    /// A bare block has neither kept water nor mulch; it counts in nothing that is said of them.
    #[test]
    fn mulch_is_over_the_mulched_blocks_alone() {
        let mulched = |acres, share, cents: i64| {
            let mut records = crate::water::testing::dry(60);
            records.block.acres = Acres::whole(acres).unwrap();
            let set = |day| IrrigationSet { date: day, applied: Applied::Depth(Inches::of(0.8)), note: String::new() };
            records.irrigation = crate::water::testing::kept(days(testing::date(5, 4), 50).step_by(5).map(set));
            records.rates = crate::water::testing::kept([crate::records::Rate {
                from: testing::date(1, 1),
                kind: crate::records::RateKind::Water,
                micros: 120_000_000,
                note: String::new(),
            }]);
            records.mulch = crate::water::testing::kept([MulchApplication {
                material_cost: Some(Money::from_cents(cents)),
                ..mulch(share)
            }]);
            crate::reckon(&records)
        };
        let share = crate::records::MulchShape::SharePct;
        let (a, b) = (mulched(10, share(40.0), 100_000), mulched(30, share(60.0), 200_000));
        let bare = block(60, Some(20.0), Some(200));
        let all = together(&[&a, &b, &bare]);
        assert_eq!(all.kept_acres, Some(Acres::whole(40).unwrap()));
        let worth = all.kept_worth.unwrap();
        assert_eq!(
            worth,
            [&a, &b]
                .map(|season| season.water.saving.as_ref().unwrap().kept.worth.as_ref().unwrap().value)
                .into_iter()
                .sum()
        );
        let times = 300_000.0 / f64::from(u32::try_from(worth.cents()).unwrap());
        assert!((all.mulch_payback.unwrap().get() - times).abs() < 1e-9, "{all:?}");
        assert!((all.mulch_cost_over_value.unwrap().get() - times / 2.0).abs() < 1e-9, "half of it each season");
        assert_eq!((all.known.kept, all.known.mulch_cost), (Some(Evidence::Modelled), Some(Evidence::Invoiced)));
        assert_eq!((all.known.applied, together(&[&bare]).kept_acres), (Some(Evidence::Counted), None));
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
