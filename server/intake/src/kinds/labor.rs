//! Crew days: hours, pieces and contract work.

use reckon::exact::{Exact, Hours};
use reckon::records::{LaborEntry, Loading, Pay, Task, ThinningMethod};
use rust_decimal::Decimal;

use crate::column::{BLOCK, Column, NOTE, choice, day, number, text, words};
use crate::kinds::Printed;
use crate::row::{DateRule, PERCENT, Row, above, from};

pub(super) const COLUMNS: &[Column] = &[
    day("date", "Day", "Day of the work."),
    BLOCK,
    choice("task", "Task", words!(Task), "What was done.", "thin").required(),
    choice(
        "method",
        "Method",
        words!(ThinningMethod),
        "How fruit was thinned. Blank = not thinning, or not said.",
        "by hand",
    ),
    number("pass", "Pass", "", "1 = first pass, 2 = second look. Blank = not said.", "1"),
    text("crew", "Crew", "Name of the crew or contractor. Blank = not said.", "North crew"),
    number("people", "People", "", "People in the crew. Blank = not counted.", "12"),
    number(
        "hours_each",
        "Hours, each",
        "h",
        "Hours of each person; times people gives all hours. Blank = all hours are given.",
        "8",
    ),
    number(
        "hours",
        "Hours, all people",
        "h",
        "Hours of all people together; they count where hours each was rounded. Blank = people times hours each.",
        "96",
    ),
    number(
        "overtime_hours",
        "Overtime hours",
        "h",
        "Those of the hours that were overtime. Pieces and a contract sum are paid it on what they average an hour. \
         Blank = none.",
        "4",
    ),
    number("overtime_multiplier_pct", "Overtime pay", "%", "Overtime pay in percent of the wage. Blank = 150.", "150"),
    choice("pay", "Paid by", PayWay::WORDS, "How it is paid. Blank = by what is filled, else by the hour.", "hour"),
    number(
        "wage_usd_per_hour",
        "Wage",
        "$/h",
        "Dollars an hour. Blank = the wage rate that holds on the day.",
        "17.50",
    ),
    number("pieces", "Pieces", "", "Pieces done, for pay by the piece.", "310"),
    number("piece_usd", "Piece rate", "$", "Dollars for each piece.", "1.85"),
    number("contract_usd", "Contract sum", "$", "Flat sum in dollars, for contract work.", "4800"),
    number(
        "payroll_pct",
        "Payroll costs",
        "%",
        "Payroll taxes and insurance in percent of pay. Blank = the rate that holds on the day, for work by the hour and \
         by the piece; none for contract work.",
        "11.5",
    ),
    number(
        "commission_pct",
        "Contractor's commission",
        "%",
        "A labor contractor's commission in percent of pay, instead of payroll costs. Blank = the rate that holds on the \
         day, for contract work; none for other work.",
        "30",
    ),
    number(
        "trees_done",
        "Trees done",
        "",
        "Trees done. Blank = those of the rows done, else all bearing trees of the block, marked assumed; a contract sum \
         that is little beside the other work is taken as paid on top of it. 0, of a contract sum without hours = a bonus \
         for no tree.",
        "620",
    ),
    number(
        "rows_done",
        "Rows done",
        "",
        "Rows done, where trees were not counted; the block's rows tell the trees. Blank = not counted.",
        "24",
    ),
    NOTE,
];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum PayWay {
    Hour,
    Piece,
    Contract,
}

impl PayWay {
    const ALL: [Self; 3] = [Self::Hour, Self::Piece, Self::Contract];
    const WORDS: &'static [&'static str] = words!(PayWay);

    const fn word(self) -> &'static str {
        match self {
            Self::Hour => "hour",
            Self::Piece => "piece",
            Self::Contract => "contract",
        }
    }

    const fn columns(self) -> &'static [&'static str] {
        match self {
            Self::Hour => &["wage_usd_per_hour"],
            Self::Piece => &["pieces", "piece_usd"],
            Self::Contract => &["contract_usd"],
        }
    }
}

pub(super) fn read(row: &mut Row<'_>) -> Option<LaborEntry> {
    let date = row.date("date", DateRule::InSeason);
    let task = row.choice("task", &Task::ALL, Task::word);
    let method = row.choice("method", &ThinningMethod::ALL, ThinningMethod::word);
    if let Some(other) = task.filter(|task| *task != Task::Thin) {
        row.refuse("method", &format!("the task is {}, and a method is one of thinning", other.word()));
    }
    let pass = row.small("pass", from(1.0).up_to(20.0));
    let people = row.whole("people", from(1.0).up_to(10_000.0));
    let (hours, hours_each) = hours(row, people);
    let overtime_hours = overtime(row, hours);
    let overtime_multiplier = row.exact("overtime_multiplier_pct", from(100.0).up_to(1_000.0));
    let pay = pay(row);
    let loading = loading(row);
    // Only money alone may be of no tree: a sum without hours, paid on top of other work.
    let alone = matches!(pay, Some(Pay::Contract(_))) && hours.is_none() && !row.has("rows_done");
    let trees_done = row.whole("trees_done", from(0.0).up_to(10_000_000.0));
    if trees_done == Some(0) && !alone {
        row.problem("trees_done", "a whole number from 1; 0 is for a contract sum without hours");
    }
    let rows_done = row.whole("rows_done", from(1.0).up_to(100_000.0));
    Some(LaborEntry {
        date: date?,
        task: task?,
        method,
        pass,
        crew: row.text("crew"),
        people,
        hours,
        hours_each,
        overtime_hours,
        overtime_multiplier,
        pay: pay?,
        loading,
        trees_done,
        rows_done,
        note: row.text("note"),
    })
}

/// All hours, as given or as people times hours each, and the hours each; where both are given they
/// must agree, but for what rounding the hours each took off.
fn hours(row: &mut Row<'_>, people: Option<u32>) -> (Option<Hours>, Option<Hours>) {
    let all: Option<Hours> = row.exact("hours", above(0.0).up_to(999_999.0));
    let each = row.decimal("hours_each", above(0.0).up_to(24.0));
    if row.has("hours_each") && !row.has("hours") {
        row.need("people", "the number of people too, as hours_each is filled and hours is not");
    }
    let product = people.zip(each).and_then(|(people, each)| times(people, each));
    if let (Some(all), Some(product)) = (all, product)
        && people.zip(each).is_some_and(|(people, each)| !agree(all, product, rounded_off(people, each)))
    {
        row.problem_like("hours", format!("people x hours_each, which is {product}"), &product.to_string());
    }
    at_most_a_day(row, all, people);
    (all.or(product), product.and(each.and_then(|each| Exact::new(each).ok())))
}

fn times(people: u32, each: Decimal) -> Option<Hours> {
    Exact::new(Decimal::from(people).checked_mul(each)?).ok()
}

/// Most that all people's hours can differ because each one's were written rounded: half a unit of the
/// last decimal for each. Whole hours are taken as they stand.
fn rounded_off(people: u32, each: Decimal) -> Decimal {
    let places = each.normalize().scale();
    let half = if places == 0 { Decimal::ZERO } else { Decimal::new(5, places + 1) };
    Decimal::from(people).checked_mul(half).unwrap_or_default()
}

fn agree(all: Hours, product: Hours, apart: Decimal) -> bool {
    all.decimal().checked_sub(product.decimal()).is_some_and(|between| between.abs() <= apart)
}

fn at_most_a_day(row: &mut Row<'_>, all: Option<Hours>, people: Option<u32>) {
    let most = people.map(|people| Exact::from_micros(i64::from(people) * 24_000_000));
    if let (Some(all), Some(most)) = (all, most)
        && all > most
    {
        row.problem_like("hours", format!("at most 24 hours for each of the people, {most} in all"), "");
    }
}

fn overtime(row: &mut Row<'_>, hours: Option<Hours>) -> Hours {
    let overtime: Option<Hours> = row.exact("overtime_hours", from(0.0).up_to(999_999.0));
    match (overtime, hours) {
        (Some(overtime), Some(hours)) if overtime > hours => {
            row.problem_like("overtime_hours", format!("at most the hours of all people ({hours})"), "");
        }
        (Some(overtime), None) if !overtime.is_zero() && !row.has("hours") && !row.has("hours_each") => {
            row.problem("hours", "the hours of all people, as overtime_hours is filled");
        }
        _ => {}
    }
    overtime.unwrap_or_default()
}

/// One way of pay: the one said, else the one whose columns are filled, else by the hour.
fn pay(row: &mut Row<'_>) -> Option<Pay> {
    let said = row.choice("pay", &PayWay::ALL, PayWay::word);
    if said.is_none() && row.has("pay") {
        return None;
    }
    let filled = PayWay::ALL.into_iter().find(|way| way.columns().iter().any(|name| row.has(name)));
    let way = said.or(filled).unwrap_or(PayWay::Hour);
    for other in PayWay::ALL.into_iter().filter(|other| *other != way) {
        for name in other.columns() {
            row.refuse(name, &because(said, way));
        }
    }
    match way {
        PayWay::Hour => Some(hourly(row)),
        PayWay::Piece => {
            row.need("pieces", "the number of pieces, as the entry is paid by the piece");
            row.need("piece_usd", "dollars for each piece, as the entry is paid by the piece");
            let pieces = row.exact("pieces", from(0.0).up_to(99_999_999.0));
            let rate = row.price("piece_usd");
            Some(Pay::Piece { pieces: pieces?, rate: rate? })
        }
        PayWay::Contract => {
            row.need("contract_usd", "the flat sum, as the entry is paid by contract");
            row.money("contract_usd", from(0.0)).map(Pay::Contract)
        }
    }
}

fn because(said: Option<PayWay>, way: PayWay) -> String {
    match said {
        Some(way) => format!("pay says {}", way.word()),
        None => format!("{} is filled and an entry is paid one way only", way.columns().join(" or ")),
    }
}

fn hourly(row: &mut Row<'_>) -> Pay {
    if !row.has("hours_each") {
        row.need("hours", "the hours of all people, or people and hours_each, as the entry is paid by the hour");
    }
    Pay::Hourly(row.price("wage_usd_per_hour"))
}

fn loading(row: &mut Row<'_>) -> Loading {
    let which = row.only_one(&["payroll_pct", "commission_pct"]);
    let payroll = row.exact("payroll_pct", PERCENT).map(Loading::Payroll);
    let commission = row.exact("commission_pct", PERCENT).map(Loading::Commission);
    which.and(payroll.or(commission)).unwrap_or_default()
}

/// People times hours each: what a blank cell of hours means.
fn product(entry: &LaborEntry) -> Option<Hours> {
    times(entry.people?, entry.hours_each?.decimal())
}

pub(super) fn print(entry: &LaborEntry) -> Vec<(&'static str, String)> {
    let printed = Printed::default()
        .put("date", entry.date)
        .put("task", entry.task.word())
        .maybe("method", entry.method.map(ThinningMethod::word))
        .maybe("pass", entry.pass)
        .text("crew", &entry.crew)
        .maybe("people", entry.people)
        .maybe("hours_each", entry.hours_each)
        .maybe("hours", entry.hours.filter(|hours| product(entry) != Some(*hours)))
        .maybe("overtime_hours", Some(entry.overtime_hours).filter(|hours| !hours.is_zero()))
        .maybe("overtime_multiplier_pct", entry.overtime_multiplier);
    let printed = match entry.pay {
        Pay::Hourly(wage) => printed.put("pay", PayWay::Hour.word()).maybe("wage_usd_per_hour", wage),
        Pay::Piece { pieces, rate } => {
            printed.put("pay", PayWay::Piece.word()).put("pieces", pieces).put("piece_usd", rate)
        }
        Pay::Contract(sum) => printed.put("pay", PayWay::Contract.word()).put("contract_usd", sum),
    };
    let printed = match entry.loading {
        Loading::FromRates => printed,
        Loading::Payroll(percent) => printed.put("payroll_pct", percent),
        Loading::Commission(percent) => printed.put("commission_pct", percent),
    };
    printed.maybe("trees_done", entry.trees_done).maybe("rows_done", entry.rows_done).text("note", &entry.note).done()
}
