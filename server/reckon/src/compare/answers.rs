//! Which method cost least, which returned most, and how sure that is.

use std::collections::BTreeSet;

use rust_decimal::Decimal;
use rust_decimal::prelude::FromPrimitive;

use super::measures::{Better, Measure};
use super::method_mean::MethodMean;
use super::methods::MethodTable;
use super::parts::NOT_GIVEN;
use crate::money::round_half_away;
use crate::say;
use crate::stats::Test;

/// The method at the wanted end of a measure.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// By what.
    pub measure: Measure,
    /// The method; more than one where they are equal.
    pub methods: Vec<String>,
    /// Its mean, of one value for each block.
    pub mean: f64,
    /// Blocks behind it.
    pub n: usize,
    /// Block-seasons behind it.
    pub units: usize,
    /// "Lowest cost per tree: cuts, $3.40 a tree (2 block-seasons)."
    pub sentence: String,
    /// How sure that is, against the next method: one sentence. Empty where there is no next.
    pub certainty: String,
    /// Whether the interval of its lead over the next method leaves out zero.
    pub certain: bool,
}

/// The two answers of a comparison.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Answers {
    /// Lowest thinning cost of a tree.
    pub cheapest: Option<Answer>,
    /// Best return per acre.
    pub best: Option<Answer>,
    /// Whether one method had both, alone or with others; `None` where one of the answers is missing or had no choice.
    pub same: Option<bool>,
    /// Everything above in sentences, in order of reading.
    pub sentences: Vec<String>,
}

/// What the answers are told beside the figures.
pub(super) struct Beside<'b> {
    /// Why no method has a return, where none has.
    pub(super) no_return: Option<&'b str>,
    /// Whether anything else differs between the methods.
    pub(super) confounded: bool,
}

/// A method that nobody gave is in the table, and no answer.
fn is_given(method: &str) -> bool {
    !method.contains(NOT_GIVEN)
}

pub(super) fn answers(
    measures: &[(Measure, MethodTable)],
    members: &[(String, Vec<String>)],
    beside: &Beside<'_>,
) -> Answers {
    let given: Vec<&str> = members.iter().map(|(method, _)| method.as_str()).filter(|name| is_given(name)).collect();
    let table = |measure| measures.iter().find(|(own, _)| *own == measure).map(|(_, table)| table);
    let answer = |measure| answer(measure, table(measure)?, given.len());
    let (cheapest, best) = (answer(Measure::CostPerTree), answer(Measure::ReturnPerAcre));
    let choice = [Measure::CostPerTree, Measure::ReturnPerAcre]
        .into_iter()
        .all(|measure| table(measure).is_some_and(|table| ranked(table).count() > 1 || given.len() < 2));
    let both = cheapest.as_ref().zip(best.as_ref()).filter(|_| choice);
    let same = both.map(|(a, b)| a.methods.iter().any(|method| b.methods.contains(method)));
    let mut answers = Answers { cheapest, best, same, sentences: Vec::new() };
    let behind = |measure| table(measure).map(units);
    let apart = behind(Measure::CostPerTree) != behind(Measure::ReturnPerAcre);
    answers.sentences = sentences(&answers, &given, apart, beside.confounded);
    answers.sentences.extend(beside.no_return.filter(|_| given.len() > 1).map(str::to_owned));
    if given.len() < members.len() {
        answers.sentences.push("A method that is not given takes no part in these answers.".to_owned());
    }
    answers
}

/// The methods of a table that somebody gave.
fn ranked(table: &MethodTable) -> impl Iterator<Item = &MethodMean> {
    table.methods.iter().filter(|mean| is_given(&mean.method))
}

/// The block-seasons behind a table.
fn units(table: &MethodTable) -> BTreeSet<&str> {
    table.methods.iter().flat_map(|mean| mean.units.iter().map(String::as_str)).collect()
}

fn answer(measure: Measure, table: &MethodTable, members: usize) -> Option<Answer> {
    let mut order: Vec<&MethodMean> = ranked(table).collect();
    order.sort_by(|a, b| {
        let (a, b) = (a.sample.mean, b.sample.mean);
        if measure.better() == Better::Lower { a.total_cmp(&b) } else { b.total_cmp(&a) }
    });
    let (first, rest) = order.split_first()?;
    let equal = rest.iter().take_while(|other| other.sample.mean.total_cmp(&first.sample.mean).is_eq());
    let tied: Vec<&MethodMean> = core::iter::once(first).chain(equal).copied().collect();
    let methods: Vec<String> = tied.iter().map(|mean| mean.method.clone()).collect();
    let next = rest.get(methods.len() - 1);
    let lead = next.and_then(|next| lead(measure, table, first, next));
    let certainty = match next {
        Some(next) => certainty(measure, table, first, next),
        None if methods.len() == 1 && members > 1 => "No other method here has that figure.".to_owned(),
        None => String::new(),
    };
    Some(Answer {
        measure,
        sentence: sentence(measure, &tied),
        certainty,
        certain: lead.is_some_and(|(low, high)| low > 0.0 || high < 0.0),
        methods,
        mean: first.sample.mean,
        n: first.sample.n,
        units: first.units.len(),
    })
}

/// Methods that are equal are each named with what stands behind it: "a tie of by hand (1 block-season) and
/// cuts (2 block-seasons)" is no method called "by hand and cuts".
fn sentence(measure: Measure, tied: &[&MethodMean]) -> String {
    let end = if measure.better() == Better::Lower { "Lowest" } else { "Best" };
    let what = measure.label().to_lowercase();
    let mean = tied.first().map_or_else(String::new, |first| measure.said(&number(first.sample.mean, measure)));
    let each: Vec<String> = tied.iter().map(|tied| format!("{} ({})", tied.method, tied.counted())).collect();
    match tied {
        [one] => format!("{end} {what}: {}, {mean} ({}).", one.method, one.counted()),
        _ => format!("{end} {what}: a tie of {}, {mean}.", say::list(&each)),
    }
}

/// Against the next method, by the interval of their difference.
fn certainty(measure: Measure, table: &MethodTable, first: &MethodMean, next: &MethodMean) -> String {
    let apart = measure.said(&number((first.sample.mean - next.sample.mean).abs(), measure));
    let least = measure.said(&number(libm::pow(10.0, -f64::from(measure.places())), measure));
    let nothing = measure.said(&number(0.0, measure));
    let apart = if apart == nothing { format!("less than {least}") } else { apart };
    let (does, by) = if measure.better() == Better::Lower { ("costs", "more") } else { ("returns", "less") };
    let beside = format!("The next, {}, {does} {apart} {by}", next.method);
    let Some((low, high)) = lead(measure, table, first, next) else {
        let why = if first.sample.n.min(next.sample.n) < 2 { "one block on a side" } else { "values all alike" };
        return format!("{beside}; with {why} that is a ranking and no more.");
    };
    let ends = format!("{} to {}", number(low, measure), number(high, measure));
    if low <= 0.0 && high >= 0.0 {
        format!("{beside}, and the 95% interval of that, {ends}, holds zero: it may be chance.")
    } else {
        format!("{beside}; the 95% interval of that is {ends}.")
    }
}

/// The interval of how far a method is ahead of the next, where there is one.
fn lead(measure: Measure, table: &MethodTable, first: &MethodMean, next: &MethodMean) -> Option<(f64, f64)> {
    let (pair, turned) = table.difference(&first.method, &next.method)?;
    pair.test().map(|test| facing(test, turned, measure))
}

/// The interval of how far the first method is ahead of the next, a gain being positive.
fn facing(test: Test, turned: bool, measure: Measure) -> (f64, f64) {
    let (low, high) = (test.interval.low, test.interval.high);
    if (measure.better() == Better::Lower) == turned { (low, high) } else { (-high, -low) }
}

fn sentences(answers: &Answers, given: &[&str], apart: bool, confounded: bool) -> Vec<String> {
    match given {
        [] => return vec!["No method is given here, so there is nothing to compare.".to_owned()],
        [only] => {
            return vec![format!("Only one method was used here, {only}, so there is nothing to compare it with.")];
        }
        _ => {}
    }
    let two = || [answers.cheapest.as_ref(), answers.best.as_ref()].into_iter().flatten();
    let certain = two().all(|answer| answer.certain);
    let each = two().flat_map(|answer| [answer.sentence.clone(), answer.certainty.clone()]);
    let both = answers.same.map(|same| {
        let why = match (certain, confounded) {
            (true, false) => "",
            (true, true) => "; what else differs between the methods may be why",
            (false, _) => "; the difference may be chance",
        };
        format!("By these blocks {}{why}.", both(answers, same))
    });
    let apart =
        both.as_ref().filter(|_| apart).map(|_| "Cost and return are not of the same block-seasons.".to_owned());
    each.filter(|sentence| !sentence.is_empty()).chain(both).chain(apart).collect()
}

/// Whether what cost least returned most too. Among equals no single method did either.
fn both(answers: &Answers, same: bool) -> String {
    let tied = |answer: &Option<Answer>| answer.as_ref().is_some_and(|answer| answer.methods.len() > 1);
    let any = if tied(&answers.cheapest) { "a cheapest method" } else { "the cheapest method" };
    let one = if tied(&answers.best) { "one of those that" } else { "the one that" };
    format!("{any} was {} {one} returned most", if same { "also" } else { "not" })
}

fn number(value: f64, measure: Measure) -> String {
    let exact = Decimal::from_f64(value).map(|exact| round_half_away(exact, measure.places()));
    let Some(mut exact) = exact else { return value.to_string() };
    let whole = say::number(exact.trunc());
    if measure.places() == 0 {
        return whole.replace('-', "\u{2212}");
    }
    exact.rescale(measure.places());
    let text = exact.to_string();
    let fraction = text.split_once('.').map_or("", |(_, fraction)| fraction);
    let sign = if exact.is_sign_negative() && !whole.starts_with('-') { "-" } else { "" };
    format!("{sign}{whole}.{fraction}").replace('-', "\u{2212}")
}
