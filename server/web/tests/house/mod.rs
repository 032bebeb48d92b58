//! A book in a temporary SQLite file, people of every role, and a browser that is only as clever
//! as it must be.

#![expect(dead_code, unreachable_pub, reason = "each test file has a copy of the house and uses its part of it")]

use std::future::Future;
use std::pin::Pin;
use std::rc::Rc;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use actix_web::http::header::HeaderMap;
use actix_web::test::{self, TestRequest};
use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use reckon::block::{Block, Farm, Season};
use reckon::exact::Acres;
use reckon::money::Money;
use reckon::records::{Cost, CostGroup, LaborEntry, Loading, Pay, Rate, RateKind, Record, SharedBasis, Shares, Task};
use sha2::{Digest, Sha256};
use store::{BlockId, FarmId, NewUser, Right, Role, Scope, Source, Store, Target, UserId};
use tempfile::TempDir;
use uuid::Uuid;
use web::AppState;

/// The first of July 2026, noon, and later as the test says; ids and secrets by counting.
#[derive(Default)]
pub struct Steady {
    next: AtomicU64,
    later: AtomicU64,
}

impl Steady {
    fn next(&self) -> u64 {
        self.next.fetch_add(1, Ordering::Relaxed)
    }

    /// Lets time pass.
    pub fn pass(&self, seconds: u64) {
        self.later.fetch_add(seconds, Ordering::Relaxed);
    }
}

impl Source for Steady {
    fn now(&self) -> DateTime<Utc> {
        let noon: DateTime<Utc> = "2026-07-01T12:00:00Z".parse().unwrap();
        noon + std::time::Duration::from_secs(self.later.load(Ordering::Relaxed))
    }

    fn id(&self) -> Uuid {
        let n = self.next();
        let mut rest = [0; 10];
        rest[2..].copy_from_slice(&n.to_be_bytes());
        uuid::Builder::from_unix_timestamp_millis(1_782_907_200_000 + n, &rest).into_uuid()
    }

    fn secret(&self) -> [u8; 32] {
        Sha256::digest(self.next().to_be_bytes()).into()
    }
}

/// A book with nothing in it yet.
pub async fn empty() -> (AppState, TempDir) {
    let (state, _, folder) = empty_with_clock().await;
    (state, folder)
}

async fn empty_with_clock() -> (AppState, Arc<Steady>, TempDir) {
    let folder = tempfile::tempdir().unwrap();
    let clock = Arc::new(Steady::default());
    let source: Arc<dyn Source> = Arc::<Steady>::clone(&clock);
    let url = format!("sqlite://{}?mode=rwc", folder.path().join("book.db").display());
    let store = Store::open(&url, Arc::clone(&source)).await.unwrap();
    store.migrate().await.unwrap();
    (AppState { store, source, secure_cookies: false, local: |moment| moment.fixed_offset() }, clock, folder)
}

/// A book with two farms, a block, a season, one labor entry and one rate.
pub struct House {
    pub state: AppState,
    pub owner: Scope,
    pub farm: FarmId,
    pub other_farm: FarmId,
    pub block: BlockId,
    pub labor: Uuid,
    pub rate: Uuid,
    pub clock: Arc<Steady>,
    folder: TempDir,
}

pub const PASSWORD: &str = "four plain words here";

impl House {
    /// Opens another season.
    pub async fn open_season(&self, year: i32) {
        let mut book = self.state.store.book(&self.owner, Right::SetUp).await.unwrap();
        book.open_season(&Season::calendar_year(year).unwrap()).await.unwrap();
        book.save().await.unwrap();
    }

    /// Spends on the block (777), on its farm (333), and on a farm without a block (555).
    pub async fn spend(&self) {
        let mut book = self.state.store.book(&self.owner, Right::KeepBooks).await.unwrap();
        book.add(&Target::Block(self.block), &lime(777)).await.unwrap();
        book.add(&Target::Farm(self.farm), &lime(333)).await.unwrap();
        book.add(&Target::Farm(self.other_farm), &lime(555)).await.unwrap();
        book.save().await.unwrap();
    }

    pub async fn new() -> Self {
        let (state, clock, folder) = empty_with_clock().await;
        let hash = web::password::hash(PASSWORD, &[1; 32]).unwrap();
        let owner = NewUser { name: "Ana Owner", email: "ana@example.com", password_hash: &hash };
        let owner = state.store.door().found_operation("Cottonwood Flat", owner).await.unwrap();
        let mut book = state.store.book(&owner, Right::SetUp).await.unwrap();
        book.open_season(&Season::calendar_year(2026).unwrap()).await.unwrap();
        let farm = book.add_farm(&farm_of("River Bench")).await.unwrap();
        let other_farm = book.add_farm(&farm_of("Sand Draw")).await.unwrap();
        let block = book.add_block(farm, &block()).await.unwrap();
        let labor = book.add(&Target::Block(block), &labor()).await.unwrap();
        let rate = book.add(&Target::Operation, &wage()).await.unwrap();
        book.save().await.unwrap();
        Self { state, owner, farm, other_farm, block, labor, rate, clock, folder }
    }

    /// A person with a role on all farms, or on one; `stranger` owns another operation in the same
    /// database. Asked again by the same name it is the same person.
    pub async fn known(&self, name: &str, role: Role, farm: Option<FarmId>) -> UserId {
        let email = format!("{}@example.com", name.replace(' ', "."));
        if let Some((user, _)) = self.state.store.door().password_of(&email).await.unwrap() {
            return user;
        }
        let new = NewUser { name, email: &email, password_hash: "not used" };
        if name == "stranger" {
            return self.state.store.door().found_operation("Elsewhere", new).await.unwrap().user();
        }
        let mut book = self.state.store.book(&self.owner, Right::SetUp).await.unwrap();
        let farms = farm.map(|farm| [farm]);
        let user = book.add_person(new, role, farms.as_ref().map(|farms| &farms[..])).await.unwrap();
        book.save().await.unwrap();
        user
    }

    pub async fn browser(&self, user: UserId) -> Browser {
        Browser::signed_in(&self.state, user).await
    }

    pub async fn owner_browser(&self) -> Browser {
        self.browser(self.owner.user()).await
    }

    /// A program with a key of this person.
    pub async fn program(&self, user: UserId) -> Program {
        let (door, session, secret) = (self.state.store.door(), self.state.source.secret(), self.state.source.secret());
        door.begin_session(user, session, [0; 32], TimeDelta::days(1)).await.unwrap();
        let scope = door.session(&session).await.unwrap().unwrap().scope;
        let mut book = self.state.store.book(&scope, Right::Read).await.unwrap();
        book.add_program_key("packing line", Sha256::digest(secret).into()).await.unwrap();
        book.save().await.unwrap();
        Program(format!("sbk_{}", hex(&secret)))
    }

    /// A route's sample address with the ids of this house.
    pub fn address(&self, sample: &str) -> String {
        sample
            .replace("BLOCK", &self.block.to_string())
            .replace("FARM", &self.farm.to_string())
            .replace("RECORD", &self.labor.to_string())
            .replace("RATE", &self.rate.to_string())
            .replace("PERSON", &self.owner.user().to_string())
    }

    pub fn labor_list(&self) -> String {
        format!("/season/2026/block/{}/labor", self.block)
    }

    pub async fn labor_entries(&self) -> u64 {
        self.state
            .store
            .desk(&self.owner)
            .count(store::RecordFilter::of(reckon::figure::RecordKind::Labor))
            .await
            .unwrap()
    }
}

fn farm_of(name: &str) -> Farm {
    Farm { name: name.to_owned(), station: name.to_owned(), ..Farm::default() }
}

fn block() -> Block {
    Block {
        code: "RB-1".to_owned(),
        crop: "nectarine".to_owned(),
        variety: "Ninebark".to_owned(),
        acres: Acres::whole(15).unwrap(),
        trees: Some(2_387),
        ..Block::default()
    }
}

fn labor() -> Record {
    Record::Labor(LaborEntry {
        date: NaiveDate::from_ymd_opt(2026, 5, 14).unwrap(),
        task: Task::Thin,
        method: None,
        pass: Some(1),
        crew: "Crew Arroyo".to_owned(),
        people: Some(8),
        hours: Some(reckon::exact::Hours::whole(60).unwrap()),
        hours_each: None,
        overtime_hours: reckon::exact::Hours::ZERO,
        overtime_multiplier: None,
        pay: Pay::Hourly(None),
        loading: Loading::FromRates,
        trees_done: Some(620),
        rows_done: None,
        note: String::new(),
    })
}

fn wage() -> Record {
    let from = NaiveDate::from_ymd_opt(2026, 1, 1).unwrap();
    Record::Rate(Rate { from, kind: RateKind::Wage(None), micros: 19_400_000, note: String::new() })
}

/// What came back.
pub struct Answer {
    pub status: u16,
    pub headers: HeaderMap,
    pub body: String,
}

impl Answer {
    pub fn header(&self, name: &str) -> &str {
        self.headers.get(name).map_or("", |value| value.to_str().unwrap())
    }

    /// What a person reads of a page: the texts and what stands in fields, without hidden ones, whose tokens may
    /// hold any digits. Of a file all of it.
    pub fn seen(&self) -> String {
        if !self.header("content-type").starts_with("text/html") {
            return self.body.clone();
        }
        let page = scraper::Html::parse_document(&self.body);
        let pick = |selector: &str| scraper::Selector::parse(selector).unwrap();
        let fields = pick("main input:not([type=hidden])");
        let values = page.select(&fields).filter_map(|input| input.value().attr("value"));
        let texts = pick("main");
        let texts = page.select(&texts).flat_map(|main| main.text());
        texts.chain(values).collect::<Vec<_>>().join(" ")
    }

    /// The value of a hidden or typed field of the page.
    pub fn value(&self, field: &str) -> String {
        let page = scraper::Html::parse_document(&self.body);
        let selector = scraper::Selector::parse(&format!("[name={field}]")).unwrap();
        page.select(&selector).next().and_then(|input| input.value().attr("value")).unwrap_or_default().to_owned()
    }
}

/// A browser: sends its cookie, and the form token where it is signed in.
#[derive(Clone, Default)]
pub struct Browser {
    pub cookie: Option<String>,
    pub csrf: String,
}

impl Browser {
    async fn signed_in(state: &AppState, user: UserId) -> Self {
        let (token, csrf) = (state.source.secret(), state.source.secret());
        let hash = Sha256::digest(token).into();
        state.store.door().begin_session(user, hash, csrf, TimeDelta::days(1)).await.unwrap();
        Self { cookie: Some(format!("session={}", hex(&token))), csrf: hex(&csrf) }
    }

    pub fn request(&self, method: &str, path: &str) -> TestRequest {
        let request = TestRequest::with_uri(path)
            .method(method.parse().unwrap())
            .insert_header(("host", "book.test"))
            .insert_header(("origin", "http://book.test"));
        match &self.cookie {
            Some(cookie) => request.insert_header(("cookie", cookie.as_str())),
            None => request,
        }
    }

    /// A form with these fields and the token.
    pub fn form(&self, path: &str, fields: &[(&str, &str)]) -> TestRequest {
        let mut all = vec![("csrf", self.csrf.as_str())];
        all.extend_from_slice(fields);
        self.request("POST", path).set_form(all)
    }

    /// A form with a file, as browsers send it.
    pub fn file(&self, path: &str, fields: &[(&str, &str)], name: &str, bytes: &[u8]) -> TestRequest {
        let mut body = Vec::new();
        for (field, value) in [("csrf", self.csrf.as_str())].iter().chain(fields) {
            let part = format!("--edge\r\ncontent-disposition: form-data; name=\"{field}\"\r\n\r\n{value}\r\n");
            body.extend_from_slice(part.as_bytes());
        }
        let head = format!(
            "--edge\r\ncontent-disposition: form-data; name=\"file\"; filename=\"{name}\"\r\ncontent-type: text/csv\r\n\r\n"
        );
        body.extend_from_slice(head.as_bytes());
        body.extend_from_slice(bytes);
        body.extend_from_slice(b"\r\n--edge--\r\n");
        let length = body.len().to_string();
        self.request("POST", path)
            .insert_header(("content-type", "multipart/form-data; boundary=edge"))
            .insert_header(("content-length", length))
            .set_payload(body)
    }
}

/// A program and its key: no cookie, no origin.
pub struct Program(pub String);

impl Program {
    pub fn request(&self, method: &str, path: &str) -> TestRequest {
        TestRequest::with_uri(path)
            .method(method.parse().unwrap())
            .insert_header(("host", "book.test"))
            .insert_header(("authorization", format!("Bearer {}", self.0)))
    }

    pub fn send(&self, kind: &str, body: &str) -> TestRequest {
        self.request("POST", &format!("/api/records/{kind}")).set_payload(body.to_owned())
    }
}

pub fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |text, byte| text + &format!("{byte:02x}"))
}

/// The app, as a function from a request to an answer.
pub type Site = Box<dyn Fn(TestRequest) -> Pin<Box<dyn Future<Output = Answer>>>>;

/// Opens the app on a book.
pub async fn site(state: &AppState) -> Site {
    let app = Rc::new(test::init_service(web::app(state.clone())).await);
    Box::new(move |request| {
        let app = Rc::clone(&app);
        Box::pin(async move {
            let response = test::call_service(&*app, request.to_request()).await;
            let (status, headers) = (response.status().as_u16(), response.headers().clone());
            let body = test::read_body(response).await;
            Answer { status, headers, body: String::from_utf8_lossy(&body).into_owned() }
        })
    })
}

/// A file of a kind, brought in by the owner.
pub async fn bring_in(house: &House, site: &Site, kind: &str, wishes: &[(&str, &str)], bytes: &str) -> Answer {
    let owner = house.owner_browser().await;
    let fields: Vec<(&str, &str)> = [("kind", kind)].iter().chain(wishes).copied().collect();
    site(owner.file("/bring-in", &fields, &format!("{kind}.csv"), bytes.as_bytes())).await
}

/// The fields of a crew day's form, with the key of a page just opened.
pub async fn keep(house: &House, site: &Site, fields: &[(&str, &str)]) -> Answer {
    let owner = house.owner_browser().await;
    let add = format!("{}/add", house.labor_list());
    let key = site(owner.request("GET", &add)).await.value("key");
    let all: Vec<(&str, &str)> = [("key", key.as_str())].iter().chain(fields).copied().collect();
    site(owner.form(&add, &all)).await
}

/// Lime of 2 March, shared by acres where it is shared.
pub fn lime(dollars: i64) -> Record {
    Record::Cost(Cost {
        date: NaiveDate::from_ymd_opt(2026, 3, 2).unwrap(),
        payee: "Canyon Supply".to_owned(),
        category: "lime".to_owned(),
        group: CostGroup::Cultural,
        amount: Money::from_cents(dollars * 100),
        basis: SharedBasis::Acres,
        shares: Shares::default(),
        lasting: None,
        note: String::new(),
    })
}
