//! Who changed what, newest first, with the values before and after.

use std::collections::BTreeMap;

use askama::Template;
use reckon::money::Money;
use rust_decimal::Decimal;
use serde_json::Value;
use store::{Change, Verb};

use crate::display;
use crate::extract::Reading;
use crate::pages::{Page, show};
use crate::shell::Shell;

/// Changes shown.
const MOST: u64 = 500;

/// Columns that say nothing to a person: they stand in the row's other places.
const NOT_SAID: [&str; 12] = [
    "id",
    "version",
    "operation_id",
    "block_id",
    "farm_id",
    "author_id",
    "kept_at",
    "file_id",
    "file_name",
    "file_line",
    "station",
    "row_print",
];

#[derive(Template)]
#[template(path = "changes/changes.html")]
struct Changes {
    shell: Shell,
    changes: Vec<Shown>,
}

/// A change as it is shown.
struct Shown {
    day: String,
    time: String,
    by: String,
    what: String,
    place: String,
    /// Column, before, after; empty text where there was or is none.
    values: Vec<(String, String, String)>,
}

/// GET /changes
pub async fn changes_page(reading: Reading, shell: Shell) -> Page {
    let changes = reading.desk().changes(MOST).await?.iter().map(shown).collect();
    show(&Changes { shell, changes })
}

fn shown(change: &Change) -> Shown {
    // The counts of a file brought in read better than a before and after.
    let file = change.verb == Verb::BroughtIn;
    let (before, after) = (columns(change.before.as_deref()), columns(change.after.as_deref()));
    let names: std::collections::BTreeSet<&String> = before.keys().chain(after.keys()).collect();
    let text = |values: &BTreeMap<String, String>, name: &String| values.get(name).cloned().unwrap_or_default();
    let value = |name: &String| (label(name), text(&before, name), text(&after, name));
    Shown {
        day: display::full_day(change.at.date_naive()),
        time: change.at.format("%H:%M UTC").to_string(),
        by: change.by.clone(),
        what: format!("{} {}", change.kind, change.verb.word()),
        place: change.place.clone(),
        values: names.into_iter().map(value).filter(|(_, before, after)| file || before != after).collect(),
    }
}

/// The filled columns of a row's JSON, in the words and units of the page.
fn columns(json: Option<&str>) -> BTreeMap<String, String> {
    let row: BTreeMap<String, Value> = json.and_then(|text| serde_json::from_str(text).ok()).unwrap_or_default();
    let said = row.into_iter().filter(|(name, _)| !NOT_SAID.contains(&name.as_str()));
    said.map(|(name, value)| (name.clone(), said_value(&name, &value))).filter(|(_, text)| !text.is_empty()).collect()
}

/// Money and exact quantities are kept as whole cents and millionths.
fn said_value(name: &str, value: &Value) -> String {
    let in_units = |units: i64| match name.rsplit('_').next() {
        Some("cents") => Some(Money::from_cents(units).to_string()),
        Some("micros") => Some(Decimal::new(units, 6).normalize().to_string()),
        _ => None,
    };
    match value {
        Value::Null => String::new(),
        Value::String(text) => text.clone(),
        Value::Number(number) => number.as_i64().and_then(in_units).unwrap_or_else(|| number.to_string()),
        Value::Bool(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        other => other.to_string(),
    }
}

fn label(column: &str) -> String {
    column.trim_end_matches("_micros").trim_end_matches("_cents").replace('_', " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_said_in_their_units() {
        let row =
            r#"{"id":"x","version":3,"wage_micros":19400000,"amount_cents":-1250,"trees_done":null,"note":"late"}"#;
        let said: Vec<(String, String)> = columns(Some(row)).into_iter().collect();
        let expected = [("amount_cents", "-12.50"), ("note", "late"), ("wage_micros", "19.4")];
        assert_eq!(said, expected.map(|(name, text)| (name.to_owned(), text.to_owned())));
        assert_eq!(label("amount_cents"), "amount");
        assert!(columns(None).is_empty());
        assert!(columns(Some("not json")).is_empty());
    }
}
