//! Thinning methods held against each other: what a tree cost, what an acre returned, how sure it is.

use reckon::compare::{Comparison, Difference, Group, Measure, MethodMean, MethodTable};

use super::super::first;
use super::super::flow::{Flow, NOTE, SOFT_NOTE, STRONG_NOTE};
use super::super::table::{Cell, Column, Table, Weight};
use crate::chart::{self, number};
use crate::differences::{self, Shown};
use crate::figures;

/// The two questions: what it costs, what it returns.
const ASKED: [Measure; 2] = [Measure::CostPerTree, Measure::ReturnPerAcre];

pub(super) fn draw(flow: &mut Flow, comparison: &Comparison) {
    for group in &comparison.groups {
        one(flow, group);
    }
}

fn one(flow: &mut Flow, group: &Group) {
    let table = methods(group);
    if table.rows.is_empty() {
        return;
    }
    table.draw_under(flow, &format!("Thinning methods: {}", group.name));
    if let Some(said) = group.ends_cut(|measure| ASKED.contains(&measure)) {
        flow.y += 2.0;
        flow.note(SOFT_NOTE, said);
    }
    charts(flow, group);
    flow.y += 2.0;
    for sentence in &group.answers.sentences {
        flow.note(NOTE, sentence);
    }
    pairs(flow, group);
    told(flow, group);
}

/// Every method that has one of the two measures, in the order of the first table that has it.
fn names(group: &Group) -> Vec<&str> {
    let mut names: Vec<&str> = Vec::new();
    for mean in ASKED.iter().filter_map(|measure| group.table(*measure)).flat_map(|table| &table.methods) {
        if !names.contains(&mean.method.as_str()) {
            names.push(&mean.method);
        }
    }
    names
}

fn methods(group: &Group) -> Table {
    let mut table = Table::new(vec![
        Column::words("method", 80.0),
        Column::number("cost a\ntree, $"),
        Column::words("95% interval", 60.0),
        Column::number("block-\nseasons"),
        Column::number("hours\na tree"),
        Column::number("net price\n$ a lb"),
        Column::number("return an\nacre, $"),
        Column::words("95% interval", 60.0),
        Column::number("block-\nseasons"),
    ]);
    for name in names(group) {
        let mean = |measure| group.table(measure)?.methods.iter().find(|mean| mean.method == name);
        let number = |measure| Cell::or_dash(mean(measure).map(|mean| number(measure, mean.sample.mean)));
        let [cost, back] = ASKED;
        table.row(
            Weight::Plain,
            vec![
                Cell::words(name),
                number(cost),
                Cell::soft(&interval(cost, mean(cost))),
                Cell::or_dash(mean(cost).map(units)),
                number(Measure::HoursPerTree),
                number(Measure::NetPerPound),
                number(back),
                Cell::soft(&interval(back, mean(back))),
                Cell::or_dash(mean(back).map(units)),
            ],
        );
    }
    table
}

fn interval(measure: Measure, mean: Option<&MethodMean>) -> String {
    match mean.map(|mean| &mean.interval) {
        None => figures::NOT_KNOWN.to_owned(),
        Some(Err(_)) => "no interval".to_owned(),
        Some(Ok(ends)) => {
            let ends = measure.shown(*ends);
            format!("{} to {}", number(measure, ends.low), number(measure, ends.high))
        }
    }
}

/// "3", or "5 of 2 blocks" where blocks stand there with several seasons.
fn units(mean: &MethodMean) -> String {
    let n = figures::count(mean.units.len());
    if mean.repeats() { format!("{n} of {}", figures::counted(mean.sample.n, "block", "blocks")) } else { n }
}

/// The two charts beside each other, where some method has an interval: without one a chart would only
/// say the table again.
fn charts(flow: &mut Flow, group: &Group) {
    let width = (flow.width() - 26.0) / 2.0;
    let spread =
        |table: &&MethodTable| table.methods.len() > 1 && table.methods.iter().any(|mean| mean.interval.is_ok());
    let drawn = |measure: &Measure| chart::methods(*measure, group.table(*measure).filter(spread)?, width);
    let drawings: Vec<_> = ASKED.iter().filter_map(drawn).collect();
    let height = drawings.iter().map(|drawing| drawing.height).fold(0.0, f64::max);
    if drawings.is_empty() {
        return;
    }
    flow.need(height + 30.0);
    let top = flow.y + 20.0;
    let mut x = flow.left;
    for drawing in &drawings {
        let end = first::placed(flow, Some(drawing), "", "", (x, top), width);
        flow.y = flow.y.max(end);
        x += width + 26.0;
    }
    flow.y += 2.0;
    let caption = "A square is the mean, the line its 95% interval; a hollow square stands for one block, and an arrow for a line \
         that runs on beyond the chart.";
    flow.note(SOFT_NOTE, caption);
}

fn pairs(flow: &mut Flow, group: &Group) {
    let mut table = Table::new(vec![
        Column::words("methods", 120.0),
        Column::words("unit", 60.0),
        Column::number("difference"),
        Column::words("95% interval", 70.0),
        Column::words("how", 90.0),
    ]);
    let mut tested = false;
    for measure in ASKED {
        for pair in group.table(measure).iter().flat_map(|table| &table.differences) {
            for shown in differences::shown(pair) {
                tested |= shown.test.is_some();
                table.row(Weight::Plain, difference(measure, pair, &shown));
            }
        }
    }
    // Where nothing could be tested the sentences above have said so.
    if tested {
        let beginning = table.beginning(flow);
        let said = format!("Differences of methods, {}", group.name);
        flow.need(beginning + flow.note_height(STRONG_NOTE, &said) + 6.0);
        flow.y += 4.0;
        flow.note(STRONG_NOTE, &said);
        flow.y += 2.0;
        table.draw(flow);
        if let Some(said) = group.many_pairs(|measure| ASKED.contains(&measure)) {
            flow.y += 2.0;
            flow.note(SOFT_NOTE, &said);
        }
    }
}

fn difference(measure: Measure, pair: &Difference, shown: &Shown) -> Vec<Cell> {
    let interval = shown.test.map_or_else(
        || "no interval".to_owned(),
        |test| format!("{} to {}", number(measure, test.interval.low), number(measure, test.interval.high)),
    );
    vec![
        Cell::words(&format!("{} less {}", pair.first, pair.second)),
        Cell::soft(measure.unit()),
        Cell::figure(number(measure, shown.difference)),
        Cell::soft(&interval),
        Cell::soft(&shown.by),
    ]
}

/// What may be the true cause of a difference, and what one or two block-seasons are worth.
fn told(flow: &mut Flow, group: &Group) {
    let tables = ASKED.iter().filter_map(|measure| group.table(*measure));
    let mut remarks: Vec<&str> = tables.flat_map(|table| &table.methods).filter_map(MethodMean::remark).collect();
    remarks.sort_unstable();
    remarks.dedup();
    let confounders = group.confounders.iter().map(|found| found.sentence.as_str());
    let left_out = group.left_out.iter().map(String::as_str);
    let shown = |measure: Measure| !matches!(measure, Measure::CostPerThousand | Measure::LargeShare);
    let without = group.without_said(shown);
    let notes = group.notes.iter().chain(&without).map(String::as_str);
    let said: Vec<&str> = left_out.chain(notes).chain(confounders).chain(remarks).collect();
    if !said.is_empty() {
        flow.y += 2.0;
        flow.note(SOFT_NOTE, &said.join(" "));
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use reckon::compare::{Observation, Traits, compare};

    use super::*;
    use crate::report::page_checks::read;
    use crate::sheet::Paper;

    fn seen(block: &str, method: &str, cost: f64) -> Observation {
        Observation {
            unit: format!("{block}, 2026"),
            method: method.to_owned(),
            traits: Traits { block: block.to_owned(), crop: "peach".to_owned(), ..Traits::default() },
            measures: BTreeMap::from([(Measure::CostPerTree, cost)]),
            lacking: BTreeMap::new(),
            notes: Vec::new(),
            part: None,
        }
    }

    fn drawn(observations: &[Observation]) -> String {
        let mut flow = Flow::new(Paper::Letter, "", "");
        draw(&mut flow, &compare(observations, &[]));
        read(&flow.finish(""))
    }

    #[test]
    fn many_pairs_and_ends_that_were_cut_are_said() {
        let mut all = vec![seen("A", "by hand", 8.0), seen("B", "by hand", 8.2), seen("C", "cuts", 3.0)];
        let text = drawn(&all);
        assert!(!text.contains("pairs of methods") && !text.contains("are shown as 0"), "{text}");
        all.extend([seen("D", "cuts", 4.0), seen("E", "pole", 2.0)]);
        assert!(!drawn(&all).contains("pairs of methods"), "one pair has an interval");
        all.push(seen("F", "pole", 2.2));
        let text = drawn(&all);
        assert!(text.contains("3 pairs of methods, each compared at 95% by itself"), "{text}");
        assert!(text.contains("Ends below 0 are shown as 0."), "{text}");
    }
}
