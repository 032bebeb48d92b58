//! The description of what programs send and are given, as `OpenAPI` 3.1: made from the route table and the
//! column tables each time it is asked for, so it says what this program does.

mod schemas;
#[cfg(test)]
mod tests;

use actix_web::HttpResponse;
use actix_web::http::StatusCode;
use reckon::figure::RecordKind;
use serde_json::{Map, Value, json};

use super::answer;
use super::sent::{MOST_OF_ONCE, ONCE};
use crate::error::PageError;
use crate::routes::{Admits, Carries, Entry, Need, ROUTES};

/// GET /api/openapi.json: nothing of any book is in it, so nobody need sign in for it.
pub async fn openapi() -> Result<HttpResponse, PageError> {
    Ok(answer(StatusCode::OK, &document()))
}

/// The whole description.
pub(crate) fn document() -> Value {
    let mut paths = Map::new();
    for entry in ROUTES.iter().filter(|entry| is_for_programs(entry)) {
        for (path, kind) in addresses(entry) {
            let methods = paths.entry(path).or_insert_with(|| json!({}));
            if let Some(methods) = methods.as_object_mut() {
                methods.insert(entry.method.as_str().to_lowercase(), operation(entry, kind));
            }
        }
    }
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "Seasonbook",
            "version": env!("CARGO_PKG_VERSION"),
            "description": "Records in and blocks out, by a key of a person. Every value of a record is text, \
                            numbers too, so that no amount is rounded on its way.",
        },
        "security": [{ "key": [] }],
        "paths": paths,
        "components": {
            "securitySchemes": { "key": {
                "type": "http",
                "scheme": "bearer",
                "description": "A key made on the page Keys; it does what its maker may do.",
            } },
            "schemas": schemas::all(),
        },
    })
}

/// What a key opens, and this description itself.
fn is_for_programs(entry: &Entry) -> bool {
    entry.admits != Admits::Person || super::is_at(entry.path)
}

/// The addresses of a route: one for each kind of record where it takes any.
fn addresses(entry: &Entry) -> Vec<(String, Option<RecordKind>)> {
    if entry.carries == Carries::Json {
        let each = |kind: RecordKind| (entry.path.replace("{kind}", kind.word()), Some(kind));
        RecordKind::ALL.into_iter().map(each).collect()
    } else {
        vec![(entry.path.to_owned(), None)]
    }
}

fn operation(entry: &Entry, kind: Option<RecordKind>) -> Value {
    let mut operation = json!({
        "operationId": operation_id(entry, kind),
        "summary": summary(entry, kind),
        "parameters": parameters(entry),
        "responses": responses(entry),
    });
    if let Some(said) = operation.as_object_mut() {
        if entry.need == Need::Open {
            said.insert("security".to_owned(), json!([]));
        }
        if let Some(kind) = kind {
            let schema = schemas::reference(&schemas::request_name(kind));
            let body = json!({ "required": true, "content": { super::JSON: { "schema": schema } } });
            said.insert("requestBody".to_owned(), body);
        }
    }
    operation
}

/// `records_labor`, `season_json`: the fixed words of the address.
fn operation_id(entry: &Entry, kind: Option<RecordKind>) -> String {
    let words = entry.path.split(['/', '.']).filter(|word| !word.is_empty() && !word.starts_with('{'));
    let words = words.filter(|word| *word != "api").chain(kind.map(RecordKind::word));
    words.collect::<Vec<_>>().join("_").replace([' ', '-'], "_")
}

fn summary(entry: &Entry, kind: Option<RecordKind>) -> String {
    match (kind, entry.path.rsplit('/').next().unwrap_or_default()) {
        (Some(kind), _) => format!("Keeps records of {}: all of a request or none.", kind.word()),
        (None, "{year}") => "The season's days and its blocks, each with the address of its figures.".to_owned(),
        (None, "openapi.json") => "This description.".to_owned(),
        (None, file) => format!("A block's season as the file {file}."),
    }
}

fn parameters(entry: &Entry) -> Value {
    let in_path = entry.path.split('/').filter_map(|part| part.strip_prefix('{')?.strip_suffix('}'));
    let in_path = in_path.filter(|name| *name != "kind").map(|name| {
        let schema = match name {
            "year" => json!({ "type": "integer", "examples": [2026] }),
            _ => json!({ "type": "string", "format": "uuid" }),
        };
        json!({ "name": name, "in": "path", "required": true, "schema": schema })
    });
    let query = entry.sample.split_once('?').map_or("", |(_, query)| query).split('&');
    let in_query = query.filter_map(|pair| pair.split_once('=')).map(
        |(name, example)| json!({ "name": name, "in": "query", "schema": { "type": "string", "examples": [example] } }),
    );
    let once = (entry.carries == Carries::Json).then(|| {
        json!({
            "name": ONCE,
            "in": "header",
            "description": "A name for the request: sent again under it, the same request adds nothing.",
            "schema": { "type": "string", "minLength": 1, "maxLength": MOST_OF_ONCE },
        })
    });
    in_path.chain(in_query).chain(once).collect()
}

/// Statuses with their meaning; those below 300 carry what was asked for.
fn responses(entry: &Entry) -> Value {
    let mut responses = Map::new();
    let content = match entry.path.rsplit('.').next() {
        Some("pdf") => json!({ "application/pdf": {} }),
        Some("csv") => json!({ "text/csv": {} }),
        _ => json!({ super::JSON: { "schema": given(entry) } }),
    };
    responses.insert("200".to_owned(), json!({ "description": "As asked.", "content": content }));
    for (status, meaning) in STATUSES.iter().filter(|(status, _)| may_come(entry, *status)) {
        // Only where JSON is asked for are problems JSON as well.
        let told = if super::is_at(entry.path) {
            let schema = schemas::reference(if *status == 422 { schemas::REFUSED } else { schemas::ERROR });
            json!({ "description": meaning, "content": { super::JSON: { "schema": schema } } })
        } else {
            json!({ "description": meaning })
        };
        responses.insert(status.to_string(), told);
    }
    Value::Object(responses)
}

/// What is told where the answer is not the one asked for; the page What a program sends lists the same.
pub(crate) const STATUSES: [(u16, &str); 9] = [
    (400, "No JSON, or of another shape."),
    (401, "No key, or one that is taken away."),
    (403, "The role of the key's maker does not include it."),
    (404, "No such kind, season or block."),
    (409, "The season is closed."),
    (413, "More than 20 MB."),
    (422, "Nothing was kept: problems (record, field, read, expected, example), questions and doubles."),
    (429, "Many wrong keys from this address; Retry-After says when."),
    (503, "The book is busy: send it again a moment later."),
];

fn may_come(entry: &Entry, status: u16) -> bool {
    match status {
        400 | 409 | 413 | 422 => entry.carries == Carries::Json,
        401 | 403 | 429 | 503 => entry.need != Need::Open,
        _ => entry.need != Need::Open && entry.path.contains('{'),
    }
}

fn given(entry: &Entry) -> Value {
    match (entry.carries, entry.path) {
        (Carries::Json, _) => schemas::reference(schemas::KEPT),
        (_, path) if path.ends_with("{year}") => schemas::reference(schemas::SEASON),
        _ => json!({ "type": "object" }),
    }
}
