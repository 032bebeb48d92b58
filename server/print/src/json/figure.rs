//! A figure as JSON: value, unit, evidence, number of records, the records.
//!
//! Money and prices are strings of plain digits, because a JSON number is read as a float.

use reckon::exact::{Exact, Unit};
use reckon::figure::{Figure, RecordRef};
use reckon::money::{Money, UnitPrice};
use reckon::units::Measure;
use serde_json::{Value, json};

use crate::words;

/// Writes figures, with or without naming their records.
#[derive(Debug, Clone, Copy)]
pub(super) struct Writer {
    /// Whether the records are named.
    pub(super) records: bool,
}

impl Writer {
    pub(super) fn money(self, figure: &Figure<Money>) -> Value {
        if figure.value.is_beyond() {
            return beyond(self.whole(figure, &Value::Null, "USD"));
        }
        self.whole(figure, &figure.value.to_string().into(), "USD")
    }

    pub(super) fn price<U: Unit>(self, figure: &Figure<UnitPrice<U>>) -> Value {
        let unit = format!("USD/{}", U::TEXT);
        if figure.value.is_beyond() {
            return beyond(self.whole(figure, &Value::Null, &unit));
        }
        self.whole(figure, &figure.value.to_string().into(), &unit)
    }

    pub(super) fn exact<U: Unit>(self, figure: &Figure<Exact<U>>) -> Value {
        self.whole(figure, &number(figure.value.as_f64()), U::TEXT)
    }

    pub(super) fn measure<M: Measure>(self, figure: &Figure<M>) -> Value {
        self.whole(figure, &number(figure.value.float()), M::UNIT)
    }

    /// A figure that may be missing: null then.
    pub(super) fn maybe<T>(self, figure: Option<&Figure<T>>, write: fn(Self, &Figure<T>) -> Value) -> Value {
        figure.map_or(Value::Null, |figure| write(self, figure))
    }

    /// Kind and place of each record: `labor line 12`.
    pub(super) fn names(records: &[RecordRef]) -> Value {
        records.iter().map(|record| Value::from(format!("{} {}", record.kind.word(), record.id))).collect()
    }

    fn whole<T>(self, figure: &Figure<T>, value: &Value, unit: &str) -> Value {
        let mut whole = json!({
            "value": value,
            "unit": unit,
            "evidence": figure.evidence.word(),
            "n": figure.n(),
        });
        if let Value::Object(map) = &mut whole {
            if let Some(lacking) = words::lacking(figure) {
                map.insert("incomplete".to_owned(), lacking.into());
            }
            if self.records {
                map.insert("records".to_owned(), Self::names(&figure.records));
            }
        }
        whole
    }
}

/// No value, and why: a sum beyond what can be added up is not one that lacks a record.
fn beyond(mut whole: Value) -> Value {
    if let Value::Object(map) = &mut whole {
        map.insert("incomplete".to_owned(), "too large to add up".into());
    }
    whole
}

/// A float; minus zero is zero.
pub(super) fn number(value: f64) -> Value {
    json!(value + 0.0)
}
