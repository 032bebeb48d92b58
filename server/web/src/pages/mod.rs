//! Pages: one folder or file a page family, mirrored by `templates/`.
//!
//! A handler extracts, makes one store or intake call, fills one page struct and shows it. No
//! arithmetic, no SQL, no HTML, no clock.

pub mod block;
pub mod bring_in;
pub mod changes;
pub mod costs;
pub mod crews;
pub mod due;
pub mod farm;
mod field;
pub mod files;
pub mod first_run;
pub mod formats;
pub mod health;
#[cfg(test)]
pub(crate) mod html;
pub mod keys;
pub mod next_season;
pub mod overview;
pub mod packout;
pub mod people;
pub mod records;
pub mod season;
pub mod seasons;
pub mod setup;
pub mod sign_in;
pub mod sources;
pub mod statement;
pub mod thinning;
pub mod water;

use actix_web::HttpResponse;
use actix_web::http::StatusCode;
use actix_web::http::header::LOCATION;
use askama::Template;

use crate::error::PageError;

/// What every handler returns.
pub type Page = Result<HttpResponse, PageError>;

/// The page, 200.
pub fn show(page: &impl Template) -> Page {
    show_with(StatusCode::OK, page)
}

/// The page with another status: 422 for a form that comes back, 409 for one overtaken.
pub fn show_with(status: StatusCode, page: &impl Template) -> Page {
    Ok(HttpResponse::build(status).content_type("text/html; charset=utf-8").body(page.render()?))
}

/// After a form: on to another page with GET.
pub fn see_other(link: &str) -> HttpResponse {
    HttpResponse::SeeOther().insert_header((LOCATION, link)).finish()
}

/// Words as a heading: "labor entries" becomes "Labor entries".
pub(crate) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}
