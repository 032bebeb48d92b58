//! How sure a plan is, input by input, and which share taken off leaves most.

use super::plan::{Ground, LIKELY, Outcome, Shift, outcome};
use super::sizes::highest;

/// How far each input may be off, where the records do not tell. Assumed, no source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Added to and taken from the spread of diameters.
    pub cv: f64,
    /// Share of every price.
    pub price: f64,
    /// Share of the hours of thinning.
    pub hours: f64,
    /// Share of the fruit set.
    pub set: f64,
}

/// Diameter spread 0.02, prices 10%, hours 20%, fruit set 10% either way.
pub const SPREAD: Spread = Spread { cv: 0.02, price: 0.10, hours: 0.20, set: 0.10 };

/// An input that may be off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Input {
    /// Mean weight of a fruit: the season's own weather, bloom and water.
    Weight,
    /// Evenness of size.
    Evenness,
    /// Prices.
    Price,
    /// Hours of thinning.
    Hours,
    /// Fruit set.
    Set,
}

/// What one input does to the return, all else as likely.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Swing {
    /// The input.
    pub input: Input,
    /// The lower of the two returns, $ an acre.
    pub low: f64,
    /// The higher, $ an acre.
    pub high: f64,
}

/// A plan with its range.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranged {
    /// As likely.
    pub likely: Outcome,
    /// Return when everything goes against it, $ an acre.
    pub low: f64,
    /// Return when everything goes for it, $ an acre.
    pub high: f64,
    /// Input by input, in the order of [`Input`].
    pub swings: Vec<Swing>,
    /// Between which four seasons of five should fall: mean weight, g.
    pub weight_g: (f64, f64),
}

/// A plan with what each input does to it. Losses and gains are joined as if the inputs were
/// independent, which they are not quite: a short crop of the region lifts the price.
pub fn ranged(ground: &Ground, removed: f64, spread: Spread) -> Ranged {
    let likely = outcome(ground, removed, LIKELY);
    // Without fruit there is no load to range over; the least load stands in.
    let range = ground.response.range_at(likely.harvested_per_tree.max(f64::MIN_POSITIVE));
    let swings: Vec<Swing> = shifts(range, spread)
        .into_iter()
        .map(|(input, shifts)| {
            let [a, b] = shifts.map(|shift| outcome(ground, removed, shift).net);
            Swing { input, low: a.min(b), high: a.max(b) }
        })
        .collect();
    let joined = |off: &dyn Fn(&Swing) -> f64| swings.iter().map(|swing| off(swing) * off(swing)).sum::<f64>().sqrt();
    Ranged {
        low: likely.net - joined(&|swing| (swing.low - likely.net).min(0.0)),
        high: likely.net + joined(&|swing| (swing.high - likely.net).max(0.0)),
        weight_g: (likely.weight_g * range.0, likely.weight_g * range.1),
        swings,
        likely,
    }
}

fn shifts(weight: (f64, f64), spread: Spread) -> [(Input, [Shift; 2]); 5] {
    [
        (Input::Weight, [Shift { weight: weight.0, ..LIKELY }, Shift { weight: weight.1, ..LIKELY }]),
        (Input::Evenness, [Shift { cv: spread.cv, ..LIKELY }, Shift { cv: -spread.cv, ..LIKELY }]),
        (Input::Price, both(spread.price, |price| Shift { price, ..LIKELY })),
        (Input::Hours, both(spread.hours, |hours| Shift { hours, ..LIKELY })),
        (Input::Set, both(spread.set, |set| Shift { set, ..LIKELY })),
    ]
}

fn both(share: f64, shift: impl Fn(f64) -> Shift) -> [Shift; 2] {
    [shift(1.0 - share), shift(1.0 + share)]
}

/// The share taken off that leaves most an acre: steps of 0.01 first, then the best of them
/// refined. The top is flat: show no more than two digits of it.
pub fn best(ground: &Ground) -> Outcome {
    let taking = |removed: f64| outcome(ground, removed, LIKELY);
    let mut top = taking(0.0);
    for step in 1..=98_u8 {
        let next = taking(f64::from(step) / 100.0);
        if next.net > top.net {
            top = next;
        }
    }
    let around = ((top.removed - 0.01).max(0.0), (top.removed + 0.01).min(1.0));
    let refined = taking(highest(around, |removed| taking(removed).net));
    // Doing nothing costs nothing, and stands a step above every share near it.
    if refined.net > top.net { refined } else { top }
}
