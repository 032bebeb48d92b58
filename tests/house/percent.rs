//! English is written `13%`, Spanish `13 %`.

use std::fs;

use crate::rules::{files, top};

/// Whether the text from here on stands within quotes, by the quotes before it on its line.
fn is_quoted(before: &str) -> bool {
    !before.matches('"').count().is_multiple_of(2)
}

/// Whether a line of Rust or of a template sets a percent sign apart from its number.
fn set_apart(line: &str, template: bool) -> bool {
    let spanish = line.contains(" de ") || line.contains(" del ");
    let at = |place: usize| {
        let (before, after) = line.split_at(place);
        let number = before.ends_with(|c: char| c.is_ascii_digit()) || before.ends_with('}');
        let sign = after.strip_prefix(" %").is_some_and(|rest| !rest.starts_with('}') && !rest.starts_with('%'));
        // `{% if a %}{% if b %}`: a tag of the template, not a number.
        let tag = before.ends_with("%}") || after.contains("%}") && before.rfind("{%") > before.rfind("%}");
        number && sign && !tag && (template || is_quoted(before))
    };
    !spanish && !line.trim_start().starts_with("//") && line.match_indices(" %").any(|(place, _)| at(place))
}

#[test]
fn english_sets_no_blank_before_a_percent_sign() {
    assert!(set_apart(r#"format!("{} % of it")"#, false) && set_apart("<th>{{ step }} %</th>", true));
    assert!(!set_apart("let rest = 7 % 256;", false) && !set_apart("{% if n <= 3 %}", true));
    assert!(!set_apart(r#""Cortar el 50 % de la fruta""#, false));
    let mut wrong = Vec::new();
    let sources = files(&top().join("server"), ".rs").into_iter().map(|path| (path, false));
    let pages = files(&top().join("templates"), ".html").into_iter().map(|path| (path, true));
    for (path, template) in sources.chain(pages) {
        for (n, line) in fs::read_to_string(&path).unwrap().lines().enumerate() {
            if set_apart(line, template) {
                wrong.push(format!("{}:{}: {}", path.display(), n + 1, line.trim()));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}
