//! The fields of a form, made from the columns of its kind.

use intake::{Column, Input, Problem};

use super::List;
use super::ask::Ask;
use super::offered::in_front;
use super::pieces::PIECES;
use crate::error::PageError;

/// How a field is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shape {
    /// One line; HTML's `type` and `inputmode`.
    Line(&'static str, &'static str),
    /// Several lines.
    Area,
    /// A few words to tap.
    Few,
    /// A list of words.
    Many,
}

/// One field as the template shows it.
#[derive(Debug, Clone)]
pub(crate) struct Field {
    pub(crate) name: &'static str,
    pub(crate) label: &'static str,
    pub(crate) hint: String,
    pub(crate) unit: &'static str,
    pub(crate) shape: Shape,
    pub(crate) options: Vec<String>,
    pub(crate) value: String,
    pub(crate) problem: Option<String>,
    pub(crate) required: bool,
}

/// The fields of a form: those in front, and those folded away until asked for.
#[derive(Debug, Clone, Default)]
pub(crate) struct Fields {
    pub(crate) front: Vec<Field>,
    pub(crate) more: Vec<Field>,
    /// Every problem once more, at the top: field to go to, and sentence.
    pub(crate) problems: Vec<(Option<&'static str>, String)>,
    /// What is to be confirmed.
    pub(crate) asked: Vec<Ask>,
}

impl Fields {
    /// The form with what was typed and what is wrong with it.
    pub(super) fn of(list: &List, typed: &[(String, String)], problems: &[Problem]) -> Self {
        let columns = list.columns();
        let mut fields = Self { problems: summary(&columns, problems), ..Self::default() };
        for column in &columns {
            let field = Field::of(column, &columns, options(list, column), typed, problems);
            if stands_in_front(list, &field) { fields.front.push(field) } else { fields.more.push(field) }
        }
        fields
    }

    /// The form with what was typed, and why it was not kept.
    pub(super) fn refused(list: &List, typed: &[(String, String)], why: &PageError) -> Self {
        Self { problems: vec![(None, why.to_string())], ..Self::of(list, typed, &[]) }
    }
}

/// What is required, filled, wrong or usual is in sight.
fn stands_in_front(list: &List, field: &Field) -> bool {
    let names = in_front(list.at.kind);
    let usual = names.is_none_or(|names| names.contains(&field.name)) || (!list.money && field.name == PIECES);
    usual || field.required || field.name == "note" || !field.value.is_empty() || field.problem.is_some()
}

impl Field {
    /// A column with its words to choose from, what was typed in it, and what is wrong with that. `all`
    /// are the columns of the form.
    pub(crate) fn of(
        column: &Column,
        all: &[Column],
        options: Vec<String>,
        typed: &[(String, String)],
        problems: &[Problem],
    ) -> Self {
        let value = typed.iter().find(|(name, _)| name == column.name).map(|(_, text)| text.clone());
        let value = value.unwrap_or_default();
        Self {
            name: column.name,
            label: column.label,
            hint: labelled(all, column.about),
            unit: unit_of(column),
            shape: shape(column, &options, &value),
            options,
            value,
            problem: problems
                .iter()
                .find(|problem| problem.column.as_deref() == Some(column.name))
                .map(|problem| sentence(all, problem)),
            required: column.required,
        }
    }
}

/// The unit beside a label; empty where there is none or the label says it ("Acres", "Rain in inches").
pub(crate) fn unit_of(column: &Column) -> &'static str {
    const WORDS: [(&str, &str); 10] = [
        ("acre", "acre"),
        ("acres", "acre"),
        ("in", "inch"),
        ("mm", "millimet"),
        ("°F", "fahrenheit"),
        ("°C", "celsius"),
        ("ft", "feet"),
        ("m", "metres"),
        ("h", "hours"),
        ("mph", "miles"),
    ];
    let Input::Number { unit } = column.input else { return "" };
    let label = column.label.to_lowercase();
    let in_words = WORDS.iter().any(|(known, word)| *known == unit && label.contains(word));
    let itself = label.split(' ').any(|word| word == unit);
    if in_words || itself || label.contains("metres a second") { "" } else { unit }
}

/// Words to choose from; farms and stations are those of the book.
fn options(list: &List, column: &Column) -> Vec<String> {
    match column.name {
        "farm" => list.places.farms().map(str::to_owned).collect(),
        "station" => list.places.stations().map(str::to_owned).collect(),
        _ => words(column),
    }
}

/// The words of the column itself.
pub(crate) fn words(column: &Column) -> Vec<String> {
    match column.input {
        Input::Choice(words) => words.iter().map(|word| (*word).to_owned()).collect(),
        _ => Vec::new(),
    }
}

fn shape(column: &Column, options: &[String], value: &str) -> Shape {
    match column.input {
        _ if !options.is_empty() && column.required && options.len() <= 6 => Shape::Few,
        _ if !options.is_empty() => Shape::Many,
        Input::LongText => Shape::Area,
        // A browser's date field would swallow a day that is not written year-month-day.
        Input::Date if value.is_empty() || is_iso(value) => Shape::Line("date", "text"),
        Input::Number { .. } if !may_be_negative(column.name) => Shape::Line("text", "decimal"),
        _ => Shape::Line("text", "text"),
    }
}

fn is_iso(text: &str) -> bool {
    chrono::NaiveDate::parse_from_str(text, "%Y-%m-%d").is_ok_and(|day| day.to_string() == text)
}

/// The number pad of some phones has no minus.
fn may_be_negative(column: &str) -> bool {
    ["amount_usd", "adjustment_usd", "lump_charge_usd", "latitude_deg", "elevation_ft", "elevation_m"].contains(&column)
        || ["tmax", "tmin", "dew_point"].iter().any(|start| column.starts_with(start))
}

/// A problem as it stands at its field: what was read, what was expected, an example.
pub(super) fn sentence(columns: &[Column], problem: &Problem) -> String {
    let read = match problem.read.as_str() {
        "" => "Nothing was read here".to_owned(),
        read => format!("Read \"{read}\""),
    };
    let example = match problem.example.as_str() {
        "" => String::new(),
        // What a file calls a blank cell.
        "a blank cell" => "; leave it empty".to_owned(),
        example => format!(", for example {example}"),
    };
    format!("{read}; expected {}{example}.", labelled(columns, &problem.expected))
}

/// A sentence that names columns as a file does, with the labels of a form instead. A name of one plain
/// word ("hours") is one only where the sentence says something of the column.
fn labelled(columns: &[Column], sentence: &str) -> String {
    let is_word = |sign: char| sign.is_ascii_alphanumeric() || sign == '_';
    let mut out = String::with_capacity(sentence.len());
    let mut rest = sentence;
    while let Some(first) = rest.chars().next() {
        let end = if is_word(first) { rest.find(|sign| !is_word(sign)) } else { rest.find(is_word) };
        let (word, after) = rest.split_at(end.unwrap_or(rest.len()));
        let said_of = [" is filled", " is not", " x "].iter().any(|said| after.starts_with(said));
        let column = columns.iter().find(|column| column.name == word && (word.contains('_') || said_of));
        match column {
            Some(column) => out.extend(["\u{201c}", column.label, "\u{201d}"]),
            None => out.push_str(word),
        }
        rest = after;
    }
    out
}

/// The problems of a form made of other parts, as the list at its top shows them.
pub(crate) struct Wrong {
    pub(crate) problems: Vec<(Option<&'static str>, String)>,
}

impl Wrong {
    pub(crate) fn of(columns: &[Column], problems: &[Problem]) -> Self {
        Self { problems: summary(columns, problems) }
    }
}

fn summary(columns: &[Column], problems: &[Problem]) -> Vec<(Option<&'static str>, String)> {
    let named = |problem: &Problem| {
        let column = columns.iter().find(|column| problem.column.as_deref() == Some(column.name));
        let text = sentence(columns, problem);
        match column {
            Some(column) => (Some(column.name), format!("{}: {text}", column.label)),
            None => (None, text),
        }
    };
    problems.iter().map(named).collect()
}

#[cfg(test)]
mod tests {
    use intake::{FileKind, columns};
    use reckon::figure::RecordKind;

    use super::*;

    #[test]
    fn a_form_names_its_fields_by_their_labels() {
        let said = |kind, sentence: &str| labelled(&columns(FileKind::Records(kind)), sentence);
        let labor = "the number of people too, as hours_each is filled and hours is not";
        assert_eq!(
            said(RecordKind::Labor, labor),
            "the number of people too, as “Hours, each” is filled and “Hours, all people” is not"
        );
        assert_eq!(
            said(RecordKind::Labor, "people x hours_each, which is 60"),
            "“People” x “Hours, each”, which is 60"
        );
        let meter = "at least meter_start (500), or meter_rolls_at filled";
        assert_eq!(
            said(RecordKind::Irrigation, meter),
            "at least “Meter before” (500), or “Meter rolls over at” filled"
        );
        // A word that is part of another is left alone, and so is what is no column.
        assert_eq!(said(RecordKind::Labor, "hours_eachs é"), "hours_eachs é");
        let problem = Problem::at(None, "meter_unit", "gal", "nothing here, as it is".to_owned(), "a blank cell");
        assert_eq!(sentence(&[], &problem), "Read \"gal\"; expected nothing here, as it is; leave it empty.");
    }

    /// Every hint of every form, and every field of it, is free of a file's names.
    #[test]
    fn no_hint_names_a_column() {
        for kind in FileKind::all() {
            let all = columns(kind);
            for column in &all {
                let hint = Field::of(column, &all, Vec::new(), &[], &[]).hint;
                let named = all.iter().find(|other| other.name.contains('_') && hint.contains(other.name));
                assert_eq!(named.map(|other| other.name), None, "{}: {hint}", column.name);
            }
        }
    }

    #[test]
    fn a_unit_is_said_once() {
        let of = |kind, name: &str| {
            let columns = columns(kind);
            unit_of(columns.iter().find(|column| column.name == name).unwrap())
        };
        let weather = FileKind::Records(RecordKind::Weather);
        assert_eq!(of(FileKind::Blocks, "acres"), "", "the label is Acres");
        assert_eq!([of(weather, "tmax_f"), of(weather, "rain_in"), of(weather, "wind_mph")], ["", "", ""]);
        assert_eq!([of(weather, "solar_mj_m2"), of(weather, "rh_max_pct")], ["MJ/m²", "%"]);
        assert_eq!(of(FileKind::Records(RecordKind::Packout), "boxes"), "");
        assert_eq!(of(FileKind::Records(RecordKind::Labor), "wage_usd_per_hour"), "$/h");
    }
}
