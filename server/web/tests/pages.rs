//! Pages as a browser sees them: sign in, first run, headers, forms that come back, keys, limits.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod house;

use actix_web::http::Method;
use house::{Answer, Browser, House, PASSWORD, empty, site};
use store::Role;

const KEY: &str = "0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6071";

#[actix_web::test]
async fn signs_in_and_out() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let nobody = Browser::default();
    let sent = |email: &'static str, password: &'static str, back: &'static str| {
        site(nobody.form("/sign-in", &[("email", email), ("password", password), ("back", back)]))
    };

    let away = site(nobody.request("GET", "/season/2026")).await;
    assert_eq!((away.status, away.header("location")), (303, "/sign-in?back=/season/2026"));

    let wrong = sent("Ana@example.com", "not the password", "/season/2026").await;
    let unknown = sent("nobody@example.com", "not the password", "/season/2026").await;
    assert_eq!((wrong.status, unknown.status), (422, 422));
    let same = |answer: &Answer| answer.body.replace("Ana@", "").replace("nobody@", "");
    assert_eq!(same(&wrong), same(&unknown), "the page does not tell which of the two is wrong");
    assert_eq!(wrong.value("email"), "Ana@example.com");
    assert_eq!(wrong.value("password"), "");
    assert_eq!(wrong.header("set-cookie"), "");

    let right = sent("Ana@example.com ", PASSWORD, "/season/2026").await;
    assert_eq!((right.status, right.header("location")), (303, "/season/2026"));
    let cookie = right.header("set-cookie").to_owned();
    assert!(cookie.starts_with("session="), "{cookie}");
    for part in ["HttpOnly", "SameSite=Lax", "Path=/", "Max-Age=1209600"] {
        assert!(cookie.contains(part), "{cookie}");
    }
    assert!(!cookie.contains("Secure"), "on loopback there is no HTTPS");
    for back in ["//evil.test", "https://evil.test", "/\\evil.test"] {
        assert_eq!(sent("ana@example.com", PASSWORD, back).await.header("location"), "/", "{back}");
    }

    let mut ana = Browser { cookie: cookie.split(';').next().map(str::to_owned), ..Browser::default() };
    let season = site(ana.request("GET", "/season/2026")).await;
    assert_eq!(season.status, 200);
    ana.csrf = season.value("csrf");
    let out = site(ana.form("/sign-out", &[])).await;
    assert_eq!((out.status, out.header("location")), (303, "/sign-in?said=signed-out"));
    assert_eq!(site(ana.request("GET", "/season/2026")).await.status, 303, "the session is over");
}

#[actix_web::test]
async fn a_cookie_is_for_https_only_elsewhere() {
    let mut house = House::new().await;
    house.state.secure_cookies = true;
    let site = site(&house.state).await;
    let form = [("email", "ana@example.com"), ("password", PASSWORD)];
    let answer = site(Browser::default().form("/sign-in", &form)).await;
    let cookie = answer.header("set-cookie");
    assert!(cookie.starts_with("__Host-session=") && cookie.contains("Secure"), "{cookie}");
}

#[actix_web::test]
async fn the_first_person_founds_the_book() {
    let (state, _folder) = empty().await;
    let site = site(&state).await;
    let nobody = Browser::default();
    assert_eq!(site(nobody.request("GET", "/sign-in")).await.header("location"), "/first-run");
    assert_eq!(site(nobody.request("GET", "/first-run")).await.value("year"), "2026");

    let fields = |password| {
        [
            ("operation", "Cottonwood Flat"),
            ("name", "Ana Owner"),
            ("email", "ana@example.com"),
            ("password", password),
            ("year", "2026"),
        ]
    };
    let short = site(nobody.form("/first-run", &fields("short"))).await;
    assert_eq!(short.status, 422);
    assert_eq!((short.value("operation").as_str(), short.value("password").as_str()), ("Cottonwood Flat", ""));
    assert!(short.body.contains("Give a password of 12 to 1,024 characters."));

    let founded = site(nobody.form("/first-run", &fields(PASSWORD))).await;
    assert_eq!((founded.status, founded.header("location")), (303, "/season/2026?said=founded"));
    let cookie = founded.header("set-cookie").split(';').next().map(str::to_owned);
    let ana = Browser { cookie, ..Browser::default() };
    let season = site(ana.request("GET", "/season/2026?said=founded")).await;
    assert_eq!(season.status, 200);
    assert!(season.body.contains("The book is open."));
    assert_eq!(site(nobody.form("/first-run", &fields(PASSWORD))).await.status, 404, "once is enough");
}

#[actix_web::test]
async fn every_answer_carries_the_headers() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let samples = web::routes::table().filter(|(method, ..)| **method == Method::GET);
    let mut addresses: Vec<String> = samples.map(|(.., sample)| house.address(sample)).collect();
    addresses.extend(["/nowhere", "/season/soon", "/static/none.css", "/season/1999"].map(str::to_owned));
    for address in addresses {
        for browser in [&owner, &Browser::default()] {
            let answer = site(browser.request("GET", &address)).await;
            let policy = answer.header("content-security-policy");
            for part in ["default-src 'none'", "frame-ancestors 'none'", "form-action 'self'", "base-uri 'none'"] {
                assert!(policy.contains(part), "{address}: {policy}");
            }
            assert!(!policy.contains("unsafe") && !policy.contains("data:"), "{policy}");
            assert_eq!(answer.header("x-content-type-options"), "nosniff", "{address}");
            assert_eq!(answer.header("referrer-policy"), "same-origin", "{address}");
            assert_eq!(answer.header("cross-origin-opener-policy"), "same-origin", "{address}");
            assert_eq!(answer.header("x-request-id").len(), 36, "{address}");
            let keep = answer.header("cache-control");
            let public = address.starts_with("/static/") && answer.status == 200;
            assert_eq!(keep == "no-store", !public, "{address}: {keep}");
        }
    }
}

#[actix_web::test]
async fn files_are_kept_by_browsers_as_long_as_they_are_the_same() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let link = web::routes::to::asset("book.css");
    let named = site(Browser::default().request("GET", &link)).await;
    assert_eq!(named.header("cache-control"), "public, max-age=31536000, immutable");
    assert_eq!(named.header("content-type"), "text/css; charset=utf-8");
    let bare = site(Browser::default().request("GET", "/static/book.css")).await;
    assert_eq!(bare.header("cache-control"), "public, max-age=604800");
    let page = site(Browser::default().request("GET", "/sign-in")).await;
    assert!(page.body.contains(&link));
}

#[actix_web::test]
async fn head_answers_where_get_does_and_other_methods_are_named() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    assert_eq!(site(owner.request("HEAD", "/season/2026")).await.status, 200);
    assert_eq!(site(Browser::default().request("HEAD", "/season/2026")).await.status, 303);
    let put = site(owner.request("PUT", "/seasons")).await;
    assert_eq!((put.status, put.header("allow")), (405, "GET, HEAD, POST"));
    let get = site(owner.request("GET", "/sign-out")).await;
    assert_eq!((get.status, get.header("allow")), (405, "POST"));
    assert!(get.body.contains("Follow a link or use a form of this book."));
}

#[actix_web::test]
async fn what_is_not_there_is_our_own_page() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let list = house.labor_list();
    for address in [
        "/nowhere".to_owned(),
        "/season/soon".to_owned(),
        "/season/99999999999".to_owned(),
        "/season/2026/block/RB-1".to_owned(),
        "/season/1999".to_owned(),
        format!("{list}/not-an-id/correct"),
        format!("{list}/{}/correct", house.rate),
        format!("/season/2026/block/{}/weather", house.block),
        format!("/season/2026/block/{}/nothing", house.block),
        "/season/2026/records/labor".to_owned(),
        format!("/season/2026/records/costs/{}/correct", house.labor),
    ] {
        let answer = site(owner.request("GET", &address)).await;
        assert_eq!(answer.status, 404, "{address}");
        assert!(answer.body.contains("<h1>Not found</h1>"), "{address}");
        assert!(answer.body.contains(answer.header("x-request-id")), "{address}");
    }
}

/// The number of a row in the answer to a form that was kept.
fn row_of(answer: &Answer) -> String {
    answer.header("location").rsplit_once("#r-").map(|(_, id)| id.to_owned()).unwrap_or_default()
}

#[actix_web::test]
async fn a_crew_day_is_kept_once() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let lead = house.browser(house.known("lead", Role::CrewLead, None).await).await;
    let add = format!("{}/add", house.labor_list());

    let blank = site(lead.request("GET", &add)).await;
    assert_eq!(blank.status, 200);
    assert_eq!(blank.value("date"), "2026-07-01", "today is offered");
    assert_eq!((blank.value("crew").as_str(), blank.value("people").as_str()), ("Crew Arroyo", "8"), "as last time");
    let key = blank.value("key");

    let fields = [
        ("key", key.as_str()),
        ("date", "2026-07-01"),
        ("task", "thin"),
        ("people", "6"),
        ("hours_each", "8"),
        ("trees_done", "2,860"),
    ];
    let question = site(lead.form(&add, &fields)).await;
    assert_eq!((question.status, question.value("trees_done").as_str()), (422, "2,860"));
    assert_eq!(house.labor_entries().await, 1, "more trees than the block has is asked about first");
    let sure = question.value("sure");
    let fields = [&fields[..], &[("sure", sure.as_str())]].concat();
    let first = site(lead.form(&add, &fields)).await;
    assert_eq!(first.status, 303, "{}", first.body);
    assert!(first.header("location").starts_with(&format!("{}?said=kept&row=", house.labor_list())));
    let second = site(lead.form(&add, &fields)).await;
    assert_eq!((second.status, second.header("location")), (303, first.header("location")));
    assert_eq!(house.labor_entries().await, 2);

    let list = site(lead.request("GET", &format!("{}?said=kept", house.labor_list()))).await;
    assert!(list.body.contains("Kept."));
    assert!(list.body.contains(&format!("id=\"r-{}\"", row_of(&first))));
    assert!(list.body.contains("1 Jul 2026") && list.body.contains("lead"));
    assert!(list.body.contains("RB-1 has 2,387"), "more trees than the block has is asked about, and kept");
}

#[actix_web::test]
async fn a_form_comes_back_as_typed() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let add = format!("{}/add", house.labor_list());
    let typed = [
        ("key", KEY),
        ("date", "5/14/2026"),
        ("task", "thin"),
        ("crew", "<b>Crew</b> \"A\" & ñ"),
        ("people", "eight"),
        ("hours_each", "25"),
        ("note", "first\nsecond"),
    ];
    let answer = site(owner.form(&add, &typed)).await;
    assert_eq!(answer.status, 422);
    for (field, value) in typed.iter().filter(|(field, _)| !["task", "note"].contains(field)) {
        assert_eq!(answer.value(field), *value, "{field}");
    }
    let page = scraper::Html::parse_document(&answer.body);
    let one = |css: &str| {
        let found = page.select(&scraper::Selector::parse(css).unwrap()).next();
        found.unwrap_or_else(|| panic!("{css}")).text().collect::<String>()
    };
    assert_eq!(one("option[selected][value=thin]"), "thin");
    assert_eq!(one("textarea[name=note]"), "first\nsecond");
    for field in ["date", "people", "hours_each"] {
        one(&format!("[id={field}][aria-invalid=true][aria-describedby={field}-problem] ~ [id={field}-problem]"));
        one(&format!(".summary-of-problems a[href='#{field}']"));
    }
    assert!(one("#people-problem").starts_with("Read \"eight\"; expected "), "{}", one("#people-problem"));
    assert_eq!(house.labor_entries().await, 1, "nothing was kept");
}

#[actix_web::test]
async fn the_second_of_two_corrections_sees_the_first() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let correct = format!("{}/{}/correct", house.labor_list(), house.labor);
    let form = site(owner.request("GET", &correct)).await;
    assert_eq!((form.value("version").as_str(), form.value("trees_done").as_str()), ("1", "620"));
    let fields = |key, version, trees| {
        [
            ("key", key),
            ("version", version),
            ("date", "2026-05-14"),
            ("task", "thin"),
            ("hours", "60"),
            ("trees_done", trees),
        ]
    };
    let key = form.value("key");
    let first = site(owner.form(&correct, &fields(&key, "1", "640"))).await;
    assert_eq!(first.header("location"), format!("{0}?said=corrected&row={1}#r-{1}", house.labor_list(), house.labor));
    let again = site(owner.form(&correct, &fields(&key, "1", "640"))).await;
    assert_eq!(again.header("location"), first.header("location"), "the same form, sent twice");

    let second = site(owner.form(&correct, &fields(KEY, "1", "650"))).await;
    assert_eq!(second.status, 409);
    assert_eq!((second.value("trees_done").as_str(), second.value("version").as_str()), ("650", "2"));
    assert!(second.body.contains("<dd>640</dd>"), "what stands in the book now");
    let kept = site(owner.form(&correct, &fields(KEY, "2", "650"))).await;
    assert_eq!(kept.status, 303);

    let changes = site(owner.request("GET", "/changes")).await;
    assert!(changes.body.contains("trees done") && changes.body.contains("640, now 650"));
}

#[actix_web::test]
async fn an_entry_goes_after_a_question() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let remove = format!("{}/{}/remove", house.labor_list(), house.labor);
    let question = site(owner.request("GET", &remove)).await;
    assert!(question.body.contains("Crew Arroyo") && question.body.contains("Remove this entry"));
    assert_eq!(house.labor_entries().await, 1, "a question removes nothing");
    let key = question.value("key");
    let stale = site(owner.form(&remove, &[("key", KEY), ("version", "7")])).await;
    assert_eq!(stale.status, 409);
    assert_eq!(house.labor_entries().await, 1);
    let gone = site(owner.form(&remove, &[("key", &key), ("version", "1")])).await;
    assert_eq!(gone.header("location"), format!("{}?said=removed", house.labor_list()));
    assert_eq!(house.labor_entries().await, 0);
    let again = site(owner.form(&remove, &[("key", KEY), ("version", "1")])).await;
    assert_eq!(again.status, 410);
    assert!(again.body.contains("removed by Ana Owner on 1 Jul 2026"), "{}", again.body);
}

#[actix_web::test]
async fn a_closed_season_takes_nothing() {
    let house = House::new().await;
    let mut book = house.state.store.book(&house.owner, store::Right::SetUp).await.unwrap();
    book.close_season(2026, &[]).await.unwrap();
    book.save().await.unwrap();
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let add = format!("{}/add", house.labor_list());
    let list = site(owner.request("GET", &house.labor_list())).await;
    assert!(list.body.contains("Season 2026 was closed by Ana Owner") && !list.body.contains(&add));
    assert_eq!(site(owner.request("GET", &add)).await.status, 409);
    let fields = [("key", KEY), ("date", "2026-07-01"), ("task", "thin"), ("hours", "8")];
    let sent = site(owner.form(&add, &fields)).await;
    assert_eq!(sent.status, 409);
    assert_eq!(house.labor_entries().await, 1);
}

#[actix_web::test]
async fn seasons_are_opened_and_do_not_overlap() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    assert_eq!(site(owner.request("GET", "/seasons")).await.value("year"), "2027");
    let open = |year: &'static str, first: &'static str, last: &'static str| {
        site(owner.form("/seasons", &[("year", year), ("first_day", first), ("last_day", last)]))
    };
    assert_eq!(open("2027", "", "").await.header("location"), "/season/2027?said=season");
    assert_eq!(open("2027", "", "").await.status, 422);
    assert_eq!(open("2028", "2027-11-01", "2028-10-31").await.status, 422);
    assert_eq!(open("2028", "2028-10-31", "2028-01-01").await.status, 422);
    assert_eq!(open("28", "", "").await.status, 422);
    assert_eq!(site(owner.request("GET", "/")).await.header("location"), "/season/2026", "the newest with a record");
}
