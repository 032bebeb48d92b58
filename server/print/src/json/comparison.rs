//! A comparison of methods as JSON: what the page shows and what the command line prints.

use reckon::compare::{Answer, Comparison, Difference, Group, MethodMean, MethodTable, many_pairs};
use reckon::stats::{CompleteBlocks, Interval, LEVEL, Needed, NoBlocks, NoTest, Test};
use serde_json::{Value, json};

use super::figure::number;
use crate::figures;

/// Means, intervals and differences of one measure.
pub fn method_table(table: &MethodTable) -> Value {
    json!({
        "level": LEVEL,
        "methods": table.methods.iter().map(mean).collect::<Value>(),
        "differences": table.differences.iter().map(difference).collect::<Value>(),
        "remark": many_pairs(table.judged()),
        "blocks": table.blocks.as_ref().ok().map(|found| blocks(found, &table.differences)),
        "no_blocks": table.blocks.as_ref().err().map(no_blocks),
    })
}

/// A whole comparison, group by group.
pub fn comparison(comparison: &Comparison) -> Value {
    json!({ "groups": comparison.groups.iter().map(group).collect::<Value>() })
}

fn group(group: &Group) -> Value {
    let measures = group.measures.iter().map(|(measure, table)| {
        let mut whole = method_table(table);
        if let Value::Object(map) = &mut whole {
            map.insert("unit".to_owned(), measure.unit().into());
        }
        (measure.word().to_owned(), whole)
    });
    json!({
        "name": group.name,
        "units": group.units,
        "methods": group.members.iter().map(|(method, units)| json!({ "method": method, "units": units })).collect::<Value>(),
        "left_out": group.left_out,
        "notes": group.notes,
        "without": group.without_said(|_| true),
        "measures": measures.collect::<serde_json::Map<_, _>>(),
        "confounders": group.confounders.iter().map(|found| found.sentence.clone()).collect::<Value>(),
        "lowest_cost_per_tree": group.answers.cheapest.as_ref().map(answer),
        "best_return_per_acre": group.answers.best.as_ref().map(answer),
        "same_method": group.answers.same,
        "sentences": group.answers.sentences,
    })
}

fn answer(answer: &Answer) -> Value {
    json!({ "methods": answer.methods, "mean": number(answer.mean), "n": answer.n, "units": answer.units, "certain": answer.certain })
}

fn mean(mean: &MethodMean) -> Value {
    json!({
        "method": mean.method,
        "n": mean.sample.n,
        "units": mean.units.len(),
        "mean": number(mean.sample.mean),
        "sd": mean.sample.sd.map(number),
        "interval": mean.interval.ok().map(interval),
        "remark": mean.remark(),
        "needed": mean.needed().iter().map(needed).collect::<Value>(),
        "unit_names": mean.units,
    })
}

fn needed(needed: &Needed) -> Value {
    json!({
        "within_pct": number(needed.within * 100.0),
        "by_normal": number(needed.normal),
        "by_t": needed.count,
    })
}

fn interval(interval: Interval) -> Value {
    json!({ "low": number(interval.low), "high": number(interval.high) })
}

fn difference(pair: &Difference) -> Value {
    let paired = pair.paired.map(|paired| {
        let mut whole = test(&paired.test);
        if let Value::Object(map) = &mut whole {
            map.insert("pairs".to_owned(), paired.pairs.into());
            map.insert("units_left_out".to_owned(), pair.left_out.into());
            map.insert("remark".to_owned(), some_pairs(pair).into());
        }
        whole
    });
    let lacking = |reason: NoTest| Value::from(words(reason));
    json!({
        "first": pair.first,
        "second": pair.second,
        "difference": number(pair.difference),
        "shared_units": pair.shared_units,
        "welch": pair.welch.as_ref().ok().map(test),
        "no_welch": pair.welch.err().map(lacking),
        "paired": paired.as_ref().ok(),
        "no_paired": paired.as_ref().err().map(|reason| lacking(*reason)),
    })
}

fn test(test: &Test) -> Value {
    json!({
        "difference": number(test.difference),
        "standard_error": number(test.standard_error),
        "df": number(test.df),
        "t": number(test.t),
        "p": number(test.p),
        "interval": interval(test.interval),
    })
}

/// That the pairs are a part of the units.
fn some_pairs(pair: &Difference) -> Option<String> {
    (pair.left_out > 0).then(|| {
        format!(
            "{} no pair, so this is not the difference of the two means; Welch's is.",
            figures::counted(pair.left_out, "unit stands in", "units stand in")
        )
    })
}

fn blocks(blocks: &CompleteBlocks, pairs: &[Difference]) -> Value {
    let pairs = pairs.iter().filter_map(|pair| {
        let mut whole = test(&blocks.difference(&pair.first, &pair.second, LEVEL).ok()?);
        if let Value::Object(map) = &mut whole {
            map.insert("first".to_owned(), pair.first.clone().into());
            map.insert("second".to_owned(), pair.second.clone().into());
        }
        Some(whole)
    });
    let pairs: Vec<Value> = pairs.collect();
    json!({
        "blocks": blocks.blocks,
        "methods_sum_of_squares": number(blocks.methods_squares),
        "blocks_sum_of_squares": number(blocks.blocks_squares),
        "error_sum_of_squares": number(blocks.error_squares),
        "methods_df": number(blocks.methods_df),
        "error_df": number(blocks.error_df),
        "f": number(blocks.f),
        "p": number(blocks.p),
        "standard_error_of_a_difference": number(blocks.standard_error()),
        "remark": many_pairs(pairs.len()),
        "differences_by_pooled_error": pairs,
    })
}

/// Why there is no analysis in blocks.
fn no_blocks(reason: &NoBlocks) -> String {
    match reason {
        NoBlocks::FewMethods => {
            "fewer than three methods; of two, the paired difference is the analysis in blocks".to_owned()
        }
        NoBlocks::FewBlocks => "fewer than two blocks".to_owned(),
        NoBlocks::Lacking { block, method } => {
            format!("not every block (or unit, without blocks) has every method: {block} lacks {method}")
        }
        NoBlocks::Twice => "a block has several values of a method".to_owned(),
        NoBlocks::NoSpread => {
            "nothing is left over from blocks and methods, so there is no spread to judge by".to_owned()
        }
    }
}

/// By what the difference of two means is judged: "paired in 3 blocks", "Welch, 3.2 degrees of freedom", or
/// why it is not.
pub fn judged_by(pair: &Difference) -> String {
    match (pair.whole_pairs(), &pair.welch) {
        (Some(paired), _) => format!("paired in {}", figures::counted(paired.pairs, "block", "blocks")),
        (None, Ok(test)) => format!("Welch, {} degrees of freedom", figures::float(test.df, 1)),
        (None, Err(reason)) => words(*reason).to_owned(),
    }
}

/// Why something could not be tested.
const fn words(reason: NoTest) -> &'static str {
    match reason {
        NoTest::TooFew => "fewer than two values or pairs to judge the spread by",
        NoTest::NoSpread => {
            "the values are all alike, as far as their digits can be told apart, so there is no spread to judge by"
        }
        NoTest::AlikeDifferences => {
            "the differences are all alike, as far as their digits can be told apart, so there is no spread to judge by"
        }
    }
}
