//! Which block-seasons stand in which method, which are left out of a measure, and one name for each
//! method.

use std::collections::{BTreeMap, BTreeSet};

use super::measures::Measure;
use super::observation::Observation;
use crate::block::folded;
use crate::say;
use crate::size_classes::natural;

/// The observations with each method spelled one way: as its earliest block-season has it. Names are
/// compared without capitals and blanks.
pub(super) fn spelled(observations: &[Observation]) -> Vec<Observation> {
    let mut first: BTreeMap<String, (Option<i32>, &str, &str)> = BTreeMap::new();
    for seen in observations {
        let own = (seen.traits.season, seen.unit.as_str(), seen.method.as_str());
        first.entry(folded(&seen.method)).and_modify(|kept| *kept = own.min(*kept)).or_insert(own);
    }
    let spelling = |method: &str| first.get(&folded(method)).map_or(method, |(_, _, spelling)| *spelling).to_owned();
    observations.iter().map(|seen| Observation { method: spelling(&seen.method), ..seen.clone() }).collect()
}

/// Each method with its block-seasons, both in natural order.
pub(super) fn members(observations: &[&Observation]) -> Vec<(String, Vec<String>)> {
    let mut methods: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for seen in observations {
        methods.entry(&seen.method).or_default().insert(&seen.unit);
    }
    let sorted = |names: BTreeSet<&str>| {
        let mut names: Vec<String> = names.into_iter().map(str::to_owned).collect();
        names.sort_by(|a, b| natural(a, b));
        names
    };
    let mut methods: Vec<(String, Vec<String>)> =
        methods.into_iter().map(|(method, units)| (method.to_owned(), sorted(units))).collect();
    methods.sort_by(|a, b| natural(&a.0, &b.0));
    methods
}

/// "KW-1 2026 is left out of cost per tree: 1 entry lacks a wage.", in natural order.
pub(super) fn left_out(observations: &[&Observation]) -> Vec<String> {
    let mut found: BTreeMap<(String, &str), BTreeSet<Measure>> = BTreeMap::new();
    for seen in observations {
        for (measure, why) in &seen.lacking {
            found.entry((seen.words(), why)).or_default().insert(*measure);
        }
    }
    let mut said: Vec<String> = found
        .into_iter()
        .map(|((unit, why), measures)| {
            let measures: Vec<String> = measures.into_iter().map(|measure| measure.label().to_lowercase()).collect();
            format!("{unit} is left out of {}: {why}.", say::list(&measures))
        })
        .collect();
    said.sort_by(|a, b| natural(a, b));
    said
}
