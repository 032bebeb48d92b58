//! Tests of the whole crate, through its public doors.

mod bad;
mod bringing_in;
mod folders;
mod generators;
mod generators_water;
mod rows;
mod tables;

use crate::{Context, FileKind, Parsed, Place, Problem, read_form};

fn kind(word: &str) -> FileKind {
    FileKind::from_word(word).unwrap()
}

/// Reads a form written as `task=thin, hours=8`, with a day and a block added where they are missing.
fn form(word: &str, fields: &str) -> Result<(Place, Parsed), Vec<Problem>> {
    let mut typed: Vec<(String, String)> = fields
        .split(", ")
        .filter_map(|field| field.split_once('='))
        .map(|(name, text)| (name.to_owned(), text.to_owned()))
        .collect();
    for (name, text) in [("date", "2026-05-14"), ("from", "2026-05-14"), ("block", "RB-1"), ("station", "River Bend")] {
        if word != "blocks" && word != "farms" && word != "costs" && !typed.iter().any(|(typed, _)| typed == name) {
            typed.push((name.to_owned(), text.to_owned()));
        }
    }
    if word == "costs" {
        typed.push(("date".to_owned(), "2026-05-14".to_owned()));
    }
    read_form(kind(word), &typed, &Context::default())
}

/// The problems of a form as sentences, empty when it was good.
fn sentences(word: &str, fields: &str) -> Vec<String> {
    form(word, fields).err().unwrap_or_default().iter().map(ToString::to_string).collect()
}
