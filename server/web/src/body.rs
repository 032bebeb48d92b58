//! Bodies: what a form may carry, what a file may weigh, and reading both.

use std::future::Future;
use std::pin::Pin;
use std::time::Duration;

use actix_multipart::{Field, Multipart};
use actix_web::dev::Payload;
use actix_web::error::UrlencodedError;
use actix_web::http::header::{CONTENT_LENGTH, HeaderMap};
use actix_web::web::{self, Bytes, FormConfig};
use actix_web::{FromRequest, HttpRequest};
use futures_util::{TryStream, TryStreamExt as _};

use crate::csrf;
use crate::error::PageError;
use crate::extract::Granted;
use crate::routes::Carries;

const FORM_LIMIT: usize = 64 * 1024;
pub(crate) const FILE_LIMIT: usize = 20 * 1_000_000;
/// Fields that stand beside a file: kind, season, token.
const BESIDE_LIMIT: usize = 4 * 1024;
/// Boundaries and part headers around a file.
const AROUND_LIMIT: usize = 16 * 1024;
const FORM_TOO_LARGE: PageError = PageError::TooLarge { limit: "64 KB" };
pub(crate) const FILE_TOO_LARGE: PageError = PageError::TooLarge { limit: "20 MB" };

/// How long a form, and a file, may take to arrive: a poor connection sends 20 MB in ten minutes.
pub(crate) const FORM_PATIENCE: Duration = Duration::from_secs(30);
const FILE_PATIENCE: Duration = Duration::from_mins(10);

/// The body, if it arrives in time.
pub(crate) async fn in_time<T>(patience: Duration, body: impl Future<Output = T>) -> Result<T, PageError> {
    tokio::time::timeout(patience, body).await.map_err(|_| PageError::TooSlow)
}

/// Refuses by the announced length, before a byte of the body is read.
pub(crate) fn fits(carries: Carries, headers: &HeaderMap) -> Result<(), PageError> {
    let Some(announced) = headers.get(CONTENT_LENGTH) else { return Ok(()) };
    let announced = announced.to_str().ok().and_then(|text| text.parse::<usize>().ok()).unwrap_or(usize::MAX);
    match carries {
        Carries::Form if announced > FORM_LIMIT => Err(FORM_TOO_LARGE),
        Carries::File if announced > FILE_LIMIT + AROUND_LIMIT => Err(FILE_TOO_LARGE),
        Carries::Json if announced > FILE_LIMIT => Err(FILE_TOO_LARGE),
        _ => Ok(()),
    }
}

/// The form limit, for [`web::Form`] below.
pub(crate) fn form_config() -> FormConfig {
    FormConfig::default().limit(FORM_LIMIT)
}

/// A sent form: all text, in the order of its fields, its token checked.
#[derive(Debug, Clone)]
pub struct Form(Vec<(String, String)>);

impl Form {
    /// A form as it would be read, for tests of what is made from one.
    #[cfg(test)]
    pub(crate) fn of(fields: Vec<(String, String)>) -> Self {
        Self(fields)
    }

    /// Value of a field as typed; empty when it was not sent.
    pub fn get(&self, name: &str) -> &str {
        self.0.iter().find(|(field, _)| field == name).map_or("", |(_, value)| value)
    }

    /// Every field.
    pub fn fields(&self) -> &[(String, String)] {
        &self.0
    }
}

impl FromRequest for Form {
    type Error = PageError;
    type Future = Pin<Box<dyn Future<Output = Result<Self, PageError>>>>;

    fn from_request(req: &HttpRequest, payload: &mut Payload) -> Self::Future {
        let fields = web::Form::<Vec<(String, String)>>::from_request(req, payload);
        let granted = Granted::of(req);
        Box::pin(async move {
            let fields = in_time(FORM_PATIENCE, fields).await?;
            let form = fields.map(|fields| Self(fields.into_inner())).map_err(|error| unread(&error))?;
            // Where nobody is signed in (sign in, first run) there is no session to ride on.
            if let Some(granted) = granted {
                csrf::check(&granted.who.csrf, Some(form.get(csrf::FIELD)))?;
            }
            Ok(form)
        })
    }
}

fn unread(error: &actix_web::Error) -> PageError {
    match error.as_error::<UrlencodedError>() {
        Some(UrlencodedError::Overflow { .. }) => FORM_TOO_LARGE,
        Some(UrlencodedError::ContentType) => PageError::Unreadable("it is not a form"),
        _ => PageError::Unreadable("the form is cut short or its text is not UTF-8"),
    }
}

/// A sent file with the fields beside it, their token checked before the file is read.
#[derive(Debug)]
pub struct Upload {
    fields: Form,
    /// The file's name as the browser gave it; empty when none was chosen.
    pub name: String,
    /// The file.
    pub bytes: Vec<u8>,
}

impl Upload {
    /// Value of a field beside the file; empty when it was not sent.
    pub fn get(&self, name: &str) -> &str {
        self.fields.get(name)
    }

    async fn read(mut parts: Multipart, granted: Option<Granted>) -> Result<Self, PageError> {
        let mut upload = Self { fields: Form(Vec::new()), name: String::new(), bytes: Vec::new() };
        while let Some(mut part) = parts.try_next().await.map_err(|_| CUT_SHORT)? {
            let name = part.name().unwrap_or_default().to_owned();
            if name == "file" {
                check(granted.as_ref(), &upload)?;
                upload.name = file_name(&part);
                upload.bytes = all(&mut part, FILE_LIMIT, FILE_TOO_LARGE, CUT_SHORT).await?;
            } else if upload.fields.0.len() < 16 {
                let value = all(&mut part, BESIDE_LIMIT, FORM_TOO_LARGE, CUT_SHORT).await?;
                let value = String::from_utf8(value).map_err(|_| PageError::Unreadable("its text is not UTF-8"))?;
                upload.fields.0.push((name, value));
            } else {
                return Err(FORM_TOO_LARGE);
            }
        }
        check(granted.as_ref(), &upload)?;
        Ok(upload)
    }
}

const CUT_SHORT: PageError = PageError::Unreadable("the file did not arrive whole");

fn check(granted: Option<&Granted>, upload: &Upload) -> Result<(), PageError> {
    let granted = granted.ok_or(PageError::NotFromHere)?;
    csrf::check(&granted.who.csrf, Some(upload.get(csrf::FIELD)))
}

/// The last piece of the name, without control characters: some browsers send a whole path.
fn file_name(part: &Field) -> String {
    let name = part.content_disposition().and_then(|given| given.get_filename()).unwrap_or_default();
    let last = name.rsplit(['/', '\\']).next().unwrap_or_default();
    last.chars().filter(|sign| !sign.is_control()).take(200).collect()
}

/// All of it, of at most `limit` bytes.
async fn all<E>(
    mut chunks: impl TryStream<Ok = Bytes, Error = E> + Unpin,
    limit: usize,
    too_large: PageError,
    cut_short: PageError,
) -> Result<Vec<u8>, PageError> {
    let mut bytes = Vec::new();
    loop {
        match chunks.try_next().await {
            Ok(Some(chunk)) if bytes.len() + chunk.len() > limit => return Err(too_large),
            Ok(Some(chunk)) => bytes.extend_from_slice(&chunk),
            Ok(None) => return Ok(bytes),
            Err(_) => return Err(cut_short),
        }
    }
}

impl FromRequest for Upload {
    type Error = PageError;
    type Future = Pin<Box<dyn Future<Output = Result<Self, PageError>>>>;

    fn from_request(req: &HttpRequest, payload: &mut Payload) -> Self::Future {
        let parts = Multipart::from_request(req, payload);
        let granted = Granted::of(req);
        Box::pin(async move {
            let parts = parts.await.map_err(|_| PageError::Unreadable("it is not a form with a file"))?;
            in_time(FILE_PATIENCE, Self::read(parts, granted)).await?
        })
    }
}

/// What another program sent, whole. There is no token to check: only a key opens such a route, and no
/// browser adds one by itself.
pub struct Sent(pub(crate) Vec<u8>);

impl FromRequest for Sent {
    type Error = PageError;
    type Future = Pin<Box<dyn Future<Output = Result<Self, PageError>>>>;

    fn from_request(_: &HttpRequest, payload: &mut Payload) -> Self::Future {
        let body = all(payload.take(), FILE_LIMIT, FILE_TOO_LARGE, PageError::Unreadable("it did not arrive whole"));
        Box::pin(async move { in_time(FILE_PATIENCE, body).await?.map(Self) })
    }
}
