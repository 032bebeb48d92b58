//! What holds for the stylesheet and the script: test code.

const SHEET: &str = include_str!("../../../static/book.css");
const SCRIPT: &str = include_str!("../../../static/book.js");

/// A colour of the sheet's nth list of them: the day's, the night's, the paper's.
fn colour(list: usize, name: &str) -> [f64; 3] {
    let list = SHEET.split(":root {").nth(list + 1).unwrap().split('}').next().unwrap();
    let hex = list.split(&format!("--{name}: #")).nth(1).unwrap().split(';').next().unwrap();
    let full = if hex.len() == 3 { hex.chars().flat_map(|c| [c, c]).collect() } else { hex.to_owned() };
    [0, 2, 4].map(|at| f64::from(u8::from_str_radix(&full[at..at + 2], 16).unwrap()) / 255.0)
}

/// Source: Web Content Accessibility Guidelines 2.2, relative luminance and contrast ratio.
#[expect(clippy::disallowed_methods, reason = "a test of colours, not a figure")]
fn contrast(a: [f64; 3], b: [f64; 3]) -> f64 {
    let part = |c: f64| if c <= 0.040_45 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) };
    let light = |[red, green, blue]: [f64; 3]| 0.2126 * part(red) + 0.7152 * part(green) + 0.0722 * part(blue);
    let (a, b) = (light(a), light(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[test]
fn contrast_is_as_the_guidelines_reckon_it() {
    let ratio = contrast([0.0; 3], [1.0; 3]);
    assert!((ratio - 21.0).abs() < 1e-9, "{ratio}");
}

/// Source: Web Content Accessibility Guidelines 2.2, 1.4.3 (text, 4.5) and 1.4.11 (graphics, 3).
#[test]
fn text_and_bars_stand_out_by_day_by_night_and_on_paper() {
    for list in 0..3 {
        let paper = colour(list, "paper");
        for (name, least) in
            [("ink", 4.5), ("soft", 4.5), ("plum", 4.5), ("labor", 3.0), ("water", 3.0), ("mulch", 3.0), ("price", 3.0)]
        {
            let ratio = contrast(colour(list, name), paper);
            assert!(ratio >= least, "{name} of list {list}: {ratio:.2}");
        }
        for name in ["ink", "plum"] {
            assert!(contrast(colour(list, name), colour(list, "field")) >= 4.5, "{name} in a field");
        }
    }
}

#[test]
fn day_night_and_paper_set_the_same_colours() {
    let names = |list: usize| {
        let list = SHEET.split(":root {").nth(list + 1).unwrap().split('}').next().unwrap();
        let names = list.split(';').filter_map(|line| line.trim().split(':').next());
        names.filter(|name| name.starts_with("--") && !matches!(*name, "--serif" | "--sans")).collect::<Vec<_>>()
    };
    assert_eq!(names(0).len(), 13);
    assert_eq!(names(1), names(0));
    assert_eq!(names(2), names(0));
}

#[test]
fn nothing_is_loaded_from_elsewhere() {
    for text in [SHEET, SCRIPT] {
        assert!(!text.contains("http:") && !text.contains("https:") && !text.contains("@import"));
    }
    for file in SHEET.split("url(\"").skip(1).map(|rest| rest.split('"').next().unwrap()) {
        assert!(crate::assets::link(file).contains("?v="), "{file} is not among the files served");
    }
}

/// A browser repeats a table's foot on every sheet unless told otherwise, and prints what is folded as
/// its summary alone.
#[test]
fn a_sum_is_printed_once_and_what_is_folded_is_printed_open() {
    let paper: String = SHEET.split("@media print {").skip(1).collect();
    assert!(paper.contains("tfoot { display: table-row-group; }"));
    assert!(SCRIPT.contains("addEventListener(\"beforeprint\"") && SCRIPT.contains("addEventListener(\"afterprint\""));
}
