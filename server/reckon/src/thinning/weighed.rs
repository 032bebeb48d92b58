//! Which samples a figure is made of, and how they weigh: all alike, or each method by the trees it
//! thinned in the first pass, not by how many of them were sampled. Whatever is left out is named.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use super::counts::{Sample, references};
use super::strata::Strata;
use crate::figure::{Gap, GapAbout, RecordKind, RecordRef};
use crate::labor::{Apart, Methods, float};
use crate::records::{Task, ThinningMethod};
use crate::say;
use crate::season::SeasonRecords;

/// Samples behind each figure.
pub(super) struct Weighed<'s> {
    /// Counted before and after: the share taken off.
    pub(super) share: Strata<'s>,
    /// Whole trees of these: fruit before, fruit taken off.
    pub(super) both: Strata<'s>,
    /// Whole trees counted after, with a count before or without: fruit left.
    pub(super) left: Strata<'s>,
    /// Counted after, with a measured shoot.
    pub(super) spaced: Strata<'s>,
    /// Whether methods have trees of their own, as far as anyone can tell.
    pub(super) several: bool,
    /// What is left out of the parts, or why there are none.
    pub(super) gaps: Vec<Gap>,
}

impl<'s> Weighed<'s> {
    pub(super) fn of(records: &SeasonRecords, samples: &'s [Sample]) -> Self {
        let counted = Counted::of(samples);
        let methods = Methods::of(&records.labor, &records.block);
        if let Methods::Apart(apart) = &methods {
            return counted.apart(apart);
        }
        let trees = || counted.left.iter().chain(&counted.both).copied().collect::<Vec<_>>();
        let units = if trees().is_empty() { counted.after.clone() } else { trees() };
        let why = match &methods {
            Methods::Unclear(why) if !units.is_empty() => unclear(records, why, &units),
            Methods::One if disjoint(&units) => Some(unsaid(&units)),
            _ => None,
        };
        let several = matches!(methods, Methods::Unclear(_)) || why.is_some();
        Self { several, gaps: why.into_iter().collect(), ..counted.alike() }
    }
}

/// Samples by what was counted on them.
struct Counted<'s> {
    /// Trees and branches, before and after.
    complete: Vec<&'s Sample>,
    both: Vec<&'s Sample>,
    left: Vec<&'s Sample>,
    spaced: Vec<&'s Sample>,
    /// Trees and branches with a count after.
    after: Vec<&'s Sample>,
}

impl<'s> Counted<'s> {
    fn of(samples: &'s [Sample]) -> Self {
        let with = |has: fn(&Sample) -> bool| samples.iter().filter(|sample| has(sample)).collect();
        Self {
            complete: with(|sample| sample.pair().is_some()),
            both: with(|sample| !sample.branch && sample.pair().is_some()),
            left: with(|sample| !sample.branch && sample.after.is_some()),
            spaced: with(|sample| sample.spaced().is_some()),
            after: with(|sample| sample.after.is_some()),
        }
    }

    fn alike(self) -> Weighed<'s> {
        Weighed {
            share: Strata::alike(self.complete),
            both: Strata::alike(self.both),
            left: Strata::alike(self.left),
            spaced: Strata::alike(self.spaced),
            several: false,
            gaps: Vec::new(),
        }
    }

    /// Branches never stand beside trees: they serve where no tree was counted.
    fn apart(self, apart: &Apart) -> Weighed<'s> {
        let placed = |samples: &[&'s Sample]| Placed::of(apart, samples);
        let (share, both, left) = (placed(&self.complete), placed(&self.both), placed(&self.left));
        let spaced = placed(&self.spaced);
        let mut told = Told::new(apart);
        told.figure(&left, ("none was counted", "the mean is of the others"), "fruit left on a tree");
        told.figure(
            &share,
            ("none was counted before and after", "the share taken off is of the others"),
            "the share taken off",
        );
        told.figure(&spaced, ("no shoot was measured there", "the spacing is of the others"), "spacing");
        let gaps = told.gaps();
        Weighed {
            share: share.strata(),
            both: both.strata(),
            left: left.strata(),
            spaced: spaced.strata(),
            several: true,
            gaps,
        }
    }
}

/// Samples of one figure in the parts they stand in.
struct Placed<'s> {
    parts: BTreeMap<ThinningMethod, (f64, Vec<&'s Sample>)>,
    /// Samples whose counts do not tell their part.
    unplaced: Vec<&'s Sample>,
}

impl<'s> Placed<'s> {
    fn of(apart: &Apart, samples: &[&'s Sample]) -> Self {
        let trees: Vec<&Sample> = samples.iter().copied().filter(|sample| !sample.branch).collect();
        let whole = Self::in_parts(apart, if trees.is_empty() { samples } else { &trees });
        if whole.parts.is_empty() { Self { unplaced: samples.to_vec(), ..whole } } else { whole }
    }

    fn in_parts(apart: &Apart, samples: &[&'s Sample]) -> Self {
        let mut found = Self { parts: BTreeMap::new(), unplaced: Vec::new() };
        for sample in samples {
            let part = apart.first_of(&sample.methods);
            match part.and_then(|method| Some((method, *apart.trees.get(&Some(method))?))) {
                Some((method, trees)) => {
                    found.parts.entry(method).or_insert((float(trees), Vec::new())).1.push(sample);
                }
                None => found.unplaced.push(sample),
            }
        }
        found
    }

    /// All alike where no sample tells its part.
    fn strata(self) -> Strata<'s> {
        if self.parts.is_empty() {
            return Strata::alike(self.unplaced);
        }
        Strata::apart(self.parts.into_values().collect())
    }
}

/// What is said of the parts, each thing once: of the first figure that it weakens.
struct Told<'a> {
    apart: &'a Apart,
    uncounted: BTreeMap<Option<ThinningMethod>, String>,
    /// Samples that are left out, by their records.
    unplaced: BTreeSet<Vec<RecordRef>>,
    alike: Option<Gap>,
}

impl<'a> Told<'a> {
    fn new(apart: &'a Apart) -> Self {
        Self { apart, uncounted: BTreeMap::new(), unplaced: BTreeSet::new(), alike: None }
    }

    /// `lacks` says what was not done on a method's trees, and what the figure is of instead.
    fn figure(&mut self, placed: &Placed<'_>, lacks: (&str, &str), name: &str) {
        if placed.parts.is_empty() {
            if !placed.unplaced.is_empty() && self.alike.is_none() {
                self.alike = Some(self.no_method(&placed.unplaced, name));
            }
            return;
        }
        for (method, trees) in &self.apart.trees {
            if method.is_none_or(|method| !placed.parts.contains_key(&method)) {
                self.uncounted.entry(*method).or_insert_with(|| self.apart.uncounted(*method, *trees, lacks));
            }
        }
        self.unplaced.extend(placed.unplaced.iter().map(|sample| references(&[sample])));
    }

    fn no_method(&self, samples: &[&Sample], name: &str) -> Gap {
        let methods = self.apart.words();
        let what = format!(
            "Trees were thinned {methods}, each on its own, and no count names its method: for {name} every sample weighs \
             the same."
        );
        say::worth_a_look(GapAbout::Thinning, what, NAME_IT, references(samples))
    }

    fn gaps(self) -> Vec<Gap> {
        let uncounted = self.uncounted.into_values().map(|what| {
            let mend = "Count a few trees of each method, and name the method.";
            say::missing(GapAbout::Thinning, what, mend, [])
        });
        let left_out = self.unplaced.len();
        let unplaced = (left_out > 0).then(|| {
            let samples = say::counted(Decimal::from(left_out), "sample does", "samples do");
            let are = if left_out == 1 { "is" } else { "are" };
            let what = format!(
                "{samples} not name one method of the first pass and {are} left out: {} weigh by their trees.",
                self.apart.list()
            );
            say::worth_a_look(GapAbout::Thinning, what, NAME_IT, self.unplaced.into_iter().flatten())
        });
        uncounted.chain(unplaced).chain(self.alike).collect()
    }
}

const NAME_IT: &str = "Name the method in the counts.";

impl Apart {
    /// "60 of 1,000 trees were thinned by pole and none was counted; the mean is of the others."
    fn uncounted(&self, method: Option<ThinningMethod>, trees: u64, (lacks, of): (&str, &str)) -> String {
        let number = |count: u64| say::number(Decimal::from(count));
        let were = if trees == 1 { "was" } else { "were" };
        format!("{} of {} trees {were} thinned {} and {lacks}; {of}.", number(trees), number(self.all()), by(method))
    }

    /// "by hand and by cuts".
    fn words(&self) -> String {
        say::list(&self.trees.keys().map(|method| by(*method)).collect::<Vec<_>>())
    }

    /// "by hand and cuts": the methods that are given.
    fn list(&self) -> String {
        say::methods(self.trees.keys().flatten())
    }
}

/// A method after "thinned".
const fn by(method: Option<ThinningMethod>) -> &'static str {
    match method {
        Some(ThinningMethod::ByHand) => "by hand",
        Some(ThinningMethod::Cuts) => "by cuts",
        Some(ThinningMethod::Pole) => "by pole",
        Some(ThinningMethod::Machine) => "by machine",
        Some(ThinningMethod::Chemical) => "by spray",
        None => "by a method that is not given",
    }
}

fn named(sample: &Sample) -> BTreeSet<ThinningMethod> {
    sample.methods.iter().copied().flatten().collect()
}

/// Whether two samples name methods, and none in common.
fn disjoint(samples: &[&Sample]) -> bool {
    let sets: BTreeSet<BTreeSet<ThinningMethod>> =
        samples.iter().map(|sample| named(sample)).filter(|own| !own.is_empty()).collect();
    sets.iter().any(|one| sets.iter().any(|other| one.is_disjoint(other)))
}

/// The entries do not tell the parts; nothing is to be told where every sample met every method.
fn unclear(records: &SeasonRecords, why: &str, samples: &[&Sample]) -> Option<Gap> {
    let thin = || records.labor.iter().filter(|kept| kept.record.task == Task::Thin);
    let methods: BTreeSet<ThinningMethod> = thin().filter_map(|kept| kept.record.method).collect();
    if samples.iter().all(|sample| methods.is_subset(&named(sample))) {
        return None;
    }
    let what = format!("Trees were thinned {}, and {why}: every sample weighs the same.", by_each(&methods));
    let mend = "Enter the pass and the trees done of every thinning entry.";
    let entries = thin().map(|kept| RecordRef { kind: RecordKind::Labor, id: kept.id });
    Some(say::worth_a_look(GapAbout::Thinning, what, mend, entries))
}

fn by_each(methods: &BTreeSet<ThinningMethod>) -> String {
    say::list(&methods.iter().map(|method| by(Some(*method))).collect::<Vec<_>>())
}

/// Counts that name several methods, where the entries do not.
fn unsaid(samples: &[&Sample]) -> Gap {
    let methods: BTreeSet<ThinningMethod> = samples.iter().flat_map(|sample| named(sample)).collect();
    let what = format!(
        "Counts name {}, and the entries do not say which trees each of them thinned: every sample weighs the same.",
        say::methods(&methods)
    );
    let mend = "Enter the method, the pass and the trees done of every thinning entry.";
    say::worth_a_look(GapAbout::Thinning, what, mend, references(samples))
}

#[cfg(test)]
mod tests;
