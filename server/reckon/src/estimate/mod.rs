//! Next season: what a planned thinning would leave, and how sure that is.
//!
//! Fruit set less the share taken off gives the load; the load gives the mean weight, by the
//! block's own seasons; weight and evenness give size classes; the price list gives gross; own
//! hours and charges give what is left. Amounts here are floats, because an estimate that may be
//! off by thousands of dollars is no amount of money; nothing of it goes into an account.
//!
//! It holds for bearing trees of one variety thinned before pit hardening, at loads near those of
//! the block's own seasons. It knows nothing of split pits, color, sugar, breakage, hail or water
//! stress, and nothing of a crop that alternates.

mod block;
mod plan;
mod range;
mod response;
mod scale;
mod sizes;
#[cfg(test)]
mod tests;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::season::HowReckoned;

pub use block::{Asked, Missing, NextSeason, OwnSeason, next_season};
pub use plan::{Costs, Ground, LIKELY, Outcome, PricedClass, Shift, ounces, outcome};
pub use range::{Input, Ranged, SPREAD, Spread, Swing, best, ranged};
pub use response::{PRIOR, Past, Prior, Response};
pub use sizes::{Diameters, PEACH_G_PER_MM3, Part, USUAL_CV, fit};

/// An amount or a price as a float: the door by which money enters an estimate, and none leaves.
fn dollars(exact: Decimal) -> Option<f64> {
    exact.to_f64().filter(|value| value.is_finite())
}

/// How the estimate is reckoned.
pub fn how() -> Vec<HowReckoned> {
    HOW.into_iter()
        .map(|(id, title, formula, source)| HowReckoned { id, title, formula: formula.into(), source })
        .collect()
}

const HOW: [(&str, &str, &str, &str); 4] = [
    (
        "next-load",
        "Load and weight next season",
        "Fruit left = set × (1 − share taken off); harvested = left × share still there at picking. Mean weight = \
         1 / (α + β × fruit harvested from a tree), α = (1 − e) / w0, β = e / (w0 N0), through the geometric mean of the \
         block's own seasons. e starts at 0.44 and moves to the slope of the own seasons as far as their loads differ; it \
         is kept within 0.05 and 0.90.",
        "Response reckoned from Cline (2017), Table 2; spread between blocks (0.15) and seasons (0.10): assumed, no source",
    ),
    (
        "next-sizes",
        "Size classes next season",
        "Weight = 0.00051 g × diameter³ (mm); diameters follow a normal curve whose spread is that of the block's own \
         packouts, from two of them on, else 10% of the mean. Boxes follow each class's share of the weight, sound fruit \
         only. A size known by a count begins half-way, by ratio, to the next smaller one.",
        "Two printed means of peach; Cline (2017), Table 2; class limits: Commission Regulation (EC) No 1580/2007",
    ),
    (
        "next-return",
        "Return next season",
        "Boxes × what a box of its size brought net last season, less thinning (hours for each 1,000 fruit × wage with \
         what comes on top), picking by the pound, and every other cost of an acre as last season. Nothing taken off costs \
         no thinning.",
        "Arithmetic on the block's own season",
    ),
    (
        "next-range",
        "Low and high of next season",
        "One input at a time: mean weight within the range that four seasons of five fall into (Student's t on the spread of \
         seasons), evenness ± 0.02, prices ± 10%, hours ± 20%, set ± 10%. Low and high join the losses and the gains as \
         independent: the square root of the sum of squares.",
        "Student's t: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.6; the spreads are assumed, no source",
    ),
];
