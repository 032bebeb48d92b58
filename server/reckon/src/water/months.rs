//! Months of the balance, and the rain it kept beside what a monthly formula gives.

use chrono::{Datelike, NaiveDate};

use crate::figure::{Evidence, Figure, RecordRef};
use crate::units::{Inches, MM_PER_INCH};
use crate::weather::effective_rain::effective_rain_month;

use super::run::WaterDay;
use super::totals::{Totals, inches};

/// One calendar month of the balance. Depths over the block's whole area.
#[derive(Debug, Clone, PartialEq)]
pub struct WaterMonth {
    /// Its first day in the balance.
    pub starts: NaiveDate,
    /// Days of the month within the balance.
    pub days: u32,
    /// Crop need under the mulch as it lay.
    pub need: Inches,
    /// Rain as it fell.
    pub rain: Inches,
    /// Rain that the balance kept in the root zone.
    pub rain_kept: Inches,
    /// Effective rain by the monthly formula; `None` unless the whole month is in the balance.
    pub effective_rain: Option<Inches>,
}

/// Kept rain over whole months by the balance and by the monthly formula: a cross-check only.
#[derive(Debug, Clone, PartialEq)]
pub struct RainCheck {
    /// Whole months compared.
    pub months: usize,
    /// What the daily balance kept in them.
    pub kept: Figure<Inches>,
    /// What the monthly formula gives for them.
    pub by_formula: Figure<Inches>,
}

/// The months of a run. Storage usable between sets, for the formula, is the depletion fraction of
/// the available water (usually 40 to 60 %, common practice, no source).
pub(super) fn months(days: &[WaterDay], depletion_fraction: f64) -> Vec<WaterMonth> {
    let same = |a: &WaterDay, b: &WaterDay| (a.date.year(), a.date.month()) == (b.date.year(), b.date.month());
    days.chunk_by(same).filter_map(|month| of_month(month, depletion_fraction)).collect()
}

#[expect(clippy::cast_precision_loss, reason = "days of a month")]
fn of_month(days: &[WaterDay], depletion_fraction: f64) -> Option<WaterMonth> {
    let starts = days.first()?.date;
    let sum = Totals::of(days);
    let (need, rain) = (inches(sum.need), inches(sum.rain));
    let taw = days.iter().map(|day| day.taw_mm).sum::<f64>() / days.len() as f64;
    let storage = Inches::of(depletion_fraction * taw / MM_PER_INCH);
    let whole = days.len() == usize::from(starts.num_days_in_month());
    Some(WaterMonth {
        starts,
        days: u32::try_from(days.len()).ok()?,
        need,
        rain,
        rain_kept: inches(sum.rain_kept),
        effective_rain: whole.then(|| effective_rain_month(rain, need, storage)),
    })
}

/// The check over all whole months; `None` without one.
pub(super) fn check(months: &[WaterMonth], weather: &[RecordRef]) -> Option<RainCheck> {
    let whole: Vec<(Inches, Inches)> =
        months.iter().filter_map(|month| Some((month.rain_kept, month.effective_rain?))).collect();
    if whole.is_empty() {
        return None;
    }
    let figure = |depth| Figure::new(depth, Evidence::Modelled, weather.iter().copied());
    Some(RainCheck {
        months: whole.len(),
        kept: figure(whole.iter().map(|(kept, _)| *kept).sum()),
        by_formula: figure(whole.iter().map(|(_, formula)| *formula).sum()),
    })
}
