//! From records to the days of a run: weather, trees, irrigation, mulch.

use crate::figure::{Gap, RecordRef};
use crate::season::{EtoSource, SeasonRecords};
use crate::weather::HumiditySource;

use super::air::{self, Air};
use super::canopy_twice;
use super::daily::DayInput;
use super::layers::Layers;
use super::resolve::Resolved;
use super::sets::KnownSet;
use super::stand::{self, Stand};

/// The days of a run and what they rest on.
pub(super) struct Prepared {
    pub(super) days: Vec<DayInput>,
    /// Days with their own reference ET, by source.
    pub(super) eto_sources: Vec<(EtoSource, usize)>,
    /// Days by how their lowest humidity is known, filled days left out.
    pub(super) humidity_sources: Vec<(HumiditySource, usize)>,
    /// The weather records used.
    pub(super) weather: Vec<RecordRef>,
}

/// Prepares a run; `None` without enough weather, and a gap says why.
pub(super) fn prepare(
    records: &SeasonRecords,
    resolved: &Resolved,
    sets: &[KnownSet],
    layers: &Layers,
    gaps: &mut Vec<Gap>,
) -> Option<Prepared> {
    let weather = air::weather(records, resolved, gaps)?;
    gaps.extend(canopy_twice::gaps(&records.canopy));
    let stands = stand::stands(&records.canopy, resolved, &weather.days);
    let mut days: Vec<DayInput> =
        weather.days.iter().zip(&stands).map(|(air, stand)| join(air, stand, layers)).collect();
    for set in sets {
        // Days follow one another, so a date's place is its distance from the first.
        let place = days.first().map(|first| set.date.signed_duration_since(first.date).num_days());
        if let Some(day) = place.and_then(|n| usize::try_from(n).ok()).and_then(|n| days.get_mut(n)) {
            day.irrigation_gross_mm += set.depth_mm(&records.block);
        }
    }
    Some(Prepared {
        days,
        eto_sources: weather.eto_sources,
        humidity_sources: weather.humidity_sources,
        weather: weather.records,
    })
}

fn join(air: &Air, stand: &Stand, layers: &Layers) -> DayInput {
    DayInput {
        date: air.date,
        eto_mm: air.eto,
        rain_mm: air.rain,
        runoff_mm: air.runoff,
        kcb: stand.kcb,
        kc_max_climate: stand.kc_max_climate,
        fc: stand.cover,
        root_depth_m: stand.root_depth_m,
        irrigation_gross_mm: 0.0,
        mulch: layers.on(air.date),
    }
}
