//! A block-season as an observation: its method, what it is like, and its measures.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Datelike, NaiveDate};

use super::found::{Found, measures};
use super::measures::Measure;
use super::methods::Value;
use super::notes::PartOf;
use super::parts::{Thinned, in_order, joined, of_size, parts, pay};
use super::share::{left_in, stands_with};
use crate::block::folded;
use crate::records::Observation as Seen;
use crate::say;
use crate::season::{BlockSeason, PayBasis};
use crate::units::SQUARE_FEET_PER_ACRE;
use crate::water::setup::Soil;

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
    /// First day of ripening in a usual year, as the day of a year of 365.
    pub ripens: Option<u32>,
    /// What its thinning was paid by.
    pub pay: BTreeSet<PayBasis>,
    /// Fruit left on a tree, by the counts of the block.
    pub left_per_tree: Option<f64>,
    /// What hurt the crop, by day.
    pub damage: Vec<Damage>,
    /// Mulch within its life, by material, or "bare".
    pub mulch: String,
    /// How water reaches the trees.
    pub emitter: String,
    /// Texture of the soil.
    pub soil: String,
    /// Water that reached it, irrigation and rain, percent of the crop's need.
    pub water_pct: Option<f64>,
    /// First day of thinning, as the day of its year.
    pub thinned_from: Option<u32>,
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

/// A year of 365 days, in which days of ripening are told.
pub(super) const A_YEAR: i32 = 2_025;

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
    /// Measures whose figure lacks records or trees, and what they lack: "1 entry lacks a wage".
    pub lacking: BTreeMap<Measure, String>,
    /// What is to be known of it beside its figures, one sentence each: "300 of the 500 trees of
    /// KW-2 2026 were thinned (60%); what it sold is of all of them."
    pub notes: Vec<String>,
    /// Which part of the block it is; `None` for a block thinned one way.
    pub part: Option<PartOf>,
}

/// A block-season: its farm and its unit, as farms may use the same code.
pub(super) type Place<'o> = (&'o str, &'o str);

impl Observation {
    /// Of a block-season: none without thinning, one for a block thinned one way, several where parts
    /// of it were thinned in different ways. Parts carry what labor and counts say of them only, because
    /// nobody keeps the boxes of half a block apart. Where less than half of the trees were thinned, every
    /// measure is left out.
    pub fn of(season: &BlockSeason) -> Vec<Self> {
        let passes = in_order(&season.labor.passes);
        if passes.is_empty() {
            return Vec::new();
        }
        let (main, few) = of_size(season, &passes);
        let one = |Thinned { method, found, pay, part }: Thinned| {
            let Found { measures, lacking } = left_in(season, found);
            let traits = Traits { pay, ..traits(season) };
            let stands = stands_with(season).filter(|_| part.is_none());
            let notes = few.iter().cloned().chain(stands).collect();
            Self { unit: unit(season), method, traits, measures, lacking, notes, part }
        };
        let whole =
            |method: String| vec![one(Thinned { method, found: measures(season), pay: pay(&passes), part: None })];
        if let Some(name) = named(season) {
            return whole(name);
        }
        let parts = parts(season, &main, &passes);
        if parts.is_empty() { whole(joined(&main)) } else { parts.into_iter().map(one).collect() }
    }

    /// Its unit in a sentence: "KW-2 2026".
    pub(super) fn words(&self) -> String {
        self.unit.replace(", ", " ")
    }

    pub(super) fn place(&self) -> Place<'_> {
        (&self.traits.farm, &self.unit)
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
        ripens: block.ripening.and_then(|(first, _)| first.in_year(A_YEAR)).map(|day| day.ordinal()),
        pay: BTreeSet::new(),
        left_per_tree: season.thinning.left_per_tree.as_ref().map(|left| left.value.get()),
        damage: Damage::of(season),
        mulch: mulch(season),
        emitter: block.emitter.word().to_owned(),
        soil: block.water.soil.map_or("not given", Soil::word).to_owned(),
        water_pct: season.water.met.as_ref().map(|met| met.value.get()),
        thinned_from: season.labor.passes.iter().map(|pass| pass.days.0).min().map(|day| day.ordinal()),
    }
}

/// "wood chips"; "bare" without any.
fn mulch(season: &BlockSeason) -> String {
    let materials: BTreeSet<String> = season.mulch.laid.iter().map(|laid| folded(&laid.material)).collect();
    let materials: Vec<String> = materials.into_iter().collect();
    if materials.is_empty() { "bare".to_owned() } else { say::list(&materials) }
}
