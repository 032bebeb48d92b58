//! The form of the plan: text as typed until it is read.

use actix_web::{HttpRequest, web};
use reckon::estimate::Asked;

use super::view::View;
use crate::error::PageError;

/// One field of the form.
#[derive(Debug, Clone, Default)]
pub(super) struct Field {
    /// As typed.
    pub(super) typed: String,
    /// What is wrong with it: what was expected, with an example.
    pub(super) problem: Option<&'static str>,
    /// What stands in when it is left empty; empty where the records do not tell.
    pub(super) own: String,
}

/// The fields of the form.
#[derive(Debug, Clone, Default)]
pub struct Fields {
    /// Fruit set on a tree.
    pub(super) set: Field,
    /// Share to take off, percent.
    pub(super) removed: Field,
    /// Change of every price, percent.
    pub(super) price: Field,
}

/// What a field may hold.
struct Bounds {
    low: f64,
    high: f64,
    expected: &'static str,
}

const SET: Bounds =
    Bounds { low: 1.0, high: 100_000.0, expected: "Expected fruit on a tree from 1 to 100,000, like 1200." };
const REMOVED: Bounds = Bounds { low: 0.0, high: 100.0, expected: "Expected a share from 0 to 100, like 75." };
const PRICE: Bounds =
    Bounds { low: -90.0, high: 900.0, expected: "Expected a change from -90 to 900, like 10 or -10." };

impl Field {
    fn typed(text: &str, bounds: &Bounds) -> Self {
        let typed = text.trim().to_owned();
        let problem = (!typed.is_empty() && read(&typed, bounds).is_none()).then_some(bounds.expected);
        Self { typed, problem, own: String::new() }
    }

    /// What stands in when the field is left empty.
    pub(super) fn hint(&self) -> String {
        if self.own.is_empty() { String::new() } else { format!("left empty: {}", self.own) }
    }

    fn value(&self, bounds: &Bounds) -> Option<f64> {
        read(&self.typed, bounds)
    }
}

/// A plain number, thousands marked or not.
fn read(text: &str, bounds: &Bounds) -> Option<f64> {
    let plain: String = text.replace('\u{2212}', "-").chars().filter(|letter| *letter != ',').collect();
    plain.parse::<f64>().ok().filter(|value| (bounds.low..=bounds.high).contains(value))
}

impl Fields {
    /// From the address.
    ///
    /// # Errors
    /// Not found, for an address that is no query at all.
    pub fn read(req: &HttpRequest) -> Result<Self, PageError> {
        let pairs = web::Query::<Vec<(String, String)>>::from_query(req.query_string());
        Ok(Self::of(&pairs.map_err(|_| PageError::NotFound)?.into_inner()))
    }

    /// From names and texts; of a name given twice the last counts, others are left alone.
    pub(super) fn of(pairs: &[(String, String)]) -> Self {
        let mut fields = Self::default();
        for (name, text) in pairs {
            match name.as_str() {
                "set" => fields.set = Field::typed(text, &SET),
                "removed" => fields.removed = Field::typed(text, &REMOVED),
                "price" => fields.price = Field::typed(text, &PRICE),
                _ => {}
            }
        }
        fields
    }

    /// Whether a field could not be read.
    pub(super) const fn wrong(&self) -> bool {
        self.set.problem.is_some() || self.removed.problem.is_some() || self.price.problem.is_some()
    }

    /// What is asked; `None` while a field is wrong.
    pub(super) fn asked(&self) -> Option<Asked> {
        (!self.wrong()).then(|| Asked {
            set_per_tree: self.set.value(&SET),
            removed: self.removed.value(&REMOVED).map(|percent| percent / 100.0),
            price: self.price.value(&PRICE).map(|percent| percent / 100.0),
        })
    }

    /// With what stands in for empty fields.
    pub(super) fn with_own(mut self, view: Option<&View>) -> Self {
        if let Some(view) = view {
            self.set.own.clone_from(&view.own_set);
            self.removed.own.clone_from(&view.own_removed);
        }
        "0".clone_into(&mut self.price.own);
        self
    }
}
