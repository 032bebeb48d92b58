//! A new record.

use actix_web::http::StatusCode;
use actix_web::web;
use askama::Template;
use intake::Problem;
use reckon::figure::RecordKind;
use store::{Desk, Right};
use uuid::Uuid;

use super::fields::{Fields, Shape};
use super::{List, ask, keep, key_of, list, offered, sent_before};
use crate::app::AppState;
use crate::body::Form;
use crate::error::PageError;
use crate::extract::{KindAt, Writing};
use crate::pages::sign_in::kept::is_looked_over;
use crate::pages::{Page, show, show_with};
use crate::routes::to;
use crate::shell::Shell;

#[derive(Template)]
#[template(path = "records/add.html")]
struct Add {
    shell: Shell,
    list: List,
    key: Uuid,
    fields: Fields,
}

impl Add {
    fn action(&self) -> String {
        to::add(self.list.at.year, self.list.at.block, self.list.at.kind)
    }

    /// A crew day, written down by who takes a crew out: what can hurt people stands above the form.
    fn is_crew_day(&self) -> bool {
        self.list.at.kind == RecordKind::Labor && self.shell.may(Right::KeepField)
    }
}

/// GET …/{kind}/add
pub async fn add_page(state: web::Data<AppState>, writing: Writing, shell: Shell, at: KindAt) -> Page {
    let desk = writing.desk();
    let list = List::of(&desk, at, &shell).await?;
    list.must_be_open()?;
    list.must_take_more(&writing)?;
    let offered = offered(&desk, &list, &shell).await?;
    let fields = Fields::of(&list, &offered, &[]);
    show(&Add { shell, list, key: state.source.id(), fields })
}

/// POST …/{kind}/add
pub async fn add_sent(writing: Writing, shell: Shell, at: KindAt, form: Form) -> Page {
    let list = List::of(&writing.desk(), at, &shell).await?;
    list.must_take_more(&writing)?;
    let key = key_of(&form)?;
    if is_looked_over(&form) {
        let fields = Fields::of(&list, form.fields(), &[]);
        return show(&Add { shell, list, key, fields });
    }
    let newest = list::newest(&writing.desk(), &list, &shell.user).await?;
    let (target, record) = match list.read(&form, None, newest.as_ref()) {
        Ok(read) => read,
        Err(problems) => return again(shell, list, key, &form, &problems),
    };
    let mut book = writing.open().await?;
    if let Some(before) = sent_before(&mut book, &form).await? {
        return Ok(before);
    }
    let asked = ask::asked(&writing.desk(), &list, shell.today, (&target, &record), None, &form).await?;
    if !asked.is_empty() {
        drop(book);
        let fields = Fields { asked, ..Fields::of(&list, form.fields(), &[]) };
        return show_with(StatusCode::UNPROCESSABLE_ENTITY, &Add { shell, list, key, fields });
    }
    match book.add(&target, &record).await {
        Ok(id) => keep(book, &form, &list.after("kept", &record, id)).await,
        Err(error) => {
            drop(book);
            let error = PageError::from(error);
            let fields = refused(&list, &form, &error).ok_or(error)?;
            show_with(StatusCode::CONFLICT, &Add { shell, list, key, fields })
        }
    }
}

/// What was typed comes back where the season takes it no more; other faults have their own page.
pub(super) fn refused(list: &List, form: &Form, error: &PageError) -> Option<Fields> {
    let mends = matches!(error, PageError::Closed(_) | PageError::OutsideSeason | PageError::OfBlock(_));
    mends.then(|| Fields::refused(list, form.fields(), error))
}

fn again(shell: Shell, list: List, key: Uuid, form: &Form, problems: &[Problem]) -> Page {
    let fields = Fields::of(&list, form.fields(), problems);
    show_with(StatusCode::UNPROCESSABLE_ENTITY, &Add { shell, list, key, fields })
}

/// Today, and what usually stays the same from one entry to the next.
async fn offered(desk: &Desk<'_>, list: &List, shell: &Shell) -> Result<Vec<(String, String)>, PageError> {
    let mut typed = Vec::new();
    if list.season.holds(shell.today) {
        let column = if list.columns().iter().any(|column| column.name == "from") { "from" } else { "date" };
        typed.push((column.to_owned(), shell.today.to_string()));
    }
    if let Some(newest) = list::newest(desk, list, &shell.user).await? {
        let written = list.written(&newest);
        let columns = list.columns();
        let shown = |name: &&str| columns.iter().any(|column| column.name == *name);
        for (from, to) in offered::taken_over(list.at.kind).iter().filter(|(_, to)| shown(to)) {
            let value = written.iter().find(|(name, _)| name == from);
            typed.extend(value.map(|(_, text)| ((*to).to_owned(), text.clone())));
        }
    }
    Ok(typed)
}
