//! A block-season as an observation: its method, what it is like, and its measures.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rust_decimal::prelude::ToPrimitive;

use super::measures::{LARGE_FROM, Measure};
use super::methods::Value;
use crate::figure::{Evidence, Figure, Lack, lacking};
use crate::records::{Observation as Seen, ThinningMethod};
use crate::season::{BlockSeason, MethodPass, StatementKey};
use crate::size_classes::PEACH_AND_NECTARINE;
use crate::units::SQUARE_FEET_PER_ACRE;

/// What an observation record says when its note names the block's method.
pub const NAMED_BY: &str = "thinning method";

/// What block-seasons can be grouped by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Facet {
    /// Crop; always.
    Crop,
    /// Farm.
    Farm,
    /// Variety.
    Variety,
    /// Age of the trees, in bands.
    Age,
    /// Season.
    Season,
}

impl Facet {
    /// Every facet.
    pub const ALL: [Self; 5] = [Self::Crop, Self::Farm, Self::Variety, Self::Age, Self::Season];

    /// Key in addresses.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Crop => "crop",
            Self::Farm => "farm",
            Self::Variety => "variety",
            Self::Age => "age",
            Self::Season => "season",
        }
    }

    /// The facet of this [`Facet::word`].
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|facet| facet.word() == word)
    }
}

/// What a block-season is like besides its method.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Traits {
    /// The block's code.
    pub block: String,
    /// Farm.
    pub farm: String,
    /// Crop.
    pub crop: String,
    /// Variety.
    pub variety: String,
    /// Year of the harvest.
    pub season: Option<i32>,
    /// Years from planting to that season.
    pub age: Option<i32>,
    /// Trees on an acre: counted trees over acres, else by the spacing.
    pub trees_per_acre: Option<f64>,
    /// What hurt the crop, by day.
    pub damage: Vec<Damage>,
}

/// Something that hurt a crop.
#[derive(Debug, Clone, PartialEq)]
pub struct Damage {
    /// What: "hail".
    pub what: String,
    /// The day it was seen.
    pub date: NaiveDate,
    /// Share of the crop hurt, percent, where someone estimated it.
    pub share_pct: Option<f64>,
}

/// What an observation is called when it hurts a crop even where nobody estimated the share. Common
/// practice, no source.
const HURTS: [&str; 10] =
    ["hail", "frost", "freeze", "breakage", "broken limb", "sunburn", "split pit", "cracking", "wind", "bird"];

impl Damage {
    fn of(season: &BlockSeason) -> Vec<Self> {
        let hurts = |seen: &&Seen| {
            let what = seen.what.to_lowercase();
            let share = seen.share_pct.is_some_and(|share| share > 0.0);
            what.trim() != NAMED_BY && (share || HURTS.iter().any(|word| what.contains(word)))
        };
        let hurt = season.observations.iter().filter(hurts);
        let mut found: Vec<Self> = hurt
            .map(|seen| Self { what: seen.what.trim().to_lowercase(), date: seen.date, share_pct: seen.share_pct })
            .collect();
        found.sort_by(|a, b| {
            let share = |damage: &Self| damage.share_pct.unwrap_or_default();
            (a.date, &a.what).cmp(&(b.date, &b.what)).then(share(a).total_cmp(&share(b)))
        });
        found
    }
}

impl Traits {
    /// The value of a facet, in words.
    pub fn facet(&self, facet: Facet) -> String {
        let known = |text: &str, lacking: &str| if text.trim().is_empty() { lacking } else { text.trim() }.to_owned();
        match facet {
            Facet::Crop => known(&self.crop, "crop not given").to_lowercase(),
            Facet::Farm => known(&self.farm, "farm not given"),
            Facet::Variety => known(&self.variety, "variety not given"),
            Facet::Age => self.age.map_or("age not known", |years| age_band(years).1).to_owned(),
            Facet::Season => self.season.map_or_else(|| "season not given".to_owned(), |year| year.to_string()),
        }
    }

    /// Where the value of a facet stands among others, before their names: ages by age, what is not
    /// known last.
    pub(super) fn place(&self, facet: Facet) -> i32 {
        match facet {
            Facet::Age => self.age.map_or(i32::MAX, |years| age_band(years).0),
            Facet::Crop | Facet::Farm | Facet::Variety | Facet::Season => 0,
        }
    }
}

/// Bands of age: young trees, coming into bearing, full bearing, old. Common practice, no source.
/// The first year of the band, and its name.
const fn age_band(years: i32) -> (i32, &'static str) {
    match years {
        ..=4 => (0, "to 4 years"),
        5..=8 => (5, "5 to 8 years"),
        9..=15 => (9, "9 to 15 years"),
        _ => (16, "16 years and older"),
    }
}

/// One observation: a block-season, or a part of one.
#[derive(Debug, Clone, PartialEq)]
pub struct Observation {
    /// "KW-2, 2026". Parts of one block-season share it.
    pub unit: String,
    /// How it was thinned: "cuts then by hand".
    pub method: String,
    /// What else it is like.
    pub traits: Traits,
    /// What is known of it.
    pub measures: BTreeMap<Measure, f64>,
    /// Measures whose figure lacks records, and what they lack: "1 entry lacks a wage".
    pub lacking: BTreeMap<Measure, String>,
}

impl Observation {
    /// Of a block-season: none without thinning, one for a block thinned one way, several where parts
    /// of it were thinned in different ways. Parts carry cost and hours only, because nobody keeps
    /// the boxes of half a block apart.
    pub fn of(season: &BlockSeason) -> Vec<Self> {
        let passes = in_order(&season.labor.passes);
        if passes.is_empty() {
            return Vec::new();
        }
        let whole = |method: String, Found { measures, lacking }| Self {
            unit: unit(season),
            method,
            traits: traits(season),
            measures,
            lacking,
        };
        if let Some(name) = named(season) {
            return vec![whole(name, measures(season))];
        }
        let parts = parts(&passes, season.heading.block.trees);
        if parts.is_empty() {
            return vec![whole(joined(&passes), measures(season))];
        }
        parts.into_iter().map(|(method, measures)| whole(method, measures)).collect()
    }

    /// Its value of a measure, as the table of methods takes it.
    pub(super) fn value(&self, measure: Measure) -> Option<Value> {
        let value = *self.measures.get(&measure)?;
        Some(Value { unit: self.unit.clone(), block: self.block(), method: self.method.clone(), value })
    }

    /// The block, which may stand here with several seasons; farms may use the same code.
    fn block(&self) -> Option<String> {
        let Traits { block, farm, .. } = &self.traits;
        (!block.is_empty()).then(|| format!("{farm}, {block}"))
    }
}

fn unit(season: &BlockSeason) -> String {
    format!("{}, {}", season.heading.block.code, season.heading.season.year)
}

/// The name the block's own record gives its method; the latest where there are several.
fn named(season: &BlockSeason) -> Option<String> {
    let names = season.observations.iter().filter(|seen| seen.what.trim().eq_ignore_ascii_case(NAMED_BY));
    let latest = names.filter(|seen| !seen.note.trim().is_empty()).max_by_key(|seen| (seen.date, seen.note.clone()));
    latest.map(|seen| seen.note.trim().to_owned())
}

/// By pass, then first day; entries without a pass last.
fn in_order(passes: &[MethodPass]) -> Vec<&MethodPass> {
    let mut passes: Vec<&MethodPass> = passes.iter().collect();
    passes.sort_by_key(|pass| (pass.pass.is_none(), pass.pass, pass.days, pass.method));
    passes
}

fn word(pass: &MethodPass) -> &'static str {
    pass.method.map_or("method not given", ThinningMethod::word)
}

/// "cuts then by hand"; a method that follows itself is said once.
fn joined(passes: &[&MethodPass]) -> String {
    let mut words: Vec<&str> = passes.iter().map(|pass| word(pass)).collect();
    words.dedup();
    words.join(" then ")
}

/// What a block-season or a part of one shows: the measures, and those left out.
#[derive(Default)]
struct Found {
    measures: BTreeMap<Measure, f64>,
    lacking: BTreeMap<Measure, String>,
}

impl Found {
    /// A figure that lacks records is no observation: without its wages the dearest method is free.
    fn add(&mut self, measure: Measure, value: f64, lacks: &[Lack]) {
        match lacking(lacks) {
            Some(why) => self.lacking.extend([(measure, why)]),
            None => self.measures.extend([(measure, value)]),
        }
    }

    /// A figure that could not be made at all, because the records it needs lack something.
    fn lacking(&mut self, measure: Measure, lacks: &[Lack]) {
        self.lacking.extend(lacking(lacks).map(|why| (measure, why)));
    }

    fn figure<T>(&mut self, measure: Measure, figure: Option<&Figure<T>>, number: impl Fn(&T) -> Option<f64>) {
        if let Some((figure, value)) = figure.and_then(|figure| Some((figure, number(&figure.value)?))) {
            self.add(measure, value, &figure.lacks);
        }
    }
}

/// The parts of a block whose first pass was done by several methods on different trees: every
/// method's trees are counted, and together they are no more than the block has. Each tree bears its
/// share of the later passes.
fn parts(passes: &[&MethodPass], trees: Option<u32>) -> Vec<(String, Found)> {
    let first = passes.first().and_then(|pass| pass.pass);
    let (own, later): (Vec<&MethodPass>, Vec<&MethodPass>) = passes.iter().partition(|pass| pass.pass == first);
    let counted: Option<Vec<f64>> = own.iter().map(|pass| counted(pass)).collect();
    let Some((counted, most)) = counted.zip(trees.map(f64::from)) else { return Vec::new() };
    let all = crate::stats::sum(counted.iter().copied());
    if own.len() < 2 || all > most {
        return Vec::new();
    }
    let part = |(pass, trees): (&&MethodPass, &f64)| {
        let whole: Vec<&MethodPass> = core::iter::once(*pass).chain(later.iter().copied()).collect();
        (joined(&whole), part(pass, &later, (*trees, all)))
    };
    own.iter().zip(&counted).map(part).collect()
}

fn counted(pass: &MethodPass) -> Option<f64> {
    let trees = pass.measure.trees.as_ref()?;
    (trees.evidence == Evidence::Counted && trees.value.get() > 0.0).then(|| trees.value.get())
}

fn part(own: &MethodPass, later: &[&MethodPass], (trees, all): (f64, f64)) -> Found {
    let cost = |pass: &MethodPass| pass.measure.cost.value.decimal().to_f64();
    let hours = |pass: &MethodPass| pass.measure.hours.as_ref().map(|hours| hours.value.as_f64());
    let each = |of: &dyn Fn(&MethodPass) -> Option<f64>| {
        let rest: Option<f64> = later.iter().map(|pass| of(pass)).sum();
        Some(of(own)? / trees + rest? / all)
    };
    let costs = core::iter::once(own).chain(later.iter().copied()).map(|pass| &pass.measure.cost);
    let mut lacks: Vec<Lack> = costs.flat_map(|cost| cost.lacks.iter().copied()).collect();
    lacks.sort_unstable();
    let mut found = Found::default();
    if let Some(cost) = each(&cost) {
        found.add(Measure::CostPerTree, cost, &lacks);
    }
    if let Some(hours) = each(&hours) {
        found.add(Measure::HoursPerTree, hours, &[]);
    }
    found
}

fn measures(season: &BlockSeason) -> Found {
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
    }
    found
}

/// Over all costs. A block with nothing sold yet has no return to compare, only its costs so far.
fn return_per_acre(season: &BlockSeason) -> Option<(f64, &[Lack])> {
    season.statement.line(StatementKey::NetToGrower).filter(|line| line.amount.n() > 0)?;
    let line = season.statement.line(StatementKey::OverAll)?;
    Some((line.per_acre?.decimal().to_f64()?, &line.amount.lacks))
}

/// Share of the pack in size class A and larger; `None` where a size is no letter class.
fn large_share(season: &BlockSeason) -> Option<f64> {
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

fn traits(season: &BlockSeason) -> Traits {
    let (block, year) = (&season.heading.block, season.heading.season.year);
    let acres = block.acres.as_f64();
    let counted = block.trees.filter(|_| acres > 0.0).map(|trees| f64::from(trees) / acres);
    let spaced = block.row_spacing.zip(block.tree_spacing).map(|(row, tree)| row.get() * tree.get());
    let spaced = spaced.filter(|feet| *feet > 0.0).map(|feet| SQUARE_FEET_PER_ACRE / feet);
    Traits {
        block: block.code.clone(),
        farm: season.heading.farm.name.clone(),
        crop: block.crop.clone(),
        variety: block.variety.clone(),
        season: Some(year),
        age: block.planted_year.map(|planted| year - planted),
        trees_per_acre: counted.or(spaced),
        damage: Damage::of(season),
    }
}
