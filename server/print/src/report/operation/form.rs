//! Lines of the farm tax form, as suggested.

use reckon::schedule::{SALES, ScheduleF, Tie};
use reckon::season::Statement;

use super::super::flow::{Flow, SOFT_NOTE};
use super::super::table::{Cell, Column, Table, Weight};
use crate::figures;

pub(super) fn draw(flow: &mut Flow, form: &ScheduleF, statement: &Statement) {
    if form.lines.is_empty() && form.sales.is_zero() && form.to_choose.is_empty() {
        return;
    }
    let table = lines(form);
    let beginning = table.beginning(flow);
    flow.heading("Schedule F (Form 1040), lines as suggested", beginning + 24.0);
    flow.note(
        SOFT_NOTE,
        "Suggested only, after the form of 2021: the bookkeeper decides. Cents are kept; shared invoices stand here \
         with what blocks bear of them.",
    );
    flow.y += 3.0;
    table.draw(flow);
    tied(flow, &form.tie(statement));
}

/// From the form to the statement of the same blocks.
fn tied(flow: &mut Flow, tie: &Tie) {
    let mut table = Table::new(vec![Column::words("from the form to the statement", 200.0), Column::number("$")]);
    let steps = tie.steps();
    for (n, (what, amount)) in steps.iter().enumerate() {
        let last = n + 1 == steps.len();
        let weight = if last { Weight::Last } else { Weight::Plain };
        table.row(weight, vec![Cell::words(what), Cell::figure(figures::money(*amount))]);
        if !last {
            table.keep_with_next();
        }
    }
    flow.y += 8.0;
    table.draw_within(flow, flow.width() * 0.6);
}

fn lines(form: &ScheduleF) -> Table {
    let mut table = Table::new(vec![
        Column::words("line", 24.0),
        Column::words("name, and what is in it", 150.0),
        Column::number("of it\n$"),
        Column::number("line\n$"),
        Column::words("look at", 110.0),
    ]);
    let row = |line: &str, name: &str, part: String, whole: String, comment: &str| {
        vec![Cell::words(line), Cell::words(name), Cell::figure(part), Cell::figure(whole), Cell::soft(comment)]
    };
    let sales = figures::money(form.sales);
    table.row(
        Weight::Bold,
        row(SALES.number, SALES.name, String::new(), sales, "Gross, before what packers kept back."),
    );
    for line in &form.lines {
        let amount = figures::money(line.amount);
        table.row(Weight::Bold, row(line.line.number, line.line.name, String::new(), amount, ""));
        for (what, amount, comment) in &line.parts {
            table.keep_with_next();
            table.row(Weight::Plain, row("", what, figures::money(*amount), String::new(), comment));
        }
    }
    for (what, amount) in &form.to_choose {
        let comment = "Its words do not say which line: choose one.";
        table.row(Weight::Plain, row("?", what, figures::money(*amount), String::new(), comment));
    }
    for (what, amount, why) in &form.left_out {
        table.row(Weight::Plain, row("none", what, figures::money(*amount), String::new(), why));
    }
    table
}
