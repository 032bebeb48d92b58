//! The route table: the app is built from it, and so is the test that tries every route as nobody,
//! as each role and as a stranger.

pub mod to;

use actix_web::http::Method;
use actix_web::middleware::from_fn;
use actix_web::{HttpRequest, Route, web};
use store::Right;

use crate::api;
use crate::error::PageError;
use crate::pages::{
    block, bring_in, changes, costs, crews, due, farm, files, first_run, formats, health, keys, next_season, overview,
    packout, people, records, season, seasons, setup, sign_in, sources, statement, thinning, water,
};

/// Who may come in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// Anybody, signed in or not.
    Open,
    /// A person whose role holds the right.
    Member(Right),
    /// A person whose role may see the kind of record in the address (`{kind}`).
    SeeKind,
    /// A person whose role may keep the kind of record in the address (`{kind}`).
    KeepKind,
}

/// What a request may carry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Carries {
    /// Nothing.
    Nothing,
    /// A form, 64 KiB at most.
    Form,
    /// A file, 20 MB at most.
    File,
    /// JSON of another program, 20 MB at most.
    Json,
}

/// How one comes in, where it is not open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Admits {
    /// By signing in.
    Person,
    /// By a key for other programs; a cookie opens nothing.
    Program,
    /// Either way.
    Both,
}

/// One route.
pub struct Entry {
    /// GET (which also answers HEAD) or POST.
    pub method: Method,
    /// Pattern, as actix reads it.
    pub path: &'static str,
    /// Who may come in.
    pub need: Need,
    /// How one comes in.
    pub admits: Admits,
    /// What a request may carry.
    pub carries: Carries,
    /// An address of this route; `BLOCK`, `FARM`, `RECORD`, `RATE`, `PERSON` and `KEY` stand for ids.
    pub sample: &'static str,
    to: fn(Route) -> Route,
}

const fn get(path: &'static str, need: Need, sample: &'static str, to: fn(Route) -> Route) -> Entry {
    Entry { method: Method::GET, path, need, admits: Admits::Person, carries: Carries::Nothing, sample, to }
}

const fn post(path: &'static str, need: Need, sample: &'static str, to: fn(Route) -> Route) -> Entry {
    Entry { method: Method::POST, path, need, admits: Admits::Person, carries: Carries::Form, sample, to }
}

const fn file(path: &'static str, need: Need, sample: &'static str, to: fn(Route) -> Route) -> Entry {
    Entry { method: Method::POST, path, need, admits: Admits::Person, carries: Carries::File, sample, to }
}

/// A page that is a file: for people and for programs.
const fn download(path: &'static str, need: Need, sample: &'static str, to: fn(Route) -> Route) -> Entry {
    Entry { method: Method::GET, path, need, admits: Admits::Both, carries: Carries::Nothing, sample, to }
}

const fn asked(path: &'static str, need: Need, sample: &'static str, to: fn(Route) -> Route) -> Entry {
    Entry { method: Method::GET, path, need, admits: Admits::Program, carries: Carries::Nothing, sample, to }
}

const fn sent(path: &'static str, need: Need, sample: &'static str, to: fn(Route) -> Route) -> Entry {
    Entry { method: Method::POST, path, need, admits: Admits::Program, carries: Carries::Json, sample, to }
}

const READ: Need = Need::Member(Right::Read);
const MONEY: Need = Need::Member(Right::SeeMoney);
const BRING_IN: Need = Need::Member(Right::BringIn);
const KEEP_BOOKS: Need = Need::Member(Right::KeepBooks);
const SET_UP: Need = Need::Member(Right::SetUp);
const PEOPLE: Need = Need::Member(Right::People);

/// The page of one's own password: the only one, beside signing out, that a one-time password opens.
pub(crate) const PASSWORD: &str = "/password";

/// Every route. Order matters where a fixed name stands beside a pattern: the fixed name first.
pub static ROUTES: &[Entry] = &[
    get("/health", Need::Open, "/health", |r| r.to(health::health_page)),
    get("/static/{name}", Need::Open, "/static/book.css", |r| r.to(crate::assets::asset_file)),
    get("/sign-in", Need::Open, "/sign-in", |r| r.to(sign_in::sign_in_page)),
    post("/sign-in", Need::Open, "/sign-in", |r| r.to(sign_in::sign_in_sent)),
    post("/sign-out", READ, "/sign-out", |r| r.to(sign_in::sign_out_sent)),
    get("/first-run", Need::Open, "/first-run", |r| r.to(first_run::first_run_page)),
    post("/first-run", Need::Open, "/first-run", |r| r.to(first_run::first_run_sent)),
    get("/", READ, "/", |r| r.to(seasons::newest_page)),
    get("/seasons", READ, "/seasons", |r| r.to(seasons::seasons_page)),
    post("/seasons", SET_UP, "/seasons", |r| r.to(seasons::seasons_sent)),
    get("/season/{year}/close", SET_UP, "/season/2026/close", |r| r.to(seasons::close_page)),
    post("/season/{year}/close", SET_UP, "/season/1999/close", |r| r.to(seasons::close_sent)),
    get("/season/{year}/reopen", SET_UP, "/season/2026/reopen", |r| r.to(seasons::reopen_page)),
    post("/season/{year}/reopen", SET_UP, "/season/2026/reopen", |r| r.to(seasons::reopen_sent)),
    get("/season/{year}/remove", SET_UP, "/season/2026/remove", |r| r.to(seasons::remove_page)),
    post("/season/{year}/remove", SET_UP, "/season/1999/remove", |r| r.to(seasons::remove_sent)),
    get("/people", PEOPLE, "/people", |r| r.to(people::people_page)),
    get("/people/add", PEOPLE, "/people/add", |r| r.to(people::add_page)),
    post("/people/add", PEOPLE, "/people/add", |r| r.to(people::add_sent)),
    get("/people/{person}/change", PEOPLE, "/people/PERSON/change", |r| r.to(people::change_page)),
    post("/people/{person}/change", PEOPLE, "/people/PERSON/change", |r| r.to(people::change_sent)),
    get("/people/{person}/remove", PEOPLE, "/people/PERSON/remove", |r| r.to(people::remove_page)),
    post("/people/{person}/remove", PEOPLE, "/people/PERSON/remove", |r| r.to(people::remove_sent)),
    post("/people/{person}/password", PEOPLE, "/people/PERSON/password", |r| r.to(people::password_given)),
    get("/people/{person}/keys", PEOPLE, "/people/PERSON/keys", |r| r.to(people::keys_page)),
    get("/people/{person}/keys/{key}/remove", PEOPLE, "/people/PERSON/keys/KEY/remove", |r| {
        r.to(people::remove_key_page)
    }),
    post("/people/{person}/keys/{key}/remove", PEOPLE, "/people/PERSON/keys/RECORD/remove", |r| {
        r.to(people::remove_key_sent)
    }),
    get(PASSWORD, READ, "/password", |r| r.to(people::password_page)),
    post(PASSWORD, READ, "/password", |r| r.to(people::password_sent)),
    get("/keys", READ, "/keys", |r| r.to(keys::keys_page)),
    post("/keys", READ, "/keys", |r| r.to(keys::keys_sent)),
    get("/keys/how", READ, "/keys/how", |r| r.to(keys::how_page)),
    get("/keys/{key}/remove", READ, "/keys/KEY/remove", |r| r.to(keys::remove_page)),
    post("/keys/{key}/remove", READ, "/keys/KEY/remove", |r| r.to(keys::remove_sent)),
    get("/api/openapi.json", Need::Open, "/api/openapi.json", |r| r.to(api::openapi)),
    asked("/api/season/{year}", READ, "/api/season/2026", |r| r.to(api::season)),
    sent("/api/records/{kind}", BRING_IN, "/api/records/labor", |r| r.to(api::records_sent)),
    get("/season/{year}", READ, "/season/2026", |r| r.to(season::season_page)),
    get("/season/{year}/due", READ, "/season/2026/due", |r| r.to(due::due_page)),
    get("/season/{year}/due/crew-sheet", READ, "/season/2026/due/crew-sheet?language=es&farm=FARM", |r| {
        r.to(due::crew_sheet)
    }),
    get("/season/{year}/due/windows", SET_UP, "/season/2026/due/windows", |r| r.to(due::rules_page)),
    post("/season/{year}/due/windows", SET_UP, "/season/2026/due/windows", |r| r.to(due::rules_sent)),
    get("/season/{year}/crews", READ, "/season/2026/crews", |r| r.to(crews::crews_page)),
    get("/season/{year}/due.ics", READ, "/season/2026/due.ics", |r| r.to(due::due_calendar)),
    get("/season/{year}/thinning", MONEY, "/season/2026/thinning?by=farm&seasons=all", |r| {
        r.to(thinning::thinning_page)
    }),
    get("/season/{year}/farm/{farm}", READ, "/season/2026/farm/FARM", |r| r.to(farm::farm_page)),
    get("/season/{year}/farms/add", SET_UP, "/season/2026/farms/add", |r| r.to(setup::add_farm_page)),
    post("/season/{year}/farms/add", SET_UP, "/season/2026/farms/add", |r| r.to(setup::add_farm_sent)),
    get("/season/{year}/farm/{farm}/correct", SET_UP, "/season/2026/farm/FARM/correct", |r| {
        r.to(setup::correct_farm_page)
    }),
    post("/season/{year}/farm/{farm}/correct", SET_UP, "/season/2026/farm/FARM/correct", |r| {
        r.to(setup::correct_farm_sent)
    }),
    get("/season/{year}/farm/{farm}/blocks/add", SET_UP, "/season/2026/farm/FARM/blocks/add", |r| {
        r.to(setup::add_block_page)
    }),
    post("/season/{year}/farm/{farm}/blocks/add", SET_UP, "/season/2026/farm/FARM/blocks/add", |r| {
        r.to(setup::add_block_sent)
    }),
    get("/season/{year}/farm/{farm}/water", READ, "/season/2026/farm/FARM/water", |r| r.to(water::farm_water_page)),
    get("/season/{year}/water", READ, "/season/2026/water", |r| r.to(water::season_water_page)),
    get("/season/{year}/mulch", MONEY, "/season/2026/mulch", |r| r.to(water::mulch_page)),
    get("/season/{year}/overview", MONEY, "/season/2026/overview", |r| r.to(overview::overview_page)),
    get("/season/{year}/statement", MONEY, "/season/2026/statement?farm=FARM", |r| r.to(statement::statement_page)),
    get("/season/{year}/costs", KEEP_BOOKS, "/season/2026/costs", |r| r.to(costs::costs_page)),
    get("/season/{year}/schedule-f.csv", KEEP_BOOKS, "/season/2026/schedule-f.csv", |r| r.to(costs::schedule_f_csv)),
    get("/season/{year}/operation.pdf", KEEP_BOOKS, "/season/2026/operation.pdf?paper=a4", |r| {
        r.to(files::operation_pdf)
    }),
    get("/season/{year}/operation.xlsx", KEEP_BOOKS, "/season/2026/operation.xlsx", |r| r.to(files::operation_xlsx)),
    get("/season/{year}/operation.json", KEEP_BOOKS, "/season/2026/operation.json", |r| r.to(files::operation_json)),
    get("/season/{year}/packout", MONEY, "/season/2026/packout", |r| r.to(packout::packout_page)),
    get("/season/{year}/block/{block}", READ, "/season/2026/block/BLOCK", |r| r.to(block::block_page)),
    download("/season/{year}/block/{block}/report.pdf", MONEY, "/season/2026/block/BLOCK/report.pdf?paper=a4", |r| {
        r.to(block::report_pdf)
    }),
    download("/season/{year}/block/{block}/season.json", MONEY, "/season/2026/block/BLOCK/season.json", |r| {
        r.to(block::season_json)
    }),
    get("/season/{year}/block/{block}/season.xlsx", MONEY, "/season/2026/block/BLOCK/season.xlsx", |r| {
        r.to(files::season_xlsx)
    }),
    get("/season/{year}/block/{block}/statement", MONEY, "/season/2026/block/BLOCK/statement", |r| {
        r.to(statement::block_statement_page)
    }),
    get("/season/{year}/block/{block}/next", MONEY, "/season/2026/block/BLOCK/next?removed=75", |r| {
        r.to(next_season::next_season_page)
    }),
    get("/season/{year}/block/{block}/water", READ, "/season/2026/block/BLOCK/water", |r| r.to(water::water_page)),
    download("/season/{year}/block/{block}/water.csv", READ, "/season/2026/block/BLOCK/water.csv", |r| {
        r.to(block::water_csv)
    }),
    download("/season/{year}/block/{block}/figures.csv", MONEY, "/season/2026/block/BLOCK/figures.csv", |r| {
        r.to(block::figures_csv)
    }),
    get("/season/{year}/block/{block}/correct", SET_UP, "/season/2026/block/BLOCK/correct", |r| {
        r.to(setup::correct_block_page)
    }),
    post("/season/{year}/block/{block}/correct", SET_UP, "/season/2026/block/BLOCK/correct", |r| {
        r.to(setup::correct_block_sent)
    }),
    get("/season/{year}/block/{block}/soil", READ, "/season/2026/block/BLOCK/soil", |r| r.to(setup::soil_page)),
    post("/season/{year}/block/{block}/soil", SET_UP, "/season/2026/block/BLOCK/soil", |r| r.to(setup::soil_sent)),
    get("/season/{year}/block/{block}/{kind}", Need::SeeKind, "/season/2026/block/BLOCK/labor", |r| {
        r.to(records::list_page)
    }),
    get("/season/{year}/block/{block}/{kind}/add", Need::KeepKind, "/season/2026/block/BLOCK/labor/add", |r| {
        r.to(records::add_page)
    }),
    post("/season/{year}/block/{block}/{kind}/add", Need::KeepKind, "/season/2026/block/BLOCK/labor/add", |r| {
        r.to(records::add_sent)
    }),
    get(
        "/season/{year}/block/{block}/{kind}/{id}/correct",
        Need::KeepKind,
        "/season/2026/block/BLOCK/labor/RECORD/correct",
        |r| r.to(records::correct_page),
    ),
    post(
        "/season/{year}/block/{block}/{kind}/{id}/correct",
        Need::KeepKind,
        "/season/2026/block/BLOCK/labor/RECORD/correct",
        |r| r.to(records::correct_sent),
    ),
    get(
        "/season/{year}/block/{block}/{kind}/{id}/remove",
        Need::KeepKind,
        "/season/2026/block/BLOCK/labor/RECORD/remove",
        |r| r.to(records::remove_page),
    ),
    post(
        "/season/{year}/block/{block}/{kind}/{id}/remove",
        Need::KeepKind,
        "/season/2026/block/BLOCK/labor/RECORD/remove",
        |r| r.to(records::remove_sent),
    ),
    get("/season/{year}/records/{kind}", Need::SeeKind, "/season/2026/records/rates", |r| r.to(records::list_page)),
    get("/season/{year}/records/{kind}/add", Need::KeepKind, "/season/2026/records/rates/add", |r| {
        r.to(records::add_page)
    }),
    post("/season/{year}/records/{kind}/add", Need::KeepKind, "/season/2026/records/rates/add", |r| {
        r.to(records::add_sent)
    }),
    get("/season/{year}/records/{kind}/{id}/correct", Need::KeepKind, "/season/2026/records/rates/RATE/correct", |r| {
        r.to(records::correct_page)
    }),
    post(
        "/season/{year}/records/{kind}/{id}/correct",
        Need::KeepKind,
        "/season/2026/records/rates/RATE/correct",
        |r| r.to(records::correct_sent),
    ),
    get("/season/{year}/records/{kind}/{id}/remove", Need::KeepKind, "/season/2026/records/rates/RATE/remove", |r| {
        r.to(records::remove_page)
    }),
    post("/season/{year}/records/{kind}/{id}/remove", Need::KeepKind, "/season/2026/records/rates/RATE/remove", |r| {
        r.to(records::remove_sent)
    }),
    get("/bring-in", BRING_IN, "/bring-in", |r| r.to(bring_in::bring_in_page)),
    file("/bring-in", BRING_IN, "/bring-in", |r| r.to(bring_in::bring_in_sent)),
    get("/bring-in/formats", BRING_IN, "/bring-in/formats", |r| r.to(formats::formats_page)),
    get("/bring-in/formats/{kind}.csv", BRING_IN, "/bring-in/formats/labor.csv", |r| r.to(formats::blank_csv)),
    get("/sources", READ, "/sources", |r| r.to(sources::sources_page)),
    get("/how", READ, "/how", |r| r.to(sources::how_page)),
    get("/changes", MONEY, "/changes", |r| r.to(changes::changes_page)),
];

/// Every route as method, pattern, who may come in, and a sample address.
pub fn table() -> impl Iterator<Item = (&'static Method, &'static str, Need, &'static str)> {
    ROUTES.iter().map(|entry| (&entry.method, entry.path, entry.need, entry.sample))
}

/// Builds the app's routes from the table.
pub(crate) fn configure(cfg: &mut web::ServiceConfig) {
    let mut built: Vec<&str> = Vec::new();
    for entry in ROUTES {
        if !built.contains(&entry.path) {
            built.push(entry.path);
            cfg.service(resource(entry.path));
        }
    }
    cfg.default_service(web::to(|| async { Err::<&str, _>(PageError::NotFound) }));
}

fn resource(path: &'static str) -> actix_web::Resource {
    let mut resource = web::resource(path);
    let mut allow = Vec::new();
    for entry in ROUTES.iter().filter(|entry| entry.path == path) {
        allow.push(entry.method.as_str());
        resource = resource.route(route(entry, &entry.method));
        if entry.method == Method::GET {
            allow.push("HEAD");
            resource = resource.route(route(entry, &Method::HEAD));
        }
    }
    let allow = allow.join(", ");
    resource.default_service(web::to(move |_: HttpRequest| {
        let allow = allow.clone();
        async move { Err::<&str, _>(PageError::Method { allow }) }
    }))
}

fn route(entry: &'static Entry, method: &Method) -> Route {
    let gate = from_fn(move |req, next| crate::session::gate(entry, req, next));
    (entry.to)(web::method(method.clone())).wrap(gate)
}
