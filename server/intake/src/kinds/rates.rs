//! Wage, payroll, commission, water and interest rates.

use reckon::exact::{Exact, unit};
use reckon::money::UnitPrice;
use reckon::records::{Rate, RateKind, Task};

use crate::column::{Column, NOTE, choice, day, number, words};
use crate::kinds::Printed;
use crate::row::{DateRule, PERCENT, Row};

pub(super) const COLUMNS: &[Column] = &[
    day("from", "From", "First day the rate holds; it may be before the season."),
    choice("rate", "Rate", WORDS, "What the rate is for.", "wage").required(),
    choice("task", "Task", words!(Task), "Task a wage is for. Blank = every task without a wage of its own.", "thin"),
    number("usd_per_hour", "Dollars an hour", "$/h", "For a wage.", "17.50"),
    number(
        "pct",
        "Percent",
        "%",
        "Of pay, for payroll costs and a contractor's commission; a year, for interest.",
        "11.5",
    ),
    number("usd_per_acre_foot", "Dollars an acre-foot", "$/acre-ft", "For water.", "165"),
    NOTE,
];

const KINDS: [RateKind; 5] =
    [RateKind::Wage(None), RateKind::Payroll, RateKind::Commission, RateKind::Water, RateKind::Interest];
const WORDS: &[&str] = &[
    RateKind::Wage(None).word(),
    RateKind::Payroll.word(),
    RateKind::Commission.word(),
    RateKind::Water.word(),
    RateKind::Interest.word(),
];

pub(super) fn read(row: &mut Row<'_>) -> Option<Rate> {
    let from = row.date("from", DateRule::NotAfterSeason);
    let kind = row.choice("rate", &KINDS, RateKind::word);
    let task = row.choice("task", &Task::ALL, Task::word);
    let kind = match kind? {
        RateKind::Wage(_) => RateKind::Wage(task),
        other => {
            row.refuse("task", "only a wage is for a task");
            other
        }
    };
    let micros = micros(row, kind);
    Some(Rate { from: from?, kind, micros: micros?, note: row.text("note") })
}

/// The number, in the column that belongs to the kind; the others stay blank.
fn micros(row: &mut Row<'_>, kind: RateKind) -> Option<i64> {
    let own = column(kind);
    for other in ["usd_per_hour", "pct", "usd_per_acre_foot"].into_iter().filter(|other| *other != own) {
        row.refuse(other, &format!("a {} rate is given in {own}", kind.word()));
    }
    row.need(own, &format!("the number of a {} rate", kind.word()));
    if own == "pct" {
        return row.exact(own, PERCENT).map(Exact::<unit::Percent>::micros);
    }
    row.price(own).map(UnitPrice::<unit::Hour>::micros)
}

const fn column(kind: RateKind) -> &'static str {
    match kind {
        RateKind::Wage(_) => "usd_per_hour",
        RateKind::Payroll | RateKind::Commission | RateKind::Interest => "pct",
        RateKind::Water => "usd_per_acre_foot",
    }
}

pub(super) fn print(rate: &Rate) -> Vec<(&'static str, String)> {
    let task = match rate.kind {
        RateKind::Wage(task) => task,
        _ => None,
    };
    Printed::default()
        .put("from", rate.from)
        .put("rate", rate.kind.word())
        .maybe("task", task.map(Task::word))
        .put(column(rate.kind), Exact::<unit::Percent>::from_micros(rate.micros))
        .text("note", &rate.note)
        .done()
}
