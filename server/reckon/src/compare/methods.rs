//! The table of one measure: mean and interval of each method, difference of each pair.

use std::collections::{BTreeMap, BTreeSet};

use crate::size_classes::natural;
use crate::stats::{CompleteBlocks, Interval, LEVEL, NoTest, Sample, Test, complete_blocks};
use crate::stats::{mean_interval, paired as paired_test, welch};

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

/// Which units a paired difference is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pairing {
    /// Only when every unit of the two methods has both: a table somebody laid out by hand may give
    /// the same name to units that have nothing to do with each other.
    EveryUnit,
    /// Those units that have both: units of the book are what they say.
    SharedUnits,
}

/// A method's values.
#[derive(Debug, Clone, PartialEq)]
pub struct MethodMean {
    /// The method.
    pub method: String,
    /// Number, mean, standard deviation.
    pub sample: Sample,
    /// 95 % interval of the mean, or why there is none.
    pub interval: Result<Interval, NoTest>,
    /// The units behind it, in natural order.
    pub units: Vec<String>,
}

impl MethodMean {
    /// What is to be known about its interval; `None` from three units up.
    pub const fn remark(&self) -> Option<&'static str> {
        match self.sample.n {
            1 => Some("One only: nothing tells how much such blocks differ among themselves, so there is no interval."),
            2 => Some("Two only: the interval is as wide as it looks (t is 12.7)."),
            _ => None,
        }
    }
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
    /// Mean of the first less mean of the second.
    pub difference: f64,
    /// Unpaired, or why not.
    pub welch: Result<Test, NoTest>,
    /// Paired within units, or why not.
    pub paired: Result<Paired, NoTest>,
    /// Units (or blocks, where they were named) that have both methods.
    pub shared_units: usize,
}

impl Difference {
    /// The test to go by: paired where it could be made from all units, else Welch's.
    pub fn test(&self) -> Option<Test> {
        self.paired.map(|paired| paired.test).or(self.welch).ok()
    }
}

/// Every method of one measure.
#[derive(Debug, Clone, PartialEq)]
pub struct MethodTable {
    /// The methods, in natural order.
    pub methods: Vec<MethodMean>,
    /// Each pair of them, in the same order.
    pub differences: Vec<Difference>,
    /// Analysis in blocks, where three or more methods stand in every unit.
    pub blocks: Option<CompleteBlocks>,
}

impl MethodTable {
    /// The difference of two methods; `true` when it is kept the other way round.
    pub fn difference(&self, a: &str, b: &str) -> Option<(&Difference, bool)> {
        let is = |pair: &&Difference, one: &str, other: &str| pair.first == one && pair.second == other;
        let straight = self.differences.iter().find(|pair| is(pair, a, b)).map(|pair| (pair, false));
        straight.or_else(|| self.differences.iter().find(|pair| is(pair, b, a)).map(|pair| (pair, true)))
    }
}

/// Values of a method by unit; values of one unit stand as their mean.
type Units<'v> = BTreeMap<(&'v str, &'v str), f64>;

/// The same by block: the mean of a block's units.
type Pairs<'v> = BTreeMap<&'v str, f64>;

/// A method, and its values by block.
type Found<'v> = (MethodMean, Pairs<'v>);

/// Mean and interval of each method, and the difference of each pair. Values that are no finite
/// number are left out; several values of one unit under one method count once, as their mean. Where
/// blocks are named, units count for means and Welch's test, and paired differences are taken between
/// the means of a block's units. The order of the values does not matter.
pub fn methods(values: &[Value], pairing: Pairing) -> MethodTable {
    let mut found: Vec<Found<'_>> =
        by_method(values).into_iter().filter_map(|(name, units)| method(name, &units)).collect();
    found.sort_by(|(a, _), (b, _)| natural(&a.method, &b.method));
    let differences = found
        .iter()
        .enumerate()
        .flat_map(|(n, first)| found.iter().skip(n + 1).map(move |second| difference(first, second, pairing)))
        .collect();
    MethodTable { differences, blocks: blocks(&found), methods: found.into_iter().map(|(mean, _)| mean).collect() }
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

fn method<'v>(name: &str, units: &Units<'v>) -> Option<Found<'v>> {
    let sample = Sample::of(&units.values().copied().collect::<Vec<f64>>())?;
    let in_words =
        |(block, unit): &(&str, &str)| if block == unit { (*unit).to_owned() } else { format!("{block}, {unit}") };
    let mut behind: Vec<String> = units.keys().map(in_words).collect();
    behind.sort_by(|a, b| natural(a, b));
    let interval = mean_interval(sample, LEVEL);
    Some((MethodMean { method: name.to_owned(), sample, interval, units: behind }, pairs_of(units)))
}

fn pairs_of<'v>(units: &Units<'v>) -> Pairs<'v> {
    let mut blocks: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
    for ((block, _), value) in units {
        blocks.entry(block).or_default().push(*value);
    }
    blocks.into_iter().filter_map(|(block, values)| Some((block, Sample::of(&values)?.mean))).collect()
}

fn difference(first: &Found<'_>, second: &Found<'_>, pairing: Pairing) -> Difference {
    let ((a, of_a), (b, of_b)) = (first, second);
    let pairs: Vec<(f64, f64)> =
        of_a.iter().filter_map(|(block, value)| of_b.get(block).map(|other| (*value, *other))).collect();
    let every = pairs.len() == of_a.len() && pairs.len() == of_b.len();
    let paired = if every || pairing == Pairing::SharedUnits {
        paired_test(&pairs, LEVEL).map(|test| Paired { pairs: pairs.len(), test })
    } else {
        Err(NoTest::NotEveryUnit)
    };
    Difference {
        first: a.method.clone(),
        second: b.method.clone(),
        difference: a.sample.mean - b.sample.mean,
        welch: welch(a.sample, b.sample, LEVEL),
        paired,
        shared_units: pairs.len(),
    }
}

/// Two methods in blocks are the paired test and are not said twice.
fn blocks(methods: &[Found<'_>]) -> Option<CompleteBlocks> {
    let every: BTreeSet<&str> = methods.iter().flat_map(|(_, own)| own.keys().copied()).collect();
    let full = methods.len() > 2 && methods.iter().all(|(_, own)| own.len() == every.len());
    let cells: Vec<(&str, &str, f64)> = methods
        .iter()
        .flat_map(|(mean, own)| own.iter().map(|(block, value)| (*block, mean.method.as_str(), *value)))
        .collect();
    full.then(|| complete_blocks(&cells)).flatten()
}
