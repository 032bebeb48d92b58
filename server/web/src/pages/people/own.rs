//! Everybody's own password.

use actix_web::http::StatusCode;
use actix_web::{HttpRequest, web};
use askama::Template;

use crate::app::AppState;
use crate::body::Form;
use crate::error::PageError;
use crate::extract::Writing;
use crate::pages::sign_in::wait;
use crate::pages::{Page, see_other, show, show_with};
use crate::routes::to;
use crate::shell::Shell;
use crate::{password, session};

#[derive(Template)]
#[template(path = "people/password.html")]
struct OwnPassword {
    shell: Shell,
    /// The one that was given holds for this sign-in only.
    one_time: bool,
    problems: Vec<(&'static str, String)>,
}

impl OwnPassword {
    fn problem(&self, field: &str) -> Option<&String> {
        self.problems.iter().find(|(name, _)| *name == field).map(|(_, sentence)| sentence)
    }
}

/// GET /password
pub async fn password_page(writing: Writing, shell: Shell) -> Page {
    show(&OwnPassword { shell, one_time: writing.one_time(), problems: Vec::new() })
}

/// POST /password
pub async fn password_sent(
    state: web::Data<AppState>,
    writing: Writing,
    shell: Shell,
    req: HttpRequest,
    form: Form,
) -> Page {
    let (old, new) = (form.get("old_password").to_owned(), form.get("new_password").to_owned());
    let email = writing.desk().own_email().await?;
    let address = wait::address(&req);
    let left = wait::seconds_left(state.store.door(), &email, address.as_deref(), state.source.now()).await?;
    let problem = if let Some(seconds) = left {
        return too_many(shell, writing.one_time(), seconds);
    } else if !fits(&state, &writing, &old, (&email, address.as_deref())).await? {
        Some(("old_password", "This is not your password now. Nothing was changed.".to_owned()))
    } else if let Some(objection) = password::objection(&new, &email) {
        Some(("new_password", objection.to_owned()))
    } else if new == old {
        Some(("new_password", "This is the password you have. Choose another one.".to_owned()))
    } else {
        None
    };
    if let Some(problem) = problem {
        let page = OwnPassword { shell, one_time: writing.one_time(), problems: vec![problem] };
        return show_with(StatusCode::UNPROCESSABLE_ENTITY, &page);
    }
    let hash = password::hash_aside(new, state.source.secret()).await?;
    let mut book = writing.open().await?;
    book.change_own_password(&hash, session::token_hash(&state, &req).as_ref()).await?;
    book.save().await?;
    Ok(see_other(&format!("{}?said=password", to::seasons())))
}

/// No password was looked at: guesses wait here as they do at the sign-in.
fn too_many(shell: Shell, one_time: bool, seconds: i64) -> Page {
    let page = OwnPassword { shell, one_time, problems: vec![("old_password", wait::too_early(seconds))] };
    Ok(wait::until(show_with(StatusCode::TOO_MANY_REQUESTS, &page)?, seconds))
}

/// Whether the password is the person's: who finds a signed-in browser must not take the book over.
/// The try counts as failed from its beginning, in one count with those of the sign-in.
async fn fits(
    state: &AppState,
    writing: &Writing,
    old: &str,
    (email, address): (&str, Option<&str>),
) -> Result<bool, PageError> {
    let door = state.store.door();
    door.note_failed_sign_in(email, address).await?;
    let hash = writing.desk().own_password().await?;
    let fits = password::matches_aside(old.to_owned(), Some(hash)).await?;
    if fits {
        door.forget_failed_sign_ins(writing.user()).await?;
    }
    Ok(fits)
}
