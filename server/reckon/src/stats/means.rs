//! A mean with its interval; the difference of two means, unpaired (Welch) and paired.

use super::{float, student, sum};

/// Number, mean and spread of some values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// How many.
    pub n: usize,
    /// Their mean.
    pub mean: f64,
    /// Their standard deviation, n - 1 below; `None` for one value.
    pub sd: Option<f64>,
}

impl Sample {
    /// Of some values; `None` of none.
    pub fn of(values: &[f64]) -> Option<Self> {
        let n = values.len();
        let first = *values.first()?;
        if values.iter().all(|value| value.total_cmp(&first).is_eq()) {
            // A mean of equal values is that value, and not one last digit beside it.
            return Some(Self { n, mean: first, sd: (n > 1).then_some(0.0) });
        }
        let mean = sum(values.iter().copied()) / float(n);
        let squares = sum(values.iter().map(|value| (value - mean) * (value - mean)));
        Some(Self { n, mean, sd: (n > 1).then(|| libm::sqrt(squares / (float(n) - 1.0))) })
    }

    /// Standard error of the mean; needs two values.
    pub fn standard_error(self) -> Option<f64> {
        self.variance_of_mean().map(libm::sqrt)
    }

    /// Square of the standard error of the mean.
    fn variance_of_mean(self) -> Option<f64> {
        self.sd.map(|sd| sd * sd / float(self.n))
    }
}

/// Two ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Interval {
    pub(super) fn around(middle: f64, half: f64) -> Self {
        Self { low: middle - half, high: middle + half }
    }

    /// Whether zero lies within, ends included.
    pub fn holds_zero(self) -> bool {
        self.low <= 0.0 && self.high >= 0.0
    }
}

/// Why there is no interval or no test.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoTest {
    /// One value, or none: nothing tells how much such values differ among themselves.
    TooFew,
    /// The values of each side are all alike, so there is no spread to judge a difference by.
    NoSpread,
    /// The differences within pairs are all alike, whatever the values are.
    AlikeDifferences,
}

/// A difference, how sure it is, and its interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Test {
    /// First less second.
    pub difference: f64,
    /// Standard error of the difference.
    pub standard_error: f64,
    /// Degrees of freedom; a fraction in Welch's test.
    pub df: f64,
    /// Difference over standard error.
    pub t: f64,
    /// Chance of a t at least this far from zero, on both sides, if there were no difference.
    pub p: f64,
    /// Interval of the difference.
    pub interval: Interval,
}

impl Test {
    pub(super) fn new(difference: f64, standard_error: f64, df: f64, level: f64) -> Self {
        let t = difference / standard_error;
        let half = student::within(level, df) * standard_error;
        let p = student::two_sided(t, df);
        Self { difference, standard_error, df, t, p, interval: Interval::around(difference, half) }
    }
}

/// Interval of a mean by Student's t, n - 1 degrees of freedom. Two values give a wide interval
/// (t is 12.7 at 95 %), and that is the truth. Values all alike give an interval of no width.
///
/// # Errors
/// [`NoTest::TooFew`] for one value.
pub fn mean_interval(sample: Sample, level: f64) -> Result<Interval, NoTest> {
    let variance = sample.variance_of_mean().ok_or(NoTest::TooFew)?;
    let half = student::within(level, float(sample.n) - 1.0) * libm::sqrt(variance);
    Ok(Interval::around(sample.mean, half))
}

/// Welch's test and interval of the difference of two means of different observations; the spreads
/// may differ. Degrees of freedom by Satterthwaite, not rounded.
///
/// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 7.3.1 (which rounds them).
///
/// # Errors
/// [`NoTest::TooFew`] below two values on either side.
pub fn welch(a: Sample, b: Sample, level: f64) -> Result<Test, NoTest> {
    let of_a = a.variance_of_mean().ok_or(NoTest::TooFew)?;
    let of_b = b.variance_of_mean().ok_or(NoTest::TooFew)?;
    let error = libm::sqrt(of_a + of_b);
    if !spread_enough(error, a.mean.abs().max(b.mean.abs())) {
        return Err(NoTest::NoSpread);
    }
    let below = of_a * of_a / (float(a.n) - 1.0) + of_b * of_b / (float(b.n) - 1.0);
    let df = (of_a + of_b) * (of_a + of_b) / below;
    Ok(Test::new(a.mean - b.mean, error, df, level))
}

/// Paired test and interval: first less second within each unit that has both.
///
/// # Errors
/// [`NoTest::TooFew`] below two pairs, [`NoTest::AlikeDifferences`] where the differences are all alike.
pub fn paired(pairs: &[(f64, f64)], level: f64) -> Result<Test, NoTest> {
    let differences: Vec<f64> = pairs.iter().map(|(first, second)| first - second).collect();
    let differences = Sample::of(&differences).ok_or(NoTest::TooFew)?;
    let error = libm::sqrt(differences.variance_of_mean().ok_or(NoTest::TooFew)?);
    if !spread_enough(error, largest(pairs.iter().flat_map(|(first, second)| [*first, *second]))) {
        return Err(NoTest::AlikeDifferences);
    }
    Ok(Test::new(differences.mean, error, float(pairs.len()) - 1.0, level))
}

/// The size of the largest value: what rounding is measured by.
pub(super) fn largest(values: impl Iterator<Item = f64>) -> f64 {
    values.map(f64::abs).fold(0.0, f64::max)
}

/// Whether a standard error is more than a few last digits of the values, which are rounding.
pub(super) fn spread_enough(error: f64, largest: f64) -> bool {
    error > 10.0 * f64::EPSILON * largest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_value_has_no_interval_and_two_have_a_wide_one() {
        let one = Sample::of(&[8.0]).unwrap();
        assert_eq!(mean_interval(one, 0.95), Err(NoTest::TooFew));
        let two = Sample::of(&[8.0, 10.0]).unwrap();
        let interval = mean_interval(two, 0.95).unwrap();
        // t of one degree of freedom is 12.706 and the standard error is 1.
        assert!((interval.high - 9.0 - 12.706_204_736).abs() < 1e-8, "{interval:?}");
        assert_eq!(welch(one, two, 0.95), Err(NoTest::TooFew));
        assert_eq!(paired(&[(1.0, 2.0)], 0.95), Err(NoTest::TooFew));
    }

    #[test]
    fn values_all_alike_cannot_be_tested() {
        let alike = Sample::of(&[0.1, 0.1, 0.1]).unwrap();
        assert_eq!(alike.sd, Some(0.0));
        assert_eq!(welch(alike, Sample::of(&[0.3, 0.3]).unwrap(), 0.95), Err(NoTest::NoSpread));
        assert_eq!(paired(&[(0.3, 0.1), (0.5, 0.3), (0.9, 0.7)], 0.95), Err(NoTest::AlikeDifferences));
        assert!(mean_interval(alike, 0.95).is_ok());
    }

    #[test]
    fn the_order_of_values_changes_no_digit() {
        let values = [0.1, 7.3, 1e-9, 44.1, 0.7, 3.3];
        let mut turned = values;
        turned.reverse();
        assert_eq!(Sample::of(&values), Sample::of(&turned));
        assert_eq!(Sample::of(&[]), None);
    }
}
