//! A block-season as an observation: its method, what it is like, and its measures.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::measures::{LARGE_FROM, Measure};
use super::methods::Value;
use crate::figure::Evidence;
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
        let whole = |method: String, measures| Self { unit: unit(season), method, traits: traits(season), measures };
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

type Measures = BTreeMap<Measure, f64>;

/// The parts of a block whose first pass was done by several methods on different trees: every
/// method's trees are counted, and together they are no more than the block has. Each tree bears its
/// share of the later passes.
fn parts(passes: &[&MethodPass], trees: Option<u32>) -> Vec<(String, Measures)> {
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

fn part(own: &MethodPass, later: &[&MethodPass], (trees, all): (f64, f64)) -> Measures {
    let cost = |pass: &MethodPass| pass.measure.cost.value.decimal().to_f64();
    let hours = |pass: &MethodPass| pass.measure.hours.as_ref().map(|hours| hours.value.as_f64());
    let each = |of: &dyn Fn(&MethodPass) -> Option<f64>| {
        let rest: Option<f64> = later.iter().map(|pass| of(pass)).sum();
        Some(of(own)? / trees + rest? / all)
    };
    let found = [(Measure::CostPerTree, each(&cost)), (Measure::HoursPerTree, each(&hours))];
    found.into_iter().filter_map(|(measure, value)| value.map(|value| (measure, value))).collect()
}

fn measures(season: &BlockSeason) -> Measures {
    let thinning = season.labor.thinning.as_ref();
    let price = |exact: Decimal| exact.to_f64();
    let found = [
        (Measure::CostPerTree, thinning.and_then(|all| price(all.cost_per_tree.as_ref()?.value.decimal()))),
        (Measure::HoursPerTree, thinning.and_then(|all| Some(all.hours_per_tree.as_ref()?.value.get()))),
        (
            Measure::CostPerThousand,
            season.labor.cost_per_thousand_removed.as_ref().and_then(|each| price(each.value.decimal())),
        ),
        (Measure::LargeShare, large_share(season)),
        (Measure::NetPerPound, season.packout.net_per_pound.as_ref().and_then(|each| price(each.value.decimal()))),
        (Measure::ReturnPerAcre, return_per_acre(season)),
    ];
    found.into_iter().filter_map(|(measure, value)| value.map(|value| (measure, value))).collect()
}

/// Over all costs. A block with nothing sold yet has no return to compare, only its costs so far.
fn return_per_acre(season: &BlockSeason) -> Option<f64> {
    season.statement.line(StatementKey::NetToGrower).filter(|line| line.amount.n() > 0)?;
    season.statement.line(StatementKey::OverAll)?.per_acre?.decimal().to_f64()
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
