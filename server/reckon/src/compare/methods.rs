//! The table of one measure: mean and interval of each method, difference of each pair.

use std::collections::{BTreeMap, BTreeSet};

use super::method_mean::MethodMean;
use crate::size_classes::natural;
use crate::stats::{CompleteBlocks, LEVEL, NoBlocks, NoTest, Sample, Test, complete_blocks};
use crate::stats::{Interval, mean_interval, paired as paired_test, welch};

/// One value of a unit under a method.
#[derive(Debug, Clone, PartialEq)]
pub struct Value {
    /// The unit: "KW-2, 2026".
    pub unit: String,
    /// The block the unit stands in, where several units of a method may share one; `None` where the
    /// unit is its own block.
    pub block: Option<String>,
    /// The method.
    pub method: String,
    /// The value; finite.
    pub value: f64,
}

impl Value {
    /// What methods are paired in.
    fn pair(&self) -> &str {
        self.block.as_deref().unwrap_or(&self.unit)
    }
}

/// Which units a paired difference is made of, and whose they are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pairing {
    /// Units of a table: those that have both, by the block where blocks are named.
    SharedUnits,
    /// Block-seasons of the book: those that have both, one difference for each block, because seasons of
    /// one block are no pairs of their own. A method of one season is never paired with another's.
    WithinUnits,
}

/// A paired difference.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Paired {
    /// Units that have both methods.
    pub pairs: usize,
    /// The test, with `pairs` - 1 degrees of freedom.
    pub test: Test,
}

/// Two methods against each other.
#[derive(Debug, Clone, PartialEq)]
pub struct Difference {
    /// One method.
    pub first: String,
    /// The other.
    pub second: String,
    /// Mean of the first less mean of the second, each of one value for a block: Welch's difference.
    pub difference: f64,
    /// Unpaired, or why not.
    pub welch: Result<Test, NoTest>,
    /// Paired within units, or why not.
    pub paired: Result<Paired, NoTest>,
    /// Units (or blocks, where they were named) that have both methods.
    pub shared_units: usize,
    /// Units of either method that stand in no pair.
    pub left_out: usize,
}

impl Difference {
    /// The paired difference where it is one of the same means: no unit is left out of it.
    pub fn whole_pairs(&self) -> Option<Paired> {
        self.paired.ok().filter(|_| self.left_out == 0)
    }

    /// The test to go by, one of the difference of the two means: paired where all units are in pairs,
    /// else Welch's.
    pub fn test(&self) -> Option<Test> {
        self.whole_pairs().map(|paired| paired.test).or(self.welch.ok())
    }
}

/// Every method of one measure.
#[derive(Debug, Clone, PartialEq)]
pub struct MethodTable {
    /// The methods, in natural order.
    pub methods: Vec<MethodMean>,
    /// Each pair of them, in the same order.
    pub differences: Vec<Difference>,
    /// Analysis in blocks, where three or more methods stand in every block, or why there is none.
    pub blocks: Result<CompleteBlocks, NoBlocks>,
}

impl MethodTable {
    /// The difference of two methods; `true` when it is kept the other way round.
    pub fn difference(&self, a: &str, b: &str) -> Option<(&Difference, bool)> {
        let is = |pair: &&Difference, one: &str, other: &str| pair.first == one && pair.second == other;
        let straight = self.differences.iter().find(|pair| is(pair, a, b)).map(|pair| (pair, false));
        straight.or_else(|| self.differences.iter().find(|pair| is(pair, b, a)).map(|pair| (pair, true)))
    }

    /// Pairs that are judged by an interval.
    pub fn judged(&self) -> usize {
        self.differences.iter().filter(|pair| pair.test().is_some()).count()
    }

    /// The table of values that were all taken less something, which this puts back: means and the ends
    /// of their intervals move, differences and spreads do not.
    #[must_use]
    pub fn shifted(mut self, back: impl Fn(f64) -> f64) -> Self {
        for mean in &mut self.methods {
            mean.sample.mean = back(mean.sample.mean);
            mean.interval = mean.interval.map(|ends| Interval { low: back(ends.low), high: back(ends.high) });
        }
        self.blocks = self.blocks.map(|blocks| blocks.shifted(back));
        self
    }
}

/// What is to be known of this many pairs of methods; one needs no remark.
pub fn many_pairs(pairs: usize) -> Option<String> {
    (pairs > 1).then(|| {
        format!(
            "{pairs} pairs of methods, each compared at 95% by itself, without correction for many comparisons: among \
             many pairs that do not differ, about one in twenty seems to."
        )
    })
}

/// Values of a method by unit; values of one unit stand as their mean.
type Units<'v> = BTreeMap<(&'v str, &'v str), f64>;

/// The same by block: the mean of a block's units.
type Pairs<'v> = BTreeMap<&'v str, f64>;

/// A method, its values by unit, and by block.
struct Found<'v> {
    mean: MethodMean,
    units: Units<'v>,
    blocks: Pairs<'v>,
}

/// Mean and interval of each method, and the difference of each pair. Values that are no finite
/// number are left out; several values of one unit under one method count once, as their mean. Where
/// blocks are named, everything is of one value for each block, the mean of its units. The order of the
/// values does not matter.
pub fn methods(values: &[Value], pairing: Pairing) -> MethodTable {
    let mut found: Vec<Found<'_>> =
        by_method(values).into_iter().filter_map(|(name, units)| method(name, units, pairing)).collect();
    found.sort_by(|a, b| natural(&a.mean.method, &b.mean.method));
    let differences = found
        .iter()
        .enumerate()
        .flat_map(|(n, first)| found.iter().skip(n + 1).map(move |second| difference(first, second, pairing)))
        .collect();
    let blocks = blocks(&found, pairing);
    MethodTable { differences, blocks, methods: found.into_iter().map(|found| found.mean).collect() }
}

fn by_method(values: &[Value]) -> BTreeMap<&str, Units<'_>> {
    let mut cells: BTreeMap<(&str, &str, &str), Vec<f64>> = BTreeMap::new();
    for value in values.iter().filter(|value| value.value.is_finite()) {
        cells.entry((&value.method, value.pair(), &value.unit)).or_default().push(value.value);
    }
    let mut methods: BTreeMap<&str, Units<'_>> = BTreeMap::new();
    for ((method, block, unit), values) in cells {
        if let Some(sample) = Sample::of(&values) {
            methods.entry(method).or_default().insert((block, unit), sample.mean);
        }
    }
    methods
}

fn method<'v>(name: &str, units: Units<'v>, pairing: Pairing) -> Option<Found<'v>> {
    // A unit of the book has its block in its name.
    let in_words = |(block, unit): &(&str, &str)| match pairing {
        Pairing::SharedUnits if block != unit => format!("{block}, {unit}"),
        _ => (*unit).to_owned(),
    };
    let mut behind: Vec<String> = units.keys().map(in_words).collect();
    behind.sort_by(|a, b| natural(a, b));
    let blocks = by_block(&units, |_| true);
    let sample = Sample::of(&blocks.values().copied().collect::<Vec<f64>>())?;
    let interval = mean_interval(sample, LEVEL);
    let mean = MethodMean { method: name.to_owned(), sample, interval, units: behind, pairing };
    Some(Found { mean, units, blocks })
}

/// The mean of each block's units, of those that are wanted.
fn by_block<'v>(units: &Units<'v>, wanted: impl Fn(&(&'v str, &'v str)) -> bool) -> Pairs<'v> {
    let mut blocks: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
    for (place, value) in units.iter().filter(|(place, _)| wanted(place)) {
        blocks.entry(place.0).or_default().push(*value);
    }
    blocks.into_iter().filter_map(|(block, values)| Some((block, Sample::of(&values)?.mean))).collect()
}

fn difference(first: &Found<'_>, second: &Found<'_>, pairing: Pairing) -> Difference {
    let (a, b) = (&first.mean, &second.mean);
    let pairs = pairs(first, second, pairing);
    Difference {
        first: a.method.clone(),
        second: b.method.clone(),
        difference: a.sample.mean - b.sample.mean,
        welch: welch(a.sample, b.sample, LEVEL),
        paired: paired_test(&pairs, LEVEL).map(|test| Paired { pairs: pairs.len(), test }),
        shared_units: pairs.len(),
        left_out: left_out(first, second, pairing) + left_out(second, first, pairing),
    }
}

/// Whether a unit of a method stands in a pair with the other method.
fn is_paired(other: &Found<'_>, place: &(&str, &str), pairing: Pairing) -> bool {
    match pairing {
        Pairing::SharedUnits => other.blocks.contains_key(place.0),
        Pairing::WithinUnits => other.units.contains_key(place),
    }
}

fn left_out(own: &Found<'_>, other: &Found<'_>, pairing: Pairing) -> usize {
    own.units.keys().filter(|place| !is_paired(other, place, pairing)).count()
}

/// The two methods side by side in each block that has both.
fn pairs(first: &Found<'_>, second: &Found<'_>, pairing: Pairing) -> Vec<(f64, f64)> {
    let of_first = by_block(&first.units, |place| is_paired(second, place, pairing));
    let of_second = by_block(&second.units, |place| is_paired(first, place, pairing));
    of_first.iter().filter_map(|(block, value)| of_second.get(block).map(|other| (*value, *other))).collect()
}

/// Two methods in blocks are the paired test and are not said twice.
fn blocks(methods: &[Found<'_>], pairing: Pairing) -> Result<CompleteBlocks, NoBlocks> {
    if methods.len() < 3 {
        return Err(NoBlocks::FewMethods);
    }
    if pairing == Pairing::WithinUnits {
        every_unit(methods)?;
    }
    let cells: Vec<(&str, &str, f64)> = methods
        .iter()
        .flat_map(|own| own.blocks.iter().map(|(block, value)| (*block, own.mean.method.as_str(), *value)))
        .collect();
    complete_blocks(&cells)
}

/// A block-season that lacks a method would set one season of its block against another.
fn every_unit(methods: &[Found<'_>]) -> Result<(), NoBlocks> {
    let units: BTreeSet<(&str, &str)> = methods.iter().flat_map(|own| own.units.keys().copied()).collect();
    let lacking = units.iter().find_map(|place| {
        let own = methods.iter().find(|own| !own.units.contains_key(place))?;
        Some(NoBlocks::Lacking { block: place.1.to_owned(), method: own.mean.method.clone() })
    });
    lacking.map_or(Ok(()), Err)
}
