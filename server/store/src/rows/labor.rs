//! Labor rows.

use reckon::exact::{Hours, Percent, Pieces};
use reckon::money::{Money, UnitPrice};
use reckon::records::{LaborEntry, Loading, Pay, Task, ThinningMethod};

use crate::read::{Bad, count_or_none, given, ordinal_or_none, word, word_or_none};

record_row! {
    Labor, LaborEntry, "labor",
    place { block_id: Uuid, }
    fields {
        task: String,
        method: Option<String>,
        pass: Option<i64>,
        crew: String,
        people: Option<i64>,
        hours_micros: Option<i64>,
        hours_each_micros: Option<i64>,
        overtime_hours_micros: i64,
        overtime_multiplier_pct_micros: Option<i64>,
        pay: String,
        wage_micros: Option<i64>,
        pieces_micros: Option<i64>,
        piece_rate_micros: Option<i64>,
        contract_cents: Option<i64>,
        loading: String,
        loading_pct_micros: Option<i64>,
        trees_done: Option<i64>,
        rows_done: Option<i64>,
    }
}

impl From<&LaborEntry> for Fields {
    fn from(entry: &LaborEntry) -> Self {
        let (pay, wage, pieces, piece_rate, contract) = match entry.pay {
            Pay::Hourly(wage) => ("hour", wage.map(UnitPrice::micros), None, None, None),
            Pay::Piece { pieces, rate } => ("piece", None, Some(pieces.micros()), Some(rate.micros()), None),
            Pay::Contract(sum) => ("contract", None, None, None, Some(sum.cents())),
        };
        let (loading, loading_pct) = match entry.loading {
            Loading::FromRates => ("rates", None),
            Loading::Payroll(pct) => ("payroll", Some(pct.micros())),
            Loading::Commission(pct) => ("commission", Some(pct.micros())),
        };
        Self {
            day: entry.date,
            note: entry.note.clone(),
            task: entry.task.word().to_owned(),
            method: entry.method.map(|method| method.word().to_owned()),
            pass: entry.pass.map(i64::from),
            crew: entry.crew.clone(),
            people: entry.people.map(i64::from),
            hours_micros: entry.hours.map(Hours::micros),
            hours_each_micros: entry.hours_each.map(Hours::micros),
            overtime_hours_micros: entry.overtime_hours.micros(),
            overtime_multiplier_pct_micros: entry.overtime_multiplier.map(Percent::micros),
            pay: pay.to_owned(),
            wage_micros: wage,
            pieces_micros: pieces,
            piece_rate_micros: piece_rate,
            contract_cents: contract,
            loading: loading.to_owned(),
            loading_pct_micros: loading_pct,
            trees_done: entry.trees_done.map(i64::from),
            rows_done: entry.rows_done.map(i64::from),
        }
    }
}

impl TryFrom<Fields> for LaborEntry {
    type Error = Bad;

    fn try_from(row: Fields) -> Result<Self, Bad> {
        Ok(Self {
            date: row.day,
            task: word(&Task::ALL, Task::word, &row.task, "task")?,
            method: word_or_none(&ThinningMethod::ALL, ThinningMethod::word, row.method.as_deref(), "method")?,
            pass: ordinal_or_none(row.pass, "pass")?,
            people: count_or_none(row.people, "people")?,
            hours: row.hours_micros.map(Hours::from_micros),
            hours_each: row.hours_each_micros.map(Hours::from_micros),
            overtime_hours: Hours::from_micros(row.overtime_hours_micros),
            overtime_multiplier: row.overtime_multiplier_pct_micros.map(Percent::from_micros),
            pay: pay(&row)?,
            loading: loading(&row)?,
            trees_done: count_or_none(row.trees_done, "trees_done")?,
            rows_done: count_or_none(row.rows_done, "rows_done")?,
            crew: row.crew,
            note: row.note,
        })
    }
}

fn pay(row: &Fields) -> Result<Pay, Bad> {
    match row.pay.as_str() {
        "hour" => Ok(Pay::Hourly(row.wage_micros.map(UnitPrice::from_micros))),
        "piece" => Ok(Pay::Piece {
            pieces: Pieces::from_micros(given(row.pieces_micros, "pieces_micros")?),
            rate: UnitPrice::from_micros(given(row.piece_rate_micros, "piece_rate_micros")?),
        }),
        "contract" => Ok(Pay::Contract(Money::from_cents(given(row.contract_cents, "contract_cents")?))),
        _ => Err(Bad("pay")),
    }
}

fn loading(row: &Fields) -> Result<Loading, Bad> {
    let percent = || given(row.loading_pct_micros, "loading_pct_micros").map(Percent::from_micros);
    match row.loading.as_str() {
        "rates" => Ok(Loading::FromRates),
        "payroll" => percent().map(Loading::Payroll),
        "commission" => percent().map(Loading::Commission),
        _ => Err(Bad("loading")),
    }
}
