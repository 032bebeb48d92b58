//! Which method paid: methods of thinning held against each other, block-season by block-season.
//!
//! The unit of observation is a block-season, or a part of a block that was thinned its own way.
//! Money becomes a float at the door of this module ([`Observation::of`]), because a standard
//! deviation of cents is no amount of money; nothing here goes back into an account.

mod answers;
mod confounders;
mod found;
mod measures;
mod method_mean;
mod methods;
mod notes;
mod observation;
mod parts;
mod share;
mod standing;
#[cfg(test)]
mod tests;
mod without;

use std::collections::BTreeMap;

pub use answers::{Answer, Answers};
pub use confounders::Confounder;
pub use measures::{Better, LARGE_FROM, Measure};
pub use method_mean::MethodMean;
pub use methods::{Difference, MethodTable, Paired, Pairing, Value, many_pairs, methods};
pub use notes::PartOf;
pub use observation::{Damage, Facet, NAMED_BY, Observation, Traits};
pub use without::{Who, Without};

use crate::season::HowReckoned;
use answers::Beside;

/// Methods compared, in groups of alike blocks.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// One group for each crop, split further as asked. In order of their names, and of age.
    pub groups: Vec<Group>,
}

/// Block-seasons that are compared with each other.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// "peach, Kettle Wash".
    pub name: String,
    /// What they have in common.
    pub facets: Vec<(Facet, String)>,
    /// Every block-season of the group, in order.
    pub units: Vec<String>,
    /// Each method with its block-seasons, in natural order.
    pub members: Vec<(String, Vec<String>)>,
    /// Block-seasons left out of a measure because its figure lacks records or trees, one sentence each.
    pub left_out: Vec<String>,
    /// Block-seasons that stand with a part of their trees or in parts, passes that parts share, and trees too
    /// few to be a part; what is alike is said once.
    pub notes: Vec<String>,
    /// Which block-seasons lack a measure that others have, and what parts of blocks cannot have.
    pub without: Vec<Without>,
    /// The measures that at least one block-season has, in order of [`Measure::ALL`].
    pub measures: Vec<(Measure, MethodTable)>,
    /// What differs between the methods besides the method.
    pub confounders: Vec<Confounder>,
    /// Which method cost least, and which returned most.
    pub answers: Answers,
}

impl Group {
    /// The table of a measure.
    pub fn table(&self, measure: Measure) -> Option<&MethodTable> {
        self.measures.iter().find(|(own, _)| *own == measure).map(|(_, table)| table)
    }

    /// Which block-seasons lack a measure, and why parts do; of the measures that are shown.
    pub fn without_said(&self, shown: impl Fn(Measure) -> bool) -> Vec<String> {
        self.without.iter().filter_map(|without| without.said(&shown)).collect()
    }

    /// What is to be known where many pairs are shown: by the measure that has most of them, of those that
    /// are shown.
    pub fn many_pairs(&self, shown: impl Fn(Measure) -> bool) -> Option<String> {
        let tables = self.measures.iter().filter(|(measure, _)| shown(*measure));
        tables.map(|(_, table)| table.judged()).max().and_then(many_pairs)
    }

    /// Where ends of intervals are shown as 0 or 100% and lie beyond, among the measures that are shown.
    /// `None` where none does.
    pub fn ends_cut(&self, shown: impl Fn(Measure) -> bool) -> Option<&'static str> {
        let tables = self.measures.iter().filter(|(measure, _)| shown(*measure));
        let ends = tables.flat_map(|(measure, table)| {
            table.methods.iter().filter_map(move |mean| Some(measure.cut(mean.interval.ok()?)))
        });
        let (below, above) = ends.fold((false, false), |all, own| (all.0 || own.0, all.1 || own.1));
        match (below, above) {
            (true, true) => Some("Ends below 0 are shown as 0, and those above 100% as 100%."),
            (true, false) => Some("Ends below 0 are shown as 0."),
            (false, true) => Some("Ends above 100% are shown as 100%."),
            (false, false) => None,
        }
    }
}

/// Compares methods among block-seasons that share these facets. Blocks of different crops are
/// never pooled, whatever the grouping says. Names of methods are compared without capitals and blanks,
/// and a figure that lacks records is left out of its measure. The order of the observations does not matter.
pub fn compare(observations: &[Observation], grouping: &[Facet]) -> Comparison {
    let mut facets = vec![Facet::Crop];
    facets.extend(Facet::ALL.into_iter().filter(|facet| *facet != Facet::Crop && grouping.contains(facet)));
    let mut groups: BTreeMap<Vec<(i32, String)>, Vec<&Observation>> = BTreeMap::new();
    let observations = standing::spelled(observations);
    for observation in &observations {
        let traits = &observation.traits;
        let key = facets.iter().map(|facet| (traits.place(*facet), traits.facet(*facet))).collect();
        groups.entry(key).or_default().push(observation);
    }
    let named =
        |values: Vec<(i32, String)>| facets.iter().copied().zip(values.into_iter().map(|(_, name)| name)).collect();
    Comparison { groups: groups.into_iter().map(|(values, own)| group(named(values), &own)).collect() }
}

fn group(facets: Vec<(Facet, String)>, observations: &[&Observation]) -> Group {
    let measures: Vec<(Measure, MethodTable)> = Measure::ALL
        .into_iter()
        .filter_map(|measure| {
            let values: Vec<Value> = observations.iter().filter_map(|seen| seen.value(measure)).collect();
            (!values.is_empty()).then(|| (measure, methods(&values, Pairing::WithinUnits)))
        })
        .collect();
    let mut units: Vec<String> = observations.iter().map(|seen| seen.unit.clone()).collect();
    units.sort_by(|a, b| crate::size_classes::natural(a, b));
    units.dedup();
    let members = standing::members(observations);
    let confounders = confounders::confounders(observations);
    let names: Vec<&str> = facets.iter().map(|(_, value)| value.as_str()).collect();
    Group {
        name: names.join(", "),
        answers: answers::answers(
            &measures,
            &members,
            &Beside { no_return: without::no_return(observations), confounded: !confounders.is_empty() },
        ),
        left_out: standing::left_out(observations),
        notes: notes::joined(observations),
        without: without::without(observations),
        confounders,
        facets,
        units,
        members,
        measures,
    }
}

/// How the comparison is reckoned, for the page and the report.
pub fn how() -> Vec<HowReckoned> {
    HOW.into_iter()
        .map(|(id, title, formula, source)| HowReckoned { id, title, formula: formula.into(), source })
        .collect()
}

const HOW: [(&str, &str, &str, &str); 4] = [
    (
        "method-mean",
        "Mean of a method",
        "Each block counts once, whatever its size: mean = sum of values ÷ n. Where a block stands there with several \
         seasons, its value is the mean of its seasons, and n counts blocks: seasons of one block are not independent. \
         Interval, 95%: mean ± t × standard deviation ÷ √n, with n − 1 degrees of freedom. One block has no interval, \
         because nothing tells how much such blocks differ among themselves; two have a wide one, because t is 12.7. Pages \
         and reports show the ends of costs, hours and shares that lie below 0 as 0, and of shares above 100% as 100%; \
         the spreadsheet and JSON have them as they are reckoned. A \
         block-season whose figure lacks records, such as a wage or the price of some boxes, is left out of that measure \
         and named, and of all of them where less than half of its trees were thinned (common practice, no source).",
        "Student's t; NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.2",
    ),
    (
        "method-difference",
        "Difference of two methods",
        "Difference of the two means, each of one value for a block. Welch's interval: difference ± t × √(s₁²/n₁ + \
         s₂²/n₂), degrees of freedom by Satterthwaite and not rounded. Where the same block-seasons hold both methods on \
         different trees: paired, mean of the differences within blocks (one for each block) ± t × their standard \
         deviation ÷ √pairs; it stands for the difference of the means only where every block-season is in a pair, and \
         beside it where some are. Each interval holds for its own pair; among many pairs, one in twenty misses.",
        "NIST/SEMATECH e-Handbook of Statistical Methods, 7.3.1; Student (1908)",
    ),
    (
        "method-of-a-block",
        "Method of a block-season",
        "The methods of its thinning entries in the order of passes, joined: \"cuts then by hand\"; methods of one pass \
         are joined by \"and\". Where the first pass was done by several methods on different trees, all of them counted \
         by themselves or by rows, each part is an observation of its own: its cost is that of its own first pass over \
         its own trees, and that of each later pass over the trees of that pass, or of the first where these are more. \
         Less than 5% of the block's trees are no part (common practice, no source) and are named. An observation \"thinning method\" of the block, with a name in its note, \
         goes before all this: two ways that the book has one word for can so be told apart.",
        "rule of the book",
    ),
    (
        "large-fruit",
        "Large-fruit share",
        "Packed weight (boxes where weight is missing) of size classes A, AA, AAA and AAAA, 67 mm and larger, as a share \
         of all that was packed. Letter classes of peaches and nectarines only; a season with any other size has no \
         such share. Nectarines and peaches in letter classes are never mixed.",
        "Size classes: Commission Regulation (EC) No 1580/2007, Annex I, Part 5; \"large\" from A up is a rule of the book",
    ),
];
