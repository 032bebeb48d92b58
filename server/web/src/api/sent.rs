//! Records sent by a program: all of them are kept or none, and the same request once.

use actix_web::http::StatusCode;
use actix_web::{HttpRequest, HttpResponse};
use intake::FileKind;
use reckon::figure::RecordKind;
use serde_json::{Value, json};
use sha2::{Digest, Sha256};

use super::answer;
use super::asked::Asked;
use super::rows::Rows;
use crate::body::{FILE_LIMIT, FILE_TOO_LARGE, Sent};
use crate::bring_in::{BringInError, BroughtIn, Once, Wishes, bring_in_once};
use crate::error::PageError;
use crate::extract::{Sender, Writing};
use crate::pages::Page;
use crate::session::hex;
use crate::shell::Shell;

/// The header that names a request which counts once.
pub(super) const ONCE: &str = "idempotency-key";
/// Longest name of one.
pub(super) const MOST_OF_ONCE: usize = 200;

/// POST /api/records/{kind}
pub async fn records_sent(writing: Writing, sender: Sender, shell: Shell, req: HttpRequest, body: Sent) -> Page {
    let Some(kind) = req.match_info().get("kind").and_then(RecordKind::from_word) else { return Ok(no_such_kind()) };
    let asked = match Asked::read(&body.0) {
        Ok(asked) => asked,
        Err(sentence) => return Ok(error(StatusCode::BAD_REQUEST, &sentence)),
    };
    let once = match name_of(&req, &sender) {
        Ok(name) => name.map(|name| Repeat { name, request: request(kind, &body.0) }),
        Err(sentence) => return Ok(error(StatusCode::BAD_REQUEST, sentence)),
    };
    if let Some(once) = &once
        && let Some(led) = writing.desk().led_to(&once.name).await?
    {
        return once.again(&led);
    }
    let problems = asked.problems();
    let doubles = match asked.doubles() {
        Ok(doubles) if problems.is_empty() => doubles,
        _ => return Ok(super::answer(StatusCode::UNPROCESSABLE_ENTITY, &answer::problems(&problems))),
    };
    let rows = Rows::of(FileKind::Records(kind), &asked.records, FILE_LIMIT, FILE_TOO_LARGE)?;
    let request = Request { writing, kind, name: sender.name, sure: asked.sure, once, rows };
    request.bring_in(Wishes { doubles, ..Wishes::on(shell.today) }).await
}

/// A request that could be read.
struct Request {
    writing: Writing,
    kind: RecordKind,
    /// What the program is called, which stands for the file's name.
    name: String,
    sure: Vec<u32>,
    once: Option<Repeat>,
    rows: Rows,
}

impl Request {
    /// A second round is taken only where nothing but answered questions stood in the way.
    async fn bring_in(self, wishes: Wishes) -> Page {
        let first = self.round(&wishes).await;
        let came = match first {
            Err(BringInError::Refused(refusal)) if answer::all_sure(&refusal, &self.rows, &self.sure) => {
                self.round(&Wishes { sure: true, ..wishes }).await
            }
            other => other,
        };
        match came {
            Ok(done) => Ok(super::answer(StatusCode::OK, &answer::kept(&done))),
            Err(BringInError::Refused(refusal)) => {
                let status = if refusal.closed { StatusCode::CONFLICT } else { StatusCode::UNPROCESSABLE_ENTITY };
                Ok(super::answer(status, &answer::refused(&refusal, &self.rows, &self.sure)))
            }
            Err(BringInError::Before(led)) => self.once.as_ref().ok_or(PageError::Unready)?.again(&led),
            Err(BringInError::Store(error)) => Err(error.into()),
            Err(other) => Err(PageError::inside(other)),
        }
    }

    async fn round(&self, wishes: &Wishes) -> Result<BroughtIn, BringInError> {
        let (store, scope) = self.writing.parts();
        let told = |done: &BroughtIn| self.once.as_ref().map(|once| once.told(done)).unwrap_or_default();
        let once = self.once.as_ref().map(|once| Once { key: &once.name, told: &told });
        let bytes = self.rows.bytes.clone();
        bring_in_once(store, scope, self.kind, &self.name, bytes, wishes, once.as_ref()).await
    }
}

/// A request that counts once.
struct Repeat {
    /// Its name, apart from those of other keys and of forms.
    name: String,
    /// What tells the request itself.
    request: String,
}

impl Repeat {
    /// What is kept with the records, to be told again.
    fn told(&self, done: &BroughtIn) -> String {
        json!({ "request": self.request, "answer": answer::kept(done) }).to_string()
    }

    /// The first answer again, if it was given to the same request.
    fn again(&self, led: &str) -> Page {
        let told: Value = serde_json::from_str(led).map_err(PageError::inside)?;
        let (same, first) = (told.get("request").and_then(Value::as_str), told.get("answer"));
        match first {
            Some(first) if same == Some(self.request.as_str()) => Ok(super::answer(StatusCode::OK, first)),
            _ => Ok(error(
                StatusCode::UNPROCESSABLE_ENTITY,
                "Another request came with this Idempotency-Key before. Nothing was kept; send this one with a key of its own.",
            )),
        }
    }
}

fn request(kind: RecordKind, body: &[u8]) -> String {
    hex(&Sha256::new().chain_update(kind.word()).chain_update([0]).chain_update(body).finalize())
}

/// The name of a request that counts once, if it has one.
fn name_of(req: &HttpRequest, sender: &Sender) -> Result<Option<String>, &'static str> {
    let Some(value) = req.headers().get(ONCE) else { return Ok(None) };
    let text = value.to_str().ok().map(str::trim).filter(|text| (1..=MOST_OF_ONCE).contains(&text.len()));
    let text = text.ok_or("Idempotency-Key: expected 1 to 200 plain characters. Nothing was kept.")?;
    Ok(Some(format!("program {} {text}", sender.key)))
}

fn no_such_kind() -> HttpResponse {
    let kinds: Vec<&str> = RecordKind::ALL.into_iter().map(RecordKind::word).collect();
    error(StatusCode::NOT_FOUND, &format!("There is no such kind of record. The kinds are: {}.", kinds.join(", ")))
}

fn error(status: StatusCode, sentence: &str) -> HttpResponse {
    super::answer(status, &json!({ "error": sentence }))
}
