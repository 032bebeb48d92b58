//! A method's mean by one measure, what it is made of, and what is to be known about its interval.

use rust_decimal::Decimal;

use super::methods::Pairing;
use crate::say;
use crate::stats::{Interval, LEVEL, Needed, NoTest, Sample, needed};

/// A method's values.
#[derive(Debug, Clone, PartialEq)]
pub struct MethodMean {
    /// The method.
    pub method: String,
    /// Number, mean and standard deviation of one value for each block, the mean of its units: units of
    /// one block are not independent. A unit without a block is its own.
    pub sample: Sample,
    /// 95 % interval of the mean, or why there is none.
    pub interval: Result<Interval, NoTest>,
    /// The units behind it, in natural order.
    pub units: Vec<String>,
    /// Whose units these are: block-seasons of the book, or units of a table.
    pub pairing: Pairing,
}

/// Shares of a mean for which it is said how many blocks it needs.
const WITHIN: [f64; 2] = [0.1, 0.2];

impl MethodMean {
    /// Whether a block stands in it with several units.
    pub const fn repeats(&self) -> bool {
        self.sample.n < self.units.len()
    }

    /// "3 block-seasons"; "1 block, 2 seasons" and "2 blocks, 5 block-seasons" where blocks repeat. In a
    /// table units are units: "2 blocks, 5 units".
    pub fn counted(&self) -> String {
        let count = |n: usize, one, many| say::counted(Decimal::from(n), one, many);
        let seasons = self.pairing == Pairing::WithinUnits;
        let (one, many) = if seasons { ("block-season", "block-seasons") } else { ("unit", "units") };
        let units = count(self.units.len(), one, many);
        match self.sample.n {
            _ if !self.repeats() => units,
            1 if seasons => format!("1 block, {}", count(self.units.len(), "season", "seasons")),
            blocks => format!("{}, {units}", count(blocks, "block", "blocks")),
        }
    }

    /// How many blocks (units, where they are their own) the mean needs to lie within 10 and 20 % of
    /// itself, 19 times in 20. Empty for one.
    pub fn needed(&self) -> Vec<Needed> {
        WITHIN.into_iter().filter_map(|within| needed(self.sample, within, LEVEL)).collect()
    }

    /// What is to be known about its interval; `None` from three differing blocks up, each there once.
    pub fn remark(&self) -> Option<&'static str> {
        let alike = self.sample.sd.is_some_and(|sd| sd <= 0.0);
        match (self.sample.n, self.repeats()) {
            (1, repeats) => Some(self.one_only(repeats)),
            _ if alike => Some(
                "All alike: an interval without width says that these values are equal, not that the next will be.",
            ),
            (2, false) => Some(
                "Two only: two tell little of how much such values differ, so the interval is very wide (t is 12.7).",
            ),
            (n, true) => Some(self.repeated(n)),
            _ => None,
        }
    }

    const fn one_only(&self, repeats: bool) -> &'static str {
        match (self.pairing, repeats) {
            (Pairing::WithinUnits, false) => {
                "One only: nothing tells how much such blocks differ among themselves, so there is no interval."
            }
            (Pairing::WithinUnits, true) => {
                "One block in several seasons: they do not tell how much such blocks differ among themselves, so there \
                 is no interval."
            }
            (Pairing::SharedUnits, false) => {
                "One only: nothing tells how much such units differ among themselves, so there is no interval."
            }
            (Pairing::SharedUnits, true) => {
                "One block with several units: they do not tell how much such blocks differ among themselves, so there \
                 is no interval."
            }
        }
    }

    const fn repeated(&self, blocks: usize) -> &'static str {
        match (self.pairing, blocks) {
            (Pairing::WithinUnits, 2) => {
                "Two blocks in several seasons: mean and interval are made of one value for each block, the mean of its \
                 seasons, and the interval of two is very wide (t is 12.7)."
            }
            (Pairing::WithinUnits, _) => {
                "Blocks in several seasons: mean and interval are made of one value for each block, the mean of its \
                 seasons, because seasons of one block are not independent."
            }
            (Pairing::SharedUnits, 2) => {
                "Two blocks with several units: mean and interval are made of one value for each block, the mean of its \
                 units, and the interval of two is very wide (t is 12.7)."
            }
            (Pairing::SharedUnits, _) => {
                "Blocks with several units: mean and interval are made of one value for each block, the mean of its \
                 units, because units of one block are not independent."
            }
        }
    }
}
