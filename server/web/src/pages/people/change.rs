//! A person's role and farms changed, a new one-time password, and the person removed after a question.

use actix_web::http::StatusCode;
use actix_web::web;
use askama::Template;
use store::{Desk, PersonRow, StoreError, UserId};

use super::asked::{ALL_FARMS, Asked, SOME_FARMS};
use super::{Given, PersonForm, Shown, again, one_time};
use crate::app::AppState;
use crate::body::Form;
use crate::error::PageError;
use crate::extract::{PersonAt, Writing};
use crate::pages::{Page, see_other, show, show_with};
use crate::routes::to;
use crate::shell::Shell;

#[derive(Template)]
#[template(path = "people/remove.html")]
struct Remove {
    shell: Shell,
    person: Shown,
    problem: Option<String>,
}

pub(super) async fn person(desk: &Desk<'_>, id: UserId) -> Result<PersonRow, PageError> {
    desk.people().await?.into_iter().find(|row| row.id == id).ok_or(PageError::NotFound)
}

/// GET /people/{person}/change
pub async fn change_page(writing: Writing, shell: Shell, at: PersonAt) -> Page {
    let row = person(&writing.desk(), at.person).await?;
    let reach = if row.farms.is_some() { SOME_FARMS } else { ALL_FARMS };
    let typed = Asked {
        role: row.role.word().to_owned(),
        reach: reach.to_owned(),
        farms: row.farms.iter().flatten().map(|(id, _)| id.to_string()).collect(),
        ..Asked::default()
    };
    show(&PersonForm::of(shell, Some(Shown::of(&row)), typed, Vec::new()))
}

/// POST /people/{person}/change
pub async fn change_sent(writing: Writing, shell: Shell, at: PersonAt, form: Form) -> Page {
    let row = person(&writing.desk(), at.person).await?;
    let typed = Asked::of(&form);
    let checked = match typed.role_and_farms(&shell.farms) {
        Ok(checked) => checked,
        Err(problems) => return again(&PersonForm::of(shell, Some(Shown::of(&row)), typed, problems)),
    };
    let mut book = writing.open().await?;
    match book.change_person(at.person, checked.role, checked.farms.as_deref()).await {
        Ok(()) => {
            book.save().await?;
            // Who gives up being an owner sees this page no more.
            let own = at.person == writing.user() && checked.role != store::Role::Owner;
            let back = if own { to::seasons() } else { to::people() };
            Ok(see_other(&format!("{back}?said=person")))
        }
        Err(last @ StoreError::LastOwner) => {
            let problem = ("role", sentence(&last));
            again(&PersonForm::of(shell, Some(Shown::of(&row)), typed, vec![problem]))
        }
        Err(other) => Err(other.into()),
    }
}

/// GET /people/{person}/remove
pub async fn remove_page(writing: Writing, shell: Shell, at: PersonAt) -> Page {
    let person = Shown::of(&person(&writing.desk(), at.person).await?);
    show(&Remove { shell, person, problem: None })
}

/// POST /people/{person}/remove
pub async fn remove_sent(writing: Writing, shell: Shell, at: PersonAt, _form: Form) -> Page {
    let person = Shown::of(&person(&writing.desk(), at.person).await?);
    let mut book = writing.open().await?;
    match book.remove_person(at.person).await {
        Ok(()) => {
            book.save().await?;
            Ok(see_other(&format!("{}?said=person-removed", to::people())))
        }
        Err(last @ StoreError::LastOwner) => {
            let problem = Some(sentence(&last));
            show_with(StatusCode::CONFLICT, &Remove { shell, person, problem })
        }
        Err(other) => Err(other.into()),
    }
}

/// POST /people/{person}/password: a new one for one sign-in, for somebody who forgot theirs.
pub async fn password_given(
    state: web::Data<AppState>,
    writing: Writing,
    shell: Shell,
    at: PersonAt,
    _form: Form,
) -> Page {
    let person = Shown::of(&person(&writing.desk(), at.person).await?);
    if at.person == writing.user() {
        // Their own they change on their own page, with the old one.
        return Ok(see_other(&to::password()));
    }
    let (password, hash) = one_time(&state).await?;
    let mut book = writing.open().await?;
    book.give_one_time_password(at.person, &hash).await?;
    book.save().await?;
    show(&Given { shell, name: person.name, email: person.email, password })
}

/// The store's sentence with a capital and a full stop.
fn sentence(error: &StoreError) -> String {
    format!("{}.", crate::pages::capital(&error.to_string()))
}
