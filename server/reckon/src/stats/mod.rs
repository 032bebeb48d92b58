//! Statistics for few observations: means with intervals, differences of two methods, blocks,
//! straight lines, ratios, and how many trees to count.
//!
//! Every sum runs over sorted values, so the order of the records never reaches a figure. The
//! distributions are reckoned here on `libm` and not taken from a statistics crate, because such
//! crates use the platform's own `exp` and `ln`, and the same records must give the same bytes
//! on any machine.

mod beta;
mod blocks;
mod line;
mod means;
mod ratio;
mod sample_size;
pub mod student;

pub use blocks::{CompleteBlocks, NoBlocks, complete_blocks};
pub use line::{Fitted, Line, line};
pub use means::{Interval, NoTest, Sample, Test, mean_interval, paired, welch};
pub use ratio::{Ratio, RatioOfWhole, ratio, ratio_of_whole};
pub use sample_size::{MOST_TREES, Needed, needed, samples_needed, standard_error_share, trees_to_count};

/// Coverage of every interval shown: 95 %.
pub const LEVEL: f64 = 0.95;

#[expect(clippy::cast_precision_loss, reason = "a count of observations, far below 2^53")]
pub(crate) fn float(n: usize) -> f64 {
    n as f64
}

/// Sum in order of size, so that the order of the records cannot change the last digit.
pub(crate) fn sum(values: impl IntoIterator<Item = f64>) -> f64 {
    let mut values: Vec<f64> = values.into_iter().collect();
    values.sort_by(f64::total_cmp);
    values.into_iter().sum()
}
