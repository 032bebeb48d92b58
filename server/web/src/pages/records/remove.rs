//! A record removed, after a question. It stays readable under Changes.

use actix_web::http::StatusCode;
use actix_web::web;
use askama::Template;
use store::StoreError;
use uuid::Uuid;

use super::correct::version_of;
use super::gone::gone;
use super::shown::{Shown, shown};
use super::{List, keep, key_of, sent_before};
use crate::app::AppState;
use crate::body::Form;
use crate::extract::{RecordAt, Writing};
use crate::pages::{Page, show, show_with};
use crate::routes::to;
use crate::shell::Shell;

#[derive(Template)]
#[template(path = "records/remove.html")]
struct Remove {
    shell: Shell,
    list: List,
    id: Uuid,
    key: Uuid,
    version: i64,
    record: Shown,
    /// Somebody changed it while the question stood open.
    overtaken: bool,
}

impl Remove {
    fn action(&self) -> String {
        to::remove(self.list.at.year, self.list.at.block, self.list.at.kind, self.id)
    }
}

/// GET …/{kind}/{id}/remove
pub async fn remove_page(state: web::Data<AppState>, writing: Writing, shell: Shell, at: RecordAt) -> Page {
    let desk = writing.desk();
    let list = List::of(&desk, at.list, &shell).await?;
    list.must_be_open()?;
    let stored = match list.record(&desk, at).await {
        Ok(stored) => stored,
        Err(error) => return gone(&writing, shell, list, at, state.source.id(), None, error).await,
    };
    let (version, record) = (stored.version, shown(&list, &stored));
    show(&Remove { shell, list, id: at.id, key: state.source.id(), version, record, overtaken: false })
}

/// POST …/{kind}/{id}/remove
pub async fn remove_sent(writing: Writing, shell: Shell, at: RecordAt, form: Form) -> Page {
    let list = List::of(&writing.desk(), at.list, &shell).await?;
    let (key, version) = (key_of(&form)?, version_of(&form)?);
    let mut book = writing.open().await?;
    if let Some(before) = sent_before(&mut book, &form).await? {
        return Ok(before);
    }
    // Read within the transaction: nobody else changes it until the answer stands.
    let stored = match list.record(&writing.desk(), at).await {
        Ok(stored) => stored,
        Err(error) => {
            drop(book);
            return gone(&writing, shell, list, at, key, None, error).await;
        }
    };
    match book.remove(at.list.kind, at.id, version).await {
        Ok(()) => keep(book, &form, &format!("{}?said=removed", list.link())).await,
        Err(StoreError::Changed) => {
            let (version, record) = (stored.version, shown(&list, &stored));
            let page = Remove { shell, list, id: at.id, key, version, record, overtaken: true };
            show_with(StatusCode::CONFLICT, &page)
        }
        Err(other) => Err(other.into()),
    }
}
