//! Samples: one tree or branch, its counts of all passes joined; and the size of fruit.

use std::collections::{BTreeMap, BTreeSet};

use crate::block::folded;
use crate::figure::{Evidence, Figure, Kept, RecordId, RecordKind, RecordRef};
use crate::records::{FruitCount, ThinningMethod};
use crate::stats;
use crate::units::Inches;

/// One tree or branch, its counts of all passes joined: fruit before the first, fruit left by the last.
#[derive(Debug, Clone, Default)]
pub(super) struct Sample {
    pub(super) branch: bool,
    /// The methods its counts name, and `None` for a count that names none.
    pub(super) methods: BTreeSet<Option<ThinningMethod>>,
    pub(super) before: Option<u32>,
    pub(super) after: Option<u32>,
    pub(super) shoot: Option<f64>,
    ids: Vec<RecordId>,
}

impl Sample {
    fn of(own: &[&Kept<FruitCount>]) -> Self {
        let mut sample = Self { branch: own.iter().any(|kept| kept.record.branch), ..Self::default() };
        for kept in own {
            sample.join(kept);
        }
        sample
    }

    fn join(&mut self, later: &Kept<FruitCount>) {
        self.before = self.before.or(later.record.before);
        self.after = later.record.after.or(self.after);
        self.shoot = later.record.shoot.map(Inches::get).or(self.shoot);
        self.methods.insert(later.record.method);
        self.ids.push(later.id);
    }

    /// Fruit before, and fruit left.
    pub(super) fn pair(&self) -> Option<(f64, f64)> {
        self.before.map(f64::from).zip(self.left())
    }

    pub(super) fn left(&self) -> Option<f64> {
        self.after.map(f64::from)
    }

    /// Fruit left, and the shoot that bears it.
    pub(super) fn spaced(&self) -> Option<(f64, f64)> {
        self.left().zip(self.shoot)
    }
}

/// Samples in order of name.
pub(super) fn samples(counts: &[Kept<FruitCount>]) -> Vec<Sample> {
    each_sample(counts).iter().map(|own| Sample::of(own)).collect()
}

/// The counts of each sample, in order of name and day; capitals and blanks of a name do not matter. A
/// name that stands on several days is one tree counted again; a name that stands twice on one day
/// ("tree") is no name, and each of its counts stands alone.
pub(super) fn each_sample(counts: &[Kept<FruitCount>]) -> Vec<Vec<&Kept<FruitCount>>> {
    let mut named: BTreeMap<(bool, String), Vec<&Kept<FruitCount>>> = BTreeMap::new();
    for kept in counts {
        named.entry((kept.record.branch, folded(&kept.record.sample))).or_default().push(kept);
    }
    named.into_values().flat_map(of_one_name).collect()
}

fn of_one_name(mut counts: Vec<&Kept<FruitCount>>) -> Vec<Vec<&Kept<FruitCount>>> {
    counts.sort_by_key(|kept| (kept.record.date, kept.record.before.is_none(), kept.id));
    let twice = counts.chunk_by(|a, b| a.record.date == b.record.date).any(is_twice);
    if twice { counts.into_iter().map(|kept| vec![kept]).collect() } else { vec![counts] }
}

/// Whether the counts of one name and day are more than one: fruit before in one row and fruit left in another
/// are one count.
pub(super) fn is_twice(of_a_day: &[&Kept<FruitCount>]) -> bool {
    let only = |kept: &Kept<FruitCount>| (kept.record.before.is_some(), kept.record.after.is_some());
    match of_a_day {
        [] | [_] => false,
        [a, b] => !matches!((only(a), only(b)), ((true, false), (false, true)) | ((false, true), (true, false))),
        _ => true,
    }
}

pub(super) fn references(samples: &[&Sample]) -> Vec<RecordRef> {
    samples
        .iter()
        .flat_map(|sample| &sample.ids)
        .map(|id| RecordRef { kind: RecordKind::FruitCount, id: *id })
        .collect()
}

/// Over the counts that carry one: a later count of the same tree is a later size.
pub(super) fn diameter(counts: &[Kept<FruitCount>]) -> Option<Figure<Inches>> {
    let measured: Vec<(&Kept<FruitCount>, f64)> =
        counts.iter().filter_map(|kept| kept.record.fruit_diameter.map(|inches| (kept, inches.get()))).collect();
    let mean = stats::Sample::of(&measured.iter().map(|(_, inches)| *inches).collect::<Vec<f64>>())?.mean;
    let records = measured.iter().map(|(kept, _)| RecordRef { kind: RecordKind::FruitCount, id: kept.id });
    Some(Figure::new(Inches::of(mean), Evidence::Counted, records))
}
