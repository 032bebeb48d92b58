//! How many trees to count.

use super::means::Sample;
use super::{float, student};

/// Standard error of a mean as a share of the mean, from the spread of single trees (their standard
/// deviation over their mean) and the number counted, of so many in the block where that is known.
/// `None` when nothing is counted or more than there are.
pub fn standard_error_share(spread: f64, counted: usize, of: Option<usize>) -> Option<f64> {
    if counted == 0 || of.is_some_and(|all| all < counted) {
        return None;
    }
    let left_out = of.map_or(1.0, |all| 1.0 - float(counted) / float(all));
    Some(spread * libm::sqrt(left_out / float(counted)))
}

/// Trees for a mean within this share either way, by the normal distribution; a fraction, as texts
/// print it. [`trees_to_count`] is the number to go out with. z is not rounded: examples that take 1.96
/// for 1.95996 differ from this by 4 parts in 100,000.
pub fn samples_needed(spread: f64, within: f64, level: f64) -> f64 {
    let each = student::normal_within(level) * spread / within;
    each * each
}

/// Most trees ever asked for; a spread that needs more is no use to a crew with a clicker.
pub const MOST_TREES: usize = 10_000;

/// The fewest trees whose mean lies within this share either way by Student's t, which asks for a
/// few more than the normal distribution because the spread is estimated too. At least 2; `None`
/// when more than [`MOST_TREES`] would be needed.
pub fn trees_to_count(spread: f64, within: f64, level: f64) -> Option<usize> {
    // Fewer than the normal distribution asks for are never enough, so the search begins there.
    let least = libm::floor(samples_needed(spread, within, level));
    let first = (2..=MOST_TREES).find(|n| float(*n) >= least)?;
    (first..=MOST_TREES).find(|n| {
        let half = student::within(level, float(*n) - 1.0) * spread / libm::sqrt(float(*n));
        half <= within
    })
}

/// How many trees (or plots, or blocks) a mean needs, going by those counted so far.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Needed {
    /// The mean lies within this share of itself, either way.
    pub within: f64,
    /// By the normal distribution, (z × standard deviation ÷ (within × mean))²; a fraction, as texts print it.
    pub normal: f64,
    /// By Student's t, the number to go out with; `None` above [`MOST_TREES`].
    pub count: Option<usize>,
}

/// How many a mean needs to lie within this share of itself either way, going by the spread of a
/// sample. `None` for one value, which has no spread, and for a mean of zero, which has no share.
pub fn needed(sample: Sample, within: f64, level: f64) -> Option<Needed> {
    let spread = sample.sd? / sample.mean.abs();
    spread.is_finite().then(|| Needed {
        within,
        normal: samples_needed(spread, within, level),
        count: trees_to_count(spread, within, level),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn students_t_asks_for_a_few_more() {
        let (spread, within) = (0.31, 0.2);
        let normal = samples_needed(spread, within, 0.95);
        let n = trees_to_count(spread, within, 0.95).unwrap();
        assert!(float(n) > normal && float(n) < normal + 4.0, "{n} {normal}");
        let half = |n: usize| student::within(0.95, float(n) - 1.0) * spread / libm::sqrt(float(n));
        assert!(half(n) <= within && half(n - 1) > within);
    }

    #[test]
    fn a_block_counted_whole_has_no_error() {
        assert!(standard_error_share(0.3, 144, Some(144)).unwrap().abs() < 1e-15);
        assert_eq!(standard_error_share(0.3, 0, None), None);
        assert_eq!(standard_error_share(0.3, 9, Some(8)), None);
        assert_eq!(trees_to_count(0.0, 0.1, 0.95), Some(2));
        assert_eq!(trees_to_count(100.0, 0.001, 0.95), None);
    }

    /// Mean 10, standard deviation 2: a spread of 0.2, and (1.95996 × 0.2 ÷ 0.1)² is 15.3658; with the
    /// rounded 1.96 of printed tables it is 15.3664.
    #[test]
    fn a_sample_says_how_many_its_mean_needs() {
        let sample = Sample::of(&[8.0, 10.0, 12.0]).unwrap();
        let found = needed(sample, 0.1, 0.95).unwrap();
        assert!((found.normal - 15.3658).abs() < 5e-5, "{found:?}");
        assert_eq!(found.count, Some(18));
        assert_eq!(needed(Sample::of(&[8.0]).unwrap(), 0.1, 0.95), None);
        assert_eq!(needed(Sample::of(&[-1.0, 1.0]).unwrap(), 0.1, 0.95), None);
        assert_eq!(needed(Sample::of(&[-8.0, -10.0, -12.0]).unwrap(), 0.1, 0.95), Some(found));
    }
}
