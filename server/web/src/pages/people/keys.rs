//! The keys of a colleague's programs: an owner sees them and takes one away.

use askama::Template;
use store::UserId;

use super::change::person;
use crate::body::Form;
use crate::error::PageError;
use crate::extract::{KeyAt, PersonAt, Reading, Writing};
use crate::pages::keys::Shown;
use crate::pages::{Page, see_other, show};
use crate::routes::to;
use crate::shell::Shell;

#[derive(Template)]
#[template(path = "people/keys.html")]
pub(super) struct KeysOf {
    pub(super) shell: Shell,
    pub(super) name: String,
    pub(super) rows: Vec<Shown>,
}

/// GET /people/{person}/keys
pub async fn keys_page(reading: Reading, shell: Shell, at: PersonAt) -> Page {
    let desk = reading.desk();
    let name = person(&desk, at.person).await?.name;
    let keys = desk.program_keys_of(at.person).await?;
    let rows = keys.iter().map(|row| Shown::of(&shell, row, link(at.person))).collect();
    show(&KeysOf { shell: shell.below(to::people()), name, rows })
}

#[derive(Template)]
#[template(path = "people/remove_key.html")]
pub(super) struct RemoveKey {
    pub(super) shell: Shell,
    pub(super) person: UserId,
    pub(super) name: String,
    pub(super) key: Shown,
}

/// GET /people/{person}/keys/{key}/remove
pub async fn remove_key_page(reading: Reading, shell: Shell, at: PersonAt, key: KeyAt) -> Page {
    let desk = reading.desk();
    let name = person(&desk, at.person).await?.name;
    let rows = desk.program_keys_of(at.person).await?;
    let row = rows.iter().find(|row| row.id == key.key).ok_or(PageError::NotFound)?;
    let key = Shown::of(&shell, row, link(at.person));
    show(&RemoveKey { shell: shell.below(to::people()), person: at.person, name, key })
}

/// POST /people/{person}/keys/{key}/remove
pub async fn remove_key_sent(writing: Writing, at: PersonAt, key: KeyAt, _form: Form) -> Page {
    let mut book = writing.open().await?;
    book.remove_program_key_of(at.person, key.key).await?;
    book.save().await?;
    Ok(see_other(&format!("{}?said=key-removed", to::keys_of(at.person))))
}

fn link(person: UserId) -> impl Fn(store::ProgramKeyId) -> String {
    move |key| to::remove_key_of(person, key)
}
