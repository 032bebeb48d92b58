//! Sign in and sign out.

pub(crate) mod kept;
pub(crate) mod wait;

use actix_web::http::StatusCode;
use actix_web::{HttpRequest, web};
use askama::Template;
use store::UserId;

use crate::app::AppState;
use crate::body::Form;
use crate::error::PageError;
use crate::extract::query;
use crate::pages::{Page, see_other, show, show_with};
use crate::routes::to;
use crate::shell::Shell;
use crate::{email, password, session};
use kept::Kept;

/// The same sentence whether the e-mail or the password is wrong.
const NO_MATCH: &str = "This e-mail and password do not belong together. Check both and try again.";

/// Only who knows the password is told.
const SPENT: &str = "This one-time password was used already, or was given more than seven days ago. Ask the owner of the book for a new one.";

#[derive(Template)]
#[template(path = "sign_in/sign_in.html")]
struct SignIn {
    shell: Shell,
    back: String,
    email: String,
    problem: Option<String>,
    /// What was typed into a form that came without a session.
    kept: Kept,
}

impl SignIn {
    const fn none() -> Option<&'static str> {
        None
    }
}

/// GET /sign-in
pub async fn sign_in_page(state: web::Data<AppState>, shell: Shell, req: HttpRequest) -> Page {
    if state.store.door().is_empty().await? {
        return Ok(see_other(&to::first_run()));
    }
    let back = query(&req, "back").unwrap_or_default();
    show(&SignIn { shell, back, email: String::new(), problem: None, kept: Kept::default() })
}

/// POST /sign-in
pub async fn sign_in_sent(state: web::Data<AppState>, shell: Shell, req: HttpRequest, form: Form) -> Page {
    let email = form.get("email").trim().to_lowercase();
    let address = wait::address(&req);
    let door = state.store.door();
    if let Some(seconds) = wait::seconds_left(door, &email, address.as_deref(), state.source.now()).await? {
        return too_many(shell, &form, seconds);
    }
    if let Some(user) = who(&state, &email, form.get("password"), address.as_deref()).await? {
        if door.opens(user).await? {
            if let Some(address) = &address {
                door.know_address(user, address).await?;
            }
            return signed_in(&state, user, &form).await;
        }
        return refused(shell, &form, StatusCode::UNPROCESSABLE_ENTITY, SPENT.to_owned());
    }
    let next = wait::seconds_left(door, &email, address.as_deref(), state.source.now()).await?;
    let wait = next.map(|seconds| format!(" The next try has to wait {}.", wait::in_words(seconds)));
    refused(shell, &form, StatusCode::UNPROCESSABLE_ENTITY, format!("{NO_MATCH}{}", wait.unwrap_or_default()))
}

/// No password was looked at: an honest person waits a little, a guesser for long.
fn too_many(shell: Shell, form: &Form, seconds: i64) -> Page {
    let response = refused(shell, form, StatusCode::TOO_MANY_REQUESTS, wait::too_early(seconds))?;
    Ok(wait::until(response, seconds))
}

fn refused(shell: Shell, form: &Form, status: StatusCode, problem: String) -> Page {
    let (back, email) = (form.get("back").to_owned(), form.get("email").to_owned());
    show_with(status, &SignIn { shell, back, email, problem: Some(problem), kept: Kept::along(form) })
}

/// On to the page asked for, or to what was typed before the session was over.
async fn signed_in(state: &AppState, user: UserId, form: &Form) -> Page {
    let begun = session::begin(state, user).await?;
    let kept = Kept::along(form);
    let mut response = match own_path(form.get("back")) {
        Some(path) if !kept.is_empty() => kept::again(state, path, &begun.csrf, kept)?,
        back => see_other(back.unwrap_or(&to::home())),
    };
    response.add_cookie(&begun.cookie).map_err(PageError::inside)?;
    Ok(response)
}

/// POST /sign-out
pub async fn sign_out_sent(state: web::Data<AppState>, _form: Form, req: HttpRequest) -> Page {
    let mut response = see_other(&format!("{}?said=signed-out", to::sign_in()));
    response.add_cookie(&session::end(&state, &req).await?).map_err(PageError::inside)?;
    Ok(response)
}

/// The person with this e-mail and password. Looks at a password even where nobody has the
/// e-mail, so the time does not tell. The try counts as failed from its beginning: many at once
/// are no way around the wait. Signing in forgets those of the e-mail. What cannot be an e-mail is
/// nobody's, and no try.
async fn who(
    state: &AppState,
    email: &str,
    password: &str,
    address: Option<&str>,
) -> Result<Option<UserId>, PageError> {
    if !email::may_be(email) {
        return Ok(None);
    }
    let door = state.store.door();
    door.note_failed_sign_in(email, address).await?;
    let (user, hash) = door.password_of(email).await?.unzip();
    let fits = password::matches_aside(password.to_owned(), hash).await?;
    Ok(user.filter(|_| fits))
}

/// The path, if it leads to a page of this book and nowhere else.
fn own_path(back: &str) -> Option<&str> {
    let plain = back.bytes().all(|byte| byte.is_ascii_graphic() && byte != b'\\');
    (plain && back.starts_with('/') && !back.starts_with("//")).then_some(back)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_way_back_stays_here() {
        for back in ["/", "/season/2026", "/season/2026/records/rates?page=2"] {
            assert_eq!(own_path(back), Some(back));
        }
        for back in ["", "season", "//evil.test", "/\\evil.test", "/\t/evil.test", "https://evil.test", "/ /evil", "/é"]
        {
            assert_eq!(own_path(back), None, "{back}");
        }
    }
}
