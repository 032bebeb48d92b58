//! What a program is told: counts, or everything that keeps the request out.

use intake::Problem;
use serde_json::{Value, json};

use super::rows::Rows;
use crate::bring_in::{BroughtIn, Doubled, Refusal};

/// What came of a request that was kept.
pub(super) fn kept(done: &BroughtIn) -> Value {
    json!({
        "added": done.added,
        "already_there": done.already,
        "left_out": done.left_out,
        "kept_out": done.kept_out.len(),
    })
}

/// Problems that were found before there were rows.
pub(super) fn problems(found: &[(Option<usize>, Problem)]) -> Value {
    let found = found.iter().take(intake::MOST_PROBLEMS).map(|(record, found)| problem(*record, found));
    said(&found.collect::<Vec<_>>(), &[], &[])
}

/// What keeps the rows out. Questions about records that are `sure` are answered already.
pub(super) fn refused(refusal: &Refusal, rows: &Rows, sure: &[u32]) -> Value {
    let problems = refusal.problems.iter().map(|found| problem(rows.of_problem(found), found));
    let questions =
        refusal.questions.iter().filter(|asked| !is_sure(rows, asked.line, sure)).map(
            |asked| json!({ "record": rows.of_line(asked.line), "field": asked.column, "question": asked.sentence }),
        );
    let doubles =
        refusal.doubles.iter().map(|double| json!({ "record": rows.of_line(double.line), "like": like(double, rows) }));
    said(&problems.collect::<Vec<_>>(), &questions.collect::<Vec<_>>(), &doubles.collect::<Vec<_>>())
}

/// What is sent has no lines: another record of the request is told by its number.
fn like(double: &Doubled, rows: &Rows) -> String {
    let record = double.other_line.and_then(|line| rows.of_line(line));
    record.map_or_else(|| double.like(), |record| double.like_from(&format!("record {record} of this request")))
}

/// Whether only questions stood in the way, and all of them are answered.
pub(super) fn all_sure(refusal: &Refusal, rows: &Rows, sure: &[u32]) -> bool {
    let nothing_else = refusal.problems.is_empty() && refusal.doubles.is_empty();
    nothing_else && refusal.questions.iter().all(|asked| is_sure(rows, asked.line, sure))
}

fn is_sure(rows: &Rows, line: u32, sure: &[u32]) -> bool {
    rows.of_line(line).is_some_and(|record| sure.iter().any(|sure| usize::try_from(*sure).ok() == Some(record)))
}

fn said(problems: &[Value], questions: &[Value], doubles: &[Value]) -> Value {
    json!({ "error": "Nothing was kept.", "problems": problems, "questions": questions, "doubles": doubles })
}

fn problem(record: Option<usize>, found: &Problem) -> Value {
    json!({
        "record": record,
        "field": found.column,
        "read": found.read,
        "expected": found.expected,
        "example": found.example,
    })
}
