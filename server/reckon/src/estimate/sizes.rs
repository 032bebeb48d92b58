//! From mean weight to size classes: diameters on a normal curve, weight by the cube.
//!
//! Pricing by a normal distribution of size is published practice; the tails are its weak point,
//! so the end classes deserve care.

use core::f64::consts::{FRAC_1_SQRT_2, PI};

/// Weight of a fruit by its diameter, g/mm3: two printed means of peach (computed).
pub const PEACH_G_PER_MM3: f64 = 0.000_51;

/// Standard deviation of diameter over its mean, where a block has no packouts of its own: rows of
/// Cline (2017), Table 2, give 0.095 to 0.106 (computed).
pub const USUAL_CV: f64 = 0.10;

/// Fruit of one season by diameter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Diameters {
    /// Mean, mm.
    pub mean_mm: f64,
    /// Standard deviation, mm.
    pub sd_mm: f64,
}

/// Part of the fruit that falls between two diameters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part {
    /// Share of the fruit, 0 to 1.
    pub of_fruit: f64,
    /// Share of the weight, 0 to 1: what boxes and money follow.
    pub of_weight: f64,
}

impl Diameters {
    /// The diameters of fruit with this mean weight, when weight is `k` times the cube of diameter
    /// and diameters spread by `cv` of their mean. The mean of cubes is not the cube of the mean.
    pub fn of_weight(mean_weight_g: f64, k_g_per_mm3: f64, cv: f64) -> Self {
        let mean_mm = libm::cbrt(mean_weight_g / (k_g_per_mm3 * (1.0 + 3.0 * cv * cv)));
        Self { mean_mm, sd_mm: cv * mean_mm }
    }

    /// Mean weight of these fruit, g.
    pub fn mean_weight_g(self, k_g_per_mm3: f64) -> f64 {
        k_g_per_mm3 * self.whole()
    }

    /// Parts below the first edge, between each two, and above the last; edges in mm, rising.
    pub fn parts(self, edges_mm: &[f64]) -> Vec<Part> {
        let mut edges = vec![f64::NEG_INFINITY];
        edges.extend_from_slice(edges_mm);
        edges.push(f64::INFINITY);
        edges.windows(2).filter_map(|pair| Some(self.part(*pair.first()?, *pair.get(1)?))).collect()
    }

    /// The mean cube of the diameters.
    fn whole(self) -> f64 {
        let (mean, sd) = (self.mean_mm, self.sd_mm);
        mean * mean * mean + 3.0 * mean * sd * sd
    }

    fn part(self, from: f64, below: f64) -> Part {
        let (mean, sd) = (self.mean_mm, self.sd_mm);
        let (a, b) = (Edge::at((from - mean) / sd), Edge::at((below - mean) / sd));
        let none = b.below - a.below;
        let one = a.density - b.density;
        let two = none + a.first - b.first;
        let three = (2.0 * a.density + a.second) - (2.0 * b.density + b.second);
        let weight = mean * mean * mean * none
            + 3.0 * mean * mean * sd * one
            + 3.0 * mean * sd * sd * two
            + sd * sd * sd * three;
        Part { of_fruit: none, of_weight: weight / self.whole() }
    }
}

/// The normal curve at one edge, in standard deviations from the mean.
struct Edge {
    below: f64,
    density: f64,
    first: f64,
    second: f64,
}

impl Edge {
    fn at(z: f64) -> Self {
        let below = libm::erfc(-z * FRAC_1_SQRT_2) / 2.0;
        if z.is_infinite() {
            return Self { below, density: 0.0, first: 0.0, second: 0.0 };
        }
        let density = libm::exp(-z * z / 2.0) / (2.0 * PI).sqrt();
        Self { below, density, first: z * density, second: z * z * density }
    }
}

/// The diameters that best explain weights packed by class: those for which the sum of observed
/// share times log of fitted share is largest. `weights` has one more entry than `edges_mm`.
///
/// `None` with fewer than three classes that hold fruit, where two numbers cannot be told apart.
pub fn fit(edges_mm: &[f64], weights: &[f64]) -> Option<Diameters> {
    let total: f64 = weights.iter().sum();
    let filled = weights.iter().filter(|weight| **weight > 0.0).count();
    if filled < 3 || weights.len() != edges_mm.len() + 1 || !total.is_finite() {
        return None;
    }
    let (low, high) = (*edges_mm.first()?, *edges_mm.last()?);
    let likelihood = |fruit: Diameters| -> f64 {
        let parts = fruit.parts(edges_mm);
        parts.iter().zip(weights).map(|(part, weight)| weight / total * libm::log(part.of_weight.max(1e-300))).sum()
    };
    let best_spread = |mean_mm: f64| {
        let sd_mm = highest((0.01 * mean_mm, 0.40 * mean_mm), |sd_mm| likelihood(Diameters { mean_mm, sd_mm }));
        Diameters { mean_mm, sd_mm }
    };
    let mean_mm = highest((0.7 * low, 1.3 * high), |mean_mm| likelihood(best_spread(mean_mm)));
    Some(best_spread(mean_mm))
}

/// Where a function with one top is highest between two points, by golden section: the same steps
/// on every machine.
pub(super) fn highest(between: (f64, f64), function: impl Fn(f64) -> f64) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_894_8;
    let (mut low, mut high) = between;
    let (mut left, mut right) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
    let (mut at_left, mut at_right) = (function(left), function(right));
    for _ in 0..64 {
        if at_left < at_right {
            (low, left, at_left) = (left, right, at_right);
            right = low + GOLDEN * (high - low);
            at_right = function(right);
        } else {
            (high, right, at_right) = (right, left, at_left);
            left = high - GOLDEN * (high - low);
            at_left = function(left);
        }
    }
    f64::midpoint(low, high)
}
