//! The differences of each pair of methods, as page, PDF and spreadsheet show them.

use reckon::compare::{Difference, Paired};
use reckon::stats::Test;

use crate::figures;
use crate::json::judged_by;

/// One difference: that of the two means, or that within the blocks that have both methods.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    /// The first method less the second.
    pub difference: f64,
    /// Its test; `None` where there are too few to judge by.
    pub test: Option<Test>,
    /// What it was judged by.
    pub by: String,
}

/// The difference of the means, then that within the blocks that have both where not every block-season has:
/// another difference than that of the means.
pub fn shown(pair: &Difference) -> Vec<Shown> {
    let means = Shown { difference: pair.difference, test: pair.test(), by: judged_by(pair) };
    let some = pair.paired.ok().filter(|_| pair.left_out > 0);
    core::iter::once(means).chain(some.as_ref().map(within)).collect()
}

fn within(paired: &Paired) -> Shown {
    let by = format!("within {} only", figures::counted(paired.pairs, "block that has both", "blocks that have both"));
    Shown { difference: paired.test.difference, test: Some(paired.test), by }
}
