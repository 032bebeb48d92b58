//! Sessions and the gate: who is asking, and whether the route's right is theirs.
//!
//! The cookie holds 32 bytes from the injected source; the database holds only their SHA-256. A
//! thief of the database cannot sign in with what it finds there.

use std::fmt::Write as _;
use std::rc::Rc;

use actix_web::body::{BoxBody, MessageBody};
use actix_web::cookie::{Cookie, SameSite, time};
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::middleware::Next;
use actix_web::{HttpMessage, HttpRequest, web};
use chrono::TimeDelta;
use reckon::figure::RecordKind;
use sha2::{Digest, Sha256};
use store::{Program, Right, SignedIn, UserId};

use crate::api;
use crate::app::AppState;
use crate::body;
use crate::error::PageError;
use crate::extract::Granted;
use crate::pages::sign_in::kept;
use crate::routes::{Admits, Carries, Entry, Need, PASSWORD, to};

/// How long a session lasts.
const LASTS_DAYS: i64 = 14;

/// The cookie's name. `__Host-` makes browsers refuse it without `Secure` or for another host.
const fn cookie_name(secure: bool) -> &'static str {
    if secure { "__Host-session" } else { "session" }
}

/// Lets a request on to its handler, or answers it: 303 to sign in, 403, 404.
pub(crate) async fn gate(
    entry: &'static Entry,
    req: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<BoxBody>, actix_web::Error> {
    let admitted = match body::fits(entry.carries, req.headers()) {
        Ok(()) => admit(entry, req.request()).await,
        Err(error) => Err(error),
    };
    match admitted {
        Ok(granted) => {
            if let Some(granted) = granted {
                req.extensions_mut().insert(granted);
            }
            Ok(next.call(req).await?.map_into_boxed_body())
        }
        Err(PageError::SignIn { back }) if entry.carries == Carries::Form => Ok(sign_in_first(req, back).await),
        Err(error) => Ok(req.error_response(error)),
    }
}

/// A form without a session: what was typed goes along through the sign-in page. Signing out needs
/// no second question.
async fn sign_in_first(mut req: ServiceRequest, back: String) -> ServiceResponse<BoxBody> {
    let path = req.path().to_owned();
    let Some(state) = req.app_data::<web::Data<AppState>>().cloned() else {
        return req.error_response(PageError::Unready);
    };
    if path == to::sign_out() {
        return req.error_response(PageError::SignIn { back });
    }
    let page = match kept::fields(&mut req).await {
        Ok(fields) => kept::ask(&state, &path, &fields),
        Err(error) => Err(error),
    };
    match page {
        Ok(page) => req.into_response(page),
        Err(error) => req.error_response(error),
    }
}

async fn admit(entry: &Entry, req: &HttpRequest) -> Result<Option<Granted>, PageError> {
    if entry.need == Need::Open {
        return Ok(None);
    }
    let state = req.app_data::<web::Data<AppState>>().ok_or(PageError::Unready)?;
    // A file cannot wait in the sign-in page; its page asks for it again.
    let back = if entry.method == "GET" || entry.carries == Carries::File { req.uri().path() } else { "/" };
    let (who, program) = match api::key::sent(req) {
        Some(key) if entry.admits != Admits::Person => came_by_key(state, api::key::admit(state, req, key).await?),
        _ if entry.admits == Admits::Program => return Err(PageError::NoKey),
        _ => (of(state, req).await?.ok_or_else(|| PageError::SignIn { back: back.to_owned() })?, None),
    };
    let need = match entry.need {
        Need::Open => return Ok(None),
        Need::Member(right) => right,
        Need::SeeKind => Right::to_see(kind(req)?),
        Need::KeepKind => Right::to_keep(kind(req)?),
    };
    if who.one_time && ![PASSWORD, to::sign_out().as_str()].contains(&entry.path) {
        return Err(PageError::ChoosePassword);
    }
    if !who.scope.may(need) {
        return Err(if need == Right::SeeMoney { PageError::Money } else { PageError::Forbidden });
    }
    Ok(Some(Granted { who: Rc::new(who), need, program }))
}

/// A program stands for its person, in no session: no form's token fits it.
fn came_by_key(state: &AppState, program: Program) -> (SignedIn, Option<Rc<Program>>) {
    let who = SignedIn {
        scope: program.scope.clone(),
        user_name: program.name.clone(),
        operation_name: String::new(),
        one_time: false,
        csrf: state.source.secret(),
    };
    (who, Some(Rc::new(program)))
}

/// The kind in the address; an unknown one is not found.
fn kind(req: &HttpRequest) -> Result<RecordKind, PageError> {
    req.match_info().get("kind").and_then(RecordKind::from_word).ok_or(PageError::NotFound)
}

/// Who is signed in, by the request's cookie.
pub(crate) async fn of(state: &AppState, req: &HttpRequest) -> Result<Option<SignedIn>, PageError> {
    match token(state, req) {
        Some(token) => Ok(state.store.door().session(&hash(&token)).await?),
        None => Ok(None),
    }
}

/// A session that has just begun.
pub(crate) struct Begun {
    /// For the browser.
    pub(crate) cookie: Cookie<'static>,
    /// The token its forms carry.
    pub(crate) csrf: [u8; 32],
}

/// Begins a session.
pub(crate) async fn begin(state: &AppState, user: UserId) -> Result<Begun, PageError> {
    let token = state.source.secret();
    let csrf = state.source.secret();
    state.store.door().begin_session(user, hash(&token), csrf, TimeDelta::days(LASTS_DAYS)).await?;
    Ok(Begun { cookie: cookie(state, hex(&token), time::Duration::days(LASTS_DAYS)), csrf })
}

/// Ends the request's session and gives the cookie that clears the browser's.
pub(crate) async fn end(state: &AppState, req: &HttpRequest) -> Result<Cookie<'static>, PageError> {
    if let Some(token) = token(state, req) {
        state.store.door().end_session(&hash(&token)).await?;
    }
    Ok(cookie(state, String::new(), time::Duration::ZERO))
}

fn cookie(state: &AppState, value: String, lasts: time::Duration) -> Cookie<'static> {
    Cookie::build(cookie_name(state.secure_cookies), value)
        .path("/")
        .http_only(true)
        .same_site(SameSite::Lax)
        .secure(state.secure_cookies)
        .max_age(lasts)
        .finish()
}

fn token(state: &AppState, req: &HttpRequest) -> Option<[u8; 32]> {
    unhex(req.cookie(cookie_name(state.secure_cookies))?.value())
}

/// Whether a request carries a cookie that could be a session's.
pub(crate) fn carries_cookie(req: &HttpRequest) -> bool {
    [true, false].iter().any(|secure| req.cookie(cookie_name(*secure)).is_some())
}

/// Hash of the request's token, as the store keeps it.
pub(crate) fn token_hash(state: &AppState, req: &HttpRequest) -> Option<[u8; 32]> {
    token(state, req).map(|token| hash(&token))
}

/// What the database keeps of a token.
pub(crate) fn hash(token: &[u8; 32]) -> [u8; 32] {
    Sha256::digest(token).into()
}

/// Lower-case hexadecimal.
pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::with_capacity(bytes.len() * 2), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// 32 bytes from 64 hexadecimal digits.
pub(crate) fn unhex(text: &str) -> Option<[u8; 32]> {
    if text.len() != 64 || !text.bytes().all(|byte| byte.is_ascii_hexdigit()) {
        return None;
    }
    let mut bytes = [0; 32];
    for (at, byte) in bytes.iter_mut().enumerate() {
        *byte = u8::from_str_radix(text.get(at * 2..at * 2 + 2)?, 16).ok()?;
    }
    Some(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_token_reads_back() {
        let token: [u8; 32] = core::array::from_fn(|n| u8::try_from(n * 7 % 256).unwrap());
        assert_eq!(unhex(&hex(&token)), Some(token));
    }

    #[test]
    fn what_is_no_token_is_none() {
        for text in ["", "00", &"+0".repeat(32), &"zz".repeat(32), &"é".repeat(32), &"0".repeat(65)] {
            assert_eq!(unhex(text), None, "{text}");
        }
    }
}
