//! Everybody's own password.

use actix_web::http::StatusCode;
use actix_web::{HttpRequest, web};
use askama::Template;

use crate::app::AppState;
use crate::body::Form;
use crate::error::PageError;
use crate::extract::Writing;
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
    problems: Vec<(&'static str, &'static str)>,
}

impl OwnPassword {
    fn problem(&self, field: &str) -> Option<&'static str> {
        self.problems.iter().find(|(name, _)| *name == field).map(|(_, sentence)| *sentence)
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
    let problem = if !fits(&writing, &old).await? {
        Some(("old_password", "This is not your password now. Nothing was changed."))
    } else if !password::long_enough(&new) {
        Some(("new_password", "Give a password of 12 to 1,024 characters."))
    } else if new == old {
        Some(("new_password", "This is the password you have. Choose another one."))
    } else {
        None
    };
    if let Some(problem) = problem {
        let page = OwnPassword { shell, one_time: writing.one_time(), problems: vec![problem] };
        return show_with(StatusCode::UNPROCESSABLE_ENTITY, &page);
    }
    let salt = state.source.secret();
    let hash = web::block(move || password::hash(&new, &salt)).await?.map_err(PageError::inside)?;
    let mut book = writing.open().await?;
    book.change_own_password(&hash, session::token_hash(&state, &req).as_ref()).await?;
    book.save().await?;
    Ok(see_other(&format!("{}?said=password", to::seasons())))
}

/// Whether the password is the person's: who finds a signed-in browser must not take the book over.
async fn fits(writing: &Writing, old: &str) -> Result<bool, PageError> {
    let hash = writing.desk().own_password().await?;
    let old = old.to_owned();
    Ok(web::block(move || password::matches(&old, Some(&hash))).await?)
}
