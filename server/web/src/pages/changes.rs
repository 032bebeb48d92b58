//! Who changed what, newest first, with the values before and after.

use std::collections::{BTreeMap, BTreeSet};

use askama::Template;
use intake::{Column, FileKind, columns};
use print::figures;
use reckon::money::Money;
use reckon::records::Shares;
use reckon::water::setup::by_name;
use rust_decimal::Decimal;
use serde_json::Value;
use store::{Change, Verb};

use crate::display;
use crate::extract::Reading;
use crate::moment::Moment;
use crate::pages::block::soil;
use crate::pages::records::shares;
use crate::pages::{Page, show};
use crate::place::Places;
use crate::shell::Shell;

/// Changes shown.
const MOST: u64 = 500;

/// Columns that say nothing to a person: they stand in the row's other places.
const NOT_SAID: [&str; 15] = [
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
    "code_folded",
    "name_folded",
    "joined_season",
];

#[derive(Template)]
#[template(path = "changes/changes.html")]
struct Changes {
    shell: Shell,
    changes: Vec<Shown>,
}

/// A change as it is shown.
struct Shown {
    at: Moment,
    by: String,
    what: String,
    place: String,
    /// Label, before, after; empty text where there was or is none.
    values: Vec<(String, String, String)>,
}

/// GET /changes
pub async fn changes_page(reading: Reading, shell: Shell) -> Page {
    let settings = columns(FileKind::Blocks);
    let desk = reading.desk();
    let mut changes = desk.changes(MOST).await?;
    if !reading.scope().sees_all() {
        let places = Places::of(&desk).await?;
        for change in &mut changes {
            change.before = change.before.take().map(|row| without_hidden_shares(&places, row));
            change.after = change.after.take().map(|row| without_hidden_shares(&places, row));
        }
    }
    let changes = changes.iter().map(|change| shown(&shell, &settings, change)).collect();
    show(&Changes { shell, changes })
}

/// A row in which the shares of a cost name no block that the person does not see.
fn without_hidden_shares(places: &Places, row: String) -> String {
    let Ok(Value::Object(mut values)) = serde_json::from_str(&row) else { return row };
    let Some(Value::String(text)) = values.get_mut("shares") else { return row };
    // A text that is no list of shares is not shown: it could name a block all the same.
    *text = Shares::parse(text).map_or_else(String::new, |all| shares::seen(&all, |code| places.knows_block(code)));
    Value::Object(values).to_string()
}

fn shown(shell: &Shell, settings: &[Column], change: &Change) -> Shown {
    // The counts of a file brought in read better than a before and after.
    let file = change.verb == Verb::BroughtIn;
    let (before, after) = (said(settings, change.before.as_deref()), said(settings, change.after.as_deref()));
    let names: BTreeSet<&String> = before.keys().chain(after.keys()).collect();
    let text = |values: &BTreeMap<String, String>, name: &String| values.get(name).cloned().unwrap_or_default();
    let value = |name: &String| (name.clone(), text(&before, name), text(&after, name));
    Shown {
        at: shell.moment(change.at),
        by: change.by.clone(),
        what: format!("{} {}", change.kind, change.verb.word()),
        place: change.place.clone(),
        values: names.into_iter().map(value).filter(|(_, before, after)| file || before != after).collect(),
    }
}

/// The filled columns of a row's JSON, in the words and units of the page.
fn said(settings: &[Column], json: Option<&str>) -> BTreeMap<String, String> {
    let row: BTreeMap<String, Value> = json.and_then(|text| serde_json::from_str(text).ok()).unwrap_or_default();
    let mut said = BTreeMap::new();
    for (name, value) in row.iter().filter(|(name, _)| !NOT_SAID.contains(&name.as_str())) {
        match value {
            Value::Object(values) if name == "settings" => {
                said.extend(values.iter().filter_map(|(name, value)| setting(settings, name, value)));
            }
            _ => {
                said.insert(label(name), said_value(name, value));
            }
        }
    }
    said.retain(|_, text| !text.is_empty());
    said
}

/// A setting of the water balance, as the block's page says it: "Root depth", "3.9 ft".
fn setting(settings: &[Column], name: &str, value: &Value) -> Option<(String, String)> {
    let set = soil::set(settings, by_name(name)?, value.as_f64()?);
    Some((set.label.to_owned(), if set.unit.is_empty() { set.value } else { format!("{} {}", set.value, set.unit) }))
}

/// Money and exact quantities are kept as whole cents and millionths, a day of the year as month x
/// 100 + day.
fn said_value(name: &str, value: &Value) -> String {
    let whole = |units: i64| match name.rsplit('_').next() {
        Some("cents") => Some(figures::dollars(&figures::money(Money::from_cents(units)))),
        Some("micros") => Some(Decimal::new(units, 6).normalize().to_string()),
        _ => None,
    };
    let day = || value.as_f64().filter(|_| name.starts_with("ripening_")).and_then(soil::day_of_year);
    match value {
        Value::Null => String::new(),
        Value::String(text) => date(text).unwrap_or_else(|| text.clone()),
        Value::Number(number) => number.as_i64().and_then(whole).or_else(day).unwrap_or_else(|| number.to_string()),
        Value::Bool(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        other => other.to_string(),
    }
}

/// A day as a day: "14 May 2026".
fn date(text: &str) -> Option<String> {
    text.parse().ok().filter(|_| text.len() == 10).map(display::full_day)
}

fn label(column: &str) -> String {
    column.trim_end_matches("_micros").trim_end_matches("_cents").replace('_', " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn values(row: &str) -> Vec<(String, String)> {
        said(&columns(FileKind::Blocks), Some(row)).into_iter().collect()
    }

    #[test]
    fn values_are_said_in_their_units() {
        let row = r#"{"id":"x","version":3,"wage_micros":19400000,"amount_cents":-1250,"trees_done":null,"day":"2026-05-14"}"#;
        let expected = [
            ("amount", "\u{2212}$12.50".to_owned()),
            ("day", display::full_day("2026-05-14".parse().unwrap())),
            ("wage", "19.4".to_owned()),
        ];
        assert_eq!(values(row), expected.map(|(name, text)| (name.to_owned(), text)));
        assert!(said(&[], None).is_empty());
        assert!(values("not json").is_empty());
    }

    #[test]
    fn settings_and_days_of_the_year_read_as_on_the_block() {
        let row = r#"{"ripening_from":922,"settings":{"root_depth_m":1.2,"rule_first_month_day":420.0}}"#;
        let said = values(row);
        let text = |label: &str| said.iter().find(|(name, _)| name == label).map(|(_, text)| text.as_str());
        assert_eq!(text("Root depth"), Some("3.9 ft"));
        for (label, day) in [("ripening from", "22"), ("Rule: first day", "20")] {
            assert!(text(label).is_some_and(|text| text.contains(day) && !text.contains("922")), "{said:?}");
        }
    }
}
