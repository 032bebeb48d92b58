//! Around every answer: its number, the security headers, and the page of a problem.

use actix_web::body::{BoxBody, MessageBody};
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::StatusCode;
use actix_web::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE, HeaderMap, HeaderName, HeaderValue, REFERRER_POLICY,
    X_CONTENT_TYPE_OPTIONS,
};
use actix_web::middleware::Next;
use actix_web::web;
use askama::Template;
use uuid::Uuid;

use crate::api;
use crate::app::AppState;
use crate::error::PageError;
use crate::shell::Shell;

/// Nothing from elsewhere, nothing inline, no frame around us.
const CONTENT_POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; \
     font-src 'self'; connect-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'";

/// No part of the machine is ours to use.
const PERMISSIONS: &str =
    "accelerometer=(), camera=(), geolocation=(), gyroscope=(), microphone=(), payment=(), usb=()";

/// A problem, in one sentence.
#[derive(Template)]
#[template(path = "problem/problem.html")]
struct Problem {
    shell: Shell,
    heading: &'static str,
    sentence: String,
    number: Uuid,
}

/// Numbers the request, shows problems as a page, logs them once, and sets the headers.
pub(crate) async fn around(
    req: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<BoxBody>, actix_web::Error> {
    let Some(state) = req.app_data::<web::Data<AppState>>().cloned() else {
        return Ok(req.error_response(PageError::Unready));
    };
    let number = state.source.id();
    let line = format!("{} {}", req.method(), req.path());
    let mut response = next.call(req).await?.map_into_boxed_body();
    log(&line, number, &response);
    if wants_page(&response) {
        let to_program = api::is_at(response.request().path()) || api::key::sent(response.request()).is_some();
        response = if to_program { problem_json(number, response) } else { problem_page(&state, number, response) };
    }
    set_headers(response.headers_mut(), number);
    Ok(response)
}

fn log(line: &str, number: Uuid, response: &ServiceResponse) {
    let status = response.status().as_u16();
    match response.response().error() {
        Some(error) if response.status().is_server_error() => {
            let chain = error.as_error::<PageError>().map_or_else(|| format!("{error:?}"), PageError::chain);
            tracing::error!(%number, status, "{line}: {chain}");
        }
        Some(error) => tracing::info!(%number, status, "{line}: {error:?}"),
        None => tracing::info!(%number, status, "{line}"),
    }
}

/// An error of ours or of the web library that came without a page.
fn wants_page(response: &ServiceResponse) -> bool {
    response.response().error().is_some()
        && (response.status().is_client_error() || response.status().is_server_error())
}

fn problem_page(state: &AppState, number: Uuid, response: ServiceResponse) -> ServiceResponse {
    let status = response.status();
    let problem = Problem {
        shell: Shell::outside(response.request().path(), state.today()),
        heading: PageError::heading(status),
        sentence: sentence(&response),
        number,
    };
    let body = problem.render().unwrap_or_else(|_| problem.sentence.clone());
    let mut response = response.map_body(|_, _| BoxBody::new(body));
    response.headers_mut().insert(CONTENT_TYPE, HeaderValue::from_static("text/html; charset=utf-8"));
    response
}

/// The same for a program.
fn problem_json(number: Uuid, response: ServiceResponse) -> ServiceResponse {
    let said = serde_json::json!({ "error": sentence(&response), "number": number.to_string() });
    let mut response = response.map_body(|_, _| BoxBody::new(said.to_string()));
    response.headers_mut().insert(CONTENT_TYPE, HeaderValue::from_static(api::JSON));
    response
}

/// Our own sentence; the web library's texts never leave.
fn sentence(response: &ServiceResponse) -> String {
    let ours = response.response().error().and_then(|error| error.as_error::<PageError>());
    match (ours, response.status()) {
        (Some(error), _) => error.to_string(),
        (None, StatusCode::NOT_FOUND) => PageError::NotFound.to_string(),
        (None, status) if status.is_client_error() => {
            PageError::Unreadable("it is not a request of a browser").to_string()
        }
        (None, _) => PageError::Unready.to_string(),
    }
}

fn set_headers(headers: &mut HeaderMap, number: Uuid) {
    let fixed = [
        (CONTENT_SECURITY_POLICY, CONTENT_POLICY),
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (REFERRER_POLICY, "same-origin"),
        (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
        (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
        (HeaderName::from_static("permissions-policy"), PERMISSIONS),
    ];
    for (name, value) in fixed {
        headers.insert(name, HeaderValue::from_static(value));
    }
    if let Ok(number) = HeaderValue::from_str(&number.to_string()) {
        headers.insert(HeaderName::from_static("x-request-id"), number);
    }
    // Pages hold an operation's books: no copy stays in a browser's or a proxy's store. Only files
    // that are the same for everybody say otherwise.
    if !headers.contains_key(CACHE_CONTROL) {
        headers.insert(CACHE_CONTROL, HeaderValue::from_static("no-store"));
    }
}
