//! The table of one measure: mean and interval of each method, difference of each pair.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use crate::say;
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
    /// Those units that have both, one difference for each block: a block-season is a unit, and seasons
    /// of one block are no pairs of their own. A method of one season is never paired with another's.
    WithinUnits,
}

/// A method's values.
#[derive(Debug, Clone, PartialEq)]
pub struct MethodMean {
    /// The method.
    pub method: String,
    /// Number, mean, standard deviation of the units.
    pub sample: Sample,
    /// The same with one value for each block, the mean of its units: what the interval is made of,
    /// because units of one block are not independent. As `sample` where no block repeats.
    pub blocks: Sample,
    /// 95 % interval of the mean of the blocks, or why there is none.
    pub interval: Result<Interval, NoTest>,
    /// The units behind it, in natural order.
    pub units: Vec<String>,
}

impl MethodMean {
    /// Whether a block stands in it with several units.
    pub const fn repeats(&self) -> bool {
        self.blocks.n < self.sample.n
    }

    /// "3 block-seasons"; "1 block, 2 seasons" and "2 blocks, 5 block-seasons" where blocks repeat.
    pub fn counted(&self) -> String {
        let count = |n: usize, one, many| say::counted(Decimal::from(n), one, many);
        let units = count(self.sample.n, "block-season", "block-seasons");
        match self.blocks.n {
            _ if !self.repeats() => units,
            1 => format!("1 block, {}", count(self.sample.n, "season", "seasons")),
            blocks => format!("{}, {units}", count(blocks, "block", "blocks")),
        }
    }

    /// What is to be known about its interval; `None` from three differing blocks up, each there once.
    pub fn remark(&self) -> Option<&'static str> {
        let alike = self.blocks.sd.is_some_and(|sd| sd <= 0.0);
        match (self.blocks.n, self.repeats()) {
            (1, false) => {
                Some("One only: nothing tells how much such blocks differ among themselves, so there is no interval.")
            }
            (1, true) => Some(
                "One block in several seasons: they do not tell how much such blocks differ among themselves, so \
                 there is no interval.",
            ),
            _ if alike => Some(
                "All alike: an interval without width says that these values are equal, not that the next will be.",
            ),
            (2, false) => Some("Two only: the interval is as wide as it looks (t is 12.7)."),
            (2, true) => Some(
                "Two blocks in several seasons: the interval is made of one value for each block, the mean of its \
                 seasons, and is as wide as it looks (t is 12.7).",
            ),
            (_, true) => Some(
                "Blocks in several seasons: the interval is made of one value for each block, the mean of its seasons, \
                 because seasons of one block are not independent.",
            ),
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

/// A method, its values by unit, and by block.
struct Found<'v> {
    mean: MethodMean,
    units: Units<'v>,
    blocks: Pairs<'v>,
}

/// Mean and interval of each method, and the difference of each pair. Values that are no finite
/// number are left out; several values of one unit under one method count once, as their mean. Where
/// blocks are named, units count for means, and intervals, Welch's test and paired differences are made
/// of one value for each block, the mean of its units. The order of the values does not matter.
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

fn sample_of<K>(values: &BTreeMap<K, f64>) -> Option<Sample> {
    Sample::of(&values.values().copied().collect::<Vec<f64>>())
}

fn method<'v>(name: &str, units: Units<'v>, pairing: Pairing) -> Option<Found<'v>> {
    // A unit of the book has its block in its name.
    let in_words = |(block, unit): &(&str, &str)| match pairing {
        Pairing::EveryUnit | Pairing::SharedUnits if block != unit => format!("{block}, {unit}"),
        _ => (*unit).to_owned(),
    };
    let mut behind: Vec<String> = units.keys().map(in_words).collect();
    behind.sort_by(|a, b| natural(a, b));
    let blocks = by_block(&units, |_| true);
    let (sample, of_blocks) = (sample_of(&units)?, sample_of(&blocks)?);
    let interval = mean_interval(of_blocks, LEVEL);
    let mean = MethodMean { method: name.to_owned(), sample, blocks: of_blocks, interval, units: behind };
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
    let every = pairs.len() == first.blocks.len() && pairs.len() == second.blocks.len();
    let paired = if every || pairing != Pairing::EveryUnit {
        paired_test(&pairs, LEVEL).map(|test| Paired { pairs: pairs.len(), test })
    } else {
        Err(NoTest::NotEveryUnit)
    };
    Difference {
        first: a.method.clone(),
        second: b.method.clone(),
        difference: a.sample.mean - b.sample.mean,
        welch: welch(a.blocks, b.blocks, LEVEL),
        paired,
        shared_units: pairs.len(),
    }
}

/// The two methods side by side in each block that has both.
fn pairs(first: &Found<'_>, second: &Found<'_>, pairing: Pairing) -> Vec<(f64, f64)> {
    let wanted =
        |other: &Found<'_>, place: &(&str, &str)| pairing != Pairing::WithinUnits || other.units.contains_key(place);
    let of_first = by_block(&first.units, |place| wanted(second, place));
    let of_second = by_block(&second.units, |place| wanted(first, place));
    of_first.iter().filter_map(|(block, value)| of_second.get(block).map(|other| (*value, *other))).collect()
}

/// Two methods in blocks are the paired test and are not said twice.
fn blocks(methods: &[Found<'_>], pairing: Pairing) -> Option<CompleteBlocks> {
    let every: BTreeSet<&str> = methods.iter().flat_map(|own| own.blocks.keys().copied()).collect();
    let units: BTreeSet<_> = methods.iter().flat_map(|own| own.units.keys().copied()).collect();
    let same_units = |own: &Found<'_>| pairing != Pairing::WithinUnits || own.units.len() == units.len();
    let full = methods.len() > 2 && methods.iter().all(|own| own.blocks.len() == every.len() && same_units(own));
    let cells: Vec<(&str, &str, f64)> = methods
        .iter()
        .flat_map(|own| own.blocks.iter().map(|(block, value)| (*block, own.mean.method.as_str(), *value)))
        .collect();
    full.then(|| complete_blocks(&cells)).flatten()
}
