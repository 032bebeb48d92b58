//! What is to be known of a block that stands in parts, and the same said of several blocks at once.
//!
//! A block-season says it of itself; a group joins what is alike, or fifteen blocks would say it fifteen
//! times.

use std::collections::{BTreeMap, BTreeSet};

use super::observation::Observation;
use crate::say;
use crate::size_classes::natural;

/// What a block-season says of passes that its parts share.
const ITS_PARTS: &str = " is shared alike by its parts: nobody kept which trees it met.";
/// The same of several passes.
const OF_ITS_PARTS: &str = " are shared alike by its parts: nobody kept which trees they met.";
/// What stands between a block-season and its parts.
const IN_PARTS: &str = " stands in parts: ";

/// "The second look of T-1 2026 is shared alike by its parts: nobody kept which trees it met."
pub(super) fn shared(unit: &str, passes: &BTreeSet<Option<u8>>) -> Option<String> {
    let mut passes = passes.iter();
    match (passes.next()?, passes.next()) {
        (Some(pass), None) => Some(format!("The {} of {unit}{ITS_PARTS}", say::pass(*pass))),
        _ => Some(format!("The later passes of {unit}{OF_ITS_PARTS}")),
    }
}

/// "T-1 2026 stands in parts: by hand with 200 and cuts with 800 of its 1,000 trees."
pub(super) fn in_parts(unit: &str, parts: &[(String, f64)], all: f64) -> String {
    let each: Vec<String> =
        parts.iter().map(|(method, trees)| format!("{method} with {}", say::whole(*trees))).collect();
    format!("{unit}{IN_PARTS}{} of its {} trees.", say::list(&each), say::whole(all))
}

/// The notes of a group: what several block-seasons say alike once for all of them, the rest as it is; in
/// natural order.
pub(super) fn joined(observations: &[&Observation]) -> Vec<String> {
    let mut said: BTreeSet<String> = BTreeSet::new();
    let mut looks: BTreeMap<&str, BTreeSet<String>> = BTreeMap::new();
    let mut parts: BTreeMap<String, &str> = BTreeMap::new();
    for seen in observations {
        let unit = seen.unit.replace(", ", " ");
        for note in &seen.notes {
            if let Some(look) = look_of(note, &unit) {
                looks.entry(look).or_default().insert(unit.clone());
            } else if let Some(own) = note.strip_prefix(&format!("{unit}{IN_PARTS}")) {
                parts.insert(unit.clone(), own);
            } else {
                said.insert(note.clone());
            }
        }
    }
    said.extend(looks.into_iter().map(|(look, units)| shared_by(look, units)));
    said.extend(stand_in_parts(&parts));
    let mut said: Vec<String> = said.into_iter().collect();
    said.sort_by(|a, b| natural(a, b));
    said
}

/// Which passes of this block-season a note says are shared: "second look".
fn look_of<'n>(note: &'n str, unit: &str) -> Option<&'n str> {
    let told = note.strip_prefix("The ")?;
    [ITS_PARTS, OF_ITS_PARTS].into_iter().find_map(|end| told.strip_suffix(&format!(" of {unit}{end}")))
}

fn shared_by(look: &str, units: BTreeSet<String>) -> String {
    let units = in_order(units);
    match &units[..] {
        [one] => {
            let end = if look.ends_with('s') { OF_ITS_PARTS } else { ITS_PARTS };
            format!("The {look} of {one}{end}")
        }
        many => {
            let plural = if look.ends_with('s') { "" } else { "s" };
            format!(
                "The {look}{plural} of {} are shared alike by their parts: nobody kept which trees they met.",
                say::list(many)
            )
        }
    }
}

/// One sentence for all blocks in parts.
fn stand_in_parts(parts: &BTreeMap<String, &str>) -> Option<String> {
    let order = in_order(parts.keys().cloned().collect());
    let own = |unit: &String| parts.get(unit).copied().unwrap_or_default();
    match &order[..] {
        [] => None,
        [unit] => Some(format!("{unit}{IN_PARTS}{}", own(unit))),
        many => {
            let each = many.iter().map(|unit| format!("{unit} ({})", own(unit).trim_end_matches('.')));
            Some(format!("Some blocks stand in parts: {}.", each.collect::<Vec<_>>().join("; ")))
        }
    }
}

fn in_order(names: BTreeSet<String>) -> Vec<String> {
    let mut names: Vec<String> = names.into_iter().collect();
    names.sort_by(|a, b| natural(a, b));
    names
}
