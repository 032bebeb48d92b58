//! A new record.

use actix_web::http::StatusCode;
use actix_web::web;
use askama::Template;
use intake::Problem;
use store::Desk;
use uuid::Uuid;

use super::fields::{Fields, Shape};
use super::{List, keep, key_of, list, offered, sent_before};
use crate::app::AppState;
use crate::body::Form;
use crate::error::PageError;
use crate::extract::{KindAt, Writing};
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
}

/// GET …/{kind}/add
pub async fn add_page(state: web::Data<AppState>, writing: Writing, shell: Shell, at: KindAt) -> Page {
    let desk = writing.desk();
    let list = List::of(&desk, at).await?;
    list.must_be_open()?;
    list.must_take_more(&writing)?;
    let offered = offered(&desk, &list, &shell).await?;
    let fields = Fields::of(&list, &offered, &[]);
    show(&Add { shell, list, key: state.source.id(), fields })
}

/// POST …/{kind}/add
pub async fn add_sent(writing: Writing, shell: Shell, at: KindAt, form: Form) -> Page {
    let list = List::of(&writing.desk(), at).await?;
    list.must_take_more(&writing)?;
    let key = key_of(&form)?;
    let (target, record) = match list.read(&form) {
        Ok(read) => read,
        Err(problems) => return again(shell, list, key, &form, &problems),
    };
    let mut book = writing.open().await?;
    if let Some(before) = sent_before(&mut book, key).await? {
        return Ok(before);
    }
    let id = book.add(&target, &record).await?;
    keep(book, key, &list.after("kept", id)).await
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
    if let Some(newest) = list::newest(desk, list).await? {
        let written = list.written(&newest);
        for (from, to) in offered::taken_over(list.at.kind) {
            let value = written.iter().find(|(name, _)| name == from);
            typed.extend(value.map(|(_, text)| ((*to).to_owned(), text.clone())));
        }
    }
    Ok(typed)
}
