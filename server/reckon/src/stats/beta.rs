//! The regularised incomplete beta function, behind the distributions of t and F.

/// Terms of the continued fraction; it settles after about the square root of the larger parameter.
const MOST_TERMS: u32 = 20_000;

/// `I_x(a, b)` for `a, b > 0` and `x + y = 1`. Both halves of the unit are given, so that neither
/// is lost when it is tiny.
///
/// Continued fraction of DLMF 8.17.22 by Lentz's method, on the side where it converges fast.
pub(super) fn regularised(a: f64, b: f64, (x, y): (f64, f64)) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if y <= 0.0 {
        return 1.0;
    }
    if x * (a + b + 2.0) > a + 1.0 { 1.0 - lower(b, a, (y, x)) } else { lower(a, b, (x, y)) }
}

fn lower(a: f64, b: f64, (x, y): (f64, f64)) -> f64 {
    let log_front = a * libm::log(x) + b * libm::log(y) - log_beta(a, b);
    libm::exp(log_front) / a / fraction(a, b, x)
}

fn log_beta(a: f64, b: f64) -> f64 {
    libm::lgamma(a) + libm::lgamma(b) - libm::lgamma(a + b)
}

/// The continued fraction's value: `1 + d1/(1 + d2/(1 + ..))`.
fn fraction(a: f64, b: f64, x: f64) -> f64 {
    let mut value = 1.0;
    let (mut above, mut below) = (1.0, 0.0);
    for n in 1..=MOST_TERMS {
        let step = coefficient(a, b, x, n);
        below = 1.0 / away_from_zero(1.0 + step * below);
        above = away_from_zero(1.0 + step / above);
        let factor = above * below;
        value *= factor;
        if (factor - 1.0).abs() < f64::EPSILON {
            break;
        }
    }
    value
}

fn coefficient(a: f64, b: f64, x: f64, n: u32) -> f64 {
    let half = f64::from(n / 2);
    let twice = a + 2.0 * half;
    if n.is_multiple_of(2) {
        half * (b - half) * x / ((twice - 1.0) * twice)
    } else {
        -(a + half) * (a + b + half) * x / (twice * (twice + 1.0))
    }
}

fn away_from_zero(value: f64) -> f64 {
    if value.abs() < 1e-300 { 1e-300 } else { value }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// `I_x(1, b) = 1 - (1 - x)^b` and `I_x(a, 1) = x^a`, exactly.
    #[test]
    fn agrees_where_it_has_a_closed_form() {
        for (x, power) in [(0.1, 3.0), (0.5, 0.5), (0.93, 7.0), (1e-9, 2.0)] {
            let y = 1.0 - x;
            let ours = regularised(1.0, power, (x, y));
            assert!((ours - (1.0 - libm::pow(y, power))).abs() < 1e-14, "{x} {power} {ours}");
            let ours = regularised(power, 1.0, (x, y));
            assert!((ours - libm::pow(x, power)).abs() < 1e-14, "{x} {power} {ours}");
        }
    }

    #[test]
    fn the_ends_are_nothing_and_all() {
        assert!(regularised(2.0, 3.0, (0.0, 1.0)).abs() < f64::EPSILON);
        assert!((regularised(2.0, 3.0, (1.0, 0.0)) - 1.0).abs() < f64::EPSILON);
    }
}
