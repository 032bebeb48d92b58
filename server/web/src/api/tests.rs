//! What a program sends against the same rows as a file.

use intake::{Context, FileDraft, FileKind, Input, Problem, columns, read_draft};
use proptest::prelude::*;
use proptest::sample::{Index, select};
use reckon::figure::RecordKind;

use super::asked::{Asked, Cell, Object};
use super::rows::Rows;
use crate::pages::keys::REQUEST;

const LABOR: FileKind = FileKind::Records(RecordKind::Labor);

fn rows(kind: FileKind, objects: &[Object]) -> Rows {
    Rows::of(kind, objects, 1_000_000, crate::error::PageError::Unready).ok().unwrap()
}

fn read(kind: FileKind, bytes: &[u8]) -> FileDraft {
    read_draft(kind, bytes, &Context::default())
}

fn asked(text: &str) -> Asked {
    Asked::read(text.as_bytes()).unwrap()
}

/// Column and sentence of a problem, with the row it is about.
fn said(record: Option<usize>, problem: &Problem) -> (Option<usize>, Option<String>, String) {
    let sentence = Problem { line: None, ..problem.clone() }.to_string();
    (record, problem.column.clone(), sentence)
}

/// Text that could be taken for something else on its way through a file.
const ODD: [&str; 14] = [
    "x",
    "-4",
    "0",
    " 7.5 ",
    "1,234",
    "12,5",
    "a;b\tc",
    "a \"quoted\" word",
    "\"",
    "two\nlines",
    "two\r\nlines\rand a third",
    "a\u{0}b",
    "2026-05-14",
    "señal",
];

/// A value of a column: often as it should be, sometimes odd, sometimes blank in one way or another.
fn value(column: &intake::Column) -> BoxedStrategy<Option<Cell>> {
    let example = column.example.to_owned();
    let words = if let Input::Choice(words) = column.input { words.to_vec() } else { vec![column.example] };
    let blank = prop_oneof![Just(None), Just(Some(Cell::Blank)), Just(Some(Cell::Text(String::new())))];
    let required = if column.required { 8 } else { 1 };
    prop_oneof![
        required => prop_oneof![Just(example), select(words).prop_map(str::to_owned)].prop_map(|text| Some(Cell::Text(text))),
        1 => select(ODD.to_vec()).prop_map(|text| Some(Cell::Text(text.to_owned()))),
        2 => blank,
    ]
    .boxed()
}

fn table() -> impl Strategy<Value = (FileKind, Vec<Vec<Option<Cell>>>)> {
    select(RecordKind::ALL.to_vec()).prop_flat_map(|kind| {
        let kind = FileKind::Records(kind);
        let row: Vec<_> = columns(kind).iter().map(value).collect();
        let filled = |row: &Vec<Option<Cell>>| row.iter().flatten().any(|cell| !cell.text().trim().is_empty());
        (Just(kind), prop::collection::vec(row.prop_filter("a blank row", filled), 1..6))
    })
}

fn as_file(kind: FileKind, table: &[Vec<Option<Cell>>]) -> Vec<u8> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(columns(kind).iter().map(|column| column.name)).unwrap();
    for row in table {
        writer.write_record(row.iter().map(|cell| cell.as_ref().map_or("", Cell::text))).unwrap();
    }
    writer.into_inner().unwrap()
}

fn as_objects(kind: FileKind, table: &[Vec<Option<Cell>>], from: Index) -> Vec<Object> {
    let columns = columns(kind);
    let object = |row: &Vec<Option<Cell>>| {
        let pairs = columns.iter().zip(row).filter_map(|(column, cell)| Some((column.name.to_owned(), cell.clone()?)));
        let mut pairs: Vec<_> = pairs.collect();
        // Keys of an object have no order.
        let start = if pairs.is_empty() { 0 } else { from.index(pairs.len()) };
        pairs.rotate_left(start);
        Object(pairs)
    };
    table.iter().map(object).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    /// The same records, prints included, and the same problems at the same fields of the same rows.
    #[test]
    fn a_request_says_what_a_file_says((kind, table) in table(), from in any::<Index>()) {
        let file = read(kind, &as_file(kind, &table));
        let rows = rows(kind, &as_objects(kind, &table, from));
        let sent = read(kind, &rows.bytes);
        let meaning = |draft: &FileDraft| -> Vec<_> {
            draft.rows.iter().map(|row| (row.print, row.place.clone(), row.parsed.clone())).collect()
        };
        prop_assert_eq!(meaning(&file), meaning(&sent));
        prop_assert_eq!(file.remarks, sent.remarks);
        // A file's own line numbers, to the row: by the lines its rows begin at.
        let lines: Vec<u32> = file.rows.iter().map(|row| row.line).chain(file.unread.iter().map(|row| row.line)).collect();
        prop_assert_eq!(lines.len(), table.len());
        let row_of = |line: Option<u32>| line.map(|line| lines.iter().filter(|known| **known <= line).count());
        let mut of_file: Vec<_> = file.problems.iter().map(|found| said(row_of(found.line), found)).collect();
        let mut of_sent: Vec<_> = sent.problems.iter().map(|found| said(rows.of_problem(found), found)).collect();
        of_file.sort();
        of_sent.sort();
        prop_assert_eq!(of_file, of_sent);
    }
}

fn first_problem(kind: FileKind, text: &str) -> (Option<usize>, Option<String>, String) {
    let asked = asked(text);
    let rows = rows(kind, &asked.records);
    let draft = read(kind, &rows.bytes);
    let problem = draft.problems.first().unwrap();
    said(rows.of_problem(problem), problem)
}

#[test]
fn a_key_that_is_no_column_is_named_with_its_record() {
    let text = r#"{"records":[{"date":"2026-05-14","block":"RB-1","task":"thin"},{"date":"2026-05-15","hour":"8"}]}"#;
    let (record, field, sentence) = first_problem(LABOR, text);
    assert_eq!((record, field.as_deref()), (Some(2), Some("hour")));
    assert!(sentence.contains("a column of labor, perhaps hours"), "{sentence}");
}

#[test]
fn a_key_given_twice_is_a_problem_and_none_of_them_is_lost() {
    let text = r#"{"records":[{"hours":"8"},{"hours":"8","Hours":"9"}]}"#;
    let (record, field, sentence) = first_problem(LABOR, text);
    assert_eq!((record, field.as_deref()), (Some(2), Some("hours")));
    assert!(sentence.contains("this column once only"), "{sentence}");
}

#[test]
fn a_missing_key_is_a_blank_cell_of_its_record() {
    let text = r#"{"records":[{"date":"2026-05-14","block":"RB-1","task":"thin","hours":"8"},{"note":"a\nb"},{"task":"thin"}]}"#;
    let asked = asked(text);
    let rows = rows(LABOR, &asked.records);
    let draft = read(LABOR, &rows.bytes);
    let found: Vec<_> =
        draft.problems.iter().map(|found| (rows.of_problem(found), found.column.clone().unwrap())).collect();
    assert!(found.contains(&(Some(2), "task".to_owned())), "{found:?}");
    assert!(found.contains(&(Some(3), "block".to_owned())), "{found:?}");
    assert!(!found.iter().any(|(record, _)| *record == Some(1)), "{found:?}");
}

#[test]
fn what_is_no_text_is_told_the_text_it_should_be() {
    let text = r#"{"records":[{"hours":7.5,"people":8,"crew":true,"note":["a"]},{},{"note":null,"crew":" "}]}"#;
    let found: Vec<_> = asked(text).problems().iter().map(|(record, found)| said(*record, found)).collect();
    let expected = "text in quotes: every value is text, so that no amount is rounded on its way";
    assert_eq!(found[0].2, format!("column hours: read \"7.5\", expected {expected}, for example \"7.5\""));
    assert_eq!(found[1].2, format!("column people: read \"8\", expected {expected}, for example \"8\""));
    assert_eq!(found[2].2, format!("column crew: read \"true\", expected {expected}, for example \"true\""));
    assert_eq!(found[3].2, format!("column note: read \"a list\", expected {expected}"));
    assert_eq!(found[4].2, "read a record without a value, expected at least one");
    assert_eq!(found.iter().map(|found| found.0).collect::<Vec<_>>(), [1, 1, 1, 1, 2, 3].map(Some));
}

#[test]
fn another_shape_says_where_and_what_is_expected() {
    for (text, what) in [
        ("", "no JSON at line 1"),
        ("{\"records\":[", "no JSON at line 1"),
        ("[]", "JSON of another shape at line 1"),
        ("{}", "JSON of another shape"),
        ("{\"records\":[1]}", "JSON of another shape"),
        ("{\"records\":[],\"wish\":1}", "JSON of another shape"),
    ] {
        let sentence = Asked::read(text.as_bytes()).unwrap_err();
        assert!(sentence.contains(what) && sentence.contains("{\"records\":[{"), "{text}: {sentence}");
    }
    let many = asked(r#"{"records":[],"doubles":"perhaps"}"#).problems();
    let fields: Vec<_> = many.iter().filter_map(|(_, found)| found.column.as_deref()).collect();
    assert_eq!(fields, ["doubles", "records"]);
}

#[test]
fn what_would_not_fit_a_file_is_too_large() {
    let one = asked(REQUEST).records;
    let large = Rows::of(LABOR, &one, 100, crate::error::PageError::NoKey);
    assert!(matches!(large, Err(crate::error::PageError::NoKey)));
}
