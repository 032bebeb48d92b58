//! What a handler may ask for: the right to read or write, and typed pieces of the address.
//!
//! The gate (see `session`) has already signed the person in and checked the right named
//! in the route table; these hand over the desk and the book and nothing else of the store.

use std::future::{Ready, ready};
use std::rc::Rc;
use std::str::FromStr;

use actix_web::dev::Payload;
use actix_web::{FromRequest, HttpMessage, HttpRequest, web};
use reckon::figure::RecordKind;
use store::{BlockId, Book, Desk, FarmId, Program, ProgramKeyId, Right, Scope, SignedIn, Store, UserId};
use uuid::Uuid;

use crate::app::AppState;
use crate::error::PageError;

/// Left in the request by the gate: who is signed in, and the right that was checked.
#[derive(Clone)]
pub(crate) struct Granted {
    pub(crate) who: Rc<SignedIn>,
    pub(crate) need: Right,
    /// The program that came in with the person's key; `None` for the person.
    pub(crate) program: Option<Rc<Program>>,
}

impl Granted {
    pub(crate) fn of(req: &HttpRequest) -> Option<Self> {
        req.extensions().get::<Self>().cloned()
    }
}

/// The right to read.
pub struct Reading {
    store: Store,
    granted: Granted,
}

impl Reading {
    /// Reads, in the person's scope.
    pub fn desk(&self) -> Desk<'_> {
        self.store.desk(&self.granted.who.scope)
    }

    /// The person's scope.
    pub fn scope(&self) -> &Scope {
        &self.granted.who.scope
    }
}

/// The right to write that the route table names. No transaction is open until [`Writing::open`]:
/// no lock is held while a body still arrives.
pub struct Writing(Reading);

impl Writing {
    /// Reads, in the person's scope.
    pub fn desk(&self) -> Desk<'_> {
        self.0.desk()
    }

    /// Opens the one writing transaction; dropped without `save` it is rolled back.
    pub async fn open(&self) -> Result<Book<'_>, PageError> {
        Ok(self.0.store.book(self.0.scope(), self.0.granted.need).await?)
    }

    /// The person.
    pub fn user(&self) -> UserId {
        self.0.scope().user()
    }

    /// Whether the person must choose a password before anything else.
    pub fn one_time(&self) -> bool {
        self.0.granted.who.one_time
    }

    /// Whether the person sees the whole operation, and not some of its farms only.
    pub fn sees_all(&self) -> bool {
        self.0.scope().sees_all()
    }

    /// Store and scope, for work that opens its own book.
    pub(crate) fn parts(&self) -> (&Store, &Scope) {
        (&self.0.store, self.0.scope())
    }
}

/// The program that sent the request.
pub struct Sender {
    /// The key it came in with.
    pub key: ProgramKeyId,
    /// What its person calls it.
    pub name: String,
}

fn sender(req: &HttpRequest) -> Result<Sender, PageError> {
    let program = Granted::of(req).and_then(|granted| granted.program).ok_or(PageError::Unready)?;
    Ok(Sender { key: program.key, name: program.name.clone() })
}

fn reading(req: &HttpRequest) -> Result<Reading, PageError> {
    let state = req.app_data::<web::Data<AppState>>().ok_or(PageError::Unready)?;
    let granted = Granted::of(req).ok_or(PageError::Unready)?;
    Ok(Reading { store: state.store.clone(), granted })
}

/// One piece of the address; what does not read as one is not found.
fn piece<T: FromStr>(req: &HttpRequest, name: &str) -> Result<T, PageError> {
    req.match_info().get(name).and_then(|text| text.parse().ok()).ok_or(PageError::NotFound)
}

/// `{year}` of the address.
#[derive(Debug, Clone, Copy)]
pub struct SeasonAt {
    /// Year of the season.
    pub year: i32,
}

/// `{person}` of the address.
#[derive(Debug, Clone, Copy)]
pub struct PersonAt {
    /// The person; not yet known to exist.
    pub person: UserId,
}

/// `{key}` of the address.
#[derive(Debug, Clone, Copy)]
pub struct KeyAt {
    /// The key of a program; not yet known to exist.
    pub key: ProgramKeyId,
}

/// `{year}` and `{farm}` of the address.
#[derive(Debug, Clone, Copy)]
pub struct FarmAt {
    /// Year of the season.
    pub year: i32,
    /// The farm; not yet known to exist.
    pub farm: FarmId,
}

/// `{year}` and `{block}` of the address.
#[derive(Debug, Clone, Copy)]
pub struct BlockAt {
    /// Year of the season.
    pub year: i32,
    /// The block; not yet known to exist.
    pub block: BlockId,
}

/// `{year}`, `{kind}`, and `{block}` where the list is a block's.
#[derive(Debug, Clone, Copy)]
pub struct KindAt {
    /// Year of the season.
    pub year: i32,
    /// The block; `None` for records of the whole operation.
    pub block: Option<BlockId>,
    /// Kind of record.
    pub kind: RecordKind,
}

/// [`KindAt`] and `{id}`.
#[derive(Debug, Clone, Copy)]
pub struct RecordAt {
    /// Its list.
    pub list: KindAt,
    /// Its id; not yet known to exist.
    pub id: Uuid,
}

fn kind_at(req: &HttpRequest) -> Result<KindAt, PageError> {
    let block = match req.match_info().get("block") {
        Some(_) => Some(piece(req, "block")?),
        None => None,
    };
    let word: String = piece(req, "kind")?;
    let kind = RecordKind::from_word(&word).ok_or(PageError::NotFound)?;
    Ok(KindAt { year: piece(req, "year")?, block, kind })
}

macro_rules! extractors {
    ($($name:ty: $read:expr;)*) => {$(
        impl FromRequest for $name {
            type Error = PageError;
            type Future = Ready<Result<Self, PageError>>;

            fn from_request(req: &HttpRequest, _: &mut Payload) -> Self::Future {
                let read: fn(&HttpRequest) -> Result<Self, PageError> = $read;
                ready(read(req))
            }
        }
    )*};
}

extractors! {
    Reading: reading;
    Writing: |req| reading(req).map(Writing);
    Sender: sender;
    SeasonAt: |req| Ok(SeasonAt { year: piece(req, "year")? });
    PersonAt: |req| Ok(PersonAt { person: piece(req, "person")? });
    KeyAt: |req| Ok(KeyAt { key: piece(req, "key")? });
    FarmAt: |req| Ok(FarmAt { year: piece(req, "year")?, farm: piece(req, "farm")? });
    BlockAt: |req| Ok(BlockAt { year: piece(req, "year")?, block: piece(req, "block")? });
    KindAt: kind_at;
    RecordAt: |req| Ok(RecordAt { list: kind_at(req)?, id: piece(req, "id")? });
}

/// One value of the address's query, decoded.
pub(crate) fn query(req: &HttpRequest, name: &str) -> Option<String> {
    let pairs = web::Query::<Vec<(String, String)>>::from_query(req.query_string()).ok()?;
    pairs.into_inner().into_iter().find(|(key, _)| key == name).map(|(_, value)| value)
}
