//! Rows of wage, payroll, commission, water and interest rates, the whole operation's.

use reckon::records::{Rate, RateKind, Task};

use crate::read::{Bad, word_or_none};

record_row! {
    Rate, Rate, "rate",
    place { }
    fields { rate_kind: String, task: Option<String>, rate_micros: i64, }
}

impl From<&Rate> for Fields {
    fn from(rate: &Rate) -> Self {
        let task = match rate.kind {
            RateKind::Wage(task) => task,
            RateKind::Payroll | RateKind::Commission | RateKind::Water | RateKind::Interest => None,
        };
        Self {
            day: rate.from,
            note: rate.note.clone(),
            rate_kind: rate.kind.word().to_owned(),
            task: task.map(|task| task.word().to_owned()),
            rate_micros: rate.micros,
        }
    }
}

impl TryFrom<Fields> for Rate {
    type Error = Bad;

    fn try_from(row: Fields) -> Result<Self, Bad> {
        let kind = match row.rate_kind.as_str() {
            "wage" => RateKind::Wage(word_or_none(&Task::ALL, Task::word, row.task.as_deref(), "task")?),
            "payroll" => RateKind::Payroll,
            "commission" => RateKind::Commission,
            "water" => RateKind::Water,
            "interest" => RateKind::Interest,
            _ => return Err(Bad("rate_kind")),
        };
        Ok(Self { from: row.day, kind, micros: row.rate_micros, note: row.note })
    }
}
