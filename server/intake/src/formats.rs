//! The tables of columns and settings as text: `seasonbook formats` prints them, and the README
//! carries them word for word (a test compares).

use std::fmt::Write as _;

use reckon::water::setup::SETTINGS;

use crate::column::{Column, Input};
use crate::kinds::{FileKind, columns};

/// Every kind of file with its columns, then every setting of the water balance, as Markdown.
pub fn formats() -> String {
    let mut out = String::new();
    for kind in FileKind::all() {
        let _ = writeln!(out, "### {}.csv\n\n| column | | holds | example |\n|---|---|---|---|", kind.word());
        let settings = SETTINGS.iter().map(|info| info.name);
        let settings: Vec<&str> = if kind == FileKind::Blocks { settings.collect() } else { Vec::new() };
        for column in columns(kind).iter().filter(|column| !settings.contains(&column.name)) {
            let _ = writeln!(out, "{}", line(column));
        }
        out.push('\n');
    }
    out.push_str("### Settings of the water balance\n\n| name | range | what |\n|---|---|---|\n");
    for info in SETTINGS {
        let _ = writeln!(out, "| `{}` | {} to {} | {} |", info.name, info.low, info.high, info.about);
    }
    out
}

fn line(column: &Column) -> String {
    let star = if column.required { "*" } else { "" };
    let choices = match column.input {
        Input::Choice(words) => format!(" One of: {}.", words.join(", ")),
        _ => String::new(),
    };
    format!("| `{}` | {star} | {}{choices} | {} |", column.name, column.about, column.example)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_column_and_setting_stands_in_the_text() {
        let text = formats();
        for kind in FileKind::all() {
            for column in columns(kind) {
                assert!(text.contains(&format!("| `{}` |", column.name)), "{}", column.name);
            }
        }
        for info in SETTINGS {
            assert!(text.contains(info.about), "{}", info.name);
        }
    }
}
