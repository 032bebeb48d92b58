//! What a block's own seasons say about its next one.

use rust_decimal::Decimal;
use rust_decimal::prelude::FromPrimitive;

use super::plan::{Costs, GRAMS_PER_POUND, Ground, PricedClass};
use super::range::{Ranged, SPREAD, best, ranged};
use super::response::{PRIOR, Past, Response};
use super::scale::{Class, classes};
use super::sizes::{Diameters, PEACH_G_PER_MM3, USUAL_CV, fit};
use super::{LIKELY, Outcome, dollars, outcome};
use crate::say;
use crate::season::{BlockSeason, StatementKey};
use crate::stats::float;

/// What is asked of next season; what is left out is as it was last season.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Asked {
    /// Fruit set on a tree before thinning.
    pub set_per_tree: Option<f64>,
    /// Share of the set to take off, 0 to 1.
    pub removed: Option<f64>,
    /// Change of every price, as a share: 0.1 is 10% dearer.
    pub price: Option<f64>,
}

/// One own season behind the estimate.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnSeason {
    /// Its year.
    pub year: i32,
    /// Load and weight at harvest.
    pub past: Past,
    /// Spread of diameters over their mean, by its packout; `None` where weight came from counts.
    pub cv: Option<f64>,
}

/// Next season of a block, planned.
#[derive(Debug, Clone, PartialEq)]
pub struct NextSeason {
    /// The year whose prices, work and charges stand in.
    pub from: i32,
    /// Fruit set on a tree by that season's own counts, whatever was asked.
    pub own_set: Option<f64>,
    /// Share taken off by them, 0 to 1, whatever was asked.
    pub own_removed: Option<f64>,
    /// Own seasons, earliest first.
    pub seasons: Vec<OwnSeason>,
    /// What the plan stands on.
    pub ground: Ground,
    /// The plan asked for.
    pub plan: Ranged,
    /// The share that leaves most.
    pub best: Outcome,
    /// Shares from none to all of the set, and the plan's own among them.
    pub shares: Vec<Outcome>,
    /// What was assumed, in sentences.
    pub assumed: Vec<String>,
    /// What to be careful about, in sentences.
    pub careful: Vec<String>,
}

/// A size class of the plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Planned<'n> {
    /// Its name.
    pub name: &'n str,
    /// Share of the fruit's weight, percent.
    pub weight_percent: f64,
    /// Boxes an acre.
    pub boxes: f64,
    /// Net to grower for a box, $; zero is not packed.
    pub price_per_box: f64,
    /// Net to grower, $ an acre.
    pub net: f64,
}

impl NextSeason {
    /// The plan's size classes, small to large.
    pub fn classes(&self) -> Vec<Planned<'_>> {
        let likely = &self.plan.likely;
        let each = self.ground.classes.iter().zip(likely.parts.iter().zip(&likely.boxes));
        each.map(|(class, (part, boxes))| Planned {
            name: &class.name,
            weight_percent: part.of_weight * 100.0,
            boxes: *boxes,
            price_per_box: class.price_per_box,
            net: boxes * class.price_per_box,
        })
        .collect()
    }

    /// Share taken off by the block's own counts, percent.
    pub fn own_removed_percent(&self) -> Option<f64> {
        self.own_removed.map(|removed| removed * 100.0)
    }

    /// What the best share leaves beyond the plan, $ an acre.
    pub fn gain_of_best(&self) -> f64 {
        self.best.net - self.plan.likely.net
    }

    /// What no thinning at all leaves, $ an acre.
    pub fn without_thinning(&self) -> f64 {
        outcome(&self.ground, 0.0, LIKELY).net
    }

    /// Whether a share is the plan's own.
    pub fn is_planned(&self, share: &Outcome) -> bool {
        share.removed.total_cmp(&self.plan.likely.removed).is_eq()
    }

    /// Whether a share's load lies outside what own seasons speak for.
    pub fn is_outside(&self, share: &Outcome) -> bool {
        !self.ground.response.speaks_for(share.harvested_per_tree)
    }
}

/// Why there is no estimate: one sentence for each thing that is missing, and what would mend it.
pub type Missing = Vec<String>;

/// Plans the next season of a block from its own seasons, in any order. All of one block.
///
/// # Errors
/// [`Missing`] when no season has counts, boxes by size with weight and price, and hours of thinning.
pub fn next_season(seasons: &[&BlockSeason], asked: &Asked) -> Result<NextSeason, Missing> {
    let mut seasons = seasons.to_vec();
    seasons.sort_by_key(|season| season.heading.season.year);
    let base = seasons.iter().rev().find(|season| season.packout.weight.is_some());
    let base = *base.ok_or_else(|| vec![String::from("No season of this block has boxes with a weight.")])?;
    let classes = classes(base).map_err(|unknown| vec![unplaced(&unknown)])?;
    let own: Vec<OwnSeason> = seasons.iter().filter_map(|season| own_season(season)).collect();
    let ground = ground(base, &classes, &own, asked)?;
    let removed = match asked.removed.or_else(|| share(base)) {
        Some(removed) => removed.clamp(0.0, 1.0),
        None => {
            return Err(vec![String::from(
                "No fruit was counted before and after thinning: give the share to take off.",
            )]);
        }
    };
    let plan = ranged(&ground, removed, SPREAD);
    Ok(NextSeason {
        from: base.heading.season.year,
        best: best(&ground),
        own_set: counted(base),
        own_removed: share(base),
        shares: shares(&ground, &plan.likely),
        assumed: assumed(base, &own, asked),
        careful: short_set(&own, asked).into_iter().chain(careful(&ground, &plan, base)).collect(),
        seasons: own,
        plan,
        ground,
    })
}

/// Every twentieth of the set, and the plan between them; within half a percent it stands in for one, for
/// the two would read the same.
fn shares(ground: &Ground, plan: &Outcome) -> Vec<Outcome> {
    let steps = (0..=20_u8).map(|step| f64::from(step) / 20.0);
    let steps = steps.filter(|step| (step - plan.removed).abs() > 0.005 + f64::EPSILON);
    let mut shares: Vec<Outcome> = steps.map(|step| outcome(ground, step, LIKELY)).chain([plan.clone()]).collect();
    shares.sort_by(|a, b| a.removed.total_cmp(&b.removed));
    shares
}

/// Fruit set on a tree, counted before thinning.
fn counted(season: &BlockSeason) -> Option<f64> {
    season.thinning.before_per_tree.as_ref().map(|before| before.value.get())
}

/// A set that was given and is smaller than the last harvest.
fn short_set(own: &[OwnSeason], asked: &Asked) -> Option<String> {
    let (set, last) = asked.set_per_tree.zip(own.last())?;
    let whole = |value: f64| {
        let whole = libm::round(value);
        Decimal::from_f64(whole).map_or_else(|| whole.to_string(), say::number)
    };
    (set < last.past.fruit_per_tree).then(|| {
        format!(
            "The set you gave, {} fruit on a tree, is smaller than the {} harvested from a tree in {}: look at the number \
             again. It is fruit before thinning.",
            whole(set),
            whole(last.past.fruit_per_tree),
            last.year
        )
    })
}

fn unplaced(sizes: &[String]) -> String {
    format!(
        "Nobody says how large the fruit of {} is. Give the operation's own sizes, each with the published size it stands for.",
        sizes.join(", ")
    )
}

/// Fruit grown, lb: as picked, or packed where nothing was weighed at picking.
fn grown_lb(season: &BlockSeason) -> Option<f64> {
    let packout = &season.packout;
    packout.picked.as_ref().or(packout.weight.as_ref()).map(|lb| lb.value.as_f64())
}

/// The same on a tree.
fn lb_per_tree(season: &BlockSeason) -> Option<f64> {
    let trees = season.heading.block.trees.filter(|trees| *trees > 0)?;
    let grown = grown_lb(season)?;
    (grown > 0.0).then(|| grown / f64::from(trees))
}

/// Load and weight of a season: by the sizes packed, or else by the fruit counted after thinning.
fn own_season(season: &BlockSeason) -> Option<OwnSeason> {
    let grams = lb_per_tree(season)? * GRAMS_PER_POUND;
    let year = season.heading.season.year;
    let by_size = classes(season).ok().and_then(|classes| packed_diameters(&classes));
    if let Some(fruit) = by_size {
        let mean_weight_g = fruit.mean_weight_g(PEACH_G_PER_MM3);
        let past = Past { fruit_per_tree: grams / mean_weight_g, mean_weight_g };
        return Some(OwnSeason { year, past, cv: Some(fruit.sd_mm / fruit.mean_mm) });
    }
    let left = season.thinning.left_per_tree.as_ref()?.value.get();
    let past = Past { fruit_per_tree: left, mean_weight_g: grams / left };
    (left > 0.0).then_some(OwnSeason { year, past, cv: None })
}

fn packed_diameters(classes: &[Class]) -> Option<Diameters> {
    let edges: Vec<f64> = classes.iter().map(|class| class.from_mm).collect();
    let below = core::iter::once(0.0);
    let weights: Vec<f64> = below.chain(classes.iter().map(|class| class.packed_lb)).collect();
    fit(&edges, &weights)
}

fn ground(base: &BlockSeason, classes: &[Class], own: &[OwnSeason], asked: &Asked) -> Result<Ground, Missing> {
    let mut missing = Missing::new();
    let mut need = |value: Option<f64>, what: &str| {
        let usable = value.filter(|value| value.is_finite() && *value > 0.0);
        if usable.is_none() {
            missing.push(what.to_owned());
        }
        usable.unwrap_or_default()
    };
    let block = &base.heading.block;
    let trees = need(block.trees.map(f64::from), "The block has no number of trees.");
    let acres = need(Some(block.acres.as_f64()), "The block has no acres.");
    let set_per_tree = need(
        asked.set_per_tree.or_else(|| counted(base)),
        "No fruit was counted on whole trees before thinning: give the fruit set on a tree.",
    );
    let packout = &base.packout;
    let boxes = need(packout.boxes.as_ref().map(|boxes| boxes.value.as_f64()), "No boxes were packed.");
    let packed = need(packout.weight.as_ref().map(|weight| weight.value.as_f64()), "Boxes have no weight.");
    let priced = classes.iter().filter(|class| class.net_per_box.is_some_and(|net| net > 0.0)).count();
    need(Some(float(priced)), "No box has a price: bring in settlements, or a price list.");
    let response = Response::of(&own.iter().map(|own| own.past).collect::<Vec<_>>(), PRIOR);
    need(response.map(|response| response.weight_g), "No season tells the weight of a fruit.");
    let (Some(response), true) = (response, missing.is_empty()) else { return Err(missing) };
    let factor = 1.0 + asked.price.unwrap_or_default();
    Ok(Ground {
        trees_per_acre: trees / acres,
        set_per_tree,
        survival: survival(base, own),
        response,
        k_g_per_mm3: PEACH_G_PER_MM3,
        cv: own_cv(own).unwrap_or(USUAL_CV),
        classes: priced_classes(classes, factor),
        box_lb: packed / boxes,
        culls: packout.packed_share.as_ref().map_or(0.0, |share| 1.0 - share.value.get() / 100.0),
        costs: costs(base, acres),
    })
}

fn priced_classes(classes: &[Class], factor: f64) -> Vec<PricedClass> {
    let below = PricedClass { name: String::from("below these"), from_mm: None, price_per_box: 0.0 };
    core::iter::once(below)
        .chain(classes.iter().map(|class| PricedClass {
            name: class.name.clone(),
            from_mm: Some(class.from_mm),
            price_per_box: class.net_per_box.map_or(0.0, |net| net.max(0.0) * factor),
        }))
        .collect()
}

/// Mean of the own packouts' spreads, from two of them on.
fn own_cv(own: &[OwnSeason]) -> Option<f64> {
    let cvs: Vec<f64> = own.iter().filter_map(|own| own.cv).collect();
    (cvs.len() >= 2).then(|| cvs.iter().sum::<f64>() / float(cvs.len()))
}

/// Fruit harvested of the fruit counted after thinning, no more than all.
fn survival(base: &BlockSeason, own: &[OwnSeason]) -> f64 {
    let left = base.thinning.left_per_tree.as_ref().map(|left| left.value.get()).filter(|left| *left > 0.0);
    let harvested = own.iter().find(|own| own.year == base.heading.season.year).map(|own| own.past.fruit_per_tree);
    match (harvested, left) {
        (Some(harvested), Some(left)) => (harvested / left).clamp(0.05, 1.0),
        _ => 1.0,
    }
}

fn share(base: &BlockSeason) -> Option<f64> {
    base.thinning.removed.as_ref().map(|removed| removed.value.get() / 100.0)
}

/// Work and charges of the base season, as the plan needs them. Prices are net to grower, so
/// packing and selling are in them already.
fn costs(base: &BlockSeason, acres: f64) -> Costs {
    let line = |key| base.statement.line(key).and_then(|line| dollars(line.amount.value.decimal())).unwrap_or_default();
    let thinning = base.labor.thinning.as_ref();
    let hours = thinning.and_then(|labor| labor.hours.as_ref()).map_or(0.0, |hours| hours.value.as_f64());
    let per_thousand =
        thinning.and_then(|labor| labor.hours_per_thousand.as_ref()).map_or(0.0, |each| each.value.get());
    let harvest = -(line(StatementKey::HarvestLabor) + line(StatementKey::OtherHarvest));
    let grown = grown_lb(base).unwrap_or_default();
    let over_all = line(StatementKey::OverAll);
    let thinned = -line(StatementKey::ThinningLabor);
    let each = |amount: f64, of: f64| if of > 0.0 { amount / of } else { 0.0 };
    Costs {
        hours_per_tree: 0.0,
        hours_per_1000: per_thousand,
        wage_per_hour: each(thinned, hours),
        on_top: 0.0,
        machine_per_acre: if per_thousand > 0.0 { 0.0 } else { each(thinned, acres) },
        pick_per_lb: each(harvest, grown),
        pack_per_box: 0.0,
        other_per_acre: each(line(StatementKey::NetToGrower) - over_all - thinned - harvest, acres),
    }
}

fn assumed(base: &BlockSeason, own: &[OwnSeason], asked: &Asked) -> Vec<String> {
    let year = base.heading.season.year;
    let mut said = vec![format!(
        "Prices are what a box of each size brought net in {year}{}; hours, wage, picking and every other cost are those of {year}.",
        if asked.price.is_some_and(|price| price != 0.0) { ", changed as asked" } else { "" }
    )];
    if own.len() < 2 {
        said.push(String::from("One own season says nothing about how size answers load: a published trial's response stands in, 0.44% lighter for 1% more fruit."));
    }
    if own_cv(own).is_none() {
        said.push(String::from(
            "Evenness of size is that of a published trial: diameters spread by 10% of their mean.",
        ));
    }
    if base.labor.thinning.as_ref().is_none_or(|labor| labor.hours_per_thousand.is_none()) {
        said.push(String::from(
            "Nobody knows the hours for each 1,000 fruit, so thinning costs the same whatever is taken off.",
        ));
    }
    said.push(String::from("Prices may be off by 10%, hours by 20%, the set by 10%: assumed, no source."));
    said
}

fn careful(ground: &Ground, plan: &Ranged, base: &BlockSeason) -> Vec<String> {
    let mut said = Vec::new();
    if !ground.response.speaks_for(plan.likely.harvested_per_tree) {
        said.push(String::from("This load is outside your own seasons."));
    }
    if ground.response.seasons >= 2 && ground.response.least_squares.is_none() {
        said.push(String::from("Your seasons had nearly the same load, so they say nothing about the slope."));
    }
    if ground.response.held {
        said.push(String::from("Your own seasons do not show the usual answer of size to load."));
    }
    let crop = base.heading.block.crop.to_lowercase();
    if ["persimmon", "prune", "european plum"].iter().any(|name| crop.contains(name)) {
        said.push(String::from("This crop answers a heavy year with a light one: lower the set after a heavy crop."));
    }
    said.push(String::from("Later thinning gives less size. Water stress, hail, split pits and color are not in it."));
    said
}
