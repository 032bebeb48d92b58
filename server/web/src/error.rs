//! The one error of pages: a sentence for the person, a status, and the cause for the log only.

use std::error::Error;
use std::fmt::Write as _;

use actix_web::http::StatusCode;
use actix_web::http::header::{ALLOW, HeaderValue, LOCATION, RETRY_AFTER, WWW_AUTHENTICATE};
use actix_web::{HttpResponse, ResponseError};
use store::{ClosedSeason, StoreError};
use thiserror::Error;

use crate::pages::capital;
use crate::routes::to;

/// Why a page could not be shown. `Display` is the sentence the person reads; causes stay inside
/// and reach the log once, in `headers`.
#[derive(Debug, Error)]
pub enum PageError {
    /// Nobody is signed in: on to the sign-in page, and back afterwards.
    #[error("Sign in to open this page.")]
    SignIn {
        /// Path to come back to.
        back: String,
    },
    /// The person signed in with a password that holds once: on to the page where they choose one.
    #[error("Choose a password of your own first.")]
    ChoosePassword,
    /// A program without a key of this book.
    #[error(
        "This needs a key of this book: Authorization: Bearer, then the key. Keys are made on its page \"Keys for other programs\"."
    )]
    NoKey,
    /// Many wrong keys came from one address; this one is wrong as well.
    #[error("Many wrong keys came from this address. Nothing was changed. Wait, then try with a key of this book.")]
    TooManyKeys {
        /// How long.
        seconds: i64,
    },
    /// No such page, or not in the person's scope: the two cannot be told apart.
    #[error("There is no such page in this book. It may have been removed, or the address was cut short.")]
    NotFound,
    /// In scope, but the role does not hold the right.
    #[error("Your role does not include this. Ask the owner of the operation.")]
    Forbidden,
    /// The page is about money, and the role leaves money out.
    #[error(
        "This page shows wages, prices or returns, and your role leaves money out. Ask the owner of the operation."
    )]
    Money,
    /// Sent from another site, or a form older than the session.
    #[error(
        "This was not sent from a page of this book, or the page was open too long. Nothing was changed. Go back, load the page again and send it once more."
    )]
    NotFromHere,
    /// The body is larger than the route takes.
    #[error("What was sent is too large: this page takes {limit} at most. Nothing was changed.")]
    TooLarge {
        /// Limit in words: "20 MB".
        limit: &'static str,
    },
    /// The body could not be read.
    #[error("What was sent could not be read: {0}. Nothing was changed.")]
    Unreadable(&'static str),
    /// The body did not arrive in time.
    #[error("What was sent did not arrive in time. Nothing was changed; try again where the signal is better.")]
    TooSlow,
    /// The page does not take this method.
    #[error("This address cannot be asked for in that way. Follow a link or use a form of this book.")]
    Method {
        /// Methods it takes.
        allow: String,
    },
    /// Somebody else changed the row in the meantime.
    #[error("Somebody changed this entry while the page was open. Nothing was changed; load the page again.")]
    Changed,
    /// The season is closed.
    #[error("{}", closed(.0.as_ref()))]
    Closed(Option<ClosedSeason>),
    /// The day lies outside the season.
    #[error("The date lies outside the season. Nothing was changed.")]
    OutsideSeason,
    /// A block does not belong to the season, or has records of one that it would leave; or a season stays for
    /// what hangs on it.
    #[error("{}. Nothing was changed.", capital(.0))]
    OfBlock(String),
    /// A name or code is already in use.
    #[error("Something of this name is in the book already. Nothing was changed.")]
    Taken,
    /// Nobody would own the operation any more.
    #[error("An operation keeps at least one owner. Nothing was changed; make somebody else an owner first.")]
    LastOwner,
    /// Other records hang on it.
    #[error("Other records rest on this one, so it stays. Remove those first.")]
    InUse,
    /// The database has no room at the moment.
    #[error("The book is busy. Nothing was changed; try again in a moment.")]
    Busy,
    /// Wiring is incomplete; a fault of the program.
    #[error(
        "Something went wrong on our side. Nothing was changed. Try again; if it stays, tell the number below to whoever runs this book."
    )]
    Unready,
    /// Anything else; a fault of the program or of the machine.
    #[error(
        "Something went wrong on our side. Nothing was changed. Try again; if it stays, tell the number below to whoever runs this book."
    )]
    Inside(#[source] Box<dyn Error + Send + Sync>),
}

fn closed(season: Option<&ClosedSeason>) -> String {
    season.map_or_else(
        || "This would change a season that is closed. Nothing was changed; open the season again first.".to_owned(),
        |season| format!("{}. Nothing was changed.", capital(&season.to_string())),
    )
}

impl PageError {
    /// Wraps a fault whose text must not leave the server.
    pub fn inside(cause: impl Error + Send + Sync + 'static) -> Self {
        Self::Inside(Box::new(cause))
    }

    /// Heading of the problem page.
    pub(crate) fn heading(status: StatusCode) -> &'static str {
        match status.as_u16() {
            403 => "Not allowed",
            404 => "Not found",
            405 => "Not in this way",
            409 => "Nothing was changed",
            413 => "Too large",
            503 => "Busy",
            500..=599 => "Something went wrong",
            _ => "That did not work",
        }
    }

    /// The sentence with its causes, for the log.
    pub(crate) fn chain(&self) -> String {
        let mut text = format!("{self:?}");
        let mut cause = self.source();
        while let Some(inner) = cause {
            let _ = write!(text, " <- {inner}");
            cause = inner.source();
        }
        text
    }
}

impl ResponseError for PageError {
    fn status_code(&self) -> StatusCode {
        match self {
            Self::SignIn { .. } | Self::ChoosePassword => StatusCode::SEE_OTHER,
            Self::NoKey => StatusCode::UNAUTHORIZED,
            Self::TooManyKeys { .. } => StatusCode::TOO_MANY_REQUESTS,
            Self::NotFound => StatusCode::NOT_FOUND,
            Self::Forbidden | Self::Money | Self::NotFromHere => StatusCode::FORBIDDEN,
            Self::TooLarge { .. } => StatusCode::PAYLOAD_TOO_LARGE,
            Self::Unreadable(_) => StatusCode::BAD_REQUEST,
            Self::TooSlow => StatusCode::REQUEST_TIMEOUT,
            Self::Method { .. } => StatusCode::METHOD_NOT_ALLOWED,
            Self::Changed
            | Self::Closed(_)
            | Self::OutsideSeason
            | Self::OfBlock(_)
            | Self::Taken
            | Self::LastOwner
            | Self::InUse => StatusCode::CONFLICT,
            Self::Busy => StatusCode::SERVICE_UNAVAILABLE,
            Self::Unready | Self::Inside(_) => StatusCode::INTERNAL_SERVER_ERROR,
        }
    }

    /// Status and headers; the page itself is written by `headers`, which knows the
    /// request's number.
    fn error_response(&self) -> HttpResponse {
        let mut response = HttpResponse::build(self.status_code());
        match self {
            Self::SignIn { back } => response.insert_header((LOCATION, sign_in_and_back(back))),
            Self::ChoosePassword => response.insert_header((LOCATION, to::password())),
            Self::Method { allow } => {
                response.insert_header((ALLOW, HeaderValue::from_str(allow).unwrap_or(HeaderValue::from_static("GET"))))
            }
            Self::Busy => response.insert_header((RETRY_AFTER, "2")),
            Self::NoKey => response.insert_header((WWW_AUTHENTICATE, "Bearer")),
            Self::TooManyKeys { seconds } => response.insert_header((RETRY_AFTER, HeaderValue::from(*seconds))),
            _ => &mut response,
        };
        response.finish()
    }
}

/// The sign-in page, with the way back. The front page needs none.
fn sign_in_and_back(back: &str) -> String {
    if back == to::home() { to::sign_in() } else { format!("{}?back={}", to::sign_in(), escape(back)) }
}

/// Percent-encodes everything but what a path may carry.
fn escape(path: &str) -> String {
    let mut out = String::with_capacity(path.len());
    for byte in path.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'/' | b'-' | b'_' | b'.' => out.push(char::from(byte)),
            other => {
                let _ = write!(out, "%{other:02X}");
            }
        }
    }
    out
}

impl From<StoreError> for PageError {
    fn from(error: StoreError) -> Self {
        match error {
            StoreError::NotFound => Self::NotFound,
            StoreError::Forbidden => Self::Forbidden,
            StoreError::Changed => Self::Changed,
            StoreError::Closed(season) => Self::Closed(Some(season)),
            StoreError::OutsideSeason { .. } => Self::OutsideSeason,
            StoreError::NotOfSeason { .. } | StoreError::RecordsOfSeason { .. } | StoreError::SeasonHeld(_) => {
                Self::OfBlock(error.to_string())
            }
            StoreError::Taken(_) => Self::Taken,
            StoreError::LastOwner => Self::LastOwner,
            StoreError::InUse => Self::InUse,
            StoreError::Busy => Self::Busy,
            other => Self::inside(other),
        }
    }
}

impl From<askama::Error> for PageError {
    fn from(error: askama::Error) -> Self {
        Self::inside(error)
    }
}

impl From<actix_web::error::BlockingError> for PageError {
    fn from(error: actix_web::error::BlockingError) -> Self {
        Self::inside(error)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_way_back_is_escaped() {
        assert_eq!(sign_in_and_back("/"), "/sign-in");
        assert_eq!(sign_in_and_back("/season/2026"), "/sign-in?back=/season/2026");
        assert_eq!(sign_in_and_back("/a?b=c&d"), "/sign-in?back=/a%3Fb%3Dc%26d");
    }

    #[test]
    fn inner_text_stays_inside() {
        let error = PageError::inside(std::io::Error::other("password table is on fire"));
        assert!(!error.to_string().contains("fire"));
        assert!(error.chain().contains("fire"));
    }
}
