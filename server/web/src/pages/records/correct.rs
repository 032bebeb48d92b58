//! A record corrected. Two people at one record: the second sees what the first made of it.

use actix_web::http::StatusCode;
use actix_web::web;
use askama::Template;
use intake::Problem;
use store::StoreError;
use uuid::Uuid;

use super::add::refused;
use super::fields::{Fields, Shape};
use super::gone::gone;
use super::shown::{Shown, shown};
use super::{List, ask, keep, key_of, sent_before};
use crate::app::AppState;
use crate::body::Form;
use crate::error::PageError;
use crate::extract::{RecordAt, Writing};
use crate::pages::sign_in::kept::is_looked_over;
use crate::pages::{Page, show, show_with};
use crate::routes::to;
use crate::shell::Shell;

#[derive(Template)]
#[template(path = "records/correct.html")]
struct Correct {
    shell: Shell,
    list: List,
    id: Uuid,
    key: Uuid,
    version: i64,
    fields: Fields,
    /// What stands in the book, when somebody changed it while the form was open.
    now: Option<Shown>,
}

impl Correct {
    fn action(&self) -> String {
        to::correct(self.list.at.year, self.list.at.block, self.list.at.kind, self.id)
    }
}

/// GET …/{kind}/{id}/correct
pub async fn correct_page(state: web::Data<AppState>, writing: Writing, shell: Shell, at: RecordAt) -> Page {
    let desk = writing.desk();
    let list = List::of(&desk, at.list, &shell).await?;
    list.must_be_open()?;
    let stored = match list.record(&desk, at).await {
        Ok(stored) => stored,
        Err(error) => return gone(&writing, shell, list, at, state.source.id(), None, error).await,
    };
    let fields = Fields::of(&list, &list.written(&stored), &[]);
    show(&Correct { shell, list, id: at.id, key: state.source.id(), version: stored.version, fields, now: None })
}

/// POST …/{kind}/{id}/correct
pub async fn correct_sent(writing: Writing, shell: Shell, at: RecordAt, form: Form) -> Page {
    let list = List::of(&writing.desk(), at.list, &shell).await?;
    let (key, version) = (key_of(&form)?, version_of(&form)?);
    let stored = match list.record(&writing.desk(), at).await {
        Ok(stored) => stored,
        Err(error) => return gone(&writing, shell, list, at, key, Some(&form), error).await,
    };
    if is_looked_over(&form) {
        let fields = Fields::of(&list, form.fields(), &[]);
        return show(&Correct { shell, list, id: at.id, key, version, fields, now: None });
    }
    let (target, record) = match list.read(&form, Some(&stored), None) {
        Ok(read) => read,
        Err(problems) => return again(shell, list, at.id, key, version, &form, &problems),
    };
    let mut book = writing.open().await?;
    if let Some(before) = sent_before(&mut book, &form).await? {
        return Ok(before);
    }
    let entry = (&target, &record);
    let asked = ask::asked(&writing.desk(), &list, shell.today, entry, Some(&stored), &form).await?;
    if !asked.is_empty() {
        drop(book);
        let fields = Fields { asked, ..Fields::of(&list, form.fields(), &[]) };
        let page = Correct { shell, list, id: at.id, key, version, fields, now: None };
        return show_with(StatusCode::UNPROCESSABLE_ENTITY, &page);
    }
    match book.correct(at.list.kind, at.id, version, &target, &record).await {
        Ok(()) => keep(book, &form, &list.after("corrected", &record, at.id)).await,
        Err(StoreError::Changed) => {
            drop(book);
            overtaken(&writing, shell, list, at, key, &form).await
        }
        Err(StoreError::NotFound) => {
            drop(book);
            gone(&writing, shell, list, at, key, Some(&form), PageError::NotFound).await
        }
        Err(other) => {
            drop(book);
            let error = PageError::from(other);
            let fields = refused(&list, &form, &error).ok_or(error)?;
            show_with(StatusCode::CONFLICT, &Correct { shell, list, id: at.id, key, version, fields, now: None })
        }
    }
}

/// The version the form was made from.
pub(crate) fn version_of(form: &Form) -> Result<i64, PageError> {
    form.get("version").parse().map_err(|_| PageError::Unreadable("the form's version is missing"))
}

fn again(shell: Shell, list: List, id: Uuid, key: Uuid, version: i64, form: &Form, problems: &[Problem]) -> Page {
    let fields = Fields::of(&list, form.fields(), problems);
    let page = Correct { shell, list, id, key, version, fields, now: None };
    show_with(StatusCode::UNPROCESSABLE_ENTITY, &page)
}

/// What was typed beside what stands there now; kept once more, it replaces that.
async fn overtaken(writing: &Writing, shell: Shell, list: List, at: RecordAt, key: Uuid, form: &Form) -> Page {
    let stored = list.record(&writing.desk(), at).await?;
    let fields = Fields::of(&list, form.fields(), &[]);
    let now = Some(shown(&list, &stored));
    let page = Correct { shell, list, id: at.id, key, version: stored.version, fields, now };
    show_with(StatusCode::CONFLICT, &page)
}
