//! What a program sends, as JSON. Every value is text, as in a file: a number could be rounded before
//! it gets here, and `19.40` and `19.4` are one number but two texts.

use core::fmt;

use intake::Problem;
use serde::de::{Deserialize, Deserializer, IgnoredAny, MapAccess, SeqAccess, Visitor};
use store::Doubles;

use crate::pages::bring_in::doubles_of;

/// A request: records of one kind, and what is wished beyond the plain rule.
#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Asked {
    pub(super) records: Vec<Object>,
    #[serde(default)]
    doubles: Option<String>,
    /// Records, the first being 1, whose values are right although they are asked about.
    #[serde(default)]
    pub(super) sure: Vec<u32>,
}

/// A record as it was sent: its keys in their order, one that stands twice included.
#[derive(Debug)]
pub(super) struct Object(pub(super) Vec<(String, Cell)>);

/// A value as it was sent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Cell {
    Text(String),
    /// `null`: as if the key were not there.
    Blank,
    /// Something else, and the text that may have been meant.
    NoText {
        read: String,
        meant: String,
    },
}

impl Cell {
    /// The text of a row's cell.
    pub(super) fn text(&self) -> &str {
        if let Self::Text(text) = self { text } else { "" }
    }
}

impl Asked {
    /// # Errors
    /// A sentence that says where the text stops being such a request.
    pub(super) fn read(body: &[u8]) -> Result<Self, String> {
        serde_json::from_slice(body).map_err(|error| {
            let what = if error.is_data() { "JSON of another shape" } else { "no JSON" };
            format!(
                "What was sent could not be read: read {what} at line {}, column {}; expected {SHAPE}. Nothing was kept.",
                error.line(),
                error.column()
            )
        })
    }

    /// What to do with rows that look like records of the book; a word that is none is a problem.
    pub(super) fn doubles(&self) -> Result<Doubles, Problem> {
        let Some(word) = &self.doubles else { return Ok(Doubles::default()) };
        doubles_of(word)
            .ok_or_else(|| Problem::at(None, "doubles", word, "one of ask, leave-out, add".to_owned(), "leave-out"))
    }

    /// What is wrong before there are rows, each with its record.
    pub(super) fn problems(&self) -> Vec<(Option<usize>, Problem)> {
        let mut problems: Vec<_> = self.doubles().err().map(|problem| (None, problem)).into_iter().collect();
        if self.records.is_empty() {
            problems.push((None, Problem::at(None, "records", "", "at least one record".to_owned(), "")));
        }
        for (n, object) in (1..).zip(&self.records) {
            let of_record = |problem| (Some(n), problem);
            problems.extend(object.no_texts().map(of_record));
            if object.0.iter().all(|(_, cell)| cell.text().trim().is_empty()) && object.no_texts().next().is_none() {
                problems.push(of_record(Problem {
                    line: None,
                    column: None,
                    read: "a record without a value".to_owned(),
                    expected: "at least one".to_owned(),
                    example: String::new(),
                }));
            }
        }
        problems
    }
}

impl Object {
    fn no_texts(&self) -> impl Iterator<Item = Problem> {
        self.0.iter().filter_map(|(key, cell)| {
            let Cell::NoText { read, meant } = cell else { return None };
            let expected = "text in quotes: every value is text, so that no amount is rounded on its way".to_owned();
            Some(Problem::at(None, key, read, expected, meant))
        })
    }
}

/// What a request looks like, for sentences.
const SHAPE: &str = "{\"records\":[{\"date\":\"2026-05-14\", …}], \"doubles\":\"ask\", \"sure\":[1]}";

impl<'de> Deserialize<'de> for Object {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Pairs;
        impl<'de> Visitor<'de> for Pairs {
            type Value = Object;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a record")
            }

            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Object, A::Error> {
                let mut pairs = Vec::new();
                while let Some(pair) = map.next_entry()? {
                    pairs.push(pair);
                }
                Ok(Object(pairs))
            }
        }
        deserializer.deserialize_map(Pairs)
    }
}

/// The text that a number or a truth should have been.
fn no_text(value: impl fmt::Display) -> Cell {
    Cell::NoText { read: value.to_string(), meant: format!("\"{value}\"") }
}

impl<'de> Deserialize<'de> for Cell {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Value;
        impl<'de> Visitor<'de> for Value {
            type Value = Cell;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a value")
            }

            fn visit_str<E>(self, text: &str) -> Result<Cell, E> {
                Ok(Cell::Text(text.to_owned()))
            }

            fn visit_string<E>(self, text: String) -> Result<Cell, E> {
                Ok(Cell::Text(text))
            }

            fn visit_unit<E>(self) -> Result<Cell, E> {
                Ok(Cell::Blank)
            }

            fn visit_bool<E>(self, value: bool) -> Result<Cell, E> {
                Ok(no_text(value))
            }

            fn visit_i64<E>(self, value: i64) -> Result<Cell, E> {
                Ok(no_text(value))
            }

            fn visit_u64<E>(self, value: u64) -> Result<Cell, E> {
                Ok(no_text(value))
            }

            fn visit_f64<E>(self, value: f64) -> Result<Cell, E> {
                Ok(no_text(value))
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Cell, A::Error> {
                while list.next_element::<IgnoredAny>()?.is_some() {}
                Ok(Cell::NoText { read: "a list".to_owned(), meant: String::new() })
            }

            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Cell, A::Error> {
                while map.next_entry::<IgnoredAny, IgnoredAny>()?.is_some() {}
                Ok(Cell::NoText { read: "an object".to_owned(), meant: String::new() })
            }
        }
        deserializer.deserialize_any(Value)
    }
}
