//! The measures of a block-season, and those left out.

use std::collections::BTreeMap;

use rust_decimal::prelude::ToPrimitive;

use super::measures::{LARGE_FROM, Measure};
use crate::block::folded;
use crate::figure::{Figure, Lack, lacking};
use crate::say;
use crate::season::{BlockSeason, StatementKey};
use crate::size_classes::PEACH_AND_NECTARINE;

/// What a block-season or a part of one shows: the measures, and those left out.
#[derive(Default)]
pub(super) struct Found {
    pub(super) measures: BTreeMap<Measure, f64>,
    pub(super) lacking: BTreeMap<Measure, String>,
}

impl Found {
    /// A figure that lacks records is no observation: without its wages the dearest method is free.
    pub(super) fn add(&mut self, measure: Measure, value: f64, lacks: &[Lack]) {
        match lacking(lacks) {
            Some(why) => self.lacking.extend([(measure, why)]),
            None => self.measures.extend([(measure, value)]),
        }
    }

    /// Leaves out a measure that is there, where there is a reason to.
    pub(super) fn leave_out(&mut self, measure: Measure, why: Option<String>) {
        if let Some(why) = why.filter(|_| self.measures.remove(&measure).is_some()) {
            self.lacking.insert(measure, why);
        }
    }

    /// A figure that could not be made at all, because the records it needs lack something.
    fn lacking(&mut self, measure: Measure, lacks: &[Lack]) {
        self.lacking.extend(lacking(lacks).map(|why| (measure, why)));
    }

    pub(super) fn figure<T>(
        &mut self,
        measure: Measure,
        figure: Option<&Figure<T>>,
        number: impl Fn(&T) -> Option<f64>,
    ) {
        if let Some((figure, value)) = figure.and_then(|figure| Some((figure, number(&figure.value)?))) {
            self.add(measure, value, &figure.lacks);
        }
    }
}

/// Of the whole block.
pub(super) fn measures(season: &BlockSeason) -> Found {
    let (labor, thinning) = (&season.labor, season.labor.thinning.as_ref());
    let mut found = Found::default();
    let cost = thinning.and_then(|all| all.cost_per_tree.as_ref());
    found.figure(Measure::CostPerTree, cost, |each| each.decimal().to_f64());
    // Where no entry has a wage there is no cost of a tree at all, to say what it lacks.
    if let Some(all) = thinning {
        found.lacking(Measure::CostPerTree, &all.cost.lacks);
    }
    let hours = thinning.and_then(|all| all.hours_per_tree.as_ref());
    found.figure(Measure::HoursPerTree, hours, |each| Some(each.get()));
    let thousand = labor.cost_per_thousand_removed.as_ref();
    found.figure(Measure::CostPerThousand, thousand, |each| each.decimal().to_f64());
    if let Some(unpriced) = thinning.filter(|all| thousand.is_none() && all.hours_per_thousand.is_some()) {
        found.lacking(Measure::CostPerThousand, &unpriced.cost.lacks);
    }
    if let Some(share) = large_share(season) {
        found.add(Measure::LargeShare, share, &[]);
    }
    let net = season.packout.net_per_pound.as_ref();
    found.figure(Measure::NetPerPound, net, |each| each.decimal().to_f64());
    if let Some((back, lacks)) = return_per_acre(season) {
        found.add(Measure::ReturnPerAcre, back, lacks);
        found.leave_out(Measure::ReturnPerAcre, unpriced(season));
    }
    found
}

/// Fruit that has no price yet bore its costs already: what is left over is no return to rank by.
fn unpriced(season: &BlockSeason) -> Option<String> {
    let boxes = season.packout.boxes_without_price.as_ref()?.value;
    (!boxes.is_zero()).then(|| format!("{} no price", say::counted(boxes.decimal(), "box has", "boxes have")))
}

/// Over all costs. A block with nothing sold yet has no return to compare, only its costs so far.
fn return_per_acre(season: &BlockSeason) -> Option<(f64, &[Lack])> {
    season.statement.line(StatementKey::NetToGrower).filter(|line| line.amount.n() > 0)?;
    let line = season.statement.line(StatementKey::OverAll)?;
    Some((line.per_acre?.decimal().to_f64()?, &line.amount.lacks))
}

/// Crops whose letter classes these are.
const IN_LETTERS: [&str; 2] = ["peach", "nectarine"];

/// Share of the pack in size class A and larger; `None` where a size is no letter class, or the crop has none.
fn large_share(season: &BlockSeason) -> Option<f64> {
    let crop = folded(&season.heading.block.crop);
    if !IN_LETTERS.contains(&crop.as_str()) {
        return None;
    }
    let place = |code: &str| PEACH_AND_NECTARINE.iter().position(|class| class.code.eq_ignore_ascii_case(code.trim()));
    let from = place(LARGE_FROM)?;
    let sizes = &season.packout.sizes;
    let shares = sizes.iter().map(|cell| {
        let large = place(cell.size_class.as_deref()?)? >= from;
        Some(if large { cell.share.value.get() } else { 0.0 })
    });
    let shares: Option<Vec<f64>> = shares.collect();
    shares.filter(|shares| !shares.is_empty()).map(crate::stats::sum)
}
