//! From columns to reckon's types: each function names the column when its value makes no sense.

use sea_orm::entity::prelude::Uuid;

use crate::error::StoreError;

/// A column whose value makes no sense.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Bad(pub(crate) &'static str);

impl Bad {
    /// With the row it stands in.
    pub(crate) fn at(self, table: &'static str, id: Uuid) -> StoreError {
        StoreError::Corrupt { table, column: self.0, id }
    }
}

/// The value of a word from a fixed list.
pub(crate) fn word<T: Copy>(
    all: &[T],
    word: fn(T) -> &'static str,
    text: &str,
    column: &'static str,
) -> Result<T, Bad> {
    all.iter().copied().find(|value| word(*value) == text).ok_or(Bad(column))
}

/// The value of a word from a fixed list, where there is one.
pub(crate) fn word_or_none<T: Copy>(
    all: &[T],
    of: fn(T) -> &'static str,
    text: Option<&str>,
    column: &'static str,
) -> Result<Option<T>, Bad> {
    text.map(|text| word(all, of, text, column)).transpose()
}

/// A value that this kind of row must have.
pub(crate) fn given<T>(value: Option<T>, column: &'static str) -> Result<T, Bad> {
    value.ok_or(Bad(column))
}

/// A count.
pub(crate) fn count_or_none(value: Option<i64>, column: &'static str) -> Result<Option<u32>, Bad> {
    value.map(u32::try_from).transpose().map_err(|_| Bad(column))
}

/// A small ordinal: first pass, second pick.
pub(crate) fn ordinal_or_none(value: Option<i64>, column: &'static str) -> Result<Option<u8>, Bad> {
    value.map(u8::try_from).transpose().map_err(|_| Bad(column))
}

/// A bare number, finite.
pub(crate) fn number(value: f64, column: &'static str) -> Result<f64, Bad> {
    if value.is_finite() { Ok(value) } else { Err(Bad(column)) }
}

/// A bare number, finite, where there is one.
pub(crate) fn number_or_none(value: Option<f64>, column: &'static str) -> Result<Option<f64>, Bad> {
    value.map(|value| number(value, column)).transpose()
}

/// A physical quantity.
pub(crate) fn measure<T>(value: f64, new: fn(f64) -> Option<T>, column: &'static str) -> Result<T, Bad> {
    new(value).ok_or(Bad(column))
}

/// A physical quantity, where there is one.
pub(crate) fn measure_or_none<T>(
    value: Option<f64>,
    new: fn(f64) -> Option<T>,
    column: &'static str,
) -> Result<Option<T>, Bad> {
    value.map(|value| measure(value, new, column)).transpose()
}
