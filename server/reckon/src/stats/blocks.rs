//! Randomised complete blocks: every unit has every method once.

use std::collections::BTreeMap;

use super::means::{NoTest, Test, largest, spread_enough};
use super::{float, student, sum};

/// The analysis of a table of units by methods with one value in each cell.
#[derive(Debug, Clone, PartialEq)]
pub struct CompleteBlocks {
    /// Mean of each method.
    pub means: BTreeMap<String, f64>,
    /// The same less the mean of all values, whatever was taken off these: differences are of these.
    effects: BTreeMap<String, f64>,
    /// Number of blocks, each with every method.
    pub blocks: usize,
    /// Sum of squares of the methods.
    pub methods_squares: f64,
    /// Sum of squares of the blocks.
    pub blocks_squares: f64,
    /// What is left.
    pub error_squares: f64,
    /// Degrees of freedom of the methods.
    pub methods_df: f64,
    /// Degrees of freedom of what is left.
    pub error_df: f64,
    /// Mean square of the methods over mean square of what is left.
    pub f: f64,
    /// Chance of an F at least as large if the methods did not differ.
    pub p: f64,
}

/// Why a table is not analysed in blocks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoBlocks {
    /// Fewer than two methods, or two, whose paired difference is the same test.
    FewMethods,
    /// One block, or none.
    FewBlocks,
    /// A block that lacks a method: the first of them.
    Lacking {
        /// The block.
        block: String,
        /// The method it lacks.
        method: String,
    },
    /// A cell with several values.
    Twice,
    /// Nothing is left over from blocks and methods to judge by.
    NoSpread,
}

/// Value of a block under a method.
type Cells<'v> = BTreeMap<(&'v str, &'v str), f64>;

/// Blocks and methods in two directions; the spread left over from both judges the methods. Each value
/// comes with its block and its method.
///
/// # Errors
/// [`NoBlocks`] below two blocks or methods, where a cell is empty or filled twice, or where nothing is
/// left over.
pub fn complete_blocks(values: &[(&str, &str, f64)]) -> Result<CompleteBlocks, NoBlocks> {
    let cells: Cells<'_> = values.iter().map(|(block, method, value)| ((*block, *method), *value)).collect();
    let blocks = margin(&cells, |(block, _)| block);
    let methods = margin(&cells, |(_, method)| method);
    full(&cells, &blocks, &methods)?;
    if values.len() != cells.len() {
        return Err(NoBlocks::Twice);
    }
    let (rows, columns) = (blocks.len(), methods.len());
    let mean = sum(cells.values().copied()) / float(cells.len());
    let squares =
        |of: &Margin<'_>, each: usize| float(each) * sum(of.values().map(|value| (value - mean) * (value - mean)));
    let error_squares = sum(cells.iter().filter_map(|((block, method), value)| {
        let left = value - blocks.get(block)? - methods.get(method)? + mean;
        Some(left * left)
    }));
    let methods_squares = squares(&methods, rows);
    let methods_df = float(columns) - 1.0;
    let error_df = methods_df * (float(rows) - 1.0);
    if !spread_enough(libm::sqrt(error_squares), largest(cells.values().copied())) {
        return Err(NoBlocks::NoSpread);
    }
    let f = (methods_squares / methods_df) / (error_squares / error_df);
    Ok(CompleteBlocks {
        blocks_squares: squares(&blocks, columns),
        effects: methods.iter().map(|(method, own)| ((*method).to_owned(), own - mean)).collect(),
        means: methods.into_iter().map(|(method, mean)| (method.to_owned(), mean)).collect(),
        blocks: rows,
        methods_squares,
        error_squares,
        methods_df,
        error_df,
        f,
        p: student::f_above(f, (methods_df, error_df)),
    })
}

/// Means of the blocks, or of the methods.
type Margin<'v> = BTreeMap<&'v str, f64>;

fn full(cells: &Cells<'_>, blocks: &Margin<'_>, methods: &Margin<'_>) -> Result<(), NoBlocks> {
    if methods.len() < 2 {
        return Err(NoBlocks::FewMethods);
    }
    let mut places = blocks.keys().flat_map(|block| methods.keys().map(move |method| (*block, *method)));
    if let Some((block, method)) = places.find(|place| !cells.contains_key(place)) {
        return Err(NoBlocks::Lacking { block: block.to_owned(), method: method.to_owned() });
    }
    if blocks.len() < 2 { Err(NoBlocks::FewBlocks) } else { Ok(()) }
}

fn margin<'v>(cells: &Cells<'v>, of: fn((&'v str, &'v str)) -> &'v str) -> Margin<'v> {
    let mut values: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
    for (place, value) in cells {
        values.entry(of(*place)).or_default().push(*value);
    }
    let mean = |values: Vec<f64>| {
        let n = float(values.len());
        sum(values) / n
    };
    values.into_iter().map(|(name, values)| (name, mean(values))).collect()
}

impl CompleteBlocks {
    /// Standard error of the difference of two methods' means.
    pub fn standard_error(&self) -> f64 {
        libm::sqrt(2.0 * self.error_squares / self.error_df / float(self.blocks))
    }

    /// Difference of two methods, judged by the spread left over from all of them.
    ///
    /// # Errors
    /// [`NoTest::TooFew`] for a method that is not in the table.
    pub fn difference(&self, first: &str, second: &str, level: f64) -> Result<Test, NoTest> {
        let (a, b) = self.effects.get(first).zip(self.effects.get(second)).ok_or(NoTest::TooFew)?;
        Ok(Test::new(a - b, self.standard_error(), self.error_df, level))
    }

    /// The same table with every mean changed: what was taken off all values put back. Differences stay, to
    /// the last digit.
    #[must_use]
    pub fn shifted(mut self, by: impl Fn(f64) -> f64) -> Self {
        self.means.values_mut().for_each(|mean| *mean = by(*mean));
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TABLE: [(&str, &str, f64); 6] =
        [("1", "a", 4.0), ("1", "b", 7.0), ("2", "a", 6.0), ("2", "b", 8.0), ("3", "a", 5.0), ("3", "b", 9.0)];

    /// Two methods in blocks are a paired test: F is the square of t, and p is the same.
    #[test]
    fn two_methods_are_a_paired_test() {
        let blocks = complete_blocks(&TABLE).unwrap();
        let test = super::super::paired(&[(4.0, 7.0), (6.0, 8.0), (5.0, 9.0)], 0.95).unwrap();
        assert!((blocks.f - test.t * test.t).abs() < 1e-12);
        assert!((blocks.p - test.p).abs() < 1e-12);
        let ours = blocks.difference("a", "b", 0.95).unwrap();
        assert!((ours.interval.low - test.interval.low).abs() < 1e-12);
        assert_eq!(blocks.difference("a", "c", 0.95), Err(NoTest::TooFew));
    }

    /// What is put back on the means does not cost their differences a digit.
    #[test]
    fn means_shifted_far_away_keep_their_differences() {
        let of_two = |blocks: &CompleteBlocks| blocks.difference("a", "b", 0.95).unwrap().difference;
        let near = complete_blocks(&TABLE).unwrap();
        let far = near.clone().shifted(|mean| mean + 1e14);
        assert_eq!(of_two(&far).to_bits(), of_two(&near).to_bits());
        assert!((of_two(&near) + 3.0).abs() < 1e-12);
    }

    #[test]
    fn an_empty_or_double_cell_is_no_complete_block() {
        let lacking = NoBlocks::Lacking { block: "3".into(), method: "b".into() };
        assert_eq!(complete_blocks(&TABLE[..5]), Err(lacking));
        let mut twice = TABLE.to_vec();
        twice.push(("1", "a", 4.5));
        assert_eq!(complete_blocks(&twice), Err(NoBlocks::Twice));
        assert_eq!(complete_blocks(&TABLE[..2]), Err(NoBlocks::FewBlocks));
        assert_eq!(complete_blocks(&TABLE[..1]), Err(NoBlocks::FewMethods));
        let even = [("1", "a", 0.1), ("1", "b", 0.3), ("2", "a", 0.5), ("2", "b", 0.7)];
        assert_eq!(complete_blocks(&even), Err(NoBlocks::NoSpread));
    }
}
