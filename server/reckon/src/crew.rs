//! Telling a crew again, however its name is spelt.

use std::collections::{BTreeMap, BTreeSet};

use crate::records::plain;

/// Words a crew's name may carry or leave out, in the two languages of the sheets.
const CREW: [&str; 3] = ["crew", "cuadrilla", "equipo"];
/// Small words that stand beside those: "the North crew", "cuadrilla de North".
const BESIDE: [&str; 6] = ["the", "of", "la", "el", "de", "del"];

/// The crew's own name: "North", "Crew North", "north-crew" and "cuadrilla North" are one crew. A name that is
/// nothing but such a word is that word. Empty for a crew without a name.
pub fn key(name: &str) -> String {
    let words: Vec<String> = name.split(|sign: char| !sign.is_alphanumeric()).map(plain).collect();
    let is_one = |list: &[&str], word: &String| list.contains(&word.as_str());
    let called = words.iter().any(|word| is_one(&CREW, word));
    let small = |word: &String| called && (is_one(&CREW, word) || is_one(&BESIDE, word));
    let own: String = words.iter().filter(|word| !small(word)).map(String::as_str).collect();
    if own.is_empty() { plain(name) } else { own }
}

/// Each crew once, in the order of their names, whatever the order given; of several spellings the first by
/// the alphabet. A crew without a name is none.
pub fn each_once<'n>(names: impl IntoIterator<Item = &'n str>) -> Vec<&'n str> {
    let written: BTreeSet<&str> = names.into_iter().map(str::trim).collect();
    let keyed = written.into_iter().rev().map(|name| (key(name), name));
    let once: BTreeMap<String, &str> = keyed.filter(|(key, _)| !key.is_empty()).collect();
    once.into_values().collect()
}

#[cfg(test)]
mod tests {
    use super::{each_once, key};

    #[test]
    fn a_crew_is_told_again_by_its_own_name() {
        for name in [
            "North",
            "north crew",
            "Crew North",
            "NORTH-CREW",
            "cuadrilla North",
            " North  ",
            "The North crew",
            "Cuadrilla de North",
        ] {
            assert_eq!(key(name), "north", "{name}");
        }
        assert_eq!(key("North 2"), "north2");
        assert_eq!(key("Del Norte"), "delnorte", "a small word is part of a name that says no crew");
        assert_eq!(key("Crewe"), "crewe", "a word that only begins so is a name");
        assert_eq!((key("Crew"), key("cuadrilla"), key(" - ")), ("crew".into(), "cuadrilla".into(), String::new()));
    }

    #[test]
    fn each_crew_stands_once_whatever_the_order() {
        let names = ["South", " north crew", "North", "", "North crew", "Crew"];
        assert_eq!(each_once(names), ["Crew", "North", "South"]);
        assert_eq!(each_once(names.into_iter().rev()), ["Crew", "North", "South"]);
    }
}
