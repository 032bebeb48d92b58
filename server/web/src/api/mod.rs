//! For other programs: records in and blocks out as JSON, by a key of a person (`key`).
//!
//! There is no second parser: the objects of a request become the rows of a file (`rows`) and go the
//! way of every file. Every answer under `/api` is JSON, problems included.

mod answer;
mod asked;
pub(crate) mod key;
mod openapi;
mod rows;
mod sent;
#[cfg(test)]
mod tests;

pub(crate) use openapi::STATUSES;
pub use openapi::openapi;
pub use sent::records_sent;

use actix_web::HttpResponse;
use actix_web::http::StatusCode;
use actix_web::http::header::CONTENT_TYPE;
use serde_json::{Value, json};

use crate::extract::{Reading, SeasonAt};
use crate::pages::Page;
use crate::routes::to;

/// Content type of every answer.
pub(crate) const JSON: &str = "application/json";

/// Whether an address is one of other programs.
pub(crate) fn is_at(path: &str) -> bool {
    path == "/api" || path.starts_with("/api/")
}

/// An answer.
fn answer(status: StatusCode, said: &Value) -> HttpResponse {
    HttpResponse::build(status).insert_header((CONTENT_TYPE, JSON)).body(said.to_string())
}

/// GET /api/season/{year}: its blocks, each with the address of its figures.
pub async fn season(reading: Reading, at: SeasonAt) -> Page {
    let desk = reading.desk();
    let (season, blocks) = (desk.season(at.year).await?, desk.summaries(at.year).await?);
    let block = |(row, _): &(store::BlockRow, _)| {
        json!({
            "code": row.block.code,
            "farm": row.farm_name,
            "id": row.id.to_string(),
            "link": to::season_json(at.year, row.id),
        })
    };
    let said = json!({
        "year": season.year,
        "first_day": season.first_day.to_string(),
        "last_day": season.last_day.to_string(),
        "blocks": blocks.iter().map(block).collect::<Vec<_>>(),
    });
    Ok(answer(StatusCode::OK, &said))
}
