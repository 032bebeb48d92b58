//! A ratio of two sums from a sample, and how far it may be off.

use super::{float, sum};

/// A ratio of sums and its standard error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ratio {
    /// Sum of `y` over sum of `x`.
    pub ratio: f64,
    /// Its standard error; needs two pairs.
    pub standard_error: Option<f64>,
}

/// Ratio estimate of pairs (x, y) from a simple random sample: r = sum(y)/sum(x), with
/// standard error sqrt(sum (y - r x)^2 / (n - 1) / n) / mean(x).
///
/// The mean of x is the sample's own, and no correction is made for a sample that is a large part
/// of the block: the error is never made smaller than the counts can show. `None` when x sums to zero.
pub fn ratio(pairs: &[(f64, f64)]) -> Option<Ratio> {
    let sum_x = sum(pairs.iter().map(|(x, _)| *x));
    let sum_y = sum(pairs.iter().map(|(_, y)| *y));
    if sum_x <= 0.0 {
        return None;
    }
    let ratio = sum_y / sum_x;
    let n = float(pairs.len());
    let standard_error = (pairs.len() > 1).then(|| {
        let squares = sum(pairs.iter().map(|(x, y)| (y - ratio * x) * (y - ratio * x)));
        libm::sqrt(squares / (n - 1.0) / n) / (sum_x / n)
    });
    Some(Ratio { ratio, standard_error })
}

/// A ratio estimate where the whole is known: how many there are, and their sum of x.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RatioOfWhole {
    /// The ratio; its error holds the correction for the part sampled, and the whole's mean of x.
    pub ratio: Ratio,
    /// The same error with the sample's mean of x, for where the whole's is not known.
    pub standard_error_by_sample: Option<f64>,
    /// Estimated sum of y over the whole.
    pub total: f64,
    /// Its standard error.
    pub total_error: Option<f64>,
}

/// Ratio estimate of a whole of `size` units with this sum of x. `None` when x sums to zero.
///
/// Source: Scheaffer, Mendenhall, Ott: Elementary Survey Sampling, chapter 6.
pub fn ratio_of_whole(pairs: &[(f64, f64)], size: f64, sum_x: f64) -> Option<RatioOfWhole> {
    let found = ratio(pairs)?;
    let n = float(pairs.len());
    if size < n || sum_x <= 0.0 {
        return None;
    }
    let correction = libm::sqrt(1.0 - n / size);
    let sample_mean = sum(pairs.iter().map(|(x, _)| *x)) / n;
    let by_sample = found.standard_error.map(|error| error * correction);
    let by_whole = by_sample.map(|error| error * sample_mean / (sum_x / size));
    Some(RatioOfWhole {
        ratio: Ratio { standard_error: by_whole, ..found },
        standard_error_by_sample: by_sample,
        total: found.ratio * sum_x,
        total_error: by_whole.map(|error| error * sum_x),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_whole_counted_to_the_last_tree_has_no_error() {
        let pairs = [(10.0, 4.0), (20.0, 9.0), (30.0, 11.0)];
        let whole = ratio_of_whole(&pairs, 3.0, 60.0).unwrap();
        assert!(whole.total_error.unwrap().abs() < 1e-12);
        assert!((whole.total - 24.0).abs() < 1e-12);
        assert_eq!(ratio_of_whole(&pairs, 2.0, 60.0), None);
    }
}
