//! Passes and methods of a block: their order, their name, and parts that were thinned their own way.

use std::collections::BTreeSet;

use rust_decimal::prelude::ToPrimitive;

use super::found::Found;
use super::measures::Measure;
use super::notes::PartOf;
use crate::figure::{Evidence, Lack};
use crate::records::ThinningMethod;
use crate::say;
use crate::season::{BlockSeason, LaborMeasure, MethodPass, PayBasis, TreesFrom};

/// Share of a block's trees below which a method has no part and no pass of its own: common practice,
/// no source.
const PART_FROM: f64 = 0.05;

/// A block, or a part of one, as it was thinned.
pub(super) struct Thinned {
    pub(super) method: String,
    pub(super) found: Found,
    pub(super) pay: BTreeSet<PayBasis>,
    /// `None` of a whole block.
    pub(super) part: Option<PartOf>,
}

/// By pass, and within it by method; entries without a pass last, by their days.
pub(super) fn in_order(passes: &[MethodPass]) -> Vec<&MethodPass> {
    let mut passes: Vec<&MethodPass> = passes.iter().collect();
    let methods = |pass: &MethodPass| pass.pass.map(|_| (pass.method.is_none(), pass.method));
    passes.sort_by_key(|pass| (pass.pass.is_none(), pass.pass, methods(pass), pass.days, pass.method));
    passes
}

/// Trees that someone counted, by themselves or by rows.
pub(super) fn told(measure: &LaborMeasure) -> Option<f64> {
    let trees = measure.trees.as_ref()?;
    let rows = matches!(measure.trees_from, Some(TreesFrom::Rows(_)));
    ((rows || trees.evidence == Evidence::Counted) && trees.value.get() > 0.0).then(|| trees.value.get())
}

/// Whether it is money alone, on top of the other work.
fn is_on_top(pass: &MethodPass) -> bool {
    pass.measure.trees.as_ref().is_some_and(|trees| trees.value.get() <= 0.0)
}

/// The passes that are more than a few trees, and a sentence on each of the others. All of them where
/// none is more.
pub(super) fn of_size<'p>(season: &BlockSeason, passes: &[&'p MethodPass]) -> (Vec<&'p MethodPass>, Vec<String>) {
    let all = season.heading.block.trees.map(f64::from);
    let few = |pass: &MethodPass| all.zip(told(&pass.measure)).filter(|(all, own)| *own < PART_FROM * all);
    let large = |pass: &&MethodPass| few(pass).is_none() && !is_on_top(pass);
    let main: Vec<&MethodPass> = passes.iter().copied().filter(large).collect();
    if main.is_empty() {
        return (passes.to_vec(), Vec::new());
    }
    let heading = &season.heading;
    let note = |pass: &&MethodPass| {
        let (all, own) = few(pass)?;
        let (own, all) = (say::whole(own), say::whole(all));
        let of = format!("{} {}: {own} of its {all} trees", heading.block.code, heading.season.year);
        Some(format!("{of} ({}) are too few for a method or a part of their own.", word(pass)))
    };
    (main, passes.iter().filter_map(note).collect())
}

/// What a pass is called whose entries do not say how it was done.
pub(super) const NOT_GIVEN: &str = "method not given";

fn word(pass: &MethodPass) -> &'static str {
    pass.method.map_or(NOT_GIVEN, ThinningMethod::word)
}

/// What the work was paid by.
pub(super) fn pay(passes: &[&MethodPass]) -> BTreeSet<PayBasis> {
    passes.iter().flat_map(|pass| pass.pay.iter().copied()).collect()
}

/// "cuts then by hand"; "by hand and cuts" within one pass. A method that follows itself is said once.
pub(super) fn joined(passes: &[&MethodPass]) -> String {
    let mut said = String::new();
    let mut before: Option<&MethodPass> = None;
    for pass in passes {
        match before.filter(|last| word(last) != word(pass)) {
            Some(last) => said.extend([if beside(last, pass) { " and " } else { " then " }, word(pass)]),
            None if before.is_none() => said.push_str(word(pass)),
            None => {}
        }
        before = Some(pass);
    }
    said
}

/// Whether two methods were used side by side: in one pass, or where none is named on days that overlap.
fn beside(last: &MethodPass, next: &MethodPass) -> bool {
    last.pass == next.pass && (next.pass.is_some() || next.days.0 <= last.days.1)
}

/// The parts of a block whose first pass was done by several methods on different trees: every
/// method's trees are counted, and together they are no more than the block has. Each tree bears its
/// share of the later passes.
pub(super) fn parts(season: &BlockSeason, main: &[&MethodPass], passes: &[&MethodPass]) -> Vec<Thinned> {
    let first = main.first().and_then(|pass| pass.pass);
    let (own, then): (Vec<&MethodPass>, Vec<&MethodPass>) = main.iter().partition(|pass| pass.pass == first);
    let later: Vec<&MethodPass> = passes.iter().copied().filter(|pass| pass.pass != first || is_on_top(pass)).collect();
    let counted: Option<Vec<f64>> = own.iter().map(|pass| told(&pass.measure)).collect();
    let Some((counted, most)) = counted.zip(season.heading.block.trees) else { return Vec::new() };
    let all = crate::stats::sum(counted.iter().copied());
    if own.len() < 2 || all > f64::from(most) {
        return Vec::new();
    }
    let shared: BTreeSet<Option<u8>> = later.iter().filter(|pass| !is_on_top(pass)).map(|pass| pass.pass).collect();
    let part = |(pass, trees): (&&MethodPass, &f64)| {
        let named: Vec<&MethodPass> = core::iter::once(*pass).chain(then.iter().copied()).collect();
        let worked: Vec<&MethodPass> = core::iter::once(*pass).chain(later.iter().copied()).collect();
        let mut found = found(pass, &later, (*trees, all));
        if later.is_empty() && counts_name(season, pass) {
            found.figure(Measure::CostPerThousand, pass.measure.cost_per_thousand.as_ref(), |each| {
                each.decimal().to_f64()
            });
        }
        let part = PartOf { trees: *trees, of: most, shared: shared.clone() };
        Thinned { method: joined(&named), found, pay: pay(&worked), part: Some(part) }
    };
    own.iter().zip(&counted).map(part).collect()
}

/// Whether the fruit that a method took off a tree was counted by itself.
fn counts_name(season: &BlockSeason, pass: &MethodPass) -> bool {
    season.thinning.by_method.iter().any(|taken| Some(taken.method) == pass.method && taken.per_tree.is_some())
}

/// Over its own trees, and a later pass over those of that pass. One that met fewer trees than the first
/// is spread over all of the first: nobody kept which part they stood in.
fn found(own: &MethodPass, later: &[&MethodPass], (trees, all): (f64, f64)) -> Found {
    let cost = |pass: &MethodPass| pass.measure.cost.value.decimal().to_f64();
    let hours = |pass: &MethodPass| match &pass.measure.hours {
        None if is_on_top(pass) => Some(0.0),
        hours => hours.as_ref().map(|hours| hours.value.as_f64()),
    };
    let met = |pass: &MethodPass| told(&pass.measure).map_or(all, |trees| trees.max(all));
    let each = |of: &dyn Fn(&MethodPass) -> Option<f64>| {
        let rest: Option<f64> = later.iter().map(|pass| Some(of(pass)? / met(pass))).sum();
        Some(of(own)? / trees + rest?)
    };
    let all_of_it = || core::iter::once(own).chain(later.iter().copied()).map(|pass| &pass.measure);
    let mut lacks: Vec<Lack> = all_of_it().flat_map(|labor| labor.cost.lacks.iter().copied()).collect();
    lacks.sort_unstable();
    let mut untimed: Vec<Lack> =
        all_of_it().filter_map(|labor| labor.hours.as_ref()).flat_map(|hours| hours.lacks.iter().copied()).collect();
    untimed.sort_unstable();
    let mut found = Found::default();
    if let Some(cost) = each(&cost) {
        found.add(Measure::CostPerTree, cost, &lacks);
    }
    if let Some(hours) = each(&hours) {
        found.add(Measure::HoursPerTree, hours, &untimed);
    }
    found
}
