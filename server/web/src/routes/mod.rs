//! The route table: the app is built from it, and so is the test that tries every route as nobody,
//! as each role and as a stranger.

pub mod to;

use actix_web::http::Method;
use actix_web::middleware::from_fn;
use actix_web::{HttpRequest, Route, web};
use store::Right;

use crate::error::PageError;
use crate::pages::{
    block, bring_in, changes, costs, due, farm, first_run, formats, health, overview, packout, records, season,
    seasons, setup, sign_in, sources, statement, thinning, water,
};

/// Who may come in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// Anybody, signed in or not.
    Open,
    /// A person whose role holds the right.
    Member(Right),
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
}

/// One route.
pub struct Entry {
    /// GET (which also answers HEAD) or POST.
    pub method: Method,
    /// Pattern, as actix reads it.
    pub path: &'static str,
    /// Who may come in.
    pub need: Need,
    /// What a request may carry.
    pub carries: Carries,
    /// An address of this route; `BLOCK`, `FARM`, `RECORD` and `RATE` stand for ids.
    pub sample: &'static str,
    to: fn(Route) -> Route,
}

const fn get(path: &'static str, need: Need, sample: &'static str, to: fn(Route) -> Route) -> Entry {
    Entry { method: Method::GET, path, need, carries: Carries::Nothing, sample, to }
}

const fn post(path: &'static str, need: Need, sample: &'static str, to: fn(Route) -> Route) -> Entry {
    Entry { method: Method::POST, path, need, carries: Carries::Form, sample, to }
}

const fn file(path: &'static str, need: Need, sample: &'static str, to: fn(Route) -> Route) -> Entry {
    Entry { method: Method::POST, path, need, carries: Carries::File, sample, to }
}

const READ: Need = Need::Member(Right::Read);
const BRING_IN: Need = Need::Member(Right::BringIn);
const KEEP_BOOKS: Need = Need::Member(Right::KeepBooks);
const SET_UP: Need = Need::Member(Right::SetUp);

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
    get("/season/{year}", READ, "/season/2026", |r| r.to(season::season_page)),
    get("/season/{year}/due", READ, "/season/2026/due", |r| r.to(due::due_page)),
    get("/season/{year}/due/crew-sheet", READ, "/season/2026/due/crew-sheet?language=es&farm=FARM", |r| {
        r.to(due::crew_sheet)
    }),
    get("/season/{year}/due.ics", READ, "/season/2026/due.ics", |r| r.to(due::due_calendar)),
    get("/season/{year}/thinning", READ, "/season/2026/thinning?by=farm&seasons=all", |r| {
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
    get("/season/{year}/mulch", READ, "/season/2026/mulch", |r| r.to(water::mulch_page)),
    get("/season/{year}/overview", READ, "/season/2026/overview", |r| r.to(overview::overview_page)),
    get("/season/{year}/statement", READ, "/season/2026/statement?farm=FARM", |r| r.to(statement::statement_page)),
    get("/season/{year}/costs", KEEP_BOOKS, "/season/2026/costs", |r| r.to(costs::costs_page)),
    get("/season/{year}/schedule-f.csv", KEEP_BOOKS, "/season/2026/schedule-f.csv", |r| r.to(costs::schedule_f_csv)),
    get("/season/{year}/packout", READ, "/season/2026/packout", |r| r.to(packout::packout_page)),
    get("/season/{year}/block/{block}", READ, "/season/2026/block/BLOCK", |r| r.to(block::block_page)),
    get("/season/{year}/block/{block}/report.pdf", READ, "/season/2026/block/BLOCK/report.pdf?paper=a4", |r| {
        r.to(block::report_pdf)
    }),
    get("/season/{year}/block/{block}/season.json", READ, "/season/2026/block/BLOCK/season.json", |r| {
        r.to(block::season_json)
    }),
    get("/season/{year}/block/{block}/statement", READ, "/season/2026/block/BLOCK/statement", |r| {
        r.to(statement::block_statement_page)
    }),
    get("/season/{year}/block/{block}/water", READ, "/season/2026/block/BLOCK/water", |r| r.to(water::water_page)),
    get("/season/{year}/block/{block}/water.csv", READ, "/season/2026/block/BLOCK/water.csv", |r| {
        r.to(block::water_csv)
    }),
    get("/season/{year}/block/{block}/figures.csv", READ, "/season/2026/block/BLOCK/figures.csv", |r| {
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
    get("/season/{year}/block/{block}/{kind}", READ, "/season/2026/block/BLOCK/labor", |r| r.to(records::list_page)),
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
    get("/season/{year}/records/{kind}", READ, "/season/2026/records/rates", |r| r.to(records::list_page)),
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
    get("/bring-in/formats", READ, "/bring-in/formats", |r| r.to(formats::formats_page)),
    get("/bring-in/formats/{kind}.csv", READ, "/bring-in/formats/labor.csv", |r| r.to(formats::blank_csv)),
    get("/sources", READ, "/sources", |r| r.to(sources::sources_page)),
    get("/how", READ, "/how", |r| r.to(sources::how_page)),
    get("/changes", READ, "/changes", |r| r.to(changes::changes_page)),
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
