//! What a file looks like: every column of every kind, and blank files to start from.

use actix_web::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use actix_web::{HttpRequest, HttpResponse};
use askama::Template;
use intake::{Column, FileKind, Input, blank, columns};

use crate::error::PageError;
use crate::pages::bring_in::kind_title;
use crate::pages::{Page, show};
use crate::routes::to;
use crate::shell::Shell;

struct Format {
    kind: FileKind,
    title: String,
    columns: Vec<Column>,
    /// Columns of the water balance's settings, which are many and seldom set.
    settings: Vec<Column>,
}

impl Format {
    fn of(kind: FileKind) -> Self {
        let is_setting = |column: &Column| reckon::water::setup::by_name(column.name).is_some();
        let (settings, columns) = columns(kind).into_iter().partition(is_setting);
        Self { kind, title: kind_title(kind), columns, settings }
    }
}

#[derive(Template)]
#[template(path = "formats/formats.html")]
struct Formats {
    shell: Shell,
    formats: Vec<Format>,
}

impl Formats {
    fn holds(column: &Column) -> String {
        match column.input {
            Input::Text | Input::LongText => "text".to_owned(),
            Input::Date => "day, year-month-day".to_owned(),
            Input::MonthDay => "month-day".to_owned(),
            Input::Number { unit: "" } => "number".to_owned(),
            Input::Number { unit } => format!("number, {unit}"),
            Input::Choice(words) => format!("one of: {}", words.join(", ")),
        }
    }
}

/// GET /bring-in/formats
pub async fn formats_page(shell: Shell) -> Page {
    show(&Formats { shell, formats: FileKind::all().map(Format::of).collect() })
}

/// GET /bring-in/formats/{kind}.csv
pub async fn blank_csv(req: HttpRequest) -> Page {
    let word = req.match_info().get("kind").unwrap_or_default();
    let kind = FileKind::from_word(word).ok_or(PageError::NotFound)?;
    let name = format!("attachment; filename=\"{}.csv\"", kind.word());
    let response = HttpResponse::Ok()
        .insert_header((CONTENT_TYPE, "text/csv; charset=utf-8"))
        .insert_header((CONTENT_DISPOSITION, name))
        .body(blank(kind));
    Ok(response)
}
