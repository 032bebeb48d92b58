//! A comparison of methods as JSON: what the page shows and what the command line prints.

use reckon::compare::{Answer, Comparison, Difference, Group, MethodMean, MethodTable};
use reckon::stats::{CompleteBlocks, Interval, LEVEL, NoTest, Test};
use serde_json::{Value, json};

use super::figure::number;

/// Means, intervals and differences of one measure.
pub fn method_table(table: &MethodTable) -> Value {
    json!({
        "level": LEVEL,
        "methods": table.methods.iter().map(mean).collect::<Value>(),
        "differences": table.differences.iter().map(difference).collect::<Value>(),
        "blocks": table.blocks.as_ref().map(blocks),
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
        "measures": measures.collect::<serde_json::Map<_, _>>(),
        "confounders": group.confounders.iter().map(|found| found.sentence.clone()).collect::<Value>(),
        "lowest_cost_per_tree": group.answers.cheapest.as_ref().map(answer),
        "best_return_per_acre": group.answers.best.as_ref().map(answer),
        "same_method": group.answers.same,
        "sentences": group.answers.sentences,
    })
}

fn answer(answer: &Answer) -> Value {
    json!({ "methods": answer.methods, "mean": number(answer.mean), "n": answer.n })
}

fn mean(mean: &MethodMean) -> Value {
    json!({
        "method": mean.method,
        "n": mean.sample.n,
        "mean": number(mean.sample.mean),
        "sd": mean.sample.sd.map(number),
        "interval": mean.interval.ok().map(interval),
        "remark": mean.remark(),
        "units": mean.units,
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

fn blocks(blocks: &CompleteBlocks) -> Value {
    json!({
        "units": blocks.units,
        "methods_squares": number(blocks.methods_squares),
        "units_squares": number(blocks.units_squares),
        "error_squares": number(blocks.error_squares),
        "methods_df": number(blocks.methods_df),
        "error_df": number(blocks.error_df),
        "f": number(blocks.f),
        "p": number(blocks.p),
        "standard_error_of_a_difference": number(blocks.standard_error()),
    })
}

/// Why something could not be tested.
pub const fn words(reason: NoTest) -> &'static str {
    match reason {
        NoTest::TooFew => "fewer than two to judge the spread by",
        NoTest::NoSpread => "the values are all alike, so there is no spread to judge by",
        NoTest::NotEveryUnit => "not every unit has both methods",
    }
}
