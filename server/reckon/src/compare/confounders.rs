//! What differs between the methods besides the method.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use rust_decimal::prelude::ToPrimitive;

use super::measures::Measure;
use super::observation::{A_YEAR, Damage, Facet, Observation};
use crate::say;
use crate::size_classes::natural;
use crate::stats;

/// Something that differs between methods and may be the true cause of a difference.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Confounder {
    /// What differs: "variety".
    pub what: &'static str,
    /// Each method with what it has of it.
    pub methods: Vec<(String, String)>,
    /// All of it as one sentence.
    pub sentence: String,
}

/// Mean numbers of trees this far apart, as a share of the larger, are a different density: common
/// practice, no source.
const DENSITY_APART: f64 = 0.1;
/// Mean ages this many years apart are a different age: common practice, no source.
const YEARS_APART: f64 = 2.0;
/// Mean first days of ripening this many days apart are another time of ripening: common practice, no
/// source.
const DAYS_APART: f64 = 14.0;
/// Mean fruit left on a tree this far apart, as a share of the larger, are another crop load: common
/// practice, no source.
const LEFT_APART: f64 = 0.2;

/// Mean water, percent of need, this far apart is other water: common practice, no source.
const WATER_APART: f64 = 10.0;
/// Mean costs of an hour this far apart, as a share of the larger, are another wage: common practice, no
/// source.
const WAGE_APART: f64 = 0.1;

/// Compares what is known of the observations of each method. None for a single method.
pub(super) fn confounders(observations: &[&Observation]) -> Vec<Confounder> {
    let mut methods: BTreeMap<&str, Vec<&Observation>> = BTreeMap::new();
    for seen in observations {
        methods.entry(&seen.method).or_default().push(seen);
    }
    let mut methods: Vec<(&str, Vec<&Observation>)> = methods.into_iter().collect();
    methods.sort_by(|a, b| natural(a.0, b.0));
    if methods.len() < 2 {
        return Vec::new();
    }
    let named = [(Facet::Variety, "variety"), (Facet::Farm, "farm"), (Facet::Season, "season")];
    let named = named.into_iter().filter_map(|(facet, what)| words(&methods, what, |seen| seen.traits.facet(facet)));
    let age = numbers(
        &methods,
        "age of the trees, years",
        |seen| seen.traits.age.map(f64::from),
        |a, b| (a - b).abs() >= YEARS_APART,
    );
    let density = numbers(
        &methods,
        "trees on an acre",
        |seen| seen.traits.trees_per_acre,
        |a, b| (a - b).abs() > DENSITY_APART * a.max(b),
    );
    let grown = named.chain(age).chain(density).chain(of_the_ground(&methods));
    grown.chain(of_the_work(&methods)).chain(damage(&methods)).collect()
}

/// Soil, water and mulch.
fn of_the_ground(methods: &ByMethod<'_>) -> Vec<Confounder> {
    let texture = words(methods, "soil", |seen| seen.traits.soil.clone());
    let emitter = words(methods, "irrigation", |seen| seen.traits.emitter.clone());
    let apart = |a: f64, b: f64| (a - b).abs() > WATER_APART;
    let water = numbers(methods, "water, % of crop need", |seen| seen.traits.water_pct, apart);
    let mulch = words(methods, "mulch", |seen| seen.traits.mulch.clone());
    [texture, emitter, water, mulch].into_iter().flatten().collect()
}

/// When the fruit ripen, what the work was paid by, and how many fruit it left.
fn of_the_work(methods: &ByMethod<'_>) -> Vec<Confounder> {
    let ripens = |seen: &Observation| seen.traits.ripens.map(f64::from);
    let ripening = days(methods, "first day of ripening", ripens, |a, b| (a - b).abs() > DAYS_APART);
    let pay = words(methods, "basis of pay", |seen| {
        say::list(&seen.traits.pay.iter().map(|basis| basis.word()).collect::<Vec<_>>())
    });
    let apart = |a: f64, b: f64| (a - b).abs() > LEFT_APART * a.max(b);
    let left = numbers(methods, "fruit left on a tree", |seen| seen.traits.left_per_tree, apart);
    let from = |seen: &Observation| seen.traits.thinned_from.map(f64::from);
    let from = days(methods, "first day of thinning", from, |a, b| (a - b).abs() > DAYS_APART);
    [ripening, from, pay, an_hour(methods), left].into_iter().flatten().collect()
}

/// What an hour of thinning cost, of methods whose hours and cost are known.
fn an_hour(methods: &ByMethod<'_>) -> Option<Confounder> {
    let hour = |seen: &Observation| {
        let hours = seen.measures.get(&Measure::HoursPerTree).filter(|hours| **hours > 0.0)?;
        Some(seen.measures.get(&Measure::CostPerTree)? / hours)
    };
    let apart = |a: f64, b: f64| (a - b).abs() > WAGE_APART * a.max(b);
    let timed: Vec<(&str, Vec<&Observation>)> =
        methods.iter().filter(|(_, own)| own.iter().any(|seen| hour(seen).is_some())).cloned().collect();
    spread(&timed, "cost of an hour, $", (hour, dollars), apart)
}

/// "18.40".
fn dollars(value: f64) -> String {
    format!("{value:.2}")
}

/// What hurt the crop of a block-season, each once: "JS-2 2026 had hail on 3 July (35% of the crop); thinned: by hand."
fn damage(methods: &ByMethod<'_>) -> Vec<Confounder> {
    let hurt = |seen: &Observation| -> Vec<String> {
        let unit = seen.words();
        seen.traits.damage.iter().map(|damage| format!("{unit} had {}", of_crop(damage))).collect()
    };
    let mut found: BTreeMap<String, Vec<(String, String)>> = BTreeMap::new();
    for (method, own) in methods {
        let own: BTreeSet<String> = own.iter().flat_map(|seen| hurt(seen)).collect();
        for said in own {
            found.entry(said.clone()).or_default().push(((*method).to_owned(), said));
        }
    }
    let mut found: Vec<(String, Vec<(String, String)>)> = found.into_iter().collect();
    found.sort_by(|a, b| natural(&a.0, &b.0));
    let one = |(said, methods): (String, Vec<(String, String)>)| {
        let names: Vec<&str> = methods.iter().map(|(method, _)| method.as_str()).collect();
        let sentence = format!("{said}; thinned: {}.", say::list(&names));
        Confounder { what: "damage", methods, sentence }
    };
    found.into_iter().map(one).collect()
}

/// "hail on 3 July (35% of the crop)".
fn of_crop(damage: &Damage) -> String {
    let share = damage.share_pct.map(|share| format!(" ({}% of the crop)", libm::round(share)));
    format!("{} on {}{}", damage.what, say::day(damage.date), share.unwrap_or_default())
}

type ByMethod<'o> = [(&'o str, Vec<&'o Observation>)];

fn words(methods: &ByMethod<'_>, what: &'static str, of: impl Fn(&Observation) -> String) -> Option<Confounder> {
    let sets: Vec<BTreeSet<String>> =
        methods.iter().map(|(_, own)| own.iter().map(|seen| of(seen)).collect()).collect();
    let first = sets.first()?;
    if sets.iter().all(|set| set == first) {
        return None;
    }
    let said = sets.iter().map(|set| say::list(&set.iter().collect::<Vec<_>>()));
    Some(confounder(what, methods, said))
}

type Number = fn(&Observation) -> Option<f64>;

fn numbers(methods: &ByMethod<'_>, what: &'static str, of: Number, apart: fn(f64, f64) -> bool) -> Option<Confounder> {
    spread(methods, what, (of, say::whole), apart)
}

/// The same of days of a year.
fn days(methods: &ByMethod<'_>, what: &'static str, of: Number, apart: fn(f64, f64) -> bool) -> Option<Confounder> {
    spread(methods, what, (of, day_of_year), apart)
}

/// "14 June", of a year of 365 days.
fn day_of_year(value: f64) -> String {
    let day = value.to_u32().and_then(|day| NaiveDate::from_yo_opt(A_YEAR, day));
    day.map_or_else(|| say::whole(value), say::day)
}

fn spread(
    methods: &ByMethod<'_>,
    what: &'static str,
    (of, said): (Number, fn(f64) -> String),
    apart: fn(f64, f64) -> bool,
) -> Option<Confounder> {
    let known: Vec<Vec<f64>> =
        methods.iter().map(|(_, own)| own.iter().filter_map(|seen| of(seen)).collect()).collect();
    let means: Vec<f64> = known.iter().filter_map(|own| stats::Sample::of(own)).map(|sample| sample.mean).collect();
    let low = means.iter().copied().min_by(f64::total_cmp)?;
    let high = means.iter().copied().max_by(f64::total_cmp)?;
    let each = known.iter().map(|own| range(own, said));
    if apart(low, high) {
        return Some(confounder(what, methods, each));
    }
    known.iter().any(Vec::is_empty).then(|| {
        let (methods, each) = beside(methods, each);
        let sentence = format!("Whether the methods differ in {what} is not known ({each}).");
        Confounder { what, methods, sentence }
    })
}

fn range(values: &[f64], said: fn(f64) -> String) -> String {
    let low = values.iter().copied().min_by(f64::total_cmp);
    let high = values.iter().copied().max_by(f64::total_cmp);
    match low.zip(high).map(|(low, high)| (said(low), said(high))) {
        None => "not known".to_owned(),
        Some((low, high)) if low == high => low,
        Some((low, high)) => format!("{low} to {high}"),
    }
}

fn confounder(what: &'static str, methods: &ByMethod<'_>, said: impl Iterator<Item = String>) -> Confounder {
    let (methods, each) = beside(methods, said);
    let sentence = format!("The methods differ in {what} too ({each}).");
    Confounder { what, methods, sentence }
}

/// Each method with what it has, and all of them in words: "by hand: 16; cuts: not known".
fn beside(methods: &ByMethod<'_>, said: impl Iterator<Item = String>) -> (Vec<(String, String)>, String) {
    let methods: Vec<(String, String)> = methods.iter().map(|(name, _)| (*name).to_owned()).zip(said).collect();
    let each: Vec<String> = methods.iter().map(|(method, has)| format!("{method}: {has}")).collect();
    let each = each.join("; ");
    (methods, each)
}
