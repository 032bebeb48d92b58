//! Only our own pages may change anything: the browser must say that the request comes from here,
//! and each form carries the session's token. A program's request carries a key, which no browser adds by
//! itself.

use actix_web::HttpRequest;
use actix_web::body::{BoxBody, MessageBody};
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::header::{HOST, HeaderMap, ORIGIN};
use actix_web::middleware::Next;
use subtle::ConstantTimeEq as _;

use crate::api;
use crate::error::PageError;
use crate::session::{carries_cookie, hex, unhex};

/// Name of the hidden field.
pub(crate) const FIELD: &str = "csrf";

/// Refuses unsafe methods that do not come from our own pages.
pub(crate) async fn from_here(
    req: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<BoxBody>, actix_web::Error> {
    let safe = req.method().is_safe() || of_program(req.request()) || same_origin(req.headers());
    if safe { Ok(next.call(req).await?.map_into_boxed_body()) } else { Ok(req.error_response(PageError::NotFromHere)) }
}

/// A cookie opens nothing under `/api`, and what carries one is a browser's.
fn of_program(req: &HttpRequest) -> bool {
    api::is_at(req.path()) && !carries_cookie(req)
}

/// `Sec-Fetch-Site` where the browser sends it; else `Origin` must name our host. A request with
/// neither is refused.
fn same_origin(headers: &HeaderMap) -> bool {
    if let Some(site) = headers.get("sec-fetch-site") {
        return site == "same-origin";
    }
    let text = |name| headers.get(name).and_then(|value| value.to_str().ok());
    match (text(ORIGIN), text(HOST)) {
        (Some(origin), Some(host)) => {
            ["http://", "https://"].iter().any(|scheme| origin.strip_prefix(scheme) == Some(host))
        }
        _ => false,
    }
}

/// The hidden field's value.
pub(crate) fn field(token: &[u8; 32]) -> String {
    hex(token)
}

/// Whether a form carries the session's token. Takes the same time for any wrong one.
pub(crate) fn check(token: &[u8; 32], sent: Option<&str>) -> Result<(), PageError> {
    let sent = sent.and_then(unhex).ok_or(PageError::NotFromHere)?;
    if bool::from(token.ct_eq(&sent)) { Ok(()) } else { Err(PageError::NotFromHere) }
}

#[cfg(test)]
mod tests {
    use actix_web::http::header::{HeaderName, HeaderValue};

    use super::*;

    fn headers(pairs: &[(&'static str, &'static str)]) -> HeaderMap {
        pairs.iter().map(|(name, value)| (HeaderName::from_static(name), HeaderValue::from_static(value))).collect()
    }

    #[test]
    fn only_this_origin_passes() {
        for (pairs, passes) in [
            (&[("sec-fetch-site", "same-origin")][..], true),
            (&[("sec-fetch-site", "same-site")], false),
            (&[("sec-fetch-site", "cross-site"), ("origin", "http://book.test"), ("host", "book.test")], false),
            (&[("sec-fetch-site", "none")], false),
            (&[("origin", "http://book.test:8080"), ("host", "book.test:8080")], true),
            (&[("origin", "https://book.test"), ("host", "book.test")], true),
            (&[("origin", "https://book.test.evil.test"), ("host", "book.test")], false),
            (&[("origin", "null"), ("host", "book.test")], false),
            (&[("host", "book.test")], false),
        ] {
            assert_eq!(same_origin(&headers(pairs)), passes, "{pairs:?}");
        }
    }

    #[test]
    fn only_the_token_passes() {
        let token = [7; 32];
        assert!(check(&token, Some(&field(&token))).is_ok());
        assert!(check(&token, Some(&field(&[8; 32]))).is_err());
        assert!(check(&token, Some("")).is_err());
        assert!(check(&token, None).is_err());
    }
}
