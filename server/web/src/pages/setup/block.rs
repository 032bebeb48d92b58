//! A block added or corrected.

use actix_web::web;

use super::form::{blank, sent};
use super::subject::Subject;
use crate::app::AppState;
use crate::body::Form;
use crate::error::PageError;
use crate::extract::{BlockAt, FarmAt, Writing};
use crate::pages::Page;
use crate::shell::Shell;

async fn new_block(writing: &Writing, at: FarmAt) -> Result<Subject, PageError> {
    let desk = writing.desk();
    desk.season(at.year).await?;
    Ok(Subject::NewBlock(desk.farm(at.farm).await?))
}

/// GET /season/{year}/farm/{farm}/blocks/add
pub async fn add_block_page(state: web::Data<AppState>, writing: Writing, shell: Shell, at: FarmAt) -> Page {
    blank(shell, new_block(&writing, at).await?, at.year, state.source.id())
}

/// POST /season/{year}/farm/{farm}/blocks/add
pub async fn add_block_sent(writing: Writing, shell: Shell, at: FarmAt, form: Form) -> Page {
    sent(&writing, shell, new_block(&writing, at).await?, at.year, &form).await
}

async fn block(writing: &Writing, at: BlockAt) -> Result<Subject, PageError> {
    let desk = writing.desk();
    desk.season(at.year).await?;
    Ok(Subject::Block(desk.block(at.block).await?))
}

/// GET /season/{year}/block/{block}/correct
pub async fn correct_block_page(state: web::Data<AppState>, writing: Writing, shell: Shell, at: BlockAt) -> Page {
    blank(shell, block(&writing, at).await?, at.year, state.source.id())
}

/// POST /season/{year}/block/{block}/correct
pub async fn correct_block_sent(writing: Writing, shell: Shell, at: BlockAt, form: Form) -> Page {
    sent(&writing, shell, block(&writing, at).await?, at.year, &form).await
}
