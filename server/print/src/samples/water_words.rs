//! Advice and the metered saving of the sample.

use reckon::block::Block;
use reckon::figure::{Evidence, Figure, RecordKind};
use reckon::units::{AcreInches, Inches, Share};
use reckon::water::advice::{CHECK_THE_SOIL, NextSet, WaterAdvice};
use reckon::water::metered::{Comparison, MeteredSaving};

use super::{day, figure};

pub(super) fn advice(block: &Block) -> WaterAdvice {
    let depth = |inches| figure(Inches::of(inches), Evidence::Modelled, RecordKind::Weather, 7);
    let gallons = AcreInches::of(0.78 * block.acres.as_f64()).to_gallons();
    WaterAdvice {
        on: day(10, 4),
        left: depth(3.9),
        left_share: depth(0.0).map(Share::of(76.0)),
        before_stress: depth(1.4),
        daily_need: depth(0.11),
        next_set: Some(NextSet {
            date: day(10, 9),
            net: depth(0.7),
            gross: depth(0.78),
            gallons: depth(0.78).map(gallons),
            hours: Some(34.2),
        }),
        sentences: vec![
            "On 4 October the balance has 3.9 in left in the roots, 76% of what they hold; 1.4 in of it before the \
             trees feel it."
                .to_owned(),
            "The last 7 days took 0.11 in a day. If no rain comes, the next set is due on 9 October: 0.7 in into the \
             roots, 0.8 in at the emitters (326,200 gal, about 34 hours)."
                .to_owned(),
            CHECK_THE_SOIL.to_owned(),
        ],
    }
}

pub(super) fn metered_saving(block: &Block, need: f64) -> MeteredSaving {
    let share: Figure<()> = figure((), Evidence::Modelled, RecordKind::Irrigation, 44);
    let depth = (1.06 - 0.94) * need;
    let bare =
        |label: &str, own_year, pct| Comparison { label: label.to_owned(), own_year, applied_of_need: Share::of(pct) };
    MeteredSaving {
        own: share.map(Share::of(94.0)),
        bare: share.map(Share::of(106.0)),
        comparisons: vec![bare("RB-2", None, 109.0), bare("RB-1 in 2024", Some(2024), 103.0)],
        less_applied: share.map(Share::of((1.0 - 94.0 / 106.0) * 100.0)),
        depth: share.map(Inches::of(depth)),
        gallons: share.map(AcreInches::of(depth * block.acres.as_f64()).to_gallons()),
        applied_evidence: Evidence::Counted,
    }
}
