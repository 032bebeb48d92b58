//! Which block-seasons lack a measure without a record being at fault, and why a group has none of one.

use std::collections::{BTreeMap, BTreeSet};

use super::measures::Measure;
use super::observation::Observation;
use crate::say;
use crate::size_classes::natural;

/// Measures of what was sold, which is never kept apart by parts of a block.
const OF_SALES: [Measure; 3] = [Measure::LargeShare, Measure::NetPerPound, Measure::ReturnPerAcre];

/// Measures that some of a group lack.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Without {
    /// The measures, in order of [`Measure::ALL`].
    pub measures: Vec<Measure>,
    /// Who lacks them.
    pub who: Who,
}

/// Who lacks a measure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Who {
    /// These block-seasons, where others have it.
    These(Vec<String>),
    /// Parts of blocks, of which nothing is sold apart.
    Parts,
    /// Parts of blocks, where none of the group has fruit of its own counted.
    Uncounted,
}

impl Without {
    /// The sentence, of those measures that are shown. "No net price or return per acre for KW-1 2026 and KW-2
    /// 2026 (cuts)."
    pub fn said(&self, shown: impl Fn(Measure) -> bool) -> Option<String> {
        let measures: Vec<String> = self
            .measures
            .iter()
            .filter(|measure| shown(**measure))
            .map(|measure| measure.label().to_lowercase())
            .collect();
        let (last, before) = measures.split_last()?;
        let either = if before.is_empty() { last.clone() } else { format!("{} or {last}", before.join(", ")) };
        Some(match &self.who {
            Who::These(names) => format!("No {either} for {}.", say::list(names)),
            Who::Parts => format!("A part of a block has no sales of its own, so it has no {either}."),
            Who::Uncounted => {
                format!("A part has a {either} only where its own fruit were counted and no pass followed.")
            }
        })
    }
}

/// Those of a group that lack a measure which others have, the same ones once for all they lack, but for
/// what is left out with a reason. Then why parts of blocks lack theirs.
pub(super) fn without(observations: &[&Observation]) -> Vec<Without> {
    let had = |measure: Measure| observations.iter().any(|seen| seen.measures.contains_key(&measure));
    let mut found: BTreeMap<Vec<String>, Vec<Measure>> = BTreeMap::new();
    for measure in Measure::ALL.into_iter().filter(|measure| had(*measure)) {
        let names = lacking(measure, observations);
        if !names.is_empty() {
            found.entry(names).or_default().push(measure);
        }
    }
    let mut said: Vec<Without> =
        found.into_iter().map(|(names, measures)| Without { measures, who: Who::These(names) }).collect();
    said.sort_by(|a, b| a.measures.cmp(&b.measures));
    if observations.iter().any(|seen| seen.part.is_some()) {
        said.push(Without { measures: OF_SALES.to_vec(), who: Who::Parts });
        let thousand = Measure::CostPerThousand;
        let kept = observations.iter().any(|seen| seen.lacking.contains_key(&thousand));
        if !had(thousand) && !kept {
            said.push(Without { measures: vec![thousand], who: Who::Uncounted });
        }
    }
    said
}

/// Why no method has a return, where none has. `None` where one has it, or where records are at fault.
pub(super) fn no_return(observations: &[&Observation]) -> Option<&'static str> {
    let has = |seen: &Observation| {
        let measure = Measure::ReturnPerAcre;
        seen.measures.contains_key(&measure) || seen.lacking.contains_key(&measure)
    };
    match observations {
        [] => None,
        all if all.iter().any(|seen| has(seen)) => None,
        all if all.iter().all(|seen| seen.part.is_some()) => {
            Some("No method has a return here: a part of a block has no sales of its own.")
        }
        _ => Some("No method has a return yet, because nothing of these blocks is sold."),
    }
}

fn lacking(measure: Measure, observations: &[&Observation]) -> Vec<String> {
    let lacks = |seen: &Observation| {
        let apart = OF_SALES.contains(&measure) && seen.part.is_some();
        !apart && !seen.measures.contains_key(&measure) && !seen.lacking.contains_key(&measure)
    };
    let name = |seen: &Observation| {
        let unit = seen.words();
        if seen.part.is_some() { format!("{unit} ({})", seen.method) } else { unit }
    };
    let names: BTreeSet<String> = observations.iter().copied().filter(|seen| lacks(seen)).map(name).collect();
    let mut names: Vec<String> = names.into_iter().collect();
    names.sort_by(|a, b| natural(a, b));
    names
}
