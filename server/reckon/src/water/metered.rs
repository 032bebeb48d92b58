//! The metered saving: water applied under mulch against comparable bare blocks. It stands beside
//! the modelled saving and is never merged with it.

use core::cmp::Ordering;

use chrono::{Datelike, NaiveDate};

use crate::figure::{Evidence, Figure};
use crate::season::{BlockSeason, SeasonRecords, WaterSeason};
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
    /// The year of the block's own earlier season; `None` for another block.
    pub own_year: Option<i32>,
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
fn compare(own: &WaterSeason, bare: &[(Place, WaterSeason)], code: &str) -> Option<MeteredSaving> {
    own.saving.as_ref()?;
    let mulched = Seen::of(own)?;
    let seen: Vec<(&Place, Seen)> = bare
        .iter()
        .filter(|(_, season)| season.saving.is_none())
        .filter_map(|(place, season)| Some((place, Seen::of(season)?)))
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
            .map(|(place, other)| Comparison {
                label: place.label(code),
                own_year: place.own_year(),
                applied_of_need: Share::of(other.share),
            })
            .collect(),
        applied_evidence: evidence,
    })
}

#[expect(clippy::cast_precision_loss, reason = "a number of blocks")]
fn count(n: usize) -> Option<f64> {
    (n > 0).then_some(n as f64)
}

/// The records behind a block season as it is reported: on its page, in its PDF, in every file.
#[derive(Debug, Clone, PartialEq)]
pub struct Reported {
    /// Everything recorded about the block in the season.
    pub own: SeasonRecords,
    /// Other blocks of the farm in the season, and the block's own earlier seasons; empty for a block
    /// without mulch. Only what the water balance reads is filled in: never to be reckoned whole.
    pub beside: Vec<SeasonRecords>,
}

impl Reported {
    /// The block season with its metered saving: the one way to it, so no two reports can disagree.
    pub fn reckon(&self) -> BlockSeason {
        crate::reckon(&self.own).with_comparisons(&self.beside)
    }
}

impl BlockSeason {
    /// The same season with its metered saving, made from those beside it that are comparable: bare
    /// blocks of the same farm, year and crop group, by code, and the block's own earlier bare
    /// seasons, by year. The order of `beside` does not matter.
    #[must_use]
    pub fn with_comparisons(mut self, beside: &[SeasonRecords]) -> Self {
        if self.water.saving.is_none() {
            return self;
        }
        let water = |other: &SeasonRecords| Some((self.place_of(other)?, super::season(other).0));
        let mut comparable: Vec<(Place, WaterSeason)> = beside.iter().filter_map(water).collect();
        comparable.sort_by(|(a, _), (b, _)| a.cmp(b));
        self.water.metered_saving = compare(&self.water, &comparable, &self.heading.block.code);
        let explained = self.how.iter().any(|entry| entry.id == "metered-saving");
        if self.water.metered_saving.is_some() && !explained {
            self.how.push(how::metered_saving());
        }
        self
    }

    /// Where a comparable season stands; `None` for one that is not.
    fn place_of(&self, other: &SeasonRecords) -> Option<Place> {
        let own = &self.heading;
        if own.operation != other.operation || own.farm.name != other.farm.name {
            return None;
        }
        match (own.block.code == other.block.code, other.season.year.cmp(&own.season.year)) {
            (true, Ordering::Less) => Some(Place::Earlier(other.season.year)),
            (false, Ordering::Equal) if alike(&own.block.crop, &other.block.crop) => {
                Some(Place::Neighbor(other.block.code.clone()))
            }
            _ => None,
        }
    }
}

/// Where a comparable season stands beside a block's: neighbors first.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Place {
    /// A block of the same farm, by its code.
    Neighbor(String),
    /// The block itself in an earlier year.
    Earlier(i32),
}

impl Place {
    const fn own_year(&self) -> Option<i32> {
        match self {
            Self::Neighbor(_) => None,
            Self::Earlier(year) => Some(*year),
        }
    }

    /// What the season is called beside the block of a code.
    fn label(&self, own: &str) -> String {
        match self {
            Self::Neighbor(code) => code.clone(),
            Self::Earlier(year) => format!("{own} in {year}"),
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
