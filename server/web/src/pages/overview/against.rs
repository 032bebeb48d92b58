//! A difference in return and what it is made of, as a page shows it.

use print::figures;
use reckon::overview::{Cause, Difference, Factor};

/// What a block is held against, and why its return differs.
pub(crate) struct Against {
    /// `the median block`, `its season of 2025`.
    pub(crate) words: String,
    /// `+1,204`: own return less the other, dollars an acre.
    pub(crate) over_all: String,
    /// The weightiest first.
    pub(crate) causes: Vec<CauseRow>,
    /// `Yield +1,900, price −640`: those that matter most, in one line.
    pub(crate) said: String,
}

/// One reason.
pub(crate) struct CauseRow {
    pub(crate) label: &'static str,
    pub(crate) unit: &'static str,
    pub(crate) own: String,
    pub(crate) other: String,
    pub(crate) effect: String,
}

impl Against {
    /// From a difference; `words` say what is held against.
    pub(crate) fn of(words: String, found: &Difference) -> Self {
        let causes: Vec<CauseRow> = found.causes.iter().map(cause).collect();
        let moving = causes.iter().filter(|cause| cause.effect != "0").take(2);
        let said = moving.map(|cause| format!("{} {}", cause.label.to_lowercase(), cause.effect));
        Self {
            words,
            over_all: figures::signed_price(found.over_all, 0),
            said: crate::pages::capital(&said.collect::<Vec<_>>().join(", ")),
            causes,
        }
    }
}

fn cause(cause: &Cause) -> CauseRow {
    let places = if cause.factor == Factor::Price { 2 } else { 0 };
    CauseRow {
        label: cause.factor.label(),
        unit: cause.factor.unit(),
        own: figures::decimal(cause.own, places),
        other: figures::decimal(cause.other, places),
        effect: figures::signed_price(cause.effect, 0),
    }
}
