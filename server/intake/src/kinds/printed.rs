//! A record put back into columns.

use core::fmt::Display;

use crate::row::plain;

/// The filled columns of a record, in table order.
#[derive(Default)]
pub(crate) struct Printed(Vec<(&'static str, String)>);

impl Printed {
    pub(crate) fn put(mut self, name: &'static str, value: impl Display) -> Self {
        self.0.push((name, value.to_string()));
        self
    }

    pub(crate) fn maybe(self, name: &'static str, value: Option<impl Display>) -> Self {
        match value {
            Some(value) => self.put(name, value),
            None => self,
        }
    }

    /// A text, unless it is empty.
    pub(crate) fn text(self, name: &'static str, text: &str) -> Self {
        self.maybe(name, Some(text).filter(|text| !text.is_empty()))
    }

    pub(crate) fn float(self, name: &'static str, value: f64) -> Self {
        self.put(name, plain(value))
    }

    pub(crate) fn maybe_float(self, name: &'static str, value: Option<f64>) -> Self {
        self.maybe(name, value.map(plain))
    }

    pub(crate) fn done(self) -> Vec<(&'static str, String)> {
        self.0
    }
}
