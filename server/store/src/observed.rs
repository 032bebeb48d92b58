//! Observations of methods as the text kept beside a summary, and back.
//!
//! Numbers stand as text: a float written by Rust and read by Rust is the same float, whatever a JSON
//! reader would make of it.
//!
//! What is kept bears the number of its form; the first was a bare list. Anything of an earlier form counts as
//! not kept: its figures may lack records, or stand for a few trees, without saying so.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use reckon::compare::{Damage, Measure, Observation, PartOf, Traits};
use reckon::season::PayBasis;
use serde_json::{Map, Value, json};

/// The form that is written: figures that lack records or prices stand apart, those of a few trees too, a part
/// of a block tells its trees, and traits tell ground and water.
const FORM: u8 = 7;

/// The observations of a block-season as JSON.
pub(crate) fn text(observations: &[Observation]) -> String {
    json!({ "form": FORM, "observations": observations.iter().map(one).collect::<Value>() }).to_string()
}

/// Whether what is kept is of an earlier form, and to be reckoned again.
pub(crate) fn is_earlier(text: &str) -> bool {
    text.starts_with('[') || (2..FORM).any(|form| text.starts_with(&format!("{{\"form\":{form},")))
}

fn one(seen: &Observation) -> Value {
    let Traits {
        block,
        farm,
        crop,
        variety,
        season,
        age,
        trees_per_acre,
        ripens,
        pay,
        left_per_tree,
        damage,
        mulch,
        emitter,
        soil,
        water_pct,
        thinned_from,
    } = &seen.traits;
    let measures: Map<String, Value> =
        seen.measures.iter().map(|(measure, value)| (measure.word().to_owned(), value.to_string().into())).collect();
    let lacking: Map<String, Value> =
        seen.lacking.iter().map(|(measure, why)| (measure.word().to_owned(), why.as_str().into())).collect();
    json!({
        "unit": seen.unit,
        "method": seen.method,
        "block": block,
        "farm": farm,
        "crop": crop,
        "variety": variety,
        "season": season,
        "age": age,
        "trees_per_acre": trees_per_acre.map(|trees| trees.to_string()),
        "ripens": ripens,
        "pay": pay.iter().map(|basis| Value::from(basis.word())).collect::<Value>(),
        "left_per_tree": left_per_tree.map(|fruit| fruit.to_string()),
        "damage": damage.iter().map(hurt).collect::<Value>(),
        "mulch": mulch,
        "emitter": emitter,
        "soil": soil,
        "water_pct": water_pct.map(|share| share.to_string()),
        "thinned_from": thinned_from,
        "measures": measures,
        "lacking": lacking,
        "notes": seen.notes,
        "part": seen.part.as_ref().map(part_of),
    })
}

fn part_of(part: &PartOf) -> Value {
    json!({ "trees": part.trees.to_string(), "of": part.of, "shared": part.shared })
}

fn hurt(damage: &Damage) -> Value {
    json!({
        "what": damage.what,
        "date": damage.date.to_string(),
        "share_pct": damage.share_pct.map(|share| share.to_string()),
    })
}

/// What [`text`] wrote; `None` for anything else.
pub(crate) fn read(text: &str) -> Option<Vec<Observation>> {
    let value: Value = serde_json::from_str(text).ok()?;
    value.get("form").filter(|form| **form == FORM)?;
    value.get("observations")?.as_array()?.iter().map(observation).collect()
}

fn observation(value: &Value) -> Option<Observation> {
    let text = |key: &str| value.get(key)?.as_str().map(str::to_owned);
    let measures = value.get("measures")?.as_object()?.iter();
    let lacking = value.get("lacking")?.as_object()?.iter();
    Some(Observation {
        unit: text("unit")?,
        method: text("method")?,
        traits: Traits {
            block: text("block")?,
            farm: text("farm")?,
            crop: text("crop")?,
            variety: text("variety")?,
            season: whole(value.get("season")?).ok()?,
            age: whole(value.get("age")?).ok()?,
            trees_per_acre: or_nothing(value.get("trees_per_acre")?, number).ok()?,
            ripens: whole(value.get("ripens")?).ok()?,
            pay: value.get("pay")?.as_array()?.iter().map(basis).collect::<Option<BTreeSet<PayBasis>>>()?,
            left_per_tree: or_nothing(value.get("left_per_tree")?, number).ok()?,
            damage: value.get("damage")?.as_array()?.iter().map(damage).collect::<Option<Vec<Damage>>>()?,
            mulch: text("mulch")?,
            emitter: text("emitter")?,
            soil: text("soil")?,
            water_pct: or_nothing(value.get("water_pct")?, number).ok()?,
            thinned_from: whole(value.get("thinned_from")?).ok()?,
        },
        measures: measures
            .map(|(word, value)| Some((measure(word)?, number(value)?)))
            .collect::<Option<BTreeMap<Measure, f64>>>()?,
        lacking: lacking
            .map(|(word, why)| Some((measure(word)?, why.as_str()?.to_owned())))
            .collect::<Option<BTreeMap<Measure, String>>>()?,
        notes: value
            .get("notes")?
            .as_array()?
            .iter()
            .map(|said| said.as_str().map(str::to_owned))
            .collect::<Option<Vec<String>>>()?,
        part: or_nothing(value.get("part")?, part).ok()?,
    })
}

fn part(value: &Value) -> Option<PartOf> {
    let shared = value.get("shared")?.as_array()?.iter().map(|pass| whole(pass).ok());
    Some(PartOf {
        trees: number(value.get("trees")?)?,
        of: whole(value.get("of")?).ok()??,
        shared: shared.collect::<Option<BTreeSet<Option<u8>>>>()?,
    })
}

fn damage(value: &Value) -> Option<Damage> {
    Some(Damage {
        what: value.get("what")?.as_str()?.to_owned(),
        date: value.get("date")?.as_str()?.parse::<NaiveDate>().ok()?,
        share_pct: or_nothing(value.get("share_pct")?, number).ok()?,
    })
}

fn basis(value: &Value) -> Option<PayBasis> {
    let word = value.as_str()?;
    PayBasis::ALL.into_iter().find(|basis| basis.word() == word)
}

fn measure(word: &str) -> Option<Measure> {
    Measure::ALL.into_iter().find(|measure| measure.word() == word)
}

fn number(value: &Value) -> Option<f64> {
    value.as_str()?.parse().ok().filter(|number: &f64| number.is_finite())
}

/// Something stands there that does not read.
struct Unread;

fn whole<N: TryFrom<i64>>(value: &Value) -> Result<Option<N>, Unread> {
    or_nothing(value, |value| value.as_i64().and_then(|number| N::try_from(number).ok()))
}

fn or_nothing<T>(value: &Value, read: impl Fn(&Value) -> Option<T>) -> Result<Option<T>, Unread> {
    if value.is_null() { Ok(None) } else { read(value).map(Some).ok_or(Unread) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hail(share_pct: Option<f64>) -> Damage {
        Damage { what: "hail".to_owned(), date: NaiveDate::from_ymd_opt(2026, 7, 3).unwrap(), share_pct }
    }

    #[test]
    fn what_was_written_reads_as_it_was() {
        let seen = Observation {
            unit: "KW-2, 2026".to_owned(),
            method: "cuts then by hand".to_owned(),
            traits: Traits {
                block: "KW-2".to_owned(),
                farm: "Kettle \"Wash\"".to_owned(),
                crop: "peach".to_owned(),
                variety: "ñandú".to_owned(),
                season: Some(2026),
                age: None,
                trees_per_acre: Some(0.1 + 0.2),
                ripens: Some(160),
                pay: [PayBasis::Contract, PayBasis::Hour].into(),
                left_per_tree: Some(1.0 / 7.0),
                damage: [Some(35.0), None].map(hail).to_vec(),
                mulch: "wood chips".to_owned(),
                emitter: "drip".to_owned(),
                soil: "loam".to_owned(),
                water_pct: Some(98.6),
                thinned_from: Some(104),
            },
            measures: BTreeMap::from([(Measure::HoursPerTree, 1.0 / 3.0), (Measure::ReturnPerAcre, -1e-300)]),
            lacking: BTreeMap::from([(Measure::CostPerTree, "1 entry lacks a wage".to_owned())]),
            notes: vec![
                "300 of the 500 trees of KW-2 2026 were thinned (60%); what it sold is of all of them.".to_owned(),
            ],
            part: Some(PartOf { trees: 200.0, of: 500, shared: [None, Some(2)].into() }),
        };
        let bare = Observation {
            traits: Traits::default(),
            measures: BTreeMap::new(),
            lacking: BTreeMap::new(),
            notes: Vec::new(),
            part: None,
            ..seen.clone()
        };
        let both = [seen, bare];
        assert_eq!(read(&text(&both)).unwrap(), both);
        assert_eq!(read(&text(&[])), Some(Vec::new()));
    }

    #[test]
    fn what_does_not_read_is_not_guessed_at() {
        for odd in ["", "{}", "[]", "[{}]", "[1]", r#"{"form":6,"observations":[]}"#] {
            assert_eq!(read(odd), None, "{odd}");
        }
        let plain = r#"{"form":7,"observations":[{"unit":"A","method":"x","block":"","farm":"","crop":"","variety":"",
            "season":null,"age":null,"trees_per_acre":null,"ripens":null,"pay":["the hour"],"left_per_tree":null,"damage":[],
            "mulch":"","emitter":"","soil":"","water_pct":null,"thinned_from":null,
            "measures":{"cost_per_tree":"1.5"},"lacking":{},"notes":[],"part":null}]}"#;
        assert_eq!(read(plain).unwrap()[0].measures[&Measure::CostPerTree].to_string(), "1.5");
        for (part, odd) in [
            ("1.5", "NaN"),
            ("the hour", "the day"),
            ("cost_per_tree", "cost_per_branch"),
            (r#""lacking":{}"#, r#""lacking":1"#),
        ] {
            assert_eq!(read(&plain.replace(part, odd)), None, "{odd}");
        }
    }

    #[test]
    fn an_earlier_form_is_told_from_this_one() {
        assert!(is_earlier(r#"[{"unit":"A"}]"#) && is_earlier("[]"));
        for form in [2, 3, 4, 5, 6] {
            assert!(is_earlier(&format!(r#"{{"form":{form},"observations":[]}}"#)));
        }
        assert!(!is_earlier(&text(&[])) && !is_earlier("torn"));
    }
}
