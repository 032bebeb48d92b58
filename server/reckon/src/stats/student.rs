//! Student's t with any degrees of freedom, whole or not, and the F and normal distributions.
//!
//! Held to 1e-10 of the cumulative share for degrees of freedom from 0.5 to 10,000, and quantiles
//! to 1e-9 of their size, against closed forms and printed tables (`tests/outside/stats.rs`).

use super::beta::regularised;

/// Chance of a t at least this far from zero, on both sides together.
///
/// `df` is more than zero; an infinite t has no chance.
pub fn two_sided(t: f64, df: f64) -> f64 {
    let square = t * t;
    if !square.is_finite() {
        return 0.0;
    }
    regularised(df / 2.0, 0.5, (df / (df + square), square / (df + square)))
}

/// Chance of a t below this one.
pub fn below(t: f64, df: f64) -> f64 {
    let tail = two_sided(t, df) / 2.0;
    if t > 0.0 { 1.0 - tail } else { tail }
}

/// The t that a share `level` of all t lies within, on both sides of zero: 2.262 for 0.95 and 9.
pub fn within(level: f64, df: f64) -> f64 {
    solve(1.0 - level, |t| two_sided(t, df))
}

/// The same of the normal distribution: 1.959964 for 0.95.
pub fn normal_within(level: f64) -> f64 {
    solve(1.0 - level, |z| libm::erfc(z / core::f64::consts::SQRT_2))
}

/// Chance of an F at least as large, with degrees of freedom above and below.
pub fn f_above(f: f64, (above, below): (f64, f64)) -> f64 {
    let scaled = above * f;
    regularised(below / 2.0, above / 2.0, (below / (below + scaled), scaled / (below + scaled)))
}

/// Where a falling function of a positive number takes this value, by halving: a few dozen steps,
/// the same on every machine.
fn solve(value: f64, falling: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    while falling(high) > value && high < 1e300 {
        low = high;
        high *= 2.0;
    }
    loop {
        let middle = low + (high - low) / 2.0;
        if middle <= low || middle >= high {
            return middle;
        }
        if falling(middle) > value {
            low = middle;
        } else {
            high = middle;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// With one degree of freedom t is Cauchy, with two it is algebraic: both have closed forms.
    #[test]
    fn agrees_with_the_closed_forms_of_one_and_two_degrees() {
        for t in [1e-6, 0.01, 0.5, 1.0, 2.0, 12.7, 400.0] {
            let cauchy = 1.0 - 2.0 * libm::atan(t) / core::f64::consts::PI;
            assert!((two_sided(t, 1.0) - cauchy).abs() < 1e-13, "{t}");
            let algebraic = 1.0 - t / libm::sqrt(2.0 + t * t);
            assert!((two_sided(t, 2.0) - algebraic).abs() < 1e-13, "{t}");
        }
        let fourth = libm::tan(core::f64::consts::PI * 0.475);
        assert!((within(0.95, 1.0) - fourth).abs() < 1e-9 * fourth);
    }

    #[test]
    fn quantile_and_chance_undo_each_other() {
        for df in [0.5, 1.0, 3.756_307_613, 15.53, 40.0, 1_000.0, 10_000.0] {
            for level in [0.5, 0.8, 0.95, 0.999] {
                assert!((1.0 - two_sided(within(level, df), df) - level).abs() < 1e-12, "{df} {level}");
            }
        }
    }

    #[test]
    fn many_degrees_of_freedom_are_normal() {
        assert!((within(0.95, 1e7) - normal_within(0.95)).abs() < 1e-6);
        assert!((below(0.0, 5.0) - 0.5).abs() < 1e-15);
        assert!((below(-1.0, 1.0) - 0.25).abs() < 1e-14);
        assert!((below(1.0, 1.0) - 0.75).abs() < 1e-14);
    }

    #[test]
    fn one_degree_above_makes_f_the_square_of_t() {
        for (t, df) in [(0.3, 3.0), (2.0, 9.0), (4.5, 17.0)] {
            assert!((f_above(t * t, (1.0, df)) - two_sided(t, df)).abs() < 1e-14);
        }
        assert!(two_sided(f64::INFINITY, 3.0).abs() < f64::EPSILON);
    }
}
