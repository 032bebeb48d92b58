//! One group of block-seasons: its answers, its table of methods, its charts and differences.

use std::collections::BTreeMap;

use print::differences::{self, Shown};
use print::{chart, figures};
use reckon::compare::{Answer, Difference, Group, Measure, MethodMean, MethodTable};
use reckon::stats::Test;

use crate::pages::capital;

/// Points of a chart's width: a column of the page is half as wide again, so its words stay readable.
const CHART_WIDTH: f64 = 220.0;

/// A group as the page shows it.
pub(super) struct GroupView {
    pub(super) id: String,
    pub(super) name: String,
    pub(super) units: String,
    /// Its two answers in short: the lowest cost of a tree, the best return of an acre.
    pub(super) short: [(&'static str, Option<ShortAnswer>); 2],
    pub(super) answers: Vec<String>,
    /// Word and unit of each measure that is known.
    pub(super) measures: Vec<(&'static str, &'static str)>,
    pub(super) methods: Vec<MethodRow>,
    /// What is left out, then what is to be known about intervals of few blocks, and of blocks that stand
    /// there repeatedly.
    pub(super) remarks: Vec<String>,
    pub(super) confounders: Vec<String>,
    pub(super) charts: Vec<Chart>,
    pub(super) differences: Vec<DifferenceRow>,
    /// What is to be known where many pairs stand there.
    pub(super) many: Option<String>,
    /// Where ends of intervals are shown as 0 or 100% and lie beyond.
    pub(super) cut: Option<&'static str>,
    /// Which block-seasons stand in each method: "by hand: KW-1, 2026; cuts: KW-2, 2026".
    pub(super) standing: String,
    /// The block-seasons, each with its page.
    pub(super) behind: Vec<(Option<String>, String)>,
}

/// An answer in a cell.
pub(super) struct ShortAnswer {
    /// "Cuts"; several where they are equal.
    pub(super) methods: String,
    /// "$3.40 a tree".
    pub(super) mean: String,
    /// "one method only", "a tie", "not certain"; empty where it is certain.
    pub(super) doubt: &'static str,
}

impl ShortAnswer {
    fn of(group: &Group, answer: &Answer) -> Self {
        let having = group.table(answer.measure).map_or(0, |table| table.methods.len());
        let doubt = match () {
            () if answer.methods.len() > 1 => "a tie",
            () if group.members.len() < 2 => "one method only",
            () if having < 2 => "no other method has the figure",
            () if answer.certain => "",
            () => "not certain",
        };
        let mean = format!("{} {}", number(answer.measure, answer.mean), answer.measure.unit());
        Self { methods: capital(&answer.methods.join(", ")), mean, doubt }
    }
}

/// One method across the measures.
pub(super) struct MethodRow {
    pub(super) name: String,
    /// Label for a narrow screen, and the cell.
    pub(super) cells: Vec<(String, Option<Cell>)>,
}

/// A mean with its interval.
pub(super) struct Cell {
    pub(super) mean: String,
    /// "3.52 to 8.48", or "one block, no interval".
    pub(super) interval: String,
    /// "3", or "1 block, 2 seasons"; empty for one block-season, which has been said.
    pub(super) n: String,
}

/// A chart and its heading.
pub(super) struct Chart {
    pub(super) title: String,
    pub(super) svg: String,
}

/// Two methods against each other by one measure.
pub(super) struct DifferenceRow {
    pub(super) measure: String,
    pub(super) pair: String,
    pub(super) difference: String,
    pub(super) interval: String,
    pub(super) by: String,
}

impl GroupView {
    pub(super) fn of(n: usize, group: &Group, places: &BTreeMap<String, String>) -> Self {
        let id = format!("group-{}", n.saturating_add(1));
        let compared = method_names(group).len() > 1;
        Self {
            name: capital(&group.name),
            units: figures::counted(group.units.len(), "block-season", "block-seasons"),
            short: [("Lowest cost a tree", &group.answers.cheapest), ("Best return an acre", &group.answers.best)]
                .map(|(label, answer)| (label, answer.as_ref().map(|answer| ShortAnswer::of(group, answer)))),
            answers: group.answers.sentences.clone(),
            measures: group.measures.iter().map(|(measure, _)| (measure.label(), measure.unit())).collect(),
            methods: method_names(group).into_iter().map(|name| method_row(group, name)).collect(),
            remarks: remarks(group),
            confounders: group.confounders.iter().map(|found| found.sentence.clone()).collect(),
            charts: if compared { charts(&id, group) } else { Vec::new() },
            differences: group.measures.iter().flat_map(|(measure, table)| differences(*measure, table)).collect(),
            many: group.many_pairs(|_| true),
            cut: group.ends_cut(|_| true),
            standing: standing(group),
            behind: group.units.iter().map(|unit| (places.get(unit).cloned(), unit.clone())).collect(),
            id,
        }
    }
}

fn standing(group: &Group) -> String {
    let one = |(method, units): &(String, Vec<String>)| format!("{method}: {}", units.join(" and "));
    group.members.iter().map(one).collect::<Vec<_>>().join("; ")
}

/// Every method of the group, in the order of the first table that has it.
fn method_names(group: &Group) -> Vec<&str> {
    let mut names: Vec<&str> = Vec::new();
    for mean in group.measures.iter().flat_map(|(_, table)| &table.methods) {
        if !names.contains(&mean.method.as_str()) {
            names.push(&mean.method);
        }
    }
    names
}

fn method_row(group: &Group, name: &str) -> MethodRow {
    let cell = |(measure, table): &(Measure, MethodTable)| {
        let mean = table.methods.iter().find(|mean| mean.method == name);
        (format!("{}, {}", measure.label(), measure.unit()), mean.map(|mean| cell(*measure, mean)))
    };
    MethodRow { name: capital(name), cells: group.measures.iter().map(cell).collect() }
}

fn cell(measure: Measure, mean: &MethodMean) -> Cell {
    let interval = mean.interval.as_ref().map_or_else(
        |_| "one block, no interval".to_owned(),
        |ends| {
            let ends = measure.shown(*ends);
            format!("{} to {}", number(measure, ends.low), number(measure, ends.high))
        },
    );
    let n = match mean.units.len() {
        _ if mean.repeats() => mean.counted(),
        1 => String::new(),
        n => figures::count(n),
    };
    Cell { mean: number(measure, mean.sample.mean), interval, n }
}

fn number(measure: Measure, value: f64) -> String {
    figures::float(value, usize::try_from(measure.places()).unwrap_or_default())
}

/// What is left out, then remarks by number of blocks, each once.
fn remarks(group: &Group) -> Vec<String> {
    let means = group.measures.iter().flat_map(|(_, table)| &table.methods);
    let mut remarks: Vec<(usize, &'static str)> =
        means.filter_map(|mean| mean.remark().map(|remark| (mean.sample.n, remark))).collect();
    remarks.sort_unstable();
    let mut said = group.left_out.clone();
    said.extend(group.notes.iter().cloned());
    said.extend(group.without_said(|_| true));
    for (_, remark) in remarks {
        if !said.iter().any(|own| own == remark) {
            said.push(remark.to_owned());
        }
    }
    said
}

/// A chart for each measure of which some method has an interval: without one it would only say the
/// table again.
fn charts(id: &str, group: &Group) -> Vec<Chart> {
    let spread = |table: &MethodTable| table.methods.iter().any(|mean| mean.interval.is_ok());
    let drawn = |(measure, table): &(Measure, MethodTable)| {
        if !spread(table) {
            return None;
        }
        let drawing = chart::methods(*measure, table, CHART_WIDTH)?;
        let svg = chart::svg::svg(&drawing, &format!("{id}-{}", measure.word().replace('_', "-")));
        Some(Chart { title: drawing.title, svg })
    };
    group.measures.iter().filter_map(drawn).collect()
}

fn differences(measure: Measure, table: &MethodTable) -> Vec<DifferenceRow> {
    let rows = |pair| differences::shown(pair).into_iter().map(move |shown| row(measure, pair, shown));
    table.differences.iter().flat_map(rows).collect()
}

fn row(measure: Measure, pair: &Difference, shown: Shown) -> DifferenceRow {
    DifferenceRow {
        measure: format!("{}, {}", measure.label(), measure.unit()),
        pair: format!("{} less {}", pair.first, pair.second),
        difference: number(measure, shown.difference),
        interval: shown.test.map_or_else(|| "no interval".to_owned(), |test| interval(measure, &test)),
        by: shown.by,
    }
}

fn interval(measure: Measure, test: &Test) -> String {
    format!("{} to {}", number(measure, test.interval.low), number(measure, test.interval.high))
}
