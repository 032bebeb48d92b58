//! Observations of methods as the text kept beside a summary, and back.
//!
//! Numbers stand as text: a float written by Rust and read by Rust is the same float, whatever a JSON
//! reader would make of it.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use reckon::compare::{Damage, Measure, Observation, Traits};
use serde_json::{Map, Value, json};

/// The observations of a block-season as JSON.
pub(crate) fn text(observations: &[Observation]) -> String {
    observations.iter().map(one).collect::<Value>().to_string()
}

fn one(seen: &Observation) -> Value {
    let Traits { block, farm, crop, variety, season, age, trees_per_acre, damage } = &seen.traits;
    let measures: Map<String, Value> =
        seen.measures.iter().map(|(measure, value)| (measure.word().to_owned(), value.to_string().into())).collect();
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
        "damage": damage.iter().map(hurt).collect::<Value>(),
        "measures": measures,
    })
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
    value.as_array()?.iter().map(observation).collect()
}

fn observation(value: &Value) -> Option<Observation> {
    let text = |key: &str| value.get(key)?.as_str().map(str::to_owned);
    let measures = value.get("measures")?.as_object()?.iter().map(measure);
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
            damage: damages(value.get("damage"))?,
        },
        measures: measures.collect::<Option<BTreeMap<Measure, f64>>>()?,
    })
}

/// None is told by what was kept before damage was.
fn damages(value: Option<&Value>) -> Option<Vec<Damage>> {
    value.map_or_else(|| Some(Vec::new()), |value| value.as_array()?.iter().map(damage).collect())
}

fn damage(value: &Value) -> Option<Damage> {
    Some(Damage {
        what: value.get("what")?.as_str()?.to_owned(),
        date: value.get("date")?.as_str()?.parse::<NaiveDate>().ok()?,
        share_pct: or_nothing(value.get("share_pct")?, number).ok()?,
    })
}

fn measure((word, value): (&String, &Value)) -> Option<(Measure, f64)> {
    let measure = Measure::ALL.into_iter().find(|measure| measure.word() == word)?;
    Some((measure, number(value)?))
}

fn number(value: &Value) -> Option<f64> {
    value.as_str()?.parse().ok().filter(|number: &f64| number.is_finite())
}

/// Something stands there that does not read.
struct Unread;

fn whole(value: &Value) -> Result<Option<i32>, Unread> {
    or_nothing(value, |value| value.as_i64().and_then(|number| i32::try_from(number).ok()))
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
                damage: [Some(35.0), None].map(hail).to_vec(),
            },
            measures: BTreeMap::from([(Measure::CostPerTree, 1.0 / 3.0), (Measure::ReturnPerAcre, -1e-300)]),
        };
        let bare = Observation { traits: Traits::default(), measures: BTreeMap::new(), ..seen.clone() };
        let both = [seen, bare];
        assert_eq!(read(&text(&both)).unwrap(), both);
        assert_eq!(read(&text(&[])), Some(Vec::new()));
    }

    #[test]
    fn what_does_not_read_is_not_guessed_at() {
        for odd in ["", "{}", "[{}]", "[1]"] {
            assert_eq!(read(odd), None, "{odd}");
        }
        let odd = r#"[{"unit":"A","method":"x","block":"","farm":"","crop":"","variety":"","season":null,"age":null,
            "trees_per_acre":null,"measures":{"cost_per_tree":"NaN"}}]"#;
        assert_eq!(read(odd), None);
        let before = read(&odd.replace("NaN", "1.5")).unwrap();
        assert!(before[0].traits.damage.is_empty(), "kept before damage was");
        assert_eq!(read(&odd.replace("NaN", "1.5").replace("cost_per_tree", "cost_per_branch")), None);
    }
}
