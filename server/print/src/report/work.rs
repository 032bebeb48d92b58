//! Labor by task, method and pass; counts of fruit.

use reckon::exact::Hours;
use reckon::figure::Figure;
use reckon::money::UnitPrice;
use reckon::season::{LaborMeasure, LaborSeason, ThinningSeason};
use reckon::thinning::target::{Wanted, WantedFrom};
use reckon::units::{Measure, Share};

use super::flow::{Flow, HEADING_HEIGHT, SOFT_NOTE};
use super::table::{Cell, Column, Table, Weight};
use crate::{figures, words};

/// All labor by task, thinning by pass and method.
pub(super) fn labor(flow: &mut Flow, season: &LaborSeason) {
    let shown = Shown::of(season);
    let mut table = Table::new(shown.columns());
    let cells = |name: &str, labor: &LaborMeasure| shown.cells(name, labor);
    for task in &season.tasks {
        table.row(Weight::Plain, cells(words::task(task.task), &task.measure));
    }
    let thinning = season.thinning.as_ref().filter(|_| !season.passes.is_empty());
    if season.entries > 0 {
        let weight = if thinning.is_some() { Weight::Bold } else { Weight::Last };
        table.row(weight, cells("All labor", &season.all));
    }
    if let Some(thinning) = thinning {
        for pass in &season.passes {
            let name = format!("{} ({})", words::pass_and_method(pass.pass, pass.method), words::days(pass.days));
            table.row(Weight::Plain, cells(&name, &pass.measure));
        }
        table.row(Weight::Last, cells("All thinning, in all labor", thinning));
    }
    let beginning = table.beginning(flow);
    flow.heading("Labor by task, and thinning by pass and method", beginning);
    if table.rows.is_empty() {
        flow.note(SOFT_NOTE, "No labor was recorded.");
    }
    table.draw(flow);
}

/// Columns that stand only where a row has them.
#[derive(Debug, Clone, Copy)]
struct Shown {
    overtime: bool,
    per_thousand: bool,
}

impl Shown {
    fn of(season: &LaborSeason) -> Self {
        let tasks = season.tasks.iter().map(|task| &task.measure);
        let passes = season.passes.iter().map(|pass| &pass.measure);
        let rows: Vec<&LaborMeasure> = tasks.chain(passes).chain(season.thinning.as_ref()).collect();
        Self {
            overtime: rows.iter().any(|row| row.overtime.is_some()),
            per_thousand: rows.iter().any(|row| row.cost_per_thousand.is_some()),
        }
    }

    fn columns(self) -> Vec<Column> {
        let overtime = self.overtime.then(|| Column::number("of it\novertime"));
        let per_thousand = self.per_thousand.then(|| Column::number("1,000\nfruit $"));
        let mut columns = vec![Column::words("", 100.0), Column::number("hours")];
        columns.extend(overtime);
        columns.extend([
            Column::number("cost\n$"),
            Column::number("trees"),
            Column::number("a tree\n$"),
            Column::number("h a\ntree"),
            Column::number("an acre\n$"),
        ]);
        columns.extend(per_thousand);
        columns.push(Column::words("how known", 70.0));
        columns
    }

    fn cells(self, name: &str, labor: &LaborMeasure) -> Vec<Cell> {
        let hours = |figure: Option<&Figure<Hours>>| figure.map(|hours| figures::exact(hours.value, 1));
        let each = |price: Option<String>| Cell::or_dash(price);
        let mut cells = vec![Cell::words(name), Cell::or_dash(hours(labor.hours.as_ref()))];
        if self.overtime {
            cells.push(Cell::figure(hours(labor.overtime.as_ref()).unwrap_or_default()));
        }
        cells.extend([
            each(labor.is_costed().then(|| figures::money(labor.cost.value))),
            each(labor.trees.as_ref().map(|trees| figures::quantity(trees.value))),
            each(labor.cost_per_tree.as_ref().map(|price| figures::price(price.value, 2))),
            each(labor.hours_per_tree.as_ref().map(|hours| figures::quantity(hours.value))),
            each(labor.cost_per_acre.as_ref().map(|price| figures::price(price.value, 0))),
        ]);
        if self.per_thousand {
            cells.push(Cell::figure(fruit(labor)));
        }
        let lack = labor.hours.as_ref().is_some_and(|hours| !hours.lacks.is_empty());
        let cost = Figure { lacks: labor.cost.lacks.clone(), ..labor.known() };
        let known = [
            Some(if labor.is_costed() { words::known_of(&cost) } else { "cost not known".to_owned() }),
            lack.then(|| "hours incomplete".to_owned()),
            words::overtime_estimated(labor).map(str::to_owned),
        ];
        cells.push(Cell::soft(&known.into_iter().flatten().collect::<Vec<_>>().join("; ")));
        cells
    }
}

/// Dollars for 1,000 fruit; empty for work that takes none off.
fn fruit(labor: &LaborMeasure) -> String {
    labor.cost_per_thousand.as_ref().map(|price| figures::price(price.value, 2)).unwrap_or_default()
}

/// What the counts say, and what thinning cost for what it took off.
pub(super) fn counts(flow: &mut Flow, season: &ThinningSeason, labor: &LaborSeason) {
    let mut facts = Facts::default();
    let places = |error: &Figure<Share>| figures::float(error.value.get(), 1);
    facts.give_or_take("Fruit taken off", season.removed.as_ref(), season.removed_standard_error.as_ref().map(places));
    let before = error(season.before_standard_error.as_ref());
    facts.give_or_take("Fruit before", season.before_per_tree.as_ref(), before);
    facts.give_or_take("Fruit left", season.left_per_tree.as_ref(), error(season.left_standard_error.as_ref()));
    if season.only_branches() {
        facts.not_known("Fruit left", reckon::thinning::ONLY_BRANCHES);
    }
    facts.wanted(["Fruit wanted", "Left of what is wanted"], season.target.as_ref(), season.left_of_target.as_ref());
    let in_block = error(season.removed_in_block_standard_error.as_ref());
    facts.give_or_take("Fruit taken off the block", season.removed_in_block.as_ref(), in_block);
    let crop = error(season.crop_standard_error.as_ref());
    facts.give_or_take("Crop to expect, before drop", season.crop.as_ref(), crop);
    let spacing = error(season.spacing_standard_error.as_ref());
    facts.give_or_take("Shoot for each fruit left", season.spacing.as_ref(), spacing);
    let names = ["Shoot wanted for each fruit", "Spacing of what is wanted"];
    facts.wanted(names, season.target_spacing.as_ref(), season.spacing_of_target.as_ref());
    facts.measure("Fruit when counted", season.diameter.as_ref());
    facts.price("Thinning, 1,000 fruit off", labor.cost_per_thousand_removed.as_ref());
    facts.price("Thinning, each box packed", labor.thinning_cost_per_box.as_ref());
    if facts.is_empty() {
        return;
    }
    let title = if season.samples == 0 {
        "Fruit counts".to_owned()
    } else {
        let branches = figures::counted(season.samples.saturating_sub(season.whole_trees), "branch", "branches");
        let trees = figures::counted(season.whole_trees, "tree", "trees");
        let samples = figures::counted(season.samples, "sample", "samples");
        let counted = if season.pools() { format!("{trees} and {branches}") } else { samples };
        format!("Fruit counts, {counted} counted twice")
    };
    let errors = [season.removed_standard_error.is_some(), season.left_standard_error.is_some()];
    let trees = quantity(season.trees_to_count.as_ref());
    let enough = trees.map(|trees| format!("; {trees} trees for ± 10%")).unwrap_or_default();
    let spread = match season.samples {
        _ if errors.contains(&true) => format!(" (± one standard error{enough})"),
        1 => " (one sample: no standard error)".to_owned(),
        _ => String::new(),
    };
    facts.draw_over(flow, &format!("{title}{spread}"), &season.when_says().join(" "));
}

fn quantity<M: Measure + Copy>(figure: Option<&Figure<M>>) -> Option<String> {
    figure.map(|figure| figures::quantity(figure.value))
}

/// A standard error, which is never none where it is small.
fn error<M: Measure + Copy>(figure: Option<&Figure<M>>) -> Option<String> {
    figure.map(|figure| figures::error(figure.value.float(), M::PLACES))
}

/// Single figures: name, number, unit, how it is known.
#[derive(Debug, Default)]
pub(super) struct Facts(Vec<Vec<Cell>>);

impl Facts {
    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub(super) fn measure<M: Measure + Copy>(&mut self, name: &str, figure: Option<&Figure<M>>) {
        if let Some(figure) = figure {
            self.push(name, figures::quantity(figure.value), M::UNIT, figure);
        }
    }

    /// A measure with its standard error after the unit, where it has one: `428 fruit/tree ± 21`.
    fn give_or_take<M: Measure + Copy>(&mut self, name: &str, figure: Option<&Figure<M>>, error: Option<String>) {
        if let Some(figure) = figure {
            let unit = error.map_or_else(|| M::UNIT.to_owned(), |error| format!("{} ± {error}", M::UNIT));
            self.push(name, figures::quantity(figure.value), unit.trim_start(), figure);
        }
    }

    /// What is wanted, `420 fruit/tree`, or the share of it that was counted, `102 % of 420`. What is from the
    /// list says so, and the end of the report says from which line of it.
    fn wanted<M: Measure + Copy>(
        &mut self,
        [name, of_name]: [&str; 2],
        wanted: Option<&Wanted<M>>,
        share: Option<&Figure<Share>>,
    ) {
        let Some(wanted) = wanted else { return };
        let number = figures::quantity(wanted.figure.value);
        let place = if wanted.from == WantedFrom::Block { "" } else { ", list" };
        match share {
            Some(share) => {
                let unit = format!("{} of {number}{place}", Share::UNIT);
                self.push(of_name, figures::quantity(share.value), &unit, share);
            }
            None => self.push(name, number, &format!("{}{place}", M::UNIT), &wanted.figure),
        }
    }

    pub(super) fn price<U>(&mut self, name: &str, figure: Option<&Figure<UnitPrice<U>>>) {
        if let Some(figure) = figure {
            self.push(name, figures::price(figure.value, 2), "$", figure);
        }
    }

    pub(super) fn push<T>(&mut self, name: &str, number: String, unit: &str, figure: &Figure<T>) {
        let known = words::known(figure.evidence, figure.n());
        self.0.push(vec![Cell::words(name), Cell::figure(number), Cell::soft(unit), Cell::soft(&known)]);
    }

    /// A figure that could not be made, and why.
    fn not_known(&mut self, name: &str, why: &str) {
        self.0.push(vec![Cell::words(name), Cell::or_dash(None), Cell::words(""), Cell::soft(why)]);
    }

    /// In two columns, read down the left and then down the right.
    pub(super) fn draw(self, flow: &mut Flow, title: &str) {
        self.draw_over(flow, title, "");
    }

    /// The same with a note under them, on the same page.
    fn draw_over(self, flow: &mut Flow, title: &str, note: &str) {
        let (left, right) = self.halves();
        // Few rows: the heading and the note stay with all of them.
        let note_height = if note.is_empty() { 0.0 } else { flow.note_height(SOFT_NOTE, note) };
        let height = Table::beside_height(flow, &left, &right) + note_height;
        flow.heading(title, height);
        Table::beside(flow, &left, &right);
        if !note.is_empty() {
            flow.note(SOFT_NOTE, note);
        }
    }

    /// Height of [`Facts::draw`], heading included.
    pub(super) fn height(&self, flow: &Flow) -> f64 {
        let (left, right) = self.halves();
        HEADING_HEIGHT + Table::beside_height(flow, &left, &right)
    }

    fn halves(&self) -> (Table, Table) {
        let half = self.0.len().div_ceil(2);
        let table =
            || Table::new(vec![Column::words("", 70.0), Column::number(""), Column::unit(), Column::words("", 60.0)]);
        let (mut left, mut right) = (table(), table());
        for (n, cells) in self.0.iter().enumerate() {
            if n < half { &mut left } else { &mut right }.row(Weight::Plain, cells.clone());
        }
        (left, right)
    }
}
