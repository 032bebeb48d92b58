//! The description against the tables it is made from, and against what is really answered.

use std::collections::BTreeSet;

use intake::{FileKind, columns};
use reckon::figure::RecordKind;
use serde_json::{Value, json};

use super::*;
use crate::bring_in::BroughtIn;

fn keys(value: &Value) -> BTreeSet<String> {
    value.as_object().unwrap().keys().cloned().collect()
}

#[test]
fn every_kind_and_every_column_stands_in_it() {
    let document = document();
    for kind in RecordKind::ALL {
        let post = &document["paths"][format!("/api/records/{}", kind.word())]["post"];
        let schema = &post["requestBody"]["content"]["application/json"]["schema"]["$ref"];
        let request = resolve(&document, schema.as_str().unwrap());
        let record = resolve(&document, request["properties"]["records"]["items"]["$ref"].as_str().unwrap());
        let table = columns(FileKind::Records(kind));
        assert_eq!(keys(&record["properties"]), table.iter().map(|column| column.name.to_owned()).collect());
        let required: Vec<&str> = record["required"].as_array().unwrap().iter().filter_map(Value::as_str).collect();
        let expected: Vec<&str> = table.iter().filter(|column| column.required).map(|column| column.name).collect();
        assert_eq!(required, expected, "{kind:?}");
        for column in &table {
            let about = record["properties"][column.name]["description"].as_str().unwrap();
            assert!(about.starts_with(column.about), "{about}");
        }
    }
}

fn resolve<'d>(document: &'d Value, reference: &str) -> &'d Value {
    document.pointer(reference.strip_prefix('#').unwrap()).unwrap_or_else(|| panic!("{reference} leads nowhere"))
}

#[test]
fn every_route_of_programs_stands_in_it_and_no_other() {
    let document = document();
    let mut expected = BTreeSet::new();
    for entry in ROUTES.iter().filter(|entry| entry.admits != Admits::Person || entry.path.starts_with("/api/")) {
        expected.extend(addresses(entry).into_iter().map(|(path, _)| path));
    }
    assert_eq!(keys(&document["paths"]), expected);
    assert!(expected.contains("/api/openapi.json") && expected.len() >= RecordKind::ALL.len() + 6);
}

#[test]
fn it_is_sound() {
    let document = document();
    let mut ids = BTreeSet::new();
    let mut pending = vec![&document];
    while let Some(value) = pending.pop() {
        match value {
            Value::Object(object) => {
                if let Some(Value::String(reference)) = object.get("$ref") {
                    resolve(&document, reference);
                }
                pending.extend(object.values());
            }
            Value::Array(list) => pending.extend(list),
            _ => {}
        }
    }
    for (path, methods) in document["paths"].as_object().unwrap() {
        for operation in methods.as_object().unwrap().values() {
            assert!(ids.insert(operation["operationId"].as_str().unwrap().to_owned()), "{path}: an id stands twice");
            assert!(operation["responses"]["200"].is_object(), "{path}");
            let named = operation["parameters"].as_array().unwrap().iter();
            let named: BTreeSet<String> = named
                .filter(|named| named["in"] == "path")
                .map(|named| format!("{{{}}}", named["name"].as_str().unwrap()))
                .collect();
            let in_path = path.split('/').filter(|part| part.starts_with('{')).map(str::to_owned);
            assert_eq!(named, in_path.collect(), "{path}");
        }
    }
    assert_eq!(super::document(), document, "asked again it is the same");
}

#[test]
fn answers_are_of_the_shape_described() {
    let document = document();
    let shape = |name: &str| keys(&document["components"]["schemas"][name]["properties"]);
    assert_eq!(keys(&crate::api::answer::kept(&BroughtIn::default())), shape(schemas::KEPT));
    let problems =
        crate::api::answer::problems(&[(Some(1), intake::Problem::at(None, "date", "x", String::new(), "y"))]);
    assert_eq!(keys(&problems), shape(schemas::REFUSED));
    let item = &document["components"]["schemas"][schemas::REFUSED]["properties"]["problems"]["items"]["properties"];
    assert_eq!(keys(&problems["problems"][0]), keys(item));
}

/// The example of the page is a request as it is described.
#[test]
fn the_example_fits() {
    let document = document();
    let request: Value = serde_json::from_str(crate::pages::keys::REQUEST).unwrap();
    let record = &document["components"]["schemas"]["record.labor"];
    for sent in request["records"].as_array().unwrap() {
        assert!(keys(sent).is_subset(&keys(&record["properties"])), "{sent}");
        for name in record["required"].as_array().unwrap() {
            assert_ne!(sent[name.as_str().unwrap()], json!(null), "{name}");
        }
    }
}
