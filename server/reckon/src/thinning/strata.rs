//! Means and ratios of samples: all alike, or in parts that each weigh by the trees they stand for.

use super::counts::{Sample, references};
use crate::figure::RecordRef;
use crate::stats::{self, Ratio, sum};

/// Samples, all alike in one part or in several.
#[derive(Debug, Clone, Default)]
pub(super) struct Strata<'s>(Vec<Part<'s>>);

/// Samples that stand for this share of the trees.
#[derive(Debug, Clone)]
struct Part<'s> {
    weight: f64,
    samples: Vec<&'s Sample>,
}

/// A mean and its standard error, which needs two samples of each part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Mean {
    pub(super) value: f64,
    pub(super) error: Option<f64>,
}

impl<'s> Strata<'s> {
    /// All alike.
    pub(super) fn alike(samples: Vec<&'s Sample>) -> Self {
        if samples.is_empty() { Self::default() } else { Self(vec![Part { weight: 1.0, samples }]) }
    }

    /// Parts with so many trees each.
    pub(super) fn apart(parts: Vec<(f64, Vec<&'s Sample>)>) -> Self {
        let all = sum(parts.iter().map(|(trees, _)| *trees));
        Self(parts.into_iter().map(|(trees, samples)| Part { weight: trees / all, samples }).collect())
    }

    pub(super) fn samples(&self) -> impl Iterator<Item = &'s Sample> {
        self.0.iter().flat_map(|part| part.samples.iter().copied())
    }

    pub(super) fn len(&self) -> usize {
        self.samples().count()
    }

    pub(super) fn trees(&self) -> usize {
        self.samples().filter(|sample| !sample.branch).count()
    }

    pub(super) fn records(&self) -> Vec<RecordRef> {
        references(&self.samples().collect::<Vec<_>>())
    }

    /// The weighted mean of a number that every sample has.
    pub(super) fn mean(&self, of: impl Fn(&Sample) -> Option<f64>) -> Option<Mean> {
        let mut parts: Vec<(f64, stats::Sample)> = Vec::new();
        for part in &self.0 {
            let values: Vec<f64> = part.samples.iter().filter_map(|sample| of(sample)).collect();
            parts.push((part.weight, stats::Sample::of(&values)?));
        }
        let errors: Option<Vec<f64>> =
            parts.iter().map(|(weight, sample)| Some(squared(weight * sample.standard_error()?))).collect();
        let value = sum(parts.iter().map(|(weight, sample)| weight * sample.mean));
        (!parts.is_empty()).then(|| Mean { value, error: errors.map(|squares| libm::sqrt(sum(squares))) })
    }

    /// Second over first of a pair that every sample has, each the weighted mean: the combined ratio
    /// estimate, with the spread of each part about its own mean.
    pub(super) fn ratio(&self, of: impl Fn(&Sample) -> Option<(f64, f64)>) -> Option<Ratio> {
        if let [all] = self.0.as_slice() {
            return stats::ratio(&all.samples.iter().filter_map(|sample| of(sample)).collect::<Vec<_>>());
        }
        let (x, y) = (self.mean(|sample| Some(of(sample)?.0))?, self.mean(|sample| Some(of(sample)?.1))?);
        let ratio = (x.value > 0.0).then(|| y.value / x.value)?;
        let rest = self.mean(|sample| of(sample).map(|(x, y)| y - ratio * x))?;
        Some(Ratio { ratio, standard_error: rest.error.map(|error| error / x.value) })
    }

    /// The values as one sample; `None` in several parts.
    pub(super) fn spread(&self, of: impl Fn(&Sample) -> Option<f64>) -> Option<stats::Sample> {
        let [all] = self.0.as_slice() else { return None };
        stats::Sample::of(&all.samples.iter().filter_map(|sample| of(sample)).collect::<Vec<_>>())
    }
}

fn squared(value: f64) -> f64 {
    value * value
}
