//! The metered saving: water applied under mulch against comparable bare blocks. It stands beside
//! the modelled saving and is never merged with it.

use chrono::{Datelike, NaiveDate};

use crate::figure::{Evidence, Figure};
use crate::season::{BlockSeason, WaterSeason};
use crate::units::{GallonsUs, Inches, Share};

use super::how;
use super::preset::{CropGroup, crop_group};

/// Days by which the spans of two balances may differ at either end.
const SPAN_SLACK_DAYS: i64 = 14;

/// A bare block, or the block's own bare season, held beside it.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// "KW-2", or "KW-1 in 2025".
    pub label: String,
    /// Water applied as a share of bare-soil crop need.
    pub applied_of_need: Share,
}

/// What the meters say that mulch saved.
#[derive(Debug, Clone, PartialEq)]
pub struct MeteredSaving {
    /// Water applied to this block as a share of the crop need it would have had on bare soil.
    pub own: Figure<Share>,
    /// The mean of the same share over the bare blocks.
    pub bare: Figure<Share>,
    /// The bare blocks; their number is n. At least one.
    pub comparisons: Vec<Comparison>,
    /// How much less was applied, as a share of what bare blocks got. Below zero where more was.
    pub less_applied: Figure<Share>,
    /// The same as a depth over this block.
    pub depth: Figure<Inches>,
    /// The same over the block.
    pub gallons: Figure<GallonsUs>,
    /// How the water itself is known, the weakest of all blocks; crop need is modelled.
    pub applied_evidence: Evidence,
}

/// What is compared of a season.
struct Seen<'s> {
    season: &'s WaterSeason,
    span: (NaiveDate, NaiveDate),
    need: f64,
    share: f64,
    evidence: Evidence,
}

impl<'s> Seen<'s> {
    fn of(season: &'s WaterSeason) -> Option<Self> {
        let need = season.weeks.iter().map(|week| week.need_bare).sum::<Inches>().get();
        let applied = season.weeks.iter().map(|week| week.applied).sum::<Inches>().get();
        let known = need > 0.0 && applied > 0.0;
        let evidence = season.applied.as_ref()?.evidence;
        known.then_some(Self { season, span: season.span?, need, share: applied / need * 100.0, evidence })
    }

    /// Whether two balances run over the same part of a year.
    fn same_days(&self, other: &Self) -> bool {
        let near = |a: NaiveDate, b: NaiveDate| {
            b.with_year(a.year()).is_some_and(|b| a.signed_duration_since(b).num_days().abs() <= SPAN_SLACK_DAYS)
        };
        near(self.span.0, other.span.0) && near(self.span.1, other.span.1)
    }
}

/// The metered saving of a mulched block; `None` where it has no mulch, no water applied or no
/// balance, or nothing comparable beside it.
///
/// Of `bare`, seasons with mulch, without water, or over other days are passed over. Need is that of
/// bare soil on both sides: the mulch's own effect on need must not hide what was saved.
pub fn compare(own: &WaterSeason, bare: &[(String, &WaterSeason)]) -> Option<MeteredSaving> {
    own.saving.as_ref()?;
    let mulched = Seen::of(own)?;
    let seen: Vec<(&String, Seen)> = bare
        .iter()
        .filter(|(_, season)| season.saving.is_none())
        .filter_map(|(label, season)| Some((label, Seen::of(season)?)))
        .filter(|(_, other)| mulched.same_days(other))
        .collect();
    let mean = seen.iter().map(|(_, other)| other.share).sum::<f64>() / count(seen.len())?;
    let evidence = seen.iter().fold(mulched.evidence, |weakest, (_, other)| weakest.and(other.evidence));
    let applied = own.applied.as_ref()?;
    let refs = || applied.records.iter().copied();
    let others = || seen.iter().filter_map(|(_, other)| other.season.applied.as_ref());
    let all = || refs().chain(others().flat_map(|figure| figure.records.iter().copied()));
    let modelled = evidence.and(Evidence::Modelled);
    let depth = (mean - mulched.share) / 100.0 * mulched.need;
    let gallons_per_inch = applied.value.get() / own.applied_depth.as_ref()?.value.get();
    Some(MeteredSaving {
        own: Figure::new(Share::of(mulched.share), modelled, refs()),
        bare: Figure::new(Share::of(mean), modelled, others().flat_map(|figure| figure.records.iter().copied())),
        less_applied: Figure::new(Share::of((1.0 - mulched.share / mean) * 100.0), modelled, all()),
        depth: Figure::new(Inches::of(depth), modelled, all()),
        gallons: Figure::new(GallonsUs::of(depth * gallons_per_inch), modelled, all()),
        comparisons: seen
            .iter()
            .map(|(label, other)| Comparison { label: (*label).clone(), applied_of_need: Share::of(other.share) })
            .collect(),
        applied_evidence: evidence,
    })
}

#[expect(clippy::cast_precision_loss, reason = "a number of blocks")]
fn count(n: usize) -> Option<f64> {
    (n > 0).then_some(n as f64)
}

impl BlockSeason {
    /// The same season with its metered saving, made from those of the others that are comparable:
    /// bare blocks of the same farm, year and crop group, and the block's own bare seasons. The order
    /// of `others` is that of the comparisons.
    #[must_use]
    pub fn with_comparisons(mut self, others: &[Self]) -> Self {
        let bare: Vec<(String, &WaterSeason)> =
            others.iter().filter_map(|other| Some((self.label_of(other)?, &other.water))).collect();
        self.water.metered_saving = compare(&self.water, &bare);
        let explained = self.how.iter().any(|entry| entry.id == "metered-saving");
        if self.water.metered_saving.is_some() && !explained {
            self.how.push(how::metered_saving());
        }
        self
    }

    /// What a comparable season is called; `None` for one that is not.
    fn label_of(&self, other: &Self) -> Option<String> {
        let (own, its) = (&self.heading, &other.heading);
        let code = &its.block.code;
        if own.operation != its.operation || own.farm.name != its.farm.name {
            return None;
        }
        match (own.block.code == *code, own.season.year == its.season.year) {
            (true, false) => Some(format!("{code} in {}", its.season.year)),
            (false, true) if alike(&own.block.crop, &its.block.crop) => Some(code.clone()),
            _ => None,
        }
    }
}

/// Crops of one group; of those without a group, only the same crop.
fn alike(a: &str, b: &str) -> bool {
    match (crop_group(a), crop_group(b)) {
        (CropGroup::Other, CropGroup::Other) => a.trim().eq_ignore_ascii_case(b.trim()),
        (a, b) => a == b,
    }
}

#[cfg(test)]
mod tests;
