//! How fruit weight answers crop load: a hyperbola through the block's own seasons.
//!
//! `w(N) = 1 / (alpha + beta N)`, with `alpha = (1 - e) / w0` and `beta = e / (w0 N0)`: never
//! negative, a largest size at no load and a ceiling of weight at any load. The elasticity e, the
//! share by which weight falls for 1% more fruit, starts at a default and moves to what the
//! block's own seasons show, as far as they show it.

use crate::stats::{float, student, sum};

/// One earlier season of the block, at harvest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Past {
    /// Fruit harvested from a tree; more than zero.
    pub fruit_per_tree: f64,
    /// Mean weight of a fruit, g; more than zero.
    pub mean_weight_g: f64,
}

/// What is believed before the block's own seasons are read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    /// Share by which fruit weight falls for 1% more fruit.
    pub elasticity: f64,
    /// Its standard deviation between blocks.
    pub elasticity_sd: f64,
    /// Standard deviation of the log of weight from season to season: weather, bloom, water.
    pub season_sd_log: f64,
    /// Degrees of freedom that spread is worth.
    pub season_sd_df: f64,
}

/// Elasticity 0.44: reckoned from the kilograms by size class of four treatments in Cline (2017),
/// Table 2. Its spread between blocks and the spread of seasons are assumed, no source.
pub const PRIOR: Prior = Prior { elasticity: 0.44, elasticity_sd: 0.15, season_sd_log: 0.10, season_sd_df: 4.0 };

/// The elasticity is kept within these.
const WITHIN: (f64, f64) = (0.05, 0.90);

/// Four seasons of five fall within the range shown.
const RANGE: f64 = 0.80;

/// The response of a block, and how well it is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Response {
    /// Own seasons behind it.
    pub seasons: usize,
    /// Load at the reference point: the geometric mean of the own seasons, fruit per tree.
    pub fruit_per_tree: f64,
    /// Weight at the reference point, g.
    pub weight_g: f64,
    /// The slope the own seasons alone would give; `None` when their loads do not differ.
    pub least_squares: Option<f64>,
    /// Elasticity in use.
    pub elasticity: f64,
    /// Its standard deviation.
    pub elasticity_sd: f64,
    /// The own seasons asked for an elasticity beyond what is usual, and it was held.
    pub held: bool,
    /// Standard deviation of the log of weight from season to season.
    pub season_sd_log: f64,
    /// Degrees of freedom of that spread.
    pub df: f64,
    /// Smallest and largest load of the own seasons, fruit per tree.
    pub loads: (f64, f64),
}

/// Sums of the own seasons about their means, in logs.
struct Logs {
    n: usize,
    x: f64,
    y: f64,
    xx: f64,
    xy: f64,
    points: Vec<(f64, f64)>,
}

impl Logs {
    fn of(past: &[Past]) -> Self {
        let points: Vec<(f64, f64)> =
            past.iter().map(|one| (libm::log(one.fruit_per_tree), libm::log(one.mean_weight_g))).collect();
        let mean = |part: fn(&(f64, f64)) -> f64| sum(points.iter().map(part)) / float(points.len());
        let (x, y) = (mean(|point| point.0), mean(|point| point.1));
        let xx = sum(points.iter().map(|point| (point.0 - x) * (point.0 - x)));
        let xy = sum(points.iter().map(|point| (point.0 - x) * (point.1 - y)));
        Self { n: points.len(), x, y, xx, xy, points }
    }

    /// `None` when the loads are the same to within rounding.
    fn slope(&self) -> Option<f64> {
        (self.xx > 1e-12).then(|| -self.xy / self.xx)
    }

    /// Spread of the seasons about their own line, blended with what was believed before.
    fn spread(&self, prior: Prior) -> (f64, f64) {
        let before = prior.season_sd_log * prior.season_sd_log;
        match self.slope() {
            Some(slope) if self.n >= 3 => {
                let rest = sum(self.points.iter().map(|(x, y)| {
                    let off = y - self.y + slope * (x - self.x);
                    off * off
                }));
                let df = prior.season_sd_df + float(self.n) - 2.0;
                ((prior.season_sd_df * before + rest) / df, df)
            }
            _ => (before, prior.season_sd_df),
        }
    }
}

impl Response {
    /// Reads the block's own seasons; `None` without one, for then nothing says where to begin.
    /// Seasons with a load or weight that is not above zero are left out.
    pub fn of(past: &[Past], prior: Prior) -> Option<Self> {
        let usable = |one: &Past| {
            let right = |value: f64| value.is_finite() && value > 0.0;
            right(one.fruit_per_tree) && right(one.mean_weight_g)
        };
        let past: Vec<Past> = past.iter().copied().filter(usable).collect();
        if past.is_empty() {
            return None;
        }
        let logs = Logs::of(&past);
        let (variance, df) = logs.spread(prior);
        let before = 1.0 / (prior.elasticity_sd * prior.elasticity_sd);
        let own = logs.slope().map_or(0.0, |slope| logs.xx * slope / variance);
        let certainty = before + logs.xx / variance;
        let asked = (prior.elasticity * before + own) / certainty;
        let elasticity = asked.clamp(WITHIN.0, WITHIN.1);
        let loads = past.iter().fold((f64::INFINITY, 0.0_f64), |(low, high), one| {
            (low.min(one.fruit_per_tree), high.max(one.fruit_per_tree))
        });
        Some(Self {
            seasons: logs.n,
            fruit_per_tree: libm::exp(logs.x),
            weight_g: libm::exp(logs.y),
            least_squares: logs.slope(),
            elasticity,
            elasticity_sd: 1.0 / certainty.sqrt(),
            held: !(WITHIN.0..=WITHIN.1).contains(&asked),
            season_sd_log: variance.sqrt(),
            df,
            loads,
        })
    }

    /// The hyperbola's two numbers: 1/g at no load, and 1/g for each fruit more on a tree.
    pub fn alpha_beta(&self) -> (f64, f64) {
        let rest = 1.0 - self.elasticity;
        (rest / self.weight_g, self.elasticity / (self.weight_g * self.fruit_per_tree))
    }

    /// Mean weight of a fruit at this load, g.
    pub fn weight_at(&self, fruit_per_tree: f64) -> f64 {
        let (alpha, beta) = self.alpha_beta();
        1.0 / (alpha + beta * fruit_per_tree)
    }

    /// Standard deviation of the log of one next season's mean weight at this load, more than zero.
    pub fn spread_at(&self, fruit_per_tree: f64) -> f64 {
        let off = libm::log(fruit_per_tree) - libm::log(self.fruit_per_tree);
        let wobble = self.season_sd_log * self.season_sd_log * (1.0 + 1.0 / float(self.seasons));
        (wobble + off * off * self.elasticity_sd * self.elasticity_sd).sqrt()
    }

    /// Factors on the likely weight between which four next seasons of five fall.
    pub fn range_at(&self, fruit_per_tree: f64) -> (f64, f64) {
        let reach = self.t() * self.spread_at(fruit_per_tree);
        (libm::exp(-reach), libm::exp(reach))
    }

    /// Student's t of that range.
    pub fn t(&self) -> f64 {
        student::within(RANGE, self.df)
    }

    /// Whether a load lies where own seasons can speak: from half the smallest to one and a half
    /// times the largest seen.
    pub fn speaks_for(&self, fruit_per_tree: f64) -> bool {
        fruit_per_tree >= 0.5 * self.loads.0 && fruit_per_tree <= 1.5 * self.loads.1
    }
}
