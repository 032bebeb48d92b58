//! Rows that the spreadsheet of a block and that of an operation have in common.

use chrono::NaiveDate;
use reckon::break_even::BreakEven;
use reckon::figure::Gap;
use reckon::operation_season::CostLine;
use reckon::season::{LaborMeasure, LaborSeason, LineRole, PackoutCell, PackoutWeek, StatementLine};

use super::table::{Sheet, Value};
use crate::words;

/// Two columns that follow a figure.
pub(super) const KNOWN: [(&str, f64); 2] = [("How known", 16.0), ("Records", 9.0)];

/// Columns followed by [`KNOWN`].
pub(super) fn with_known<'c>(columns: &[(&'c str, f64)]) -> Vec<(&'c str, f64)> {
    columns.iter().chain(&KNOWN).copied().collect()
}

/// A line of a statement: amounts of the parts, then of the whole.
pub(super) fn statement_line(sheet: &mut Sheet, line: &StatementLine, parts: Vec<Value>) {
    let mut cells = vec![Value::text(line.key.label())];
    cells.extend(parts);
    cells.extend([
        Value::Money(line.amount.value),
        Value::price(line.per_acre),
        Value::price(line.per_tree),
        Value::price(line.per_box),
        Value::price(line.per_pound),
    ]);
    cells.extend(Value::known(Some(&line.amount)));
    if line.role == LineRole::Item { sheet.row(cells) } else { sheet.sum(cells) }
}

/// Columns of [`labor`].
pub(super) const LABOR: [(&str, f64); 11] = [
    ("Work", 26.0),
    ("Pass and method", 26.0),
    ("First day", 12.0),
    ("Last day", 12.0),
    ("Hours", 11.0),
    ("Of these overtime", 11.0),
    ("Cost, $", 14.0),
    ("Trees", 10.0),
    ("$ a tree", 12.0),
    ("Hours a tree", 12.0),
    ("$ an acre", 12.0),
];

/// Labor by task, then thinning by pass and method; `before` stands before each row.
pub(super) fn labor(sheet: &mut Sheet, season: &LaborSeason, before: &[Value]) {
    let row = |work: &str, pass: &str, days: Option<(NaiveDate, NaiveDate)>, labor: &LaborMeasure| {
        let mut cells = before.to_vec();
        cells.extend(labor_cells(work, pass, days, labor));
        cells
    };
    for task in &season.tasks {
        sheet.row(row(words::task(task.task), "", None, &task.measure));
    }
    if season.entries > 0 {
        sheet.sum(row("All labor", "", None, &season.all));
    }
    for pass in &season.passes {
        let name = words::pass_and_method(pass.pass, pass.method);
        sheet.row(row("of it thinning", &name, Some(pass.days), &pass.measure));
    }
    if let Some(thinning) = &season.thinning {
        sheet.sum(row("All thinning", "", None, thinning));
    }
}

fn labor_cells(work: &str, pass: &str, days: Option<(NaiveDate, NaiveDate)>, labor: &LaborMeasure) -> Vec<Value> {
    let day = |day: Option<NaiveDate>| day.map_or(Value::Blank, Value::Day);
    let mut cells = vec![
        Value::text(work),
        Value::text(pass),
        day(days.map(|days| days.0)),
        day(days.map(|days| days.1)),
        Value::exact_of(labor.hours.as_ref()),
        Value::exact_of(labor.overtime.as_ref()),
        Value::Money(labor.cost.value),
        Value::measure_of(labor.trees.as_ref()),
        Value::price_of(labor.cost_per_tree.as_ref()),
        Value::measure_of(labor.hours_per_tree.as_ref()),
        Value::price_of(labor.cost_per_acre.as_ref()),
    ];
    cells.extend(Value::known(Some(&labor.known())));
    cells
}

/// Columns of [`fruit`].
pub(super) const FRUIT: [(&str, f64); 10] = [
    ("Size class", 14.0),
    ("Grade", 14.0),
    ("Boxes", 11.0),
    ("Weight, lb", 12.0),
    ("Share, %", 9.0),
    ("Net to grower, $", 15.0),
    ("$ a box", 12.0),
    ("$ a lb", 12.0),
    ("Over class below, $ a box", 14.0),
    ("Over class below, $ a lb", 14.0),
];

/// Name of the sheet of own sizes by what they stand for.
pub(super) const PUBLISHED: &str = "By published size";

/// Fruit of one size class and grade, or of one of the two.
pub(super) fn fruit(cell: &PackoutCell) -> Vec<Value> {
    let mut cells = vec![
        Value::text(cell.size_class.as_deref().unwrap_or("All sizes")),
        Value::text(cell.grade.as_deref().unwrap_or("All grades")),
        Value::exact(Some(cell.boxes.value)),
        Value::exact_of(cell.weight.as_ref()),
        Value::measure(cell.share.value),
        Value::money(cell.net.as_ref()),
        Value::price_of(cell.net_per_box.as_ref()),
        Value::price_of(cell.net_per_pound.as_ref()),
        Value::price_of(cell.premium_per_box.as_ref()),
        Value::price_of(cell.premium_per_pound.as_ref()),
    ];
    cells.extend(Value::known(cell.net.as_ref()));
    cells
}

/// Columns of [`week`].
pub(super) const WEEKS: [(&str, f64); 6] = [
    ("Packed in the week of", 14.0),
    ("Boxes", 11.0),
    ("Weight, lb", 12.0),
    ("Net to grower, $", 15.0),
    ("$ a box", 12.0),
    ("$ a lb", 12.0),
];

/// Fruit packed in one week.
pub(super) fn week(week: &PackoutWeek) -> Vec<Value> {
    let mut cells = vec![
        Value::Day(week.starts),
        Value::exact(Some(week.boxes.value)),
        Value::exact_of(week.weight.as_ref()),
        Value::money(week.net.as_ref()),
        Value::price_of(week.net_per_box.as_ref()),
        Value::price_of(week.net_per_pound.as_ref()),
    ];
    cells.extend(Value::known(week.net.as_ref()));
    cells
}

/// Columns of [`cost`].
pub(super) const COSTS: [(&str, f64); 9] = [
    ("Day", 12.0),
    ("Paid to", 24.0),
    ("For", 26.0),
    ("Group", 18.0),
    ("Invoice, $", 14.0),
    ("Of it here, $", 14.0),
    ("Shared by", 11.0),
    ("Lasts, seasons", 10.0),
    ("Note", 40.0),
];

/// A block's part of one cost.
pub(super) fn cost(line: &CostLine) -> Vec<Value> {
    let cost = &line.cost;
    vec![
        Value::Day(cost.date),
        Value::text(&cost.payee),
        Value::text(&cost.category),
        Value::text(cost.group.word()),
        Value::Money(cost.amount),
        Value::Money(line.amount),
        if line.shared { Value::text(cost.basis.word()) } else { Value::Blank },
        cost.lasting.map_or(Value::Blank, |lasting| Value::Number(lasting.life_years.into(), 0)),
        Value::text(&cost.note),
    ]
}

/// Columns of [`break_even`].
pub(super) const BREAK_EVEN: [(&str, f64); 6] = [
    ("Break-even over", 20.0),
    ("Costs, $", 14.0),
    ("Sold by", 9.0),
    ("Gross price, $", 13.0),
    ("Yield of the block", 14.0),
    ("Yield an acre", 13.0),
];

/// Break-even at one level of costs.
pub(super) fn break_even(level: &BreakEven) -> Vec<Value> {
    let mut cells = vec![
        Value::text(level.level.label()),
        Value::Money(level.cost.value),
        Value::text(level.unit.word()),
        Value::price_of(level.price.as_ref()),
        Value::exact_of(level.quantity.as_ref()),
        Value::exact_of(level.quantity_per_acre.as_ref()),
    ];
    cells.extend(Value::known(Some(&level.cost)));
    cells
}

/// Columns of [`gap`].
pub(super) const GAPS: [(&str, f64); 5] =
    [("About", 12.0), ("Weight", 13.0), ("What", 70.0), ("How to mend it", 60.0), ("Records", 9.0)];

/// What is missing.
pub(super) fn gap(gap: &Gap) -> Vec<Value> {
    vec![
        Value::text(&words::about(gap.about).to_lowercase()),
        Value::text(words::weight(gap.weight)),
        Value::text(&gap.what),
        Value::text(&gap.mend),
        Value::count(gap.records.len()),
    ]
}

/// What the file is, and how to read it.
pub(super) fn about(rows: Vec<(&str, Value)>) -> Sheet {
    const READ: [(&str, &str); 4] = [
        ("Amounts", "US dollars to the cent. Costs are below zero. No cell is a formula; sums are the book's own."),
        ("Prices", "Dollars for each, kept to six places; the format shows as many as are needed."),
        ("How known", "metered, counted, invoiced, modelled, assumed: a figure made of several carries the weakest."),
        ("Records", "How many records a figure rests on."),
    ];
    let mut sheet = Sheet::new("About", &[("", 24.0), ("", 90.0)]);
    for (name, value) in rows {
        sheet.row(vec![Value::text(name), value]);
    }
    for (name, told) in READ {
        sheet.row(vec![Value::text(name), Value::text(told)]);
    }
    sheet
}
