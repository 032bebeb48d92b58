//! Every route as nobody, as each role, as a person of another farm and as a stranger. The answers
//! stand in `expected/rights.txt`, which is read like code; `UPDATE_EXPECTED=1` writes it anew.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod house;

use std::fmt::Write as _;

use actix_web::http::Method;
use actix_web::test::TestRequest;
use chrono::NaiveDate;
use house::{Browser, House, site};
use reckon::language::Language;
use store::{ProgramKeyId, Role, UserId};

#[actix_web::test]
async fn every_route_as_everybody() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let mut seen = String::new();
    let _ = writeln!(seen, "{:57}{}", "", NAMES.map(|name| format!("{name:>11}")).concat());
    let key = own_key(&house).await.to_string();
    for (method, path, _, sample) in web::routes::table() {
        let address = house.address(sample).replace("KEY", &key);
        let _ = write!(seen, "{:5}{path:52}", method.as_str());
        for name in NAMES {
            // A session of its own for each request: signing out must not reach the next one.
            let request = if path.starts_with("/api/") {
                program(&house, name, method, &address).await
            } else {
                request(&visitor(&house, name).await, method, &address)
            };
            let answer = site(request).await;
            let _ = write!(seen, "{:>11}", answer.status);
        }
        seen.push('\n');
    }
    let _ = writeln!(seen, "\nBy a key for other programs");
    for file in ["report.pdf", "season.json", "water.csv", "figures.csv"] {
        let _ = write!(seen, "GET  {:52}", format!("/season/{{year}}/block/{{block}}/{file}"));
        for name in NAMES {
            let address = house.address(&format!("/season/2026/block/BLOCK/{file}"));
            let answer = site(program(&house, name, &Method::GET, &address).await).await;
            let _ = write!(seen, "{:>11}", answer.status);
        }
        seen.push('\n');
    }
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/expected/rights.txt");
    if std::env::var_os("UPDATE_EXPECTED").is_some() {
        std::fs::write(path, &seen).unwrap();
    }
    let expected = std::fs::read_to_string(path).unwrap();
    assert_eq!(seen, expected, "the rights changed; read the difference, then UPDATE_EXPECTED=1");
}

const NAMES: [&str; 7] = ["nobody", "owner", "manager", "bookkeeper", "crew lead", "other farm", "stranger"];

/// A key of the owner's.
async fn own_key(house: &House) -> ProgramKeyId {
    house.program(house.owner.user()).await;
    house.state.store.desk(&house.owner).program_keys().await.unwrap().pop().unwrap().id
}

async fn visitor(house: &House, name: &str) -> Browser {
    match user(house, name).await {
        Some(user) => house.browser(user).await,
        None => Browser::default(),
    }
}

async fn user(house: &House, name: &str) -> Option<UserId> {
    Some(match name {
        "nobody" => return None,
        "owner" => house.owner.user(),
        "other farm" => house.known("other farm", Role::Manager, Some(house.other_farm)).await,
        "stranger" => house.known("stranger", Role::Owner, None).await,
        role => house.known(role, Role::from_word(role).unwrap(), None).await,
    })
}

/// A request by a key of somebody, or without one, that says too little to change anything.
async fn program(house: &House, name: &str, method: &Method, path: &str) -> TestRequest {
    match user(house, name).await {
        Some(user) => house.program(user).await.request(method.as_str(), path).set_payload("{\"records\":[]}"),
        None => request(&Browser::default(), method, path),
    }
}

/// A form that says too little to change anything.
fn request(browser: &Browser, method: &Method, path: &str) -> TestRequest {
    match *method {
        Method::POST if path == "/bring-in" => browser.file(path, &[("kind", "labor")], "", b""),
        Method::POST => browser.form(path, &[("key", "0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6071")]),
        _ => browser.request("GET", path),
    }
}

/// Without the session's token, or from another site, no form changes anything.
#[actix_web::test]
async fn every_form_needs_the_token_and_our_own_page() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let key = own_key(&house).await.to_string();
    let stale = Browser { csrf: "00".repeat(32), ..owner.clone() };
    for (method, path, need, sample) in web::routes::table().filter(|(method, ..)| **method == Method::POST) {
        let address = house.address(sample).replace("KEY", &key);
        let foreign = request(&owner, method, &address).insert_header(("origin", "https://evil.test"));
        assert_eq!(site(foreign).await.status, 403, "{path} from another origin");
        let cross = request(&owner, method, &address).insert_header(("sec-fetch-site", "cross-site"));
        assert_eq!(site(cross).await.status, 403, "{path} from another site");
        if need != web::routes::Need::Open {
            // Nothing a browser carries opens what is for other programs.
            let refused = if path.starts_with("/api/") { 401 } else { 403 };
            assert_eq!(site(request(&stale, method, &address)).await.status, refused, "{path} with another token");
        }
    }
    // Signing out was among them, and the owner still is signed in.
    assert_eq!(site(owner.request("GET", "/season/2026")).await.status, 200);
}

/// A route's pattern, and nothing but letters a link may carry.
#[actix_web::test]
async fn every_link_leads_to_a_page() {
    use reckon::figure::RecordKind::{Labor, Rate};
    use web::routes::to;
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let (block, some) = (house.block, Some(house.block));
    let links = [
        to::season(2026),
        to::seasons(),
        to::farm(2026, house.farm),
        to::block(2026, block),
        to::season_water(2026),
        to::farm_water(2026, house.farm),
        to::water(2026, block),
        to::mulch(2026),
        to::due(2026),
        to::crew_sheet(2026, Some(house.farm), reckon::language::Language::Spanish, None),
        to::crew_sheet(2026, None, reckon::language::Language::English, house.state.today().pred_opt()),
        to::due_calendar(2026, Language::English, NaiveDate::from_ymd_opt(2026, 5, 5)),
        to::field_rules(2026),
        to::crews(2026),
        to::thinning(2026),
        to::report_pdf(2026, block, "letter"),
        to::season_json(2026, block),
        to::figures_csv(2026, block),
        to::records(2026, some, Labor),
        to::add(2026, some, Labor),
        to::correct(2026, some, Labor, house.labor),
        to::remove(2026, some, Labor, house.labor),
        to::records(2026, None, Rate),
        to::add(2026, None, Rate),
        to::correct(2026, None, Rate, house.rate),
        to::remove(2026, None, Rate, house.rate),
        to::bring_in(),
        to::formats(),
        to::format_csv(intake::FileKind::Blocks),
        to::sources(),
        to::how(),
        to::changes(),
        to::keys(),
        to::keys_how(),
        to::openapi(),
        to::keys_of(house.owner.user()),
        to::remove_season(2026),
        to::remove_key(own_key(&house).await),
        to::sign_in(),
        to::asset("book.css"),
        to::asset("book.js"),
        to::asset("icon.svg"),
    ];
    for link in links {
        assert_eq!(site(owner.request("GET", &link)).await.status, 200, "{link}");
    }
    // Without weather there is no balance to print; that the route is there, nobody is told.
    let nobody = Browser::default();
    assert_eq!(site(nobody.request("GET", &to::water_csv(2026, block))).await.status, 303);
    assert_eq!(site(owner.request("GET", &to::home())).await.header("location"), "/season/2026");
    assert_eq!(site(owner.request("GET", &to::sign_out())).await.status, 405);
    assert_eq!(site(owner.request("GET", &to::first_run())).await.status, 404, "only while the book is empty");
}
