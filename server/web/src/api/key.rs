//! The key a program sends: 32 bytes from the injected source, of which the database holds only the
//! SHA-256. Nobody can guess one; who goes on trying is slowed all the same.

use actix_web::HttpRequest;
use actix_web::http::header::AUTHORIZATION;
use store::Program;

use crate::app::AppState;
use crate::error::PageError;
use crate::pages::sign_in::wait;
use crate::session::{hash, hex, unhex};

/// Begins every key, so that one is known for what it is where it should not be.
const PREFIX: &str = "sbk_";

/// The text of a key, which is shown once.
pub(crate) fn text(secret: &[u8; 32]) -> String {
    format!("{PREFIX}{}", hex(secret))
}

/// The text after `Authorization: Bearer`.
pub(crate) fn sent(req: &HttpRequest) -> Option<&str> {
    let (scheme, text) = req.headers().get(AUTHORIZATION)?.to_str().ok()?.split_once(' ')?;
    scheme.eq_ignore_ascii_case("bearer").then(|| text.trim())
}

/// The program whose key this is. A right key never waits; after many wrong ones from an address the
/// next wrong one is told to.
pub(crate) async fn admit(state: &AppState, req: &HttpRequest, sent: &str) -> Result<Program, PageError> {
    let door = state.store.door();
    if let Some(secret) = sent.strip_prefix(PREFIX).and_then(unhex)
        && let Some(program) = door.program(&hash(&secret)).await?
    {
        return Ok(program);
    }
    // Not counted with sign-ins: a program left with an old key must not keep a whole office out.
    let from = format!("program {}", wait::address(req).unwrap_or_default());
    if let Some(seconds) = wait::seconds_left_of_program(door, &from, state.source.now()).await? {
        return Err(PageError::TooManyKeys { seconds });
    }
    door.note_failed_sign_in(&from, None).await?;
    Err(PageError::NoKey)
}

#[cfg(test)]
mod tests {
    use actix_web::test::TestRequest;

    use super::*;

    #[test]
    fn only_a_bearer_is_read() {
        let read = |value: &'static str| {
            let req = TestRequest::default().insert_header(("authorization", value)).to_http_request();
            sent(&req).map(str::to_owned)
        };
        assert_eq!(read("Bearer sbk_12").as_deref(), Some("sbk_12"));
        assert_eq!(read("bearer  sbk_12").as_deref(), Some("sbk_12"));
        assert_eq!(read("Basic dXNlcjpwYXNz"), None);
        assert_eq!(read("Bearer"), None);
        assert_eq!(sent(&TestRequest::default().to_http_request()), None);
    }

    #[test]
    fn the_text_of_a_key_holds_all_of_it() {
        let secret: [u8; 32] = core::array::from_fn(|n| u8::try_from(n * 5 % 256).unwrap());
        let text = text(&secret);
        assert_eq!(text.len(), 68);
        assert_eq!(text.strip_prefix(PREFIX).and_then(unhex), Some(secret));
    }
}
