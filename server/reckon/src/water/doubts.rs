//! Weather that cannot be, as gaps: one sentence for each kind, with the days' records.

use chrono::NaiveDate;

use crate::figure::{Gap, RecordRef};
use crate::say;
use crate::weather::doubt::Doubt;

use super::sentence::{counted, missing, worth_a_look};

/// Doubtful days, in the order they were met.
#[derive(Debug, Default)]
pub(super) struct Doubtful(Vec<(Doubt, NaiveDate, RecordRef)>);

const KINDS: [Doubt; 5] = [Doubt::LowAboveHigh, Doubt::Humidity, Doubt::BelowZero, Doubt::TooBright, Doubt::Bright];

impl Doubtful {
    /// Notes what is wrong with a day.
    pub(super) fn add(&mut self, date: NaiveDate, doubts: &[Doubt], record: RecordRef) {
        self.0.extend(doubts.iter().map(|doubt| (*doubt, date, record)));
    }

    /// One gap for each kind of doubt.
    pub(super) fn gaps(&self) -> Vec<Gap> {
        KINDS.into_iter().filter_map(|kind| self.gap(kind)).collect()
    }

    fn gap(&self, kind: Doubt) -> Option<Gap> {
        let of_kind: Vec<_> = self.0.iter().filter(|(doubt, ..)| *doubt == kind).collect();
        let (_, first, _) = of_kind.first()?;
        let days = counted(of_kind.len(), "day", "days");
        let (wrong, then) = said(kind);
        let what = format!("On {days}, the first {}, {wrong}; {then}.", say::day(*first));
        let records = of_kind.iter().map(|(.., record)| *record).collect();
        Some(if kind == Doubt::Bright {
            worth_a_look(what, "Check the instrument and the farm's latitude and elevation.", records)
        } else {
            missing(what, "Correct the station's values, or leave them blank.", records)
        })
    }
}

const fn said(kind: Doubt) -> (&'static str, &'static str) {
    match kind {
        Doubt::LowAboveHigh => ("the low temperature is above the high", "neither is used"),
        Doubt::Humidity => ("humidity or dew point is not possible", "no humidity of the day is used"),
        Doubt::BelowZero => ("rain, runoff or reference ET is below zero", "it is not used"),
        Doubt::TooBright => {
            ("radiation or sunshine is well above what a clear sky can give", "it is not used and the day is estimated")
        }
        Doubt::Bright => ("radiation is up to a tenth above that of a clear sky", "it is used as measured"),
    }
}
