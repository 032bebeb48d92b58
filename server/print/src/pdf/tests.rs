use std::path::Path;
use std::process::Command;

use sha2::{Digest, Sha256};

use super::*;
use crate::report::{self, Issue, Standing};
use crate::samples;
use crate::sheet::{Paper, Role};

fn issue() -> Issue {
    Issue { paper: Paper::Letter, made_on: NaiveDate::from_ymd_opt(2026, 11, 3).unwrap(), standing: Standing::Files }
}

fn meta() -> Meta {
    let made_on = NaiveDate::from_ymd_opt(2026, 11, 3).unwrap();
    Meta { title: "One".to_owned(), made_on, fingerprint: Fingerprint([7; 8]) }
}

fn one_text(text: &str) -> Sheet {
    let text = Text {
        x: 72.0,
        y: 72.0,
        align: Align::Left,
        size: 12.0,
        font: Font::Serif,
        ink: Ink::Text,
        role: Role::Title,
        text: text.to_owned(),
    };
    Sheet { paper: Paper::A4, pages: vec![Page { marks: vec![Mark::Text(text)] }] }
}

/// One line for each sample, in the order asked for.
fn hashes(backwards: bool) -> Vec<String> {
    let mut all = samples::all();
    if backwards {
        all.reverse();
    }
    let mut lines: Vec<String> = all
        .iter()
        .map(|(name, season)| {
            let bytes = report::pdf(season, &issue()).unwrap();
            format!("pdf {name} {:?}", Sha256::digest(&bytes))
        })
        .collect();
    lines.sort();
    lines
}

#[test]
fn the_same_season_gives_the_same_bytes() {
    let season = samples::full();
    let first = report::pdf(&season, &issue()).unwrap();
    // Another document in between moves every counter of the library.
    report::pdf(&samples::letters(), &issue()).unwrap();
    assert_eq!(report::pdf(&season, &issue()).unwrap(), first);
    assert_eq!(hashes(false), hashes(true));
}

#[test]
fn another_revision_or_day_gives_other_bytes() {
    let season = samples::full();
    let first = report::pdf(&season, &issue()).unwrap();
    assert_ne!(report::pdf(&season, &Issue { standing: Standing::Open { last: None }, ..issue() }).unwrap(), first);
    let later = NaiveDate::from_ymd_opt(2026, 11, 4).unwrap();
    assert_ne!(report::pdf(&season, &Issue { made_on: later, ..issue() }).unwrap(), first);
}

/// Read by [`another_process_gives_the_same_bytes`] from this program run once more.
#[test]
fn says_its_hashes() {
    let lines = hashes(true);
    assert_eq!(lines.len(), 4);
    println!("\n{}", lines.join("\n"));
}

#[test]
fn another_process_gives_the_same_bytes() {
    let program = std::env::current_exe().unwrap();
    let run = Command::new(program).args(["--exact", "pdf::tests::says_its_hashes", "--nocapture"]).output().unwrap();
    let out = String::from_utf8(run.stdout).unwrap();
    let mut lines: Vec<&str> = out.lines().filter(|line| line.starts_with("pdf ")).collect();
    lines.sort_unstable();
    assert_eq!(lines, hashes(false), "{out}");
}

#[test]
fn a_letter_the_face_has_not_is_refused_by_place() {
    let error = write(&one_text("a 桃"), &meta()).unwrap_err();
    assert!(matches!(error, PrintError::Letter { page: 1, letter: '桃', .. }), "{error}");
    assert!(error.to_string().starts_with("page 1 has \"a 桃\""), "{error}");
}

#[test]
fn the_file_says_what_it_is() {
    let bytes = write(&one_text("ñ"), &meta()).unwrap();
    let file = lopdf::Document::load_mem(&bytes).unwrap();
    let id = file.trailer.get(b"ID").unwrap().as_array().unwrap();
    assert_eq!(id.iter().map(|part| part.as_str().unwrap()).collect::<Vec<_>>(), [[7; 8], [7; 8]]);
    let info = file.get_object(file.trailer.get(b"Info").unwrap().as_reference().unwrap()).unwrap().as_dict().unwrap();
    for date in [b"CreationDate".as_slice(), b"ModDate"] {
        assert_eq!(info.get(date).unwrap().as_str().unwrap(), b"D:20261103000000+00'00'");
    }
    assert!(info.get(b"GTS_PDFXVersion").is_err());
    let catalog = file.catalog().unwrap();
    assert_eq!(catalog.get(b"Lang").unwrap().as_str().unwrap(), b"en-US");
}

/// Faces are cut to the letters used: a short text does not carry 400 KB.
#[test]
fn faces_are_embedded_in_part() {
    assert!(write(&one_text("Sand Draw"), &meta()).unwrap().len() < 12_000);
    for (name, season) in samples::all() {
        let size = report::pdf(&season, &issue()).unwrap().len();
        assert!(size < 90_000, "{name}: {size}");
    }
}

#[test]
fn other_programs_can_read_it() {
    let folder = tempfile::tempdir().unwrap();
    for (name, season) in samples::all() {
        let path = folder.path().join(format!("{name}.pdf"));
        std::fs::write(&path, report::pdf(&season, &issue()).unwrap()).unwrap();
        let checked = output(Command::new("qpdf").arg("--check").arg(&path));
        assert!(checked.contains("No syntax or stream encoding errors"), "{name}: {checked}");
        let fonts = output(Command::new("pdffonts").arg(&path));
        let faces: Vec<&str> = fonts.lines().skip(2).collect();
        assert_eq!(faces.len(), 3, "{fonts}");
        for face in faces {
            // Embedded, subset, with a map back to letters.
            assert!(face.contains("Identity-H       yes yes yes"), "{name}: {face}");
        }
        let dates = output(Command::new("pdfinfo").arg(&path));
        assert!(dates.contains("Page size:       612 x 792 pts (letter)"), "{dates}");
    }
    let text = text_of(&folder.path().join("letters.pdf"));
    for words in ["Huerta Ñandú & Łąka Ōhara", "Σκιά και Άνεμος", "Žlutá Вишня", "−20,098.54", "yd³", "≤ x ≥"]
    {
        assert!(text.contains(words), "{words}: {text}");
    }
}

fn text_of(path: &Path) -> String {
    output(Command::new("pdftotext").arg(path).arg("-"))
}

/// What a program says; it must be installed (Debian: qpdf, poppler-utils) and succeed.
fn output(command: &mut Command) -> String {
    let run = command.output().unwrap_or_else(|error| panic!("{command:?}: {error}; install qpdf and poppler-utils"));
    let said = String::from_utf8_lossy(&run.stdout).into_owned();
    assert!(run.status.success(), "{command:?}: {said}{}", String::from_utf8_lossy(&run.stderr));
    said
}
