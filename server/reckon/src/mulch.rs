//! Mulch: the floor it covers, how much of it, what it costs a season.
//!
//! What it does to evaporation is reckoned in [`crate::water`].

use core::cmp::Ordering;

use chrono::{Days, NaiveDate};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::block::{Block, Season};
use crate::capital::Asset;
use crate::exact::{Percent, Years};
use crate::figure::{Evidence, Figure, Gap, GapAbout, Kept, RecordKind, RecordRef};
use crate::money::Money;
use crate::records::{MulchApplication, MulchKind, MulchShape};
use crate::season::{MulchLaid, MulchSeason, SeasonRecords};
use crate::units::{Count, CubicYards, Inches, SQUARE_FEET_PER_ACRE, Share, SquareFeet};
use crate::water::resolve::Resolved;
use crate::water::setup::Setting;
use crate::{say, ties};

/// Cubic feet in a cubic yard, exact.
const CUBIC_FEET_PER_CUBIC_YARD: f64 = 27.0;
/// Days of a year of life; leap days even out.
const DAYS_PER_YEAR: f64 = 365.25;

/// The floor under a mulch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cover {
    /// Covered floor, clear rings taken out.
    pub area: SquareFeet,
    /// Share of the block's whole surface, 0 to 1.
    pub share: f64,
}

/// What the block does not say and the covered floor needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unsaid {
    /// Acres.
    Acres,
    /// Distance between rows.
    RowSpacing,
    /// Number of trees.
    Trees,
}

/// The floor an application covers: strip or ring, less a clear ring around each trunk.
///
/// A share given outright is taken as it is: whoever gave it looked at the floor.
///
/// # Errors
/// [`Unsaid`] when the block lacks what the shape needs.
pub fn cover(mulch: &MulchApplication, block: &Block) -> Result<Cover, Unsaid> {
    let floor = Some(block.acres.as_f64() * SQUARE_FEET_PER_ACRE).filter(|area| *area > 0.0).ok_or(Unsaid::Acres)?;
    let clear = mulch.clear_radius.get().max(0.0) / 12.0;
    let trees = || block.trees.map(f64::from).ok_or(Unsaid::Trees);
    let covered = match mulch.shape {
        MulchShape::Strip(width) => {
            let row = block.row_spacing.map(crate::units::Feet::get).filter(|feet| *feet > 0.0);
            let strips = floor * (width.get() / row.ok_or(Unsaid::RowSpacing)?).min(1.0);
            let rings = if clear > 0.0 { trees()? * disc_in_strip(clear, width.get() / 2.0) } else { 0.0 };
            strips - rings
        }
        MulchShape::Ring(radius) => trees()? * core::f64::consts::PI * (radius.get() * radius.get() - clear * clear),
        MulchShape::SharePct(share) => floor * share / 100.0,
    };
    let covered = covered.clamp(0.0, floor);
    Ok(Cover { area: SquareFeet::of(covered), share: covered / floor })
}

/// Area of a disc around a trunk that lies within a strip centred on it.
fn disc_in_strip(radius: f64, half_width: f64) -> f64 {
    if radius <= half_width {
        return core::f64::consts::PI * radius * radius;
    }
    let along = (radius * radius - half_width * half_width).sqrt();
    2.0 * (half_width * along + radius * radius * libm::asin(half_width / radius))
}

/// Material, delivery and spreading, as far as they are given: straw off the own field costs nothing
/// but the hauling. `None` where nobody gave any of the three.
pub fn whole_cost(mulch: &MulchApplication) -> Option<Money> {
    [mulch.material_cost, mulch.delivery_cost, mulch.spreading_cost].into_iter().flatten().reduce(Money::plus)
}

/// Last day of an application's life.
pub(crate) fn last_day(mulch: &MulchApplication) -> NaiveDate {
    let days = (life(mulch).as_f64() * DAYS_PER_YEAR).clamp(1.0, 36_525.0);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to a hundred years")]
    let days = Days::new(days as u64 - 1);
    mulch.date.checked_add_days(days).unwrap_or(mulch.date)
}

/// Depth left of a layer on a day, inches, when it loses so many a year.
pub fn settled(depth: f64, laid: NaiveDate, day: NaiveDate, inches_a_year: f64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "days within a mulch's life")]
    let years = day.signed_duration_since(laid).num_days().max(0) as f64 / DAYS_PER_YEAR;
    (depth - inches_a_year * years).max(0.0)
}

/// How long it lasts; one season where nobody said.
const fn life(mulch: &MulchApplication) -> Years {
    if mulch.life.micros() > 0 { mulch.life } else { Years::from_micros(1_000_000) }
}

/// The part of an application's cost that falls on a season.
///
/// Without interest straight line: each season of its life bears the same, the last one what is left
/// of a broken year. With interest capital recovery, P i (1+i)^n / ((1+i)^n - 1) over n whole seasons
/// and nothing left at the end: every season bears the same.
fn season_cost(mulch: &MulchApplication, cost: Money, season: &Season, interest: Percent) -> Money {
    let life = life(mulch).decimal();
    let before = season.first_day.signed_duration_since(mulch.date).num_days().max(0);
    let seasons_borne = if before == 0 { 0 } else { (before - 1) / 365 + 1 };
    let left = (life - Decimal::from(seasons_borne)).clamp(Decimal::ZERO, Decimal::ONE);
    let part = if interest > Percent::ZERO && left > Decimal::ZERO {
        let life_years = life.ceil().to_u32().unwrap_or(1);
        Asset { price: cost, salvage: Money::ZERO, life_years, rate: interest }.exact_recovery()
    } else {
        cost.decimal().checked_mul(left).and_then(|sum| sum.checked_div(life))
    };
    part.and_then(|exact| Money::round(exact).ok()).unwrap_or(Money::ZERO)
}

/// The block's interest.
#[expect(clippy::cast_possible_truncation, reason = "a percentage within its range")]
fn interest(resolved: &Resolved) -> Percent {
    Percent::from_micros(libm::round(resolved.number(Setting::MulchInterestPct) * 1e6) as i64)
}

/// The mulch of a season: each application still within its life, what it covers and costs.
///
/// `kept_worth` is what the water kept by mulch is worth, from [`crate::water::season`].
pub fn season(records: &SeasonRecords, kept_worth: Option<&Figure<Money>>) -> (MulchSeason, Vec<Gap>) {
    let mut gaps = Vec::new();
    let resolved = Resolved::of(&records.block);
    let alive =
        |laid: &MulchApplication| laid.date <= records.season.last_day && last_day(laid) >= records.season.first_day;
    let mut kept: Vec<_> = records.mulch.iter().filter(|kept| alive(&kept.record)).collect();
    kept.sort_by(|a, b| in_order(&a.record, &b.record).then(a.id.cmp(&b.id)));
    let laid: Vec<MulchLaid> = kept.into_iter().map(|kept| application(kept, records, &resolved, &mut gaps)).collect();
    let parts = || laid.iter().filter_map(|one| one.season_cost.as_ref());
    let season_cost = parts().next().is_some().then(|| {
        Figure::new(
            parts().map(|figure| figure.value).sum(),
            Evidence::Invoiced,
            parts().flat_map(|figure| figure.records.iter().copied()),
        )
    });
    let mut mulch = MulchSeason { laid, season_cost, cost_over_value: None, payback: None };
    if let Some(worth) = kept_worth {
        pay_back(&mut mulch, worth);
    }
    (mulch, gaps)
}

/// By day, then by what was laid, the deeper and wider first.
fn in_order(a: &MulchApplication, b: &MulchApplication) -> Ordering {
    let costs = |laid: &MulchApplication| (laid.life, laid.material_cost, laid.delivery_cost, laid.spreading_cost);
    let laid = |laid: &MulchApplication| {
        let [strip, ring, share] = match laid.shape {
            MulchShape::Strip(width) => [Some(width.get()), None, None],
            MulchShape::Ring(radius) => [None, Some(radius.get()), None],
            MulchShape::SharePct(share) => [None, None, Some(share)],
        };
        [Some(laid.depth.get()), strip, ring, share, Some(laid.clear_radius.get())]
    };
    let names = (a.date, &a.material, a.kind).cmp(&(b.date, &b.material, b.kind));
    names.then_with(|| ties::values(laid(b), laid(a))).then_with(|| costs(a).cmp(&costs(b)))
}

impl MulchSeason {
    /// Material, delivery and spreading of all of it; `None` where a layer has no cost, or none is laid.
    pub fn whole_cost(&self) -> Option<Money> {
        let all: Option<Money> = self.laid.iter().map(|one| Some(one.cost.as_ref()?.value)).sum();
        all.filter(|_| !self.laid.is_empty())
    }

    /// Material, delivery and spreading of the layers that have a cost; `None` where none has.
    pub fn known_cost(&self) -> Option<Money> {
        self.laid.iter().filter_map(|one| Some(one.cost.as_ref()?.value)).reduce(Money::plus)
    }
}

/// Seasons of the water kept that pay for each application, and for all of them. The worth goes out to
/// the applications by the floor they cover, as no record tells whose water it was.
fn pay_back(mulch: &mut MulchSeason, worth: &Figure<Money>) {
    if let Some((whole, season)) = mulch.whole_cost().zip(mulch.season_cost.as_ref()) {
        mulch.cost_over_value = over(season, worth);
        mulch.payback = over(&season.map(whole), worth);
    }
    let floor: Option<f64> = mulch.laid.iter().map(|one| Some(one.covered.as_ref()?.value.get())).sum();
    let Some(floor) = floor.filter(|floor| *floor > 0.0) else { return };
    for one in &mut mulch.laid {
        let share = one.covered.as_ref().map_or(0.0, |own| own.value.get() / floor);
        let seasons = one.cost.as_ref().filter(|_| share > 0.0).and_then(|cost| over(cost, worth));
        one.payback = seasons.map(|times| times.map(Count::of(times.value.get() / share)));
    }
}

fn over(cost: &Figure<Money>, worth: &Figure<Money>) -> Option<Figure<Count>> {
    let seasons = times(cost.value, worth.value)?;
    Some(Figure::new(
        Count::of(seasons),
        cost.evidence.and(worth.evidence),
        cost.records.iter().chain(&worth.records).copied(),
    ))
}

/// How many times a worth a cost is; `None` of no worth, and of water lost rather than kept.
pub(crate) fn times(cost: Money, worth: Money) -> Option<f64> {
    if worth <= Money::ZERO {
        return None;
    }
    cost.decimal().checked_div(worth.decimal())?.to_f64()
}

fn application(
    kept: &Kept<MulchApplication>,
    records: &SeasonRecords,
    resolved: &Resolved,
    gaps: &mut Vec<Gap>,
) -> MulchLaid {
    let mulch = &kept.record;
    let record = RecordRef { kind: RecordKind::Mulch, id: kept.id };
    let cover = cover(mulch, &records.block);
    if let Err(unsaid) = cover {
        gaps.push(uncovered(mulch, &records.block, unsaid, record));
    }
    let cover = cover.ok();
    let cost = whole_cost(mulch);
    if cost.is_none() {
        gaps.push(costless(mulch, &records.block.code, record));
    }
    let invoiced = |amount: Money| Figure::new(amount, Evidence::Invoiced, [record]);
    MulchLaid {
        record,
        date: mulch.date,
        material: mulch.material.clone(),
        depth: mulch.depth,
        depth_left: depth_left(mulch, records.season.last_day, resolved),
        covered: cover.map(|c| Figure::new(c.area, Evidence::Counted, [record])),
        covered_share: cover.map(|c| Figure::new(Share::of(c.share * 100.0), Evidence::Counted, [record])),
        volume: cover.map(|c| {
            let cubic_feet = c.area.get() * mulch.depth.get() / 12.0;
            Figure::new(CubicYards::of(cubic_feet / CUBIC_FEET_PER_CUBIC_YARD), Evidence::Counted, [record])
        }),
        cost: cost.map(invoiced),
        season_cost: cost.map(|cost| invoiced(season_cost(mulch, cost, &records.season, interest(resolved)))),
        life: life(mulch),
        payback: None,
    }
}

/// Plastic does not settle.
fn depth_left(mulch: &MulchApplication, day: NaiveDate, resolved: &Resolved) -> Inches {
    let rate = match mulch.kind {
        MulchKind::Organic => resolved.number(Setting::MulchSettlingInPerYear),
        MulchKind::Plastic => 0.0,
    };
    Inches::of(settled(mulch.depth.get(), mulch.date, day, rate))
}

fn costless(mulch: &MulchApplication, code: &str, record: RecordRef) -> Gap {
    let day = say::day(mulch.date);
    say::missing(
        GapAbout::Mulch,
        format!(
            "No cost is given for the mulch of {day} in {code}: it is in no cost of the season, nothing is repaid."
        ),
        "Add what material, delivery and spreading cost; 0 where it was free.",
        [record],
    )
}

fn uncovered(mulch: &MulchApplication, block: &Block, unsaid: Unsaid, record: RecordRef) -> Gap {
    let (what, mend) = match unsaid {
        Unsaid::Acres => ("has no acres", "Add the block's acres."),
        Unsaid::RowSpacing => {
            ("has no distance between rows", "Add the block's row spacing, or give the mulch as a share of the floor.")
        }
        Unsaid::Trees => ("has no tree count", "Add the block's trees, or give the mulch as a share of the floor."),
    };
    let (code, day) = (&block.code, say::day(mulch.date));
    let what =
        format!("{code} {what}, so the floor under the mulch of {day} is not known and no water is saved by it.");
    say::missing(GapAbout::Mulch, what, mend, [record])
}

#[cfg(test)]
mod tests;
