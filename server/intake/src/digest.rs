//! What makes two rows the same row, however they were written.

use std::borrow::Cow;
use std::collections::BTreeMap;

use reckon::records::{LaborEntry, Record};
use sha2::{Digest, Sha256};

use crate::kinds::{FileKind, Parsed, print};
use crate::place::Place;

/// SHA-256 of a whole file.
pub(crate) fn of_file(bytes: &[u8]) -> [u8; 32] {
    Sha256::digest(bytes).into()
}

/// Gives each row of a file its print: kind, place and canonical fields, and how many equal rows
/// stand before it. A row written with other spaces, units or column order keeps its print; two
/// equal crew days in one file have two.
#[derive(Debug, Default)]
pub(crate) struct Prints {
    seen: BTreeMap<[u8; 32], u64>,
}

impl Prints {
    pub(crate) fn of(&mut self, kind: FileKind, place: &Place, parsed: &Parsed) -> [u8; 32] {
        let meaning = meaning(kind, place, parsed);
        let before = self.seen.entry(meaning).or_default();
        let print = Sha256::new().chain_update(meaning).chain_update(before.to_be_bytes()).finalize().into();
        *before += 1;
        print
    }
}

/// Without what only says how the rest was written down: 12 people of 8 hours each are 96 hours.
fn plain(parsed: &Parsed) -> Cow<'_, Parsed> {
    match parsed {
        Parsed::Record(Record::Labor(entry)) if entry.hours_each.is_some() => {
            Cow::Owned(Parsed::Record(Record::Labor(LaborEntry { hours_each: None, ..entry.clone() })))
        }
        other => Cow::Borrowed(other),
    }
}

fn meaning(kind: FileKind, place: &Place, parsed: &Parsed) -> [u8; 32] {
    let mut hash = Sha256::new();
    let places = [("block", &place.block), ("farm", &place.farm), ("station", &place.station)];
    let places = places.into_iter().filter_map(|(name, value)| Some((name, value.clone()?)));
    // Lengths keep one text from running into the next.
    let mut text = |text: &str| {
        hash.update((text.len() as u64).to_be_bytes());
        hash.update(text.as_bytes());
    };
    text(kind.word());
    for (name, value) in places {
        text("place");
        text(name);
        text(&value);
    }
    for (name, value) in print(&plain(parsed)) {
        text(name);
        text(&value);
    }
    hash.finalize().into()
}
