//! A farm added or corrected.

use actix_web::web;

use super::form::{blank, sent};
use super::subject::Subject;
use crate::app::AppState;
use crate::body::Form;
use crate::error::PageError;
use crate::extract::{FarmAt, SeasonAt, Writing};
use crate::pages::Page;
use crate::shell::Shell;

/// A new farm belongs to nobody who sees some farms only.
async fn must_add(writing: &Writing, year: i32) -> Result<(), PageError> {
    writing.desk().season(year).await?;
    if writing.sees_all() { Ok(()) } else { Err(PageError::Forbidden) }
}

/// GET /season/{year}/farms/add
pub async fn add_farm_page(state: web::Data<AppState>, writing: Writing, shell: Shell, at: SeasonAt) -> Page {
    must_add(&writing, at.year).await?;
    blank(shell, Subject::NewFarm, at.year, state.source.id())
}

/// POST /season/{year}/farms/add
pub async fn add_farm_sent(writing: Writing, shell: Shell, at: SeasonAt, form: Form) -> Page {
    must_add(&writing, at.year).await?;
    sent(&writing, shell, Subject::NewFarm, at.year, &form).await
}

async fn farm(writing: &Writing, at: FarmAt) -> Result<Subject, PageError> {
    let desk = writing.desk();
    desk.season(at.year).await?;
    Ok(Subject::Farm(desk.farm(at.farm).await?))
}

/// GET /season/{year}/farm/{farm}/correct
pub async fn correct_farm_page(state: web::Data<AppState>, writing: Writing, shell: Shell, at: FarmAt) -> Page {
    blank(shell, farm(&writing, at).await?, at.year, state.source.id())
}

/// POST /season/{year}/farm/{farm}/correct
pub async fn correct_farm_sent(writing: Writing, shell: Shell, at: FarmAt, form: Form) -> Page {
    sent(&writing, shell, farm(&writing, at).await?, at.year, &form).await
}
