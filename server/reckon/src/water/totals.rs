//! Sums of a run, and its weeks.

use chrono::{NaiveDate, Weekday};

use crate::season::WaterWeek;
use crate::units::{Inches, MM_PER_INCH};

use super::run::WaterDay;

/// Sums over the days of a run, mm.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Totals {
    /// Reference ET.
    pub eto: f64,
    /// Crop need without stress.
    pub need: f64,
    /// Really used: what demand an empty root zone could not give is left out.
    pub used: f64,
    /// Soil evaporation.
    pub evaporation: f64,
    /// Rain as it fell.
    pub rain: f64,
    /// Rain that neither ran off nor drained.
    pub rain_kept: f64,
    /// Drained below the roots.
    pub drained: f64,
    /// Irrigation, gross.
    pub gross: f64,
    /// Irrigation that reached the root zone.
    pub net: f64,
    /// Root-zone depletion on the last evening.
    pub depletion: f64,
}

impl Totals {
    /// The sums of a run, in the order of its days.
    pub fn of(days: &[WaterDay]) -> Self {
        days.iter().fold(Self::default(), |sum, day| Self {
            eto: sum.eto + day.eto_mm,
            need: sum.need + day.etc_mm,
            used: sum.used + day.eta_mm - day.unmet_mm,
            evaporation: sum.evaporation + day.e_mm,
            rain: sum.rain + day.rain_mm,
            rain_kept: sum.rain_kept + rain_kept(day),
            drained: sum.drained + day.dp_mm,
            gross: sum.gross + day.irrigation_gross_mm,
            net: sum.net + day.irrigation_gross_mm - day.irrigation_loss_mm,
            depletion: day.dr_end_mm,
        })
    }
}

/// Rain of a day that stayed in the root zone. Rain and irrigation of one day share its drainage by
/// their depths: nobody can say whose water went.
pub fn rain_kept(day: &WaterDay) -> f64 {
    let rain = day.rain_mm - day.runoff_mm - day.rain_left_out_mm;
    let came = rain + day.irrigation_gross_mm - day.irrigation_loss_mm;
    if came > 0.0 { (rain - day.dp_mm * rain / came).max(0.0) } else { 0.0 }
}

/// Millimetres as inches.
pub(crate) fn inches(mm: f64) -> Inches {
    Inches::of(mm / MM_PER_INCH)
}

/// The chart's weeks, Monday to Sunday; the first and last may be shorter. `bare` is the same run
/// without mulch.
pub(crate) fn weeks(days: &[WaterDay], bare: &[WaterDay]) -> Vec<WaterWeek> {
    let mut weeks = Vec::with_capacity(days.len() / 7 + 2);
    let mut rest = days.iter().zip(bare).peekable();
    while let Some((first, _)) = rest.peek().copied() {
        let sunday = end_of_week(first.date);
        let (mut own, mut need_bare, mut n) = (Totals::default(), 0.0, 0);
        while let Some((day, bare)) = rest.next_if(|(day, _)| day.date <= sunday) {
            let one = Totals::of(core::slice::from_ref(day));
            own = Totals {
                need: own.need + one.need,
                gross: own.gross + one.gross,
                rain: own.rain + one.rain,
                rain_kept: own.rain_kept + one.rain_kept,
                drained: own.drained + one.drained,
                depletion: one.depletion,
                ..own
            };
            need_bare += bare.etc_mm;
            n += 1;
        }
        weeks.push(WaterWeek {
            starts: first.date,
            days: n,
            need: inches(own.need),
            need_bare: inches(need_bare),
            applied: inches(own.gross),
            rain: inches(own.rain),
            rain_kept: inches(own.rain_kept),
            drained: inches(own.drained),
            depletion: inches(own.depletion),
        });
    }
    weeks
}

fn end_of_week(day: NaiveDate) -> NaiveDate {
    day.week(Weekday::Mon).checked_last_day().unwrap_or(day).max(day)
}
