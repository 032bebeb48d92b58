//! The shapes of requests and answers, as JSON Schema.

use intake::{Column, FileKind, Input, columns};
use reckon::figure::RecordKind;
use serde_json::{Map, Value, json};

pub(super) const KEPT: &str = "kept";
pub(super) const ERROR: &str = "error";
pub(super) const REFUSED: &str = "refused";
pub(super) const SEASON: &str = "season";

/// Every shape by its name: two for each kind of record, and those of the answers.
pub(super) fn all() -> Value {
    let mut all = Map::new();
    for kind in RecordKind::ALL {
        all.insert(name(kind), record(kind));
        all.insert(request_name(kind), request(kind));
    }
    for (name, shape) in [(KEPT, kept()), (ERROR, error()), (REFUSED, refused()), (SEASON, season())] {
        all.insert(name.to_owned(), shape);
    }
    Value::Object(all)
}

pub(super) fn reference(name: &str) -> Value {
    json!({ "$ref": format!("#/components/schemas/{name}") })
}

fn name(kind: RecordKind) -> String {
    format!("record.{}", kind.word().replace(' ', "_"))
}

pub(super) fn request_name(kind: RecordKind) -> String {
    format!("request.{}", kind.word().replace(' ', "_"))
}

/// One record: its columns, each a text.
fn record(kind: RecordKind) -> Value {
    let columns = columns(FileKind::Records(kind));
    let required: Vec<&str> = columns.iter().filter(|column| column.required).map(|column| column.name).collect();
    let properties: Map<String, Value> = columns.iter().map(|column| (column.name.to_owned(), cell(column))).collect();
    json!({
        "type": "object",
        "description": "A missing key, null and an empty text are a blank cell.",
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    })
}

fn cell(column: &Column) -> Value {
    let mut cell = Map::new();
    cell.insert("title".to_owned(), column.label.into());
    cell.insert("description".to_owned(), about(column).into());
    if !column.example.is_empty() {
        cell.insert("examples".to_owned(), json!([column.example]));
    }
    if column.required {
        cell.insert("type".to_owned(), "string".into());
        cell.insert("minLength".to_owned(), 1.into());
    } else {
        cell.insert("type".to_owned(), json!(["string", "null"]));
    }
    Value::Object(cell)
}

/// What the column holds, its unit or words among it. The words are no `enum`: capitals do not matter in them.
fn about(column: &Column) -> String {
    match column.input {
        Input::Number { unit } if !unit.is_empty() => format!("{} A number of {unit}.", column.about),
        Input::Number { .. } => format!("{} A number.", column.about),
        Input::Date => format!("{} A day as year-month-day.", column.about),
        Input::MonthDay => format!("{} A day of any year as month-day.", column.about),
        Input::Choice(words) => format!("{} One of: {}.", column.about, words.join(", ")),
        Input::Text | Input::LongText => column.about.to_owned(),
    }
}

fn request(kind: RecordKind) -> Value {
    json!({
        "type": "object",
        "properties": {
            "records": { "type": "array", "minItems": 1, "items": reference(&name(kind)) },
            "doubles": {
                "type": "string",
                "enum": ["ask", "leave-out", "add"],
                "default": "ask",
                "description": "What is done with records that look like ones in the book, or like another one of the request.",
            },
            "sure": {
                "type": "array",
                "items": { "type": "integer", "minimum": 1 },
                "description": "Numbers of the records, the first being 1, whose odd values a person has confirmed.",
            },
        },
        "required": ["records"],
        "additionalProperties": false,
    })
}

fn object(properties: &Value) -> Value {
    let required: Vec<&String> = properties.as_object().into_iter().flat_map(Map::keys).collect();
    json!({ "type": "object", "properties": properties, "required": required })
}

fn kept() -> Value {
    let count = |about: &str| json!({ "type": "integer", "minimum": 0, "description": about });
    object(&json!({
        "added": count("Records that are new in the book."),
        "already_there": count("Records that were in it."),
        "left_out": count("Doubles, left out as wished."),
        "kept_out": count("Records that a person removed from the book before."),
    }))
}

fn error() -> Value {
    object(&json!({ "error": { "type": "string", "description": "A sentence for a person." } }))
}

/// Problems found before there are rows come without the lists, so only the sentence is sure to be there.
fn refused() -> Value {
    let text = || json!({ "type": ["string", "null"] });
    let record = || json!({ "type": ["integer", "null"], "description": "The first being 1." });
    let list = |item: Value| json!({ "type": "array", "items": { "type": "object", "properties": item } });
    json!({
        "type": "object",
        "properties": {
            "error": { "type": "string" },
            "problems": list(json!({
                "record": record(), "field": text(), "read": text(), "expected": text(), "example": text(),
            })),
            "questions": list(json!({ "record": record(), "field": text(), "question": text() })),
            "doubles": list(json!({ "record": record(), "like": text() })),
        },
        "required": ["error"],
    })
}

fn season() -> Value {
    let text = || json!({ "type": "string" });
    let day = || json!({ "type": "string", "format": "date" });
    let block = object(&json!({
        "code": text(), "farm": text(), "id": { "type": "string", "format": "uuid" }, "link": text(),
    }));
    object(&json!({
        "year": { "type": "integer" },
        "first_day": day(),
        "last_day": day(),
        "blocks": { "type": "array", "items": block },
    }))
}
