//! Sign in and sign out.

use std::time::Duration;

use actix_web::http::StatusCode;
use actix_web::{HttpRequest, web};
use askama::Template;
use chrono::TimeDelta;
use store::UserId;

use crate::app::AppState;
use crate::body::Form;
use crate::error::PageError;
use crate::extract::query;
use crate::pages::{Page, see_other, show, show_with};
use crate::routes::to;
use crate::shell::Shell;
use crate::{password, session};

/// Failed tries within [`WINDOW`] after which each further one waits.
const FREE_TRIES: u64 = 5;
/// Failed tries within [`WINDOW`] after which no password is looked at.
const MOST_TRIES: u64 = 20;
/// How long a failed try counts.
const WINDOW: TimeDelta = TimeDelta::minutes(15);
/// The same sentence whether the e-mail or the password is wrong.
const NO_MATCH: &str = "This e-mail and password do not belong together. Check both and try again.";

#[derive(Template)]
#[template(path = "sign_in/sign_in.html")]
struct SignIn {
    shell: Shell,
    back: String,
    email: String,
    problem: Option<&'static str>,
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
    show(&SignIn { shell, back, email: String::new(), problem: None })
}

/// POST /sign-in
pub async fn sign_in_sent(state: web::Data<AppState>, shell: Shell, form: Form) -> Page {
    let email = form.get("email").trim().to_lowercase();
    let Some(user) = who(&state, &email, form.get("password")).await? else {
        let (back, email) = (form.get("back").to_owned(), form.get("email").to_owned());
        let page = SignIn { shell, back, email, problem: Some(NO_MATCH) };
        return show_with(StatusCode::UNPROCESSABLE_ENTITY, &page);
    };
    let home = to::home();
    let mut response = see_other(own_path(form.get("back")).unwrap_or(&home));
    response.add_cookie(&session::begin(&state, user).await?).map_err(PageError::inside)?;
    Ok(response)
}

/// POST /sign-out
pub async fn sign_out_sent(state: web::Data<AppState>, _form: Form, req: HttpRequest) -> Page {
    let mut response = see_other(&format!("{}?said=signed-out", to::sign_in()));
    response.add_cookie(&session::end(&state, &req).await?).map_err(PageError::inside)?;
    Ok(response)
}

/// The person with this e-mail and password. Looks at a password even where nobody has the
/// e-mail, so the time does not tell.
async fn who(state: &AppState, email: &str, password: &str) -> Result<Option<UserId>, PageError> {
    let door = state.store.door();
    let failed = door.failed_sign_ins(email, state.source.now() - WINDOW).await?;
    if failed >= MOST_TRIES {
        return Err(PageError::TooManyTries);
    }
    tokio::time::sleep(wait_after(failed)).await;
    let (user, hash) = door.password_of(email).await?.unzip();
    let password = password.to_owned();
    let fits = web::block(move || password::matches(&password, hash.as_deref())).await?;
    if !fits {
        door.note_failed_sign_in(email).await?;
    }
    Ok(user.filter(|_| fits))
}

/// Nothing for the first tries, then half a second more each time.
fn wait_after(failed: u64) -> Duration {
    Duration::from_millis(500 * failed.saturating_sub(FREE_TRIES - 1).min(MOST_TRIES))
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

    #[test]
    fn guesses_are_slowed() {
        assert_eq!(wait_after(0), Duration::ZERO);
        assert_eq!(wait_after(4), Duration::ZERO);
        assert_eq!(wait_after(5), Duration::from_millis(500));
        assert_eq!(wait_after(19), Duration::from_millis(7_500));
    }
}
